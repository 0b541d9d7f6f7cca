"""Timetables against every timetable of tiny problems, and against answers found by hand.

The checker, written apart from the solver, judges every timetable. Figures are invented.
"""

from dataclasses import replace

import pytest

from coatwright.engines.timetable import arranging
from coatwright.engines.timetable.arranging import Budget, arrange, feasible
from coatwright.engines.timetable.checking import faults, measure
from coatwright.engines.timetable.problem import (
    Apart,
    Hold,
    Lag,
    Measure,
    Person,
    Pot,
    Problem,
    Slot,
    Task,
    Timetable,
    Tool,
)
from coatwright.engines.timetable.solver import _course
from coatwright.errors import NotConverged, RangeError
from unit.engines.timetable.tiny import best, tiny

ENDLESS = 3600.0
EFFORT = Budget(ENDLESS, effort=3.0)
SOONEST = Budget(ENDLESS, 3.0, (Measure(end=1),))
SOONEST_FEW = Budget(ENDLESS, 3.0, (Measure(end=1, mixes=15),))
ANN, BOB = Person("Ann", frozenset({"spray"})), Person("Bob")


def nothing(*_):
    """A bound that knows nothing."""
    return 0


def job(*tasks, people=(ANN,), opened=((0, 100),), **more):
    return Problem(tuple(tasks), tuple(people), opened, **{"day": 200, **more})


def arranged(problem, budget=EFFORT, **more):
    found = arrange(problem, budget, **more)
    assert faults(problem, found.timetable) == ()
    assert measure(problem, found.timetable) == found.measure._replace(moved=0)
    assert found.proven
    return found


@pytest.mark.parametrize("seed", range(24))
def test_none_of_all_timetables_is_better(seed):
    problem = tiny(seed)
    expected = best(problem)
    if expected is None:
        assert feasible(problem, ENDLESS) is False
    else:
        assert feasible(problem, ENDLESS) is True
        assert arranged(problem).values == expected


@pytest.mark.parametrize("goal", [(Measure(end=1, mixes=3),), (Measure(mixes=1), Measure(end=1))])
@pytest.mark.parametrize("seed", [30, 31, 32, 33, 111])
def test_none_is_better_for_another_goal(seed, goal):
    problem = tiny(seed)
    expected = best(problem, goal)
    if expected is not None:
        assert arranged(problem, Budget(ENDLESS, 3.0, goal)).values == expected


@pytest.mark.parametrize("seed", [30, 33, 34])
def test_without_a_taste_of_the_whole_asking_for_better_ends_at_the_best(seed, monkeypatch):
    goal = (Measure(end=1, mixes=3),)
    problem = tiny(seed)
    expected = best(problem, goal)
    if expected is not None:
        monkeypatch.setattr(_course, "TASTE", 1e-6)
        monkeypatch.setattr(_course, "least", nothing)
        one, other = (arranged(problem, Budget(ENDLESS, 0.5, goal)) for _ in range(2))
        assert one.values == expected
        assert one.timetable == other.timetable


def test_one_person_does_one_thing_at_a_time():
    assert arranged(job(Task("a", 10), Task("b", 20)), SOONEST).values == (30,)
    assert arranged(job(Task("a", 10), Task("b", 20), people=(ANN, BOB)), SOONEST).values == (20,)


def test_who_has_the_skill_does_it():
    # Both sprayings are Ann's, 10 each; Bob masks meanwhile.
    tasks = Task("a", 10, ("spray",)), Task("b", 10, ("spray",)), Task("mask", 15, ("",))
    found = arranged(job(*tasks, people=(ANN, BOB)), SOONEST)
    assert found.values == (20,)
    assert found.timetable.slots["mask"].people == ("Bob",)


def test_two_hands_at_once():
    tasks = Task("hang", 5, ("", "")), Task("a", 10, ("spray",))
    assert arranged(job(*tasks, people=(ANN, BOB)), SOONEST).values == (15,)


def test_a_gun_is_cleaned_between_two_products():
    # primer 10, cleaning 7, colour 10; the second primer goes before the cleaning.
    guns = tuple(
        Task(key, 10, tools=("gun",), product=product)
        for key, product in (("a", "primer"), ("b", "colour"), ("c", "primer"))
    )
    problem = job(*guns, people=(ANN, BOB), tools=(Tool("gun", cleaning=7),))
    assert arranged(problem, SOONEST).values == (37,)
    assert arranged(replace(problem, tools=(Tool("gun", 2, 7),)), SOONEST).values == (20,)


def test_a_booth_is_held_between_two_coats():
    coats = tuple(Task(key, 5, tools=("booth",)) for key in ("a1", "a2", "b"))
    problem = job(
        *coats,
        tools=(Tool("booth"),),
        lags=(Lag("a1", "a2", least=20),),
        people=(ANN, BOB),
    )
    # 5 + 20 + 5, with b in the flash; held, b has to wait.
    assert arranged(problem, SOONEST).values == (30,)
    held = replace(problem, holds=(Hold("booth", ("a1", "a2")),))
    assert arranged(held, SOONEST).values == (35,)


