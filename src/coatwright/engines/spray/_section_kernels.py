"""Compiled kernels of section.py: shares of passes on the cells of a cross-section."""

import numpy as np
from numba import njit
from numpy.typing import NDArray

Float = NDArray[np.float64]

_FAR = 1e9


@njit(cache=True, nogil=True, error_model="numpy")
def share_below(table: Float, slope: Float, t: float) -> float:
    """Cubic Hermite look-up of the cumulative pass profile on equal knots over [-1, 1]."""
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
    return (
        table[index] * (1.0 + 2.0 * f) * g * g
        + table[index + 1] * f * f * (3.0 - 2.0 * f)
        + h * f * g * (slope[index] * g - slope[index + 1] * f)
    )


@njit(cache=True, nogil=True, error_model="numpy")
def reach(px: float, pz: float, gun: Float, d0: float) -> float:
    """Where the ray to a point crosses the reference plane; +-_FAR behind the gun."""
    dx, dz = px - gun[0], pz - gun[1]
    depth = dx * gun[2] + dz * gun[3]
    side = dx * gun[3] - dz * gun[2]
    if depth <= 1e-9:
        return _FAR if side > 0.0 else -_FAR
    return side / depth * d0


@njit(cache=True, nogil=True, error_model="numpy")
def depth_at(cell: Float, u: float, gun: Float, d0: float) -> float:
    """Depth at which the ray of lateral u meets the line through a segment; _FAR if never."""
    rx = gun[2] * d0 + gun[3] * u
    rz = gun[3] * d0 - gun[2] * u
    sx, sz = cell[2] - cell[0], cell[3] - cell[1]
    cross = rx * sz - rz * sx
    if cross == 0.0:
        return _FAR
    ox, oz = cell[0] - gun[0], cell[1] - gun[1]
    along = (ox * sz - oz * sx) / cross
    return along * d0 if along > 0.0 else _FAR


@njit(cache=True, nogil=True, error_model="numpy")
def open_share(
    cell: Float,
    low: float,
    high: float,
    gun: Float,
    d0: float,
    half: float,
    table: Float,
    slope: Float,
    blockers: Float,
) -> float:
    """Share of the pass between lateral low and high that no blocker stops before the cell."""
    total = share_below(table, slope, high / half) - share_below(table, slope, low / half)
    if blockers.shape[0] == 0 or total <= 0.0:
        return total
    starts = np.empty(blockers.shape[0])
    ends = np.empty(blockers.shape[0])
    count = 0
    for index in range(blockers.shape[0]):
        b = blockers[index]
        u0, u1 = reach(b[0], b[1], gun, d0), reach(b[2], b[3], gun, d0)
        first, last = max(min(u0, u1), low), min(max(u0, u1), high)
        if last - first <= 1e-12:
            continue
        middle = 0.5 * (first + last)
        if depth_at(b, middle, gun, d0) < depth_at(cell, middle, gun, d0) - 1e-9:
            starts[count], ends[count] = first, last
            count += 1
    covered = low
    order = np.argsort(starts[:count])
    for place in range(count):
        first, last = max(starts[order[place]], covered), ends[order[place]]
        if last > first:
            total -= share_below(table, slope, last / half) - share_below(
                table, slope, first / half
            )
            covered = last
    return max(total, 0.0)


@njit(cache=True, nogil=True, error_model="numpy")
def add_pass(
    cells: Float,
    breadths: Float,
    gun: Float,
    gain: float,
    d0: float,
    half: float,
    table: Float,
    slope: Float,
    blockers: Float,
    out: Float,
) -> None:
    """Add gain x (share of one pass) / breadth to every cell that faces the gun.

    Neighbouring cells share an edge: its lateral and its share are found once.
    """
    shadows = blockers.shape[0] > 0
    last_x = last_z = np.nan
    u1 = share1 = 0.0
    for index in range(cells.shape[0]):
        c = cells[index]
        if c[0] == last_x and c[1] == last_z:
            u0, share0 = u1, share1
        else:
            u0 = reach(c[0], c[1], gun, d0)
            share0 = share_below(table, slope, u0 / half)
        u1 = reach(c[2], c[3], gun, d0)
        share1 = share_below(table, slope, u1 / half)
        last_x, last_z = c[2], c[3]
        if share0 == share1:
            continue
        if (gun[0] - c[0]) * c[4] + (gun[1] - c[1]) * c[5] <= 0.0:
            continue
        if shadows:
            share = open_share(c, min(u0, u1), max(u0, u1), gun, d0, half, table, slope, blockers)
        else:
            share = abs(share1 - share0)
        out[index] += gain * share / breadths[index]


@njit(cache=True, nogil=True, error_model="numpy")
def pass_matrix(
    cells: Float,
    breadths: Float,
    guns: Float,
    d0: float,
    half: float,
    table: Float,
    slope: Float,
    blockers: Float,
) -> Float:
    """Share of each pass per breadth on each cell: (cells, strokes)."""
    out = np.zeros((guns.shape[0], cells.shape[0]))
    for stroke in range(guns.shape[0]):
        add_pass(cells, breadths, guns[stroke], 1.0, d0, half, table, slope, blockers, out[stroke])
    return out.T.copy()


@njit(cache=True, nogil=True, error_model="numpy")
def hand_draws(
    cells: Float,
    breadths: Float,
    guns: Float,
    distances: Float,
    wander: Float,
    gains: Float,
    d0: float,
    half: float,
    table: Float,
    slope: Float,
    blockers: Float,
) -> Float:
    """One coat laid by an unsteady hand, many times: (draws, cells).

    wander is (draws, strokes, 3): shift along the surface [m], change of distance [m], tilt [rad];
    gains is (draws, strokes), the factor of each pass (slow is more, far is less).
    """
    out = np.zeros((wander.shape[0], cells.shape[0]))
    gun = np.empty(4)
    for draw in range(wander.shape[0]):
        for stroke in range(guns.shape[0]):
            x, z, ax, az = guns[stroke]
            shift, back, tilt = wander[draw, stroke]
            gun[0] = x + az * shift - ax * back
            gun[1] = z - ax * shift - az * back
            c, s = np.cos(tilt), np.sin(tilt)
            gun[2], gun[3] = ax * c - az * s, ax * s + az * c
            add_pass(
                cells,
                breadths,
                gun,
                gains[draw, stroke],
                d0,
                half,
                table,
                slope,
                blockers,
                out[draw],
            )
    return out
