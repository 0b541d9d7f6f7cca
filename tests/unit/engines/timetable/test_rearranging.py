"""A day that has begun: the past stays as it was, the rest keeps its promises to it.

Expected answers are found by hand in the comments. Figures are invented.
"""

from dataclasses import replace

import pytest

from coatwright.engines.timetable.arranging import Budget, arrange, rearrange
from coatwright.engines.timetable.checking import faults
from coatwright.engines.timetable.problem import (
    Apart,
    Hold,
    Lag,
    Measure,
    Mix,
    Person,
    Pot,
    Problem,
    Slot,
    Task,
    Timetable,
    Tool,
)
from coatwright.errors import NotConverged

ENDLESS = 3600.0
LEAST_CHANGE = Budget(ENDLESS, 2.0, (Measure(days=1), Measure(moved=1), Measure(mixes=1)))
SOONEST = Budget(ENDLESS, 2.0, (Measure(end=1),))
ANN, BOB = Person("Ann", frozenset({"spray"})), Person("Bob")


def job(*tasks, people=(ANN,), opened=((0, 100),), **more):
    return Problem(tuple(tasks), tuple(people), opened, **{"day": 200, **more})


def anew(problem, slots, now, mixes=(), budget=LEAST_CHANGE):
    found = rearrange(problem, Timetable(slots, mixes), now, budget)
    for key, slot in slots.items():
        assert found.timetable.slots[key] == slot or slot.start >= now
    past = {key for key, slot in slots.items() if slot.start < now}
    new = {key: slot for key, slot in found.timetable.slots.items() if key not in past}
    assert set(new) == {task.key for task in problem.tasks} - past
    assert all(slot.start >= now for slot in new.values())
    assert found.proven
    return found


AB = (Task("a", 10), Task("b", 10), Task("c", 10))
PLAN = {"a": Slot(0, 10, ("Ann",)), "b": Slot(10, 20, ("Ann",)), "c": Slot(50, 60, ("Ann",))}


def test_nothing_happened_nothing_moves():
    found = anew(job(*AB), PLAN, 5)
    assert found.timetable.slots == PLAN
    assert found.measure.moved == 0


def test_what_takes_longer_pushes_only_what_it_must():
    # a lasts till 17: b starts 7 later, c stays at 50.
    found = anew(job(*AB), PLAN | {"a": Slot(0, 17, ("Ann",))}, 8)
    assert [found.timetable.slots[key].start for key in "abc"] == [0, 17, 50]
    assert found.measure.moved == 7


def test_what_was_missed_starts_now():
    slots = {key: slot for key, slot in PLAN.items() if key != "b"}
    found = anew(job(*AB), slots, 30)
    assert found.timetable.slots["b"].start == 30


def test_another_goal_brings_things_forward():
    found = anew(job(*AB), PLAN, 5, budget=SOONEST)
    assert found.measure.end == 30


def test_somebody_else_is_free():
    tasks = Task("a", 10), Task("b", 10)
    slots = {"a": Slot(0, 40, ("Ann",)), "b": Slot(10, 20, ("Ann",))}
    found = anew(job(*tasks, people=(ANN, BOB)), slots, 5)
    assert found.timetable.slots["b"] == Slot(10, 20, ("Bob",))


def test_lags_out_of_the_past():
    # a ended 5 late: b opens at 15 + 20, and has to end by 15 + 40.
    lags = (Lag("a", "b", 20), Lag("a", "b", None, 40, reaches="end"))
    slots = {"a": Slot(5, 15, ("Ann",)), "b": Slot(30, 40, ("Ann",))}
    problem = job(Task("a", 10), Task("b", 10), lags=lags)
    assert anew(problem, slots, 16).timetable.slots["b"].start == 35
    with pytest.raises(NotConverged) as raised:
        rearrange(problem, Timetable({"a": slots["a"]}), 46, LEAST_CHANGE)
    assert raised.value.what.startswith("no timetable exists")
    assert "'b'" in raised.value.what


def test_aparts_and_cleaning_out_of_the_past():
    tasks = Task("a", 10, tools=("gun",), product="primer"), Task("b", 10, (), ("gun",), "colour")
    slots = {"a": Slot(0, 10, ("Ann",)), "b": Slot(12, 22)}
    problem = job(*tasks, tools=(Tool("gun", cleaning=6),))
    assert anew(problem, slots, 5).timetable.slots["b"].start == 16
    dust = replace(problem, aparts=(Apart("b", "a", 0, 9),))
    assert anew(dust, slots, 5).timetable.slots["b"].start == 19


def test_a_tool_under_way_and_a_hold_that_goes_on():
    tasks = tuple(Task(key, 10, (), ("booth",)) for key in ("a1", "a2", "b"))
    slots = {"a1": Slot(0, 14), "b": Slot(10, 20), "a2": Slot(40, 50)}
    problem = job(*tasks, tools=(Tool("booth"),), lags=(Lag("a1", "a2", 20),))
    assert anew(problem, slots, 8).timetable.slots["b"].start == 14
    # Held from a1 to a2, b comes after a2: a2 moves back to 34 or stays; b goes to 50, or
    # a2 to 34 (6) and b to 44 (34): 40 in all, as much as b to 50 alone (40).
    held = anew(replace(problem, holds=(Hold("booth", ("a1", "a2")),)), slots, 8)
    assert held.measure.moved == 40
    assert held.timetable.slots["b"].start >= held.timetable.slots["a2"].end


