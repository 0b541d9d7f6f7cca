"""The day: arranging areas with shared pots, against a plain constraint model in the same run.

The instances are invented: eight steps an area (rub, two coats of primer, rub, three of colour,
clear), sizes drawn from 0.6 to 1.5, least and most times between steps, one booth, two painters,
pots of four units that live 60 or 120 minutes and take 5 minutes to mix. Made small is the end in
minutes plus 15 for every pot. The plain model says the same in the most direct way: a literal for
every task and every pot it may take from, no plan to start from. Both get the same seconds of the
clock; the processor time beside them, and the load of the machine before, say how much of two cores
they had: on a busy machine the gaps are those of a shorter search. A bound that has met the value
is a proof.

    python benchmarks/bench_day.py               areas and seconds of PLAN
    python benchmarks/bench_day.py 12 20 2       12 areas, 20 s, instance 2
"""

import math
import os
import random
import sys
import time
from dataclasses import dataclass
from typing import NamedTuple

from ortools.sat.python import cp_model

from coatwright.engines.timetable.arranging import Budget, arrange
from coatwright.engines.timetable.checking import faults
from coatwright.engines.timetable.problem import Lag, Measure, Person, Pot, Problem, Task, Tool

PLAN = ((6, 10), (12, 10), (12, 20), (24, 20), (24, 60), (48, 60))
WANTED = {(6, 10): 0.0, (12, 20): 0.02, (24, 60): 0.06}
STEPS = (
    ("rub", 20, False),
    ("primer 1", 8, True),
    ("primer 2", 8, True),
    ("rub again", 20, False),
    ("colour 1", 6, True),
    ("colour 2", 6, True),
    ("colour 3", 6, True),
    ("clear", 8, True),
)
LAGS = ((5, 240), (10, 45), (180, 1440), (10, 480), (10, 60), (10, 60), (20, 120))
POTS = (("primer", 60), ("clear", 120))
FULL, MIXING, PRICE = 400, 5, 15


class Found(NamedTuple):
    """What a search came to: value, bound, seconds until the first plan, of clock and processor."""

    value: float
    bound: float
    first: float
    seconds: float
    processor: float

    @property
    def gap(self) -> float:
        return (self.value - self.bound) / self.value if math.isfinite(self.value) else math.inf


def job(areas: int, seed: int) -> Problem:
    draw = random.Random(seed)
    sizes = [round(draw.uniform(0.6, 1.5), 2) for _ in range(areas)]
    tasks, lags, amounts = [], [], {pot: [] for pot, _ in POTS}
    for area, size in enumerate(sizes):
        for number, (step, minutes, sprayed) in enumerate(STEPS):
            key = f"{area} {step}"
            work = max(1, math.ceil(minutes * size))
            tasks.append(Task(key, work, tools=("booth",) if sprayed else ()))
            if number:
                lags.append(Lag(tasks[-2].key, key, *LAGS[number - 1]))
            for pot in amounts:
                if step.startswith(pot):
                    amounts[pot].append((key, round(size * 100)))
    horizon = 2 * sum(task.work for task in tasks) + 600
    pots = tuple(Pot(pot, FULL, life, MIXING, tuple(amounts[pot])) for pot, life in POTS)
    people = (Person("one"), Person("other"))
    tools = (Tool("booth"),)
    return Problem(tuple(tasks), people, ((0, horizon),), tuple(lags), tools, pots, day=horizon)


def ours(problem: Problem, seconds: float) -> Found:
    clock, processor = time.monotonic(), time.process_time()
    found = arrange(problem, Budget(seconds, goal=(Measure(end=1, mixes=PRICE),)))
    spent = time.monotonic() - clock, time.process_time() - processor
    assert faults(problem, found.timetable) == ()
    return Found(found.values[0], found.bounds[0], found.trace[0][0], *spent)


