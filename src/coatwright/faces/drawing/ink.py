"""Colours and patterns: the viridis family for film, and a pattern for every kind of coating.

A family keeps its colour and pattern on every page. Colours run from dark at the metal to light
at the finish, so they stay in order when printed in black and white, and the patterns tell them
apart for eyes that colour does not help.

Source of the colour map: viridis of Matplotlib (CC0), nine stops of it, from memory.
"""

from functools import cache
from importlib.resources import files
from typing import Final

from coatwright.faces.drawing.svg import tag

_VIRIDIS: Final = (
    (0x44, 0x01, 0x54), (0x47, 0x2D, 0x7B), (0x3B, 0x52, 0x8B), (0x2C, 0x72, 0x8E),
    (0x21, 0x91, 0x8C), (0x28, 0xAE, 0x80), (0x5E, 0xC9, 0x62),
    (0xAD, 0xDC, 0x30), (0xFD, 0xE7, 0x25),
)  # fmt: skip

# family -> (place on the colour map: usual place in a system, metal up; pattern)
_FAMILIES: Final[dict[str, tuple[float, str]]] = {
    "metal pre-treatment": (0.00, "plain"), "GRP pre-treatment": (0.00, "dots"),
    "plastic adhesion promoter": (0.04, "upright"), "rust converter": (0.04, "bricks"),
    "etch primer": (0.10, "plain"), "epoxy primer": (0.24, "dots"),
    "polyester filler": (0.34, "bricks"), "sprayable polyester": (0.40, "zigzag"),
    "seam sealer": (0.46, "rings"), "two-pack high-build primer": (0.55, "level"),
    "stone-chip": (0.60, "rings"), "bitumen underseal": (0.30, "rings"),
    "sealer": (0.68, "upright"),
    "solvent basecoat": (0.78, "zigzag"), "waterborne basecoat": (0.80, "rings"),
    "cellulose": (0.82, "bricks"), "synthetic enamel": (0.84, "zigzag"),
    "thermoplastic acrylic": (0.82, "dots"), "two-pack solid colour": (0.88, "plain"),
    "two-pack lacquer": (1.00, "dots"), "cavity wax": (0.95, "level"),
}  # fmt: skip
_USUAL: Final = (0.5, "bricks")

_OLD: Final = "#9a948a"

# pattern -> (width, height, path data); drawn in white on dark bands and in black on light ones.
_PATTERNS: Final[dict[str, tuple[float, float, str]]] = {
    "dots": (6, 6, "M1.5 1.5h.01M4.5 4.5h.01"),
    "level": (8, 5, "M0 1.5H5M4 4H8M0 4H1"),
    "upright": (6, 6, "M3 0V6"),
    "zigzag": (8, 6, "M0 5L4 1L8 5"),
    "bricks": (10, 8, "M0 0H10M0 4H10M2 0V4M7 4V8"),
    "rings": (8, 8, "M4 2a2 2 0 1 0 .01 0"),
}


def viridis(share: float) -> str:
    """The colour at that share (0 to 1) of the map, as #rrggbb."""
    place = min(max(share, 0.0), 1.0) * (len(_VIRIDIS) - 1)
    index = min(int(place), len(_VIRIDIS) - 2)
    rest = place - index
    mixed = (
        round(a + (b - a) * rest) for a, b in zip(_VIRIDIS[index], _VIRIDIS[index + 1], strict=True)
    )
    return "#" + "".join(f"{channel:02x}" for channel in mixed)


def family_colour(family: str, old: bool = False) -> str:
    """The colour of a kind of coating; old layers are grey."""
    return _OLD if old else viridis(_FAMILIES.get(family, _USUAL)[0])


def family_pattern(family: str, old: bool = False) -> str:
    """The name of its pattern; old layers are stippled."""
    return "dots" if old else _FAMILIES.get(family, _USUAL)[1]


def pattern(name: str, kind: str, light: bool) -> str:
    """The definition of one pattern under that id."""
    width, height, data = _PATTERNS[kind]
    stroke = "#000" if light else "#fff"
    drawn = tag(
        "path", d=data, fill="none", stroke=stroke, stroke_width=1.6 if kind == "dots" else 0.9,
        stroke_linecap="round", stroke_opacity="0.6",
    )  # fmt: skip
    return tag("pattern", drawn, id=name, width=width, height=height, patternUnits="userSpaceOnUse")


def hatch(name: str, gap: float = 5.0, weight: float = 1.0, angle: int = 45) -> str:
    """Slanting lines in the page's ink: what is rubbed off, or metal cut through."""
    drawn = tag("path", d=f"M0 0V{gap}", stroke="currentColor", stroke_width=weight)
    return tag(
        "pattern", drawn, id=name, width=gap, height=gap, patternUnits="userSpaceOnUse",
        patternTransform=f"rotate({angle})",
    )  # fmt: skip


def is_light(colour: str) -> bool:
    """Whether black reads better than white on it (relative luminance, WCAG 2)."""
    return luminance(colour) > 0.18


def luminance(colour: str) -> float:
    """Relative luminance of #rrggbb, WCAG 2."""
    channels = [int(colour[start : start + 2], 16) / 255 for start in (1, 3, 5)]
    straight = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in channels]
    return 0.2126 * straight[0] + 0.7152 * straight[1] + 0.0722 * straight[2]


@cache
def look() -> str:
    """The colours and typefaces of every page, as a style sheet."""
    return (files("coatwright.faces.drawing") / "look.css").read_text(encoding="utf-8")
