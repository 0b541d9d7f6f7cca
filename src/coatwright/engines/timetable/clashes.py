"""Why no timetable exists: a smallest set of demands that clash, and the cheapest way out.

What can be given up is taken apart into demands: one bound, one window, one tool's number. First
the work is narrowed to tasks that already clash among themselves, then the demands on them, both by
QuickXplain: halves are left out as long as what stays is proven to clash. What is left is minimal:
without any one of its tasks, or any one of its demands, the rest of it can be done.

The cheapest lags to give up are found by implicit hitting sets: every clash found must lose one of
its breakable lags; the cheapest choice that hits all clashes found so far is tried, and either it
works, and nothing cheaper can, or it shows another clash.
"""

import time
from collections.abc import Callable, Collection, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Final, Literal, NamedTuple, TypeVar

import numpy as np
from scipy.optimize import Bounds, LinearConstraint, milp

from coatwright.engines.timetable import arranging
from coatwright.engines.timetable.problem import (
    NEVER,
    Lag,
    Person,
    Pot,
    Problem,
    Span,
    Task,
    Tool,
)
from coatwright.errors import NotConverged, RangeError

Kind = Literal[
    "most",
    "life",
    "latest",
    "horizon",
    "windows",
    "earliest",
    "away",
    "shut",
    "capacity",
    "count",
    "cleaning",
    "hold",
    "apart",
    "least",
    "hands",
]
"""What a demand is about; those a planner can sooner do something about come first."""

KINDS: Final[tuple[Kind, ...]] = Kind.__args__  # type: ignore[attr-defined]

Feasible = Callable[[Problem, float], bool | None]
"""Whether a timetable exists, given seconds [s] to find out; None when it is not known."""

_Item = TypeVar("_Item")
_SHARE: Final = 0.1  # of the time, that one question may take
_SCARCE: Final = {"hands", "away", "count", "cleaning", "hold", "apart", "life", "capacity"}


class Demand(NamedTuple):
    """One thing asked for that could be given up.

    keys are the tasks, the tool, the person or the pot it is about, at its place among its like,
    size the bound as it stands [-]; name and price are the lag's own.
    """

    kind: Kind
    keys: tuple[str, ...]
    at: int
    size: int = 0
    name: str = ""
    price: int = 0


class Widening(NamedTuple):
    """The least by which one demand alone must be widened [-] for a timetable to exist.

    In ticks; for capacity in its own measure, for count in tools, for horizon in days; windows
    grow at both ends, and a shop that is shut opens that much longer every evening.
    """

    demand: Demand
    by: int


@dataclass(frozen=True)
class Clash:
    """Tasks and demands that cannot all be met, and ways out; prices and sizes [-].

    minimal: these tasks could all be done without any one of these demands, and these demands met
    without any one of these tasks, when nothing else is asked. give_up are the breakable
    lags of the least total price without which a timetable exists, None when breaking them all is
    not enough, or time ran out; cheapest: nothing cheaper will do. widen holds each demand of the
    clash that would be enough by itself.
    """

    tasks: tuple[str, ...]
    demands: tuple[Demand, ...]
    minimal: bool
    give_up: tuple[Demand, ...] | None
    price: int
    cheapest: bool
    widen: tuple[Widening, ...]


def arrangeable(problem: Problem, seconds: float) -> bool | None:
    """Whether a timetable exists, as arranging finds it; lags in a circle have none.

    Parameters
    ----------
    problem : Problem
        Times [-] in ticks.
    seconds : float [s]
        Time to find out.

    Returns
    -------
    bool or None
        None: not known.

    Source
        derived: as arranging.feasible.
    """
    try:
        return arranging.feasible(problem, seconds)
    except RangeError:
        return False


