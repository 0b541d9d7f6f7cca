"""Arranging a day: the best timetable, or a good one and how far it may be from the best."""

import math
import time
from dataclasses import dataclass, replace

from coatwright.engines.timetable.problem import (
    DAYS_WAITING_MIXES,
    Goal,
    Measure,
    Outcome,
    Problem,
    Timetable,
)
from coatwright.engines.timetable.solver._compiled import Compiled, compiled
from coatwright.engines.timetable.solver._course import NONE_EXISTS, Course, first_plan, staged
from coatwright.engines.timetable.solver._layout import Layout, measure_of, measured, timetable_of
from coatwright.engines.timetable.solver._purse import Purse
from coatwright.engines.timetable.solver._rest import Rest, joined, rest_of
from coatwright.errors import NotConverged, RangeError

DAYS_MOVES_MIXES: Goal = (Measure(days=1), Measure(moved=1), Measure(mixes=1))
"""What a day is arranged anew for, once it has begun: fewest days, least change, fewest mixes."""


@dataclass(frozen=True, slots=True)
class Budget:
    """What a search may spend, and on what.

    seconds [s] of the clock are kept. effort [-] is the solver's own measure of work, about one for
    every second of one processor: a search that ends for lack of effort, not of seconds, gives the
    same timetable every time on any machine. goal: what is to be made small, in order.
    """

    seconds: float = 10.0
    effort: float = math.inf
    goal: Goal = DAYS_WAITING_MIXES

    def __post_init__(self) -> None:
        if not (self.seconds > 0.0 and self.effort > 0.0):
            raise RangeError("there is nothing to spend on a search", instead="give it some time")
        if not self.goal:
            raise RangeError("there is no goal", instead="say what is to be made small")


def arrange(
    problem: Problem,
    budget: Budget = Budget(),
    seed: int = 1,
    start: Timetable | None = None,
) -> Outcome:
    """The best timetable for a problem, or the best found and a bound for every stage of the goal.

    A plan is made by hand first and made better until the budget is spent or nothing can be better.

    Parameters
    ----------
    problem : Problem
        What is to be scheduled, times [-] in ticks.
    budget : Budget
        Time [s] and effort [-] that may be spent, and the goal.
    seed : int
        Of all that is drawn; the same seed and effort give the same timetable.
    start : Timetable or None
        An earlier timetable, times [-], to start from; it need not hold any more.

    Returns
    -------
    Outcome
        Timetable, its measure, value and bound of every stage, all [-]. The bound of a stage holds
        for timetables that are no worse in the stages before it.

    Raises
    ------
    RangeError
        If nobody can do a task or the lags run in a circle.
    NotConverged
        If no timetable exists ("no timetable exists"), or none was found in the time given.

    Validity
        A tool with cleaning is cleaned as one: several that are cleaned apart need a key each. Pots
        are mixed without a break; a task takes its paint from one pot.

    Source
        derived: constraint model of the promises in problem.py, solved by OR-Tools CP-SAT.

    Checked
        tests/unit/engines/timetable/test_arranging.py: against every timetable of small problems.
    """
    purse = Purse(time.monotonic() + budget.seconds, budget.effort)
    made = compiled(problem)
    course = Course(made, budget.goal, purse, seed)
    if start is not None:
        course.wanted = _starts(made, start)
    layout, bounds = staged(course, first_plan(course))
    return _outcome(course, layout, bounds)


def rearrange(
    problem: Problem,
    was: Timetable,
    now: int,
    budget: Budget = Budget(2.0, goal=DAYS_MOVES_MIXES),
    seed: int = 1,
) -> Outcome:
    """The rest of a day that has begun, arranged anew with the least change.

    What started before `now` stays as it was, whether it keeps the promises or not; the rest keeps
    them all, those that tie it to the past too, and starts no sooner than `now`.

    Parameters
    ----------
    problem : Problem
        What is to be scheduled, times [-] in ticks.
    was : Timetable
        What happened, exactly as it did, and what was to happen after it; times [-].
    now : int
        The moment [-] before which nothing can be changed.
    budget : Budget
        Time [s] and effort [-] that may be spent, and the goal.
    seed : int
        Of all that is drawn.

    Returns
    -------
    Outcome
        The whole timetable, the past in it; value and bound of every stage for the rest, all [-].

    Raises
    ------
    RangeError
        If nobody can do a task or the lags run in a circle.
    NotConverged
        If what has happened leaves no timetable, or none was found in the time given.

    Source
        derived: as arrange, with the past as limits of the rest.

    Checked
        tests/unit/engines/timetable/test_rearranging.py
    """
    purse = Purse(time.monotonic() + budget.seconds, budget.effort)
    rest = rest_of(problem, was, now)
    if not rest.problem.tasks:
        return _nothing_left(problem, was, budget.goal)
    made = compiled(rest.problem, rest.given)
    course = Course(made, budget.goal, purse, seed, _starts(made, was))
    layout, bounds = staged(course, first_plan(course))
    found = _outcome(course, layout, bounds)
    return _with_past(problem, rest, found)


def feasible(problem: Problem, seconds: float = 10.0) -> bool | None:
    """Whether a problem has a timetable at all.

    Parameters
    ----------
    problem : Problem
        What is to be scheduled, times [-] in ticks.
    seconds : float [s], > 0
        That may be spent.

    Returns
    -------
    bool or None
        None if it is not known after that time.

    Source
        derived: as arrange.

    Checked
        tests/unit/engines/timetable/test_arranging.py: against every timetable of small problems.
    """
    made = compiled(problem)
    purse = Purse(time.monotonic() + seconds, math.inf)
    try:
        first_plan(Course(made, DAYS_WAITING_MIXES, purse, 1))
    except NotConverged as error:
        return False if error.what.startswith(NONE_EXISTS) else None
    return True


def _starts(made: Compiled, timetable: Timetable) -> list[int]:
    """Where tasks start in a timetable; -1 for those it does not have."""
    keys = [task.key for task in made.problem.tasks]
    return [timetable.slots[key].start if key in timetable.slots else -1 for key in keys]


def _outcome(course: Course, layout: Layout, bounds: list[int]) -> Outcome:
    values = tuple(course.worth(layout, weights) for weights in course.goal)
    bounds = [min(pair) for pair in zip(bounds, values, strict=True)]
    best = values == tuple(bounds)
    return Outcome(
        timetable_of(course.made, layout),
        measure_of(course.made, layout, course.wanted),
        values,
        tuple(bounds),
        "proven best" if best else "the budget is spent",
        tuple(course.trace),
    )


def _with_past(problem: Problem, rest: Rest, found: Outcome) -> Outcome:
    whole = joined(rest, found.timetable)
    spans = [(slot.start, slot.end) for slot in whole.slots.values()]
    spans += [(mix.start, mix.end) for mix in whole.mixes]
    judged = measured(problem, spans, len(whole.mixes))
    return replace(found, timetable=whole, measure=judged._replace(moved=found.measure.moved))


def _nothing_left(problem: Problem, was: Timetable, goal: Goal) -> Outcome:
    spans = [(slot.start, slot.end) for slot in was.slots.values()]
    spans += [(mix.start, mix.end) for mix in was.mixes]
    nothing = (0,) * len(goal)
    judged = measured(problem, spans, len(was.mixes))
    return Outcome(was, judged, nothing, nothing, "nothing is left to do")
