"""Faults of laying and of colour."""

import random

from histories import script
from histories.planting import (
    cold,
    fault,
    held,
    hot,
    hurried,
    laid,
    pressed,
    thick_paint,
    thin_paint,
    thinner_film,
    timed,
    wetter,
    windy,
)
from histories.script import Job, Layer
from histories.sheets import BAR, HOUR

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
