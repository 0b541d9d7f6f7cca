"""Compiled kernels: paint from gun steps, or from whole straight strokes, onto blocks of samples.

One inner loop for any surface: LANES samples, no branches, so that it becomes vector code. The
power law of the fan is taken through base-2 logarithms; in single precision these are polynomials
on the bits of the number, because library calls would keep the loop scalar.

Positions enter as offsets from a block's centre, and the centre's place in the gun's frame is
worked out in double precision: nothing cancels, so single precision holds film to about 1e-6 of
its maximum. Rows of a gun table, each as long as there are steps:

    0-2 position, 3-5 axis, 6-8 fan x distance / half length, 9-11 axis x fan x distance / half
    width, 12 amount

In that frame the fan is the cone s^2 + t^2 < z^2. Why NumPy's error model: division by zero can
not happen here, and the check would keep the loop scalar.
"""

import math
from typing import Any

import numpy as np
from numba import njit, types
from numba.extending import overload

from coatwright.engines.spray.cells import GROUP, LANES

_FAST: Any = {"nogil": True, "fastmath": True, "error_model": "numpy"}
_KERNEL: Any = {**_FAST, "cache": True, "no_cfunc_wrapper": True}
_INSIDE: Any = {**_FAST, "no_cpython_wrapper": True, "no_cfunc_wrapper": True}
"""For what only kernels call: without a way in for Python it compiles sooner."""

_ONE = np.float32(1.0)
_ZERO = np.float32(0.0)
_HALF = np.float32(0.5)
_TINY = np.float32(1e-30)
_NEAR = np.float32(1e-9)
_FLAT = np.float32(1e-20)
_LOWEST = np.float32(-126.0)
_THROUGH = np.float32(1.0 - 1e-6)

# log2(1 + f) / f on sqrt(1/2) - 1 .. sqrt(2) - 1, and 2^f on -1/2 .. 1/2: interpolated at the
# Chebyshev points (derived); tests compare them with NumPy.
_L0, _L1, _L2, _L3, _L4, _L5, _L6, _L7 = (
    np.float32(c)
    for c in (
        1.44269499, -0.72135293, 0.48091671, -0.36022518,
        0.28728888, -0.24927182, 0.23265258, -0.14275973,
    )
)  # fmt: skip
_E1, _E2, _E3, _E4, _E5, _E6 = (
    np.float32(c)
    for c in (
        0.693147207, 0.240226509, 0.0555032723, 0.00961805668, 0.00134004282, 0.000154614447,
    )
)  # fmt: skip
_SQRT_HALF = np.int32(0x3F3504F3)
_MANTISSA = np.int32(0x7FFFFF)


def log2(x: Any) -> Any:
    """Base-2 logarithm of a positive number; single precision to about 1e-7 near 1.

    Of 0 and below it is some finite number, for the caller to leave aside.
    """
    return math.log2(x)


def exp2(x: Any) -> Any:
    """2^x for x not above 0; single precision to about 2e-7 relative, 2^-126 below -126."""
    return math.exp2(x)


def _log2_bits(x: Any) -> Any:
    bits = np.int32(np.float32(x).view(np.int32) - _SQRT_HALF)
    whole = np.int32(bits >> np.int32(23))
    f = np.int32(np.int32(bits & _MANTISSA) + _SQRT_HALF).view(np.float32) - _ONE
    tail = _L4 + f * (_L5 + f * (_L6 + f * _L7))
    return np.float32(whole) + f * (_L0 + f * (_L1 + f * (_L2 + f * (_L3 + f * tail))))


def _exp2_bits(x: Any) -> Any:
    low = max(x, _LOWEST)
    whole = np.int32(low - _HALF)
    f = low - np.float32(whole)
    power = np.int32(np.int32(whole + np.int32(127)) << np.int32(23)).view(np.float32)
    tail = _E4 + f * (_E5 + f * _E6)
    return power * (_ONE + f * (_E1 + f * (_E2 + f * (_E3 + f * tail))))


def _log2_library(x: Any) -> Any:
    return np.log2(max(x, _TINY))


def _exp2_library(x: Any) -> Any:
    return np.exp2(x)


@overload(log2, jit_options=_FAST)
def _log2(x: Any) -> Any:
    return _log2_bits if x == types.float32 else _log2_library


@overload(exp2, jit_options=_FAST)
def _exp2(x: Any) -> Any:
    return _exp2_bits if x == types.float32 else _exp2_library


