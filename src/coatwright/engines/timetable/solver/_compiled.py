"""A problem in arrays: time as the open ticks only, people as pools of equals, lags by index."""

import heapq
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations, combinations_with_replacement
from types import MappingProxyType
from typing import Any, Final, NamedTuple

import numpy as np
from numpy.typing import NDArray

from coatwright.engines.timetable.problem import NEVER, Anchor, Person, Problem, Span, Task
from coatwright.errors import RangeError

Int = NDArray[np.int64]
Flag = NDArray[np.bool_]

ROUNDS: Final = 200
"""Sweeps over all lags until starts are as early as they can be, before giving up."""


class Arc(NamedTuple):
    """A lag by task index: `after` reaches at least, and at most, so long after `before` leaves."""

    before: int
    after: int
    least: int | None
    most: int | None
    leaves: Anchor
    reaches: Anchor
    number: int


class Bar(NamedTuple):
    """Another task that may not overlap: gap after it, and gap after this one, by index.

    tool: it is only barred when both use the same one of this tool.
    """

    other: int
    after_other: int
    after_this: int
    tool: str = ""


class Group(NamedTuple):
    """A pool: people of the same skills and absences, how many, and when they are there."""

    members: tuple[str, ...]
    skills: frozenset[str]
    there: Flag


Option = tuple[tuple[int, int], ...]
"""Who may do it: (pool, how many) for each pool."""


class Held(NamedTuple):
    """A hold by task index."""

    tool: str
    tasks: tuple[int, ...]


class Reachable(NamedTuple):
    """When a task may start and when it may end [-], both limits included."""

    start_from: int = 0
    start_by: int = NEVER
    end_from: int = 0
    end_by: int = NEVER


class Standing(NamedTuple):
    """A pot that has been mixed already: which paint, when, and how much is left of it."""

    pot: int
    start: int
    end: int
    left: int


class Given(NamedTuple):
    """What the past leaves: limits of tasks by key, and pots that still stand."""

    limits: Mapping[str, Reachable] = MappingProxyType({})
    standing: tuple[Standing, ...] = ()


NOTHING: Final = Given()


class PotItems(NamedTuple):
    """A pot by task index: amount of each task it may serve."""

    amount: dict[int, int]
    options: tuple[Option, ...]


@dataclass(frozen=True)
class Compiled:
    """A problem ready to be searched."""

    problem: Problem
    clock: Int
    index: dict[str, int]
    groups: tuple[Group, ...]
    options: tuple[tuple[Option, ...], ...]
    can_start: tuple[Flag, ...]
    ends: tuple[Int, ...]
    into: tuple[tuple[Arc, ...], ...]
    out: tuple[tuple[Arc, ...], ...]
    bars: tuple[tuple[Bar, ...], ...]
    holds: tuple[Held, ...]
    pot_of: dict[int, int]
    pots: tuple[PotItems, ...]
    standing: tuple[Standing, ...]
    firsts: tuple[frozenset[int], ...]
    order: tuple[int, ...]

    @property
    def arcs(self) -> list[Arc]:
        """Every lag."""
        return [arc for arcs in self.out for arc in arcs]

    def at(self, moment: int) -> int:
        """Index of the first open tick at or after a moment."""
        return int(self.clock.searchsorted(moment))

    def first_start(self, task: int, start: int, end: int) -> int | None:
        """Earliest allowed start (as a clock time) from `start` on that ends at `end` or later."""
        low = max(self.at(start), int(self.ends[task].searchsorted(end)))
        ahead = self.can_start[task][low:]
        if not ahead.any():
            return None
        return int(self.clock[low + int(ahead.argmax())])

    def last_start(self, task: int, start: int, end: int) -> int | None:
        """Latest allowed start up to `start` that ends at `end` or sooner."""
        high = min(
            int(self.clock.searchsorted(start, side="right")),
            int(self.ends[task].searchsorted(end, side="right")),
        )
        behind = self.can_start[task][:high]
        if not behind.any():
            return None
        return int(self.clock[high - 1 - int(behind[::-1].argmax())])

    def end_of(self, task: int, start: int) -> int:
        """When a task ends that starts at an open moment."""
        return int(self.ends[task][self.at(start)])


