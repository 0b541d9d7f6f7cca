"""The course of a search: a first plan, then one stage of the goal after another."""

import math
import time
from collections.abc import Sequence
from concurrent.futures import ThreadPoolExecutor, wait
from dataclasses import dataclass, field
from typing import Final

from ortools.sat.python import cp_model

from coatwright.engines.timetable.problem import Goal, Measure
from coatwright.engines.timetable.solver._board import Board, layout_of
from coatwright.engines.timetable.solver._bounds import fewest_pots, least, ready_made
from coatwright.engines.timetable.solver._compiled import Compiled, compiled
from coatwright.engines.timetable.solver._layout import Layout, measure_of
from coatwright.engines.timetable.solver._listing import in_order, listed, parts_of
from coatwright.engines.timetable.solver._model import Frame
from coatwright.engines.timetable.solver._purse import Mark, Purse
from coatwright.engines.timetable.solver._reach import Reach, reach
from coatwright.engines.timetable.solver._search import Limits, Search, Solved, solve
from coatwright.errors import NotConverged

TRIES: Final = 30
"""Orders in which a first plan is sought."""
PATIENCE: Final = 20
"""Tasks taken off the board again, for each task, when an old plan is put on it."""
SMALL: Final = 60
"""Tasks up to which the whole problem is tried before parts of it."""
TASTE: Final = 0.3
"""Deterministic time for that."""
MIDDLING: Final = 120
"""Tasks up to which a bound is sought by solving the problem without its pots."""
RELAXED: Final = 2.0
"""The same for more than a small problem."""
DESCENT: Final = 0.6
"""Deterministic time for the way down from the first plan, where the end counts."""
PIECES: Final = 0.15
"""Of what is left, that a small problem spends on pieces before the proof."""
SHARE: Final = 0.6
"""Of what is left, that a stage may spend; the last may spend all."""
WORKERS: Final = 2
NONE_EXISTS: Final = "no timetable exists"
"""How the sentence begins that says so."""


@dataclass
class Course:
    """One search: the problem, what is wanted, what may be spent, and the best plan so far.

    wanted: where starts were before (-1: anywhere), for the measure `moved`.
    """

    made: Compiled
    goal: Goal
    purse: Purse
    seed: int
    wanted: Sequence[int] = ()
    began: float = field(default_factory=time.monotonic)
    trace: list[tuple[float, int, int]] = field(default_factory=list)

    def note(self, stage: int, value: int) -> None:
        """Write down when a plan of this value was found."""
        self.trace.append((time.monotonic() - self.began, stage, value))

    def worth(self, layout: Layout, weights: Measure) -> int:
        """The weighed measures of a plan."""
        return measure_of(self.made, layout, self.wanted).weighed(weights)

    @property
    def top(self) -> int:
        """The end of the calendar [-]."""
        return int(self.made.clock[-1]) + 1

    def limits(self, mark: Mark, most: float, workers: int) -> Limits:
        """Limits of a solve until a mark, with at most so much effort."""
        room = min(self.purse.room(mark), most)
        return Limits(room, self.purse.seconds(mark), self.seed, workers)

    def pots(self) -> tuple[tuple[int, int], ...]:
        """Fewest and most pots of every paint."""
        return tuple(
            (fewest_pots(self.made, n), len(items.amount)) for n, items in enumerate(self.made.pots)
        )

    def frame(self, weights: Measure, until: int, caps: tuple[tuple[Measure, int], ...]) -> Frame:
        """What the model of the whole problem is built for."""
        spread = reach(self.made, until)
        return Frame(spread, self.pots(), weights, until, self.wanted, caps)


def first_plan(course: Course) -> Layout:
    """A plan that keeps every promise, by hand if that works, else by the solver.

    Raises NotConverged if there is none, or none found.
    """
    spread = reach(course.made)
    if spread.broken is not None:
        raise no_timetable(course.made, spread.broken)
    found = _like_before(course, spread) if course.wanted else None
    if found is None:
        found = _by_hand(course, spread)
    if found is None:
        found = _by_solver(course)
    course.note(0, course.worth(found, course.goal[0]))
    return found


def _like_before(course: Course, spread: Reach) -> Layout | None:
    """An old plan put on the board again, each task where it was or as soon after as it can."""
    board = Board(course.made)
    floors = [max(a, b) for a, b in zip(spread.earliest, course.wanted, strict=True)]
    order = in_order(course.made, spread, {i: (0, float(at)) for i, at in enumerate(floors)})
    if board.fill(order, floors, PATIENCE * len(order)):
        return layout_of(board)
    return None


