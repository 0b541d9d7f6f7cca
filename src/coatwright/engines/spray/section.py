"""Film on a cross-section from straight strokes: exact, by finite volumes.

A gun stroked along a prismatic shape, its axis square to the stroke, sends every ray of lateral u
to the same line of the section whatever the place along the stroke. The share of a pass that a
cell of the section takes is therefore exactly the cumulative pass profile between the laterals of
the cell's two edges, less what lies in the shadow of something nearer: no time step, no surface
integral, and what the cells take plus what misses them is the whole to rounding.

    film of a cell = flow x transfer / speed x share / breadth
"""

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from coatwright.engines.spray import _section_kernels as kernels
from coatwright.engines.spray._section_kernels import Lap, Section
from coatwright.engines.spray.footprint import Fan, cumulative

__all__ = [
    "Section",
    "Strokes",
    "Wander",
    "along_share",
    "cut",
    "hand_films",
    "missed_share",
    "pass_shares",
]

Float = NDArray[np.float64]

_KNOTS = 2048
_tables: dict[float, tuple[Float, Float]] = {}


class Wander(NamedTuple):
    """How an unsteady hand departs from the strokes, one standard deviation each.

    speed and distance are shares of the nominal, tilt [rad], shift [m]. common is the share of
    the speed's variance that a whole coat has in common.
    """

    speed: float
    distance: float
    tilt: float
    shift: float
    common: float = 0.5


def cut(facets: Float, size: float, blockers: Float | None = None) -> Section:
    """Cut the facets of a section into cells of about one size.

    Parameters
    ----------
    facets : (k, 6) array [m]
        x0, z0, x1, z1 of each facet and its outward unit normal.
    size : float [m]
        Wanted breadth of a cell; every facet gets at least one.
    blockers : (m, 4) array [m], optional
        Segments that stop paint.

    Returns
    -------
    Section
        Cells in the order of the facets.

    Source
        derived (geometry).
    """
    rows: list[Float] = []
    owner: list[int] = []
    for index, facet in enumerate(facets):
        breadth = float(np.hypot(facet[2] - facet[0], facet[3] - facet[1]))
        pieces = max(1, round(breadth / size))
        pieces += pieces % 2 if pieces > 1 else 0  # an even number, so that halves are alike
        ends = np.linspace(0.0, 1.0, pieces + 1)[:, None]
        points = facet[:2] + ends * (facet[2:4] - facet[:2])
        normal = np.broadcast_to(facet[4:6], (pieces, 2))
        rows.append(np.hstack([points[:-1], points[1:], normal]))
        owner.extend([index] * pieces)
    cells = np.vstack(rows)
    breadths = np.hypot(cells[:, 2] - cells[:, 0], cells[:, 3] - cells[:, 1])
    stops = np.empty((0, 4)) if blockers is None else np.ascontiguousarray(blockers, dtype=float)
    return Section(cells, breadths, stops, np.array(owner))


def _lap(fan: Fan) -> Lap:
    """The fan's pass as the kernels take it."""
    return Lap(fan.distance, fan.length / 2, *_table(fan))


def _table(fan: Fan) -> tuple[Float, Float]:
    exponent = fan.across + 0.5
    if exponent not in _tables:
        t = np.linspace(-1.0, 1.0, _KNOTS + 1)
        share = cumulative(exponent, t)
        middle = (cumulative(exponent, 1e-4) - cumulative(exponent, -1e-4)) / 2e-4
        slope = float(middle) * np.clip(1.0 - t**2, 0.0, None) ** (exponent - 1.0)
        _tables[exponent] = (share, np.asarray(slope))
    return _tables[exponent]


def pass_shares(section: Section, strokes: Float, fan: Fan) -> Float:
    """Share of each pass per breadth, on each cell.

    Parameters
    ----------
    section : Section
        The cut cross-section.
    strokes : (s, 4) array [m, m, -, -]
        Position x, z of the gun and the unit vector (x, z) it points along.
    fan : Fan
        The fan, its length across the stroke.

    Returns
    -------
    (cells, strokes) array [1/m]
        film = flow x transfer / speed x this; times breadth it sums to the share captured.

    Validity
        Prismatic shapes, gun axis square to the stroke, away from the stroke's two ends (see
        along_share for those). Exact for the ray model of the fan.

    Source
        double-beta, integrated along a straight stroke (derived).
    """
    guns = np.ascontiguousarray(strokes, dtype=float)
    return np.asarray(kernels.pass_matrix(section, guns, _lap(fan)))


def missed_share(section: Section, stroke: Float, fan: Fan) -> float:
    """Share of one pass that meets no cell: found ray by ray, apart from pass_shares.

    Parameters
    ----------
    section : Section
        The cut cross-section.
    stroke : (4,) array [m, m, -, -]
        Gun position and direction.
    fan : Fan
        The fan.

    Returns
    -------
    float [-]
        1 - captured, from the gaps between everything the gun sees.

    Source
        derived: sweep of the fan over the sorted edges of cells and blockers.
    """
    gun = np.asarray(stroke, dtype=float)
    lap = _lap(fan)
    segments = np.vstack([section.cells[:, :4], section.blockers])
    edges = {-lap.half, lap.half}
    for x0, z0, x1, z1 in segments:
        edges.update(
            float(np.clip(kernels.reach(x, z, gun, lap), -lap.half, lap.half))
            for x, z in ((x0, z0), (x1, z1))
        )
    cuts = np.array(sorted(edges))
    share = np.array([kernels.share_below(lap, u) for u in cuts])
    taken = [_takes(section, gun, lap, float(middle)) for middle in (cuts[1:] + cuts[:-1]) / 2]
    return float(np.sum(np.diff(share)[~np.array(taken, dtype=bool)]))


