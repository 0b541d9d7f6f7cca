"""The kernels once more in plain NumPy: same blocks, same model, BATCH gun steps at a time.

Tests compare the two; whoever doubts a compiled result asks for kernel="plain".
"""

from typing import Any

import numpy as np
from numpy.typing import NDArray
from scipy.special import beta

from coatwright.engines.spray.cells import GROUP
from coatwright.engines.spray.footprint import cumulative

BATCH = 32
Array = NDArray[Any]


def _frames(steps: Array) -> Array:
    """Axis, fan and side as columns, (steps, 3, 3)."""
    return steps[:, 3:12].reshape(-1, 3, 3).transpose(0, 2, 1)


def _meets(spheres: Array, steps: Array, cone: Array) -> NDArray[np.bool_]:
    """Whether the fan of each step may meet bounds (steps or 1, some, 7); (steps, some)."""
    place = (spheres[..., :3] - steps[:, None, :3]) @ _frames(steps)
    depth, reach = place[..., 0], spheres[..., 3]
    meets_s = np.abs(place[..., 1]) - depth <= reach * cone[0]
    return np.asarray(meets_s & (np.abs(place[..., 2]) - depth <= reach * cone[1]))


def _touches(bounds: Array, steps: Array) -> NDArray[np.bool_]:
    """Whether the fan of each step may meet the box beside it; see _kernels._place."""
    frames = _frames(steps)
    z, s, t = ((bounds[:, None, :3] - steps[:, None, :3]) @ frames)[:, 0].T
    rho = np.sqrt(s * s + t * t)
    slopes = frames @ np.stack([-rho, s, t], axis=1)[:, :, None]
    return np.asarray(rho * (rho - z) <= (np.abs(slopes[:, :, 0]) * bounds[:, 4:]).sum(axis=1))


def _pairs(bounds: tuple[Array, Array], steps: Array, cone: Array) -> tuple[Array, Array]:
    """Numbers of the blocks and steps that may meet, groups first."""
    groups, blocks = bounds
    step, group = np.nonzero(_meets(groups[None], steps, cone))
    some = blocks.reshape(-1, GROUP, 7)[group]
    near, member = np.nonzero(_meets(some, steps[step], cone))
    block, step = group[near] * GROUP + member, step[near]
    touched = _touches(blocks[block], steps[step])
    return block[touched], step[touched]


def _flux(blocks: Array, lanes: Array, steps: Array, cone: Array) -> Array:
    """What each step lays on the block beside it, (pairs, LANES)."""
    kind = lanes.dtype
    away = (blocks[:, :3] - steps[:, :3])[:, None, :]
    frames = _frames(steps)
    middle = (away @ frames).transpose(0, 2, 1).astype(kind)
    place = frames.transpose(0, 2, 1).astype(kind) @ lanes[:, :3] + middle
    facing = -lanes[:, 6] - (away.astype(kind) @ lanes[:, 3:6])[:, 0]
    z = place[:, 0]
    near = 1 / np.maximum(z, kind.type(1e-9))
    uu = 1 - (place[:, 1] * near) ** 2
    w = uu - (place[:, 2] * near) ** 2
    inside = (w > 0) & (facing > 0) & (z > 0)
    amount = np.broadcast_to(steps[:, 12, None].astype(kind), z.shape)[inside]
    shape = uu[inside] ** kind.type(cone[2]) * w[inside] ** kind.type(cone[3])
    flux = np.zeros_like(z)
    flux[inside] = shape * amount * facing[inside] * near[inside] ** 3
    return np.asarray(flux)


def _stopped(blocks: Array, lanes: Array, steps: Array, screen: Array) -> NDArray[np.bool_]:
    """Which rays a screen stops, (pairs, LANES)."""
    rays = (blocks[:, :3] - steps[:, :3])[:, None, :] + lanes[:, :3].transpose(0, 2, 1)
    start = (steps[:, :3] - screen[:3])[:, None, :]
    normal, along, across = screen[3:12].reshape(3, 3)
    fall = -(rays @ normal)
    level = np.abs(fall) <= 1e-9
    way = np.where(level, 0.0, start @ normal / np.where(level, 1.0, fall))
    e = start @ along + way * (rays @ along)
    f = start @ across + way * (rays @ across)
    inside = (np.abs(e) <= 1) & (np.abs(f) <= 1)
    return np.asarray((way > 0) & (way < 1 - 1e-6) & (inside != (screen[12] > 0)))


