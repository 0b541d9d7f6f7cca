"""Film on any surface from any movement of the gun: paint flies in straight lines from the gun.

A gun at g with unit axis A, fan F and side S = A x F lays on a sample at p with normal n

    rate = flow f(u, v) (d0 / z)^2 (-(r . n)) / z,   r = p - g,  z = r . A,
    u = d0 (r . F) / z,  v = d0 (r . S) / z

with f the footprint on the plane at its reference distance d0: the flow that leaves the gun is
what would land on any surface round it. Nothing lands behind the gun or on a face turned away.
A surface does not shade itself; a screen stops paint.
"""

import math
import os
from collections.abc import Callable, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from typing import Any, Literal, NamedTuple

import numpy as np
from numpy.typing import NDArray

from coatwright.engines.spray import _kernels, _plain
from coatwright.engines.spray.cells import GROUP, Cells, Surface, arrange
from coatwright.engines.spray.footprint import Fan, peak
from coatwright.errors import RangeError

Floats = NDArray[np.float64]

CHUNKS = 16
"""Parts a surface is worked in, whatever the number of threads."""


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


def check_frame(axes: Floats, fans: Floats) -> None:
    """Refuse axes and fans that are not unit vectors square to each other.

    Parameters
    ----------
    axes, fans : (m, 3) array [-]
        Directions the gun points and its fan lies.

    Raises
    ------
    RangeError
        If a length differs from 1, or a fan from square to its axis, by more than 1e-6.

    Returns
    -------
    None

    Source
        derived.
    """
    lengths = np.concatenate([np.linalg.norm(axes, axis=1), np.linalg.norm(fans, axis=1)])
    lean = np.abs(np.einsum("ij,ij->i", axes, fans))
    if not (np.allclose(lengths, 1.0, rtol=0.0, atol=1e-6) and (lean < 1e-6).all()):
        raise RangeError(
            "an axis or a fan is not of length 1, or the two are not square to each other",
            instead="give unit vectors, the fan square to the axis",
        )


def check_fan(fan: Fan) -> None:
    """Refuse a fan whose flux grows without limit at its edge.

    Parameters
    ----------
    fan : Fan
        The fan.

    Raises
    ------
    RangeError
        If an exponent is below 1 or a length is not above 0.

    Returns
    -------
    None

    Source
        derived: the double-beta profile is bounded only for exponents of 1 and more.
    """
    if min(fan.across, fan.along) < 1.0 or min(fan.length, fan.width, fan.distance) <= 0.0:
        raise RangeError(
            f"fan {fan.length:g} x {fan.width:g} m at {fan.distance:g} m, exponents "
            f"{fan.across:g} and {fan.along:g}",
            instead="lengths are above 0 and exponents 1 or more",
        )


def _gun_table(path: GunPath, fan: Fan) -> Floats:
    """Rows of _kernels.deposit for the steps that spray, (13, m)."""
    sprays = path.flows * path.dwell > 0.0
    axes, fans = path.axes[sprays], path.fans[sprays]
    amount = peak(fan) * fan.distance**2 * path.flows[sprays] * path.dwell[sprays]
    scaled = fans * (2 * fan.distance / fan.length)
    sides = np.cross(axes, fans) * (2 * fan.distance / fan.width)
    rows = [path.positions[sprays].T, axes.T, scaled.T, sides.T, amount]
    return np.ascontiguousarray(np.vstack(rows))


def reach(fan: Fan) -> tuple[float, float]:
    """How far a sphere's radius counts along and across the fan's cone.

    Parameters
    ----------
    fan : Fan
        The fan, all lengths [m].

    Returns
    -------
    tuple of float [-]
        Length of the gradient of |s| - z and of |t| - z, with s and t scaled to the cone.

    Source
        derived.
    """
    return (
        math.hypot(1.0, 2 * fan.distance / fan.length),
        math.hypot(1.0, 2 * fan.distance / fan.width),
    )


def _screen_row(screen: Screen) -> Floats:
    normal, along = np.array(screen.normal, dtype=float), np.array(screen.along, dtype=float)
    check_frame(normal[None], along[None])
    if min(screen.half_along, screen.half_across) <= 0.0:
        raise RangeError("a screen has no size", instead="half sizes are above 0")
    across = np.cross(normal, along) / screen.half_across
    ways = [screen.centre, normal, along / screen.half_along, across, [float(screen.mouth)]]
    return np.concatenate([np.asarray(part, dtype=float) for part in ways])


def spread(work: Callable[..., int], cells: Cells, threads: int) -> tuple[Floats, int]:
    """Run a kernel over a surface in CHUNKS parts, each with its own film.

    Parameters
    ----------
    work : callable [-]
        Takes (bounds, lanes, film) of one part, adds to film [m], returns pairs visited.
    cells : Cells
        The surface.
    threads : int [-]
        Threads at once; the result does not depend on it. 0 takes the machine's number of cores.

    Returns
    -------
    tuple of (n,) array [m] and int [-]
        Film in the surface's own order, and samples tried.

    Source
        derived.
    """
    film = np.zeros(cells.slots.shape)
    edges = np.linspace(0, len(cells.groups), CHUNKS + 1).astype(int)

    def one(chunk: int) -> int:
        low, high = edges[chunk], edges[chunk + 1]
        part = slice(low * GROUP, high * GROUP)
        bounds = (cells.groups[low:high], cells.blocks[part])
        return work(bounds, cells.lanes[part], film[part]) if high > low else 0

    with ThreadPoolExecutor(threads or os.cpu_count() or 1) as pool:
        run = map if threads == 1 else pool.map
        pairs = sum(run(one, range(CHUNKS)))
    laid = np.empty(len(cells.surface.areas))
    laid[cells.slots.ravel()] = film.ravel()
    return laid, pairs * cells.slots.shape[1]


def as_cells(surface: Surface | Cells, kernel: str) -> Cells:
    """The surface in blocks, of the precision a kernel wants.

    Parameters
    ----------
    surface : Surface or Cells
        Samples, or samples already arranged; lengths [m].
    kernel : str
        "single", "double" or "plain".

    Returns
    -------
    Cells
        Arranged samples.

    Source
        derived.
    """
    kind = np.float32 if kernel == "single" else np.float64
    if isinstance(surface, Cells) and surface.lanes.dtype == kind:
        return surface
    samples = surface.surface if isinstance(surface, Cells) else surface
    return arrange(samples, single=kernel == "single")


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
        Droplets fly straight and stay where they land. Stepping is a midpoint rule in time: keep
        steps to a tenth of the fan's width for 1 % of the film. The surface does not shade itself.

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
