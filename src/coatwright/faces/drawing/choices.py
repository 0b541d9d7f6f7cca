"""What the solver weighed (paint against minutes), and the chances of light patches and runs."""

import math
from collections.abc import Sequence
from typing import Final, NamedTuple

from coatwright.faces.drawing.ink import hatch
from coatwright.faces.drawing.svg import (
    SMALL,
    TEXT,
    Scale,
    label,
    line,
    path,
    picture,
    tag,
    ticks,
)
from coatwright.faces.format import Words, unit_of
from coatwright.figures import Figure
from coatwright.planning.plan import Choice, StrokeRecipe
from coatwright.units import shown

_LEFT: Final = 46.0
_RIGHT: Final = 344.0
_TOP: Final = 30.0
_BASE: Final = 200.0
_LEAST: Final = 0.001
_RISK_LEFT: Final = 64.0


class _Dot(NamedTuple):
    x: float
    y: float
    chosen: bool


def choices_svg(name: str, choices: Sequence[Choice], words: Words) -> str:
    """Paint against minutes, a numbered mark for each alternative; the chosen one a diamond."""
    purpose = _paint_purpose(choices)
    minutes = [shown(one.minutes.value, "time", words.system)[0] for one in choices]
    paint = [shown(one.paint.value, purpose, words.system)[0] for one in choices]
    x = Scale(0.0, max(minutes, default=1.0) * 1.12 or 1.0, _LEFT, _RIGHT)
    y = Scale(0.0, max(paint, default=1.0) * 1.15 or 1.0, _BASE, _TOP)
    dots = [_Dot(x(m), y(p), one.chosen) for m, p, one in zip(minutes, paint, choices, strict=True)]
    return picture(
        name,
        "Alternatives: paint against minutes",
        describe_choices(choices, words),
        _BASE + 38,
        *_axes(x, y, purpose, words),
        *(_dot(dot) for dot in dots),
        *_numbers(dots),
    )


def describe_choices(choices: Sequence[Choice], words: Words) -> str:
    """The alternatives in one sentence each."""
    return " ".join(
        f"{index}: {one.text}, {words.brief(one.paint)}, {words.brief(one.minutes)}"
        f"{' (chosen).' if one.chosen else '.'}"
        for index, one in enumerate(choices, start=1)
    )


def _paint_purpose(choices: Sequence[Choice]) -> str:
    return "volume" if max((one.paint.value for one in choices), default=0.0) > 2e-3 else "dose"


def _axes(x: Scale, y: Scale, purpose: str, words: Words) -> list[str]:
    made = [line(_LEFT, _BASE, _RIGHT, _BASE), line(_LEFT, _BASE, _LEFT, _TOP)]
    for value in ticks(x.high, 6):
        made.append(line(x(value), _BASE, x(value), _BASE + 4))
        made.append(
            label(words.tick(value), x(value), _BASE + 16, size=SMALL, text_anchor="middle")
        )
    for value in ticks(y.high, 5):
        made.append(line(_LEFT - 4, y(value), _LEFT, y(value)))
        made.append(
            label(words.tick(value), _LEFT - 7, y(value) + 4, size=SMALL, text_anchor="end")
        )
    paint, minutes = unit_of(purpose, words.system), unit_of("time", words.system)
    made.append(label(f"paint through the gun, {paint}", 4, 14, font_weight="bold"))
    made.append(
        label(
            f"{minutes} of spraying",
            (_LEFT + _RIGHT) / 2,
            _BASE + 32,
            size=SMALL,
            text_anchor="middle",
        )
    )
    return made


def _dot(dot: _Dot) -> str:
    if not dot.chosen:
        return tag(
            "circle",
            cx=dot.x,
            cy=dot.y,
            r=4.5,
            fill="none",
            stroke="currentColor",
            stroke_width=1.5,
        )
    r = 8.0
    corners = [(dot.x, dot.y - r), (dot.x + r, dot.y), (dot.x, dot.y + r), (dot.x - r, dot.y)]
    return tag("path", d=path(corners, closed=True), fill="currentColor")


