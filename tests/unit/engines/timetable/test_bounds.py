"""What no timetable can beat, against every timetable of tiny problems and answers found by hand.

Figures are invented.
"""

import random
from dataclasses import replace

import pytest

from coatwright.engines.timetable.arranging import Budget, arrange
from coatwright.engines.timetable.problem import Lag, Measure, Person, Pot, Problem, Task, Tool
from coatwright.engines.timetable.solver._bounds import (
    joint_days,
    joint_end,
    mixed_by,
    ready_made,
    soonest_end,
)
from coatwright.engines.timetable.solver._compiled import compiled
from coatwright.engines.timetable.solver._reach import reach
from unit.engines.timetable.tiny import timetables, tiny

TWO = (Person("Ann"), Person("Bob"))
SOONEST = Budget(3600.0, 6.0, (Measure(end=1),))


def dues(problem, until):
    """By when every pot that must be mixed is ready, by paint."""
    made = compiled(problem)
    spread = reach(made, until)
    last = [made.end_of(i, start) for i, start in enumerate(spread.latest)]
    return {
        pot.key: mixed_by(made, number, spread, last) for number, pot in enumerate(problem.pots)
    }


def area(number, rub, coat):
    """A piece that is rubbed down and then coated in the booth."""
    name = f"rub {number}", f"coat {number}"
    return (Task(name[0], rub), Task(name[1], coat, tools=("booth",))), Lag(*name)


def shop(areas, **more):
    tasks = tuple(task for pair, _ in areas for task in pair)
    lags = tuple(lag for _, lag in areas)
    return Problem(tasks, TWO, ((0, 400),), lags, (Tool("booth"),), day=400, **more)


def small(seed):
    """A few areas, two coats each, pots that hold two or three of them."""
    dice = random.Random(seed)
    tasks, lags, amounts = [], [], []
    for n in range(dice.choice((3, 4))):
        size = dice.randint(2, 5)
        rub, one, two = (f"{n} {step}" for step in ("rub", "one", "two"))
        tasks += [
            Task(rub, dice.randint(3, 9)),
            *(Task(k, size, tools=("booth",)) for k in (one, two)),
        ]
        lags += [Lag(rub, one, 2, 60), Lag(one, two, dice.randint(3, 8), 30)]
        amounts += [(one, size), (two, size)]
    pot = Pot("paint", 12, dice.choice((20, 40)), 3, tuple(amounts), stand=dice.choice((0, 2)))
    people = TWO[: dice.choice((1, 2, 2))]
    return Problem(
        tuple(tasks), people, ((0, 150), (200, 260)), tuple(lags), (Tool("booth"),), (pot,), day=200
    )


@pytest.mark.parametrize("seed", range(200, 240))
def test_no_timetable_ends_sooner_and_no_pot_is_mixed_later(seed):
    problem = tiny(seed)
    made = compiled(problem)
    every = list(timetables(problem)) if reach(made).broken is None else []
    ends = [max(slot.end for slot in timetable.slots.values()) for timetable in every]
    if not every:
        return
    assert soonest_end(made) <= joint_end(made) <= min(ends)
    assert joint_days(made) == (joint_end(made) - 1) // problem.day + 1
    for until in {min(ends), max(ends)}:
        due = dues(problem, until)
        for timetable, end in zip(every, ends, strict=True):
            for paint, latest in due.items() if end <= until else ():
                ready = sorted(mix.end for mix in timetable.mixes if mix.pot == paint)
                assert len(ready) >= len(latest)
                assert all(at <= by for at, by in zip(ready, latest, strict=False))


@pytest.mark.parametrize("seed", range(12))
def test_no_proven_plan_is_better_than_a_bound(seed):
    problem = small(seed)
    found = arrange(problem, SOONEST)
    assert found.proven
    (end,) = found.values
    easy = ready_made(compiled(problem), end)
    assert joint_end(compiled(problem)) <= end
    assert joint_end(compiled(easy)) <= end
    relaxed = arrange(easy, SOONEST)
    assert relaxed.proven
    assert relaxed.values[0] <= end


def test_while_the_last_coat_is_sprayed_the_other_has_nothing_to_do():
    # Ten times 20 of rubbing and 15 of coating are 350 for two. In the last 15 all is rubbed and
    # one booth keeps one of them busy: 350 = 2 E - 15, so not before 183; each alone says 175.
    made = compiled(shop([area(n, 20, 15) for n in range(10)]))
    assert soonest_end(made) == 175
    assert joint_end(made) == 183
    # In days of 90 the 175 would fit into two, the 183 do not.
    days = tuple((90 * n, 90 * n + 90) for n in range(4))
    made = compiled(replace(made.problem, open=days, day=90))
    assert soonest_end(made) == 175
    assert joint_days(made) == 3


def test_those_with_a_skill_have_only_the_time_they_are_there():
    # Ann alone sprays: 3 times 10, and she is away from 5 to 25. Rubbing is anybody's.
    ann = Person("Ann", frozenset({"spray"}), ((5, 25),))
    tasks = tuple(Task(f"coat {n}", 10, ("spray",)) for n in range(3))
    problem = Problem(tasks, (ann, Person("Bob")), ((0, 100),), day=100)
    assert joint_end(compiled(problem)) == 50  # torn up: 5, then 25 from 25 on


def test_the_first_pots_are_due_when_what_is_left_no_longer_fits():
    # Four coats of 10 with 2 of paint each, 4 in a pot, all done by 100: after 60 not all four can
    # be sprayed, so one pot is ready by 60; after 80 not two, so the other is ready by 80.
    keys = [f"coat {n}" for n in range(4)]
    tasks = tuple(Task(key, 10, tools=("booth",)) for key in keys)
    pot = Pot("paint", 4, 60, 5, tuple((key, 2) for key in keys))
    problem = Problem(tasks, TWO, ((0, 100),), (), (Tool("booth"),), (pot,), day=100)
    assert dues(problem, 100) == {"paint": [60, 80]}
    standing = Pot("paint", 4, 60, 5, tuple((key, 2) for key in keys), stand=7)
    problem = Problem(tasks, TWO, ((0, 100),), (), (Tool("booth"),), (standing,), day=100)
    assert dues(problem, 100) == {"paint": [53, 73]}