@njit(inline="always", **_INSIDE)
def lay(block: Any, step: Any) -> None:
    """Add to a block's film what one gun step lays on it.

    block is seven rows of lanes and then film, end to end: one array with fixed distances, which
    spares the loop the checks whether what it writes is what it reads.

    step holds z, s, t of the block's centre, the centre less the gun (3), axis (3), fan (3),
    side (3), amount, across - along, along - 1.
    """
    z0, s0, t0, hx, hy, hz = step[0], step[1], step[2], step[3], step[4], step[5]
    ax, ay, az, fx, fy, fz = step[6], step[7], step[8], step[9], step[10], step[11]
    sx, sy, sz, amount, a, b = step[12], step[13], step[14], step[15], step[16], step[17]
    for i in range(LANES):
        x, y, d = block[i], block[LANES + i], block[2 * LANES + i]
        z = z0 + ax * x + ay * y + az * d
        nx, ny, nz = block[3 * LANES + i], block[4 * LANES + i], block[5 * LANES + i]
        facing = -(block[6 * LANES + i] + nx * hx + ny * hy + nz * hz)
        near = _ONE / max(z, _NEAR)
        u = (s0 + fx * x + fy * y + fz * d) * near
        v = (t0 + sx * x + sy * y + sz * d) * near
        uu = _ONE - u * u
        w = uu - v * v
        shape = exp2(a * log2(uu) + b * log2(w))
        flux = shape * facing * near * near * near * amount
        lies = (w > _ZERO) & (facing > _ZERO) & (z > _ZERO)
        block[7 * LANES + i] += flux if lies else _ZERO


@njit(**_INSIDE)
def shade(block: Any, step: Any, screen: Any) -> None:
    """Take away what a screen stops on the way from the gun to a block.

    screen holds the gun's height over its plane, its unit normal (3), the gun's place along and
    across in half sizes (2), the two directions over their half sizes (3, 3), 1 for an opening.
    """
    hx, hy, hz = step[3], step[4], step[5]
    height, e0, e1, opening = screen[0], screen[4], screen[5], screen[12] > _ZERO
    for i in range(LANES):
        x, y, z = hx + block[i], hy + block[LANES + i], hz + block[2 * LANES + i]
        fall = -(x * screen[1] + y * screen[2] + z * screen[3])
        way = height / fall if abs(fall) > _NEAR else _ZERO
        e = e0 + way * (x * screen[6] + y * screen[7] + z * screen[8])
        f = e1 + way * (x * screen[9] + y * screen[10] + z * screen[11])
        inside = (abs(e) <= _ONE) & (abs(f) <= _ONE)
        crosses = (way > _ZERO) & (way < _THROUGH)
        if crosses & (inside != opening):
            block[7 * LANES + i] = _ZERO


@njit(**_INSIDE)
def _place_screen(screen: Any, gun: Any, i: int, out: Any) -> None:
    """One screen as seen from gun step i; rows of screen: centre, normal, e, f, opening."""
    x, y, z = gun[0, i] - screen[0], gun[1, i] - screen[1], gun[2, i] - screen[2]
    out[0] = x * screen[3] + y * screen[4] + z * screen[5]
    for k in range(1, 4):
        out[k] = screen[k + 2]
    out[4] = x * screen[6] + y * screen[7] + z * screen[8]
    out[5] = x * screen[9] + y * screen[10] + z * screen[11]
    for k in range(6, 13):
        out[k] = screen[k]


@njit(inline="always", **_INSIDE)
def _steps_near(sphere: Any, gun: Any, cone: Any, near: Any, steps: Any) -> int:
    """Numbers of the gun steps whose fan may meet a sphere, into steps; how many."""
    x, y, z = sphere[0], sphere[1], sphere[2]
    ra, rb = sphere[3] * cone[0], sphere[3] * cone[1]
    gx, gy, gz, ax, ay, az = gun[0], gun[1], gun[2], gun[3], gun[4], gun[5]
    fx, fy, fz, sx, sy, sz = gun[6], gun[7], gun[8], gun[9], gun[10], gun[11]
    for i in range(gun.shape[1]):
        rx, ry, rz = x - gx[i], y - gy[i], z - gz[i]
        depth = rx * ax[i] + ry * ay[i] + rz * az[i]
        s = abs(rx * fx[i] + ry * fy[i] + rz * fz[i]) - depth
        t = abs(rx * sx[i] + ry * sy[i] + rz * sz[i]) - depth
        near[i] = (s <= ra) & (t <= rb)
    count = 0
    for i in range(gun.shape[1]):
        steps[count] = i
        count += near[i]
    return count