def _by_hand(course: Course, spread: Reach) -> Layout | None:
    best, mark = None, course.purse.mark(0.2)
    for layout in listed(course.made, spread, course.goal, TRIES, course.seed):
        if layout is not None and layout is not best:
            best = layout
            course.note(0, course.worth(best, course.goal[0]))
        if course.purse.seconds(mark) <= 0.0:
            break
    return best


def _by_solver(course: Course) -> Layout:
    """Any plan at all, by the constraint model."""
    limits = course.limits(course.purse.end, math.inf, WORKERS)
    solved = whole(course, course.frame(Measure(), course.top, ()), None, limits)
    if solved.layout is not None:
        return solved.layout
    if solved.closed:
        raise no_timetable(course.made, None)
    raise NotConverged(
        "no timetable was found in the time given, and none was proven impossible",
        instead="give it more time, or take something away",
    )


def no_timetable(made: Compiled, task: int | None) -> NotConverged:
    """The error that says no timetable exists."""
    if task is None:
        return NotConverged(
            f"{NONE_EXISTS}: it is proven that not everything asked can hold together",
            instead="open longer, widen a window, or take something away",
        )
    key = made.problem.tasks[task].key
    return NotConverged(
        f"{NONE_EXISTS}: lags, windows and opening hours leave '{key}' no time at all",
        instead="open longer, widen a window, or take it away",
    )


def whole(course: Course, frame: Frame, layout: Layout | None, limits: Limits) -> Solved:
    """The whole problem solved within limits."""
    if frame.spread.broken is not None:
        return Solved(True, None, math.inf, 0.0)
    solved = solve(course.made, frame, layout, limits)
    course.purse.effort -= solved.effort
    return solved


def staged(course: Course, layout: Layout) -> tuple[Layout, list[int]]:
    """The plan made better stage by stage, and the bound of each stage."""
    bounds: list[int] = []
    caps: tuple[tuple[Measure, int], ...] = ()
    until = course.top
    for stage, weights in enumerate(course.goal):
        last = stage == len(course.goal) - 1
        mark = course.purse.mark(1.0 if last else SHARE)
        if weights == Measure(days=weights.days):
            layout, bound = fewest_days(course, layout, mark)
            until = measure_of(course.made, layout).days * course.made.problem.day
            bound *= weights.days
        else:
            at = Stage(course, course.frame(weights, min(until, course.top), caps), layout, mark)
            at.run()
            layout, bound = at.layout, at.bound
            caps = (*caps, (weights, at.value))
        course.note(stage, course.worth(layout, weights))
        bounds.append(bound)
    return layout, bounds


def fewest_days(course: Course, layout: Layout, mark: Mark) -> tuple[Layout, int]:
    """The plan in as few days as can be, and how few it must take."""
    made, day = course.made, course.made.problem.day
    bound = least(made, Measure(days=1))
    days = measure_of(made, layout).days
    while days > bound:
        until = min((days - 1) * day, course.top)
        if reach(made, until).broken is not None:
            return layout, days
        shorter = _squeezed(course, layout, until, mark)
        if shorter is None:
            limits = course.limits(mark, math.inf, WORKERS)
            solved = whole(course, course.frame(Measure(), until, ()), None, limits)
            if solved.closed and solved.layout is None:
                return layout, days
            shorter = solved.layout
        if shorter is None:
            return layout, bound
        layout, days = shorter, measure_of(made, shorter).days
    return layout, days


def _squeezed(course: Course, layout: Layout, until: int, mark: Mark) -> Layout | None:
    """The plan pushed forward piece by piece until it ends in time, or not."""
    frame = course.frame(Measure(end=1), course.top, ())
    search = Search(course.made, frame, layout, course.seed, parts_of(course.made))
    search.run(course.purse, course.purse.mark(0.4, mark), until)
    return search.layout if search.value <= until else None


