"""Faults of cleaning, rubbing down and bond."""

import random

from histories import script
from histories.planting import (
    damp,
    dewy,
    fault,
    old_paint,
    rushed_block,
    thicker,
    thinner_film,
    wetter,
    windy,
)
from histories.script import Job, Rub
from histories.sheets import DAY, ETCH, HOUR, MIN, SYNTHETIC, UM

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
    job.last.wait += 31 * HOUR
    for rub in job.last.rubs:
        rub.before += 31 * HOUR


@fault("fisheyes", "silicone", says=("craters-come-back",))
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


@fault("lacquer-peel", "base-too-old", "rubbing")
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


# 25 break-through (seen in the layer rubbed)


@fault("break-through", "cut-too-deep", "rubbing", "comb", "gauge", job=script.solid, seen_in=1)
def _(job, rng):
    for rub in job.layers[2].rubs:
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


@fault("coats-peel", "too-late", "rubbing", job=script.solid, seen_in=1)
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
