"""The weather over the days of a plan, and what it makes of a sheet's times."""

import math
from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from datetime import datetime, time
from typing import NamedTuple

from coatwright.model.conditions.hours import Hours, seconds_of
from coatwright.model.material import Material
from coatwright.planning.conditions.blends import standard
from coatwright.planning.conditions.climate import ShopDay, shop_day
from coatwright.planning.conditions.drying import (
    LONGEST,
    SHEET_TEMPERATURE,
    Case,
    Laid,
    Weather,
    sealing,
)
from coatwright.planning.conditions.windows import until
from coatwright.planning.day.works import Asked, LayerWork

DAY = 86400.0
NODE = 3.0
"""Temperatures at which times are worked out lie this far apart [K]; between, logarithms are
joined by straight lines."""

LOOKS = 2 * 3600.0
"""Starts at which a day's times are worked out lie this far apart [s]."""


class Times(NamedTuple):
    """The times of a layer [s]: for the least times the longest of the day, for the most the
    shortest, so that they hold whenever it is laid. None: no limit, or not asked for."""

    flash: float
    opens: float
    closes: float | None
    sands: float
    dry: float
    seals: float | None
    why: str


class Laws(NamedTuple):
    """What the laws of drying and cure say if the weather stays [s], the sheet's bounds aside."""

    opens: float
    closes: float
    sands: float
    dry: float


class Laying(NamedTuple):
    """A product with its films [m] on metal of a gauge [m]."""

    material: Material
    laid: Laid
    gauge: float

    @classmethod
    def of(cls, layer: LayerWork, gauge: float) -> "Laying":
        """A layer as it lands, films to two figures."""
        return cls(layer.material, Laid(_to_two(layer.coat_film), _to_two(layer.film)), gauge)


