"""The weather over the days of a plan, and what it makes of a sheet's times."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from datetime import datetime, time
from typing import NamedTuple

from coatwright.model.conditions.hours import Hours, seconds_of
from coatwright.model.material import Material
from coatwright.planning.conditions.climate import ShopDay, shop_day
from coatwright.planning.conditions.drying import LONGEST, Laid, Weather, corrected_layer
from coatwright.planning.conditions.window_plan import Corrected
from coatwright.planning.conditions.windows import until
from coatwright.planning.day.works import Asked, LayerWork

DAY = 86400.0
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


class Laying(NamedTuple):
    """A product with its films [m] on metal of a gauge [m]."""

    material: Material
    laid: Laid
    gauge: float

    @classmethod
    def of(cls, layer: LayerWork, gauge: float) -> "Laying":
        """A layer as it lands, films to the micrometre."""
        coat, whole = round(layer.coat_film, 6), round(layer.film, 6)
        return cls(layer.material, Laid(max(coat, 1e-7), max(whole, 1e-7)), gauge)


@dataclass
class Sky:
    """The shop's weather by seconds from the first midnight; days past the table repeat its last.

    offset: from that midnight to the table's first line [s].
    """

    day: ShopDay
    hours: Hours
    offset: float = 0.0
    known: dict[object, Corrected] = field(default_factory=dict)
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
            self._corrected(Laying(material, laid, 0.8e-3), self.at(when, 0.8e-3)).pot_life
            for when in self._looks()
        ]
        return min(one.corrected.value for one in lives if one is not None)

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
        now = self._still(laying, when)
        wet = self._corrected(laying, self.spraying(when, laying.gauge))
        recoat = laying.material.recoat
        sand = laying.material.dry_to_sand

        def through(pick: Callable[[Corrected], float]) -> float:
            if self.day.steady:
                return min(pick(now), LONGEST)
            return until(lambda t: pick(self._still(laying, t)), when) - when

        closes = None
        if recoat.max is not None:
            closes = min(through(_closing), recoat.max)
        dry = through(lambda c: c.through_dry.corrected.value)
        return Times(
            flash=wet.flash.corrected.value,
            opens=max(through(lambda c: c.recoat_from.free.value), recoat.min),
            closes=closes,
            sands=through(lambda c: c.sand_from.corrected.value if c.sand_from else 0.0)
            if sand is not None
            else dry,
            dry=dry,
            seals=now.seal_by.corrected.value if now.seal_by else None,
            why=now.recoat_from.why,
        )

    def _still(self, laying: Laying, when: float) -> Corrected:
        return self._corrected(laying, self.at(when, laying.gauge))

    def _corrected(self, laying: Laying, weather: Weather) -> Corrected:
        """Times at a weather, worked out once for every kelvin and twentieth of humidity."""
        if not self.day.steady:
            weather = Weather(
                round(weather.metal), round(weather.air), round(weather.humidity * 20) / 20,
                round(weather.speed, 1),
            )  # fmt: skip
        key = laying.material.key, laying.laid, weather
        if key not in self.known:
            self.known[key] = corrected_layer(laying.material, laying.laid, weather)
        return self.known[key]


def _closing(times: Corrected) -> float:
    return times.recoat_until.free.value if times.recoat_until else LONGEST


def _least(values: Iterable[float | None]) -> float | None:
    known = [value for value in values if value is not None]
    return min(known) if known else None