def compiled(problem: Problem, given: Given = NOTHING) -> Compiled:
    """The problem in arrays, after what is given.

    Raises RangeError if nobody can do a task.
    """
    clock = np.concatenate([np.arange(a, b) for a, b in problem.open])
    index = {task.key: i for i, task in enumerate(problem.tasks)}
    groups = _groups(problem.people, clock)
    ends = {work: _ends(clock, work) for work in {task.work for task in problem.tasks}}
    into, out = _arcs(problem, index)
    firsts = _firsts(problem, index)
    pots = tuple(
        PotItems(
            {index[key]: amount for key, amount in pot.amounts},
            _options(pot.people, groups, f"mixing of '{pot.key}'"),
        )
        for pot in problem.pots
    )
    return Compiled(
        problem,
        clock,
        index,
        groups,
        tuple(_options(task.people, groups, f"'{task.key}'") for task in problem.tasks),
        tuple(_can_start(task, clock, ends[task.work], given) for task in problem.tasks),
        tuple(ends[task.work] for task in problem.tasks),
        into,
        out,
        _bars(problem, index),
        _holds(problem, index),
        {i: p for p, items in enumerate(pots) for i in items.amount},
        pots,
        given.standing,
        firsts,
        tuple(ordered(firsts, dict.fromkeys(range(len(firsts)), 0))),
    )