@njit(**_INSIDE)
def _pick(gun: Any, steps: Any, count: int, out: Any) -> None:
    """Columns of the gun table for the steps named, packed."""
    for row in range(13):
        for k in range(count):
            out[row, k] = gun[row, steps[k]]


@njit(inline="always", **_INSIDE)
def _place(bound: Any, gun: Any, i: int, step: Any) -> Any:
    """The frame of gun step i about a block's centre, into step; False if its fan misses the box.

    How far a point lies outside the fan, sqrt(s^2 + t^2) - z, is convex: nothing in the box lies
    lower than the plane that touches it at the centre.
    """
    rx, ry, rz = bound[0] - gun[0, i], bound[1] - gun[1, i], bound[2] - gun[2, i]
    step[3], step[4], step[5] = rx, ry, rz
    for k in range(3, 13):
        step[k + 3] = gun[k, i]
    z = rx * gun[3, i] + ry * gun[4, i] + rz * gun[5, i]
    s = rx * gun[6, i] + ry * gun[7, i] + rz * gun[8, i]
    t = rx * gun[9, i] + ry * gun[10, i] + rz * gun[11, i]
    step[0], step[1], step[2] = z, s, t
    rho = math.sqrt(s * s + t * t)
    fall = 0.0
    for k in range(3):
        slope = s * gun[6 + k, i] + t * gun[9 + k, i] - rho * gun[3 + k, i]
        fall += abs(slope) * bound[4 + k]
    return rho * (rho - z) <= fall


@njit(**_INSIDE)
def _load(lane: Any, block: Any) -> None:
    for row in range(7):
        for i in range(LANES):
            block[row * LANES + i] = lane[row, i]


@njit(**_INSIDE)
def _unload(block: Any, film: Any) -> None:
    for i in range(LANES):
        film[i] += block[7 * LANES + i]
        block[7 * LANES + i] = _ZERO


@njit(**_KERNEL)
def deposit(bounds: Any, lanes: Any, gun: Any, cone: Any, screens: Any, film: Any) -> int:
    """Film on whole groups of blocks from all gun steps, added to film (blocks, LANES).

    bounds is (groups, blocks); cone holds how far a sphere's radius counts along s and t, and
    the exponents across - along and along - 1. Returns how many (block, step) pairs it visited.
    """
    groups, blocks = bounds
    most = gun.shape[1] + 1
    near, steps, some = np.empty(most, np.bool_), np.empty(most, np.int32), np.empty((13, most))
    step, screen = np.empty(18, lanes.dtype), np.empty(13, lanes.dtype)
    block = np.zeros(8 * LANES, lanes.dtype)
    step[16], step[17] = cone[2], cone[3]
    pairs = 0
    for group in range(len(groups)):
        count = _steps_near(groups[group], gun, cone, near, steps)
        _pick(gun, steps, count, some)
        packed = some[:, :count]
        for number in range(group * GROUP, group * GROUP + GROUP if count else 0):
            visits = _steps_near(blocks[number], packed, cone, near, steps)
            _load(lanes[number], block)
            for k in range(visits):
                if not _place(blocks[number], packed, steps[k], step):
                    continue
                pairs += 1
                lay(block, step)
                for row in range(len(screens)):
                    _place_screen(screens[row], packed, steps[k], screen)
                    shade(block, step, screen)
                if len(screens):
                    _unload(block, film[number])
            _unload(block, film[number])
    return pairs


@njit(inline="always", **_INSIDE)
def _tail(t: Any, table: Any, column: int) -> Any:
    """Integral of a profile beyond |t|, from the table over sqrt(1 - |t|)."""
    place = math.sqrt(max(_ONE - abs(t), _ZERO)) * table.dtype.type(len(table) - 2)
    whole = int(place)
    low = table[whole, column]
    return low + (place - table.dtype.type(whole)) * (table[whole + 1, column] - low)