@dataclass
class Plain:
    """The plain model: a start for every task and pot, a literal for every task in every pot."""

    problem: Problem

    def __post_init__(self) -> None:
        self.cp, self.top = cp_model.CpModel(), self.problem.open[0][1]
        tasks = self.problem.tasks
        self.work = {task.key: task.work for task in tasks}
        self.start = {task.key: self.cp.new_int_var(0, self.top, task.key) for task in tasks}
        self.busy = [self._interval(self.start[task.key], task.work) for task in tasks]
        self.used: list[cp_model.IntVar] = []
        booth = [span for task, span in zip(tasks, self.busy, strict=True) if task.tools]
        self.cp.add_no_overlap(booth)
        for lag in self.problem.lags:
            gap = self.start[lag.after] - self.start[lag.before] - self.work[lag.before]
            self.cp.add_linear_constraint(gap, lag.least, lag.most)
        for pot in self.problem.pots:
            self._pots(pot)
        self.cp.add_cumulative(self.busy, [1] * len(self.busy), 2)
        end = self.cp.new_int_var(0, self.top, "end")
        self.cp.add_max_equality(end, [self.start[key] + self.work[key] for key in self.start])
        self.cp.minimize(end + PRICE * sum(self.used))

    def _interval(self, start: cp_model.IntVar, work: int) -> cp_model.IntervalVar:
        return self.cp.new_fixed_size_interval_var(start, work, "")

    def _pots(self, pot: Pot) -> None:
        takes: dict[str, list[cp_model.IntVar]] = {key: [] for key, _ in pot.amounts}
        for _ in pot.amounts:
            mixed, used = self.cp.new_int_var(0, self.top, ""), self.cp.new_bool_var("")
            mixing = self.cp.new_optional_fixed_size_interval_var(mixed, pot.mixing, used, "")
            self.busy.append(mixing)
            self.used.append(used)
            here = {key: self.cp.new_bool_var("") for key in takes}
            for key, literal in here.items():
                begun, done = self.start[key], self.start[key] + self.work[key]
                self.cp.add(begun >= mixed + pot.mixing).only_enforce_if(literal)
                self.cp.add(done <= mixed + pot.life).only_enforce_if(literal)
                takes[key].append(literal)
            poured = sum(amount * here[key] for key, amount in pot.amounts)
            self.cp.add(poured <= pot.capacity * used)
        for literals in takes.values():
            self.cp.add_exactly_one(literals)


class _Watch(cp_model.CpSolverSolutionCallback):
    first = math.inf

    def on_solution_callback(self) -> None:
        self.first = min(self.first, self.wall_time)


def plain(problem: Problem, seconds: float) -> Found:
    clock, processor = time.monotonic(), time.process_time()
    solver, watch = cp_model.CpSolver(), _Watch()
    solver.parameters.num_workers, solver.parameters.random_seed = 2, 1
    solver.parameters.max_time_in_seconds = seconds
    status = solver.solve(Plain(problem).cp, watch)
    spent = time.monotonic() - clock, time.process_time() - processor
    found = status in (cp_model.OPTIMAL, cp_model.FEASIBLE)
    value = solver.objective_value if found else math.inf
    return Found(value, solver.best_objective_bound, watch.first, *spent)


def said(name: str, found: Found) -> str:
    return (
        f"  {name:6} first plan {found.first:6.2f} s  value {found.value:6.0f}  "
        f"bound {found.bound:6.0f}  gap {found.gap:6.1%}  "
        f"in {found.seconds:5.1f} s ({found.processor:5.1f} s of processor)"
        + (", proven" if found.gap <= 0.0 else "")
    )


def compare(areas: int, seconds: float, seed: int) -> None:
    problem, load = job(areas, seed), os.getloadavg()[0]
    good, reference = ours(problem, seconds), plain(problem, seconds)
    wanted = WANTED.get((areas, int(seconds)))
    asked = "" if wanted is None else f", wanted {wanted:.0%}"
    print(f"{areas} areas, {seconds:.0f} s, instance {seed}{asked}; load {load:.1f}")
    print(said("ours", good))
    print(said("plain", reference))
    if math.isfinite(reference.value) and good.gap > 0:
        print(
            f"  plain / ours: value {reference.value / good.value:.2f}, "
            f"gap {reference.gap / good.gap:.1f}"
        )
    sys.stdout.flush()


def main() -> None:
    asked = [float(word) for word in sys.argv[1:]]
    if asked:
        areas, seconds, seed = (*asked, 10.0, 1.0)[:3] if len(asked) == 1 else (*asked, 1.0)[:3]
        compare(int(areas), seconds, int(seed))
        return
    for areas, seconds in PLAN:
        compare(areas, seconds, 1)


if __name__ == "__main__":
    main()