def daily(problem: Problem) -> list[Span]:
    """The open times, cut where a day ends."""
    return [
        (max(low, day * problem.day), min(high, (day + 1) * problem.day))
        for low, high in problem.open
        for day in range(low // problem.day, (high - 1) // problem.day + 1)
    ]


def _groups(people: tuple[Person, ...], clock: Int) -> tuple[Group, ...]:
    members: dict[tuple[frozenset[str], tuple[Span, ...]], list[str]] = {}
    for person in people:
        members.setdefault((person.skills, person.away), []).append(person.key)
    return tuple(
        Group(tuple(keys), skills, ~_covered(clock, away))
        for (skills, away), keys in members.items()
    )


def _covered(clock: Int, spans: tuple[Span, ...]) -> Flag:
    inside = np.zeros(len(clock), dtype=bool)
    for a, b in spans:
        inside |= (clock >= a) & (clock < b)
    return inside


def _options(skills: tuple[str, ...], groups: tuple[Group, ...], what: str) -> tuple[Option, ...]:
    """Every way to take people from the pools, those with the fewest skills first."""
    found: dict[Option, int] = {}
    for pools in combinations_with_replacement(range(len(groups)), len(skills)):
        counts = {pool: pools.count(pool) for pool in pools}
        enough = all(count <= len(groups[pool].members) for pool, count in counts.items())
        if enough and _match(list(skills), list(pools), groups):
            option = tuple(sorted(counts.items()))
            found[option] = sum(len(groups[pool].skills) for pool in pools)
    if not found and skills:
        needed = " and ".join(skill or "any" for skill in skills)
        raise RangeError(
            f"nobody can do {what}", instead=f"it takes people with the skills {needed}"
        )
    return tuple(sorted(found, key=lambda option: found[option])) or ((),)


def _match(skills: list[str], pools: list[int], groups: tuple[Group, ...]) -> bool:
    """Whether each skill can be given one of the pools."""
    if not skills:
        return True
    first, rest = skills[0], skills[1:]
    for place, pool in enumerate(pools):
        able = not first or first in groups[pool].skills
        if able and _match(rest, pools[:place] + pools[place + 1 :], groups):
            return True
    return False


def _ends(clock: Int, work: int) -> Int:
    ends = np.full(len(clock), NEVER, dtype=np.int64)
    if work <= len(clock):
        ends[: len(clock) - work + 1] = clock[work - 1 :] + 1
    return ends


def _can_start(task: Task, clock: Int, ends: Int, given: Given) -> Flag:
    fits = (ends < NEVER) & (clock >= task.earliest) & (ends <= task.latest)
    if task.key in given.limits:
        limit = given.limits[task.key]
        fits &= (clock >= limit.start_from) & (clock <= limit.start_by)
        fits &= (ends >= limit.end_from) & (ends <= limit.end_by)
    if not task.split:
        fits &= ends - clock == task.work
    if task.windows:
        outside = np.concatenate([[0], np.cumsum(~_covered(clock, task.windows))])
        last = np.minimum(np.arange(len(clock)) + task.work, len(clock))
        fits &= outside[last] == outside[:-1]
    return fits


def _arcs(
    problem: Problem, index: dict[str, int]
) -> tuple[tuple[tuple[Arc, ...], ...], tuple[tuple[Arc, ...], ...]]:
    into: list[list[Arc]] = [[] for _ in problem.tasks]
    out: list[list[Arc]] = [[] for _ in problem.tasks]
    for number, lag in enumerate(problem.lags):
        a, b = index[lag.before], index[lag.after]
        arc = Arc(a, b, lag.least, lag.most, lag.leaves, lag.reaches, number)
        into[b].append(arc)
        out[a].append(arc)
    return tuple(map(tuple, into)), tuple(map(tuple, out))


def _bars(problem: Problem, index: dict[str, int]) -> tuple[tuple[Bar, ...], ...]:
    found: list[dict[tuple[int, str], Bar]] = [{} for _ in problem.tasks]

    def add(one: int, other: int, gaps: tuple[int, int], tool: str = "") -> None:
        before = found[one].get((other, tool), Bar(other, 0, 0))
        after_one, after_other = max(gaps[0], before.after_this), max(gaps[1], before.after_other)
        found[one][other, tool] = Bar(other, after_other, after_one, tool)
        found[other][one, tool] = Bar(one, after_one, after_other, tool)

    for pair in problem.aparts:
        add(index[pair.one], index[pair.other], (pair.after_one, pair.after_other))
    held = {hold.tool for hold in problem.holds}
    for tool in problem.tools:
        users = [i for i, task in enumerate(problem.tasks) if tool.key in task.tools]
        apart = tool.key if tool.count > 1 and tool.key not in held else ""
        for one, other in combinations(users if tool.cleaning else (), 2):
            a, b = problem.tasks[one].product, problem.tasks[other].product
            if a and b and a != b:
                add(one, other, (tool.cleaning, tool.cleaning), apart)
    return tuple(tuple(bars.values()) for bars in found)


def _holds(problem: Problem, index: dict[str, int]) -> tuple[Held, ...]:
    """Every hold; whoever uses a held tool without one holds it alone."""
    holds = [Held(hold.tool, tuple(index[key] for key in hold.tasks)) for hold in problem.holds]
    for tool in dict.fromkeys(hold.tool for hold in problem.holds):
        inside = {i for hold in holds if hold.tool == tool for i in hold.tasks}
        holds += [
            Held(tool, (i,))
            for i, task in enumerate(problem.tasks)
            if tool in task.tools and i not in inside
        ]
    return tuple(holds)


def _firsts(problem: Problem, index: dict[str, int]) -> tuple[frozenset[int], ...]:
    """For each task those that lags put before it: an order for making plans, not a promise."""
    firsts: list[set[int]] = [set() for _ in problem.tasks]
    for lag in problem.lags:
        a, b = index[lag.before], index[lag.after]
        kind = lag.leaves, lag.reaches
        if lag.least is not None and lag.least >= 0 and kind != ("start", "end"):
            firsts[b].add(a)
        elif lag.most is not None and lag.most <= 0 and kind != ("end", "start"):
            firsts[a].add(b)
    return tuple(map(frozenset, firsts))


def ordered(firsts: Sequence[Iterable[int]], rank: Mapping[int, Any]) -> list[int]:
    """Tasks by rank, none before those that come first, as long as they do not run in a circle."""
    waiting = [set(before) for before in firsts]
    after: list[list[int]] = [[] for _ in firsts]
    for task, before in enumerate(waiting):
        for first in before:
            after[first].append(task)
    left = set(range(len(waiting)))
    heap = [(rank[i], i) for i in left if not waiting[i]]
    heapq.heapify(heap)
    order: list[int] = []
    while left:
        task = heapq.heappop(heap)[1] if heap else min(left, key=lambda i: (rank[i], i))
        if task not in left:
            continue
        left.remove(task)
        order.append(task)
        for other in after[task]:
            waiting[other].discard(task)
            if not waiting[other]:
                heapq.heappush(heap, (rank[other], other))
    return order
