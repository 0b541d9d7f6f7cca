"""Film on any surface from any movement of the gun: paint flies in straight lines from the gun.

A gun at g with unit axis A, fan F and side S = A x F lays on a sample at p with normal n

    rate = flow f(u, v) (d0 / z)^2 (-(r . n)) / z,   r = p - g,  z = r . A,
    u = d0 (r . F) / z,  v = d0 (r . S) / z

with f the footprint on the plane at its reference distance d0: the flow that leaves the gun is
what would land on any surface round it. Nothing lands behind the gun or on a face turned away.
A surface does not shade itself; a screen stops paint.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, Literal, NamedTuple

import numpy as np
from numpy.typing import NDArray

from coatwright.engines.spray import _kernels, _plain
from coatwright.engines.spray._laying import as_cells, check_fan, check_frame, reach, spread
from coatwright.engines.spray.cells import Cells, Surface
from coatwright.engines.spray.footprint import Fan, peak
from coatwright.errors import RangeError

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class GunPath:
    """Steps of a gun: positions [m], unit axes and fans (m, 3); flows [m3/s], dwell [s] (m,).

    The flow is what reaches the plane of the work: fluid flow x transfer efficiency.
    """

    positions: Floats
    axes: Floats
    fans: Floats
    flows: Floats
    dwell: Floats

    def __post_init__(self) -> None:
        m = len(self.flows)
        shapes = [part.shape for part in (self.positions, self.axes, self.fans)]
        if shapes != [(m, 3)] * 3 or self.dwell.shape != (m,):
            raise RangeError(
                f"a gun path of {m} flows has parts of shapes {shapes} and {self.dwell.shape}",
                instead="give m positions, axes and fans of 3 components, m flows and m dwells",
            )
        if m and min(self.flows.min(), self.dwell.min()) < 0.0:
            raise RangeError("a flow or a dwell is below 0", instead="paint and time only add up")
        check_frame(self.axes, self.fans)


class Screen(NamedTuple):
    """A rectangle on the way of the paint: a mouth to pass through, or a plate that stops it.

    centre [m]; normal, along and across are unit vectors square to each other; half_along and
    half_across [m]. A mouth is a hole in a wide wall, a plate is the rectangle itself.
    """

    centre: tuple[float, float, float]
    normal: tuple[float, float, float]
    along: tuple[float, float, float]
    half_along: float
    half_across: float
    mouth: bool = True


class Deposit(NamedTuple):
    """Wet film [m] at each sample, paint caught by the surface [m3] and paint sprayed [m3].

    candidates counts the samples a fan was tried on [-], summed over gun steps or strokes.
    """

    film: Floats
    captured: float
    sprayed: float
    candidates: int


def _gun_table(path: GunPath, fan: Fan) -> Floats:
    """Rows of _kernels.deposit for the steps that spray, (13, m)."""
    sprays = path.flows * path.dwell > 0.0
    axes, fans = path.axes[sprays], path.fans[sprays]
    amount = peak(fan) * fan.distance**2 * path.flows[sprays] * path.dwell[sprays]
    scaled = fans * (2 * fan.distance / fan.length)
    sides = np.cross(axes, fans) * (2 * fan.distance / fan.width)
    rows = [path.positions[sprays].T, axes.T, scaled.T, sides.T, amount]
    return np.ascontiguousarray(np.vstack(rows))


def _screen_row(screen: Screen) -> Floats:
    normal, along = np.array(screen.normal, dtype=float), np.array(screen.along, dtype=float)
    check_frame(normal[None], along[None])
    if min(screen.half_along, screen.half_across) <= 0.0:
        raise RangeError("a screen has no size", instead="half sizes are above 0")
    across = np.cross(normal, along) / screen.half_across
    ways = [screen.centre, normal, along / screen.half_along, across, [float(screen.mouth)]]
    return np.concatenate([np.asarray(part, dtype=float) for part in ways])


def deposit(
    surface: Surface | Cells,
    path: GunPath,
    fan: Fan,
    screens: Sequence[Screen] = (),
    threads: int = 1,
    kernel: Literal["single", "double", "plain"] = "single",
) -> Deposit:
    """Wet film that a gun's steps lay on a surface.

    Parameters
    ----------
    surface : Surface or Cells
        Samples of the surface; arrange it once where the same surface is painted many times.
    path : GunPath
        Steps of the gun, each held for its dwell.
    fan : Fan
        Footprint at its reference distance.
    screens : sequence of Screen
        Mouths and plates that the paint meets on its way.
    threads : int [-]
        Threads at once; the result is the same bit for bit. 0 takes one per core.
    kernel : {"single", "double", "plain"}
        Compiled in single or double precision, or the NumPy twin in double.

    Returns
    -------
    Deposit
        Film of every sample in the surface's order, paint captured and paint sprayed.

    Raises
    ------
    RangeError
        If the fan's exponents are below 1, or a direction is not of length 1.

    Validity
        Droplets fly straight and stay where they land. Stepping is a midpoint rule in time: steps
        of a sixteenth of the fan's width are wrong by up to 1 % of the most film, at the tips of
        the fan. The surface does not shade itself.

    Source
        double-beta; the projection on the surface is derived (a cone keeps its flow).

    Checked
        tests/published/test_spray.py, tests/convergence/test_film.py
    """
    check_fan(fan)
    cells = as_cells(surface, kernel)
    gun = _gun_table(path, fan)
    cone = np.array([*reach(fan), fan.across - fan.along, fan.along - 1.0])
    rows = np.array([_screen_row(screen) for screen in screens]).reshape(-1, 13)
    engine = _plain if kernel == "plain" else _kernels

    def work(bounds: Any, lanes: Any, film: Any) -> int:
        return int(engine.deposit(bounds, lanes, gun, cone, rows, film))

    film, candidates = spread(work, cells, threads)
    captured = float(film @ cells.surface.areas)
    return Deposit(film, captured, float(path.flows @ path.dwell), candidates)
