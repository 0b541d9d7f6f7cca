"""Making a timetable better piece by piece: free a few tasks, keep the rest, solve, and again.

Each round frees two neighbourhoods at once, one on each thread; a neighbourhood grows when it is
solved to the end and shrinks when it is not. Where the end counts and has once stood still, every
other piece is also to start as soon as it can: what is gained in one place is kept for the next.
Every solve is one worker with a limit in the solver's own deterministic time, and the threads meet
after each round, so the same seed gives the same timetable however fast the machine is.
"""

import math
import random
from collections import Counter
from collections.abc import Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, field
from typing import Any, Final, NamedTuple, TypeVar

from ortools.sat.python import cp_model

from coatwright.engines.timetable.solver._compiled import Compiled
from coatwright.engines.timetable.solver._layout import STOOD, Layout, measure_of
from coatwright.engines.timetable.solver._model import Frame, Keep, hint, model_of, read
from coatwright.engines.timetable.solver._purse import Mark, Purse

Item = TypeVar("Item")

THREADS: Final = 2
EFFORT: Final = 0.03
"""Deterministic time of one solve of a neighbourhood, to begin with."""
STALLED: Final = 25
"""Rounds without a better timetable after which each solve may take twice as long."""
CALM: Final = 12
"""The same, after which plans worth as much are told apart by the sum of their starts."""
HOPELESS: Final = 200
"""Rounds without a better timetable after which the search is given up."""
OVERHEAD: Final = 0.02
"""What building a model counts for in deterministic time (derived: measured as a share)."""
MOBILE: Final = 4
"""One in so many pieces lets what is kept move up too, where waiting is to be made small."""
MARGIN: Final = 30
"""How long before its tasks a neighbourhood begins [-]."""


class Solved(NamedTuple):
    """What a solve gave: whether it ran to its end, a timetable or none, a bound, the effort."""

    closed: bool
    layout: Layout | None
    bound: float
    effort: float


class Limits(NamedTuple):
    """How one solve is run: effort [-], seconds [s], and a value it must not exceed.

    prove: raise the bound step by step, rather than look for better plans.
    """

    effort: float
    seconds: float = math.inf
    seed: int = 1
    workers: int = 1
    value: int | None = None
    prove: bool = False


def solve(
    made: Compiled,
    frame: Frame,
    layout: Layout | None,
    limits: Limits,
    solver: cp_model.CpSolver | None = None,
) -> Solved:
    """One solve, from a timetable if there is one, for at most limits.value."""
    if limits.value is not None:
        frame = frame._replace(caps=(*frame.caps, (frame.weights, limits.value)))
    model = model_of(made, frame)
    if layout is not None:
        hint(model, layout)
    solver = solver or cp_model.CpSolver()
    _tune(solver.parameters, limits)
    if frame.keep is not None:
        _hurry(solver.parameters)
    status = solver.solve(model.cp)
    effort = solver.response_proto.deterministic_time + OVERHEAD
    found = status in (cp_model.OPTIMAL, cp_model.FEASIBLE)
    closed = status in (cp_model.OPTIMAL, cp_model.INFEASIBLE)
    bound = solver.best_objective_bound if found or status == cp_model.UNKNOWN else math.inf
    return Solved(closed, read(model, solver) if found else None, bound, effort)


def _tune(asked: Any, limits: Limits) -> None:
    """Settings of the solver."""
    asked.num_workers, asked.random_seed = limits.workers, limits.seed
    asked.interleave_search = limits.workers > 1
    if math.isfinite(limits.effort):
        asked.max_deterministic_time = limits.effort
    if math.isfinite(limits.seconds):
        asked.max_time_in_seconds = limits.seconds
    if limits.workers == 1:
        asked.linearization_level = 0
    asked.optimize_with_core = limits.prove


def _hurry(asked: Any) -> None:
    """A piece of a timetable is solved without the slow preparations."""
    asked.linearization_level, asked.cp_model_probing_level, asked.symmetry_level = 0, 0, 0


