"""Samples of a surface sorted into blocks of equal size, so that a gun step visits only its own.

A surface is cut in halves across its longest extent until every piece is a block of LANES samples;
GROUP neighbouring blocks make a group. Each block and group keeps a bounding sphere: a step whose
fan misses the sphere can lay nothing on the samples inside. Blocks all have the same length, so
that the inner loop is the same for any surface.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from coatwright.errors import RangeError

LANES = 64
GROUP = 32

Floats = NDArray[np.float64]
Slots = NDArray[np.int64]


@dataclass(frozen=True)
class Surface:
    """Samples of a surface: positions [m] and outward unit normals, (n, 3); areas [m2], (n,)."""

    positions: Floats
    normals: Floats
    areas: Floats

    def __post_init__(self) -> None:
        n = len(self.areas)
        if self.positions.shape != (n, 3) or self.normals.shape != (n, 3) or n == 0:
            raise RangeError(
                f"a surface of {n} areas has positions {self.positions.shape} "
                f"and normals {self.normals.shape}",
                instead="give n positions and n normals of 3 components and n areas, n at least 1",
            )
        length = np.linalg.norm(self.normals, axis=1)
        if not np.allclose(length, 1.0, rtol=0.0, atol=1e-6):
            raise RangeError(
                f"a normal has length {length[np.argmax(np.abs(length - 1.0))]:.6g}",
                instead="normals are unit vectors",
            )


@dataclass(frozen=True)
class Cells:
    """A surface sorted into blocks.

    slots (blocks, LANES): number of the sample in each place; the last sample fills up the rest.
    groups, blocks: centre (3), radius of the bounding sphere, half sizes of the box (3) [m].
    lanes (blocks, 7, LANES): offset from the block's centre [m], normal, and normal . offset [m].
    """

    surface: Surface
    slots: Slots
    groups: Floats
    blocks: Floats
    lanes: NDArray[np.floating]


def _bounds(points: Floats) -> Floats:
    """Bounds of rows of points, (3, rows, samples) -> (rows, 7)."""
    high, low = points.max(axis=2), points.min(axis=2)
    centres = (high + low) / 2
    squared = ((points - centres[:, :, None]) ** 2).sum(axis=0)
    bounds = np.vstack([centres, np.sqrt(squared.max(axis=1)), (high - low) / 2])
    return np.ascontiguousarray(bounds.T)


def _halve(points: Floats, slots: Slots) -> tuple[Floats, Slots]:
    """Split every row of samples in two equal rows across its own longest extent."""
    longest = np.argmax(np.ptp(points, axis=2), axis=0)
    along = points[longest, np.arange(len(slots))]
    half = slots.shape[1] // 2
    ranks = np.argpartition(along, half - 1, axis=1)
    points = np.array([np.take_along_axis(axis, ranks, axis=1) for axis in points])
    slots = np.take_along_axis(slots, ranks, axis=1)
    return points.reshape(3, -1, half), slots.reshape(-1, half)


def _into_groups(points: Floats, slots: Slots) -> tuple[Floats, Slots]:
    """Whole groups of GROUP x LANES samples, split at multiples of a group's size."""
    size = GROUP * LANES
    waiting = [(points, slots)]
    ready = []
    while waiting:
        points, slots = waiting.pop()
        if len(slots) == size:
            ready.append((points, slots))
            continue
        left = len(slots) // size // 2 * size
        ranks = np.argpartition(points[np.argmax(np.ptp(points, axis=1))], left - 1)
        points, slots = points[:, ranks], slots[ranks]
        waiting += [(points[:, left:], slots[left:]), (points[:, :left], slots[:left])]
    return np.stack([part for part, _ in ready], axis=1), np.array([part for _, part in ready])


def arrange(surface: Surface, single: bool = True) -> Cells:
    """Sort a surface into blocks once, to deposit on it many times.

    Parameters
    ----------
    surface : Surface
        Samples, any order.
    single : bool
        Keep the lanes in single precision (offsets are small, so positions lose nothing).

    Returns
    -------
    Cells
        The same samples in blocks of LANES.

    Source
        derived: halving across the longest extent (k-d tree with full leaves).
    """
    n, size = len(surface.areas), GROUP * LANES
    slots = np.minimum(np.arange(-(-n // size) * size), n - 1)
    points, slots = _into_groups(surface.positions.T[:, slots], slots)
    groups = _bounds(points)
    while slots.shape[1] > LANES:
        points, slots = _halve(points, slots)
    blocks = _bounds(points)
    lanes = np.empty((len(slots), 7, LANES), dtype=np.float32 if single else np.float64)
    offsets = points - blocks.T[:3, :, None]
    normals = surface.normals[slots]
    lanes[:, :3] = offsets.transpose(1, 0, 2)
    lanes[:, 3:6] = normals.transpose(0, 2, 1)
    lanes[:, 6] = np.einsum("kbl,blk->bl", offsets, normals)
    return Cells(surface, slots, groups, blocks, lanes)
