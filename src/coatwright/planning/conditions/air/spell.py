"""A product sprayed in one go, area after area and coat after coat: what the pump goes through."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from coatwright.engines import air
from coatwright.figures import Figure
from coatwright.planning.conditions.air import told
from coatwright.planning.conditions.air.hold import Spraying
from coatwright.planning.conditions.air.programme import NEXT_AREA
from coatwright.planning.conditions.air.supply import Supply, cap_of, enough, gauge
from coatwright.planning.conditions.air.water import fallen
from coatwright.planning.conditions.air_plan import AirSpell
from coatwright.planning.strokes.spraying import Sprayed
from coatwright.sentences import say

Float = NDArray[np.float64]


@dataclass
class _Ledger:
    """What has happened so far in a spell."""

    state: air.ReceiverState
    times: list[Float] = field(default_factory=list)
    pumping: list[Float] = field(default_factory=list)
    clock: float = 0.0
    trigger: float = 0.0
    delivered: float = 0.0
    warmest: float = 0.0
    lowest: float = np.inf
    lowest_area: str = ""
    fallen: float = -np.inf
    short: dict[str, None] = field(default_factory=dict)

    def add(self, run: air.Run) -> None:
        """One programme run from where the last one ended."""
        self.times.append(run.trace[:, 0] + self.clock)
        self.pumping.append(run.trace[:, 4])
        self.clock += run.time
        self.delivered += float(run.delivered.sum())
        self.warmest = max(self.warmest, run.warmest)
        self.state = run.end


def air_spells(
    supply: Supply, humidity: float, sprayed: Mapping[tuple[str, str], Sprayed]
) -> tuple[AirSpell, ...]:
    """One spell per product, in the order the products first appear."""
    by_product: dict[str, list[Sprayed]] = {}
    for (_, product), done in sprayed.items():
        by_product.setdefault(product, []).append(done)
    return tuple(_spell(supply, humidity, rows) for rows in by_product.values())


def _spell(supply: Supply, humidity: float, rows: Sequence[Sprayed]) -> AirSpell:
    sprayings = [Spraying(supply, done, humidity) for done in rows]
    book = _Ledger(air.full(sprayings[0].kit))
    material = rows[0].layering.material
    for coat in range(max(len(one.coats) for one in sprayings)):
        begun = book.clock
        for one in sprayings:
            if coat < len(one.coats):
                _area(one, coat, book)
        flashing = material.flash.min - (book.clock - begun)
        if coat + 1 < max(len(one.coats) for one in sprayings) and flashing > 0.0:
            _wait(sprayings[0], flashing, book)
    return _told(supply, humidity, rows, book)


def _area(one: Spraying, coat: int, book: _Ledger) -> None:
    """One coat of one area, then the way to the next."""
    programme = one.coats[coat]
    run = air.simulate(programme.phases, one.kit, book.state, trace=True)
    low = gauge(float(np.nanmin(run.lowest)))
    title = one.done.layering.area.title
    if one.wanted - low > book.fallen:
        book.fallen, book.lowest, book.lowest_area = one.wanted - low, low, title
    if not enough(low, one.needed):
        book.short[title] = None
    book.trigger += programme.trigger
    book.add(run)
    _wait(one, NEXT_AREA, book)


def _wait(one: Spraying, seconds: float, book: _Ledger) -> None:
    quiet = air.programme([seconds], [-1], [cap_of(one.gun)])
    book.add(air.simulate(quiet, one.kit, book.state, trace=True))


def _told(supply: Supply, humidity: float, rows: Sequence[Sprayed], book: _Ledger) -> AirSpell:
    times, pumping = np.concatenate(book.times), np.concatenate(book.pumping)
    busiest = air.busiest(times, pumping)
    duty = float(np.sum(np.diff(times) * pumping[:-1]) / book.clock)
    allowed = supply.compressor.duty
    material = rows[0].layering.material
    hot = book.warmest > 1.0
    return AirSpell(
        key=f"{material.key}-spell",
        product=material.key,
        seconds=Figure(
            book.clock, "time", "formula", "air-programme", "all areas, coats and flash-offs"
        ),
        trigger=Figure(book.trigger, "time", "formula", "air-programme", "trigger pulled"),
        lowest=told.pressure(
            book.lowest,
            "lowest with the trigger pulled where it falls farthest below its recipe's",
            "receiver-energy",
        ),
        lowest_area=book.lowest_area,
        duty=told.share(duty, "pump runs / time of the spell", "receiver-energy"),
        busiest=told.share(busiest, "busiest ten minutes of the pump", "iec-60034-1"),
        allowed=Figure(allowed, "fraction", "entered", "job file", "duty on the pump's plate"),
        warmth=told.share(
            book.warmest,
            "warmest / warmest of its rated cycle",
            "pump-warmth",
            {"warms by 63 % in": f"{air.WARM_TIME / 60:.0f} min"},
        ),
        overheats=hot,
        water=Figure(
            book.delivered * fallen(supply, humidity),
            "mass",
            "formula",
            "humidity-ratio",
            "air delivered x water that falls out of it",
        ),
        short_areas=tuple(book.short),
        summary=_summary(busiest, allowed, hot, book),
    )


def _summary(busiest: float, allowed: float, hot: bool, book: _Ledger) -> str:
    said = say("Every area keeps its pressure. ")
    if book.fallen > 1e3:
        said = say(
            "Falls to {lowest} on {lowest_area}, {fallen} below its recipe. ",
            lowest=told.bar(book.lowest),
            lowest_area=book.lowest_area,
            fallen=told.bar(book.fallen),
        )
    if hot:
        return said + (
            say(
                "The pump runs {busiest:.0%} of its busiest ten minutes and gets warmer "
                "than its rated duty of {allowed:.0%} allows: pause, or let it cool "
                "between coats.",
                busiest=busiest,
                allowed=allowed,
            )
        )
    if busiest > allowed:
        return said + (
            say(
                "The pump runs {busiest:.0%} of its busiest ten minutes, more than the "
                "{allowed:.0%} of its plate, but not for long enough to get too warm.",
                busiest=busiest,
                allowed=allowed,
            )
        )
    return said + say("The pump runs at most {busiest:.0%} of any ten minutes.", busiest=busiest)
