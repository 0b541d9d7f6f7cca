"""Errors: the one sentence, and the tree that callers rely on."""

import pytest

from coatwright import errors


@pytest.mark.parametrize(("parts", "sentence"), [
    ({"what": "the gun is too far"}, "the gun is too far"),
    ({"what": "the gun is too far", "where": "roof"}, "roof: the gun is too far"),
    ({"what": "the gun is too far", "instead": "keep to 20 cm"},
     "the gun is too far; keep to 20 cm"),
    ({"what": "the gun is too far", "where": "roof", "instead": "keep to 20 cm"},
     "roof: the gun is too far; keep to 20 cm"),
])  # fmt: skip
@pytest.mark.parametrize(
    "kind",
    [
        errors.CoatwrightError,
        errors.RangeError,
        errors.NotConverged,
        errors.Infeasible,
        errors.NotFound,
    ],
)
def test_one_sentence_of_three_parts(kind, parts, sentence):
    what = parts["what"]
    fault = kind(what, **{name: text for name, text in parts.items() if name != "what"})
    assert fault.sentence == sentence
    assert str(fault) == sentence


@pytest.mark.parametrize(("place", "where"), [
    ({}, ""),
    ({"file": "job.toml"}, "job.toml: "),
    ({"file": "job.toml", "line": 7}, "job.toml:7: "),
    ({"file": "job.toml", "line": 7, "field": "areas[1] > count"},
     "job.toml:7, areas[1] > count: "),
    ({"line": 7}, "7: "),
    ({"field": "count"}, "count: "),
])  # fmt: skip
def test_input_error_names_its_place(place, where):
    fault = errors.InputError("0 is out of range", instead="it must be at least 1", **place)
    assert str(fault) == f"{where}0 is out of range; it must be at least 1"


def test_all_faults_of_a_file_on_lines_of_their_own():
    faults = [errors.InputError("a", file="x", line=line) for line in (1, 2)]
    together = errors.InputErrors(faults)
    assert together.faults == tuple(faults)
    assert str(together) == "x:1: a\nx:2: a"


@pytest.mark.parametrize(("kind", "builtin"), [
    (errors.InputError, ValueError),
    (errors.InputErrors, errors.InputError),
    (errors.RangeError, ValueError),
    (errors.NotConverged, ArithmeticError),
    (errors.NotFound, LookupError),
    (errors.Infeasible, errors.CoatwrightError),
])  # fmt: skip
def test_who_catches_what(kind, builtin):
    assert issubclass(kind, builtin)
    assert issubclass(kind, errors.CoatwrightError)


def test_the_tree_in_the_docstring_names_every_class():
    classes = {name for name, thing in vars(errors).items() if isinstance(thing, type)}
    classes -= {"Sequence"}
    assert [name for name in classes if name not in errors.__doc__] == []
