"""A person's units to SI floats and back: the only converter in the package.

A quantity is written as a number and a unit ("1.8 mm", "29 psi", "4.7 mil"). Bare numbers are
refused, because a gun set to "2" of the wrong unit is a ruined coat.

Factors: BIPM SI Brochure (9th ed.) and NIST SP 811 Appendix B; checked in tests against pint.
"""

import re
from dataclasses import dataclass
from fractions import Fraction
from typing import Final, Literal

from coatwright.errors import InputError
from coatwright.sentences import Said, say

System = Literal["metric", "us"]


@dataclass(frozen=True, slots=True)
class Unit:
    """One unit: its dimension and how to reach SI: si = value * factor + offset."""

    symbol: str
    dimension: str
    factor: float
    offset: float = 0.0


_INCH: Final = 0.0254
_FOOT: Final = 0.3048
_GAL_US: Final = 231 * _INCH**3
_GAL_UK: Final = 4.54609e-3
_POUND: Final = 0.45359237
_PSI: Final = _POUND * 9.80665 / _INCH**2

# fmt: off
_TABLE: Final[dict[str, dict[str, float]]] = {
    "length": {
        "m": 1.0, "dm": 0.1, "cm": 1e-2, "mm": 1e-3, "um": 1e-6,
        "in": _INCH, "ft": _FOOT, "yd": 3 * _FOOT, "mil": _INCH / 1000, "thou": _INCH / 1000,
    },
    "area": {"m2": 1.0, "cm2": 1e-4, "mm2": 1e-6, "ft2": _FOOT**2, "in2": _INCH**2},
    "volume": {
        "m3": 1.0, "ft3": _FOOT**3, "L": 1e-3, "dL": 1e-4, "cL": 1e-5, "mL": 1e-6,
        "US gal": _GAL_US, "US qt": _GAL_US / 4, "US pt": _GAL_US / 8, "US fl oz": _GAL_US / 128,
        "UK gal": _GAL_UK, "UK pt": _GAL_UK / 8, "UK fl oz": _GAL_UK / 160,
    },
    "mass": {"kg": 1.0, "g": 1e-3, "mg": 1e-6, "lb": _POUND, "oz": _POUND / 16},
    "time": {
        "s": 1.0, "min": 60.0, "h": 3600.0, "d": 86400.0, "weeks": 604800.0, "months": 2629800.0,
    },
    "pressure": {"Pa": 1.0, "kPa": 1e3, "MPa": 1e6, "mbar": 100.0, "bar": 1e5, "psi": _PSI},
    "flow": {
        "m3/s": 1.0, "m3/min": 1 / 60, "m3/h": 1 / 3600, "L/s": 1e-3, "L/min": 1e-3 / 60,
        "mL/s": 1e-6, "mL/min": 1e-6 / 60, "cfm": _FOOT**3 / 60, "US fl oz/min": _GAL_US / 128 / 60,
    },
    "speed": {
        "m/s": 1.0, "m/min": 1 / 60, "cm/s": 1e-2, "mm/s": 1e-3, "ft/s": _FOOT, "in/s": _INCH,
        "ft/min": _FOOT / 60,
    },
    "density": {
        "kg/m3": 1.0, "kg/L": 1e3, "g/mL": 1e3, "g/cm3": 1e3, "lb/US gal": _POUND / _GAL_US,
    },
    "concentration": {
        "kg/m3": 1.0, "g/L": 1.0, "g/m3": 1e-3, "mg/m3": 1e-6, "lb/US gal": _POUND / _GAL_US,
    },
    "spread": {"m2/m3": 1.0, "m2/L": 1e3, "ft2/US gal": _FOOT**2 / _GAL_US},
    "viscosity": {"Pa s": 1.0, "mPa s": 1e-3, "cP": 1e-3},
    "kinematic viscosity": {"m2/s": 1.0, "mm2/s": 1e-6, "cSt": 1e-6},
    "surface tension": {"N/m": 1.0, "mN/m": 1e-3},
    "angle": {"rad": 1.0, "deg": 0.017453292519943295},
    "fraction": {"": 1.0, "%": 1e-2, "ppm": 1e-6},
    "power": {"W": 1.0, "kW": 1e3, "hp": 745.6998715822702},
    "count": {"": 1.0},
}

