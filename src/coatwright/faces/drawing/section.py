"""The section: layers as bands to scale from the metal up, the ruler, and what rubbing takes.

The stack stands as the finished film stands, so its height is what a film gauge would read. What
rubbing takes off a layer is drawn hatched to the left of the stack, at the height at which it
stood before the next layer covered the place.
"""

from collections.abc import Sequence
from typing import Final, NamedTuple

from coatwright.faces.drawing.ink import family_colour, family_pattern, hatch, is_light, pattern
from coatwright.faces.drawing.svg import (
    SMALL,
    TEXT,
    label,
    line,
    number,
    picture,
    spread_apart,
    step_for,
    tag,
    ticks,
    wrap,
)
from coatwright.faces.format import Words, unit_of
from coatwright.figures import Figure
from coatwright.planning.plan import SectionBand
from coatwright.sentences import Said
from coatwright.units import express, shown

_RULER: Final = 46.0
_COLUMN: Final = (94.0, 176.0)
_LANE: Final = 20.0
_LABELS: Final = 206.0
_LETTERS: Final = 24
_TOP: Final = 34.0
_METAL: Final = 24.0
_LINE_HEIGHT: Final = 14.5
_GAP: Final = 7.0
_BOX: Final = 14
"""Side of the box that stands for one coat."""


class _Band(NamedTuple):
    """A band placed: heights above the metal [m] of its foot, its top and its top as laid."""

    band: SectionBand
    foot: float
    top: float
    laid_top: float


def section_scale(stacks: Sequence[Sequence[SectionBand]], height: float = 230.0) -> float:
    """Metres of film per unit of drawing, round, so that the tallest stack fits the height.

    Give it all the stacks of a document: then every section in it is to the same scale.
    """
    tallest = max((_tallest(_placed(stack)) for stack in stacks), default=0.0)
    microns = max(tallest, 20e-6) * 1e6 / height
    return step_for(microns, 1, (1, 1.2, 1.5, 2, 2.5, 3, 4, 5, 6, 8)) * 1e-6


def section_svg(
    name: str,
    ground: str,
    bands: Sequence[SectionBand],
    total: Figure,
    words: Words,
    scale: float = 1e-6,
) -> str:
    """The section of one patch as SVG.

    name is used for ids and must be unique on the page; total is the film over the metal at the
    end; scale is metres of film per unit of the drawing.
    """
    placed = _placed(bands)
    ground = words.tell(Said(ground))
    texts = [_lines(item, words) for item in placed]
    stack = _tallest(placed) / scale
    need = sum(_tall(lines) for lines in texts) + _tall([ground]) - _METAL
    height = max(stack, need, 40.0)
    base = _TOP + height
    return picture(
        name,
        words.say("Section: {ground}", ground=ground),
        describe(bands, words),
        base + _METAL + 6,
        tag(
            "defs",
            hatch(f"{name}-off"),
            hatch(f"{name}-cut", 4.0, 1.2, -45),
            *_patterns(name, placed),
        ),
        _metal(name, base),
        *_ruler(_tallest(placed), base, scale, words),
        *(_drawn(name, item, base, scale) for item in placed),
        *_losses(name, placed, (base, scale), words),
        *_labels(placed, [*texts, [ground]], base, scale),
        _total(
            words.say("{film} over {ground}", film=words.text(total), ground=ground),
            placed,
            base,
            scale,
        ),
    )


def coats_svg(layers: Sequence[tuple[str, int, int]], described: str) -> str:
    """A system lying down, metal at the left: a box for every coat, filled where it is laid.

    layers: family, coats planned, coats laid. described: the same in words, for those who read.
    """
    boxes, at = [], 1.0
    for family, coats, laid in layers:
        for count in range(coats):
            there = count < laid
            boxes.append(
                tag(
                    "rect", x=round(at, 1), y=1, width=_BOX, height=_BOX,
                    fill=family_colour(family) if there else "none", stroke="currentColor",
                    stroke_width=1.5, stroke_dasharray=None if there else "2.5 2.5",
                )
            )  # fmt: skip
            at += _BOX + 3.0
        at += 5.0
    return tag(
        "svg", *boxes, xmlns="http://www.w3.org/2000/svg", role="img", aria_label=described,
        width=round(at), height=_BOX + 2, class_="coats",
    )  # fmt: skip