@dataclass
class Stage:
    """One stage: weighed measures made small, and what is known of the least they can be."""

    course: Course
    frame: Frame
    layout: Layout
    mark: Mark
    bound: int = 0

    def __post_init__(self) -> None:
        self.bound = min(least(self.course.made, self.frame.weights), self.value)

    @property
    def value(self) -> int:
        """What the best plan so far is worth."""
        return self.course.worth(self.layout, self.frame.weights)

    @property
    def settled(self) -> bool:
        """Whether it is proven best, or all is spent."""
        return self.value <= self.bound or self.course.purse.spent(self.mark)

    def run(self) -> None:
        """Bounds beside a first search, then pieces, then the whole; a small problem the whole."""
        purse, tasks = self.course.purse, len(self.course.made.ends)
        small, ends = tasks <= SMALL, self.frame.weights.end > 0 and not self.frame.weights.moved
        if ends and tasks <= MIDDLING and not self.settled:
            self._descend(small)
        elif small and not self.settled:
            self._whole(purse.mark(0.15, self.mark), TASTE)
        if not (small and ends) and not self.settled:
            self._pieces(purse, purse.mark(PIECES if small else 1.0, self.mark))
        if small and ends and not self.settled:
            self._refute()
        if not self.settled:
            self._whole(self.mark, math.inf)
        self.bound = min(self.bound, self.value)

    def _tight(self, by: int = 0) -> Frame:
        """The frame that leaves room only for plans that are no worse, or better by so much."""
        weights, made, frame = self.frame.weights, self.course.made, self.frame
        until, pots, value = frame.until, frame.pots, self.value - by
        if weights.end:
            rest = least(made, weights._replace(end=0))
            until = min(until, (value - rest) // weights.end)
        if weights.mixes:
            spare = max(value - self.bound, 0) // weights.mixes
            pots = tuple((low, min(high, low + spare)) for low, high in pots)
        return frame._replace(until=until, spread=reach(made, until), pots=pots)

    def _pieces(self, purse: Purse, mark: Mark) -> None:
        """Piece by piece, until a mark."""
        made, parts = self.course.made, parts_of(self.course.made)
        search = Search(made, self._tight(), self.layout, self.course.seed, parts, WORKERS)
        search.run(purse, mark, self.bound)
        self.layout = search.layout

    def _whole(self, mark: Mark, most: float) -> None:
        """The whole problem at once, for the proof that no plan is better, or a better plan."""
        limits = self.course.limits(mark, most, 1)._replace(prove=True)
        self._taken(whole(self.course, self._tight(), self.layout, limits))

    def _taken(self, solved: Solved) -> None:
        if solved.layout is not None:
            worth = self.course.worth(solved.layout, self.frame.weights)
            self.layout = solved.layout if worth <= self.value else self.layout
        self._raise(solved, 0)

    def _refute(self) -> None:
        """Ask for a better plan until there is none; beside it the bound is raised step by step."""
        course, aside = self.course, cp_model.CpSolver()
        limits = course.limits(self.mark, math.inf, 1)._replace(prove=True)
        with ThreadPoolExecutor(1) as pool:
            climb = pool.submit(solve, course.made, self._tight(), self.layout, limits, aside)
            while not self.settled:
                solved = whole(course, self._better(), None, course.limits(self.mark, math.inf, 1))
                if solved.layout is None:
                    self.bound = self.value if solved.closed else self.bound
                    break
                self.layout = solved.layout
            while self.bound == self.value and not climb.done():
                aside.stop_search()
                wait([climb], 0.05)
            if self.bound < self.value:
                self._taken(climb.result())

    def _better(self) -> Frame:
        """The frame of any plan that is better by one at least."""
        frame = self._tight(1)
        caps = (*frame.caps, (frame.weights, self.value - 1))
        return frame._replace(weights=Measure(), caps=caps)

    def _raise(self, solved: Solved, more: int) -> None:
        """The bound by a solve, and what comes on top of it; no plan at all: none is better."""
        if math.isfinite(solved.bound):
            self.bound = max(self.bound, math.ceil(solved.bound - 1e-6) + more)
        elif solved.closed:
            self.bound = self.value

    def _descend(self, small: bool) -> None:
        """Down from the first plan; beside it a bound from the problem with ready-made paint."""
        course, until = self.course, self._tight().until
        easy = compiled(ready_made(course.made, until))
        weights = self.frame.weights._replace(mixes=0)
        frame = Frame(reach(easy, until), (), weights, until)
        mark = course.purse.mark(0.2 if small else 0.5, self.mark)
        limits = course.limits(mark, DESCENT if small else RELAXED, 1)
        if frame.spread.broken is not None:
            return
        with ThreadPoolExecutor(1) as pool:
            proof = pool.submit(solve, easy, frame, None, limits._replace(prove=True))
            self._taken(whole(course, self._tight(), self.layout, limits))
        self._raise(proof.result(), least(course.made, Measure(mixes=1)) * self.frame.weights.mixes)