def _add_rows(film: Array, rows: Array, values: Array) -> None:
    """Add values to rows of film, where a row may come more than once."""
    order = np.argsort(rows, kind="stable")
    first = np.flatnonzero(np.diff(rows[order], prepend=-1))
    film[rows[order[first]]] += np.add.reduceat(values[order], first, axis=0)


def deposit(
    bounds: tuple[Array, Array],
    lanes: Array,
    gun: Array,
    cone: Array,
    screens: Array,
    film: Array,
) -> int:
    """Film from all gun steps, added to film (blocks, LANES); see _kernels.deposit."""
    blocks = bounds[1]
    pairs = 0
    for start in range(0, gun.shape[1], BATCH):
        steps = np.ascontiguousarray(gun[:, start : start + BATCH].T)
        block, step = _pairs(bounds, steps, cone)
        if len(block) == 0:
            continue
        flux = _flux(blocks[block], lanes[block], steps[step], cone)
        for screen in screens:
            flux[_stopped(blocks[block], lanes[block], steps[step], screen)] = 0
        _add_rows(film, block, flux)
        pairs += len(block)
    return pairs


def _part_facing(low: Array, high: Array, level: Array, slope: Array) -> tuple[Array, Array]:
    """The part of low .. high within -1 .. 1 where level - slope t is above 0."""
    low, high = np.maximum(low, -1.0), np.minimum(high, 1.0)
    still = slope == 0.0
    turn = level / np.where(still, 1.0, slope)
    high = np.where(slope > 0.0, np.minimum(high, turn), high)
    low = np.where(slope < 0.0, np.maximum(low, turn), low)
    return low, np.where((high > low) & ~(still & (level <= 0.0)), high, low)


def _moment(along: float, t: Array) -> Array:
    """First moment of the along-profile below t, its sign turned."""
    return np.asarray(np.clip(1.0 - t * t, 0.0, 1.0) ** along / (2.0 * along * beta(0.5, along)))


def _stroke(blocks: Array, lanes: Array, stroke: Array, cone: Array, along: float) -> Array:
    """What one stroke lays on blocks, (blocks, LANES)."""
    points = blocks[:, None, :3] + lanes[:, :3].transpose(0, 2, 1) - stroke[:3]
    normals = lanes[:, 3:6].transpose(0, 2, 1)
    z, s, start = (points @ stroke[3:12].reshape(3, 3).T).transpose(2, 0, 1)
    near = 1.0 / np.maximum(z, 1e-9)
    uu = 1.0 - (s * near) ** 2
    inside = (uu > 0.0) & (z > 0.0)
    root = np.sqrt(np.where(inside, uu, 1.0))
    slope = normals @ stroke[9:12] * cone[3] ** 2
    level = slope * start - (normals * points).sum(axis=2)
    slope = slope * z * root
    ends = (start - stroke[13]) * near / root, start * near / root
    low, high = _part_facing(*ends, level, slope)
    share = cumulative(along, high) - cumulative(along, low)
    moment = _moment(along, low) - _moment(along, high)
    shape = root ** (2.0 * cone[2]) * near**2 * stroke[12]
    return np.where(inside & (high > low), shape * (level * share - slope * moment), 0.0)


def _stroke_meets(bounds: Array, stroke: Array, cone: Array) -> NDArray[np.bool_]:
    """Whether a stroke may lay anything within each bounding sphere."""
    z, s, t = stroke[3:12].reshape(3, 3) @ (bounds[:, :3] - stroke[:3]).T
    reach = bounds[:, 3]
    along = np.maximum(-t, t - stroke[13]) - z <= reach * cone[1]
    return np.asarray(along & (np.abs(s) - z <= reach * cone[0]))


def strokes(
    bounds: tuple[Array, Array],
    lanes: Array,
    gun: Array,
    cone: Array,
    along: float,
    film: Array,
) -> int:
    """Film from whole strokes by the incomplete beta function; see _kernels.strokes."""
    groups, blocks = bounds
    pairs = 0
    for stroke in gun.T:
        near = np.repeat(_stroke_meets(groups, stroke, cone), GROUP)
        hit = np.flatnonzero(near & _stroke_meets(blocks, stroke, cone))
        film[hit] += _stroke(blocks[hit], lanes[hit], stroke, cone, along)
        pairs += len(hit)
    return pairs
