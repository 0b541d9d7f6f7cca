"""Units: what a person writes, what is refused and how, and what a saved file looks like."""

import math
import re

import pytest

from coatwright import units
from coatwright.errors import InputError

EVERY = [(dimension, symbol) for dimension, rows in units.UNITS.items() for symbol in rows]


@pytest.mark.parametrize(("dimension", "symbol"), EVERY)
def test_express_undoes_parse(dimension, symbol):
    si = units.parse(f"12.5 {symbol}", dimension)
    assert units.express(si, symbol, dimension) == pytest.approx(12.5, rel=1e-12)


@pytest.mark.parametrize(("text", "dimension", "si"), [
    ("1.8 mm", "length", 0.0018),
    ("1,8mm", "length", 0.0018),
    (" 4.7 mil ", "length", 4.7 * 25.4e-6),  # NIST SP 811 B.8: 1 mil = 2.54 E-05 m
    ("29 psi", "pressure", 29 * 6894.757293168),  # NIST SP 811 B.8: 6.894 757 E+03
    ("1 US gal", "volume", 3.785411784e-3),  # NIST SP 811 B.8: 3.785 412 E-03
    ("1 UK gal", "volume", 4.54609e-3),  # NIST SP 811 B.8: 4.546 09 E-03
    ("68 °F", "temperature", 293.15),  # SP 811 B.8: T = (t + 459.67)/1.8
    ("20 C", "temperature", 293.15),
    ("55 %", "fraction", 0.55),
    ("0.55", "fraction", 0.55),
    ("12 cfm", "flow", 12 * 4.719474432e-4),  # NIST SP 811 B.8: 4.719 474 E-04
    ("2e1 µm", "length", 20e-6),
    ("5  US   fl oz", "volume", 5 * 29.5735295625e-6),  # SP 811 B.8: 2.957 353 E-05
])  # fmt: skip
def test_what_a_person_writes(text, dimension, si):
    assert units.parse(text, dimension) == pytest.approx(si, rel=1e-12)


REFUSED = [
    ("2", "pressure", "'2' has no unit; write the unit too, e.g. \"2 bar\" or \"29 psi\""),
    ("", "length",
     "'' is not a quantity; write a number and a unit, e.g. \"85 cm\" or \"33.5 in\""),
    ("thick", "length",
     "'thick' is not a quantity; write a number and a unit, e.g. \"85 cm\" or \"33.5 in\""),
    ("1 gal", "volume", "the unit 'gal' is ambiguous; write US gal or UK gal"),
    ("1 pint", "volume", "the unit 'pint' is ambiguous; write US pt or UK pt"),
    ("1 M", "length",
     "the unit 'M' is ambiguous; write m for metres or mm for millimetres"),
    ("2 mm", "pressure",
     "'mm' is a unit of length, not of pressure; use one of Pa, kPa, MPa, mbar, bar, psi"),
    ("2 furlong", "speed",
     "'furlong' is not a unit of speed; use one of m/s, m/min, cm/s, mm/s, ft/s, in/s, ft/min"),
    ("3 m4", "area", "'m4' is not a unit of area; use one of m2, cm2, mm2, ft2, in2"),
    ("1e999 m", "length",
     "'1e999 m' is beyond any sensible size; write a number of sensible size"),
    ("1e400 m", "length",
     "'1e400 m' is beyond any sensible size; write a number of sensible size"),
    ("nan m", "length",
     "'nan m' is not a quantity; write a number and a unit, e.g. \"85 cm\" or \"33.5 in\""),
]  # fmt: skip


@pytest.mark.parametrize(("text", "dimension", "sentence"), REFUSED)
def test_refused_word_for_word(text, dimension, sentence):
    with pytest.raises(InputError) as caught:
        units.parse(text, dimension)
    assert caught.value.sentence == sentence


def test_a_huge_exponent_is_refused_at_once():
    with pytest.raises(InputError, match="beyond any sensible size"):
        units.parse("1e999999999999 mm", "length")


@pytest.mark.parametrize(("value", "purpose", "text"), [
    (0.0018, "length", "1.8 mm"),
    (6e-5, "film", "60 um"),
    (1e-4, "film", "100 um"),
    (0.85, "length", "850 mm"),
    (10.0, "length", "10 m"),
    (6e-4, "volume", "600 mL"),
    (1e-3, "volume", "1 L"),
    (4e-3, "air flow", "240 L/min"),
    (80e3, "pressure", "0.8 bar"),
    (0.5, "pressure", "0.5 Pa"),
    (864000.0, "time", "10 d"),
    (1800.0, "time", "30 min"),
    (18.0, "time", "18 s"),
    (0.07, "fraction", "7 %"),
    (292.15, "temperature", "19 degC"),
    (math.radians(5), "angle", "5 deg"),
])  # fmt: skip
def test_written_as_a_person_would(value, purpose, text):
    assert units.write(value, purpose) == text


@pytest.mark.parametrize("dimension", units.DIMENSIONS)
def test_examples_and_every_accepted_unit_match_the_pattern(dimension):
    pattern = re.compile(units.pattern(dimension))
    for text in units.examples(dimension):
        units.parse(text, dimension)
        assert pattern.match(text)
    for symbol in [*units.UNITS[dimension], *units.aliases(dimension)]:
        assert pattern.match(f"1.5 {symbol}"), symbol
        units.parse(f"1.5 {symbol}", dimension)


@pytest.mark.parametrize("text", ["1.8", "1.8 gal", "mm", "1.8 mm wide", "1..8 mm", "x 1 mm"])
def test_the_pattern_refuses(text):
    assert re.match(units.pattern("length"), text) is None


def test_shown_in_the_unit_of_the_reader():
    assert units.shown(60e-6, "film") == (pytest.approx(60), "um")
    assert units.shown(25.4e-6, "film", "us") == (pytest.approx(1), "mil")
    assert units.shown(293.15, "temperature", "us") == (pytest.approx(68), "degF")


@pytest.mark.parametrize("system", ["metric", "us"])
@pytest.mark.parametrize("purpose", units.PURPOSES)
def test_every_purpose_is_shown_in_a_unit_of_its_dimension(purpose, system):
    value, symbol = units.shown(1.0, purpose, system)
    dimension = units.dimension_of(purpose)
    assert units.parse(f"{value!r} {symbol}", dimension) == pytest.approx(1.0, rel=1e-12)