def clash(problem: Problem, seconds: float = 30.0, feasible: Feasible = arrangeable) -> Clash:
    """Why the problem has no timetable, and the cheapest ways to get one.

    Parameters
    ----------
    problem : Problem
        Times [-] in ticks.
    seconds : float [s]
        Time for all of it; when it runs out, what is not yet known is said to be unproven.
    feasible : Callable
        Answers whether a problem has a timetable [-] within seconds [s]; None: not known.

    Returns
    -------
    Clash [-]
        Tasks, demands and ways out.

    Raises
    ------
    RangeError
        A timetable exists.
    NotConverged
        It is not known whether one exists.

    Source
        quickxplain, hitting-sets; minimal sets held to minimal-conflicts-example.

    Checked
        tests/unit/engines/timetable/test_clashes.py: against trying everything.
    """
    asker = _Asker(problem, seconds, feasible)
    known = feasible(problem, seconds / 2)
    if known is None:
        raise NotConverged(
            "it is not known whether a timetable exists", instead="allow more seconds"
        )
    if known:
        raise RangeError("a timetable exists", instead="arrange it")
    tasks, kept = _smallest(asker)
    minimal = asker.sure
    give_up, cheapest = _cheapest(asker)
    return Clash(
        tasks,
        tuple(kept),
        minimal,
        give_up,
        sum(demand.price for demand in give_up or ()),
        cheapest,
        tuple(_widenings(asker, kept)),
    )


def demands(problem: Problem) -> tuple[Demand, ...]:
    """Everything a problem asks for that could be given up, by kind.

    Parameters
    ----------
    problem : Problem
        Times [-] in ticks.

    Returns
    -------
    tuple of Demand [-]
        In the order of KINDS.

    Source
        derived: every bound in the types of problem.py.
    """
    found = [*_of_tasks(problem), *_of_lags(problem), *_of_shop(problem), *_of_pots(problem)]
    return tuple(sorted(found, key=lambda demand: (KINDS.index(demand.kind), demand.at)))


def without(problem: Problem, gone: Collection[Demand]) -> Problem:
    """The problem when these demands are given up.

    Parameters
    ----------
    problem : Problem
        Times [-] in ticks.
    gone : Collection of Demand [-]
        Demands of this problem.

    Returns
    -------
    Problem [-]
        Every timetable of the problem is one of it too.

    Source
        derived.
    """
    dropped = {(demand.kind, demand.at) for demand in gone}
    hands = ("hands", 0) in dropped
    return replace(
        problem,
        tasks=tuple(_eased_task(t, i, dropped, hands) for i, t in enumerate(problem.tasks)),
        lags=tuple(_eased_lag(lag, i, dropped) for i, lag in enumerate(problem.lags)),
        people=tuple(_eased_person(p, i, dropped) for i, p in enumerate(problem.people)),
        tools=tuple(_eased_tool(problem, t, i, dropped) for i, t in enumerate(problem.tools)),
        pots=tuple(_eased_pot(pot, i, dropped, hands) for i, pot in enumerate(problem.pots)),
        aparts=tuple(a for i, a in enumerate(problem.aparts) if ("apart", i) not in dropped),
        holds=tuple(h for i, h in enumerate(problem.holds) if ("hold", i) not in dropped),
        open=_eased_open(problem, dropped),
    )


def only(problem: Problem, tasks: Collection[str]) -> Problem:
    """The problem with these of its tasks, and nothing said of others.

    Parameters
    ----------
    problem : Problem
        Times [-] in ticks.
    tasks : Collection of str [-]
        Those to keep.

    Returns
    -------
    Problem [-]
        Every timetable of the problem, without the other tasks, is one of it.

    Source
        derived.
    """
    holds = (replace(h, tasks=tuple(k for k in h.tasks if k in tasks)) for h in problem.holds)
    pots = (replace(p, amounts=tuple(a for a in p.amounts if a[0] in tasks)) for p in problem.pots)
    return replace(
        problem,
        tasks=tuple(task for task in problem.tasks if task.key in tasks),
        lags=tuple(lag for lag in problem.lags if lag.before in tasks and lag.after in tasks),
        aparts=tuple(a for a in problem.aparts if a.one in tasks and a.other in tasks),
        holds=tuple(hold for hold in holds if hold.tasks),
        pots=tuple(pot for pot in pots if pot.amounts),
    )


