"""The double-beta fan as it lies on the card: shifted, turned, lopsided, bent, on a mist."""

from collections.abc import Callable
from typing import Final, NamedTuple

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]

BURST: Final = ("x", "y", "tilt", "half", "wide", "across", "along", "peak", "ends", "side", "bow")
PASS: Final = ("x", "tilt", "half", "across", "peak", "ends")
LIMITS: Final = {
    "x": (-0.15, 0.15), "y": (-0.15, 0.15), "tilt": (-1.2, 1.2), "half": (0.015, 0.30),
    "wide": (0.005, 0.15), "across": (0.6, 9.0), "along": (0.8, 9.0), "peak": (0.02, 12.0),
    "ends": (-3.0, 3.0), "side": (-3.0, 3.0), "bow": (-0.06, 0.06), "floor": (-0.05, 0.6),
    "mist": (-1.0, 1.0),
}  # fmt: skip
MISTS: Final = 6


BLOCK: Final = 0.012
"""Misfits further apart than this are taken as independent [m]."""


class Value(NamedTuple):
    """A measured value and its standard error, in the unit where it stands: [m], [rad], [-]."""

    value: float
    error: float


class Cells(NamedTuple):
    """Square cells of the card: where [m] from its middle, and the share of paper bare [-]."""

    x: Array
    y: Array
    clear: Array


Shape = Callable[[Cells, dict[str, float]], Array]


def blocks_of(cells: Cells) -> NDArray[np.intp]:
    """The number of the block that each cell lies in."""
    columns, rows = (np.floor((at - at.min()) / BLOCK).astype(np.intp) for at in cells[:2])
    return np.asarray(rows * (int(columns.max()) + 1) + columns)


def along_fan(cells: Cells, x: float, y: float, tilt: float) -> tuple[Array, Array]:
    """Places along the fan's length and across it, from its centre [m]."""
    dx, dy = cells.x - x, cells.y - y
    return (
        dx * np.cos(tilt) + dy * np.sin(tilt),
        dy * np.cos(tilt) - dx * np.sin(tilt),
    )


def burst(cells: Cells, p: dict[str, float]) -> Array:
    """D of a burst at every cell: the fan, times exp of a slope along it and across it."""
    u, v = along_fan(cells, p["x"], p["y"], p["tilt"])
    t = u / p["half"]
    room = 1.0 - t**2
    inside = room > 0.0
    room = np.where(inside, room, 1.0)
    s = (v - p["bow"] * (t**2 - 0.2)) / p["wide"]
    left = 1.0 - s**2 / room
    inside &= left > 0.0
    film = room ** (p["across"] - 1.0) * np.where(inside, left, 1.0) ** (p["along"] - 1.0)
    slope = np.exp(np.where(inside, p["ends"] * t + p["side"] * s / np.sqrt(room), 0.0))
    return np.where(inside, p["peak"] * film * slope, 0.0)


def stripe(cells: Cells, p: dict[str, float]) -> Array:
    """D of a pass at every cell: the fan summed across its width."""
    u, _ = along_fan(cells, p["x"], 0.0, p["tilt"])
    t = u / p["half"]
    room = 1.0 - t**2
    film = np.where(room > 0.0, room, 0.0) ** (p["across"] - 0.5)
    return np.where(room > 0.0, p["peak"] * film * np.exp(p["ends"] * np.clip(t, -1, 1)), 0.0)


def seen(shape: Shape, cells: Cells, p: dict[str, float], soft: float) -> Array:
    """Share of paper bare at every cell, seen with a softness of `soft` across the fan [m].

    A cell's width and the blur of the picture blunt a fan as narrow as this; two points as far off
    as their standard deviation have the same second moment.
    """
    move = soft * np.array((-np.sin(p["tilt"]), np.cos(p["tilt"])))
    sides = [
        cells._replace(x=cells.x + sign * move[0], y=cells.y + sign * move[1]) for sign in (-1, 1)
    ]
    return np.asarray(0.5 * sum(np.exp(-shape(side, p)) for side in sides))


def mists(cells: Cells) -> Array:
    """What a smooth rest of light or overspray over the whole card is made of, to second order."""
    x, y = cells.x / 0.15, cells.y / 0.1
    return np.stack((np.ones_like(x), x, y, x * x, x * y, y * y))
