"""Every kind of validation fault is told in our own words, at the right field."""

import tomllib
from pathlib import Path

import pytest
from pydantic import Field
from pydantic_core._pydantic_core import list_all_errors

from coatwright.errors import InputErrors
from coatwright.intake import toml
from coatwright.intake.toml import wording
from coatwright.model.area import Area
from coatwright.model.job import Job
from coatwright.model.quantity import Part

GIVEN = {"title": "x", "areas": [{"key": "roof", "shape": {"kind": "flat"}}]}
THEIRS = ("pydantic", "Input should", "validation error", "Traceback", "ValueError", "<class")


@pytest.mark.parametrize("known", list_all_errors(), ids=lambda known: known["type"])
def test_no_kind_of_fault_is_told_in_the_words_of_a_library(known):
    detail = {"type": known["type"], "loc": ("title",), "ctx": known.get("example_context") or {}}
    (fault,) = wording.faults([detail], GIVEN, Job)
    sentence = f"{fault.what}; {fault.instead}"
    assert fault.place[0] == "title"
    assert fault.what
    assert sentence != f"{known['message_template_python']}; "
    assert not any(word in sentence for word in THEIRS)


@pytest.mark.parametrize(("place", "shown"), [
    ((), ""),
    (("title",), "title"),
    (("areas", 0), 'areas[1] "roof"'),
    (("areas", 0, "shape", "width"), 'areas[1] "roof" > shape > width'),
    (("areas", 7, "shape"), "areas[8] > shape"),
    (("areas", 0, "patches", 1, "system", 2), 'areas[1] "roof" > patches[2] > system[3]'),
])  # fmt: skip
def test_a_field_as_a_person_sees_it(place, shown):
    assert wording.field(place, GIVEN) == shown


SAID = tomllib.loads(Path(__file__).with_name("sentences.toml").read_text(encoding="utf-8"))
AREA, CASES = SAID["text"], SAID["case"]


class Areas(Part):
    """Only the part of a job that these tests need."""

    areas: tuple[Area, ...] = Field(min_length=1)


@pytest.mark.parametrize("case", CASES, ids=lambda case: case["said"][:60])
def test_word_for_word_at_its_line(case):
    assert case["old"] in AREA
    with pytest.raises(InputErrors) as caught:
        toml.read(AREA.replace(case["old"], case["new"], 1), Areas, "job.toml")
    assert str(caught.value) == f"job.toml:{case['line']}, areas[1] {case['said']}"


def test_all_faults_at_once_in_the_order_of_their_lines():
    text = AREA.replace('"Roof"', "1").replace("1 m", "1 gal").replace("bare steel", "steal")
    with pytest.raises(InputErrors) as caught:
        toml.read(text, Areas, "job.toml")
    places = [(fault.line, fault.field.rpartition(" > ")[2]) for fault in caught.value.faults]
    assert places == [(3, "title"), (4, "length"), (4, "width"), (7, "ground")]


def test_a_list_whose_entries_are_wrong_is_not_called_too_short_as_well():
    with pytest.raises(InputErrors) as caught:
        toml.read("[[areas]]\n", Areas, "job.toml")
    assert {fault.field for fault in caught.value.faults} == {
        "areas[1] > key",
        "areas[1] > title",
        "areas[1] > shape",
        "areas[1] > patches",
    }
    with pytest.raises(InputErrors, match="there are too few entries; at least 1 entry is needed"):
        toml.read('areas = []\ntitle = "x"\n', Job, "job.toml")


def test_missing_tables_are_told_as_tables():
    with pytest.raises(InputErrors) as caught:
        toml.read('title = "x"\n', Job, "job.toml")
    said = str(caught.value)
    assert "workshop: 'workshop' is missing; add a table [workshop]" in said
    assert "areas: 'areas' is missing; add at least one [[areas]] table" in said


def test_a_very_long_value_is_cut():
    with pytest.raises(InputErrors) as caught:
        toml.read(AREA.replace('"flat"', f'"{"x" * 500}"'), Areas, "job.toml")
    assert f"'{'x' * 57}...' is none of the choices" in str(caught.value)
