"""Strokes and practice boards as pictures: speeds against the pace, readings in their places."""

from typing import Final

from markupsafe import Markup

from coatwright.actions.measuring.boards import BoardTold
from coatwright.actions.measuring.strokes import TimedSet
from coatwright.faces.drawing.ink import is_light, viridis
from coatwright.faces.drawing.svg import SMALL, TEXT, Scale, label, line, picture, tag, ticks
from coatwright.faces.format import Words, unit_of
from coatwright.units import shown

OFF: Final = 0.15
"""A reading so far from the board's mean is marked: the spread aimed at (common practice)."""

_LEFT: Final = 34.0
_RIGHT: Final = 352.0
_FLOOR: Final = 150.0


def strokes_svg(one: TimedSet, words: Words) -> Markup:
    """The speed of every stroke in order as a bar; the recipe's speed as a line across."""

    def at(value: float) -> float:
        return shown(value, "speed", words.system)[0]

    high = max([speed.value for speed in one.speeds] + [one.expected.value if one.expected else 0])
    y = Scale(0.0, at(high) * 1.15, _FLOOR, 22.0)
    gap = (_RIGHT - _LEFT) / len(one.speeds)
    made = [line(_LEFT, _FLOOR, _RIGHT, _FLOOR)]
    for value in ticks(at(high) * 1.15, 4):
        made.append(
            label(
                words.tongue.number(f"{value:g}"),
                _LEFT - 5,
                y(value) + 4,
                size=SMALL,
                text_anchor="end",
            )
        )
        made.append(line(_LEFT - 3, y(value), _LEFT, y(value)))
    made.append(label(unit_of("speed", words.system), 2, 14, size=SMALL))
    step = max(1, -(-len(one.speeds) // 12))
    for number, speed in enumerate(one.speeds):
        left = _LEFT + number * gap + gap * 0.15
        top = y(at(speed.value))
        made.append(
            tag("rect", x=left, y=top, width=gap * 0.7, height=_FLOOR - top, fill="none",
                stroke="currentColor", stroke_width=1.5)
        )  # fmt: skip
        if number % step == 0:
            made.append(
                label(str(number + 1), left + gap * 0.35, _FLOOR + 15, size=SMALL,
                      text_anchor="middle")
            )  # fmt: skip
    if one.expected:
        level = y(at(one.expected.value))
        made.append(
            line(_LEFT, level, _RIGHT, level, stroke="var(--accent)", stroke_width=2.5,
                 stroke_dasharray="7 4")
        )  # fmt: skip
    about = ", ".join(words.brief(speed) for speed in one.speeds)
    title = words.say("{count} strokes, speed of each", count=len(one.speeds))
    return Markup(picture(f"strokes-{one.key}", title, about, _FLOOR + 24, *made))


def board_svg(one: BoardTold, words: Words) -> Markup:
    """The board with its film: each reading in its place, darker where thin, marked where off."""
    columns = len(one.films[0])
    wide, tall = 360.0 / columns, 46.0
    most = max((film.value for row in one.films for film in row), default=0.0) or 1.0
    made = []
    for down, row in enumerate(one.films):
        for along, film in enumerate(row):
            colour = viridis(max(film.value, 0.0) / most)
            ink = "#000" if is_light(colour) else "#fff"
            x, y = along * wide, down * tall
            value, _ = shown(film.value, "film", words.system)
            text = words.fixed(value, 0 if words.system == "metric" else 2)
            made.append(tag("rect", x=x + 1, y=y + 1, width=wide - 2, height=tall - 2, fill=colour))
            made.append(
                label(f"{text} {mark_of(film.value / one.mean.value)}", x + wide / 2,
                      y + tall / 2 + 5, size=TEXT + 3, text_anchor="middle", fill=ink,
                      font_weight=650)
            )  # fmt: skip
    title = words.say(
        "{rows} rows of {columns} readings, strokes from left to right",
        rows=len(one.films),
        columns=columns,
    )
    about = "; ".join(", ".join(words.brief(film) for film in row) for row in one.films)
    return Markup(picture(f"board-{one.key}", title, about, len(one.films) * tall, *made))


def mark_of(share: float) -> str:
    """How a reading lies to the mean of its board, without colour."""
    if share < 1.0 - OFF:
        return "▽"
    return "▲" if share > 1.0 + OFF else "○"
