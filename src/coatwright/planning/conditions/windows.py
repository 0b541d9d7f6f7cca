"""Opens, best, closes: the recoat window of every layer, through a day that warms and cools."""

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import NamedTuple

from coatwright.figures import Figure
from coatwright.model.material import Material
from coatwright.planning.conditions.blends import Solvents
from coatwright.planning.conditions.drying import (
    LONGEST,
    Laid,
    Weather,
    corrected,
    corrected_layer,
)
from coatwright.planning.conditions.window_plan import Corrected, Lapse, Timing, Window

__all__ = ["Laid", "Laying", "Weather", "corrected", "corrected_layer", "windows"]

Track = Callable[[float], Weather]
"""Weather at a time [s] from the start."""

NODE = 2.0
"""Temperatures at which a day's times are worked out lie this far apart [K]."""

STRIDE = 900.0
"""Step in which a day's weather is followed [s]."""


@dataclass(frozen=True)
class Laying:
    """One layer laid on one patch: film, and when its last coat was laid [s from the start].

    at None: as soon as the layer below it opens (the start, for the first).
    """

    area: str
    patch: str
    material: Material
    laid: Laid
    at: float | None = None
    spraying: float = 0.0
    lapse: Lapse | None = None


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
    track: Track = (lambda _: weather) if isinstance(weather, Weather) else weather
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


def _urgency(window: Window) -> tuple[float, str]:
    return (window.closes.value if window.closes else math.inf, window.key)


def _window(
    layer: Laying, at: float, track: Track, start: datetime | None, solvents: Solvents | None
) -> Window:
    table = _Table(layer.material, layer.laid, solvents)

    def times(when: float) -> _Times:
        return table.at(track(when))

    opens = until(lambda when: times(when).opens, at)
    first = corrected_layer(layer.material, layer.laid, track(at), solvents)
    closes = None
    if layer.material.recoat.max is not None:
        closes = min(until(lambda when: times(when).closes, at), at + layer.material.recoat.max)
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


def _best(at: float, opens: float, closes: float | None) -> float:
    if closes is None:
        return at + 1.5 * (opens - at)
    if closes <= opens:
        return opens
    return at + math.sqrt(max(opens - at, 1.0) * (closes - at))


class _Times(NamedTuple):
    """From laying to opening and to closing, if the weather stayed as it is [s]."""

    opens: float
    closes: float


class _Table:
    """The times of one layer by metal temperature, worked out once for each NODE and joined."""

    def __init__(self, material: Material, laid: Laid, solvents: Solvents | None) -> None:
        self.material, self.laid, self.solvents = material, laid, solvents
        self.known: dict[Weather, _Times] = {}

    def at(self, weather: Weather) -> _Times:
        """The times at one weather: logarithms joined by straight lines between nodes."""
        low = math.floor(weather.metal / NODE) * NODE
        part = (weather.metal - low) / NODE
        pairs = zip(self._node(low, weather), self._node(low + NODE, weather), strict=True)
        return _Times(*(one ** (1 - part) * two**part for one, two in pairs))

    def _node(self, metal: float, weather: Weather) -> _Times:
        warmer = round(weather.air - weather.metal)
        humidity = round(weather.humidity * 20) / 20
        node = Weather(metal, metal + warmer, humidity, round(weather.speed, 1))
        if node not in self.known:
            times = corrected_layer(self.material, self.laid, node, self.solvents)
            closes = times.recoat_until
            self.known[node] = _Times(
                times.recoat_from.corrected.value, closes.corrected.value if closes else LONGEST
            )
        return self.known[node]


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
