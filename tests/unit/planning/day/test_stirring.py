"""Mixes are made as late as they can be, and nothing else moves."""

from dataclasses import replace

import pytest

from coatwright.engines.timetable.checking import faults, measure
from coatwright.engines.timetable.problem import (
    DAYS_WAITING_MIXES,
    Mix,
    Outcome,
    Person,
    Pot,
    Problem,
    Slot,
    Task,
    Timetable,
)
from coatwright.planning.day.stirring import stirred, stirred_late


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


def arranged(wipe: int, coat: int, mix: int, day: int = 1440) -> tuple[Problem, Outcome]:
    """The problem in days of that many ticks, and a timetable of it as an outcome."""
    asked = replace(problem(), day=day)
    slots = {
        "wipe": Slot(wipe, wipe + 10, ("learner",)),
        "coat": Slot(coat, coat + 5, ("learner",)),
    }
    made = Timetable(slots, (Mix("paint", mix, mix + 5, ("coat",), ("learner",)),))
    judged = measure(asked, made)
    values = tuple(judged.weighed(weights) for weights in DAYS_WAITING_MIXES)
    return asked, Outcome(made, judged, values, (1, 20, 1))


def test_a_day_that_begins_with_a_mix_begins_later():
    """Mix 0-5, wipe 40-50, coat 60-65: 65 manned (the rest is in it); stirred at 50 it is 25."""
    asked, early = arranged(wipe=40, coat=60, mix=0)
    assert early.measure.manned == 65
    late = stirred(asked, early, DAYS_WAITING_MIXES)
    assert late.timetable.mixes[0].start == 55
    assert late.measure == measure(asked, late.timetable)
    assert (late.measure.manned, late.values, late.bounds) == (25, (1, 25, 1), (1, 20, 1))


def test_the_next_morning_does_not_begin_sooner_for_it():
    """Days of 50: mixed beside the owner's wipe it costs nobody time; stirred before the coat at
    62 it would make the second day 5 longer."""
    asked, early = arranged(wipe=5, coat=62, mix=8, day=50)
    asked = replace(asked, people=(*asked.people, Person("owner")))
    slots = early.timetable.slots | {"wipe": Slot(5, 15, ("owner",))}
    early = replace(early, timetable=replace(early.timetable, slots=slots))
    assert faults(asked, early.timetable) == ()
    assert stirred_late(asked, early.timetable).mixes[0].start == 57
    assert stirred(asked, early, DAYS_WAITING_MIXES) == early
