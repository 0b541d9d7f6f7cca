"""The pressure at the trigger through the coats of a recipe, with what is needed and wanted."""

import math
from collections.abc import Sequence
from typing import Final, NamedTuple

from coatwright.faces.drawing.ink import hatch
from coatwright.faces.drawing.svg import (
    SMALL,
    Scale,
    label,
    line,
    path,
    picture,
    tag,
    ticks,
)
from coatwright.faces.format import Words, unit_of
from coatwright.planning.conditions.air_plan import AirCoat, AirHold
from coatwright.units import shown

_LEFT: Final = 36.0
_RIGHT: Final = 352.0
_MIDDLE: Final = (_LEFT + _RIGHT) / 2
_TOP: Final = 40.0
_TALL: Final = 92.0
_STEP: Final = 150.0
_MOST_IN_PULL: Final = 5
_MOST_PANELS: Final = 4

Point = tuple[float, float]


class _Panel(NamedTuple):
    x: Scale
    y: Scale
    base: float


def pressure_svg(name: str, hold: AirHold, words: Words) -> str:
    """One panel for each coat, alike ones drawn once; name must be unique on the page."""
    groups = alike(hold.coats, words)[:_MOST_PANELS]
    highest = max([_highest(coats[0]) for coats in groups], default=0.0)
    top = _bar(max(highest, hold.wanted.value) * 1.18, words)
    made: list[str] = [tag("defs", hatch(f"{name}-low", 6.0, 0.7))]
    for index, coats in enumerate(groups):
        base = _TOP + _TALL + index * _STEP
        seconds = float(coats[0].trace.times[-1])
        panel = _Panel(
            Scale(0.0, max(seconds, 1.0), _LEFT, _RIGHT), Scale(0.0, top, base, base - _TALL), base
        )
        made += _coat(f"{name}-low", coats, panel, words)
    height = _TOP + _TALL + (len(groups) - 1) * _STEP + 36
    return picture(
        name, words.say("Pressure at the trigger"), describe_pressure(hold, words), height, *made
    )


def pressure_rows(hold: AirHold, words: Words) -> list[tuple[str, ...]]:
    """The same as a table: coat, lowest, when, mean, how long, share of it that the pump runs."""
    return [
        (
            _title([coat], words),
            words.brief(coat.lowest),
            words.brief(coat.lowest_at),
            words.brief(coat.mean),
            words.brief(coat.seconds),
            words.brief(coat.duty),
        )
        for coat in hold.coats
    ]


def describe_pressure(hold: AirHold, words: Words) -> str:
    """The pressure in one sentence a coat."""
    told = [
        words.say(
            "{coats}: lowest {lowest} after {after} of {seconds}.",
            coats=_title(coats, words),
            lowest=words.brief(coats[0].lowest),
            after=words.brief(coats[0].lowest_at),
            seconds=words.brief(coats[0].seconds),
        )
        for coats in alike(hold.coats, words)
    ]
    wanted, needed = words.brief(hold.wanted), words.brief(hold.needed)
    bounds = words.say("Wanted {wanted}, needed {needed}.", wanted=wanted, needed=needed)
    return " ".join([*told, bounds])


def alike(coats: Sequence[AirCoat], words: Words) -> list[list[AirCoat]]:
    """Coats one after another that read the same, together."""
    found: list[list[AirCoat]] = []
    for coat in coats:
        if found and _reads(found[-1][0], words) == _reads(coat, words):
            found[-1].append(coat)
        else:
            found.append([coat])
    return found


def _reads(coat: AirCoat, words: Words) -> tuple[str, str]:
    return words.brief(coat.lowest), words.brief(coat.seconds)


def _title(coats: Sequence[AirCoat], words: Words) -> str:
    numbers = [coat.key.removeprefix("coat-") for coat in coats]
    if len(numbers) == 1:
        return words.say("Coat {number}", number=numbers[0])
    return words.say("Coats {first} to {last}, alike", first=numbers[0], last=numbers[-1])


def _bar(value: float, words: Words) -> float:
    return shown(value, "pressure", words.system)[0]


def _highest(coat: AirCoat) -> float:
    return max((v for v in coat.trace.trigger.tolist() if math.isfinite(v)), default=0.0)


