"""Mixes are made as late as they can be, and nothing else moves."""

import pytest

from coatwright.engines.timetable.checking import faults
from coatwright.engines.timetable.problem import Mix, Person, Pot, Problem, Slot, Task, Timetable
from coatwright.planning.day.stirring import stirred_late


def problem(stand: int = 0) -> Problem:
    """A wipe of 10, a coat of 5; 5 to mix; the shop is open from 0 to 100, with a rest at 20."""
    return Problem(
        tasks=(Task("wipe", 10), Task("coat", 5)),
        people=(Person("learner"),),
        open=((0, 20), (30, 100)),
        pots=(Pot("paint", 100, 90, 5, (("coat", 50),), stand),),
    )


@pytest.mark.parametrize(
    ("coat", "wipe", "stand", "start"),
    [
        (60, 0, 0, 55),  # nothing in the way: just before the coat
        (60, 0, 15, 40),  # 15 of standing in between
        (60, 50, 0, 45),  # the wipe, 50 to 60, is in the way
        (32, 0, 0, 15),  # the rest, 20 to 30, is in the way: nobody stirs in it
    ],
)
def test_as_late_as_who_stirs_is_free(coat, wipe, stand, start):
    slots = {
        "wipe": Slot(wipe, wipe + 10, ("learner",)),
        "coat": Slot(coat, coat + 5, ("learner",)),
    }
    early = Timetable(slots, (Mix("paint", 10, 15, ("coat",), ("learner",)),))
    late = stirred_late(problem(stand), early)
    assert late.slots == early.slots
    assert (late.mixes[0].start, late.mixes[0].end) == (start, start + 5)
    assert faults(problem(stand), late) == ()


def test_what_is_made_is_made():
    slots = {"wipe": Slot(0, 10, ("learner",)), "coat": Slot(60, 65, ("learner",))}
    early = Timetable(slots, (Mix("paint", 10, 15, ("coat",), ("learner",)),))
    assert stirred_late(problem(), early, now=12) == early
