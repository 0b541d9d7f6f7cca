"""The reader of published values: every file is whole, and a wrong value is seen."""

import tomllib
from dataclasses import replace

import pytest

from published.cases import TAGS, VALUES, Case, cases, everything, faults, written

FILES = sorted(VALUES.glob("*.toml"))
ONE = Case(
    "iso-2431",
    "rheology.kinematic_viscosity",
    {
        "id": "one",
        "inputs": {"cup": "ISO 4", "seconds": "60 s"},
        "expected": "78.87 mm2/s",
        "tolerance": "0.01 mm2/s",
    },
)


@pytest.mark.parametrize("file", FILES, ids=lambda file: file.stem)
def test_every_case_says_why_and_how_it_was_read(file):
    table = tomllib.loads(file.read_text())
    assert table["read"]
    assert [case["id"] for case in table["case"] if not case.get("why")] == []
    assert {case["tag"] for case in table["case"]} <= TAGS
    ids = [case["id"] for case in table["case"]]
    assert len(ids) == len(set(ids))


def test_every_case_is_run_by_some_test():
    run = {path.stem.removeprefix("test_") for path in VALUES.parent.glob("test_*.py")} | {"data"}
    assert {case.function.split(".")[0] for case in everything()} <= run
    assert len(cases("data")) > 0


def test_units_are_read():
    assert written(["60 s", "ISO 4", "5 %", 3, "320"]) == [60.0, "ISO 4", 0.05, 3, "320"]
    assert written("21 degC") == pytest.approx(294.15)
    with pytest.raises(ValueError, match="no unit"):
        written("3 furlongs")


@pytest.mark.parametrize(
    "change",
    [
        {"expected": "78.97 mm2/s"},
        {"expected": "78.97 mm2/s", "relative": "0.1 %"},
        {"expected": "30 mm2/s", "factor": 2},
        {"raises": "RangeError"},
        {"inputs": {"cup": "ISO 4", "seconds": "61 s"}},
        {"against": {"seconds": "30 s"}},
    ],
)
def test_a_wrong_value_is_seen(change):
    assert faults(ONE) == []
    assert len(faults(replace(ONE, table=ONE.table | change))) == 1


def test_a_case_without_a_value_is_seen():
    bare = {key: value for key, value in ONE.table.items() if key != "expected"}
    assert faults(replace(ONE, table=bare)) == ["the case expects nothing"]
    for bound, wrong in (("at_least", "80 mm2/s"), ("at_most", "70 mm2/s")):
        assert len(faults(replace(ONE, table=bare | {bound: wrong}))) == 1


def test_lists_must_match_in_length():
    table = {
        "id": "list",
        "inputs": {"parts": [4, 1], "share": 0.1},
        "expected": [4, 1],
        "tolerance": 1e-9,
    }
    assert len(faults(Case("x", "mixing.thinned", table))) == 1
    assert faults(Case("x", "mixing.thinned", table | {"expected": [4, 1, 0.5]})) == []