def section_rows(bands: Sequence[SectionBand], words: Words) -> list[tuple[str, str, str]]:
    """The section as a table, top layer first: title, laid, rubbed off."""
    return [
        (
            _title(band, words),
            words.text(band.laid),
            words.text(band.rubbed) if band.rubbed.value else words.say("nothing"),
        )
        for band in reversed(bands)
    ]


def describe(bands: Sequence[SectionBand], words: Words) -> str:
    """The section in one sentence, metal upwards."""
    parts = "; ".join(_described(band, words) for band in bands)
    if not parts:
        return words.say("No layers.")
    return words.say("From the metal up: {layers}.", layers=parts)


def _described(band: SectionBand, words: Words) -> str:
    title, laid = _title(band, words), words.brief(band.laid)
    if not band.rubbed.value:
        return f"{title} {laid}"
    return words.say(
        "{title} {laid}, of which {rubbed} is rubbed off",
        title=title,
        laid=laid,
        rubbed=words.brief(band.rubbed),
    )


def _title(band: SectionBand, words: Words) -> str:
    if not band.old:
        return words.tell(band.title)
    what = band.title.removeprefix("old").lstrip(": ")
    return words.say("old: {what}", what=Said(what))


def _placed(bands: Sequence[SectionBand]) -> list[_Band]:
    foot, found = 0.0, []
    for band in bands:
        top = foot + max(band.laid.value - band.rubbed.value, 0.0)
        found.append(_Band(band, foot, top, foot + band.laid.value))
        foot = top
    return found


def _tallest(placed: Sequence[_Band]) -> float:
    return max((item.laid_top for item in placed), default=0.0)


def _lines(item: _Band, words: Words) -> list[str]:
    band = item.band
    left = words.value(item.top - item.foot, "film")
    tail = left
    if band.rubbed.value:
        tail = words.say("{left} left of {laid}", left=left, laid=words.brief(band.laid))
    return [*wrap(_title(band, words), _LETTERS), tail]


def _patterns(name: str, placed: Sequence[_Band]) -> list[str]:
    made: dict[str, str] = {}
    for item in placed:
        kind, light = _pattern_of(item.band)
        if kind != "plain":
            made[f"{kind}{light}"] = pattern(f"{name}-{kind}{int(light)}", kind, light)
    return list(made.values())


def _pattern_of(band: SectionBand) -> tuple[str, bool]:
    colour = family_colour(band.family, band.old)
    return family_pattern(band.family, band.old), is_light(colour)


def _metal(name: str, base: float) -> str:
    left, right = _COLUMN
    box = {"x": left, "y": base, "width": right - left, "height": _METAL}
    return tag("rect", fill=f"url(#{name}-cut)", **box) + line(
        left - _LANE * 2, base, right + 4, base, stroke_width=2
    )


def _ruler(tallest: float, base: float, scale: float, words: Words) -> list[str]:
    per_unit, symbol = shown(1.0, "film", words.system)
    step = step_for(30.0 * scale * per_unit, 1)
    top = base - tallest / scale
    made = [
        line(_RULER, base, _RULER, top),
        label(unit_of("film", words.system), _RULER, top - 8, size=SMALL, text_anchor="middle"),
    ]
    for index, value in enumerate(
        ticks(tallest * per_unit, max(int(tallest * per_unit / step * 2), 1))
    ):
        y = base - express_back(value, symbol) / scale
        longer = abs(value / step - round(value / step)) < 1e-6
        made.append(
            line(_RULER - (6 if longer else 3), y, _RULER, y, stroke_width=1 if longer else 0.7)
        )
        if longer and (index == 0 or base - y > 12):
            made.append(label(words.tick(value), _RULER - 9, y + 4, size=SMALL, text_anchor="end"))
    return made


def express_back(value: float, symbol: str) -> float:
    """A length in the shown unit as metres."""
    return value / express(1.0, symbol, "length")


