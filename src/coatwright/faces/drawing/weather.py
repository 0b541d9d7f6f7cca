"""The shop through the day: temperatures, the margin over the dew point, and go or no-go."""

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
from coatwright.faces.format import Words, clock, hour_of, unit_of
from coatwright.planning.conditions.window_plan import Check, Go, Hour
from coatwright.units import shown

_LEFT: Final = 34.0
_RIGHT: Final = 352.0
_WARM: Final = (38.0, 138.0)
_MARGIN: Final = (186.0, 262.0)
_ROW: Final = 34.0
_BAR: Final = 12.0
_AGAINST: Final = {
    "dew-point": "dew point", "air-cold": "air too cold", "air-hot": "air too hot",
    "metal-cold": "metal too cold", "metal-hot": "metal too hot", "humidity": "too damp",
    "vapour": "too much vapour",
}  # fmt: skip
_LATER: Final = "as it dries"
_SIGNS: Final = {"go": "●", "go if": "◐", "no go": "✕"}


class Spell(NamedTuple):
    """Hours one after another with the same verdict: their places, and what is said of the first.

    until is the clock time at which the next spell begins, "" for the last; against names in a
    word or two what reasons says in full.
    """

    verdict: str
    first: int
    last: int
    since: str
    until: str
    reasons: tuple[str, ...]
    against: tuple[str, ...]


def verdict_sign(verdict: str) -> str:
    """A mark for a verdict that needs no colour."""
    return _SIGNS[verdict]


def spells(hours: Sequence[Hour], product: str) -> list[Spell]:
    """The hours of one product as spells with the same verdict and the same things against it."""
    found: list[tuple[Go, list[int]]] = []
    for index, hour in enumerate(hours):
        go = product_of(hour, product)
        if found and _same(found[-1][0], go):
            found[-1][1].append(index)
        else:
            found.append((go, [index]))
    ends = [hours[places[0]].stamp for _, places in found[1:]] + [""]
    return [
        Spell(
            go.verdict, places[0], places[-1], hours[places[0]].stamp, end, go.reasons, _named(go)
        )
        for (go, places), end in zip(found, ends, strict=True)
    ]  # fmt: skip


def spell_text(spell: Spell) -> str:
    """When a spell is, in words: "Mon 4 May 08:00 to 12:00"."""
    if not spell.since:
        return "as the shop usually is"
    if not spell.until:
        return f"from {clock(spell.since)} on"
    same = spell.since[:10] == spell.until[:10]
    return f"{clock(spell.since)} to {hour_of(spell.until) if same else clock(spell.until)}"


def product_of(hour: Hour, product: str) -> Go:
    """What an hour says of a product."""
    return next(go for go in hour.products if go.key == product)


def _same(one: Go, other: Go) -> bool:
    return (one.verdict, _against(one), bool(one.reasons)) == (
        other.verdict,
        _against(other),
        bool(other.reasons),
    )


def _against(go: Go) -> tuple[str, ...]:
    return tuple(check.key for check in go.checks if not check.holds)


def _named(go: Go) -> tuple[str, ...]:
    """What is against it in a word or two; more reasons than failed checks speak of the drying."""
    failed = _against(go)
    later = (_LATER,) if len(go.reasons) > len(failed) else ()
    return (*(_AGAINST.get(key, key) for key in failed), *later)


def worst_margin(hour: Hour) -> Check | None:
    """The margin over the dew point, the worse of fan off and fan on, with its bound."""
    checks = [check for go in hour.products for check in go.checks if check.key == "dew-point"]
    return min(checks, key=lambda check: check.value.value, default=None)