_ALIASES: Final = {
    "µm": "um", "μm": "um", "micron": "um", "microns": "um", "mils": "mil", "inch": "in",
    "inches": "in", '"': "in", "foot": "ft", "feet": "ft", "metre": "m", "metres": "m",
    "meter": "m", "litre": "L", "litres": "L", "liter": "L", "liters": "L", "l": "L", "ml": "mL",
    "cl": "cL", "l/min": "L/min", "ml/min": "mL/min", "ml/s": "mL/s", "l/s": "L/s", "g/l": "g/L",
    "kg/l": "kg/L", "g/ml": "g/mL", "m²": "m2", "m^2": "m2", "sqm": "m2", "ft²": "ft2",
    "ft³": "ft3", "ft^3": "ft3", "cu ft": "ft3",
    "ft^2": "ft2", "sqft": "ft2", "sq ft": "ft2", "sq m": "m2", "m³": "m3", "cc": "mL",
    "cm3": "mL", "cm³": "mL", "ccm": "mL", "fl oz": "US fl oz", "fl.oz": "US fl oz",
    "US floz": "US fl oz", "qt": "US qt", "quart": "US qt", "quarts": "US qt", "sec": "s",
    "secs": "s", "second": "s", "seconds": "s", "mins": "min", "minute": "min", "minutes": "min",
    "hr": "h", "hrs": "h", "hour": "h", "hours": "h", "day": "d", "days": "d", "week": "weeks",
    "month": "months", "grams": "g", "gram": "g", "kilo": "kg", "kilos": "kg", "lbs": "lb",
    "°C": "degC", "C": "degC", "celsius": "degC", "°F": "degF", "F": "degF", "°": "deg",
    "degrees": "deg", "mPa.s": "mPa s", "mPas": "mPa s", "Pa.s": "Pa s", "Pas": "Pa s",
    "percent": "%", "pct": "%", "lb/gal": "lb/US gal", "ft2/gal": "ft2/US gal", "m2/l": "m2/L",
    "mm²/s": "mm2/s", "kg/m³": "kg/m3", "g/cm³": "g/cm3", "US gallon": "US gal",
    "US gallons": "US gal", "UK gallon": "UK gal", "UK gallons": "UK gal",
}

_AMBIGUOUS: Final = {
    "gal": "write US gal or UK gal", "gallon": "write US gal or UK gal",
    "gallons": "write US gal or UK gal", "pt": "write US pt or UK pt",
    "pint": "write US pt or UK pt",
    "M": "write m for metres or mm for millimetres",
}
# fmt: on

UNITS: Final[dict[str, dict[str, Unit]]] = {
    dimension: {symbol: Unit(symbol, dimension, factor) for symbol, factor in rows.items()}
    for dimension, rows in _TABLE.items()
}
UNITS["temperature"] = {
    "K": Unit("K", "temperature", 1.0),
    "degC": Unit("degC", "temperature", 1.0, 273.15),
    "degF": Unit("degF", "temperature", 5 / 9, 273.15 - 32 * 5 / 9),
}
UNITS["temperature difference"] = {
    "K": Unit("K", "temperature difference", 1.0),
    "degC": Unit("degC", "temperature difference", 1.0),
    "degF": Unit("degF", "temperature difference", 5 / 9),
}

DIMENSIONS: Final = tuple(UNITS)

# fmt: off
# What a person sees: (dimension, purpose) -> symbol; purpose "" is the dimension's own default.
_SHOWN: Final[dict[System, dict[str, str]]] = {
    "metric": {
        "length": "mm", "film": "um", "run": "m", "area": "m2", "volume": "L", "dose": "mL",
        "mass": "g", "time": "min", "pressure": "bar", "flow": "mL/min", "air flow": "L/min",
        "speed": "m/s", "density": "kg/L", "concentration": "g/L", "spread": "m2/L",
        "viscosity": "mPa s", "kinematic viscosity": "mm2/s", "surface tension": "mN/m",
        "angle": "deg", "fraction": "%", "power": "kW", "count": "", "temperature": "degC",
        "temperature difference": "degC", "seconds": "s", "hours": "h", "days": "d",
        "room": "m3", "vapour": "ppm",
    },
    "us": {
        "length": "in", "film": "mil", "run": "ft", "area": "ft2", "volume": "US qt",
        "dose": "US fl oz", "mass": "g", "time": "min", "pressure": "psi", "flow": "US fl oz/min",
        "air flow": "cfm", "speed": "ft/s", "density": "lb/US gal", "concentration": "lb/US gal",
        "spread": "ft2/US gal", "viscosity": "mPa s", "kinematic viscosity": "mm2/s",
        "surface tension": "mN/m", "angle": "deg", "fraction": "%", "power": "hp", "count": "",
        "temperature": "degF", "temperature difference": "degF", "seconds": "s", "hours": "h",
        "days": "d", "room": "ft3", "vapour": "ppm",
    },
}
_PURPOSE_DIMENSION: Final = {
    "film": "length", "run": "length", "dose": "volume", "air flow": "flow", "seconds": "time",
    "hours": "time", "days": "time", "room": "volume", "vapour": "fraction",
}
# fmt: on
PURPOSES: Final = tuple(_SHOWN["metric"])

