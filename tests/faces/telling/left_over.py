"""What a text must not hold: English for a German reader, metric units for a reader of US units."""

import re
from collections.abc import Iterable

from coatwright.faces.format import polish

ENGLISH = re.compile(
    r"\b(the|and|of|is|with|for|not|to|from|at|by|are|it|its|that|than|be|or|has|have|this|"
    r"coats?|paint|sheets?|metal|colour|lacquer|hardener|thinner|primer|gun|mix)\b",
    re.IGNORECASE,
)
"""Words that no German sentence of the trade has."""

METRIC = re.compile(
    r"(?<![\w.,])\d[\d.,]*[  ]?(°C|degC|µm|um|mL|cL|L|bar|mm|cm|m|kg|m²|m2|m³|m3|L/min|mL/min|m/s"
    r"|kPa|kg/L|g/L|m²/L|K)(?![\w/²³])"
)
AS_SOLD = re.compile(r"\d+ × [\d.]+ m?L")
"""Packs, by what stands on the tin."""

KEY = re.compile(r"\b[a-z]+(-[a-z0-9]+){2,}\b")
"""The key of something, as files name it."""


def own_words(named: Iterable[str]) -> list[str]:
    """What people called things, as it is printed, longest first."""
    read = {" ".join(polish(name).split()) for name in named if name}
    return sorted(read, key=len, reverse=True)


def others(text: str, own: Iterable[str]) -> str:
    """A text without people's own words."""
    for name in own:
        text = text.replace(name, "…")
    return KEY.sub("…", text)
