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
from histories.script import Climate, Job, Layer, Rub
from histories.sheets import (
    BAR,
    DAY,
    ETCH,
    HOUR,
    MIN,
    NOUGHT,
    POLYESTER,
    SYNTHETIC,
    UM,
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


# 1 runs


@fault("runs", "too-full", "comb")
def _(job, rng):
    wetter(job.last, rng)


@fault("runs", "too-slow", "comb", "stopwatch")
def _(job, rng):
    coat = rng.choice(job.last.coats)
    coat.trigger = rng.uniform(1.5, 1.9)
    coat.laid = job.last.sheet.run_limit / job.last.sheet.wet * rng.uniform(1.12, 1.3)


@fault("runs", "too-close", "comb", "distance")
def _(job, rng):
    held(job.last, 0.05, 0.075, rng)
    job.last.coats[-1].laid = job.last.sheet.run_limit / job.last.sheet.wet * rng.uniform(1.1, 1.3)


@fault("runs", "too-thin", "flow cup", "mix", job=script.solid)
def _(job, rng):
    thin_paint(job.last, rng)


@fault("runs", "cold", "climate", job=script.solid)
def _(job, rng):
    cold(job.last, rng)


@fault("runs", "flash", job=script.solid)
def _(job, rng):
    hurried(job.last, rng)


# 2 dry spray


@fault("dry-spray", "too-far", "distance")
def _(job, rng):
    held(job.last, 0.32, 0.42, rng)


@fault("dry-spray", "draught", "climate", "air speed")
def _(job, rng):
    windy(job.last, rng)


@fault("dry-spray", "hot", "climate", job=script.solid)
def _(job, rng):
    hot(job.last, rng)


@fault("dry-spray", "too-lean", "comb")
def _(job, rng):
    laid(job.last, rng.uniform(0.35, 0.5))


@fault("dry-spray", "pressure-high", "air line")
def _(job, rng):
    pressed(job.last, 3.2, 4.2, rng)


@fault("dry-spray", "too-thick-paint", "flow cup", "mix", job=script.solid)
def _(job, rng):
    thick_paint(job.last, rng)


# 3 orange peel


@fault("orange-peel", "pressure-low", "air line")
def _(job, rng):
    pressed(job.last, 0.9, 1.35, rng)


@fault("orange-peel", "too-thick-paint", "flow cup", "mix")
def _(job, rng):
    thick_paint(job.last, rng)


@fault("orange-peel", "too-lean", "comb", job=script.solid)
def _(job, rng):
    laid(job.last, rng.uniform(0.35, 0.5))


@fault("orange-peel", "hot", "climate")
def _(job, rng):
    hot(job.last, rng)


@fault("orange-peel", "too-far", "distance", job=script.solid)
def _(job, rng):
    held(job.last, 0.32, 0.40, rng)


# 4 solvent pop


@fault("solvent-pop", "too-full", "comb", "gauge")
def _(job, rng):
    thicker(job.last, rng)


@fault("solvent-pop", "flash")
def _(job, rng):
    hurried(job.last, rng)


@fault("solvent-pop", "hot", "climate", job=script.solid)
def _(job, rng):
    hot(job.last, rng)


@fault("solvent-pop", "early")
def _(job, rng):
    job.last.wait = rng.uniform(3, 9) * MIN


@fault("solvent-pop", "baked-early", says=("lamp-before-flash",))
def _(job, rng):
    pass


# 5 fisheyes


@fault("fisheyes", "air-line", "air line")
def _(job, rng):
    job.last.water = True


@fault("fisheyes", "not-cleaned", "cleaning", job=script.solid)
def _(job, rng):
    job.last.degreased = None


@fault("fisheyes", "cleaned-too-early", "cleaning", job=script.solid)
def _(job, rng):
    job.last.degreased = rng.uniform(14, 30) * HOUR


@fault("fisheyes", "silicone", says=("craters-come-back",))
def _(job, rng):
    pass


# 6 dieback


@fault("dieback", "early", job=script.lacquered)
def _(job, rng):
    job.last.wait = rng.uniform(3, 8) * MIN


@fault("dieback", "flash", job=script.solid)
def _(job, rng):
    hurried(job.last, rng)


@fault("dieback", "thin", "comb", "gauge")
def _(job, rng):
    thinner_film(job.last, rng)


@fault("dieback", "primer-thick", "comb", "gauge", job=script.solid)
def _(job, rng):
    thicker(job.layers[1], rng)


@fault("dieback", "cold-cure", "climate", "later", job=script.solid)
def _(job, rng):
    chilled(job.last, rng)


# 7 sinkage


@fault("sinkage", "primer-thick", "comb", "gauge", job=script.solid)
def _(job, rng):
    thicker(job.layers[1], rng)


@fault("sinkage", "rubbed-early", "rubbing")
def _(job, rng):
    rushed_block(job.layers[2], 4 * HOUR, rng)


@fault("sinkage", "early", job=script.primed, seen_in=1)
def _(job, rng):
    job.layers[1].wait = rng.uniform(2, 5) * HOUR
    job.layers[1].rubs = []


@fault("sinkage", "cold-cure", "climate", "later", job=script.solid)
def _(job, rng):
    chilled(job.layers[1], rng)


@fault("sinkage", "filler", says=("over-filler",))
def _(job, rng):
    pass


# 8 edge mapping


@fault("edge-mapping", "old-paint", job=script.solid)
def _(job, rng):
    old_paint(job, "old lacquer of unknown kind", "unknown paint")


@fault("edge-mapping", "rubbed-early", "rubbing", job=script.solid)
def _(job, rng):
    rushed_block(job.last, 4 * HOUR, rng)


@fault("edge-mapping", "not-isolated", job=script.solid)
def _(job, rng):
    job.last.broke, job.last.primed = "epoxy", False


@fault("edge-mapping", "early", job=script.primed, seen_in=1)
def _(job, rng):
    job.layers[1].wait = rng.uniform(2, 5) * HOUR
    job.layers[1].rubs = []


# 9 lifting


def enamelled(rng: random.Random) -> Job:
    """Synthetic enamel, and the same again days later."""
    made = script.primed(rng)
    enamel = script.layer(rng, "enamel", SYNTHETIC, 40 * HOUR, *script._blocked(rng, "P320"))
    again = script.layer(rng, "enamel-two", SYNTHETIC, 8 * DAY, Rub("P320", 2 * HOUR))
    made.layers += [enamel, again]
    return made


@fault("lifting", "in-its-zone", job=enamelled)
def _(job, rng):
    job.last.wait = rng.uniform(1.0, 3.5) * DAY


@fault("lifting", "old-paint", job=script.solid)
def _(job, rng):
    old_paint(job, "two coats of something old, soft to thinner", "synthetic enamel")


@fault("lifting", "soft-below", "mix", job=script.solid)
def _(job, rng):
    job.layers[1].hardener = rng.uniform(0.2, 0.55)


@fault("lifting", "early", job=script.primed, seen_in=1)
def _(job, rng):
    job.layers[1].wait = rng.uniform(2, 5) * HOUR
    job.layers[1].rubs = []


# 10 mottle


@fault("mottle", "flash", seen_in=2)
def _(job, rng):
    hurried(job.layers[2], rng)


@fault("mottle", "too-wet", "comb", seen_in=2)
def _(job, rng):
    wetter(job.layers[2], rng)


@fault("mottle", "pressure-varies", "air line", seen_in=2)
def _(job, rng):
    for coat, pressure in zip(job.layers[2].coats, (2.15, 1.76, 2.5), strict=True):
        coat.pressure = pressure * BAR + rng.uniform(-0.03, 0.03) * BAR


@fault("mottle", "too-far", "distance", seen_in=2)
def _(job, rng):
    held(job.layers[2], 0.31, 0.4, rng)


@fault("mottle", "cold", "climate", seen_in=2)
def _(job, rng):
    cold(job.layers[2], rng)


# 11 striping


@fault("striping", "too-fast", "stopwatch", seen_in=2)
def _(job, rng):
    timed(job.layers[2], rng.uniform(0.5, 0.65))
    laid(job.layers[2], rng.uniform(0.88, 0.95))


@fault("striping", "too-close", "distance", seen_in=2)
def _(job, rng):
    held(job.layers[2], 0.055, 0.08, rng)


@fault("striping", "pressure-low", "air line", seen_in=2)
def _(job, rng):
    pressed(job.layers[2], 0.9, 1.3, rng)


@fault("striping", "fan", says=("fan-split",), seen_in=2)
def _(job, rng):
    pass


# 12 poor hiding


@fault("poor-hiding", "thin", "comb", "gauge", seen_in=2)
def _(job, rng):
    thinner_film(job.layers[2], rng)


@fault("poor-hiding", "uneven", "comb", "gauge", job=script.solid)
def _(job, rng):
    job.last.spread = rng.uniform(0.4, 0.5)


@fault("poor-hiding", "too-thin-paint", "flow cup", "mix", seen_in=2)
def _(job, rng):
    thin_paint(job.layers[2], rng)


@fault("poor-hiding", "patchy-ground", job=script.solid)
def _(job, rng):
    job.last.broke, job.last.primed = "metal", False


@fault("poor-hiding", "not-stirred", says=("settled-in-the-tin",), seen_in=2)
def _(job, rng):
    pass


# 13 colour shift


def _bonnet(job: Job, rng: random.Random) -> Layer:
    one = script.layer(rng, job.layers[2].product, job.layers[2].sheet, 20 * HOUR)
    job.others = [one]
    return one


@fault("colour-shift", "batch", "mix", "tins", seen_in=2)
def _(job, rng):
    _bonnet(job, rng).lot = "L2"


@fault("colour-shift", "pressure", "air line", seen_in=2)
def _(job, rng):
    other = _bonnet(job, rng)
    pressed(other, 2.05, 2.1, rng)
    pressed(job.layers[2], 2.65, 2.9, rng)


@fault("colour-shift", "film", "comb", "gauge", seen_in=2)
def _(job, rng):
    laid(_bonnet(job, rng), rng.uniform(1.25, 1.35))
    laid(job.layers[2], rng.uniform(0.8, 0.85))


@fault("colour-shift", "too-thin-paint", "flow cup", "mix", seen_in=2)
def _(job, rng):
    _bonnet(job, rng)
    thin_paint(job.layers[2], rng)


# 14 pinholes


def filled(rng: random.Random) -> Job:
    """With sprayed polyester between epoxy and high-build."""
    made = script.solid(rng)
    filler = script.layer(rng, "spray-filler", POLYESTER, 40 * HOUR, Rub("P180", HOUR))
    filler.mixed = rng.uniform(0.5, 1.5) * MIN
    filler.coats[0].flash = rng.uniform(1.1, 1.3)
    filler.climate.speed = 0.2
    made.layers.insert(1, filler)
    made.layers[2].wait = rng.uniform(20, 30) * HOUR
    made.layers[2].rubs = [Rub("P120", 3 * HOUR, guide=True, took=40 * UM),
                           Rub("P240", 1.5 * HOUR, guide=True, took=20 * UM)]  # fmt: skip
    return made


@fault("pinholes", "too-thick", "comb", "gauge", job=filled, seen_in=1)
def _(job, rng):
    thicker(job.layers[1], rng)


@fault("pinholes", "flash", job=filled, seen_in=1)
def _(job, rng):
    hurried(job.layers[1], rng)


@fault("pinholes", "too-much-hardener", "mix", job=filled, seen_in=1)
def _(job, rng):
    job.layers[1].hardener = rng.uniform(1.6, 2.5)


@fault("pinholes", "old-mix", "mix", job=filled, seen_in=1)
def _(job, rng):
    job.layers[1].mixed = rng.uniform(25, 40) * MIN


@fault("pinholes", "no-guide-coat", "rubbing", job=script.solid)
def _(job, rng):
    for rub in job.last.rubs:
        rub.guide = False


@fault("pinholes", "stirred-fast", says=("whipped",), job=filled, seen_in=1)
def _(job, rng):
    pass


# 15 scratch swelling


@fault("scratch-swelling", "too-coarse", "rubbing", job=script.solid)
def _(job, rng):
    job.last.rubs[-1].grade = "P320"
    job.last.rubs[1].grade = "P240"
    job.last.rubs[-1].grade = rng.choice(("P240", "P280"))
    job.last.rubs[1].grade = "P220"


@fault("scratch-swelling", "grade-skipped", "rubbing", job=script.solid)
def _(job, rng):
    job.last.rubs = [job.last.rubs[0], Rub(rng.choice(("P600", "P800")), 2 * HOUR, guide=True)]
    job.last.rubs[0].grade = rng.choice(("P120", "P150", "P180"))


@fault("scratch-swelling", "rubbed-early", "rubbing", job=script.solid)
def _(job, rng):
    rushed_block(job.last, 4 * HOUR, rng)


@fault("scratch-swelling", "wet-colour", "comb", job=script.solid)
def _(job, rng):
    wetter(job.last, rng)


# 16 blisters


@fault("blisters", "wet-rubbed", "rubbing", job=script.solid)
def _(job, rng):
    job.last.rubs[-1].wet = True
    job.last.rubs[-1].before = rng.uniform(0.5, 1.2) * HOUR


@fault("blisters", "dew", "climate", job=script.solid)
def _(job, rng):
    dewy(job.layers[rng.choice((0, 1))], rng)


@fault("blisters", "air-line", "air line", job=script.solid)
def _(job, rng):
    job.layers[rng.choice((1, 2))].water = True


@fault("blisters", "damp", "climate", job=script.solid)
def _(job, rng):
    damp(job.layers[rng.choice((0, 1))], rng)


@fault("blisters", "rust", "rubbing")
def _(job, rng):
    old_paint(job, "rust in the hem", "")
    job.ground_rubs = []


@fault("blisters", "salts", says=("blisters-at-fingerprints",))
def _(job, rng):
    pass


# 17 peeling from the metal


@fault("metal-peel", "waited-bare", job=script.solid)
def _(job, rng):
    waited = rng.uniform(14, 40) * HOUR
    for rub in job.ground_rubs:
        rub.before += waited
    job.stripped = waited + rng.uniform(4, 30) * HOUR


@fault("metal-peel", "key-too-fine", "rubbing", job=script.solid)
def _(job, rng):
    job.ground_rubs[-1].grade = rng.choice(("P400", "P500", "P600"))
    job.ground_rubs[0].grade = "P240"


@fault("metal-peel", "not-cleaned", "cleaning", job=script.solid)
def _(job, rng):
    job.layers[0].degreased = None


def etched(rng: random.Random) -> Job:
    """Etch as the first primer, high-build on it."""
    made = script.solid(rng)
    made.layers[0] = script.layer(rng, "etch", ETCH, 0.0)
    made.layers[1].wait = rng.uniform(2, 8) * HOUR
    made.layers[1].rubs = []
    return made


@fault("metal-peel", "acid", job=etched)
def _(job, rng):
    epoxy = script.primed(rng).layers[0]
    epoxy.wait = rng.uniform(2, 8) * HOUR
    job.layers[1:1] = [epoxy]
    job.layers[2].wait = 30 * HOUR


@fault("metal-peel", "dew", "climate", job=script.solid)
def _(job, rng):
    dewy(job.layers[0], rng)


@fault("metal-peel", "mixed-wrong", "mix", job=script.solid)
def _(job, rng):
    job.layers[0].hardener = rng.choice((rng.uniform(0.3, 0.6), rng.uniform(1.5, 1.9)))


# 18 lacquer peels


@fault("lacquer-peel", "base-too-old")
def _(job, rng):
    job.last.wait = rng.uniform(40, 90) * HOUR


@fault("lacquer-peel", "base-too-thick", "comb", "gauge")
def _(job, rng):
    thicker(job.layers[2], rng)


@fault("lacquer-peel", "base-wet")
def _(job, rng):
    job.last.wait = rng.uniform(3, 9) * MIN


@fault("lacquer-peel", "mixed-wrong", "mix")
def _(job, rng):
    job.last.hardener = rng.choice((rng.uniform(0.4, 0.7), rng.uniform(1.4, 1.8)))


@fault("lacquer-peel", "thin", "comb", "gauge")
def _(job, rng):
    thinner_film(job.last, rng)


# 19 cracking


@fault("cracking", "stack", "gauge", "comb")
def _(job, rng):
    again = script.layer(rng, "high-build", job.layers[1].sheet, 30 * HOUR, Rub("P180", 2 * HOUR))
    third = script.layer(rng, "high-build", job.layers[1].sheet, 30 * HOUR, Rub("P180", 2 * HOUR))
    job.layers[2:2] = [again, third]
    for one in job.layers[2].rubs + job.layers[4].rubs:
        one.took = 3 * UM


@fault("cracking", "old-paint", job=script.solid)
def _(job, rng):
    old_paint(job, "checked old cellulose", "cellulose")


@fault("cracking", "too-much-hardener", "mix")
def _(job, rng):
    job.last.hardener = rng.uniform(1.5, 2.0)


@fault("cracking", "layer-thick", "comb", "gauge", job=script.solid)
def _(job, rng):
    thicker(job.last, rng)


# 20 soft film


@fault("soft-film", "short-of-hardener", "mix")
def _(job, rng):
    job.last.hardener = rng.choice((0.0, rng.uniform(0.3, 0.7)))


@fault("soft-film", "wrong-part", "mix", job=script.solid)
def _(job, rng):
    job.last.strange = "build-hardener"


@fault("soft-film", "hardener-old", "mix", "tins")
def _(job, rng):
    job.last.expires = -rng.uniform(120, 500) * DAY


@fault("soft-film", "cold-cure", "climate", "later", job=script.solid)
def _(job, rng):
    chilled(job.last, rng)


@fault("soft-film", "too-thick", "comb", "gauge")
def _(job, rng):
    thicker(job.last, rng)


@fault("soft-film", "shut-in")
def _(job, rng):
    hurried(job.last, rng)


# 21 bloom


@fault("bloom", "dew", "climate")
def _(job, rng):
    dewy(job.last, rng)


@fault("bloom", "damp", "climate", job=script.solid)
def _(job, rng):
    damp(job.last, rng)


@fault("bloom", "cooled-down", "climate", "later")
def _(job, rng):
    dew_at_night(job.last, rng)


@fault("bloom", "draught", "climate", "air speed", job=script.solid)
def _(job, rng):
    windy(job.last, rng)


# 22 dirt


@fault("dirt", "dust", "rubbing")
def _(job, rng):
    job.last.dust = rng.uniform(1, 7) * MIN


@fault("dirt", "draught", "climate", "air speed", job=script.solid)
def _(job, rng):
    windy(job.last, rng)


@fault("dirt", "not-wiped", "cleaning", job=script.solid)
def _(job, rng):
    job.last.degreased = None


@fault("dirt", "bits-in-the-paint", "mix", job=script.solid)
def _(job, rng):
    job.last.mixed = rng.uniform(2.6, 4.0) * HOUR


@fault("dirt", "floor-or-suit", says=("fibres",))
def _(job, rng):
    pass


# 23 bleeding


@fault("bleeding", "too-much-peroxide", "mix", job=filled)
def _(job, rng):
    job.layers[1].hardener = rng.uniform(1.6, 2.5)


@fault("bleeding", "old-paint", job=script.solid)
def _(job, rng):
    old_paint(job, "old red, colour comes off on the cloth", "unknown paint")


@fault("bleeding", "rubbed-through", job=script.solid)
def _(job, rng):
    job.last.broke, job.last.primed = "old red", False


# 24 water spots


@fault("water-spots", "air-line", "air line")
def _(job, rng):
    job.last.water = True


@fault("water-spots", "dew-at-night", "climate", "later")
def _(job, rng):
    dew_at_night(job.last, rng)


@fault("water-spots", "out-too-soon", says=("rained-on",))
def _(job, rng):
    pass


# 25 break-through (seen in the layer rubbed)


@fault("break-through", "cut-too-deep", "rubbing", "comb", "gauge", job=script.solid, seen_in=1)
def _(job, rng):
    for rub in job.last.rubs:
        rub.took = rng.uniform(34, 45) * UM


@fault("break-through", "too-little-film", "comb", "gauge", job=script.solid, seen_in=1)
def _(job, rng):
    thinner_film(job.layers[1], rng)


@fault("break-through", "uneven", "comb", "gauge", job=script.solid, seen_in=1)
def _(job, rng):
    job.layers[1].spread = rng.uniform(0.4, 0.5)


@fault("break-through", "rubbed-soft", "rubbing", job=script.solid, seen_in=1)
def _(job, rng):
    rushed_block(job.layers[2], 4 * HOUR, rng)


# 26 peeling between coats


@fault("coats-peel", "too-late", "rubbing", job=script.solid)
def _(job, rng):
    job.layers[1].wait = rng.uniform(6, 12) * DAY
    job.layers[1].rubs = []


@fault("coats-peel", "not-cleaned", "cleaning", job=script.solid)
def _(job, rng):
    job.last.degreased = None


@fault("coats-peel", "dew", "climate", job=script.solid)
def _(job, rng):
    dewy(job.last, rng)


@fault("coats-peel", "soft-below", "mix", job=script.solid)
def _(job, rng):
    job.layers[1].hardener = rng.uniform(0.2, 0.55)