def test_a_pot_lives_so_long():
    # Coats of 10, 30 between: a pot that lives 60 serves both, one that lives 40 does not.
    coats = Task("a", 10), Task("b", 10)
    pot = Pot("primer", 4, 60, 5, (("a", 2), ("b", 2)), stand=3)
    problem = job(*coats, lags=(Lag("a", "b", least=30),), pots=(pot,))
    found = arranged(problem, SOONEST_FEW)
    assert (found.measure.end, found.measure.mixes) == (58, 1)
    assert [mix.serves for mix in found.timetable.mixes] == [("a", "b")]
    short = replace(problem, pots=(replace(pot, life=40),))
    assert arranged(short, SOONEST_FEW).measure[2:4] == (58, 2)


def test_a_pot_holds_so_much():
    pot = Pot("primer", 3, 60, 5, (("a", 2), ("b", 2)))
    assert arranged(job(Task("a", 10), Task("b", 10), pots=(pot,))).measure.mixes == 2


def test_masking_is_laid_down_over_night_and_spraying_is_not():
    opened = ((0, 10), (100, 120))
    assert arranged(job(Task("mask", 15, split=True), opened=opened), SOONEST).values == (105,)
    assert arranged(job(Task("coat", 15), opened=opened), SOONEST).values == (115,)


def test_windows_and_absences():
    task = Task("coat", 10, windows=((15, 40),), earliest=5)
    assert arranged(job(task), SOONEST).values == (25,)
    away = Person("Ann", frozenset({"spray"}), ((20, 28),))
    assert arranged(job(task, people=(away,)), SOONEST).values == (38,)


def test_dust_keeps_off():
    tasks = Task("rub", 10), Task("coat", 10)
    problem = job(*tasks, people=(ANN, BOB), aparts=(Apart("rub", "coat", 5, 30),))
    assert arranged(problem, SOONEST).values == (25,)


def test_fewest_days_then_least_waiting():
    # Coat and recoat lie 60 apart: in one day that is 80 there; begun later it is no shorter.
    tasks = Task("a", 10), Task("b", 10), Task("c", 10)
    problem = job(*tasks, lags=(Lag("a", "b", least=60),), opened=((0, 100), (200, 300)))
    assert arranged(problem).values == (1, 80, 0)
    # Where the day is too short, the night does the waiting: 10 and 20, or 20 and 10.
    nights = replace(problem, open=((0, 50), (200, 250)))
    assert arranged(nights).values == (2, 30, 0)


def test_same_seed_same_timetable():
    problem = tiny(5)
    one, other = (arrange(problem, Budget(ENDLESS, 0.05), seed=7) for _ in range(2))
    assert (one.timetable, one.values, one.bounds) == (other.timetable, other.values, other.bounds)


def test_an_earlier_timetable_is_a_start_even_if_it_does_not_hold():
    problem = job(Task("a", 10), Task("b", 20), lags=(Lag("a", "b", least=5),))
    before = Timetable({"b": Slot(0, 20, ("Ann",))})
    assert arranged(problem, SOONEST, start=before).values == (35,)


def test_lags_may_point_backwards():
    # b ends at most 5 after a begins, and the other way round: they overlap.
    tasks = Task("a", 10), Task("b", 10)
    ties = (
        Lag("a", "b", None, 12, leaves="start", reaches="end"),
        Lag("b", "a", None, 12, leaves="start", reaches="end"),
    )
    found = arranged(job(*tasks, people=(ANN, BOB), lags=ties), SOONEST)
    slots = found.timetable.slots
    assert abs(slots["a"].start - slots["b"].start) <= 2


def test_no_timetable_by_lags_alone_names_a_task():
    problem = job(Task("a", 10), Task("b", 10), lags=(Lag("a", "b", least=90),))
    with pytest.raises(NotConverged) as raised:
        arrange(problem, EFFORT)
    assert raised.value.sentence == (
        "no timetable exists: lags, windows and opening hours leave 'b' no time at all; "
        "open longer, widen a window, or take it away"
    )
    assert feasible(problem, ENDLESS) is False


def test_no_timetable_is_proven():
    problem = job(*(Task(str(n), 30) for n in range(4)))
    with pytest.raises(NotConverged) as raised:
        arrange(problem, EFFORT)
    assert raised.value.sentence == (
        "no timetable exists: it is proven that not everything asked can hold together; "
        "open longer, widen a window, or take something away"
    )


def test_none_found_is_not_none_exists(monkeypatch):
    problem = job(*(Task(str(n), 30) for n in range(4)))

    def gives_up(*_):
        return arranging.first_plan.__globals__["Solved"](False, None, 0.0, 0.0)

    monkeypatch.setitem(arranging.first_plan.__globals__, "whole", gives_up)
    with pytest.raises(NotConverged) as raised:
        arrange(problem, EFFORT)
    assert raised.value.sentence == (
        "no timetable was found in the time given, and none was proven impossible; "
        "give it more time, or take something away"
    )
    assert feasible(problem, ENDLESS) is None


def test_nobody_can_do_it():
    with pytest.raises(RangeError) as raised:
        arrange(job(Task("weld", 5, ("weld",))), EFFORT)
    assert raised.value.sentence == ("nobody can do 'weld'; it takes people with the skills weld")


@pytest.mark.parametrize("spend", [{"seconds": 0.0}, {"effort": 0.0}, {"goal": ()}])
def test_a_budget_is_something(spend):
    with pytest.raises(RangeError):
        Budget(**spend)
