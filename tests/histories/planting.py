"""One planted fault for each cause of each defect: what was really done wrong, told in events.

Written from the table of defects in the trade notes (common practice, no source), before and apart
from the figures of data/defects. `needs` are the instruments without which no record could show the
fault; `says` are checks by hand answered yes, where no record can show it at all.
"""

import random
from collections.abc import Callable
from dataclasses import dataclass, field
from typing import NamedTuple

from histories import script
from histories.script import Climate, Job, Layer
from histories.sheets import (
    BAR,
    HOUR,
    NOUGHT,
)  # fmt: skip

Plant = Callable[[Job, random.Random], None]


class Case(NamedTuple):
    """A defect and the cause of it, and how a job comes to have it."""

    defect: str
    cause: str


@dataclass(frozen=True)
class Fault:
    """How to plant it, in which kind of job, and what must be on record to see it."""

    plant: Plant
    job: Callable[[random.Random], Job] = script.lacquered
    needs: frozenset[str] = field(default_factory=frozenset)
    says: tuple[str, ...] = ()
    seen_in: int = -1


FAULTS: dict[Case, Fault] = {}


def fault(defect: str, cause: str, *needs: str, **more: object) -> Callable[[Plant], Plant]:
    """Register a plant under its defect and cause."""

    def keep(plant: Plant) -> Plant:
        FAULTS[Case(defect, cause)] = Fault(plant, needs=frozenset(needs), **more)  # type: ignore[arg-type]
        return plant

    return keep


# What is done to a layer.


def laid(one: Layer, share: float) -> None:
    for coat in one.coats:
        coat.laid = share


def wetter(one: Layer, rng: random.Random) -> None:
    """One coat beyond what hangs."""
    coat = rng.choice(one.coats)
    coat.laid = one.sheet.run_limit / one.sheet.wet * rng.uniform(1.12, 1.4)


def thicker(one: Layer, rng: random.Random) -> None:
    """The whole layer above the sheet's most, no coat beyond what hangs."""
    most = one.sheet.most / (one.sheet.dry * len(one.coats))
    laid(one, min(most * rng.uniform(1.25, 1.5), 0.9 * one.sheet.run_limit / one.sheet.wet))


def thinner_film(one: Layer, rng: random.Random) -> None:
    least = one.sheet.least / (one.sheet.dry * len(one.coats))
    laid(one, least * rng.uniform(0.5, 0.72))


def hurried(one: Layer, rng: random.Random) -> None:
    for coat in one.coats[:-1]:
        coat.flash = rng.uniform(0.12, 0.45)


def pressed(one: Layer, low: float, high: float, rng: random.Random) -> None:
    for coat in one.coats:
        coat.pressure = rng.uniform(low, high) * BAR


def held(one: Layer, low: float, high: float, rng: random.Random) -> None:
    for coat in one.coats:
        coat.distance = rng.uniform(low, high)


def timed(one: Layer, share: float) -> None:
    for coat in one.coats:
        coat.trigger = share


def cold(one: Layer, rng: random.Random) -> None:
    metal = one.sheet.metal_least - rng.uniform(3.5, 7.0)
    one.climate = Climate(metal + 1.0, metal, rng.uniform(0.40, 0.55))
    one.later = [(rng.uniform(1.5, 3) * HOUR, Climate(metal + 4.0, metal + 4.0, 0.45))]


def hot(one: Layer, rng: random.Random) -> None:
    metal = 32 + NOUGHT + rng.uniform(4.0, 10.0)
    one.climate = Climate(rng.uniform(27, 30) + NOUGHT, metal, rng.uniform(0.3, 0.45))


def dewy(one: Layer, rng: random.Random) -> None:
    """Metal colder than the air, near its dew point; humidity and temperature by themselves kept.

    At 17 to 18 degC and 74 % the dew point lies about 4.6 K below the air (Magnus).
    """
    air = rng.uniform(17.0, 18.0) + NOUGHT
    one.climate = Climate(max(air - rng.uniform(3.6, 5.2), 12.4 + NOUGHT), 0.0, 0.74)
    one.climate.air, one.climate.metal = air, one.climate.air


def damp(one: Layer, rng: random.Random) -> None:
    """Air far above the sheet's humidity; metal warmed, clear of the dew point."""
    air = rng.uniform(19, 21) + NOUGHT
    one.climate = Climate(air, air + rng.uniform(3.0, 4.0), rng.uniform(0.87, 0.95))


def windy(one: Layer, rng: random.Random) -> None:
    one.climate.speed = rng.uniform(1.2, 2.5)


def chilled(one: Layer, rng: random.Random) -> None:
    """Heating off too early: far below the sheet's least while it should cure."""
    metal = one.sheet.metal_least - rng.uniform(4.0, 8.0)
    one.later = [(rng.uniform(2, 4) * HOUR, Climate(metal + 1, metal, 0.5)),
                 (rng.uniform(6, 9) * HOUR, Climate(metal, metal - 0.5, 0.5))]  # fmt: skip


def dew_at_night(one: Layer, rng: random.Random) -> None:
    """Metal at the dew point hours later, still warm enough to cure (at 90 %: 1.6 K, Magnus)."""
    air = rng.uniform(17.8, 19.0) + NOUGHT
    one.later = [(rng.uniform(5, 8) * HOUR, Climate(air, air - rng.uniform(1.8, 2.3), 0.90))]


def thick_paint(one: Layer, rng: random.Random) -> None:
    one.thinner = rng.uniform(0.2, 0.5)
    one.cup = one.sheet.cup[1] * rng.uniform(1.25, 1.5)


def thin_paint(one: Layer, rng: random.Random) -> None:
    one.thinner = rng.uniform(1.6, 2.4)
    one.cup = one.sheet.cup[0] * rng.uniform(0.72, 0.86)


def rushed_block(one: Layer, sheet_before: float, rng: random.Random) -> None:
    """The primer rubbed long before it is ready, the colour still hours behind."""
    one.wait = sheet_before * rng.uniform(0.3, 0.6) + 2.5 * HOUR
    for number, rub in enumerate(one.rubs):
        rub.before = 2.5 * HOUR - 0.6 * HOUR * number


def old_paint(job: Job, what: str, ground: str) -> None:
    job.stripped = None
    job.found = (what, ground)
