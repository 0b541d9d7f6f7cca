"""What both ways of laying film share: checks, the fan's cone, and a surface worked in parts."""

import math
import os
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor

import numpy as np
from numpy.typing import NDArray

from coatwright.engines.spray.cells import GROUP, Cells, Surface, arrange
from coatwright.engines.spray.footprint import Fan
from coatwright.errors import RangeError

Floats = NDArray[np.float64]

CHUNKS = 16
"""Parts a surface is worked in, whatever the number of threads."""


def check_frame(axes: Floats, fans: Floats) -> None:
    """Refuse axes and fans (m, 3) that are not unit vectors square to each other."""
    lengths = np.concatenate([np.linalg.norm(axes, axis=1), np.linalg.norm(fans, axis=1)])
    lean = np.abs(np.einsum("ij,ij->i", axes, fans))
    if not (np.allclose(lengths, 1.0, rtol=0.0, atol=1e-6) and (lean < 1e-6).all()):
        raise RangeError(
            "an axis or a fan is not of length 1, or the two are not square to each other",
            instead="give unit vectors, the fan square to the axis",
        )


def check_fan(fan: Fan) -> None:
    """Refuse a fan without size, or whose flux grows without limit at its edge."""
    if min(fan.across, fan.along) < 1.0 or min(fan.length, fan.width, fan.distance) <= 0.0:
        raise RangeError(
            f"fan {fan.length:g} x {fan.width:g} m at {fan.distance:g} m, exponents "
            f"{fan.across:g} and {fan.along:g}",
            instead="lengths are above 0 and exponents 1 or more",
        )


def reach(fan: Fan) -> tuple[float, float]:
    """How far a sphere's radius counts along and across: gradient of |s| - z and of |t| - z."""
    return (
        math.hypot(1.0, 2 * fan.distance / fan.length),
        math.hypot(1.0, 2 * fan.distance / fan.width),
    )


def as_cells(surface: Surface | Cells, kernel: str) -> Cells:
    """The surface in blocks, of the precision that a kernel wants."""
    kind = np.float32 if kernel == "single" else np.float64
    if isinstance(surface, Cells) and surface.lanes.dtype == kind:
        return surface
    samples = surface.surface if isinstance(surface, Cells) else surface
    return arrange(samples, single=kernel == "single")


def spread(work: Callable[..., int], cells: Cells, threads: int) -> tuple[Floats, int]:
    """Film (n,) [m] in the surface's own order, and samples tried.

    work takes bounds, lanes and film of one of CHUNKS parts. Each part writes its own film only,
    so that the number of threads (0: one per core) changes nothing.
    """
    film = np.zeros(cells.slots.shape)
    edges = np.linspace(0, len(cells.groups), CHUNKS + 1).astype(int)

    def one(chunk: int) -> int:
        low, high = edges[chunk], edges[chunk + 1]
        part = slice(low * GROUP, high * GROUP)
        bounds = (cells.groups[low:high], cells.blocks[part])
        return work(bounds, cells.lanes[part], film[part]) if high > low else 0

    if threads == 1:
        pairs = sum(map(one, range(CHUNKS)))
    else:
        with ThreadPoolExecutor(threads or os.cpu_count() or 1) as pool:
            pairs = sum(pool.map(one, range(CHUNKS)))
    laid = np.empty(len(cells.surface.areas))
    laid[cells.slots.ravel()] = film.ravel()
    return laid, pairs * cells.slots.shape[1]
