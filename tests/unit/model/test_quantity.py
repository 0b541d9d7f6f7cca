"""Quantities: text with a unit in, the same text out, bare numbers only from code."""

import math

import pytest
from pydantic import BaseModel, ValidationError

from coatwright.model import quantity
from coatwright.model.quantity import Film, Fraction, Length, Part, Pressure, Temperature

WRITTEN = {"written": True}


class Sample(Part):
    nozzle: Length = 0.0013
    film: Film = 0.0
    share: Fraction = 0.0
    pressure: Pressure = 0.0
    air: Temperature = 293.15


@pytest.mark.parametrize(("field", "text", "si"), [
    ("nozzle", "1.8 mm", 0.0018),
    ("film", "4 mil", 4 * 25.4e-6),
    ("share", "55 %", 0.55),
    ("pressure", "2 bar", 2e5),
    ("air", "68 degF", 293.15),
])  # fmt: skip
@pytest.mark.parametrize("context", [WRITTEN, None])
def test_text_with_a_unit_is_read(field, text, si, context):
    sample = Sample.model_validate({field: text}, context=context)
    assert getattr(sample, field) == pytest.approx(si, rel=1e-12)


def test_code_may_give_si_but_a_person_may_not():
    assert Sample(nozzle=0.0018).nozzle == 0.0018
    with pytest.raises(ValidationError, match=r"0\.0018 has no unit; write it in quotes"):
        Sample.model_validate({"nozzle": 0.0018}, context=WRITTEN)


@pytest.mark.parametrize(("field", "value", "said"), [
    ("nozzle", 0.0, "0.0 is out of range; it must be above 0 and at most 100 m"),
    ("nozzle", "101 m", "101 m is out of range; it must be above 0 and at most 100 m"),
    ("share", "101 %", "101 % is out of range; it must be 0 to 100 %"),
    ("share", -0.01, "-0.01 is out of range; it must be 0 to 100 %"),
    ("pressure", "-1 bar", "-1 bar is out of range; it must be 0 to 20 bar (gauge)"),
    ("air", "0 K", "0 K is out of range; it must be -50 to 350 degC"),
    ("nozzle", math.nan, "nan is out of range"),
    ("nozzle", math.inf, "inf is out of range"),
    ("nozzle", True, "True is not a quantity"),
    ("nozzle", None, "nothing is not a quantity"),
    ("nozzle", ["1 mm"], "a list is not a quantity"),
    ("nozzle", {"mm": 1}, "a table is not a quantity"),
    ("film", "30 mm", "30 mm is out of range; it must be 0 to 20 mm"),
])  # fmt: skip
def test_refused(field, value, said):
    with pytest.raises(ValidationError) as caught:
        Sample(**{field: value})
    assert said in str(caught.value)


def test_saved_as_text_with_a_unit():
    saved = Sample(film=6e-5, share=0.5, pressure=2e5).model_dump(mode="json")
    assert saved == {
        "nozzle": "1.3 mm",
        "film": "60 um",
        "share": "50 %",
        "pressure": "2 bar",
        "air": "20 degC",
    }


def test_unknown_fields_and_infinite_numbers_are_refused():
    class Plain(Part):
        number: float = 1.0

    with pytest.raises(ValidationError, match="Extra inputs"):
        Plain(nmuber=1)
    with pytest.raises(ValidationError, match="finite"):
        Plain(number=math.inf)


def quantities() -> list[tuple[str, object]]:
    return [
        (name, thing)
        for name, thing in vars(quantity).items()
        if any(getattr(mark, "json_schema", None) for mark in getattr(thing, "__metadata__", ()))
    ]


@pytest.mark.parametrize(("name", "kind"), quantities(), ids=[name for name, _ in quantities()])
def test_the_example_of_every_kind_of_quantity_is_one(name, kind):
    class Holder(BaseModel):
        it: kind

    schema = Holder.model_json_schema()["properties"]["it"]
    for text in schema["examples"] if name != "Stress" else ["0.5 Pa"]:
        Holder.model_validate({"it": text}, context=WRITTEN)
    assert schema["type"] == "string"


def test_there_are_quantities_to_check():
    assert len(quantities()) >= 18
