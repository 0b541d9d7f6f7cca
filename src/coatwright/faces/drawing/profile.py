"""The film across the strokes of a recipe, and its wet coat against the run limit."""

import math
from collections.abc import Sequence
from itertools import pairwise
from typing import Final, NamedTuple

from coatwright.faces.drawing.ink import hatch, viridis
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
from coatwright.planning.plan import Profile
from coatwright.units import System, shown

_LEFT: Final = 46.0
_RIGHT: Final = 350.0
_FILM: Final = (40.0, 190.0)
_WET: Final = (246.0, 318.0)
_HEIGHT: Final = 356.0
_MOST_POINTS: Final = 160
_ROWS: Final = 9
_NO_LIMIT: Final = 5e-3

Point = tuple[float, float]


class _Curves(NamedTuple):
    """The profile as plain lists, thinned to what a picture can show, in the reader's units."""

    across: list[float]
    low: list[float]
    mean: list[float]
    high: list[float]
    wet: list[float]
    limit: float
    wanted: tuple[float, float]


class _Panel(NamedTuple):
    x: Scale
    y: Scale


def profile_svg(name: str, profile: Profile, words: Words) -> str:
    """The film profile as SVG; name is used for ids and must be unique on the page."""
    curves = _curves(profile, words.system, _MOST_POINTS)
    x = Scale(curves.across[0], curves.across[-1], _LEFT, _RIGHT)
    film = _Panel(x, Scale(0.0, _film_top(curves), _FILM[1], _FILM[0]))
    wet = _Panel(x, Scale(0.0, _wet_top(curves), _WET[1], _WET[0]))
    return picture(
        name,
        words.say("Film across the strokes"),
        describe_profile(profile, words),
        _HEIGHT,
        _definitions(name, curves),
        *_facets(profile, film, words),
        *_wanted(name, curves, film),
        *_film(name, curves, film),
        *_wanted_labels(curves, film, words),
        *_strokes(profile, x, words),
        *_marks(curves, x, words),
        *_axis(film, words, words.say("dry film, all coats")),
        *_wet(name, (curves, wet), words),
        *_axis(wet, words, words.say("fullest wet coat")),
        *_across(x, words),
    )


def profile_rows(profile: Profile, words: Words) -> list[tuple[str, str, str, str]]:
    """The profile as a table: place across the strokes, mean film, low to high, one wet coat."""
    places = [round(index * (len(profile.across) - 1) / (_ROWS - 1)) for index in range(_ROWS)]
    low, mean, high = (curve.tolist() for curve in (profile.low, profile.mean, profile.high))
    wet = profile.one_coat_wet.tolist()
    return [
        (
            words.value(float(profile.across[i]), "length"),
            words.value(mean[i], "film"),
            _ends(low[i], high[i], words),
            words.value(wet[i], "film"),
        )
        for i in dict.fromkeys(places)
    ]


def limit_text(profile: Profile, words: Words) -> str:
    """The run limit in words; on a floor nothing runs."""
    if profile.run_limit < _NO_LIMIT:
        return words.value(profile.run_limit, "film")
    return words.say("none: the surface lies level")


def describe_profile(profile: Profile, words: Words) -> str:
    """The profile in two sentences."""
    thin, thick = min(profile.low.tolist()), max(profile.high.tolist())
    least, most = words.value(profile.wanted_low, "film"), words.value(profile.wanted_high, "film")
    light = thin < profile.wanted_low
    runs = max(profile.one_coat_wet.tolist()) > profile.run_limit
    return " ".join(
        (
            words.say(
                "Dry film from {ends} across the strokes; wanted {least} to {most}.",
                ends=_ends(thin, thick, words),
                least=least,
                most=most,
            ),
            words.say("May be light in places.")
            if light
            else words.say("Light nowhere by the low line."),
            words.say("The fullest wet coat passes the run limit.")
            if runs
            else words.say("The fullest wet coat stays under the run limit."),
        )
    )


def _ends(low: float, high: float, words: Words) -> str:
    least, most = words.value(low, "film"), words.value(high, "film")
    return words.say("{least} to {most}", least=least, most=most)


def _curves(profile: Profile, system: System, most: int) -> _Curves:
    step = max(1, math.ceil((len(profile.across) - 1) / most))
    picked = sorted({*range(0, len(profile.across), step), len(profile.across) - 1})

    def film(values: Sequence[float]) -> list[float]:
        return [shown(float(values[i]), "film", system)[0] for i in picked]

    return _Curves(
        [shown(float(profile.across[i]), "length", system)[0] for i in picked],
        film(profile.low.tolist()),
        film(profile.mean.tolist()),
        film(profile.high.tolist()),
        film(profile.one_coat_wet.tolist()),
        shown(profile.run_limit, "film", system)[0],
        (
            shown(profile.wanted_low, "film", system)[0],
            shown(profile.wanted_high, "film", system)[0],
        ),
    )


