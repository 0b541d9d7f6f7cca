"""Sampled surfaces for deposit, from plain lengths: flat, cylinder, spherical cap, channel.

Samples sit in the middle of equal patches, so that sums over them are midpoint rules.
"""

import math

import numpy as np
from numpy.typing import NDArray

from coatwright.engines.spray.cells import Surface
from coatwright.errors import RangeError

Floats = NDArray[np.float64]
Counts = tuple[int, int]


def _middles(low: float, high: float, count: int) -> Floats:
    if count < 1 or high <= low:
        raise RangeError(
            f"{count} samples over {high - low:g}", instead="a surface has size and samples"
        )
    return low + (np.arange(count) + 0.5) * (high - low) / count


def flat(length: float, width: float, counts: Counts) -> Surface:
    """A flat panel about the origin, length along x, width along y, facing +z.

    Parameters
    ----------
    length, width : float [m]
        Sides.
    counts : tuple of int [-]
        Samples along x and y.

    Returns
    -------
    Surface
        Row by row along y.

    Raises
    ------
    RangeError
        If a size is not above 0 or a count below 1.

    Source
        derived (geometry).
    """
    x, y = np.meshgrid(
        _middles(-length / 2, length / 2, counts[0]),
        _middles(-width / 2, width / 2, counts[1]),
        indexing="ij",
    )
    positions = np.column_stack([x.ravel(), y.ravel(), np.zeros(x.size)])
    normals = np.tile([0.0, 0.0, 1.0], (x.size, 1))
    return Surface(positions, normals, np.full(x.size, length * width / x.size))


def cylinder(
    radius: float, length: float, arc: float, counts: Counts, inside: bool = False
) -> Surface:
    """Part of a round tube along z from 0 to length, its middle at +y.

    Parameters
    ----------
    radius, length : float [m]
        Of the tube.
    arc : float [rad]
        Angle round the axis that is covered; 2 pi for the whole tube.
    counts : tuple of int [-]
        Samples along the axis and round it.
    inside : bool
        Normals towards the axis instead of away.

    Returns
    -------
    Surface
        Row by row round the axis.

    Raises
    ------
    RangeError
        If a size is not above 0 or a count below 1.

    Source
        derived (geometry).
    """
    z, angle = np.meshgrid(
        _middles(0.0, length, counts[0]), _middles(-arc / 2, arc / 2, counts[1]), indexing="ij"
    )
    round_ = np.column_stack([np.sin(angle).ravel(), np.cos(angle).ravel(), np.zeros(z.size)])
    positions = radius * round_ + np.column_stack([np.zeros((z.size, 2)), z.ravel()])
    area = radius * arc * length / z.size
    return Surface(positions, -round_ if inside else round_, np.full(z.size, area))


def spherical_cap(radius: float, rim: float, counts: Counts, inside: bool = False) -> Surface:
    """Part of a sphere about the origin, within an angle of +z.

    Parameters
    ----------
    radius : float [m]
        Of the sphere.
    rim : float [rad]
        Angle from +z to the rim.
    counts : tuple of int [-]
        Rings of equal angle, and samples per ring.
    inside : bool
        Normals towards the centre instead of away.

    Returns
    -------
    Surface
        Ring by ring from the pole; areas are those of the patches, exactly.

    Raises
    ------
    RangeError
        If a size is not above 0 or a count below 1.

    Source
        derived (geometry).
    """
    polar, turn = np.meshgrid(
        _middles(0.0, rim, counts[0]), _middles(0.0, 2 * math.pi, counts[1]), indexing="ij"
    )
    edges = np.cos(np.linspace(0.0, rim, counts[0] + 1))
    ring = 2 * math.pi * radius**2 * (edges[:-1] - edges[1:]) / counts[1]
    out = np.column_stack(
        [
            (np.sin(polar) * np.cos(turn)).ravel(),
            (np.sin(polar) * np.sin(turn)).ravel(),
            np.cos(polar).ravel(),
        ]
    )
    return Surface(radius * out, -out if inside else out, np.repeat(ring, counts[1]))


def channel(length: float, width: float, depth: float, size: float) -> Surface:
    """An open channel along x about the origin: base at -depth, two walls up to z = 0.

    Parameters
    ----------
    length, width, depth : float [m]
        Inside measures; width along y.
    size : float [m]
        Longest side of a patch.

    Returns
    -------
    Surface
        Base, then the wall at -width/2, then the wall at +width/2.

    Raises
    ------
    RangeError
        If a size is not above 0.

    Source
        derived (geometry).
    """
    if size <= 0.0:
        raise RangeError(f"patches of {size:g} m", instead="a patch has a size")
    along, across, up = (max(1, math.ceil(part / size)) for part in (length, width, depth))
    base = flat(length, width, (along, across))
    wall = flat(length, depth, (along, up))
    x, up_wall = wall.positions[:, 0], wall.positions[:, 1] - depth / 2
    sides = [np.column_stack([x, np.full_like(x, y), up_wall]) for y in (-width / 2, width / 2)]
    facing = [np.tile([0.0, y, 0.0], (len(x), 1)) for y in (1.0, -1.0)]
    return Surface(
        np.vstack([base.positions - [0.0, 0.0, depth], *sides]),
        np.vstack([base.normals, *facing]),
        np.concatenate([base.areas, wall.areas, wall.areas]),
    )
