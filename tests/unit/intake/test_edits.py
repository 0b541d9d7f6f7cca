"""One change in a job file leaves every other line as it was."""

import difflib
from importlib.resources import files

import pytest

from coatwright.errors import InputErrors
from coatwright.intake.edits import edited, key_of
from coatwright.intake.jobfile import open_text
from coatwright.model.area import Area

TEXT = (files("coatwright") / "data" / "demo" / "larkfield.toml").read_text(encoding="utf-8")
JOB = open_text(TEXT, "larkfield.toml")


def changed(text: str) -> list[str]:
    rows = difflib.unified_diff(TEXT.splitlines(), text.splitlines(), lineterm="", n=0)
    return [row for row in rows if row[0] in "+-" and row[:3] not in ("+++", "---")]


def lid() -> Area:
    return JOB.job.areas[0].model_copy(update={"key": "new-lid", "title": "New lid"})


def test_an_area_is_appended_and_nothing_else_changes():
    found = edited(JOB, ("areas", len(JOB.job.areas)), lid())
    assert found.job.areas[-1] == lid()
    assert found.job.areas[:-1] == JOB.job.areas
    assert all(row.startswith("+") for row in changed(found.text))
    assert "#" in found.text  # the person's comments are still there


def test_an_area_is_replaced_in_its_place():
    found = edited(JOB, ("areas", 1), lid())
    assert [area.key for area in found.job.areas] == [
        JOB.job.areas[0].key,
        "new-lid",
        *(area.key for area in JOB.job.areas[2:]),
    ]
    assert found.job.areas[1] == lid()


def test_an_area_is_taken_away():
    found = edited(JOB, ("areas", 2), None)
    assert found.job.areas == JOB.job.areas[:2] + JOB.job.areas[3:]
    assert all(row.startswith("-") for row in changed(found.text))


def test_a_patch_and_a_plain_value():
    whole = JOB.job.areas[0].patches[0]
    found = edited(JOB, ("areas", 0, "patches", 0), whole)
    assert found.job == JOB.job
    found = edited(JOB, ("colour",), "a warm grey")
    assert found.job.colour == "a warm grey"
    assert len(changed(found.text)) == 2


def test_what_comes_out_must_be_a_job():
    with pytest.raises(InputErrors, match="another area has the key"):
        edited(JOB, ("areas", len(JOB.job.areas)), JOB.job.areas[0])


@pytest.mark.parametrize(
    ("title", "key"),
    [
        ("Boot lid", "boot-lid"),
        ("Tür links", "t-r-links"),
        ("2nd sill", "area-2nd-sill"),
        ("?", "area"),
    ],
)
def test_keys_from_titles(title, key):
    assert key_of([], title) == key
    assert key_of([key], title) == f"{key}-2"
