"""Straight strokes: as steps of a gun, or whole, in closed form.

Along a straight stroke with the gun's axis and fan square to it, a sample keeps its depth z and
its lateral u, and only v moves, evenly with time. The integral over the stroke is then exact:

    film = flow / speed (d0 / z^2) g(u) {c [B(t1) - B(t0)] - k [M(t1) - M(t0)]}

with g the pass profile, t the ends of the stroke in units of the ellipse's half chord at u (cut
where the sample turns its back to the gun), B the share of the along-profile below t, M its first
moment, c the cosine term with the gun abreast of the sample and k its change per unit of t.
"""

from collections.abc import Sequence
from functools import lru_cache
from typing import Any, Literal, NamedTuple

import numpy as np
from numpy.typing import NDArray

from coatwright.engines.spray import _kernels, _plain
from coatwright.engines.spray._laying import as_cells, check_fan, check_frame, reach, spread
from coatwright.engines.spray.cells import Cells, Surface
from coatwright.engines.spray.deposit import Deposit, GunPath
from coatwright.engines.spray.footprint import Fan, cumulative, pass_profile
from coatwright.errors import RangeError

Floats = NDArray[np.float64]
Vector = tuple[float, float, float]


class Stroke(NamedTuple):
    """One straight stroke with the trigger pulled from start to end [m].

    axis and fan are unit vectors; speed [m/s]; flow [m3/s] is what reaches the work.
    """

    start: Vector
    end: Vector
    axis: Vector
    fan: Vector
    speed: float
    flow: float


def _course(stroke: Stroke) -> tuple[Floats, float]:
    """Unit direction and length [m] of a stroke."""
    way = np.subtract(stroke.end, stroke.start)
    length = float(np.linalg.norm(way))
    if length <= 0.0 or stroke.speed <= 0.0:
        raise RangeError(
            f"a stroke of {length:g} m at {stroke.speed:g} m/s",
            instead="length and speed are above 0",
        )
    return way / length, length


def triggered(stroke: Stroke, lead: float, lag: float) -> Stroke:
    """The stroke with the trigger pulled before its start and let go after its end.

    Parameters
    ----------
    stroke : Stroke
        From edge to edge of the work, say.
    lead, lag : float [m]
        Way with the trigger pulled before the start and after the end; below 0 the trigger is
        pulled late or let go early.

    Returns
    -------
    Stroke
        Same line, other ends.

    Source
        derived.
    """
    direction, length = _course(stroke)
    if length + lead + lag <= 0.0:
        raise RangeError(
            f"a stroke of {length:g} m, lead {lead:g} m, lag {lag:g} m, never sprays",
            instead="lead and lag leave some way with the trigger pulled",
        )
    start = np.asarray(stroke.start) - direction * lead
    end = np.asarray(stroke.end) + direction * lag
    return stroke._replace(start=tuple(start.tolist()), end=tuple(end.tolist()))


def straight_path(stroke: Stroke, step: float, lead: float = 0.0, lag: float = 0.0) -> GunPath:
    """Equal steps along a straight stroke, each at the middle of its piece.

    Parameters
    ----------
    stroke : Stroke
        The stroke.
    step : float [m]
        Longest piece.
    lead, lag : float [m]
        As for triggered.

    Returns
    -------
    GunPath
        Steps with equal dwell; their flow x dwell is the stroke's flow x time.

    Source
        derived: midpoint rule.
    """
    pulled = triggered(stroke, lead, lag)
    direction, length = _course(pulled)
    if step <= 0.0:
        raise RangeError(f"steps of {step:g} m", instead="a step is above 0")
    count = max(1, int(np.ceil(length / step - 1e-9)))
    middles = (np.arange(count) + 0.5) * (length / count)
    return GunPath(
        np.asarray(pulled.start) + middles[:, None] * direction,
        np.tile(np.asarray(stroke.axis, dtype=float), (count, 1)),
        np.tile(np.asarray(stroke.fan, dtype=float), (count, 1)),
        np.full(count, stroke.flow),
        np.full(count, length / count / stroke.speed),
    )


