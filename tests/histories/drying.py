"""Faults of mixing, drying and curing."""

import random

from histories import script
from histories.planting import (
    chilled,
    damp,
    dew_at_night,
    dewy,
    fault,
    hot,
    hurried,
    old_paint,
    rushed_block,
    thicker,
    thinner_film,
    windy,
)
from histories.script import Job, Rub
from histories.sheets import DAY, HOUR, MIN, POLYESTER, UM

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
