"""Any number in any unit: agrees with pint's registry, and survives being written and read.

pint's definitions follow the BIPM SI Brochure and NIST SP 811; it shares no code with this package.
"""

import re

import pint
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from coatwright import units
from coatwright.errors import InputError

REGISTRY = pint.UnitRegistry()

# Our symbol -> pint's name, where they differ.
PINT = {
    "um": "micrometer", "mil": "thou", "yd": "yard", "m2": "m**2", "cm2": "cm**2", "mm2": "mm**2",
    "ft2": "ft**2", "ft3": "ft**3", "in2": "inch**2", "in": "inch", "m3": "m**3", "dL": "deciliter",
    "cL": "centiliter", "L": "liter", "mL": "milliliter", "US gal": "US_liquid_gallon",
    "US qt": "US_liquid_quart", "US pt": "US_pint", "US fl oz": "US_fluid_ounce",
    "UK gal": "imperial_gallon", "UK pt": "imperial_pint", "UK fl oz": "imperial_fluid_ounce",
    "lb": "pound", "oz": "ounce", "min": "minute", "h": "hour", "d": "day", "weeks": "week",
    "months": "month", "mbar": "millibar", "m3/s": "m**3/s", "m3/min": "m**3/minute",
    "m3/h": "m**3/hour", "L/s": "liter/s", "L/min": "liter/minute", "mL/s": "milliliter/s",
    "mL/min": "milliliter/minute", "cfm": "ft**3/minute", "US fl oz/min": "US_fluid_ounce/minute",
    "m/min": "m/minute", "ft/min": "ft/minute", "in/s": "inch/s", "kg/m3": "kg/m**3",
    "kg/L": "kg/liter", "g/mL": "g/milliliter", "g/cm3": "g/cm**3",
    "lb/US gal": "pound/US_liquid_gallon", "g/L": "g/liter", "g/m3": "g/m**3", "mg/m3": "mg/m**3",
    "m2/m3": "m**2/m**3", "m2/L": "m**2/liter", "ft2/US gal": "ft**2/US_liquid_gallon",
    "Pa s": "Pa*s", "mPa s": "mPa*s", "m2/s": "m**2/s", "mm2/s": "mm**2/s", "cSt": "centistokes",
    "cP": "centipoise", "deg": "degree", "": "dimensionless", "%": "percent", "hp": "horsepower",
}  # fmt: skip
SI = {
    "length": "m", "area": "m**2", "volume": "m**3", "mass": "kg", "time": "s", "pressure": "Pa",
    "flow": "m**3/s", "speed": "m/s", "density": "kg/m**3", "concentration": "kg/m**3",
    "spread": "m**2/m**3", "viscosity": "Pa*s", "kinematic viscosity": "m**2/s",
    "surface tension": "N/m", "angle": "radian", "fraction": "dimensionless", "power": "W",
    "count": "dimensionless", "temperature": "kelvin", "temperature difference": "delta_degC",
}  # fmt: skip
DIFFERENCES = {"K": "kelvin", "degC": "delta_degC", "degF": "delta_degF"}
EVERY = [(dimension, symbol) for dimension, rows in units.UNITS.items() for symbol in rows]


def by_pint(value: float, symbol: str, dimension: str) -> float:
    names = DIFFERENCES if dimension == "temperature difference" else PINT
    amount = REGISTRY.Quantity(value, names.get(symbol, symbol))
    return float(amount.to(SI[dimension]).magnitude)


@pytest.mark.parametrize(("dimension", "symbol"), EVERY)
@settings(max_examples=25)  # for each of a hundred units
@given(number=st.floats(-1e6, 1e6).filter(lambda x: x == 0 or abs(x) > 1e-6))
def test_every_unit_agrees_with_pint(dimension, symbol, number):
    si = units.parse(f"{number!r} {symbol}", dimension)
    # Offsets (degF) round at the size of the offset, hence the absolute part.
    assert si == pytest.approx(by_pint(number, symbol, dimension), rel=1e-12, abs=1e-10)


@pytest.mark.parametrize("purpose", units.PURPOSES)
@given(value=st.floats(allow_nan=False, allow_infinity=False, min_value=-1e300, max_value=1e300))
def test_what_is_written_reads_back_as_the_very_same_number(purpose, value):
    dimension = units.dimension_of(purpose)
    text = units.write(value, purpose)
    assert units.parse(text, dimension) == value
    assert re.match(units.pattern(dimension), text)


@pytest.mark.parametrize("dimension", units.DIMENSIONS)
@settings(max_examples=40)
@given(data=st.data())
def test_what_matches_the_pattern_parses(dimension, data):
    text = data.draw(st.from_regex(units.pattern(dimension), fullmatch=True))
    try:
        units.parse(text, dimension)
    except InputError as refusal:  # a pattern cannot count
        assert "beyond any sensible size" in refusal.what  # noqa: PT017