def join(paths: Sequence[GunPath]) -> GunPath:
    """Several gun paths one after the other.

    Parameters
    ----------
    paths : sequence of GunPath
        At least one.

    Returns
    -------
    GunPath
        All steps in order.

    Source
        derived.
    """
    names = ("positions", "axes", "fans", "flows", "dwell")
    return GunPath(*(np.concatenate([getattr(path, name) for path in paths]) for name in names))


@lru_cache(maxsize=16)
def _tails(along: float, intervals: int) -> Floats:
    """Share of the along-profile beyond t, and its first moment, over sqrt(1 - t); one row spare.

    In that variable both are smooth to the very end, so that a line between entries will do.
    """
    y = np.linspace(0.0, 1.0, intervals + 1)
    t = 1.0 - y * y
    share = cumulative(along, -t)
    peak = float(pass_profile(Fan(2.0, 1.0, along - 0.5, 1.0, 1.0), 0.0)[()])
    moment = peak * (1.0 - t * t) ** along / (2 * along)
    return np.vstack([np.column_stack([share, moment]), [[share[-1], moment[-1]]]])


def _stroke_table(strokes: Sequence[Stroke], fan: Fan) -> Floats:
    """Rows of _kernels.strokes, (14, m)."""
    axes = np.array([stroke.axis for stroke in strokes], dtype=float)
    fans = np.array([stroke.fan for stroke in strokes], dtype=float)
    check_frame(axes, fans)
    courses = [_course(stroke) for stroke in strokes]
    ways = np.array([way for way, _ in courses])
    if max(np.abs((ways * axes).sum(axis=1)).max(), np.abs((ways * fans).sum(axis=1)).max()) > 1e-9:
        raise RangeError(
            "a gun leans along its stroke, or its fan does not lie square to it",
            instead="closed form wants axis and fan square to the stroke: step it (straight_path)",
        )
    flows = np.array([stroke.flow / stroke.speed for stroke in strokes])
    if flows.min() < 0.0:
        raise RangeError("a flow is below 0", instead="paint only adds up")
    along, across = 2 * fan.distance / fan.width, 2 * fan.distance / fan.length
    amount = flows * fan.distance * pass_profile(fan, 0.0)
    starts = np.array([stroke.start for stroke in strokes], dtype=float)
    lengths = np.array([length for _, length in courses])
    parts = [starts.T, axes.T, fans.T * across, ways.T * along, amount, lengths * along]
    return np.ascontiguousarray(np.vstack(parts))


def straight_strokes(
    surface: Surface | Cells,
    strokes: Sequence[Stroke],
    fan: Fan,
    threads: int = 1,
    kernel: Literal["single", "double", "plain"] = "single",
) -> Deposit:
    """Wet film that whole straight strokes lay on a surface, without stepping.

    Parameters
    ----------
    surface : Surface or Cells
        Samples of the surface, of any shape.
    strokes : sequence of Stroke
        Straight strokes at even speed, axis and fan square to the stroke (a lean across the
        stroke is welcome).
    fan : Fan
        Footprint at its reference distance.
    threads : int [-]
        As for deposit.
    kernel : {"single", "double", "plain"}
        As for deposit; "plain" takes the incomplete beta function itself instead of a table.

    Returns
    -------
    Deposit
        As for deposit.

    Raises
    ------
    RangeError
        If a gun leans along its stroke or its fan lies askew to it, or as for deposit.

    Validity
        Exact for the model of deposit without screens; the table keeps share and moment to 1e-7
        ("single") or 1e-9 ("double").

    Source
        double-beta; the integral along the stroke is derived.

    Checked
        tests/unit/engines/spray/test_strokes.py
    """
    check_fan(fan)
    cells = as_cells(surface, kernel)
    gun = _stroke_table(strokes, fan)
    cone = np.array([*reach(fan), fan.across - 0.5, fan.width / (2 * fan.distance)])
    table = _tails(fan.along, 4096 if kernel == "single" else 65536).astype(cells.lanes.dtype)

    def work(bounds: Any, lanes: Any, film: Any) -> int:
        if kernel == "plain":
            return _plain.strokes(bounds, lanes, gun, cone, fan.along, film)
        return int(_kernels.strokes(bounds, lanes, gun, cone, table, film))

    film, candidates = spread(work, cells, threads)
    sprayed = sum(stroke.flow * _course(stroke)[1] / stroke.speed for stroke in strokes)
    return Deposit(film, float(film @ cells.surface.areas), sprayed, candidates)


