"""Film kernels: the compiled kernel against NumPy and C, and whole strokes against steps.

Every figure is a ratio to a reference measured in the same run; all variants take turns, and the
middle turn counts. One thread is timed by its own processor time, so that a busy machine does not
count, two by the clock. Needs gcc for the references in C.
"""

import ctypes
import os
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path
from typing import NamedTuple

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

import numpy as np

from coatwright.engines.spray import _kernels, _plain
from coatwright.engines.spray._laying import reach
from coatwright.engines.spray.cells import LANES, Cells, arrange
from coatwright.engines.spray.deposit import GunPath, _gun_table, deposit
from coatwright.engines.spray.footprint import Fan
from coatwright.engines.spray.strokes import Stroke, join, straight_path, straight_strokes
from coatwright.engines.spray.surfaces import cylinder

RUNS = 9
FAN = Fan(0.25, 0.08, 2.3, 1.7, 0.2)
STEP = 0.01
SOURCE = Path(__file__).with_name("_film_kernel.c")
COMMON = ["-O3", "-ffast-math"]
C_VARIANTS = {
    "C portable": COMMON,
    "C portable, libm": [*COMMON, "-DWITH_LIBM"],
    "C native": [*COMMON, "-march=native"],
    "C native, no sink": [*COMMON, "-march=native", "-fno-tree-sink"],
    "C native, libm": [*COMMON, "-march=native", "-DWITH_LIBM"],
}


class Scene(NamedTuple):
    cells: Cells
    double: Cells
    strokes: list[Stroke]
    path: GunPath


def scene() -> Scene:
    """A lightly curved panel, 2.9 m x 2.2 m in 200 704 samples, stroked along its length."""
    surface = cylinder(radius=4.0, length=2.9184, arc=2.2344 / 4.0, counts=(512, 392))
    strokes = [
        Stroke((x, 4.2, -0.1), (x, 4.2, 3.0), (0.0, -1.0, 0.0), (1.0, 0.0, 0.0), 0.4, 3e-6)
        for x in np.arange(-1.1, 1.11, 0.125)
    ]
    path = join([straight_path(stroke, STEP) for stroke in strokes])
    return Scene(arrange(surface), arrange(surface, single=False), strokes, path)


def compiled(name: str, flags: list[str], folder: Path) -> ctypes.CDLL:
    target = folder / f"{name.replace(' ', '-').replace(',', '')}.so"
    build = ["gcc", *flags, "-shared", "-fPIC", str(SOURCE), "-o", str(target), "-lm"]
    subprocess.run(build, check=True)
    library = ctypes.CDLL(str(target))
    library.deposit.restype = ctypes.c_int64
    return library


def _pointer(array: np.ndarray) -> ctypes.c_void_p:
    return array.ctypes.data_as(ctypes.c_void_p)


def in_c(library: ctypes.CDLL, cells: Cells, gun: np.ndarray, cone: np.ndarray) -> Callable:
    def run(film: np.ndarray) -> int:
        return library.deposit(
            _pointer(cells.groups),
            ctypes.c_int64(len(cells.groups)),
            _pointer(cells.blocks),
            _pointer(cells.lanes),
            _pointer(gun),
            ctypes.c_int64(gun.shape[1]),
            _pointer(cone),
            _pointer(film),
        )

    return run


def in_python(engine, cells: Cells, gun: np.ndarray, cone: np.ndarray) -> Callable:
    none = np.zeros((0, 13))
    bounds = (cells.groups, cells.blocks)
    return lambda film: engine.deposit(bounds, cells.lanes, gun, cone, none, film)


def race(variants: dict[str, Callable], shape: tuple[int, ...], clock=time.thread_time) -> dict:
    """Middle time [s], pairs and film of each variant; all take turns, the first turn is free."""
    times: dict[str, list[float]] = {name: [] for name in variants}
    found = {}
    for turn in range(RUNS + 1):
        for name, run in variants.items():
            film = np.zeros(shape)
            start = clock()
            pairs = run(film)
            if turn:
                times[name].append(clock() - start)
            found[name] = (pairs, film)
    return {name: (statistics.median(times[name]), *found[name]) for name in variants}


