"""The test card at true size: print it at 100 %, and its 50 mm bar is 50 mm long."""

from collections.abc import Iterable
from html import escape
from itertools import pairwise
from typing import TYPE_CHECKING, Final

from coatwright.faces.drawing.svg import tag

if TYPE_CHECKING:
    from coatwright.engines.card.layout import Box, Layout

_FIELDS: Final = (
    ("gun", "tip", "cap or fan turns"), ("bar, trigger pulled", "distance", "fluid turns"),
    ("paint, thinned", "trigger, seconds", "date, hand"),
)  # fmt: skip
_TITLE: Final = "Coatwright test card"
_BURST: Final = "Burst: aim at the cross, fan lying along the arrows, trigger under a second."
_PASS: Final = "Pass: cover both strips to the dashed lines, then one stroke straight down."
_PALE: Final = "Stop while the paper still shows through. Dab the ring till it hides."
_PRINT: Final = "Print at 100 %. This bar is 50 mm."


def card_svg(card: "Layout") -> str:
    """The card as an SVG picture in millimetres, ready for a page of that size."""
    width, height = _mm(card.width), _mm(card.height)
    return tag(
        "svg",
        tag("title", escape(f"{_TITLE}, {card.paper}")),
        tag("rect", x=0, y=0, width=width, height=height, fill="#ffffff"),
        *_markers(card),
        *_greys(card),
        *_aim(card),
        *_dab(card),
        *_words(card),
        xmlns="http://www.w3.org/2000/svg",
        width=f"{width}mm",
        height=f"{height}mm",
        viewBox=f"0 0 {width} {height}",
        font_family="sans-serif",
    )


def _mm(length: float) -> str:
    """A length in millimetres, to a micrometre: places on the card are exact."""
    return f"{1e3 * length:.3f}".rstrip("0").rstrip(".")


def _rect(box: "Box", **attributes: object) -> str:
    x, y, width, height = (_mm(side) for side in box)
    return tag("rect", x=x, y=y, width=width, height=height, **attributes)


def _line(x1: float, y1: float, x2: float, y2: float, **attributes: object) -> str:
    ends = dict(zip(("x1", "y1", "x2", "y2"), map(_mm, (x1, y1, x2, y2)), strict=True))
    attributes = {"stroke": "#000000", "stroke_width": "0.25"} | attributes
    return tag("line", **ends, **attributes)


def _text(words: str, x: float, y: float, size: float = 2.8, **attributes: object) -> str:
    return tag("text", escape(words), x=_mm(x), y=_mm(y), font_size=f"{size}", **attributes)


def _markers(card: "Layout") -> Iterable[str]:
    """Every black run of cells as one bar; each reaches a hair into the row below it."""
    for marker in card.markers:
        cell = marker.box.width / len(marker.cells)
        for row, cells in enumerate(marker.cells):
            for first, last in _runs(cells):
                deep = cell if row == len(marker.cells) - 1 else cell * 1.02
                yield tag(
                    "rect",
                    x=_mm(marker.box.x + first * cell),
                    y=_mm(marker.box.y + row * cell),
                    width=_mm((last - first) * cell),
                    height=_mm(deep),
                    fill="#000000",
                    shape_rendering="crispEdges",
                )


def _runs(cells: tuple[bool, ...]) -> list[tuple[int, int]]:
    edges = [0, *(i for i in range(1, len(cells)) if cells[i] != cells[i - 1]), len(cells)]
    return [(first, last) for first, last in pairwise(edges) if cells[first]]


def _greys(card: "Layout") -> Iterable[str]:
    for grey in card.greys:
        level = round(255 * _encoded(grey.reflectance))
        yield _rect(grey.box, fill=f"#{level:02x}{level:02x}{level:02x}")


def _encoded(linear: float) -> float:
    """The sRGB value of a reflectance (IEC 61966-2-1)."""
    return 12.92 * linear if linear <= 0.0031308 else 1.055 * linear ** (1 / 2.4) - 0.055


def _aim(card: "Layout") -> Iterable[str]:
    box, band = card.cross, card.band
    x, y = box.x + box.width / 2, box.y + box.height / 2
    yield _line(box.x, y, box.x + box.width, y, stroke="#777777")
    yield _line(x, box.y, x, box.y + box.height, stroke="#777777")
    for fold in (band.y, band.y + band.height):
        yield _line(0.004, fold, card.width - 0.004, fold, stroke="#777777", stroke_dasharray="2 2")
    for end, inward in ((0.004, 1), (card.width - 0.004, -1)):
        for side in (-1, 1):
            yield _line(end, y, end + inward * 0.004, y + side * 0.002)


def _dab(card: "Layout") -> Iterable[str]:
    dab = card.dab
    x, y = dab.x + dab.width / 2, dab.y + dab.height / 2
    yield tag(
        "circle", cx=_mm(x), cy=_mm(y), r=_mm(dab.width / 2 - 0.0005), fill="none",
        stroke="#777777", stroke_width="0.25",
    )  # fmt: skip
    yield _rect(card.bar, fill="#000000")
    yield _text(_PRINT, card.bar.x, card.bar.y + 0.0085)
    yield _text(_PALE, card.bar.x - 0.026, card.bar.y - 0.007, 2.4)


def _words(card: "Layout") -> Iterable[str]:
    left, right = card.written[:2]
    yield _text(_TITLE, left.x, left.y + 0.004, 4.2, font_weight="bold")
    yield _text(_BURST, left.x, left.y + 0.009, 2.6)
    yield _text(_PASS, left.x, left.y + 0.0135, 2.6)
    column, row = right.width / len(_FIELDS), right.height / len(_FIELDS[0])
    for i, names in enumerate(_FIELDS):
        for j, name in enumerate(names):
            x, y = right.x + i * column, right.y + (j + 1) * row
            yield _text(name, x, y - 0.0008, 2.2)
            yield _line(x, y, x + column - 0.002, y, stroke="#777777", stroke_width="0.2")