@njit(inline="always", **_INSIDE)
def _frame_stroke(block: Any, step: Any) -> None:
    """What one straight stroke comes to at each sample of a block, into its rows 8 to 12.

    step is as for lay, about the stroke's start, with the stroke's direction in place of side;
    16 is across - 1/2, 17 the stroke's length, 18 half width / distance. The rows: both ends in
    units of the half chord, within -1 .. 1 and where level - slope t is above 0; level; slope;
    film per unit of them.
    """
    z0, s0, t0, hx, hy, hz = step[0], step[1], step[2], step[3], step[4], step[5]
    ax, ay, az, fx, fy, fz = step[6], step[7], step[8], step[9], step[10], step[11]
    sx, sy, sz, amount, power, length = step[12], step[13], step[14], step[15], step[16], step[17]
    scale = step[18] * step[18]
    for i in range(LANES):
        x, y, d = block[i], block[LANES + i], block[2 * LANES + i]
        nx, ny, nz = block[3 * LANES + i], block[4 * LANES + i], block[5 * LANES + i]
        z = z0 + ax * x + ay * y + az * d
        near = _ONE / max(z, _NEAR)
        u = (s0 + fx * x + fy * y + fz * d) * near
        uu = _ONE - u * u
        start = t0 + sx * x + sy * y + sz * d
        root = math.sqrt(max(uu, _TINY))
        slope = (nx * sx + ny * sy + nz * sz) * scale
        level = slope * start - (block[6 * LANES + i] + nx * hx + ny * hy + nz * hz)
        slope *= z * root
        firm = slope if abs(slope) > _FLAT else _FLAT
        turn = level / firm
        high = min(start * near / root, _ONE)
        low = max((start - length) * near / root, -_ONE)
        shape = exp2(power * log2(uu)) * near * near * amount
        block[8 * LANES + i] = low if firm > _ZERO else max(low, turn)
        block[9 * LANES + i] = min(high, turn) if firm > _ZERO else high
        block[10 * LANES + i] = level
        block[11 * LANES + i] = slope
        block[12 * LANES + i] = shape if (z > _ZERO) & (uu > _ZERO) else _ZERO


@njit(**_INSIDE)
def lay_stroke(block: Any, step: Any, table: Any) -> None:
    """Add to a block's film what one whole straight stroke lays on it."""
    _frame_stroke(block, step)
    for i in range(LANES):
        low, high, shape = block[8 * LANES + i], block[9 * LANES + i], block[12 * LANES + i]
        if high <= low or shape <= _ZERO:
            continue
        share = block[10 * LANES + i]
        if low > -_ONE or high < _ONE:
            share *= _below(high, table) - _below(low, table)
            share -= block[11 * LANES + i] * (_tail(low, table, 1) - _tail(high, table, 1))
        block[7 * LANES + i] += shape * share


@njit(inline="always", **_INSIDE)
def _below(t: Any, table: Any) -> Any:
    tail = _tail(t, table, 0)
    return _ONE - tail if t > _ZERO else tail


@njit(**_KERNEL)
def strokes(bounds: Any, lanes: Any, gun: Any, cone: Any, table: Any, film: Any) -> int:
    """Film on whole groups of blocks from whole straight strokes, added to film (blocks, LANES).

    gun is as for deposit, about each stroke's start, and its row 13 the length over half width x
    distance; cone[2] is across - 1/2, cone[3] half width / distance. Returns how many (block,
    stroke) pairs it visited.
    """
    groups, blocks = bounds
    step = np.empty(19, lanes.dtype)
    block = np.zeros(13 * LANES, lanes.dtype)
    step[16], step[18] = cone[2], cone[3]
    pairs = 0
    for group in range(len(groups)):
        for i in range(gun.shape[1]):
            if not _stroke_meets(groups[group], gun, i, cone):
                continue
            for number in range(group * GROUP, group * GROUP + GROUP):
                if not _stroke_meets(blocks[number], gun, i, cone):
                    continue
                pairs += 1
                _load(lanes[number], block)
                _place(blocks[number], gun, i, step)
                step[17] = gun[13, i]
                lay_stroke(block, step, table)
                _unload(block, film[number])
    return pairs


@njit(**_INSIDE)
def _stroke_meets(bound: Any, gun: Any, i: int, cone: Any) -> bool:
    """Whether a stroke may lay anything within a bounding sphere."""
    rx, ry, rz = bound[0] - gun[0, i], bound[1] - gun[1, i], bound[2] - gun[2, i]
    z = rx * gun[3, i] + ry * gun[4, i] + rz * gun[5, i]
    s = rx * gun[6, i] + ry * gun[7, i] + rz * gun[8, i]
    t = rx * gun[9, i] + ry * gun[10, i] + rz * gun[11, i]
    reach = bound[3] * cone[1]
    beside = abs(s) - z > bound[3] * cone[0]
    return not (beside or -t - z > reach or t - gun[13, i] - z > reach)