def _film_top(curves: _Curves) -> float:
    tall = max(curves.high)
    wanted = curves.wanted[1] if curves.wanted[1] < 2.5 * tall else curves.wanted[0]
    return 1.12 * max(tall, wanted)


def _wet_top(curves: _Curves) -> float:
    tall, limit = max(curves.wet), curves.limit
    return 1.15 * max(tall, limit) if limit < 3.0 * tall else 1.45 * tall


def _definitions(name: str, curves: _Curves) -> str:
    """The fill of the film: its colour is the mean film, dark where thin."""
    top = _film_top(curves)
    first, last = curves.across[0], curves.across[-1]
    every = max(1, len(curves.across) // 40)
    stops = [
        tag(
            "stop",
            offset=f"{(curves.across[i] - first) / (last - first):.3f}",
            stop_color=viridis(curves.mean[i] / top),
        )
        for i in range(0, len(curves.across), every)
    ]
    fill = tag("linearGradient", *stops, id=f"{name}-film")
    return tag(
        "defs", fill, hatch(f"{name}-wanted", 6.0, 0.5, 45), hatch(f"{name}-run", 4.0, 0.9, -45)
    )


def _points(panel: _Panel, across: Sequence[float], film: Sequence[float]) -> list[Point]:
    top = panel.y.high
    return [(panel.x(a), panel.y(min(f, top))) for a, f in zip(across, film, strict=True)]


def _wanted(name: str, curves: _Curves, film: _Panel) -> list[str]:
    low, high = curves.wanted
    upper = film.y(min(high, film.y.high))
    box = tag(
        "rect",
        x=_LEFT,
        y=upper,
        width=_RIGHT - _LEFT,
        height=film.y(low) - upper,
        fill=f"url(#{name}-wanted)",
        opacity="0.6",
    )
    shown_ends = [end for end in (low, high) if end <= film.y.high]
    return [
        box,
        *(
            line(_LEFT, film.y(end), _RIGHT, film.y(end), stroke_dasharray="7 3", stroke_width=1.2)
            for end in shown_ends
        ),
    ]


def _wanted_labels(curves: _Curves, film: _Panel, words: Words) -> list[str]:
    low, high = curves.wanted
    made = [
        _haloed(words.say("at least {film}", film=_plain(low, words)), _RIGHT - 3, film.y(low) + 13)
    ]
    if high <= film.y.high:
        made.append(
            _haloed(
                words.say("at most {film}", film=_plain(high, words)), _RIGHT - 3, film.y(high) - 4
            )
        )
    return made


def _haloed(text: str, x: float, y: float) -> str:
    return label(text, x, y, size=SMALL, text_anchor="end", class_="halo", font_weight="bold")


def _plain(value: float, words: Words) -> str:
    return words.tick(float(f"{value:.2g}") if value < 100 else round(value))


def _film(name: str, curves: _Curves, film: _Panel) -> list[str]:
    low, high = _points(film, curves.across, curves.low), _points(film, curves.across, curves.high)
    return [
        tag(
            "path",
            d=path([*low, *reversed(high)], closed=True),
            fill=f"url(#{name}-film)",
            fill_opacity="0.75",
            stroke="none",
        ),
        tag("path", d=path(low), fill="none", stroke="currentColor", stroke_width=0.9),
        tag("path", d=path(high), fill="none", stroke="currentColor", stroke_width=0.9),
        tag(
            "path",
            d=path(_points(film, curves.across, curves.mean)),
            fill="none",
            stroke="currentColor",
            stroke_width=2.2,
            class_="mean",
        ),
    ]


def _wet(name: str, drawn: tuple[_Curves, _Panel], words: Words) -> list[str]:
    curves, wet = drawn
    made = [
        tag(
            "path",
            d=path(_points(wet, curves.across, curves.wet)),
            fill="none",
            stroke="currentColor",
            stroke_width=1.8,
        )
    ]
    if curves.limit >= wet.y.high:
        text = (
            words.say("run limit: none here")
            if math.isinf(curves.limit)
            else words.say("runs above {film}", film=_plain(curves.limit, words))
        )
        return [
            *made,
            label(text, _RIGHT - 3, _WET[0] + 10, size=SMALL, text_anchor="end", class_="halo"),
        ]
    y = wet.y(curves.limit)
    box = tag(
        "rect",
        x=_LEFT,
        y=_WET[0],
        width=_RIGHT - _LEFT,
        height=y - _WET[0],
        fill=f"url(#{name}-run)",
        opacity="0.55",
    )
    rule = line(_LEFT, y, _RIGHT, y, stroke_width=1.2, stroke_dasharray="7 3")
    told = words.say("runs above {film}", film=_plain(curves.limit, words))
    return [box, rule, *made, _haloed(told, _RIGHT - 3, y - 4)]


def _facets(profile: Profile, film: _Panel, words: Words) -> list[str]:
    """Where one face of the shape ends and the next begins, with its name."""
    made = []
    for index, (title, start, end) in enumerate(_merged(profile.facets)):
        left, right = (film.x(shown(place, "length", words.system)[0]) for place in (start, end))
        if index:
            made.append(
                line(left, _FILM[0] - 12, left, _WET[1], stroke_dasharray="2 3", stroke_width=0.8)
            )
        made.append(
            label(
                title if right - left > 6.0 * len(title) else "",
                (left + right) / 2,
                _FILM[0] - 4,
                size=SMALL,
                text_anchor="middle",
                font_style="italic",
            )
        )
    return made


def _merged(facets: Sequence[tuple[str, float, float]]) -> list[tuple[str, float, float]]:
    """Neighbours of one name (the facets of an arc) as one."""
    found: list[tuple[str, float, float]] = []
    for title, start, end in facets:
        if found and found[-1][0] == title:
            found[-1] = (title, found[-1][1], end)
        else:
            found.append((title, start, end))
    return found


def _strokes(profile: Profile, x: Scale, words: Words) -> list[str]:
    """A small arrowhead under the axis for the middle of every stroke that passes here."""
    made = []
    y = _FILM[1] + 3
    for place in profile.strokes.tolist():
        value = shown(place, "length", words.system)[0]
        if x.low <= value <= x.high:
            middle = x(value)
            made.append(
                tag(
                    "path",
                    d=path([(middle, y), (middle - 3, y + 7), (middle + 3, y + 7)], closed=True),
                    fill="currentColor",
                )
            )
    if made:
        made.append(label(words.say("middle of each stroke"), _LEFT, _FILM[1] + 22, size=SMALL))
    return made


def _intervals(
    across: Sequence[float], lower: Sequence[float], upper: Sequence[float]
) -> list[tuple[float, float]]:
    """Where `lower` lies under `upper`, as stretches of the way across."""
    found: list[tuple[float, float]] = []
    inside = [low < high for low, high in zip(lower, upper, strict=True)]
    for index, (a, b) in enumerate(pairwise(across)):
        if inside[index] or inside[index + 1]:
            if found and found[-1][1] == a:
                found[-1] = (found[-1][0], b)
            else:
                found.append((a, b))
    return found


def _marks(curves: _Curves, x: Scale, words: Words) -> list[str]:
    """Stretches that may be light (open bar, "light") or may run (full bar, "run")."""
    light = _intervals(curves.across, curves.low, [curves.wanted[0]] * len(curves.low))
    runs = _intervals(curves.across, [curves.limit] * len(curves.wet), curves.wet)
    made = [_mark(x, stretch, _FILM[1] - 7, None) for stretch in light]
    made += [_mark(x, stretch, _WET[1] - 7, "currentColor") for stretch in runs]
    if light:
        made.append(_mark_key(words.say("open bar: may be light"), _FILM[1] + 22))
    if runs:
        made.append(_mark_key(words.say("full bar: may run"), _WET[0] - 6))
    return made


def _mark(x: Scale, stretch: tuple[float, float], y: float, fill: str | None) -> str:
    left, right = x(stretch[0]), x(stretch[1])
    return tag(
        "rect",
        x=left,
        y=y,
        width=max(right - left, 3.0),
        height=6,
        rx=1,
        fill=fill or "var(--paper, #fff)",
        stroke="currentColor",
        stroke_width=1.2,
    )


def _mark_key(text: str, y: float) -> str:
    return label(text, _RIGHT, y, size=SMALL, text_anchor="end")


def _axis(panel: _Panel, words: Words, title: str) -> list[str]:
    made = [
        line(_LEFT, panel.y.start, _LEFT, panel.y.end),
        line(_LEFT, panel.y.start, _RIGHT, panel.y.start),
    ]
    for value in ticks(panel.y.high, 4 if panel.y.start - panel.y.end > 100 else 2):
        y = panel.y(value)
        made.append(line(_LEFT - 4, y, _LEFT, y))
        made.append(label(words.tick(value), _LEFT - 7, y + 4, size=SMALL, text_anchor="end"))
    up = panel.y.end - (24 if panel.y.end < 100 else 6)
    made.append(label(f"{title}, {unit_of('film', words.system)}", 4, up, font_weight="bold"))
    return made


def _across(x: Scale, words: Words) -> list[str]:
    made = []
    y = _WET[1]
    for value in ticks(x.high, 5, x.low):
        made.append(line(x(value), y, x(value), y + 4))
        made.append(label(words.tick(value), x(value), y + 16, size=SMALL, text_anchor="middle"))
    unit = unit_of("length", words.system)
    return [
        *made,
        label(
            words.say("{unit} across the strokes", unit=unit),
            (_LEFT + _RIGHT) / 2,
            y + 32,
            size=SMALL,
            text_anchor="middle",
        ),
    ]
