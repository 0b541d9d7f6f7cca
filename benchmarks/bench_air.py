"""Air: the compiled run against SciPy's solve_ivp, at equal accuracy, measured in the same run.

Both solve the same equations. The truth is the tightest answer of either, which must agree. Each
method then runs at the loosest tolerance that keeps the error below ERROR, and its own processor
time counts, middle of several turns. SciPy runs twice: all in Python, and with the line's own
search compiled, which leaves it nothing but the stepping.
"""

import math
import statistics
import time
from collections.abc import Callable

import numpy as np

from coatwright.engines import air
from coatwright.engines.air import _kernels, _plain
from coatwright.engines.constants import ATMOSPHERE

ERROR = 1e-6
RUNS = 7
WANTED = 100.0
LADDER = (1e-3, 1e-4, 1e-5, 1e-6, 1e-7, 1e-8, 1e-9, 1e-10)
METHODS = ("RK45", "DOP853", "LSODA")
SHOP = 293.15


def scene() -> tuple[air.Programme, air.Kit, air.ReceiverState]:
    """A coat of 40 strokes with its turns on a small shop's line: every switch acts."""
    cap = air.cap_from_test(380e-3 / 60, 2e5 + ATMOSPHERE, 0.69e5 + ATMOSPHERE)
    part = air.from_nominal
    line = air.Line(
        part(2000e-3 / 60),
        air.Regulator(ATMOSPHERE, 3e6, part(1500e-3 / 60), False),
        air.Hose(10.0, 9.5e-3, 1.25, part(1000e-3 / 60), part(1000e-3 / 60)),
        SHOP,
    )
    pump = air.Pump(
        3e-3, 7e5 + ATMOSPHERE, 0.05, 6e5 + ATMOSPHERE, 8e5 + ATMOSPHERE, SHOP, 1.5, 1200.0
    )
    kit = air.Kit(
        air.with_setting(line, cap, 2.2e5 + ATMOSPHERE),
        air.Receiver(0.05, air.wall_heat(0.05), SHOP),
        pump,
        0.0,
    )
    strokes = air.programme([4.0, 1.0] * 40 + [60.0], [0, -1] * 40 + [-1], [cap])
    return strokes, kit, air.full(kit)


def found(run: air.Run) -> np.ndarray:
    return np.array([run.end.pressure, run.end.temperature, run.used.sum(), run.delivered.sum()])


def compiled(tolerance: float) -> Callable[[], np.ndarray]:
    phases, kit, start = scene()
    limits = air.Limits(0.0, math.inf, tolerance, math.inf)
    return lambda: found(air.simulate(phases, kit, start, limits))


def scipy(method: str, tolerance: float, moment: Callable) -> Callable[[], np.ndarray]:
    phases, kit, start = scene()
    solver = _plain.Solver(method, tolerance, moment)
    return lambda: np.array(_plain.simulate(phases, kit, start, solver))


def loosest(make: Callable[[float], Callable], truth: np.ndarray) -> tuple[float, Callable]:
    """The loosest tolerance whose error is small enough, and what to time."""
    for tolerance in LADDER:
        run = make(tolerance)
        if np.max(np.abs(run() / truth - 1.0)) <= ERROR:
            return tolerance, run
    raise SystemExit("no tolerance of the ladder is tight enough")


def seconds(run: Callable) -> float:
    times = []
    for _ in range(RUNS):
        start = time.thread_time()
        run()
        times.append(time.thread_time() - start)
    return statistics.median(times)


def main() -> None:
    truth = compiled(1e-12)()
    other = scipy("DOP853", 1e-12, _kernels.settle)()
    apart = float(np.max(np.abs(other / truth - 1.0)))
    print(f"tightest answers of both differ by {apart:.1e}")
    if apart > ERROR / 30:
        raise SystemExit("the two do not solve the same equations")
    tolerance, run = loosest(compiled, truth)
    own = seconds(run)
    print(f"compiled run        tolerance {tolerance:.0e}  {own * 1e3:9.3f} ms")
    best: dict[str, float] = {}
    for name, moment in (("all in Python", _plain.settle), ("line compiled", _kernels.settle)):
        for method in METHODS:
            tolerance, other_run = loosest(lambda t, m=method, f=moment: scipy(m, t, f), truth)
            took = seconds(other_run)
            best[name] = min(best.get(name, math.inf), took)
            print(
                f"solve_ivp {method:<7} {name}  tolerance {tolerance:.0e}  {took * 1e3:9.1f} ms"
                f"  {took / own:8.0f} times"
            )
    plain, helped = best["all in Python"] / own, best["line compiled"] / own
    met = "met" if plain >= WANTED else "NOT met"
    print(f"best of SciPy is {plain:.0f} times slower; wanted {WANTED:.0f}: {met}")
    print(f"best of SciPy with our compiled line inside is {helped:.0f} times slower")


if __name__ == "__main__":
    main()