def test_a_pot_that_stands_serves_on():
    pot = Pot("primer", 4, 60, 5, (("a", 2), ("b", 2)))
    problem = job(Task("a", 10), Task("b", 10), pots=(pot,))
    slots = {"a": Slot(5, 15, ("Ann",)), "b": Slot(20, 30, ("Ann",))}
    mixed = (Mix("primer", 0, 5, ("a", "b"), ("Ann",)),)
    found = anew(problem, slots, 10, mixed)
    assert found.timetable.mixes == mixed
    # Too late for it: mixed at 0 it lives till 60, so b at 55 needs a new one.
    late = anew(problem, {"a": slots["a"]}, 55, mixed)
    assert late.timetable.mixes[0] == mixed[0]._replace(serves=("a",))
    assert late.timetable.mixes[1].serves == ("b",)
    assert late.timetable.slots["b"].start == 60


def test_too_little_left_in_it():
    pot = Pot("primer", 3, 60, 5, (("a", 2), ("b", 2)))
    problem = job(Task("a", 10), Task("b", 10), pots=(pot,))
    slots = {"a": Slot(5, 15, ("Ann",)), "b": Slot(20, 30, ("Ann",))}
    found = anew(problem, slots, 10, (Mix("primer", 0, 5, ("a",), ("Ann",)),))
    assert [mix.serves for mix in found.timetable.mixes] == [("a",), ("b",)]


POT = Pot("primer", 6, 60, 5, (("a", 2), ("b", 2), ("c", 2)))
STOOD = {"a": Slot(5, 15, ("Ann",)), "b": Slot(20, 30, ("Ann",)), "c": Slot(30, 40, ("Ann",))}


def stood(*mixes, now=16):
    """Three tasks of one paint, the first done: whom the pots there are, and new ones, serve."""
    found = anew(job(*AB, pots=(POT,)), STOOD, now, mixes).timetable
    return [(mix.start, mix.serves) for mix in found.mixes], found


ALL = ("a", "b", "c")


def test_a_pot_that_holds_less_than_was_wanted():
    # 4 of 6: a has had 2, one of the other two gets the rest, and a new pot is mixed for the last.
    served, found = stood(Mix("primer", 0, 5, ALL, ("Ann",), holds=4))
    assert [len(serves) for _, serves in served] == [2, 1]
    assert faults(job(*AB, pots=(POT,)), found) == ()


def test_what_was_spilt_serves_nobody():
    served, _ = stood(Mix("primer", 0, 5, ALL, ("Ann",), holds=6, lost=3))
    assert served[0] == (0, ("a",))
    # Taken less than planned: 5 mixed, 1 of them saved, is enough for all three.
    assert [serves for _, serves in stood(Mix("primer", 0, 5, ALL, ("Ann",), 5, -1))[0]] == [ALL]


def test_a_pot_that_was_poured_away_serves_nobody():
    served, found = stood(Mix("primer", 0, 5, ALL, ("Ann",), gone=16))
    assert [serves for _, serves in served] == [("a",), ("b", "c")]
    assert served[1][0] >= 16
    assert found.slots["b"].start >= 21


def test_a_pot_that_goes_off_sooner_serves_who_is_done_by_then():
    # Least change: mix from 16 to 21, then b one tick late, done at 31, and c one tick late.
    served, found = stood(Mix("primer", 0, 5, ALL, ("Ann",), gone=32))
    assert [found.slots[key].start for key in "bc"] == [21, 31]
    assert served[0] == (0, ("a", "b"))
    assert served[1][1] == ("c",)


def test_a_pot_that_lives_longer_serves_longer():
    # Its life of 60 would be over at 35; it is known to live until 45.
    early = Mix("primer", -25, -20, ALL, ("Ann",), gone=45)
    assert [serves for _, serves in stood(early)[0]] == [ALL]


def test_a_pot_that_nobody_had_planned_is_used():
    first = Mix("primer", 0, 5, ("a",), ("Ann",), holds=2)
    extra = Mix("primer", 0, 5, (), ("Ann",), holds=4)
    served, _ = stood(first, extra)
    assert served == [(0, ("a",)), (0, ("b", "c"))]


def test_two_pots_of_one_moment_are_told_apart():
    # 3 and 5 mixed at once; a has had 2 of the 5: 3 and 3 are left, one task each.
    served, found = stood(
        Mix("primer", 0, 5, ("a",), ("Ann",), holds=5), Mix("primer", 0, 5, (), ("Ann",), holds=3)
    )
    assert sorted(len(serves) for _, serves in served) == [1, 2]
    twice = faults(job(*AB, pots=(POT,)), found)
    assert [fault[:31] for fault in twice] == ["'Ann' is at the mixing of 'prime"[:31]]


def test_nothing_is_left():
    slots = {"a": Slot(0, 10, ("Ann",))}
    found = anew(job(Task("a", 10)), slots, 50)
    assert found.timetable.slots == slots
    assert found.stopped == "nothing is left to do"


def test_the_shop_has_closed():
    with pytest.raises(NotConverged) as raised:
        rearrange(job(Task("a", 10)), Timetable({}), 100, LEAST_CHANGE)
    assert raised.value.sentence == (
        "no timetable exists: work is left and the shop does not open again; "
        "open longer, or take something away"
    )


def test_a_fresh_job_from_the_first_moment_is_like_any_other():
    problem = job(*AB, lags=(Lag("a", "b", 5),))
    arranged = arrange(problem, SOONEST).timetable
    found = anew(problem, arranged.slots, 0)
    assert found.timetable.slots == arranged.slots
