"""What to measure on each shape: a small drawing with the lengths named where the tape goes."""

from typing import Final

from markupsafe import Markup

_BODY: Final = 'fill="var(--raised)" stroke="currentColor" stroke-width="2"'
_EDGE: Final = 'fill="none" stroke="currentColor" stroke-width="2"'
_TAPE: Final = 'fill="none" stroke="var(--accent)" stroke-width="2.5"'

# Letters stand where the tape goes, in the order of the shape's lengths.
_DRAWN: Final[dict[str, tuple[str, tuple[tuple[str, float, float], ...]]]] = {
    "flat": (
        f'<path d="M20 20H140V90H20Z" {_BODY}/><path d="M20 104H140M150 20V90" {_TAPE}/>',
        (("a", 76, 119), ("b", 155, 60)),
    ),
    "strip": (
        f'<path d="M14 46H146V66H14Z" {_BODY}/><path d="M14 80H146M152 46V66" {_TAPE}/>',
        (("a", 76, 96), ("b", 156, 60)),
    ),
    "channel": (
        f'<path d="M20 30L46 50H114L140 30V76L114 96H46L20 76Z" {_BODY}/>'
        f'<path d="M46 50V96M114 50V96" {_EDGE}/><path d="M46 108H114M10 30V76" {_TAPE}/>'
        f'<path d="M52 56L68 90" {_TAPE} stroke-dasharray="4 3"/>',
        (("a", 70, 78), ("b", 76, 122), ("c", 0, 57)),
    ),
    "box section": (
        f'<path d="M20 46H60V96H20ZM20 46L80 18H124L60 46M124 18V62L60 96" {_BODY}/>'
        f'<path d="M70 104L134 70M20 108H60M12 46V96" {_TAPE}/>',
        (("a", 108, 98), ("b", 34, 122), ("c", 0, 74)),
    ),
    "tube": (
        f'<path d="M26 40H134A10 18 0 0 1 134 76H26" {_BODY}/>'
        f'<ellipse cx="26" cy="58" rx="10" ry="18" {_BODY}/>'
        f'<path d="M26 90H134M8 40V76" {_TAPE}/>',
        (("a", 76, 106), ("b", 0, 62)),
    ),
    "curved panel": (
        f'<path d="M20 84Q80 14 140 84L126 100Q80 40 34 100Z" {_BODY}/>'
        f'<path d="M34 108H126M80 52V100M18 90L30 106" {_TAPE}/>',
        (("a", 8, 108), ("b", 76, 122), ("c", 86, 84)),
    ),
    "dome": (
        f'<path d="M24 84A56 50 0 0 1 136 84Z" {_BODY}/><path d="M24 96H136M80 36V84" {_TAPE}/>',
        (("a", 76, 112), ("b", 86, 66)),
    ),
    "aperture ring": (
        f'<path fill-rule="evenodd" d="M14 12H146V104H14ZM36 30H124V86H36Z" {_BODY}/>'
        f'<path d="M36 94H124M130 30V86M36 42Q36 30 48 30M14 58H36" {_TAPE}/>',
        (("a", 76, 100), ("b", 134, 62), ("c", 44, 48), ("d", 20, 52)),
    ),
}


def shape_picture(kind: str) -> Markup:
    """The drawing of a shape; what it means stands beside it in words."""
    body, letters = _DRAWN[kind]
    marks = "".join(
        f'<text x="{x}" y="{y}" font-size="15" font-weight="700" fill="var(--accent)">{name}</text>'
        for name, x, y in letters
    )
    return Markup(
        f'<svg viewBox="-4 0 172 126" class="shape" aria-hidden="true" focusable="false">'
        f"{body}{marks}</svg>"
    )


def letter(number: int) -> str:
    """The letter of a length in its drawing."""
    return "abcd"[number]