_NUMBER: Final = re.compile(
    r"^\s*([+-]?(?:[0-9]+(?:[.,][0-9]*)?|[.,][0-9]+)(?:[eE][+-]?[0-9]+)?)\s*(.*?)\s*$"
)


def dimension_of(purpose: str) -> str:
    """The dimension behind a display purpose ("film" is a length)."""
    return _PURPOSE_DIMENSION.get(purpose, purpose)


def units_for(dimension: str) -> str:
    """The accepted units of a dimension, as a person would list them."""
    return ", ".join(symbol or "(no unit)" for symbol in UNITS[dimension])


def find_unit(symbol: str, dimension: str) -> Unit:
    """The unit of that symbol in that dimension; InputError names what would be right."""
    table = UNITS[dimension]
    known = symbol if symbol in table else _ALIASES.get(symbol, symbol)
    if known in table:
        return table[known]
    if symbol in _AMBIGUOUS:
        raise InputError(
            say("the unit '{symbol}' is ambiguous", symbol=symbol), instead=_AMBIGUOUS[symbol]
        )
    other = [name for name, rows in UNITS.items() if known in rows and name != dimension]
    if other:
        raise InputError(
            say(
                "'{symbol}' is a unit of {other}, not of {dimension}",
                symbol=symbol,
                other=Said(other[0]),
                dimension=Said(dimension),
            ),
            instead=say("use one of {units}", units=units_for(dimension)),
        )
    raise InputError(
        say("'{symbol}' is not a unit of {dimension}", symbol=symbol, dimension=Said(dimension)),
        instead=say("use one of {units}", units=units_for(dimension)),
    )


def parse(text: str, dimension: str) -> float:
    """A written quantity as an SI float: parse("29 psi", "pressure") -> 199948.0 Pa.

    Accepts a decimal point or comma. Raises InputError with what was found and what would be
    right; never guesses a unit.
    """
    match = _NUMBER.match(text)
    if match is None:
        raise InputError(
            say("'{text}' is not a quantity", text=text),
            instead=say("write a number and a unit, e.g. {example}", example=example(dimension)),
        )
    symbol = " ".join(match.group(2).split())
    if not symbol and "" not in UNITS[dimension]:
        raise InputError(
            say("'{text}' has no unit", text=text.strip()),
            instead=say("write the unit too, e.g. {example}", example=example(dimension)),
        )
    unit = find_unit(symbol, dimension)
    try:
        # Exact until the last rounding, so that "1.8 mm" is the float 0.0018 and files round-trip.
        number = _exact(match.group(1).replace(",", "."))
        return float(number * Fraction(repr(unit.factor)) + Fraction(repr(unit.offset)))
    except OverflowError:
        raise InputError(
            say("'{text}' is beyond any sensible size", text=text[:40]),
            instead=say("write a number of sensible size"),
        ) from None


def _exact(number: str) -> Fraction:
    """A decimal number without rounding; OverflowError before it could take long to compute."""
    mantissa, _, exponent = number.lower().partition("e")
    if len(exponent) > 5 or abs(int(exponent or "0")) > 400 or len(mantissa) > 400:
        raise OverflowError
    return Fraction(mantissa) * Fraction(10) ** int(exponent or "0")


