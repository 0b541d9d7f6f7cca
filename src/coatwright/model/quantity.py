"""Quantity types of the model: SI floats that are written as text with a unit.

A float is taken as SI (code building a model); text is parsed with its unit. While a file is
being read (context {"written": True}) a bare number is refused: a person must write the unit.
"""

from collections.abc import Iterable
from typing import Annotated, Any

from pydantic import (
    AfterValidator,
    BaseModel,
    BeforeValidator,
    ConfigDict,
    Field,
    PlainSerializer,
    WithJsonSchema,
)
from pydantic_core import PydanticCustomError
from pydantic_core.core_schema import ValidationInfo

from coatwright import units
from coatwright.errors import InputError
from coatwright.sentences import Said, say

QUANTITY, PURPOSE = "x-quantity", "x-purpose"
"""Marks in the JSON Schema of a quantity: its dimension, bounds and units; a units.PURPOSES."""

Prose = Annotated[str, AfterValidator(Said)]
"""Words of a data file that pages show: told in the reader's language if a catalogue has them."""


class Part(BaseModel):
    """Base of every model class: frozen, and unknown fields are an error."""

    model_config = ConfigDict(frozen=True, extra="forbid", allow_inf_nan=False)


def _quantity(purpose: str, low: float, high: float, bounds: str) -> Any:
    dimension = units.dimension_of(purpose)

    def read(value: object, info: ValidationInfo) -> float:
        written = bool(info.context and info.context.get("written"))
        number = _as_si(value, dimension, written)
        if not low <= number <= high:  # also true of nan
            raise refused(
                say("{found} is out of range", found=str(value)),
                say("it must be {bounds}", bounds=bounds),
            )
        return number

    schema: dict[str, Any] = {
        "type": "string",
        "pattern": units.pattern(dimension),
        "examples": list(units.examples(purpose)),
        QUANTITY: f"{dimension}, {bounds}; units: {units.units_for(dimension)}",
        PURPOSE: purpose,
    }
    return (
        BeforeValidator(read),
        PlainSerializer(lambda v: units.write(v, purpose), return_type=str, when_used="json"),
        WithJsonSchema(schema),
    )


def refused(what: str, instead: str, *at: str | int) -> PydanticCustomError:
    """What a validator raises: what is wrong, what would be right, and in which field below it."""
    context = {"what": what, "instead": instead, "at": at}
    return PydanticCustomError("refused", "{what}; {instead}", context)


def ordered(part: Part, low: str, high: str) -> None:
    """Refuse a part whose field `low` is above its field `high` (None in either is no limit)."""
    least, most = getattr(part, low), getattr(part, high)
    if least is not None and most is not None and least > most:
        raise refused(
            say("{low} is above {high}", low=low, high=high),
            say("{low} must be at most {high}", low=low, high=high),
            low,
        )


def all_different(noun: str, keys: Iterable[str], field: str, at: str = "key") -> None:
    """Refuse a list of parts in which two have the same key (or the same value of field `at`)."""
    seen: set[str] = set()
    for index, key in enumerate(keys):
        if key in seen:
            raise refused(
                say("another {noun} has the key '{key}' too", noun=Said(noun), key=key),
                say("give each its own"),
                field,
                index,
                at,
            )
        seen.add(key)


def _as_si(value: object, dimension: str, written: bool) -> float:
    if isinstance(value, str):
        try:
            return units.parse(value, dimension)
        except InputError as fault:
            raise refused(fault.what, fault.instead) from None
    example = units.example(dimension)
    if isinstance(value, bool) or not isinstance(value, int | float):
        names: dict[type, str] = {
            list: say("a list"), dict: say("a table"), type(None): say("nothing")
        }  # fmt: skip
        shown = names.get(type(value), repr(value))
        raise refused(
            say("{found} is not a quantity", found=shown),
            say("write a number and a unit in quotes, e.g. {example}", example=example),
        )
    if written:
        raise refused(
            say("{found} has no unit", found=str(value)),
            say("write it in quotes with its unit, e.g. {example}", example=example),
        )
    return float(value)


_TINY = 1e-12

KEY_FORM = r"^[a-z0-9][a-z0-9-]*$"
Key = Annotated[str, Field(pattern=KEY_FORM, examples=["near-side-door"])]
"""The name by which one part of a file refers to another."""

Length = Annotated[float, *_quantity("length", _TINY, 100.0, say("above 0 and at most 100 m"))]
LengthOrZero = Annotated[float, *_quantity("length", 0.0, 100.0, say("0 to 100 m"))]
Film = Annotated[float, *_quantity("film", 0.0, 0.02, say("0 to 20 mm"))]
Surface = Annotated[float, *_quantity("area", 0.0, 1000.0, say("0 to 1000 m2"))]
Volume = Annotated[float, *_quantity("volume", _TINY, 10.0, say("above 0 and at most 10 m3"))]
RoomVolume = Annotated[float, *_quantity("room", 1.0, 5e4, say("1 to 50 000 m3"))]
VolumeOrZero = Annotated[float, *_quantity("volume", 0.0, 10.0, say("0 to 10 m3"))]
Mass = Annotated[float, *_quantity("mass", _TINY, 1000.0, say("above 0 and at most 1000 kg"))]
Time = Annotated[float, *_quantity("time", 0.0, 3.2e9, say("0 to 100 years"))]
Pressure = Annotated[float, *_quantity("pressure", 0.0, 2e6, say("0 to 20 bar (gauge)"))]
Flow = Annotated[float, *_quantity("flow", 0.0, 1.0, say("0 to 1 m3/s"))]
AirFlow = Annotated[float, *_quantity("air flow", 0.0, 1.0, say("0 to 1 m3/s"))]
Speed = Annotated[float, *_quantity("speed", 0.01, 3.0, say("0.01 to 3 m/s"))]
Density = Annotated[float, *_quantity("density", 300.0, 8000.0, say("0.3 to 8 kg/L"))]
Concentration = Annotated[float, *_quantity("concentration", 0.0, 3000.0, say("0 to 3000 g/L"))]
Temperature = Annotated[float, *_quantity("temperature", 223.15, 623.15, say("-50 to 350 degC"))]
Power = Annotated[float, *_quantity("power", 0.0, 1e6, say("0 to 1000 kW"))]
Angle = Annotated[float, *_quantity("angle", 0.0, 1.5707963267948966, say("0 to 90 deg"))]
Fraction = Annotated[float, *_quantity("fraction", 0.0, 1.0, say("0 to 100 %"))]
SomeFraction = Annotated[
    float, *_quantity("fraction", _TINY, 1.0, say("above 0 and at most 100 %"))
]
Share = Annotated[float, *_quantity("fraction", 0.0, 10.0, say("0 to 1000 %"))]
Stress = Annotated[float, *_quantity("pressure", 0.0, 1000.0, say("0 to 1000 Pa"))]
