"""Film of strokes laid by an unsteady hand, summed pass by pass: the truth for lap and board."""

import numpy as np


def film(rng, lap, places, speed=0.0, aim=0.0):
    """Film at places across strokes from far below to far above them, about 1 on average.

    Speeds are 1 + normal, the film one over them; lines lie at random against the places.
    """
    start = rng.uniform(0, lap.pitch) - 2 * lap.length
    lines = np.arange(start, places.max() + 2 * lap.length, lap.pitch)
    wandered = lines + rng.normal(0, 1, lines.size) * aim
    speeds = 1 + rng.normal(0, 1, lines.size) * speed
    off = 2 * (places[:, None] - wandered) / lap.length
    return np.sum(np.maximum(1 - off**2, 0.0) ** lap.exponent / speeds, axis=1)