# Demands, one by one


def _of_tasks(problem: Problem) -> Iterator[Demand]:
    for at, task in enumerate(problem.tasks):
        if task.earliest > 0:
            yield Demand("earliest", (task.key,), at, task.earliest)
        if task.latest < NEVER:
            yield Demand("latest", (task.key,), at, task.latest)
        if task.windows:
            yield Demand("windows", (task.key,), at)


def _of_lags(problem: Problem) -> Iterator[Demand]:
    for at, lag in enumerate(problem.lags):
        keys = (lag.before, lag.after)
        if lag.most is not None:
            yield Demand("most", keys, at, lag.most, lag.name, lag.price)
        if lag.least is not None:
            yield Demand("least", keys, at, lag.least, lag.name)
    for at, apart in enumerate(problem.aparts):
        yield Demand("apart", (apart.one, apart.other), at, 0, apart.name)
    for at, hold in enumerate(problem.holds):
        yield Demand("hold", (hold.tool, *hold.tasks), at, 0, hold.name)


def _of_shop(problem: Problem) -> Iterator[Demand]:
    end = problem.open[-1][1]
    yield Demand("horizon", (), 0, end)
    yield Demand("hands", tuple(person.key for person in problem.people), 0, len(problem.people))
    if problem.open != ((0, end),):
        yield Demand("shut", (), 0)
    for at, person in enumerate(problem.people):
        if person.away:
            yield Demand("away", (person.key,), at)
    for at, tool in enumerate(problem.tools):
        yield Demand("count", (tool.key,), at, tool.count)
        if tool.cleaning:
            yield Demand("cleaning", (tool.key,), at, tool.cleaning)


def _of_pots(problem: Problem) -> Iterator[Demand]:
    for at, pot in enumerate(problem.pots):
        yield Demand("life", (pot.key,), at, pot.life)
        yield Demand("capacity", (pot.key,), at, pot.capacity)


# The same, given up

_Dropped = set[tuple[Kind, int]]


def _eased_task(task: Task, at: int, dropped: _Dropped, hands: bool) -> Task:
    return replace(
        task,
        earliest=0 if ("earliest", at) in dropped else task.earliest,
        latest=NEVER if ("latest", at) in dropped else task.latest,
        windows=() if ("windows", at) in dropped else task.windows,
        people=() if hands else task.people,
    )


def _eased_lag(lag: Lag, at: int, dropped: _Dropped) -> Lag:
    return replace(
        lag,
        most=None if ("most", at) in dropped else lag.most,
        least=None if ("least", at) in dropped else lag.least,
    )


def _eased_person(person: Person, at: int, dropped: _Dropped) -> Person:
    return replace(person, away=()) if ("away", at) in dropped else person


def _eased_tool(problem: Problem, tool: Tool, at: int, dropped: _Dropped) -> Tool:
    plenty = sum(task.tools.count(tool.key) for task in problem.tasks) + len(problem.holds)
    return replace(
        tool,
        count=max(plenty, tool.count) if ("count", at) in dropped else tool.count,
        cleaning=0 if ("cleaning", at) in dropped else tool.cleaning,
    )


def _eased_pot(pot: Pot, at: int, dropped: _Dropped, hands: bool) -> Pot:
    total = sum(amount for _, amount in pot.amounts)
    return replace(
        pot,
        life=NEVER if ("life", at) in dropped else pot.life,
        capacity=max(total, pot.capacity) if ("capacity", at) in dropped else pot.capacity,
        people=() if hands else pot.people,
    )


def _eased_open(problem: Problem, dropped: _Dropped) -> tuple[Span, ...]:
    spans = problem.open
    if ("horizon", 0) in dropped:
        spans = _longer(problem, _plenty(problem))
    if ("shut", 0) in dropped:
        spans = ((0, spans[-1][1]),)
    return spans


