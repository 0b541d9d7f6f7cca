"""What the air of the shop does to a plan, as plain frozen data made of Figures.

Pressures are gauge, as a person reads them. Times of an hour stand for an hour or more.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from coatwright.figures import Figure
from coatwright.planning.plan import Caution

Float = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class AirTrace:
    """A coat second by second: time [s], receiver and gun [Pa gauge] (nan with the trigger
    released), and what is needed and wanted at the gun."""

    times: Float
    receiver: Float
    trigger: Float
    needed: float
    wanted: float


@dataclass(frozen=True, slots=True)
class AirCoat:
    """One coat of one area, begun with a full receiver.

    lowest_at is counted from the first pull of the trigger; duty is the share of the coat's time
    that the pump runs.
    """

    key: str
    lowest: Figure
    lowest_at: Figure
    mean: Figure
    seconds: Figure
    refills: Figure
    duty: Figure
    trace: AirTrace


@dataclass(frozen=True, slots=True)
class AirSection:
    """Part of a coat that the air holds in one go: strokes first to last, counted from 1."""

    key: str
    first: int
    last: int
    rest_before: Figure
    seconds: Figure


@dataclass(frozen=True, slots=True)
class AirChange:
    """One thing that could be changed about the air, and what it would do."""

    key: str
    text: str
    holds: Figure
    gain: Figure
    lowest: Figure
    wall: Figure
    burst: Figure


@dataclass(frozen=True, slots=True)
class AirHold:
    """How the air holds while one recipe is sprayed.

    wall is the gauge after the regulator with the trigger pulled, wall_released with it let go;
    burst is how much more than `wanted` stands at the gun when the trigger is let go. holds is
    seconds of trigger without letting go, from a full receiver, until the pressure falls from
    `wanted`; lasts until it is below `needed`; their spreads start at a receiver about to start
    the pump. enough: never below `needed`; steady: never below `wanted`. lightest and
    lightest_steady are the thinnest dry film with this air and with air that never falls; lost is
    the largest share of film that any spot loses by it. changes come best first, and only where
    the pressure falls.
    """

    key: str
    area: str
    product: str
    gun: str
    gun_title: str
    needed: Figure
    wanted: Figure
    air_used: Figure
    wall: Figure
    wall_released: Figure
    burst: Figure
    loss: Figure
    lowest: Figure
    lowest_coat: str
    holds: Figure
    lasts: Figure
    rest: Figure
    coats: tuple[AirCoat, ...]
    sections: tuple[AirSection, ...]
    lightest: Figure
    lightest_steady: Figure
    lost: Figure
    coarsest: Figure
    duty: Figure
    water: Figure
    changes: tuple[AirChange, ...]
    enough: bool
    steady: bool
    cut_holds: bool
    summary: str
    advice: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class AirGun:
    """One gun on this line: holds at the inlet pressure of its own test, lasts at the least it
    needs; strokes is until the pressure falls in strokes with turns between."""

    key: str
    title: str
    wanted: Figure
    needed: Figure
    air_used: Figure
    wall: Figure
    wall_released: Figure
    loss: Figure
    holds: Figure
    lasts: Figure
    strokes: Figure
    rest: Figure
    with_mask: Figure
    changes: tuple[AirChange, ...]
    best: str


@dataclass(frozen=True, slots=True)
class AirReceiver:
    """The same shop with another receiver, for the gun that uses most air.

    holds: trigger never let go, until the gun has less than in its own test; lasts: less than it
    needs; strokes: until it falls in strokes with turns between; rest: from there until full again.
    """

    key: str
    volume: Figure
    holds: Figure
    lasts: Figure
    strokes: Figure
    rest: Figure


@dataclass(frozen=True, slots=True)
class AirWater:
    """Water in the air on the day: what falls out where, and when to drain.

    taken_in is per volume of free air; receiver and trap are per hour that the pump runs; dew_point
    holds at the receiver's pressure, hose_dew_point at the hose's: anything colder there sweats.
    """

    taken_in: Figure
    receiver: Figure
    trap: Figure
    drain_trap: Figure
    dew_point: Figure
    hose_dew_point: Figure
    humidity: Figure
    advice: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class AirCard:
    """The air of the whole shop. rule says what the rule of thumb on receivers is worth here."""

    friction: Figure
    droop: Figure
    delivery: Figure
    guns: tuple[AirGun, ...]
    receivers: tuple[AirReceiver, ...]
    water: AirWater
    rule: str
    summary: str
    cautions: tuple[Caution, ...]


@dataclass(frozen=True, slots=True)
class AirSpell:
    """All coats of one product in one go, area after area: the pump's work and the lowest pressure.

    lowest is at the area that falls farthest below its recipe's pressure; short_areas have less
    than gun or sheet needs. busiest is the largest share of any ten minutes that the pump runs,
    allowed what its plate allows; warmth 1 is the warmest it gets at its rated duty.
    """

    key: str
    product: str
    seconds: Figure
    trigger: Figure
    lowest: Figure
    lowest_area: str
    duty: Figure
    busiest: Figure
    allowed: Figure
    warmth: Figure
    overheats: bool
    water: Figure
    short_areas: tuple[str, ...]
    summary: str