def _numbers(dots: Sequence[_Dot]) -> list[str]:
    """The number of each mark, beside it where no other mark or number stands."""
    taken = [(dot.x, dot.y) for dot in dots]
    made = []
    for index, dot in enumerate(dots, start=1):
        places = [
            (dot.x + dx, dot.y + dy)
            for dx, dy in ((14, 0), (-14, 0), (0, -15), (0, 15), (14, -13), (-14, 13))
        ]
        free = [spot for spot in places if all(math.dist(spot, other) > 11 for other in taken)]
        spot = (free or places)[0]
        taken.append(spot)
        made.append(
            label(
                str(index),
                spot[0],
                spot[1] + 4,
                text_anchor="middle",
                font_weight="bold" if dot.chosen else None,
            )
        )
    return made


def risk_svg(name: str, recipe: StrokeRecipe, words: Words) -> str:
    """The chances of a light patch and of a run on a scale of powers of ten, with their bounds."""
    x = Scale(math.log10(_LEAST), 0.0, _RISK_LEFT, _RIGHT)
    run = _Risk("run", recipe.run_chance, recipe.run_bound)
    light = _Risk("light", recipe.light_chance, recipe.light_bound)
    made = [tag("defs", hatch(f"{name}-past", 5.0, 0.8))]
    made += _risk_row(f"{name}-past", x, 26.0, run, words)
    made += _risk_row(f"{name}-past", x, 70.0, light, words)
    for share, text in ((0.001, "0.1"), (0.01, "1"), (0.1, "10"), (1.0, "100 %")):
        place = x(math.log10(share))
        made.append(line(place, 97, place, 101))
        made.append(
            label(
                words.tongue.number(text),
                place,
                113,
                size=SMALL,
                text_anchor="middle" if share < 1 else "end",
            )
        )
    made.append(line(_RISK_LEFT, 97, _RIGHT, 97))
    return picture(
        name, "Chance of a run and of a light patch", describe_risk(recipe, words), 118, *made
    )


def describe_risk(recipe: StrokeRecipe, words: Words) -> str:
    """Both chances and their bounds in words."""
    parts = []
    for title, chance, bound in (
        ("run", recipe.run_chance, recipe.run_bound),
        ("light", recipe.light_chance, recipe.light_bound),
    ):
        tail = f", bound {words.chance(bound)}" if bound else ""
        parts.append(f"{title}: {words.chance(chance)}{tail}")
    return "; ".join(parts)


class _Risk(NamedTuple):
    title: str
    chance: Figure
    bound: Figure | None


def _risk_row(past: str, x: Scale, y: float, risk: _Risk, words: Words) -> list[str]:
    chance, bound = risk.chance, risk.bound
    made = [
        label(risk.title, 4, y + 4, size=TEXT, font_weight="bold"),
        line(_RISK_LEFT, y, _RIGHT, y, stroke_width=0.8),
    ]
    if bound is not None:
        place = x(_log(bound.value))
        made.append(
            tag(
                "rect",
                x=place,
                y=y - 9,
                width=_RIGHT - place,
                height=18,
                fill=f"url(#{past})",
                opacity="0.7",
            )
        )
        made.append(line(place, y - 12, place, y + 12, stroke_width=2))
        made.append(
            label(f"bound {words.chance(bound)}", place + 5, y - 11, size=SMALL, class_="halo")
        )
    middle = x(_log(chance.value))
    if chance.spread:
        ends = [x(_log(end)) for end in chance.spread]
        made.append(line(ends[0], y, ends[1], y, stroke_width=4, stroke_opacity="0.5"))
    corners = [(middle, y - 7), (middle + 7, y), (middle, y + 7), (middle - 7, y)]
    made.append(tag("path", d=path(corners, closed=True), fill="currentColor"))
    anchor = "start" if middle < 250 else "end"
    made.append(
        label(
            words.chance(chance),
            middle - 6 if anchor == "start" else middle + 6,
            y + 20,
            text_anchor=anchor,
            font_weight="bold",
            class_="halo",
        )
    )
    return made


def _log(share: float) -> float:
    return math.log10(min(max(share, _LEAST), 1.0))
