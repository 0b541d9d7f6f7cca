"""Learning: a shop's readings pooled, against the same sums written out one node at a time.

The reference forms the covariance matrix of all readings at every node of the grid and solves it,
as a textbook does; both give the same weights and forecast. Processor time, middle of several
turns. Then how the time grows with readings: they enter through their sums alone.
"""

import os
import statistics
import time
from collections.abc import Callable

os.environ["OPENBLAS_NUM_THREADS"] = "1"  # so that processor time is not that of idle threads

import numpy as np

from coatwright.engines import learning
from coatwright.engines.learning import Observation, Pool

RUNS = 7
CLASS = learning.CLASSES["flow"]
COUNTS = (20, 100, 500, 2500)


def readings(count: int, jobs: int = 12) -> list[Observation]:
    """Readings of 3 guns and 5 products on some jobs, by chance."""
    rng = np.random.default_rng(count)
    return [
        Observation(
            float(rng.normal(0.05, 0.1)),
            {
                "gun": str(rng.integers(3)),
                "product": str(rng.integers(5)),
                "job": str(rng.integers(jobs)),
            },
        )
        for _ in range(count)
    ]


def dense(seen: list[Observation], pool: Pool) -> np.ndarray:
    """Centres of the effect of the first gun at every node, by the matrix of all readings."""
    own, values = CLASS.own, np.array([one.value for one in seen])
    alike = {
        group: np.array([[a.keys[group] == b.keys[group] for b in seen] for a in seen])
        for group in CLASS.between
    }
    first = np.array([one.keys["gun"] == pool.tally.members[0][1] for one in seen], dtype=float)
    found = []
    for ratios in pool.ratios:
        matrix = np.eye(len(seen)) + 1.0 / own.strength
        for ratio, same in zip(ratios, alike.values(), strict=True):
            matrix += ratio**2 * same
        found.append(ratios[0] ** 2 * first @ np.linalg.solve(matrix, values - own.centre))
    return np.array(found)


def spent(work: Callable[[], object]) -> float:
    """Seconds of processor time, middle of several turns."""
    turns = []
    for _ in range(RUNS):
        start = time.process_time()
        work()
        turns.append(time.process_time() - start)
    return statistics.median(turns)


def main() -> None:
    learning.pooled(readings(20), CLASS)
    for count in COUNTS:
        seen = readings(count)
        sums = learning.tally(seen, tuple(CLASS.between))
        pool = learning.pooled(sums, CLASS)
        ours = spent(lambda sums=sums: learning.pooled(sums, CLASS))
        told = f"{count:5d} readings: {ours * 1e3:6.1f} ms from the sums"
        if count <= 100:
            start = time.process_time()
            theirs = dense(seen, pool)
            took = time.process_time() - start
            off = float(np.abs(theirs - pool.effects[:, 1]).max())
            told += f", dense {took * 1e3:6.1f} ms ({took / ours:.0f} times), differ by {off:.0e}"
        print(told)
    cells = [one.keys for one in readings(30)]
    print(f"4000 draws of 30 coats: {spent(lambda: learning.draws(pool, cells)) * 1e3:.1f} ms")
    asked = learning.believed(pool, cells[0])
    print(f"an interval: {spent(lambda: learning.interval(asked)) * 1e3:.2f} ms")


if __name__ == "__main__":
    main()
