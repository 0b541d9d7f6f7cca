"""Quantity types of the model: SI floats that are written as text with a unit.

A float is taken as SI (code building a model); text is parsed with its unit. While a file is
being read (context {"written": True}) a bare number is refused: a person must write the unit.
"""

from typing import Annotated, Any

from pydantic import BaseModel, BeforeValidator, ConfigDict, PlainSerializer, WithJsonSchema
from pydantic_core import PydanticCustomError
from pydantic_core.core_schema import ValidationInfo

from coatwright import units
from coatwright.errors import InputError

_TEXT_PATTERN = r"^\s*[+-]?([0-9]+([.,][0-9]*)?|[.,][0-9]+)([eE][+-]?[0-9]+)?.*$"


class Part(BaseModel):
    """Base of every model class: frozen, and unknown fields are an error."""

    model_config = ConfigDict(frozen=True, extra="forbid", ser_json_inf_nan="strings")


def _quantity(dimension: str, low: float | None, high: float | None, bounds: str) -> Any:
    def read(value: object, info: ValidationInfo) -> float:
        written = bool(info.context and info.context.get("written"))
        number = _as_si(value, dimension, written)
        if (low is not None and number < low) or (high is not None and number > high):
            raise PydanticCustomError(
                "quantity", "{what}; {instead}",
                {"what": f"{value} is out of range", "instead": f"it must be {bounds}"},
            )
        return number

    schema: dict[str, Any] = {
        "type": "string", "pattern": _TEXT_PATTERN,
        "description": f"{dimension}, {bounds or 'any'}; units: {units.units_for(dimension)}",
    }
    return (
        BeforeValidator(read),
        PlainSerializer(lambda v: units.write(v, dimension), return_type=str, when_used="json"),
        WithJsonSchema(schema),
    )


def _as_si(value: object, dimension: str, written: bool) -> float:
    if isinstance(value, str):
        try:
            return units.parse(value, dimension)
        except InputError as fault:
            raise PydanticCustomError(
                "quantity", "{what}; {instead}", {"what": fault.what, "instead": fault.instead}
            ) from None
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise PydanticCustomError(
            "quantity", "{what}; {instead}",
            {
                "what": f"{value!r} is not a quantity",
                "instead": f"write a number and a unit in quotes, e.g. {units.example(dimension)}",
            },
        )
    if written:
        raise PydanticCustomError(
            "quantity", "{what}; {instead}",
            {
                "what": f"{value} has no unit",
                "instead": f"write it in quotes with its unit, e.g. {units.example(dimension)}",
            },
        )
    return float(value)


def _m(dimension: str, low: float | None = 0.0, high: float | None = None, bounds: str = "zero or more") -> Any:
    return _quantity(dimension, low, high, bounds)


_TINY = 1e-12

Length = Annotated[float, *_m("length", _TINY, 100.0, "above 0 and at most 100 m")]
LengthOrZero = Annotated[float, *_m("length", 0.0, 100.0, "0 to 100 m")]
Film = Annotated[float, *_m("length", 0.0, 0.02, "0 to 20 mm")]
Surface = Annotated[float, *_m("area", 0.0, 1000.0, "0 to 1000 m2")]
Volume = Annotated[float, *_m("volume", _TINY, 10.0, "above 0 and at most 10 m3")]
VolumeOrZero = Annotated[float, *_m("volume", 0.0, 10.0, "0 to 10 m3")]
Mass = Annotated[float, *_m("mass", _TINY, 1000.0, "above 0 and at most 1000 kg")]
Time = Annotated[float, *_m("time", 0.0, 3.2e9, "0 to 100 years")]
Pressure = Annotated[float, *_m("pressure", 0.0, 2e6, "0 to 20 bar (gauge)")]
Flow = Annotated[float, *_m("flow", 0.0, 1.0, "0 to 1 m3/s")]
Speed = Annotated[float, *_m("speed", 0.01, 3.0, "0.01 to 3 m/s")]
Density = Annotated[float, *_m("density", 300.0, 8000.0, "0.3 to 8 kg/L")]
Concentration = Annotated[float, *_m("concentration", 0.0, 3000.0, "0 to 3000 g/L")]
Temperature = Annotated[float, *_m("temperature", 223.15, 623.15, "-50 to 350 degC")]
Angle = Annotated[float, *_m("angle", 0.0, 1.5707963267948966, "0 to 90 deg")]
Fraction = Annotated[float, *_m("fraction", 0.0, 1.0, "0 to 100 %")]
Share = Annotated[float, *_m("fraction", 0.0, 10.0, "0 to 1000 %")]
Stress = Annotated[float, *_m("pressure", 0.0, 1000.0, "0 to 1000 Pa")]
