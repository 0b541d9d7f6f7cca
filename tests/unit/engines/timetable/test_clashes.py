"""Clashes of tiny jobs against an oracle that tries everything: minimal, and the cheapest way out.

The jobs are invented; a tick could be half an hour.
"""

import random
from dataclasses import replace
from functools import cache
from itertools import chain, combinations

import pytest

from coatwright.engines.timetable import clashes
from coatwright.engines.timetable.clashes import clash, demands, only, without
from coatwright.engines.timetable.problem import (
    Apart,
    Hold,
    Lag,
    Person,
    Pot,
    Problem,
    Task,
    Tool,
)
from coatwright.errors import NotConverged, RangeError
from unit.engines.timetable.oracle import feasible

PAINTER = Person("painter", frozenset({"spray"}))
PRIME = Task("prime", 2, ("spray",), ("gun",), "primer")
COAT = Task("coat", 2, ("spray",), ("gun",), "colour")
DRY = Lag("prime", "coat", least=4, name="dry")
RECOAT = Lag("prime", "coat", None, 3, name="recoat", price=30)


def job(tasks, people, opened, lags=(), **more):
    tools = (Tool("gun"), Tool("booth"))
    return Problem(tasks, people, opened, lags, **{"tools": tools, "day": opened[-1][1], **more})


JOBS = {
    "dries too long for its window": job((PRIME, COAT), (PAINTER,), ((0, 12),), (DRY, RECOAT)),
    "day too short": job((PRIME, COAT), (PAINTER,), ((0, 6),), (DRY,)),
    "night in between": job(
        (PRIME, COAT), (PAINTER,), ((0, 3), (6, 9)), (replace(DRY, least=1, most=2),), day=6
    ),
    "nobody there": job((PRIME,), (replace(PAINTER, away=((2, 5),)),), ((1, 6),)),
    "nobody can": job((Task("mask", 1, ("mask",)),), (PAINTER,), ((0, 4),)),
    "too early and too late": job(
        (replace(PRIME, earliest=4, latest=8), replace(COAT, latest=5)),
        (PAINTER,),
        ((0, 10),),
        (replace(DRY, least=0),),
    ),
    "wrong weather": job(
        (replace(PRIME, latest=4), replace(COAT, windows=((0, 3), (9, 11)))),
        (PAINTER,),
        ((0, 12),),
        (replace(DRY, least=1, most=4), Lag("prime", "coat", None, 9)),
    ),
    "one gun": job(
        (replace(PRIME, latest=4), replace(COAT, latest=4)),
        (PAINTER, replace(PAINTER, key="second")),
        ((0, 8),),
        tools=(Tool("gun", 1, 2),),
    ),
    "gun between two products": job(
        (replace(PRIME, latest=5), replace(COAT, latest=5)),
        (PAINTER,),
        ((0, 8),),
        tools=(Tool("gun", 1, 2),),
    ),
    "booth held": job(
        (PRIME, COAT, Task("wing", 1, (), ("booth",), latest=8, earliest=2)),
        (PAINTER,),
        ((0, 8),),
        (DRY,),
        holds=(Hold("booth", ("prime", "coat"), "left in the booth"),),
    ),
    "dust": job(
        (replace(PRIME, latest=5), Task("rub", 3, (), latest=5)),
        (PAINTER,),
        ((0, 8),),
        aparts=(Apart("rub", "prime", 1, 1, "dust"),),
    ),
    "goes off": job(
        (PRIME, COAT),
        (PAINTER, replace(PAINTER, key="second")),
        ((0, 10),),
        (replace(DRY, least=1),),
        pots=(Pot("primer", 4, 6, 1, (("prime", 2), ("coat", 2)), 4),),
    ),
    "pot too small": job(
        (PRIME,), (PAINTER,), ((0, 8),), pots=(Pot("p", 1, 8, 1, (("prime", 2),)),)
    ),
}


@cache
def clash_of(problem):
    return clash(problem, 600.0, feasible)


def unknown(*_):
    return None


def subsets(items):
    return chain.from_iterable(combinations(items, n) for n in range(len(items) + 1))


def kinds(found):
    return sorted(demand.kind for demand in found.demands)


@pytest.mark.parametrize("problem", JOBS.values(), ids=list(JOBS))
def test_minimal_of_tasks_and_of_demands(problem):
    found = clash_of(problem)
    assert found.minimal
    others = set(demands(problem)) - set(found.demands)
    assert not feasible(only(without(problem, others), found.tasks))
    for demand in found.demands:
        assert feasible(only(without(problem, {*others, demand}), found.tasks)), demand
    for task in found.tasks:
        assert feasible(only(without(problem, others), set(found.tasks) - {task})), task


@pytest.mark.parametrize("problem", JOBS.values(), ids=list(JOBS))
def test_the_cheapest_lags_to_give_up(problem):
    found = clash_of(problem)
    breakable = [demand for demand in demands(problem) if demand.kind == "most" and demand.price]
    prices = [
        sum(demand.price for demand in gone)
        for gone in subsets(breakable)
        if feasible(without(problem, gone))
    ]
    assert found.cheapest
    if prices:
        assert feasible(without(problem, found.give_up))
        assert found.price == sum(demand.price for demand in found.give_up) == min(prices)
    else:
        assert found.give_up is None