def _coat(low: str, coats: Sequence[AirCoat], panel: _Panel, words: Words) -> list[str]:
    coat = coats[0]
    needed = panel.y(_bar(coat.trace.needed, words))
    wanted = panel.y(_bar(coat.trace.wanted, words))
    left, right = _LEFT, _RIGHT
    unit = unit_of("pressure", words.system)
    title = words.say("{coats}: at the gun, {unit}", coats=_title(coats, words), unit=unit)
    return [
        label(title, 4, panel.base - _TALL - 18, font_weight="bold"),
        tag("rect", x=left, y=needed, width=right - left, height=panel.base - needed,
            fill=f"url(#{low})", opacity="0.55"),
        line(left, needed, right, needed, stroke_width=1.6),
        line(left, wanted, right, wanted, stroke_dasharray="5 3"),
        *_bounds(coat, (wanted, needed), panel, words),
        *_axes(panel, words),
        tag("path", d="".join(path(pull) for pull in _pulls(coat, panel, words)), fill="none",
            stroke="currentColor", stroke_width=2.6, stroke_linecap="round"),
        *_lowest(coat, panel, words),
    ]  # fmt: skip


def _bounds(coat: AirCoat, heights: tuple[float, float], panel: _Panel, words: Words) -> list[str]:
    """The bounds' names, above and below their lines, away from the mark of the lowest."""
    wanted, needed = heights
    left = _lowest_at(coat, panel) > _MIDDLE
    names = (
        words.say("wanted {pressure}", pressure=words.value(coat.trace.wanted, "pressure")),
        words.say("needed {pressure}", pressure=words.value(coat.trace.needed, "pressure")),
    )
    style = {"size": SMALL, "text_anchor": "start" if left else "end", "class_": "halo"}
    x = _LEFT + 4 if left else _RIGHT
    return [
        label(names[0], x, wanted - 6, **style),  # type: ignore[arg-type]
        label(names[1], x, needed + 13, **style),  # type: ignore[arg-type]
    ]


def _axes(panel: _Panel, words: Words) -> list[str]:
    made = [line(_LEFT, panel.base, _RIGHT, panel.base)]
    for value in ticks(panel.y.high, 4):
        y = panel.y(value)
        made.append(line(_LEFT - 4, y, _LEFT, y))
        made.append(label(words.tick(value), _LEFT - 6, y + 4, size=SMALL, text_anchor="end"))
    long = panel.x.high > 240.0
    high = panel.x.high / 60.0 if long else panel.x.high
    for value in ticks(high, 6):
        x = panel.x(value * 60.0 if long else value)
        made.append(line(x, panel.base, x, panel.base + 4))
        last = value > 0.94 * high
        text = words.tick(value) + ("" if value else " min" if long else " s")
        made.append(
            label(text, x, panel.base + 16, size=SMALL, text_anchor="end" if last else "middle")
        )
    return made


def _pulls(coat: AirCoat, panel: _Panel, words: Words) -> list[list[Point]]:
    """Each pull of the trigger as a line of its own, thinned to what a picture can show."""
    pulls: list[list[tuple[float, float]]] = [[]]
    for when, value in zip(coat.trace.times.tolist(), coat.trace.trigger.tolist(), strict=True):
        if math.isfinite(value):
            pulls[-1].append((panel.x(when), panel.y(_bar(value, words))))
        elif pulls[-1]:
            pulls.append([])
    return [_thinned(pull) for pull in pulls if pull]


def _thinned(pull: list[Point]) -> list[Point]:
    if len(pull) == 1:
        x, y = pull[0]
        return [(x - 0.6, y), (x + 0.6, y)]
    if len(pull) <= _MOST_IN_PULL:
        return pull
    lowest = max(range(len(pull)), key=lambda index: pull[index][1])
    gap = (len(pull) - 1) / (_MOST_IN_PULL - 1)
    kept = {round(index * gap) for index in range(_MOST_IN_PULL)} | {lowest}
    return [pull[index] for index in sorted(kept)]


def _lowest_at(coat: AirCoat, panel: _Panel) -> float:
    return panel.x(min(coat.lowest_at.value, panel.x.high))


def _lowest(coat: AirCoat, panel: _Panel, words: Words) -> list[str]:
    """A mark at the lowest pressure and its value under it, on the side where there is room."""
    x = _lowest_at(coat, panel)
    y = panel.y(_bar(coat.lowest.value, words))
    corners = [(x, y - 5), (x + 5, y), (x, y + 5), (x - 5, y)]
    end = x > _MIDDLE
    return [
        tag("path", d=path(corners, closed=True), fill="currentColor", class_="halo"),
        label(words.say("lowest {pressure}", pressure=words.brief(coat.lowest)),
              x + (4 if end else -4),
              min(y + 18, panel.base - 5), text_anchor="end" if end else "start",
              font_weight="bold", class_="halo"),
    ]  # fmt: skip