def _takes(section: Section, gun: Float, lap: Lap, lateral: float) -> bool:
    """Whether the first thing the ray meets is a cell that faces the gun."""
    nearest, takes = np.inf, False
    blocking = len(section.cells)
    for index, segment in enumerate(np.vstack([section.cells[:, :4], section.blockers])):
        ends = [kernels.reach(segment[k], segment[k + 1], gun, lap) for k in (0, 2)]
        if not min(ends) < lateral < max(ends):
            continue
        depth = kernels.depth_at(segment, lateral, gun, lap)
        if depth < nearest - 1e-9:
            cell = section.cells[index] if index < blocking else None
            faces = cell is not None and float((gun[:2] - cell[:2]) @ cell[4:6]) > 0.0
            if faces or cell is None:
                nearest, takes = depth, faces
    return takes


class Strokes(NamedTuple):
    """Nominal strokes: guns (s, 4) as pass_shares takes them, distances (s,) to the surface [m]."""

    guns: Float
    distances: Float


def hand_films(
    section: Section, strokes: Strokes, fan: Fan, wander: Wander, fade: float, normals: Float
) -> Float:
    """One coat laid many times by an unsteady hand, per unit of flow x transfer / speed.

    Parameters
    ----------
    section : Section
        The cut cross-section.
    strokes : Strokes
        Nominal strokes and their distances [m].
    fan : Fan
        The fan.
    wander : Wander
        Spreads of the hand.
    fade : float [m]
        Length over which transfer falls by e as the gun moves away.
    normals : (draws, s + 1, 4) array [-]
        Standard normal numbers: speed, distance, tilt, shift; the last row along axis 1 is the
        part of the speed common to the coat.

    Returns
    -------
    (draws, cells) array [1/m]
        film = flow x transfer / speed x this.

    Source
        derived: Monte Carlo over pass_shares; speed and distance log-normal, tilt and shift
        normal.
    """
    own, shared = np.sqrt(1.0 - wander.common), np.sqrt(wander.common)
    pace = own * normals[:, :-1, 0] + shared * normals[:, -1:, 0]
    speed = np.exp(wander.speed * pace - wander.speed**2 / 2)
    swing = wander.distance * normals[:, :-1, 1] - wander.distance**2 / 2
    away = strokes.distances * np.expm1(swing)
    moves = np.stack(
        [wander.shift * normals[:, :-1, 3], away, wander.tilt * normals[:, :-1, 2]], axis=2
    )
    gains = np.exp(-away / fade) / speed
    guns = np.ascontiguousarray(strokes.guns, dtype=float)
    lap = _lap(fan)
    # A wandering fan is looked for where one this much longer would reach: beyond any draw.
    reach = np.max(np.abs(moves[:, :, 0])) / np.min(strokes.distances)
    stray = lap.distance * (reach + np.tan(min(np.max(np.abs(moves[:, :, 2])), 1.2)))
    near = kernels.touched(section, guns, lap._replace(half=1.3 * (lap.half + 1.5 * stray)))
    return np.asarray(kernels.hand_draws(section, guns, moves, gains, lap, near))


def along_share(
    fan: Fan, reach: float, lateral: float, edges: Float, trigger: tuple[float, float]
) -> Float:
    """How full a pass is on cells along the stroke, between trigger on and trigger off.

    Parameters
    ----------
    fan : Fan
        The fan.
    reach : float [m]
        Depth from gun to surface.
    lateral : float [m]
        Where in the fan, on its reference plane (the fan is narrower towards its ends).
    edges : (n + 1,) array [m]
        Cell edges along the stroke.
    trigger : (float, float) [m]
        Gun positions along the stroke at which paint begins and stops.

    Returns
    -------
    (n,) array [-]
        Cell averages: 1 in the middle of a long pass, exact for the double-beta fan at its ends.

    Source
        double-beta (derived): the integral of the cumulative along-profile in closed form.
    """
    narrowed = np.sqrt(max(1.0 - (2 * lateral / fan.length) ** 2, 1e-12))
    half = fan.width / 2 * narrowed * reach / fan.distance

    def filled(place: Float) -> Float:
        t = place / half
        inside = np.clip(t, -1.0, 1.0)
        tail = np.clip(1.0 - inside**2, 0.0, None) ** fan.along / (2 * fan.along)
        centre = _along_peak(fan.along)
        full = inside * cumulative(fan.along, inside) + centre * tail
        return np.asarray(half * np.where(t > 1.0, t, full), dtype=np.float64)

    amounts = filled(edges - trigger[0]) - filled(edges - trigger[1])
    return np.asarray(np.diff(amounts) / np.diff(edges))


def _along_peak(exponent: float) -> float:
    """1 / B(1/2, exponent): density of the along-profile at its middle."""
    step = 1e-5
    return float((cumulative(exponent, step) - cumulative(exponent, -step)) / (2 * step))
