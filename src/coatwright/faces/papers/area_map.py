"""The map of areas: a numbered field for each, all to one scale, painted ones hatched."""

import math
from collections.abc import Sequence
from typing import Final, NamedTuple

from coatwright.faces.drawing.ink import hatch
from coatwright.faces.drawing.svg import SMALL, WIDTH, label, picture, tag

_GAP: Final = 5.0
_TALL: Final = 64.0
_LEAST: Final = 18.0


class Field(NamedTuple):
    """One area: number, surface [m2], whether anything of ours lies on it."""

    number: int
    surface: float
    painted: bool


def area_map(fields: Sequence[Field], description: str, title: str = "Map of areas") -> str:
    """The map as SVG. Fields stand in the order of the list, row after row."""
    largest = max((field.surface for field in fields), default=1.0) or 1.0
    made, x, y, row = [], 1.0, 1.0, 0.0
    for field in fields:
        side = max(_TALL * math.sqrt(field.surface / largest), _LEAST)
        if x + side > WIDTH - 1:
            x, y, row = 1.0, y + row + _GAP, 0.0
        made.append(_drawn(field, x, y, side))
        x, row = x + side + _GAP, max(row, side)
    pattern = tag("defs", hatch("laid", 6.0, 0.8))
    return picture("areas", title, description, y + row + 1, pattern, *made)


def _drawn(field: Field, x: float, y: float, side: float) -> str:
    box = {"x": x, "y": y, "width": side, "height": side}
    fill = "url(#laid)" if field.painted else "none"
    text = str(field.number)
    plate = {"x": x + 2, "y": y + 2, "width": 7.0 * len(text) + 3, "height": 13.0}
    return (
        tag("rect", fill=fill, stroke="currentColor", stroke_width=1, **box)
        + tag("rect", fill="#fff", **plate)
        + label(text, x + 4, y + 12, size=SMALL, font_weight="bold")
    )