def show_kernels(scene: Scene, folder: Path) -> None:
    gun = _gun_table(scene.path, FAN)
    cone = np.array([*reach(FAN), FAN.across - FAN.along, FAN.along - 1.0])
    exact = np.zeros(scene.double.slots.shape)
    in_python(_kernels, scene.double, gun, cone)(exact)
    variants = {
        "NumPy twin": in_python(_plain, scene.cells, gun, cone),
        "numba kernel": in_python(_kernels, scene.cells, gun, cone),
    }
    for name, flags in C_VARIANTS.items():
        variants[name] = in_c(compiled(name, flags, folder), scene.cells, gun, cone)
    results = race(variants, exact.shape)
    ours = results["numba kernel"][0]
    print(f"{scene.cells.slots.size} samples, {gun.shape[1]} gun steps, single precision, 1 thread")
    print(f"{'':20}{'ms':>8}{'M candidates/s':>16}{'numba is':>12}{'error/max':>11}")
    for name, (seconds, pairs, film) in results.items():
        error = np.abs(film - exact).max() / exact.max()
        rate = pairs * LANES / seconds / 1e6
        print(f"{name:20}{seconds * 1e3:8.1f}{rate:16.0f}{seconds / ours:10.2f} x{error:11.1e}")


def show_threads(scene: Scene) -> None:
    path = join([straight_path(stroke, STEP / 5) for stroke in scene.strokes])

    def with_threads(count: int) -> Callable:
        return lambda _: deposit(scene.cells, path, FAN, threads=count)

    results = race({"1": with_threads(1), "2": with_threads(2)}, (1,), time.perf_counter)
    one, two = results["1"], results["2"]
    same = bool((one[1].film == two[1].film).all())
    print(f"\nwhole call, five times the steps: 1 thread {one[0] * 1e3:.1f} ms,", end=" ")
    print(f"2 threads {two[0] * 1e3:.1f} ms, {one[0] / two[0]:.2f} x on {os.cpu_count()} cores;")
    print(f"film the same bit for bit: {same}")


def show_strokes(scene: Scene) -> None:
    exact = straight_strokes(scene.double, scene.strokes, FAN, kernel="plain").film
    variants = {"whole": lambda _: straight_strokes(scene.cells, scene.strokes, FAN)}
    for step in (0.02, 0.01, 0.005, 0.002, 0.001, 0.0005):
        path = join([straight_path(stroke, step) for stroke in scene.strokes])
        name = f"steps of {step * 1e3:g} mm"
        variants[name] = lambda _, path=path: deposit(scene.cells, path, FAN)
    results = race(variants, (1,))
    seconds, first, _ = results["whole"]
    print(f"\n{len(scene.strokes)} straight strokes, whole call, 1 thread")
    print(f"{'':20}{'evaluations':>13}{'x':>8}{'ms':>9}{'x':>8}{'error/max':>11}")
    for name, (time_taken, found, _) in results.items():
        error = np.abs(found.film - exact).max() / exact.max()
        more, longer = found.candidates / first.candidates, time_taken / seconds
        print(
            f"{name:20}{found.candidates:13d}{more:8.1f}{time_taken * 1e3:9.1f}{longer:8.1f}"
            f"{error:11.1e}"
        )


FIRST_CALL = """
import time
start = time.perf_counter()
import numpy as np
from coatwright.engines.spray.footprint import Fan
from coatwright.engines.spray.strokes import Stroke, straight_path, straight_strokes
from coatwright.engines.spray.deposit import deposit
from coatwright.engines.spray.surfaces import flat
ready = time.perf_counter()
stroke = Stroke((0, 0, 0.2), (0.5, 0, 0.2), (0, 0, -1), (0, 1, 0), 0.4, 3e-6)
deposit(flat(0.5, 0.5, (40, 40)), straight_path(stroke, 0.01), Fan(0.25, 0.08, 2.3, 1.7, 0.2))
print(ready - start, time.perf_counter() - ready)
"""


def show_start() -> None:
    outputs = [
        subprocess.run([sys.executable, "-c", FIRST_CALL], capture_output=True, check=True).stdout
        for _ in range(6)
    ]
    rows = np.array([output.split() for output in outputs[1:]], dtype=float)
    imports, first = np.median(rows, axis=0)
    print(f"\nnew process, kernels cached: imports {imports:.2f} s, first call {first:.2f} s")


def main() -> None:
    here = scene()
    with tempfile.TemporaryDirectory() as folder:
        show_kernels(here, Path(folder))
    show_threads(here)
    show_strokes(here)
    show_start()


if __name__ == "__main__":
    main()