@dataclass
class Search:
    """A timetable that is being made better."""

    made: Compiled
    frame: Frame
    layout: Layout
    seed: int
    parts: Sequence[Sequence[int]]
    threads: int = THREADS
    value: int = 0
    stalled: int = 0
    calm: bool = False
    seconds: float = math.inf
    draw: random.Random = field(default_factory=random.Random)
    sizes: dict[str, float] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self.draw.seed(self.seed)
        self.value = self.worth(self.layout)
        self.sizes = {"window": 20.0, "parts": 2.0, "some parts": 2.0, "pots": 2.0, "kin": 15.0}
        self.sizes["days"] = 1.0

    def worth(self, layout: Layout) -> int:
        """The weighed measures of a timetable."""
        return measure_of(self.made, layout, self.frame.wanted).weighed(self.frame.weights)

    def rank(self, layout: Layout) -> tuple[int, int]:
        """What a timetable is judged by: its worth, and the sum of the starts where that counts."""
        return self.worth(layout), sum(layout.starts) if self.calm else 0

    def take(self, layout: Layout | None) -> bool:
        """Take over a timetable that is no worse; whether it is better."""
        if layout is None:
            return False
        rank, before = self.rank(layout), self.rank(self.layout)
        if rank > before:
            return False
        self.layout, self.value = layout, rank[0]
        return rank < before

    def run(self, purse: Purse, mark: Mark, enough: int) -> None:
        """Rounds until a mark is reached, a value is, or nothing better came of many rounds."""
        with ThreadPoolExecutor(self.threads) as pool:
            while not (purse.spent(mark) or self.value <= enough or self.stalled > HOPELESS):
                self.seconds = purse.seconds(mark)
                purse.effort -= self.round(pool)

    def round(self, pool: ThreadPoolExecutor) -> float:
        """As many neighbourhoods at once; the best result is taken. Returns the effort."""
        kinds = [self._pick() for _ in range(self.threads)]
        tasks = [pool.submit(self.part, free, self.draw.randrange(2**30)) for _, free in kinds]
        found = [task.result() for task in tasks]
        for (kind, _), solved in zip(kinds, found, strict=True):
            factor = 1.04 if solved.closed else 0.95
            most = len(self.made.ends) if kind in ("window", "kin") else len(self.parts)
            self.sizes[kind] = min(max(self.sizes[kind] * factor, 1.0), max(most, 1))
        best = min(found, key=lambda s: self.rank(s.layout) if s.layout else (2**60, 0))
        self.stalled = 0 if self.take(best.layout) else self.stalled + 1
        weights = self.frame.weights
        ends = weights.end > 0 and not weights.manned and not weights.moved
        self.calm |= ends and self.stalled > CALM
        return max(solved.effort for solved in found)

    def part(self, free: frozenset[int], seed: int) -> Solved:
        """The free tasks arranged anew, the rest kept, for no worse a value."""
        starts = [self.layout.starts[i] for i in free]
        starts += [
            m.start + MARGIN
            for m in self.layout.mixes
            if m.option != STOOD and not free.isdisjoint(m.serves)
        ]
        since = 0 if self.frame.weights.manned else max(min(starts) - MARGIN, 0)
        still = self.frame.weights.manned > 0 and seed % MOBILE != 0
        early = self.calm and seed % 2 == 0
        frame = self.frame._replace(keep=Keep(self.layout, free, since, still), early=early)
        effort = EFFORT * 2 ** min(self.stalled // STALLED, 3)
        return solve(
            self.made, frame, self.layout, Limits(effort, self.seconds, seed, value=self.value)
        )

    def _pick(self) -> tuple[str, frozenset[int]]:
        kinds = ["window", "window"]
        if self.frame.weights.manned:
            kinds += ["days", "days"]
        kinds += ["parts", "some parts"] if len(self.parts) > 1 else ["kin", "kin"]
        if self.layout.mixes:
            kinds += ["pots"] * (3 if self._surplus() else 1)
        kind = self.draw.choice(kinds)
        size = max(1, round(self.sizes[kind] * self.draw.uniform(0.8, 1.2)))
        pick = {
            "days": self._days,
            "window": self._window,
            "parts": self._parts,
            "some parts": self._some_parts,
            "pots": self._pots,
            "kin": self._kin,
        }[kind]
        return kind, frozenset(pick(size))

    def _days(self, size: int) -> list[int]:
        """What begins on a few days, from anywhere."""
        day = self.made.problem.day
        worked = sorted({start // day for start in self.layout.starts})
        chosen = set(self.draw.sample(worked, min(size, len(worked))))
        return [i for i, start in enumerate(self.layout.starts) if start // day in chosen]

    def _window(self, size: int) -> list[int]:
        """Tasks that follow each other."""
        order = sorted(range(len(self.layout.starts)), key=lambda i: self.layout.starts[i])
        return _stretch(self.draw, order, size)

    def _parts(self, size: int) -> list[int]:
        """Parts that begin one after another."""
        order = sorted(self.parts, key=lambda part: min(self.layout.starts[i] for i in part))
        return [i for part in _stretch(self.draw, order, size) for i in part]

    def _some_parts(self, size: int) -> list[int]:
        """Parts from anywhere."""
        chosen = self.draw.sample(list(self.parts), min(size, len(self.parts)))
        return [i for part in chosen for i in part]

    def _pots(self, size: int) -> list[int]:
        """What a few pots in a row serve, and what is done meanwhile."""
        every = sorted({mix.pot for mix in self.layout.mixes})
        paint = self.draw.choice(self._surplus() or every)
        mine = [mix for mix in self.layout.mixes if mix.pot == paint]
        served = [i for mix in _stretch(self.draw, mine, size) for i in mix.serves]
        low = min(self.layout.starts[i] for i in served) - MARGIN
        high = max(self.layout.starts[i] for i in served)
        return served + [i for i, at in enumerate(self.layout.starts) if low <= at <= high]

    def _surplus(self) -> list[int]:
        """Paints that are mixed more often than they must be, where that counts."""
        fresh = Counter(mix.pot for mix in self.layout.mixes if mix.option != STOOD)
        pots = enumerate(self.frame.pots) if self.frame.weights.mixes else ()
        return [number for number, (least, _) in pots if fresh[number] > least]

    def _kin(self, size: int) -> list[int]:
        """A task and those that lags tie to it, near ones first."""
        found = [self.draw.randrange(len(self.made.ends))]
        for task in found:
            near = [arc.after for arc in self.made.out[task]]
            near += [arc.before for arc in self.made.into[task]]
            self.draw.shuffle(near)
            found += [i for i in dict.fromkeys(near) if i not in found]
            if len(found) >= size:
                break
        return found[:size]


def _stretch(draw: random.Random, row: Sequence[Item], size: int) -> list[Item]:
    """So many in a row, from a place drawn so that both ends are as likely as the middle."""
    size = min(size, len(row))
    first = draw.randint(-(size // 2), len(row) - size + size // 2)
    first = min(max(first, 0), len(row) - size)
    return list(row[first : first + size])
