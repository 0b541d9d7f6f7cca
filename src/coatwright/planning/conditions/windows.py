"""Opens, best, closes: the recoat window of every layer, through a day that warms and cools."""

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from typing import NamedTuple

from coatwright.figures import Figure
from coatwright.model.job import Job
from coatwright.model.material import Material
from coatwright.planning.conditions.blends import Solvents, standard
from coatwright.planning.conditions.climate import ShopDay
from coatwright.planning.conditions.drying import (
    LONGEST,
    SHEET_TEMPERATURE,
    Case,
    Laid,
    Weather,
    corrected,
    corrected_layer,
)
from coatwright.planning.conditions.lapses import Bill, lapse
from coatwright.planning.conditions.window_plan import (
    Corrected,
    Lapse,
    Timing,
    Window,
    WindowMap,
)
from coatwright.planning.plan import AreaPlan, PatchPlan, StrokeRecipe
from coatwright.sentences import say

__all__ = [
    "Laid",
    "Laying",
    "Season",
    "Weather",
    "corrected",
    "corrected_layer",
    "window_map",
    "windows",
]

Track = Callable[[float], Weather]
"""Weather at a time [s] from the start."""

NODE = 2.0
"""Temperatures at which a day's times are worked out lie this far apart [K]."""

STRIDE = 900.0
"""Step in which a day's weather is followed [s]."""


@dataclass(frozen=True)
class Season:
    """What a window map is drawn with: product sheets, the shop's day, and what repairs cost.

    begun: when the first layer of an area is begun [s from the day's start]; areas not named begin
    at 0. laid: when the last coat of a layer was really laid, by (area, patch, product).
    """

    library: Mapping[str, Material]
    day: ShopDay
    bill: Bill
    begun: Mapping[str, float] = field(default_factory=dict)
    laid: Mapping[tuple[str, str, str], float] = field(default_factory=dict)
    solvents: Solvents | None = None


@dataclass(frozen=True)
class Laying:
    """One layer laid on one patch: film, and when its last coat was laid [s from the start].

    at None: as soon as the layer below it opens (the start, for the first). rubbed: it is rubbed
    down before the next, so that it also opens no sooner than it can be sanded. final: nothing
    follows.
    """

    area: str
    patch: str
    material: Material
    laid: Laid
    at: float | None = None
    spraying: float = 0.0
    lapse: Lapse | None = None
    rubbed: bool = False
    final: bool = False


def window_map(
    job: Job, areas: Sequence[AreaPlan], recipes: Mapping[str, StrokeRecipe], season: Season
) -> WindowMap:
    """The windows of every layer of every patch, what lapses next first.

    Each layer is laid as soon as the one below opens, unless season.laid says when it was.
    """
    gauges = {area.key: area.gauge for area in job.areas}
    found: list[Window] = []
    for area in areas:
        gauge = gauges[area.key]

        def track(when: float, gauge: float = gauge) -> Weather:
            return season.day.at(when, gauge)

        weather = season.day.at(0.0, gauge) if season.day.steady else track
        for patch in area.patches:
            layers = _layings(area, patch, recipes, season)
            found += windows(layers, weather, season.day.start, season.solvents)
    start = season.day.stamp(0.0)
    shut = tuple(
        say(
            "{area}, {title}: on this day it closes before it opens: warm it, or abrade",
            area=one.area,
            title=one.title,
        )
        for one in found
        if one.shut
    )
    return WindowMap(tuple(sorted(found, key=_urgency)), start, shut)


def _layings(
    area: AreaPlan, patch: PatchPlan, recipes: Mapping[str, StrokeRecipe], season: Season
) -> list[Laying]:
    below: list[tuple[Material, float]] = []
    found: list[Laying] = []
    for index, layer in enumerate(patch.layers):
        material = season.library[layer.product]
        below.append((material, layer.laid.value))
        coats = max(round(layer.coats.value), 1)
        recipe = recipes.get(layer.recipe)
        begun = season.begun.get(area.key) if index == 0 else None
        found.append(
            Laying(
                area=area.key,
                patch=patch.key,
                material=material,
                laid=Laid(layer.laid.value / coats, layer.laid.value),
                at=season.laid.get((area.key, patch.key, layer.product), begun),
                spraying=recipe.spray_minutes.value if recipe else 0.0,
                rubbed=bool(layer.rubs),
                final=index == len(patch.layers) - 1,
                lapse=lapse(tuple(below), patch.surface.value, material.recoat.min, season.bill),
            )
        )
    return found


def windows(
    layers: Sequence[Laying],
    weather: Weather | Track,
    start: datetime | None = None,
    solvents: Solvents | None = None,
) -> tuple[Window, ...]:
    """The window of every layer, what lapses next first.

    Layers of one patch stand in the order they are laid. With weather that changes, each step of
    the day adds the share of the time that it would take at that step's weather.
    """
    track: Track = _Steady(weather) if isinstance(weather, Weather) else weather
    found: list[Window] = []
    ready: dict[tuple[str, str], float] = {}
    for layer in layers:
        place = (layer.area, layer.patch)
        coats = max(round(layer.laid.layer / layer.laid.coat), 1)
        at = layer.at
        if at is None:
            flash = corrected_layer(layer.material, layer.laid, track(ready.get(place, 0.0)))
            between = (coats - 1) * flash.flash.corrected.value
            at = ready.get(place, 0.0) + layer.spraying + between
        window = _window(layer, at, track, start, solvents)
        ready[place] = window.opens.value
        found.append(window)
    return tuple(sorted(found, key=_urgency))


def _urgency(window: Window) -> tuple[bool, float, str]:
    return (window.final, window.closes.value if window.closes else math.inf, window.key)


