"""What two gauges say of the line: friction and droop fitted, and wall against gun by that fit."""

from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from coatwright.errors import RangeError
from coatwright.model.job import Job
from coatwright.model.kit import Gauges, Gun
from coatwright.planning.conditions.air.card import air_card_of
from coatwright.planning.conditions.air.supply import (
    Fitted,
    Supply,
    fitted,
    gauge,
    kit_for,
    settings,
    supply_of,
)
from coatwright.planning.conditions.air_plan import AirGun

POINTS: Final = 9


@dataclass(frozen=True, slots=True)
class WallToGun:
    """What a gun gets for what the wall shows, trigger pulled [Pa gauge], lowest first."""

    gun: str
    wall: tuple[float, ...]
    at_gun: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class LineRead:
    """The line by the readings beside the line as the job describes it.

    used: whether the readings can be used: with the regulator at the gun there is nothing to fit.
    """

    before: Fitted
    after: Fitted
    line_before: WallToGun
    line_after: WallToGun
    gun_before: AirGun
    gun_after: AirGun
    used: bool


def line_read(job: Job, gun: str, reads: tuple[Gauges, ...]) -> LineRead | None:
    """What readings say of a gun's line; None without a compressor or a hose.

    Without readings both sides are alike.
    """
    before = supply_of(job.workshop)
    if before is None:
        return None
    hose = before.hose.model_copy(update={"gauges": reads})
    after = replace(before, hose=hose) if reads else before
    one = next(known for known in before.guns if known.key == gun)
    return LineRead(
        fitted(before), fitted(after), _wall_to_gun(before, one), _wall_to_gun(after, one),
        _told(job, before, gun), _told(job, after, gun),
        bool(reads) and fitted(after).friction.basis == "measured",
    )  # fmt: skip


def _told(job: Job, supply: Supply, gun: str) -> AirGun:
    card = air_card_of(supply, job.workshop.climate.humidity, ())
    return next(one for one in card.guns if one.key == gun)


def _wall_to_gun(supply: Supply, gun: Gun) -> WallToGun:
    most = max(gun.fluid_pressure * 1.5, 1.5e5)
    found: list[tuple[float, float]] = []
    for pressure in np.linspace(0.3 * gun.fluid_pressure, most, POINTS):
        try:
            march = settings(kit_for(supply, gun, float(pressure)), gun)
        except RangeError:
            continue
        found.append((gauge(march.regulated), gauge(march.gun)))
    found.sort()
    return WallToGun(gun.key, tuple(x for x, _ in found), tuple(y for _, y in found))