def _drawn(name: str, item: _Band, base: float, scale: float) -> str:
    left, right = _COLUMN
    box = {
        "x": left,
        "y": base - item.top / scale,
        "width": right - left,
        "height": max((item.top - item.foot) / scale, 0.6),
    }
    kind, light = _pattern_of(item.band)
    body = tag("rect", fill=family_colour(item.band.family, item.band.old), **box)
    if kind != "plain":
        body += tag("rect", fill=f"url(#{name}-{kind}{int(light)})", **box)
    dash = "3 2" if item.band.old else None
    return body + tag(
        "rect", fill="none", stroke="currentColor", stroke_width=0.8, stroke_dasharray=dash, **box
    )


def _losses(name: str, placed: Sequence[_Band], at: tuple[float, float], words: Words) -> list[str]:
    """Hatched losses; one that would overlap the last in height moves to the other lane."""
    base, scale = at
    made, lane, below = [], 0, -1.0
    for item in placed:
        if item.laid_top - item.top <= 0.0:
            continue
        lane = 1 - lane if item.top < below - 1e-9 else 0
        below = item.laid_top
        x = _COLUMN[0] - _LANE * (lane + 1)
        y = base - item.laid_top / scale
        tall = (item.laid_top - item.top) / scale
        box = {"x": x, "y": y, "width": _LANE, "height": max(tall, 1.0)}
        made.append(
            tag(
                "rect",
                fill=f"url(#{name}-off)",
                stroke="currentColor",
                stroke_width=0.8,
                stroke_dasharray="3 2",
                **box,
            )
        )
        if lane:  # it stands apart from the stack: lead the eye to the height it belongs to
            made.append(line(x + _LANE, y + tall, _COLUMN[0], y + tall, stroke_dasharray="1 2"))
    if made:
        made.append(
            tag(
                "rect",
                x=2,
                y=base + 8,
                width=12,
                height=10,
                fill=f"url(#{name}-off)",
                stroke="currentColor",
                stroke_width=0.8,
                stroke_dasharray="3 2",
            )
        )
        made.append(label(words.say("rubbed off"), 18, base + 17, size=SMALL))
    return made


def _tall(lines: Sequence[str]) -> float:
    return len(lines) * _LINE_HEIGHT + _GAP


def _labels(
    placed: Sequence[_Band], texts: Sequence[Sequence[str]], base: float, scale: float
) -> list[str]:
    """Labels top layer first, the metal last; each led to the middle of its band."""
    middles = [base - (item.foot + item.top) / 2 / scale for item in placed]
    middles = [*reversed(middles), base + _METAL / 2]
    ordered = [*reversed(texts[:-1]), texts[-1]]
    heights = [_tall(lines) for lines in ordered]
    centres = spread_apart(
        middles, heights, min(_TOP - 8, base + _METAL - sum(heights)), base + _METAL
    )
    made = []
    for lines, middle, centre in zip(ordered, middles, centres, strict=True):
        made.append(_leader(middle, centre))
        first = centre - (len(lines) - 1) * _LINE_HEIGHT / 2 + 4
        for row, text in enumerate(lines):
            bold = row == len(lines) - 1 and len(lines) > 1
            made.append(
                label(
                    text,
                    _LABELS,
                    first + row * _LINE_HEIGHT,
                    size=TEXT,
                    font_weight="bold" if bold else None,
                    font_style="italic" if len(lines) == 1 else None,
                )
            )
    return made


def _leader(middle: float, centre: float) -> str:
    right = _COLUMN[1]
    points = (
        f"{number(right)},{number(middle)} {number(right + 4)},{number(middle)} "
        f"{number(_LABELS - 10)},{number(centre)} {number(_LABELS - 4)},{number(centre)}"
    )
    return tag("polyline", points=points, fill="none", stroke="currentColor", stroke_width=0.8)


def _total(text: str, placed: Sequence[_Band], base: float, scale: float) -> str:
    top = base - (placed[-1].top if placed else 0.0) / scale
    bar = line(_RULER, top, _COLUMN[0], top, stroke_width=0.8, stroke_dasharray="2 2")
    return bar + label(text, _COLUMN[0] - _LANE, 14, font_weight="bold")