@pytest.mark.parametrize("problem", JOBS.values(), ids=list(JOBS))
def test_the_least_widening(problem):
    for widening in clash_of(problem).widen:
        assert feasible(clashes._wider(problem, *widening))
        assert not feasible(clashes._wider(problem, widening.demand, widening.by - 1))


@pytest.mark.parametrize(
    ("name", "named"),
    [
        ("dries too long for its window", ["least", "most"]),
        ("day too short", ["horizon", "least"]),
        ("nobody can", ["hands"]),
        ("pot too small", ["capacity"]),
        ("goes off", ["life"]),
        ("gun between two products", ["cleaning", "count", "latest", "latest"]),
        ("dust", ["apart", "latest", "latest"]),
    ],
)
def test_what_clashes(name, named):
    assert kinds(clash_of(JOBS[name])) == named


def test_the_window_must_grow_by_a_tick():
    found = clash_of(JOBS["dries too long for its window"])
    assert [(w.demand.name, w.by) for w in found.widen] == [("recoat", 1)]
    assert [demand.name for demand in found.give_up] == ["recoat"]
    assert found.price == 30


def test_two_clashes_take_two_lags_and_the_dearer_stays():
    # left and right each dry longer than both of two windows last: one of each pair is not enough.
    tasks = tuple(Task(f"{side}.{n}", 1, ()) for side in ("left", "right") for n in (1, 2, 3))
    lags = tuple(
        lag
        for side, prices in (("left", (5, 9)), ("right", (8, 2)))
        for lag in (
            Lag(f"{side}.1", f"{side}.2", 0, 1, price=prices[0], name=f"{side} first"),
            Lag(f"{side}.2", f"{side}.3", 0, 1, price=prices[1], name=f"{side} second"),
            Lag(f"{side}.1", f"{side}.3", 6, name=f"{side} dry"),
        )
    )
    problem = Problem(tasks, (), ((0, 12),), lags)
    found = clash_of(problem)
    assert [demand.name for demand in found.give_up] == ["left first", "right second"]
    assert found.price == 7
    assert found.widen == ()
    assert {key.split(".")[0] for key in found.tasks} in ({"left"}, {"right"})


@pytest.mark.parametrize("seed", range(40))
def test_random_clashes_are_minimal(seed):
    dice = random.Random(seed)
    problem = random_clash(dice)
    test_minimal_of_tasks_and_of_demands(problem)
    test_the_cheapest_lags_to_give_up(problem)
    test_the_least_widening(problem)


def random_clash(dice):
    while True:
        keys = ("a", "b", "c")[: dice.choice((2, 3))]
        tasks = tuple(
            Task(
                key,
                dice.randint(1, 3),
                ("",),
                dice.choice(((), ("gun",))),
                dice.choice("xy"),
                earliest=dice.choice((0, 0, 2)),
                latest=dice.choice((10**9, 5, 8)),
            )
            for key in keys
        )
        lags = tuple(
            Lag(
                one,
                other,
                dice.randint(0, 3),
                dice.choice((None, 2, 4)),
                price=dice.choice((0, 3, 7)),
            )
            for one, other in combinations(keys, 2)
            if dice.random() < 0.7
        )
        opened = dice.choice((((0, 10),), ((0, 4), (6, 10))))
        problem = Problem(
            tasks, (Person("one"),), opened, lags, (Tool("gun", 1, dice.choice((0, 1))),), day=6
        )
        if not feasible(problem):
            return problem


def test_a_feasible_problem_has_no_clash():
    with pytest.raises(RangeError, match="a timetable exists"):
        clash(Problem((PRIME,), (PAINTER,), ((0, 9),), tools=(Tool("gun"),)), 600.0, feasible)


def test_not_known_is_said():
    with pytest.raises(NotConverged, match="not known"):
        clash(JOBS["one gun"], 600.0, unknown)


def test_what_could_not_be_proven_is_said():
    """An oracle that knows only the first answer leaves everything in, and nothing proven."""
    problem = JOBS["one gun"]
    answers = iter([False])
    found = clash(problem, 600.0, lambda *_: next(answers, None))
    assert not found.minimal
    assert found.tasks == ("prime", "coat")
    assert set(found.demands) == set(demands(problem))
    assert found.widen == ()


def test_minimal_conflicts_of_a_published_example():
    """O'Sullivan, Papadopoulos, Faltings and Pu, Representative Explanations: their example.

    A budget of 3000 (1), four options at 500, 500, 500 and 2600 (2 to 5), and a rule that forbids
    2 with 3: the paper lists all the minimal conflicts.
    """
    prices = {2: 500, 3: 500, 4: 500, 5: 2600}
    listed = [{2, 3}, {1, 2, 5}, {1, 3, 5}, {1, 4, 5}]

    def conflict(kept):
        total = sum(prices[option] for option in kept if option in prices)
        return {2, 3} <= set(kept) or (1 in kept and total > 3000)

    found = []
    for seed in range(60):
        items = random.Random(seed).sample(range(1, 6), 5)
        found.append(set(clashes._minimal(conflict, items)))
    assert all(one in listed for one in found)
    assert all(one in found for one in listed)
