"""Compiled kernels of section.py: shares of passes on the cells of a cross-section."""

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from coatwright.engines._compiling import inside, kernel

Float = NDArray[np.float64]


class Section(NamedTuple):
    """A cross-section cut into cells.

    cells is (n, 6): x0, z0, x1, z1 and the outward normal; breadths (n,) [m]; blockers (m, 4) are
    segments that stop paint (a channel's own walls, the lips of a recess); facets says which facet
    each cell belongs to.
    """

    cells: Float
    breadths: Float
    blockers: Float
    facets: NDArray[np.int64]


class Lap(NamedTuple):
    """A pass as the kernels take it: reference distance, half-length, cumulative and its slope."""

    distance: float
    half: float
    table: Float
    slope: Float


_FAR = 1e9


@kernel
def share_below(lap: Lap, lateral: float) -> float:
    """Cubic Hermite look-up of the cumulative pass profile on equal knots over [-1, 1]."""
    table, slope = lap.table, lap.slope
    t = lateral / lap.half
    if t <= -1.0:
        return 0.0
    if t >= 1.0:
        return 1.0
    knots = table.shape[0] - 1
    place = (t + 1.0) * 0.5 * knots
    index = min(int(place), knots - 1)
    f = place - index
    h = 2.0 / knots
    g = 1.0 - f
    rise = table[index] * (1.0 + 2.0 * f) * g * g + table[index + 1] * f * f * (3.0 - 2.0 * f)
    share: float = rise + h * f * g * (slope[index] * g - slope[index + 1] * f)
    return share


@kernel
def reach(px: float, pz: float, gun: Float, lap: Lap) -> float:
    """Where the ray to a point crosses the reference plane; +-_FAR behind the gun."""
    dx, dz = px - gun[0], pz - gun[1]
    depth = dx * gun[2] + dz * gun[3]
    side = dx * gun[3] - dz * gun[2]
    if depth <= 1e-9:
        return _FAR if side > 0.0 else -_FAR
    lateral: float = side / depth * lap.distance
    return lateral


@kernel
def depth_at(cell: Float, u: float, gun: Float, lap: Lap) -> float:
    """Depth at which the ray of lateral u meets the line through a segment; _FAR if never."""
    d0 = lap.distance
    rx = gun[2] * d0 + gun[3] * u
    rz = gun[3] * d0 - gun[2] * u
    sx, sz = cell[2] - cell[0], cell[3] - cell[1]
    cross = rx * sz - rz * sx
    if cross == 0.0:
        return _FAR
    ox, oz = cell[0] - gun[0], cell[1] - gun[1]
    along = (ox * sz - oz * sx) / cross
    return along * d0 if along > 0.0 else _FAR


@inside
def open_share(cell: Float, gun: Float, lap: Lap, blockers: Float) -> float:
    """Share of a pass that reaches a cell past every blocker that stands before it."""
    u0, u1 = reach(cell[0], cell[1], gun, lap), reach(cell[2], cell[3], gun, lap)
    low, high = min(u0, u1), max(u0, u1)
    total = share_below(lap, high) - share_below(lap, low)
    starts = np.empty(blockers.shape[0])
    ends = np.empty(blockers.shape[0])
    count = 0
    for index in range(blockers.shape[0]):
        b = blockers[index]
        b0, b1 = reach(b[0], b[1], gun, lap), reach(b[2], b[3], gun, lap)
        first, last = max(min(b0, b1), low), min(max(b0, b1), high)
        if last - first <= 1e-12:
            continue
        middle = 0.5 * (first + last)
        if depth_at(b, middle, gun, lap) < depth_at(cell, middle, gun, lap) - 1e-9:
            place = count  # in order of their starts; np.argsort would take seconds to compile
            while place > 0 and starts[place - 1] > first:
                starts[place], ends[place] = starts[place - 1], ends[place - 1]
                place -= 1
            starts[place], ends[place] = first, last
            count += 1
    covered = low
    for place in range(count):
        first, last = max(starts[place], covered), ends[place]
        if last > first:
            total -= share_below(lap, last) - share_below(lap, first)
            covered = last
    return max(total, 0.0)


@inside
def add_pass(
    section: Section, gun: Float, gain: float, lap: Lap, out: Float, first: int, last: int
) -> None:
    """Add gain x (share of one pass) / breadth to every cell of a range that faces the gun.

    Neighbouring cells share an edge: its lateral and its share are found once.
    """
    shadows = section.blockers.shape[0] > 0
    last_x = last_z = np.nan
    share1 = 0.0
    for index in range(first, last):
        c = section.cells[index]
        if c[0] == last_x and c[1] == last_z:
            share0 = share1
        else:
            share0 = share_below(lap, reach(c[0], c[1], gun, lap))
        share1 = share_below(lap, reach(c[2], c[3], gun, lap))
        last_x, last_z = c[2], c[3]
        if share0 == share1:
            continue
        if (gun[0] - c[0]) * c[4] + (gun[1] - c[1]) * c[5] <= 0.0:
            continue
        share = open_share(c, gun, lap, section.blockers) if shadows else abs(share1 - share0)
        out[index] += gain * share / section.breadths[index]


@kernel
def pass_matrix(section: Section, guns: Float, lap: Lap) -> Float:
    """Share of each pass per breadth on each cell: (cells, strokes)."""
    out = np.zeros((guns.shape[0], section.cells.shape[0]))
    for stroke in range(guns.shape[0]):
        # A plain 0 would be a type of its own, and add_pass compiled once more for it.
        first, last = int(np.int64(0)), section.cells.shape[0]
        add_pass(section, guns[stroke], 1.0, lap, out[stroke], first, last)
    return out.T.copy()


@kernel
def touched(section: Section, guns: Float, lap: Lap) -> NDArray[np.int64]:
    """First and last-but-one cell that each stroke's fan comes near: (strokes, 2)."""
    found = np.zeros((guns.shape[0], 2), dtype=np.int64)
    for stroke in range(guns.shape[0]):
        first, last = section.cells.shape[0], 0
        for index in range(section.cells.shape[0]):
            c = section.cells[index]
            u0, u1 = reach(c[0], c[1], guns[stroke], lap), reach(c[2], c[3], guns[stroke], lap)
            if min(u0, u1) < lap.half and max(u0, u1) > -lap.half:
                first, last = min(first, index), max(last, index + 1)
        found[stroke, 0], found[stroke, 1] = min(first, last), last
    return found


@kernel
def hand_draws(
    section: Section, guns: Float, wander: Float, gains: Float, lap: Lap, near: NDArray[np.int64]
) -> Float:
    """One coat laid by an unsteady hand, many times: (draws, cells).

    wander is (draws, strokes, 3): shift along the surface [m], change of distance [m], tilt [rad];
    gains is (draws, strokes), the factor of each pass (slow is more, far is less); near is the
    range of cells worth looking at for each stroke.
    """
    out = np.zeros((wander.shape[0], section.cells.shape[0]))
    gun = np.empty(4)
    for draw in range(wander.shape[0]):
        for stroke in range(guns.shape[0]):
            aim, off = guns[stroke], wander[draw, stroke]
            x, z, ax, az = aim[0], aim[1], aim[2], aim[3]
            shift, back, tilt = off[0], off[1], off[2]
            gun[0] = x + az * shift - ax * back
            gun[1] = z - ax * shift - az * back
            c, s = np.cos(tilt), np.sin(tilt)
            gun[2], gun[3] = ax * c - az * s, ax * s + az * c
            add_pass(
                section, gun, gains[draw, stroke], lap, out[draw], near[stroke, 0], near[stroke, 1]
            )
    return out