def day_svg(name: str, hours: Sequence[Hour], words: Words) -> str:
    """Air, metal and dew point above, the margin between the last two below, over the hours."""
    x = Scale(hours[0].time.value, hours[-1].time.value, _LEFT, _RIGHT)
    warm = [_degrees(hour.metal.value, words) for hour in hours]
    air = [_degrees(hour.air.value, words) for hour in hours]
    dew = [_degrees(hour.dew_point.value, words) for hour in hours]
    y = _rounded(min(*warm, *air, *dew), max(*warm, *air, *dew), _WARM)
    at = [x(hour.time.value) for hour in hours]
    unit = unit_of("temperature", words.system)
    return picture(
        name,
        "Dew-point margin through the day",
        describe_day(hours, words),
        _MARGIN[1] + 34,
        tag("defs", hatch(f"{name}-wet", 6.0, 0.7)),
        label(f"temperature, {unit}", 4, 14, font_weight="bold"),
        *_grid(y, words),
        tag("path", d=path([(a, y(v)) for a, v in zip(at, air, strict=True)]), fill="none",
            stroke="currentColor", stroke_width=1.1),
        tag("path", d=path([(a, y(v)) for a, v in zip(at, warm, strict=True)]), fill="none",
            stroke="currentColor", stroke_width=2.8),
        tag("path", d=path([(a, y(v)) for a, v in zip(at, dew, strict=True)]), fill="none",
            stroke="currentColor", stroke_width=1.6, stroke_dasharray="2 3"),
        *_key(),
        *_margins(f"{name}-wet", hours, x, words),
        *_clock(hours, x, _MARGIN[1]),
    )  # fmt: skip


def describe_day(hours: Sequence[Hour], words: Words) -> str:
    """The margin in one sentence."""
    least = min(hours, key=lambda hour: hour.margin.value)
    return (
        f"The metal is {words.brief(least.margin)} from the dew point at {hour_of(least.stamp)}, "
        f"the least of {len(hours)} readings."
    )


def day_rows(hours: Sequence[Hour], words: Words) -> list[tuple[str, ...]]:
    """The hours as a table: time, air, air with the fan on, metal, humidity, dew point, margin."""
    return [
        (
            clock(hour.stamp) or "usual",
            words.brief(hour.air),
            words.brief(hour.spraying_air),
            words.brief(hour.metal),
            words.brief(hour.humidity),
            words.brief(hour.dew_point),
            words.brief(hour.margin),
        )
        for hour in hours
    ]


def go_svg(name: str, hours: Sequence[Hour]) -> str:
    """A bar for each product over the hours: full for go, hatched for go if, a line for no go."""
    x = Scale(hours[0].time.value, _end(hours), _LEFT - 28, _RIGHT)
    made = [tag("defs", hatch(f"{name}-if", 4.0, 1.1))]
    base = 26.0
    made += _legend(f"{name}-if")
    for go in hours[0].products:
        made.append(label(go.title, 4, base + 14, font_weight="bold"))
        for spell in spells(hours, go.key):
            made.append(_span(f"{name}-if", spell, hours, x, base + 19))
        base += _ROW
    made += _clock(hours, x, base + 4)
    return picture(name, "Go or no-go through the day", describe_go(hours), base + 38, *made)


def describe_go(hours: Sequence[Hour]) -> str:
    """The verdicts in words, product by product."""
    return " ".join(
        f"{go.title}: "
        + ", ".join(f"{spell_text(one)} {one.verdict}" for one in merged(spells(hours, go.key)))
        + "."
        for go in hours[0].products
    )


def merged(found: Sequence[Spell]) -> list[Spell]:
    """Spells with the same verdict one after another as one, whatever the reasons."""
    made: list[Spell] = []
    for one in found:
        if made and made[-1].verdict == one.verdict:
            every = dict.fromkeys((*made[-1].against, *one.against))
            made[-1] = made[-1]._replace(last=one.last, until=one.until, against=tuple(every))
        else:
            made.append(one)
    return made


def _degrees(value: float, words: Words) -> float:
    return shown(value, "temperature", words.system)[0]