# fmt: off
_EXAMPLES: Final[dict[str, tuple[str, ...]]] = {
    "length": ("85 cm", "33.5 in"), "area": ("2.5 m2",), "volume": ("600 mL", "1 US qt"),
    "room": ("45 m3", "1600 ft3"), "vapour": ("50 ppm",),
    "mass": ("250 g",), "time": ("30 min", "24 h"), "pressure": ("2 bar", "29 psi"),
    "flow": ("180 mL/min",), "speed": ("0.4 m/s",), "density": ("1.35 kg/L",),
    "concentration": ("420 g/L",), "spread": ("10 m2/L",), "viscosity": ("60 mPa s",),
    "kinematic viscosity": ("65 mm2/s",), "surface tension": ("30 mN/m",), "angle": ("10 deg",),
    "film": ("60 um", "2.4 mil"), "air flow": ("350 L/min", "12 cfm"), "fraction": ("55 %",),
    "power": ("2.2 kW",), "count": ("3",),
    "temperature": ("20 degC", "68 degF"), "temperature difference": ("3 degC",),
}
# fmt: on


def examples(purpose: str) -> tuple[str, ...]:
    """Well-written quantities of that purpose or dimension, for messages and the schema."""
    return _EXAMPLES.get(purpose) or _EXAMPLES[dimension_of(purpose)]


def example(dimension: str) -> str:
    """The same as one phrase: '"2 bar" or "29 psi"'."""
    return " or ".join(f'"{text}"' for text in _EXAMPLES[dimension])


def aliases(dimension: str) -> tuple[str, ...]:
    """Other ways to write its units that are understood too."""
    return tuple(alias for alias, symbol in _ALIASES.items() if symbol in UNITS[dimension])


def pattern(dimension: str) -> str:
    """A regular expression that every quantity of that dimension matches, for JSON Schema."""
    table = UNITS[dimension]
    symbols = {*table, *aliases(dimension)} - {""}
    longest_first = sorted(symbols, key=lambda symbol: (-len(symbol), symbol))
    unit = "|".join(
        re.sub(r"([.^$])", r"\\\1", symbol).replace(" ", " +") for symbol in longest_first
    )
    optional = "?" if "" in table else ""
    return rf"^ *[+-]?([0-9]+([.,][0-9]*)?|[.,][0-9]+)([eE][+-]?[0-9]+)? *({unit}){optional} *$"


def express(value: float, symbol: str, dimension: str) -> float:
    """An SI float in a named unit."""
    unit = find_unit(symbol, dimension)
    return (value - unit.offset) / unit.factor


def shown(value: float, purpose: str, system: System = "metric") -> tuple[float, str]:
    """An SI float in the unit a person of that system reads for that purpose."""
    symbol = _SHOWN[system][purpose]
    return express(value, symbol, dimension_of(purpose)), symbol


# What a saved file is written in: a few metric units, so that no number is very long.
_SAVED: Final = {
    "length": ("mm", "m", "um"), "volume": ("L", "mL"), "mass": ("g", "kg"),
    "time": ("min", "s", "h", "d"), "pressure": ("bar", "Pa"), "flow": ("mL/min", "L/min"),
}  # fmt: skip


def write(value: float, purpose: str) -> str:
    """A quantity as text that parses back to exactly the same float (for saved files)."""
    dimension, usual = dimension_of(purpose), _SHOWN["metric"][purpose]
    symbols = dict.fromkeys((usual, *_SAVED.get(dimension, ()), *UNITS[dimension]))
    exact = [text for symbol in symbols if (text := _exactly(value, symbol, dimension))]
    saved = [
        text for text in exact if text.partition(" ")[2] in (usual, *_SAVED.get(dimension, ()))
    ]
    if saved or exact:
        return min(saved or exact, key=_effort)
    unit = next(u for u in UNITS[dimension].values() if u.factor == 1.0 and u.offset == 0.0)
    return f"{value!r} {unit.symbol}".strip()


def _exactly(value: float, symbol: str, dimension: str) -> str:
    text = f"{express(value, symbol, dimension):.12g} {symbol}".strip()
    return text if parse(text, dimension) == value else ""


def _effort(text: str) -> int:
    """How hard it is to read: 600 mL is easier than 0.6 L, 1.8 mm than 1800 um."""
    digits = len(text.partition(" ")[0].partition(".")[0])
    return len(text) + ("." in text) + text.startswith("0.") + 2 * (digits > 4)