class Lap(NamedTuple):
    """Film of passes side by side, over one pitch: mean [-] and variance [-] in units of one
    pass's peak and its square, and spread, the standard deviation over the mean [-]."""

    mean: float
    variance: float
    spread: float


def lap(across: float, overlap: float) -> Lap:
    """How even equal passes side by side come out.

    Parameters
    ----------
    across : float [-]
        Exponent of the fan's profile; the pass is (1 - u^2)^(across - 1/2).
    overlap : float [-]
        Shared part of the fan, as a share of its full length: 0 to below 1.

    Returns
    -------
    Lap
        Over one pitch.

    Raises
    ------
    RangeError
        If overlap lies outside 0 to 1.

    Source
        lap-uniform-speed for the measure; the sum is derived.

    Checked
        tests/published/test_spray.py
    """
    if not 0.0 <= overlap < 1.0:
        raise RangeError(f"an overlap of {overlap:g}", instead="an overlap is 0 to below 1")
    places = np.linspace(-1.0, 1.0, 4001)
    heights = (1.0 - places**2) ** (across - 0.5)
    return lap_measured(places, heights, 2.0 * (1.0 - overlap))


def lap_measured(places: Floats, heights: Floats, pitch: float) -> Lap:
    """How even passes side by side come out when one pass was measured.

    Parameters
    ----------
    places : (n,) array [m]
        Places across the pass, rising.
    heights : (n,) array [m]
        Film of the pass there, or its film over any unit; straight between, 0 beyond.
    pitch : float [m]
        From pass to pass.

    Returns
    -------
    Lap
        Over one pitch.

    Source
        lap-uniform-speed for the measure; the sum is derived.

    Checked
        tests/published/test_spray.py
    """
    places, heights = np.asarray(places, dtype=float), np.asarray(heights, dtype=float)
    at = (np.arange(2000) + 0.5) * (pitch / 2000)
    first, last = (int(np.floor(end / pitch)) for end in (places[0], places[-1]))
    shifts = np.arange(first, last + 1)[:, None] * pitch
    film = np.interp(at + shifts, places, heights, left=0.0, right=0.0).sum(axis=0)
    film /= heights.max()
    mean = float(film.mean())
    return Lap(mean, float(film.var()), float(film.std()) / mean)


def best_overlap(across: float) -> float:
    """Overlap of two neighbouring passes that lays the most even film.

    Parameters
    ----------
    across : float [-]
        Exponent of the fan's profile.

    Returns
    -------
    float [-]
        The first optimum as overlap grows from nothing; more overlap, with three passes sharing,
        may be more even again.

    Source
        lap-uniform-speed for the measure; the minimum is derived.

    Checked
        tests/published/test_spray.py
    """
    best, step = 0.0, 0.05
    for _ in range(4):
        low = max(0.0, best - step)
        step /= 10.0
        best = _first_low(across, low, step)
    return best


def _first_low(across: float, overlap: float, step: float) -> float:
    """The overlap, walking up in steps, after which the film grows less even."""
    spread = lap(across, overlap).spread
    while (following := lap(across, overlap + step).spread) < spread:
        overlap, spread = overlap + step, following
    return overlap