@dataclass
class Sky:
    """The shop's weather by seconds from the first midnight; days past the table repeat its last.

    offset: from that midnight to the table's first line [s].
    """

    day: ShopDay
    hours: Hours
    offset: float = 0.0
    known: dict[object, Laws] = field(default_factory=dict)
    found: dict[object, Times] = field(default_factory=dict)

    @classmethod
    def over(cls, asked: Asked) -> "Sky":
        """The weather of a job's shop."""
        day = shop_day(asked.job, asked.readings)
        start = day.start
        midnight = datetime.combine(start.date(), time()) if start else None
        offset = (start - midnight).total_seconds() if start and midnight else 0.0
        return cls(day, asked.job.workshop.hours, offset)

    def at(self, when: float, gauge: float) -> Weather:
        """Weather at a time [s], extraction off."""
        return self.day.at(self._in_table(when), gauge)

    def spraying(self, when: float, gauge: float) -> Weather:
        """Weather at a time [s], with the extraction on."""
        return self.day.spraying(self._in_table(when), gauge)

    def _in_table(self, when: float) -> float:
        moment, last = when - self.offset, float(self.day.clock[-1])
        if last - float(self.day.clock[0]) < 0.8 * DAY:
            return moment
        while moment > last:
            moment -= DAY
        return moment + DAY if moment < 0 else moment

    def times(self, laying: Laying) -> Times:
        """Times that hold whenever in working hours the layer is laid."""
        key = laying.material.key, laying.laid, laying.gauge
        if key not in self.found:
            self.found[key] = self._times(laying)
        return self.found[key]

    def pot_life(self, material: Material) -> float | None:
        """Shortest pot life in the day's working hours [s]."""
        if material.pot_life is None:
            return None
        laid = Laid(material.film.min, material.film.total_min)
        lives = [
            self._case(Laying(material, laid, 0.8e-3), self.at(when, 0.8e-3))
            .pot("pot_life", material.pot_life)
            .corrected.value
            for when in self._looks()
        ]
        return min(lives)

    def _looks(self) -> list[float]:
        if self.day.steady:
            return [seconds_of(self.hours.opens)]
        low, high = seconds_of(self.hours.opens), seconds_of(self.hours.closes)
        return [low + n * LOOKS for n in range(int((high - low) // LOOKS) + 1)]

    def _times(self, laying: Laying) -> Times:
        each = [self.times_from(laying, when) for when in self._looks()]
        worst = max(each, key=lambda one: one.opens)
        return Times(
            flash=max(one.flash for one in each),
            opens=worst.opens,
            closes=_least(one.closes for one in each),
            sands=max(one.sands for one in each),
            dry=max(one.dry for one in each),
            seals=_least(one.seals for one in each),
            why=worst.why,
        )

    def times_from(self, laying: Laying, when: float) -> Times:
        """Times of a layer whose last coat is laid at a moment [s], weather followed from there."""
        material = laying.material
        now = self._case(laying, self.at(when, laying.gauge))

        def through(pick: Callable[[Laws], float]) -> float:
            if self.day.steady:
                return min(pick(self._laws(laying, when)), LONGEST)
            return until(lambda t: pick(self._laws(laying, t)), when) - when

        closes = None
        if material.recoat.max is not None:
            closes = min(through(lambda law: law.closes), material.recoat.max)
        dry = through(lambda law: law.dry)
        opens = now.timing("recoat_from", material.recoat.min, least=True)
        seals = sealing(now, material)
        return Times(
            flash=self._flash(laying, when),
            opens=max(through(lambda law: law.opens), material.recoat.min),
            closes=closes,
            sands=dry if material.dry_to_sand is None else through(lambda law: law.sands),
            dry=dry,
            seals=seals.corrected.value if seals else None,
            why=opens.why,
        )

    def _flash(self, laying: Laying, when: float) -> float:
        """Flash-off of a coat with the extraction on [s]."""
        weather = self._rounded(self.spraying(when, laying.gauge), math.floor)
        key = "flash", laying.material.key, laying.laid.coat, weather
        if key not in self.known:
            case = self._case(laying, weather)
            flash = case.timing("flash", laying.material.flash.min, cures=False, least=True)
            self.known[key] = Laws(flash.corrected.value, 0.0, 0.0, 0.0)
        return self.known[key].opens

    def _case(self, laying: Laying, weather: Weather) -> Case:
        return Case(laying.material, laying.laid, weather, standard())

    def _laws(self, laying: Laying, when: float) -> Laws:
        """What the laws say of a layer if the weather of a moment stayed [s]."""
        weather = self.at(when, laying.gauge)
        if self.day.steady:
            return self._node(laying, weather)
        low = self._rounded(weather, math.floor)
        high = low._replace(metal=low.metal + NODE, air=low.air + NODE)
        share = min(max((weather.metal - low.metal) / NODE, 0.0), 1.0)
        pairs = zip(self._node(laying, low), self._node(laying, high), strict=True)
        return Laws(*(a ** (1 - share) * b**share if min(a, b) > 0 else 0.0 for a, b in pairs))

    def _rounded(self, weather: Weather, way: Callable[[float], int]) -> Weather:
        """The weather at the nearest node, so that few are worked out; as it is if it is steady."""
        if self.day.steady:
            return weather
        metal = way((weather.metal - SHEET_TEMPERATURE) / NODE) * NODE + SHEET_TEMPERATURE
        warmer = round(weather.air - weather.metal)
        return Weather(metal, metal + warmer, round(weather.humidity, 1), round(weather.speed, 1))

    def _node(self, laying: Laying, weather: Weather) -> Laws:
        key = laying.material.key, laying.laid, weather
        if key not in self.known:
            self.known[key] = self._worked_out(laying.material, self._case(laying, weather))
        return self.known[key]

    def _worked_out(self, material: Material, case: Case) -> Laws:
        closes, sands = LONGEST, 0.0
        if material.recoat.max is not None:
            closes = case.closing("recoat_until", material.recoat.max).free.value
        if material.dry_to_sand is not None:
            sands = case.timing("sand_from", material.dry_to_sand).free.value
        opens = case.timing("recoat_from", material.recoat.min).free.value
        return Laws(
            opens, closes, sands, case.timing("through_dry", material.through_dry).free.value
        )


def _to_two(film: float) -> float:
    return float(f"{film:.1e}")


def _least(values: Iterable[float | None]) -> float | None:
    known = [value for value in values if value is not None]
    return min(known) if known else None
