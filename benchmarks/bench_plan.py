"""The whole demo plan: warm in one process, with two threads, with films kept, and cold.

cold       a new Python process runs `coatwright plan demo` (compiled kernels cached on disk)
warm       the same process plans again with every sampled film forgotten (the reference)
two        the same with two solver threads
again      the same job once more with the sampled films kept (a slider moved elsewhere)
"""

import statistics
import subprocess
import sys
import time
from collections.abc import Callable

from coatwright.actions import plans
from coatwright.planning.strokes import layouts, sampling, spraying

RUNS = 5


def forget() -> None:
    for cache in (sampling.settings_for, sampling.samples_for, layouts.section_of):
        cache.cache_clear()


def seconds(act: Callable[[], object]) -> float:
    start = time.perf_counter()
    act()
    return time.perf_counter() - start


def warm(threads: int) -> float:
    forget()
    spraying.THREADS = threads
    return seconds(lambda: plans.plan_job("demo"))


def cold() -> float:
    command = [sys.executable, "-m", "coatwright", "plan", "demo", "--json"]
    return seconds(lambda: subprocess.run(command, check=True, capture_output=True))


def main() -> None:
    plan = plans.plan_job("demo")
    recipes = len(plan.recipes)
    pairs = [(warm(2), warm(1)) for _ in range(RUNS)]
    two, one = (statistics.median(column) for column in zip(*pairs, strict=True))
    again = statistics.median(seconds(lambda: plans.plan_job("demo")) for _ in range(RUNS))
    fresh = statistics.median(cold() for _ in range(3))
    print(f"{len(plan.areas)} areas, {recipes} recipes; medians of {RUNS} runs (cold: 3)")
    print(f"{'warm (reference)':28}{one:8.2f} s   1.00")
    print(f"{'warm, two solver threads':28}{two:8.2f} s{two / one:7.2f}")
    print(f"{'again, films kept':28}{again:8.2f} s{again / one:7.2f}")
    print(f"{'cold process, command line':28}{fresh:8.2f} s{fresh / one:7.2f}")


if __name__ == "__main__":
    main()