def _plenty(problem: Problem) -> int:
    """Days in which everything could be done one thing after another, were there no windows."""
    end = problem.open[-1][1]
    ticks = sum(b - a for a, b in problem.open) * problem.day // end
    work = sum(task.work for task in problem.tasks)
    work += sum((pot.mixing + pot.stand) * len(pot.amounts) for pot in problem.pots)
    work += sum(max(lag.least or 0, 0) for lag in problem.lags)
    return work // max(ticks, 1) + len(problem.tasks) // 4 + 2


def _longer(problem: Problem, days: int) -> tuple[Span, ...]:
    """Opened for so many more days, on the pattern of its own days."""
    period = -(-problem.open[-1][1] // problem.day) * problem.day
    last = period + days * problem.day
    copies = range(-(-last // period))
    spans = [(a + copy * period, b + copy * period) for copy in copies for a, b in problem.open]
    return tuple((a, min(b, last)) for a, b in spans if a < last)


# The smallest clash


class _Asker:
    """Asks whether some tasks clash with some demands gone, within the time.

    What was answered is remembered: fewer tasks and fewer demands are no harder. sure: until an
    answer that counts was not known.
    """

    def __init__(self, problem: Problem, seconds: float, feasible: Feasible) -> None:
        self.problem = problem
        self.demands = demands(problem)
        self.every = frozenset(task.key for task in problem.tasks)
        self.feasible = feasible
        self.once = seconds * _SHARE
        self.until = time.monotonic() + seconds
        self.sure = True
        self.fine: list[tuple[frozenset[Demand], frozenset[str]]] = []
        self.bad: list[tuple[frozenset[Demand], frozenset[str]]] = [(frozenset(), self.every)]

    def ask(self, gone: frozenset[Demand], tasks: Iterable[str] | None = None) -> bool | None:
        """Whether these tasks, or all, have a timetable without those demands."""
        some = self.every if tasks is None else frozenset(tasks)
        if any(less <= gone and some <= more for less, more in self.fine):
            return True
        if any(gone <= more and less <= some for more, less in self.bad):
            return False
        known = self.look(only(without(self.problem, gone), some))
        if known is not None:
            (self.fine if known else self.bad).append((gone, some))
        return known

    def look(self, problem: Problem) -> bool | None:
        """Whether any problem has a timetable."""
        left = self.until - time.monotonic()
        return self.feasible(problem, min(left, self.once)) if left > 0 else None

    def clashes(self, gone: frozenset[Demand], tasks: Iterable[str]) -> bool:
        """Proven to have no timetable; if that is not known, what follows is not sure."""
        known = self.ask(gone, tasks)
        self.sure = self.sure and known is not None
        return known is False


def _smallest(asker: _Asker) -> tuple[tuple[str, ...], list[Demand]]:
    """Tasks, and demands, that clash."""
    gone, groups = _clashing_groups(asker, frozenset())
    tasks = tuple(_minimal(lambda kept: asker.clashes(gone, kept), min(groups, key=len)))
    return tasks, _of_choice(asker, gone, asker.demands, tasks)


def _clashing_groups(
    asker: _Asker, gone: frozenset[Demand]
) -> tuple[frozenset[Demand], list[tuple[str, ...]]]:
    """Tasks that clash once some demands are gone: tied groups of them, or as many as it takes.

    A clash of times alone is looked for first: it is the simpler to tell, and to find. What else
    was let go for that is told too.
    """
    groups = _tied(without(asker.problem, gone))
    scarce = gone.union(demand for demand in asker.demands if demand.kind in _SCARCE)
    for let_go in (scarce, gone):
        alone = [group for group in groups if asker.ask(let_go, group) is False]
        if alone:
            return let_go, alone
    let_go = scarce if asker.ask(scarce) is False else gone
    kept = _minimal(lambda some: asker.clashes(let_go, (k for g in some for k in g)), groups)
    return let_go, [tuple(key for group in kept for key in group)]


def _of_choice(
    asker: _Asker, gone: frozenset[Demand], choice: Sequence[Demand], tasks: tuple[str, ...]
) -> list[Demand]:
    """Demands of the choice without any of which those tasks would not clash."""
    alive = [d for d in choice if d not in gone and _concerns(d, tasks)]
    return _minimal(lambda kept: asker.clashes(gone.union(alive).difference(kept), tasks), alive)


def _concerns(demand: Demand, tasks: Collection[str]) -> bool:
    """Whether the demand is still made when only these tasks are to be done."""
    of_tasks = demand.kind in {"earliest", "latest", "windows", "most", "least", "apart"}
    return not of_tasks or all(key in tasks for key in demand.keys)


def _tied(problem: Problem) -> list[tuple[str, ...]]:
    """Groups of tasks that may not lie far apart, as maximum lags tie them."""
    group: dict[str, tuple[str, ...]] = {task.key: (task.key,) for task in problem.tasks}
    for lag in problem.lags:
        if lag.most is not None and group[lag.before] is not group[lag.after]:
            joined = group[lag.before] + group[lag.after]
            group.update(dict.fromkeys(joined, joined))
    return list(dict.fromkeys(group.values()))


def _minimal(clashes: Callable[[Sequence[_Item]], bool], items: Sequence[_Item]) -> list[_Item]:
    """A part of the items that clashes and of which no item can be spared (QuickXplain)."""

    def within(behind: list[_Item], fresh: bool, these: Sequence[_Item]) -> list[_Item]:
        if fresh and clashes(behind):
            return []
        if len(these) == 1:
            return list(these)
        half = len(these) // 2
        first, second = these[:half], these[half:]
        needed = within([*behind, *first], True, second)
        return within([*behind, *needed], bool(needed), first) + needed

    return within([], False, items) if items else []


# Ways out


def _cheapest(asker: _Asker) -> tuple[tuple[Demand, ...] | None, bool]:
    """Breakable lags of least price without which a timetable exists, and whether it is proven."""
    breakable = [d for d in asker.demands if d.kind == "most" and d.price > 0]
    enough = asker.ask(frozenset(breakable)) if breakable else False
    if not enough:
        return None, enough is False
    clashes: list[list[Demand]] = []
    best = tuple(breakable)
    while True:
        chosen = _hitting(breakable, clashes)
        known = asker.ask(frozenset(chosen))
        if known:
            return chosen, True
        if known is None:
            return best, False
        gone, groups = _clashing_groups(asker, frozenset(chosen))
        found = [_of_choice(asker, gone, breakable, group) for group in groups]
        if not all(found):
            return best, False
        clashes += found
        best = _cheaper(asker, best, {demand for clash in clashes for demand in clash})


def _cheaper(
    asker: _Asker, best: tuple[Demand, ...], clashing: Collection[Demand]
) -> tuple[Demand, ...]:
    """All lags that were seen to clash, if they are fewer and enough."""
    fewer = tuple(demand for demand in best if demand in clashing)
    return fewer if fewer != best and asker.ask(frozenset(fewer)) else best


def _hitting(
    breakable: Sequence[Demand], clashes: Sequence[Sequence[Demand]]
) -> tuple[Demand, ...]:
    """The cheapest lags of which every clash has one."""
    if not clashes:
        return ()
    rows = np.array([[demand in clash for demand in breakable] for clash in clashes], dtype=float)
    prices = np.array([demand.price for demand in breakable], dtype=float)
    found = milp(
        prices,
        constraints=LinearConstraint(rows, lb=1),
        integrality=np.ones(len(breakable)),
        bounds=Bounds(0, 1),
    )
    return tuple(d for d, taken in zip(breakable, found.x, strict=True) if taken > 0.5)


def _widenings(asker: _Asker, kept: Sequence[Demand]) -> Iterator[Widening]:
    for demand in kept:
        if demand.kind in _WIDER and asker.ask(frozenset({demand})):
            by = _least_widening(asker, demand)
            if by:
                yield Widening(demand, by)


def _least_widening(asker: _Asker, demand: Demand) -> int:
    """By doubling, then halving; 0 when time ran out, or no widening is like giving it up."""
    high = 1
    while not (known := asker.look(_wider(asker.problem, demand, high))):
        high *= 2
        if known is None or high > asker.problem.open[-1][1]:
            return 0
    low = high // 2
    while high - low > 1:
        middle = (low + high) // 2
        known = asker.look(_wider(asker.problem, demand, middle))
        if known is None:
            return 0
        low, high = (low, middle) if known else (middle, high)
    return high


def _wider(problem: Problem, demand: Demand, by: int) -> Problem:
    return _WIDER[demand.kind](problem, demand.at, by)


def _set(items: tuple[_Item, ...], at: int, item: _Item) -> tuple[_Item, ...]:
    return (*items[:at], item, *items[at + 1 :])


def _wider_lag(problem: Problem, at: int, by: int) -> Problem:
    lag = problem.lags[at]
    return replace(problem, lags=_set(problem.lags, at, replace(lag, most=(lag.most or 0) + by)))


def _wider_latest(problem: Problem, at: int, by: int) -> Problem:
    task = problem.tasks[at]
    return replace(problem, tasks=_set(problem.tasks, at, replace(task, latest=task.latest + by)))


def _wider_earliest(problem: Problem, at: int, by: int) -> Problem:
    task = replace(problem.tasks[at], earliest=max(problem.tasks[at].earliest - by, 0))
    return replace(problem, tasks=_set(problem.tasks, at, task))


def _wider_windows(problem: Problem, at: int, by: int) -> Problem:
    task = problem.tasks[at]
    windows = _joined([(max(a - by, 0), b + by) for a, b in task.windows])
    return replace(problem, tasks=_set(problem.tasks, at, replace(task, windows=windows)))


def _wider_life(problem: Problem, at: int, by: int) -> Problem:
    pot = problem.pots[at]
    return replace(problem, pots=_set(problem.pots, at, replace(pot, life=pot.life + by)))


def _wider_capacity(problem: Problem, at: int, by: int) -> Problem:
    pot = problem.pots[at]
    return replace(problem, pots=_set(problem.pots, at, replace(pot, capacity=pot.capacity + by)))


def _wider_count(problem: Problem, at: int, by: int) -> Problem:
    tool = problem.tools[at]
    return replace(problem, tools=_set(problem.tools, at, replace(tool, count=tool.count + by)))


def _wider_horizon(problem: Problem, _: int, by: int) -> Problem:
    return replace(problem, open=_longer(problem, by))


def _wider_open(problem: Problem, _: int, by: int) -> Problem:
    """Open longer every evening, and through what break that reaches."""
    last = {a // problem.day: (a, b) for a, b in problem.open}
    evenings = {(a, b + by) for a, b in last.values()}
    return replace(problem, open=_joined([*problem.open, *evenings]))


def _joined(spans: Sequence[Span]) -> tuple[Span, ...]:
    joined: list[Span] = []
    for start, end in sorted(spans):
        if joined and start <= joined[-1][1]:
            joined[-1] = (joined[-1][0], max(end, joined[-1][1]))
        else:
            joined.append((start, end))
    return tuple(joined)


_WIDER: dict[str, Callable[[Problem, int, int], Problem]] = {
    "most": _wider_lag,
    "latest": _wider_latest,
    "earliest": _wider_earliest,
    "windows": _wider_windows,
    "life": _wider_life,
    "capacity": _wider_capacity,
    "count": _wider_count,
    "horizon": _wider_horizon,
    "shut": _wider_open,
}
