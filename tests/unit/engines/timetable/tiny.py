"""Tiny invented problems at random, and the best timetable of each, found by trying them all.

Tasks are placed one after another in every way, every mix serves whom it may, and the checker
judges what has been placed so far.
"""

import random
from collections.abc import Iterator
from dataclasses import replace
from itertools import permutations

from coatwright.engines.timetable import checking
from coatwright.engines.timetable.checking import faults, measure
from coatwright.engines.timetable.problem import (
    DAYS_WAITING_MIXES,
    Apart,
    Goal,
    Hold,
    Lag,
    Mix,
    Person,
    Pot,
    Problem,
    Slot,
    Task,
    Timetable,
    Tool,
)

DAY = 12


def best(problem: Problem, goal: Goal = DAYS_WAITING_MIXES) -> tuple[int, ...] | None:
    """The least value of every stage of the goal, or None if there is no timetable."""
    values = (
        tuple(measure(problem, timetable).weighed(weights) for weights in goal)
        for timetable in timetables(problem)
    )
    return min(values, default=None)


def tiny(seed: int) -> Problem:
    """Three tasks, two half days, and a few promises between them."""
    dice = random.Random(seed)
    keys = ["a", "b", "c"]
    tasks = tuple(_task(dice, key) for key in keys)
    return Problem(
        tasks,
        _people(dice),
        ((0, 5), (DAY, DAY + dice.choice((3, 5)))),
        tuple(_lag(dice, *pair) for pair in (("a", "b"), ("b", "c")) if dice.random() < 0.7),
        (Tool("gun", dice.choice((1, 1, 2)), dice.choice((0, 1, 2))), Tool("booth")),
        _pots(dice, keys) if dice.random() < 0.7 else (),
        (Apart("a", "c", dice.choice((0, 2)), 1),) if dice.random() < 0.3 else (),
        (Hold("booth", ("a", "b")),) if dice.random() < 0.4 else (),
        DAY,
    )


def _people(dice: random.Random) -> tuple[Person, ...]:
    away = ((2, 4),) if dice.random() < 0.3 else ()
    painter = Person("painter", frozenset({"spray"}), away)
    return (painter, Person("helper")) if dice.random() < 0.6 else (painter,)


def _task(dice: random.Random, key: str) -> Task:
    split = dice.random() < 0.3
    return Task(
        key,
        dice.choice((1, 2, 3)) + split,
        dice.choice(((), ("",), ("",), ("spray",), ("spray",))),
        dice.choice(((), ("gun",), ("gun",), ("booth",))),
        dice.choice(("", "primer", "colour")),
        split,
        dice.choice((0, 0, 0, 2)),
        dice.choice((99, 99, DAY + 3)),
        ((1, 5), (DAY, DAY + 4)) if dice.random() < 0.2 else (),
    )


def _lag(dice: random.Random, before: str, after: str) -> Lag:
    least = dice.choice((None, 0, 0, 1, 3))
    most = dice.choice((None, (least or 0) + 2, (least or 0) + 4))
    leaves = dice.choice(("end", "end", "start"))
    reaches = dice.choice(("start", "start", "end"))
    if dice.random() < 0.1:
        before, after, least = after, before, -2
    return Lag(before, after, least, most, leaves, reaches)


def _pots(dice: random.Random, keys: list[str]) -> tuple[Pot, ...]:
    amounts = tuple((key, dice.choice((1, 2))) for key in dice.sample(keys, dice.choice((1, 2, 3))))
    life, people = dice.choice((4, 6, 15)), dice.choice((("",), ("spray",)))
    return (Pot("mix", dice.choice((2, 3)), life, 1, amounts, dice.choice((0, 0, 1)), people),)


def timetables(problem: Problem) -> Iterator[Timetable]:
    """Every timetable that the checker has nothing against."""
    alone = replace(problem, pots=())
    places = {
        task.key: [
            slot
            for slot in _slots(problem, task)
            if not faults(_only(alone, {task.key}), Timetable({task.key: slot}))
        ]
        for task in problem.tasks
    }
    yield from _placed(problem, places, {}, ())


def _placed(
    problem: Problem,
    places: dict[str, list[Slot]],
    slots: dict[str, Slot],
    mixes: tuple[Mix, ...],
) -> Iterator[Timetable]:
    if len(slots) == len(problem.tasks):
        yield Timetable(slots, mixes)
        return
    task = problem.tasks[len(slots)]
    part = _only(problem, {*slots, task.key})
    for slot in places[task.key]:
        if _wrong(replace(part, pots=()), Timetable({**slots, task.key: slot})):
            continue
        for mixed in _mixes(problem, task, slot, mixes):
            if not _wrong(part, Timetable({**slots, task.key: slot}, mixed)):
                yield from _placed(problem, places, {**slots, task.key: slot}, mixed)


def _wrong(problem: Problem, timetable: Timetable) -> bool:
    """Whether there is any fault: the first one found is enough."""
    return any(True for check in checking._CHECKS for _ in check(problem, timetable))


def _only(problem: Problem, keys: set[str]) -> Problem:
    """The problem with these tasks only."""
    holds = (
        replace(hold, tasks=tuple(key for key in hold.tasks if key in keys))
        for hold in problem.holds
    )
    return replace(
        problem,
        tasks=tuple(task for task in problem.tasks if task.key in keys),
        lags=tuple(lag for lag in problem.lags if {lag.before, lag.after} <= keys),
        aparts=tuple(apart for apart in problem.aparts if {apart.one, apart.other} <= keys),
        holds=tuple(hold for hold in holds if hold.tasks),
        pots=tuple(
            replace(pot, amounts=tuple((key, n) for key, n in pot.amounts if key in keys))
            for pot in problem.pots
        ),
    )


def _slots(problem: Problem, task: Task) -> Iterator[Slot]:
    ticks = [tick for low, high in problem.open for tick in range(low, high)]
    crews = list(permutations([person.key for person in problem.people], len(task.people)))
    for first in range(len(ticks) - task.work + 1):
        for crew in crews:
            yield Slot(ticks[first], ticks[first + task.work - 1] + 1, crew)


def _mixes(
    problem: Problem, task: Task, slot: Slot, mixes: tuple[Mix, ...]
) -> Iterator[tuple[Mix, ...]]:
    """Every way of serving a task: nothing to serve, from a mix there is, from one made for it."""
    pot = next((pot for pot in problem.pots if task.key in dict(pot.amounts)), None)
    if pot is None:
        yield mixes
        return
    for i, mix in enumerate(mixes):
        yield (*mixes[:i], mix._replace(serves=(*mix.serves, task.key)), *mixes[i + 1 :])
    for crew in permutations([person.key for person in problem.people], len(pot.people)):
        for start in range(max(slot.end - pot.life, 0), slot.start - pot.mixing + 1):
            fresh = Mix(pot.key, start, start + pot.mixing, (task.key,), crew)
            yield tuple(sorted((*mixes, fresh), key=lambda mix: mix.start))
