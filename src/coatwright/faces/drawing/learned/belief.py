"""One parameter: what was held of it, the readings, and what is held now."""

import math
from collections.abc import Sequence
from typing import Final, NamedTuple

import numpy as np

from coatwright.engines import learning
from coatwright.engines.learning import Marginal
from coatwright.faces.drawing.svg import (
    SMALL,
    TEXT,
    Scale,
    label,
    line,
    path,
    picture,
    step_for,
    tag,
)
from coatwright.faces.format import SPACE, Words
from coatwright.sentences import say

_LEFT: Final = 16.0
_RIGHT: Final = 344.0
_TOP: Final = 50.0
_BASE: Final = 150.0
_RUG: Final = 12.0
_HEIGHT: Final = 204.0
_POINTS: Final = 161
_MOST_TICKS: Final = 6
_OUTER: Final = 0.01
_FITS: Final = 0.05
_CONTRADICTS: Final = 0.01

ENGLISH_WORDS: Final = Words()
"""For readers of whom nothing is known."""


class Shown(NamedTuple):
    """What to draw: title, what the axis counts, what was held before and is held after, the
    readings, and the share that a shift on the logit scale starts from (None: ratios)."""

    title: str
    axis: str
    before: Marginal
    after: Marginal
    readings: Sequence[float]
    share: float | None = None


def belief_svg(name: str, shown: Shown, words: Words = ENGLISH_WORDS) -> str:
    """Prior dashed, posterior drawn through with its 80 % filled, readings as a rug below.

    Both curves are drawn to the same height: what counts is where they lie and how wide.
    """
    x = _scale(shown)
    y = Scale(0.0, 1.0, _BASE, _TOP)
    return picture(
        name,
        shown.title,
        describe_belief(shown, words),
        _HEIGHT,
        label(words.tell(shown.title), 4, 14, font_weight="bold"),
        *_legend(shown, words),
        _inside(shown, x, y),
        _curve(shown.before, x, y, stroke_width=1.4, stroke_dasharray="5 4"),
        _curve(shown.after, x, y, stroke_width=2.6),
        line(_LEFT, _BASE, _RIGHT, _BASE),
        *_rug(shown, x),
        *_ticks(shown, x, words),
    )


def belief_rows(shown: Shown, words: Words = ENGLISH_WORDS) -> list[tuple[str, str, str, str]]:
    """The same as a table: what, 10 %, middle, 90 % of it."""
    rows = []
    for title, known in ((words.say("class"), shown.before), (_after(shown, words), shown.after)):
        low, middle, high = (
            _words(_percent(shown, learning.level(known, chance))) for chance in (0.1, 0.5, 0.9)
        )
        rows.append((title, low, middle, high))
    return rows


def describe_belief(shown: Shown, words: Words = ENGLISH_WORDS) -> str:
    """Both intervals in one sentence each."""
    (_, low, _, high), (after, least, middle, most) = belief_rows(shown, words)
    return words.say(
        "{axis}. Held before any reading: {low} to {high}. {after}: {middle}, {least} to {most} "
        "(80 % intervals).",
        axis=words.tell(shown.axis),
        low=low,
        high=high,
        after=after[:1].upper() + after[1:],
        middle=middle,
        least=least,
        most=most,
    )


def contradiction_text(chance: float, words: Words = ENGLISH_WORDS) -> str:
    """Whether readings contradict what was held, in words, from the chance of a mean as far off."""
    if chance >= _FITS:
        return words.say("The readings fit what was held.")
    often = say("{times:,.0f}", times=1.0 / max(chance, 1e-6))
    if chance < 1e-6:
        often = say("more than {times}", times=often)
    if chance >= _CONTRADICTS:
        return words.say(
            "Readings so far off come by chance one time in {often}: keep an eye on it.",
            often=often,
        )
    return words.say(
        "The readings contradict what was held (one time in {often} by chance): look for what has "
        "changed before you trust either.",
        often=often,
    )


def _after(shown: Shown, words: Words) -> str:
    count = len(shown.readings)
    return words.say("after 1 reading") if count == 1 else words.say("after {n} readings", n=count)


def _percent(shown: Shown, value: float) -> float:
    if shown.share is None:
        return 100.0 * math.exp(value)
    return 100.0 * learning.shifted(shown.share, value)


def _value(shown: Shown, percent: float) -> float:
    if shown.share is None:
        return learning.log_ratio(percent, 100.0)
    return learning.logit_shift(percent / 100.0, shown.share)


def _words(percent: float) -> str:
    return f"{percent:.0f}{SPACE}%"


def _scale(shown: Shown) -> Scale:
    ends = [
        learning.level(known, chance)
        for known in (shown.before, shown.after)
        for chance in (_OUTER, 1.0 - _OUTER)
    ]
    every = [*ends, *shown.readings]
    return Scale(min(every), max(every), _LEFT, _RIGHT)


def _legend(shown: Shown, words: Words) -> list[str]:
    return [
        line(4, 28, 28, 28, stroke_width=1.4, stroke_dasharray="5 4"),
        label(words.say("class"), 33, 32, size=SMALL),
        line(78, 28, 102, 28, stroke_width=2.6),
        label(words.say("{after}, 80 % filled", after=_after(shown, words)), 107, 32, size=SMALL),
    ]


def _points(known: Marginal, low: float, high: float) -> tuple[list[float], list[float]]:
    """Places and heights of a curve, its top at 1."""
    places = np.linspace(low, high, _POINTS)
    heights = learning.density(known, places)
    return places.tolist(), (heights / heights.max()).tolist()


def _curve(known: Marginal, x: Scale, y: Scale, **style: object) -> str:
    places, heights = _points(known, x.low, x.high)
    points = [(x(place), y(height)) for place, height in zip(places, heights, strict=True)]
    return tag("path", d=path(points), fill="none", stroke="currentColor", **style)


def _inside(shown: Shown, x: Scale, y: Scale) -> str:
    low, high = learning.interval(shown.after)
    top = float(learning.density(shown.after, np.linspace(x.low, x.high, _POINTS)).max())
    places = np.linspace(low, high, 41)
    heights = (learning.density(shown.after, places) / top).tolist()
    points = [(x(p), min(y(h), _BASE)) for p, h in zip(places.tolist(), heights, strict=True)]
    closed = [(x(low), _BASE), *points, (x(high), _BASE)]
    return tag("path", d=path(closed, closed=True), fill="currentColor", fill_opacity="0.18")


def _rug(shown: Shown, x: Scale) -> list[str]:
    return [
        line(x(value), _BASE + 3, x(value), _BASE + 3 + _RUG, stroke_width=1.2)
        for value in shown.readings
    ]


def _ticks(shown: Shown, x: Scale, words: Words) -> list[str]:
    low, high = _percent(shown, x.low), _percent(shown, x.high)
    step = step_for(high - low, _MOST_TICKS)
    foot = _BASE + 3 + _RUG + 4
    made = [line(_LEFT, foot, _RIGHT, foot, stroke_width=0.6)]
    for index in range(math.ceil(low / step), math.floor(high / step) + 1):
        percent = index * step
        place = x(_value(shown, percent))
        made.append(line(place, foot, place, foot + 4))
        made.append(label(words.tick(percent), place, foot + 16, size=SMALL, text_anchor="middle"))
    made.append(
        label(
            f"{words.tell(shown.axis)}, %",
            (_LEFT + _RIGHT) / 2,
            foot + 31,
            size=TEXT,
            text_anchor="middle",
        )
    )
    return made