@dataclass(frozen=True)
class _Steady:
    """Weather that does not change: what takes a time takes just that."""

    weather: Weather

    def __call__(self, _: float) -> Weather:
        return self.weather


def _window(
    layer: Laying, at: float, track: Track, start: datetime | None, solvents: Solvents | None
) -> Window:
    table = _Table(layer, solvents)
    done = _at_once if isinstance(track, _Steady) else until
    opens = done(lambda when: table.opens(track(when)), at)
    first = corrected_layer(layer.material, layer.laid, track(at), solvents)
    closes = None
    if layer.material.recoat.max is not None:
        closes = done(lambda when: table.closes(track(when)), at)
        closes = min(closes, at + layer.material.recoat.max)
    best = _best(at, opens, closes)
    return Window(
        key=f"{layer.area}-{layer.patch}-{layer.material.key}",
        area=layer.area,
        patch=layer.patch,
        product=layer.material.key,
        title=layer.material.title,
        laid=_figure(at, "given, or the layer below opens", {}),
        opens=_figure(opens, "sum of step / time at that step's weather reaches 1", _in(first)),
        best=_figure(best, "equally far, as a ratio, from opening and closing", _in(first)),
        closes=None if closes is None else _figure(closes, "as opens", _in(first)),
        stamps=_stamps(start, at, opens, best, closes),
        past=layer.material.recoat.past,
        why=first.recoat_from.why,
        shut=closes is not None and closes <= opens,
        lapse=layer.lapse,
        final=layer.final,
    )


def until(length: Callable[[float], float], at: float) -> float:
    """When something that begins at a time [s] is done, if it takes length(t) at the weather of t.

    Each step adds its share of the whole; ends at LONGEST after the beginning at the latest.
    """
    done, when = 0.0, at
    while when - at < LONGEST:
        whole = length(when)
        step = max(STRIDE, 0.01 * (when - at))
        share = step / whole
        if done + share >= 1.0:
            return when + (1.0 - done) * whole
        done, when = done + share, when + step
    return at + LONGEST


def _at_once(length: Callable[[float], float], at: float) -> float:
    """The same where the weather never changes."""
    return at + min(length(at), LONGEST)


def _best(at: float, opens: float, closes: float | None) -> float:
    if closes is None:
        return at + 1.5 * (opens - at)
    if closes <= opens:
        return opens
    return at + math.sqrt(max(opens - at, 1.0) * (closes - at))


class _Times(NamedTuple):
    """If the weather stayed as it is [s]: to opening, to sanding, and to closing, bounds aside."""

    opens: float
    sands: float
    closes: float


class _Table:
    """The times of one layer by metal temperature, worked out once for each NODE and joined.

    The laws are joined, and the sheet's own least and most held afterwards: they have corners.
    """

    def __init__(self, layer: Laying, solvents: Solvents | None) -> None:
        self.layer, self.solvents = layer, solvents or standard()
        self.known: dict[Weather, _Times] = {}

    def opens(self, weather: Weather) -> float:
        """From laying to opening, if this weather stayed [s]."""
        times = self._at(weather)
        return max(times.opens, self.layer.material.recoat.min, times.sands)

    def closes(self, weather: Weather) -> float:
        """From laying to closing, if this weather stayed [s]; LONGEST without a limit."""
        longest = self.layer.material.recoat.max
        return min(self._at(weather).closes, LONGEST if longest is None else longest)

    def _at(self, weather: Weather) -> _Times:
        """Logarithms joined by straight lines between nodes."""
        steps = math.floor((weather.metal - SHEET_TEMPERATURE) / NODE)
        low = SHEET_TEMPERATURE + steps * NODE
        part = (weather.metal - low) / NODE
        below, above = self._node(low, weather), self._node(low + NODE, weather)
        pairs = zip(below, above, strict=True)
        return _Times(*(one ** (1 - part) * two**part if one > 0 else 0.0 for one, two in pairs))

    def _node(self, metal: float, weather: Weather) -> _Times:
        warmer = round(weather.air - weather.metal)
        humidity = round(weather.humidity * 20) / 20
        node = Weather(metal, metal + warmer, humidity, round(weather.speed, 1))
        if node not in self.known:
            self.known[node] = self._times(node)
        return self.known[node]

    def _times(self, node: Weather) -> _Times:
        material = self.layer.material
        case = Case(material, self.layer.laid, node, self.solvents)
        opens = case.timing("recoat_from", material.recoat.min).free.value
        sands = 0.0
        if self.layer.rubbed and material.dry_to_sand is not None:
            sands = case.timing("sand_from", material.dry_to_sand).free.value
        closes = LONGEST
        if material.recoat.max is not None:
            closes = case.closing("recoat_until", material.recoat.max).free.value
        return _Times(opens, sands, closes)


def _figure(value: float, formula: str, inputs: dict[str, Figure | str]) -> Figure:
    return Figure(value, "hours", "formula", "equal-residue", formula, inputs)


def _in(times: Corrected) -> dict[str, Figure | str]:
    parts: dict[str, Timing | None] = {"from": times.recoat_from, "until": times.recoat_until}
    return {name: timing.corrected for name, timing in parts.items() if timing is not None}


def _stamps(
    start: datetime | None, at: float, opens: float, best: float, closes: float | None
) -> tuple[str, str, str, str]:
    if start is None:
        return ("", "", "", "")
    told = [
        (start + timedelta(seconds=one)).isoformat(" ", "minutes") if one is not None else ""
        for one in (at, opens, best, closes)
    ]
    return (told[0], told[1], told[2], told[3])
