"""Gauge readings of the air line: put in pairs, the line fitted to them, taken into the job."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Final

from pydantic import ValidationError

from coatwright.actions.shop import Opened, Shop
from coatwright.errors import InputError, NotFound
from coatwright.model.kit import Gauges
from coatwright.planning.conditions.air.reading import LineRead, line_read
from coatwright.planning.conditions.air_plan import AirCard
from coatwright.planning.conditions.airhold import air_card
from coatwright.record.corrections import Happening, standing
from coatwright.record.events import AirRead, Described, Event, said
from coatwright.sentences import say

TOGETHER: Final = timedelta(minutes=15)
"""Two gauges read within this belong together (assumption)."""

KEPT: Final = 3
"""Pairs of each gun that count, those read last."""


@dataclass(frozen=True, slots=True)
class Pair:
    """Wall and gun read together, trigger pulled. fault: why it cannot be used, or ""."""

    at: datetime
    who: str
    gun: str
    wall: float
    at_gun: float
    released: float | None
    fault: str = ""

    @property
    def gauges(self) -> Gauges | None:
        """As the job keeps it; None if it cannot be used."""
        if self.fault:
            return None
        return Gauges(gun=self.gun, wall=self.wall, at_gun=self.at_gun, released=self.released)


@dataclass(frozen=True, slots=True)
class AirBench:
    """The air of the shop, and what the gauges say of the line to one gun.

    counts: the plan reckons with these readings already. stray: readings without their other half.
    """

    card: AirCard | None
    gun: str
    pairs: tuple[Pair, ...]
    line: LineRead | None
    counts: bool
    stray: int


def air_bench(shop: Shop, key: str, gun: str = "") -> AirBench:
    """What to set, what holds, and the line as read, for one gun or that read last."""
    opened = shop.open(key)
    workshop = opened.bench.job.workshop
    known = [one.key for one in workshop.guns]
    pairs, stray = pairs_of(shop.record.events(key, ("air read", "corrected")), known)
    chosen = gun if gun in known else pairs[-1].gun if pairs else known[0]
    reads = _usable(pairs)
    counts = bool(reads) and workshop.hose is not None and workshop.hose.gauges == reads
    mine = tuple(one for one in reads if one.gun == chosen)
    job, version = opened.bench.job, opened.version
    line = shop.looks.get(("line", version, chosen, mine), lambda: (line_read(job, chosen, mine),))
    card = shop.looks.get(("air", version), lambda: (air_card(job),))
    return AirBench(card[0], chosen, pairs[::-1], line[0], counts, stray)


def pairs_of(events: Sequence[Event], guns: Sequence[str]) -> tuple[tuple[Pair, ...], int]:
    """Readings put in pairs in order of time; and how many pulled ones have no other half."""
    reads = [one for one in standing(events).events if isinstance(one.body, AirRead)]
    found, alone = [], 0
    for one in reads:
        body = one.body
        assert isinstance(body, AirRead)
        if body.where != "gun" or not body.trigger:
            continue
        wall = _nearest(reads, one, pulled=True)
        if wall is None or body.gun not in guns:
            alone += 1
            continue
        released = _nearest(reads, one, pulled=False)
        found.append(_pair(one, body, wall, released))
    return tuple(found), alone


def _nearest(reads: Sequence[Happening], to: Happening, *, pulled: bool) -> float | None:
    assert isinstance(to.body, AirRead)
    near = [
        (abs(one.at - to.at), one.body.pressure)
        for one in reads
        if isinstance(one.body, AirRead)
        and one.body.where == "wall"
        and one.body.trigger is pulled
        and one.body.gun in ("", to.body.gun)
        and abs(one.at - to.at) <= TOGETHER
    ]
    return min(near)[1] if near else None


def _pair(event: Happening, body: AirRead, wall: float, released: float | None) -> Pair:
    fault = ""
    try:
        Gauges(gun=body.gun, wall=wall, at_gun=body.pressure, released=released)
    except ValidationError:
        fault = "the gun cannot read more than the wall, nor the wall more pulled than released"
    return Pair(event.at, event.who, body.gun, wall, body.pressure, released, fault)


def _usable(pairs: Sequence[Pair]) -> tuple[Gauges, ...]:
    guns = dict.fromkeys(pair.gun for pair in pairs)
    return tuple(
        gauges
        for gun in guns
        for pair in [one for one in pairs if one.gun == gun and not one.fault][-KEPT:]
        if (gauges := pair.gauges) is not None
    )


def keep_gauges(shop: Shop, key: str, who: str) -> Event:
    """Let the readings count in the plan. Raises InputError if there are none to use."""
    opened = shop.open(key)
    reads = _usable(_pairs(shop, opened))
    hose = opened.bench.job.workshop.hose
    if hose is None:
        raise NotFound(
            say("this job's shop has no hose"), instead=say("describe it in the job file")
        )
    if not reads:
        raise InputError(
            say("no two gauges were read together"),
            instead=say("read wall and gun, trigger pulled"),
        )
    told = said(key, who, shop.clock(), Described(file="-", what="air line by its gauges"))
    return shop.change(key, ("workshop", "hose"), hose.model_copy(update={"gauges": reads}), told)


def _pairs(shop: Shop, opened: Opened) -> tuple[Pair, ...]:
    known = [one.key for one in opened.bench.job.workshop.guns]
    return pairs_of(shop.record.events(opened.key, ("air read", "corrected")), known)[0]
