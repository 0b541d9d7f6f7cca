"""How a sentence is told to one reader: their language, their way of writing numbers, their units.

Data files and plans speak metric and English. A sentence made with coatwright.sentences is told by
its template; the quantities it names ("3 degC", "0.5 bar") are turned into the reader's units here,
after translation, so that no sentence has to be written twice. People's own words pass untouched.
"""

import re
from collections.abc import Callable
from dataclasses import dataclass
from typing import Final

from coatwright.sentences import Translate

# Metric symbol of prose -> (its symbol in units.py, what it is shown as).
_READ_AS: Final = {
    "um": ("um", "film"), "µm": ("um", "film"), "mm": ("mm", "length"), "cm": ("cm", "length"),
    "m": ("m", "run"), "m2": ("m2", "area"), "m²": ("m2", "area"), "m3": ("m3", "room"),
    "m³": ("m3", "room"), "mL": ("mL", "dose"), "L": ("L", "volume"), "kg": ("kg", "weight"),
    "bar": ("bar", "pressure"), "mL/min": ("mL/min", "flow"), "L/min": ("L/min", "air flow"),
    "m3/h": ("m3/h", "air flow"), "m/s": ("m/s", "speed"), "kg/L": ("kg/L", "density"),
    "g/L": ("g/L", "concentration"), "m2/L": ("m2/L", "spread"),
    "degC": ("degC", "temperature"), "°C": ("degC", "temperature"),
    "K": ("K", "temperature difference"),
}  # fmt: skip

_SYMBOLS: Final = "|".join(sorted(map(re.escape, _READ_AS), key=len, reverse=True))
_ONE: Final = r"[-+\N{MINUS SIGN}]?\d+(?:[.,]\d+)*"
_BETWEEN: Final = r" to | bis | and | und | instead of | statt |-|\N{EN DASH}"
_QUANTITY: Final = re.compile(
    rf"(?<![\w.,/])({_ONE})((?:{_BETWEEN})({_ONE}))?"
    rf"[ \N{{NO-BREAK SPACE}}-]({_SYMBOLS})(?![\w/²³])"
)

# After these a temperature is how far one is from another, not a temperature.
_APART: Final = re.compile(
    r"\s*(?:above (?:the |its )?(?:dew|shop|room|air)|over (?:the )?dew|from the dew|below the dew"
    r"|(?:warmer|colder|higher|lower|less|more|hotter)\b"
    r"|über (?:dem )?Taupunkt|vom Taupunkt|(?:wärmer|kälter|höher|tiefer|weniger|mehr)\b)"
)

Shown = Callable[[float, int, str, str], str]
"""A metric number as the reader sees it: value, decimals, symbol in units.py, purpose -> text."""


@dataclass(frozen=True, slots=True)
class Tongue:
    """A reader's language: its key, its catalogue, and which sign splits off decimals."""

    key: str = "en"
    translate: Translate = str
    decimal: str = "."

    def number(self, text: str) -> str:
        """A number written with a point, as this language writes it."""
        if self.decimal == ".":
            return text
        return text.translate(_SWAPPED).replace("%", "\N{NO-BREAK SPACE}%")


ENGLISH: Final = Tongue()
_SWAPPED: Final = str.maketrans(",.", ".,")


def quantities(text: str, decimal: str, shown: Shown) -> str:
    """A text with every metric quantity in it put anew."""

    def put(found: re.Match[str]) -> str:
        symbol, purpose = _READ_AS[found[4]]
        if symbol == "degC" and _APART.match(text, found.end()):
            symbol, purpose = "K", "temperature difference"
        first = shown(*_read(found[1], decimal), symbol, purpose)
        if not found[2]:
            return first
        between = found[2][: -len(found[3])]
        second = shown(*_read(found[3], decimal), symbol, purpose)
        number, _, unit = first.rpartition("\N{NO-BREAK SPACE}")
        same = second.endswith(unit)
        return f"{number if same else first}{between}{second}"

    return _QUANTITY.sub(put, text)


def _read(number: str, decimal: str) -> tuple[float, int]:
    """A number of prose and how many decimals it has."""
    plain = number.replace("\N{MINUS SIGN}", "-")
    if decimal != ".":
        plain = plain.translate(_SWAPPED)
    return float(plain.replace(",", "")), len(plain.partition(".")[2])
