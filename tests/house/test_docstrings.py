"""Every public engine function says what it takes, in which unit, and where it comes from."""

import ast
import re
from functools import cache

import pytest

from house import docstrings, source
from house.test_sources import source_keys

ENGINES = source.PACKAGE / "engines"
FUNCTIONS = docstrings.public_functions(ENGINES)
each_function = pytest.mark.parametrize(
    "node",
    [pytest.param(node, id=f"{place.file.parent.name}.{node.name}") for place, node in FUNCTIONS],
)
VOCABULARY = source.ROOT / "docs" / "vocabulary.md"


@cache
def vocabulary() -> dict[str, set[str]]:
    """Names (in backticks) in the table of docs/vocabulary.md, and the units beside them."""
    rows = re.findall(r"^\|(.*`.*)\|[^|]*\|([^|]*)\|$", VOCABULARY.read_text(), re.MULTILINE)
    return {
        name: {unit.strip() for unit in units.split(",") if unit.strip()}
        for names, units in rows
        for name in re.findall(r"`(\w+)`", names)
    }


@pytest.fixture(scope="module")
def keys():
    return set(source_keys())


@pytest.fixture(scope="module")
def stated():
    return docstrings.records(ENGINES)


@each_function
def test_contract(node, keys, stated):
    assert docstrings.faults(node, keys, stated) == []


@each_function
def test_the_check_it_names_exists(node):
    checked = docstrings.read(ast.get_docstring(node) or "").sections.get("Checked", "")
    named = re.findall(r"tests/[\w./-]+\w", checked)
    assert [name for name in named if not (source.ROOT / name).exists()] == []


def test_every_name_stands_in_the_vocabulary():
    used = {name for _, node in FUNCTIONS for name in source.parameters(node)}
    assert used == vocabulary().keys()


@each_function
def test_units_are_those_of_the_vocabulary(node):
    listed = vocabulary()
    stated = docstrings.read(ast.get_docstring(node) or "").parameters
    strange = {
        name: docstrings.units(text) - listed[name]
        for name, text in stated.items()
        if docstrings.units(text) - listed[name]
    }
    assert strange == {}


GOOD = '''
def film(flow: float, name: str) -> float:
    """Film.

    Parameters
    ----------
    flow : float [m3/s]
        Paint.
    name : str
        Which.

    Returns
    -------
    float [m]
        Film.

    Source
        some-key, table 2.
    """
'''


def test_a_good_one_passes():
    assert docstrings.faults(ast.parse(GOOD).body[0], {"some-key"}, {}) == []


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("flow : float [m3/s]", "stream : float [m3/s]"),
        ("flow : float [m3/s]", "flow : float"),
        ("flow : float [m3/s]", "flow : float [litres]"),
        ("float [m]", "float"),
        ("some-key, table 2.", "another-key."),
        ("some-key, table 2.", "some-key, iso-99999."),
        ("    Source\n        some-key, table 2.\n", ""),
        ("flow: float", "flow: float, more: float"),
    ],
)
def test_breach_is_seen(old, new):
    assert old in GOOD
    assert docstrings.faults(ast.parse(GOOD.replace(old, new)).body[0], {"some-key"}, {}) != []


@pytest.mark.parametrize("unit", ["-", "m", "1/m2", "J/(mol K)", "kg/m3", "Pa s", "m, m, -"])
def test_unit(unit):
    assert docstrings.is_unit(unit)


@pytest.mark.parametrize("unit", ["mm", "0", "index", "litres", "m3/min", "bar"])
def test_no_unit(unit):
    assert not docstrings.is_unit(unit)