def _rounded(low: float, high: float, ends: tuple[float, float]) -> Scale:
    step = 5.0
    return Scale(step * (low // step), step * (high // step + 1), ends[1], ends[0])


def _grid(y: Scale, words: Words) -> list[str]:
    made = []
    for value in ticks(y.high, 5, y.low):
        made.append(line(_LEFT, y(value), _RIGHT, y(value), stroke_width=0.5, stroke_opacity="0.4"))
        made.append(
            label(words.tick(value), _LEFT - 6, y(value) + 4, size=SMALL, text_anchor="end")
        )
    return made


def _key() -> list[str]:
    made = []
    for x, text, width, dash in (
        (150.0, "metal", 2.8, None), (220.0, "air", 1.1, None), (272.0, "dew point", 1.6, "2 3"),
    ):  # fmt: skip
        made.append(line(x, 10, x + 18, 10, stroke_width=width, stroke_dasharray=dash))
        made.append(label(text, x + 22, 14, size=SMALL))
    return made


def _margins(wet: str, hours: Sequence[Hour], x: Scale, words: Words) -> list[str]:
    """The margin with the fan off (heavy) and the worse of off and on (thin), with the bound."""
    worst = [worst_margin(hour) for hour in hours]
    still = [_apart(hour.margin.value, words) for hour in hours]
    fan = [_apart(one.value.value, words) for one in worst if one is not None]
    bound = next((_apart(one.bound.value, words) for one in worst if one is not None), 0.0)
    y = Scale(min(0.0, *still, *fan), max(bound * 1.5, *still, *fan), _MARGIN[1], _MARGIN[0])
    at = [x(hour.time.value) for hour in hours]
    unit = unit_of("temperature difference", words.system)
    made = [
        label(f"metal above the dew point, {unit}", 4, _MARGIN[0] - 16, font_weight="bold"),
        tag("rect", x=_LEFT, y=y(bound), width=_RIGHT - _LEFT, height=_MARGIN[1] - y(bound),
            fill=f"url(#{wet})", opacity="0.55"),
        line(_LEFT, y(bound), _RIGHT, y(bound), stroke_width=1.6),
        *_grid(y, words),
        tag("path", d=path([(a, y(v)) for a, v in zip(at, still, strict=True)]), fill="none",
            stroke="currentColor", stroke_width=2.8),
    ]  # fmt: skip
    top = min(max(at[still.index(max(still))], _LEFT + 44), _RIGHT - 44)
    style = {"size": SMALL, "text_anchor": "middle", "class_": "halo"}
    made.append(label("least asked for", top, y(bound) + 14, **style))  # type: ignore[arg-type]
    if len(fan) == len(at):
        curve = path([(a, y(v)) for a, v in zip(at, fan, strict=True)])
        made.append(tag("path", d=curve, fill="none", stroke="currentColor", stroke_width=1.1))
    return made


def _apart(value: float, words: Words) -> float:
    return shown(value, "temperature difference", words.system)[0]


def _end(hours: Sequence[Hour]) -> float:
    """The end of the last hour, taken as long as the one before it."""
    last = hours[-1].time.value
    return last + (last - hours[-2].time.value if len(hours) > 1 else 3600.0)


def _clock(hours: Sequence[Hour], x: Scale, base: float) -> list[str]:
    """Clock times along the foot; the day where it changes."""
    made = [line(x.start, base, x.end, base)]
    every = max(1, round(len(hours) / 6))
    day = ""
    for index, hour in enumerate(hours):
        if index % every:
            continue
        place = x(hour.time.value)
        near = place > x.end - 14
        anchor = "end" if near else "start" if place < 20 else "middle"
        made.append(line(place, base, place, base + 4))
        made.append(label(hour_of(hour.stamp), place, base + 15, size=SMALL, text_anchor=anchor))
        if hour.stamp[:10] != day:
            day = hour.stamp[:10]
            text = clock(hour.stamp)[:-6]
            made.append(label(text, place, base + 28, size=SMALL, text_anchor=anchor))
    return made


def _legend(hatched: str) -> list[str]:
    box = {"y": 4.0, "width": 18.0, "height": _BAR, "stroke": "currentColor", "stroke_width": 0.8}
    return [
        tag("rect", x=4.0, fill="currentColor", **box),
        label("go", 27, 14, size=SMALL),
        tag("rect", x=56.0, fill=f"url(#{hatched})", **box),
        label("go if", 79, 14, size=SMALL),
        line(124, 10, 142, 10, stroke_width=1.4),
        label("no go", 147, 14, size=SMALL),
    ]


def _span(hatched: str, spell: Spell, hours: Sequence[Hour], x: Scale, y: float) -> str:
    left = x(hours[spell.first].time.value)
    ends = len(hours) == spell.last + 1
    right = x(_end(hours) if ends else hours[spell.last + 1].time.value)
    if spell.verdict == "no go":
        return line(left, y + _BAR / 2, right, y + _BAR / 2, stroke_width=1.4)
    fill = "currentColor" if spell.verdict == "go" else f"url(#{hatched})"
    box = {"x": left, "y": y, "width": right - left, "height": _BAR}
    return tag("rect", fill=fill, stroke="currentColor", stroke_width=0.8, **box)
