"""The checker on random jobs: it passes what was made by doing one thing at a time, and notices one
tick less of anything."""

import random

import pytest

from coatwright.engines.timetable.checking import faults, measure
from properties.timetable import tighter
from properties.timetable.jobs import job


@pytest.mark.parametrize("seed", range(60))
def test_one_thing_at_a_time_breaks_nothing(seed):
    made = job(seed)
    assert faults(made.problem, made.timetable) == ()


@pytest.mark.parametrize("kind", tighter.KINDS, ids=lambda kind: kind.__name__)
def test_a_tick_too_little_is_noticed(kind):
    noticed = 0
    for seed in range(40):
        made = job(seed)
        tight = kind(made, random.Random(seed))
        if tight is not None:
            problem, told = tight
            found = faults(problem, made.timetable)
            assert any(told in fault for fault in found), (seed, told, found)
            noticed += 1
    assert noticed >= 5


@pytest.mark.parametrize("seed", range(20))
def test_measure_by_the_tick(seed):
    """Against a count of ticks: all that somebody works in, day by day."""
    made = job(seed)
    slots = [(s.start, s.end) for s in (*made.timetable.slots.values(), *made.timetable.mixes)]
    shop = {tick for a, b in made.problem.open for tick in range(a, b)}
    worked = sorted({tick for a, b in slots for tick in range(a, b)} & shop)
    days = {tick // made.problem.day for tick in worked}
    by_day = [[tick for tick in worked if tick // made.problem.day == day] for day in days]
    found = measure(made.problem, made.timetable)
    assert found.manned == sum(ticks[-1] - ticks[0] + 1 for ticks in by_day)
    assert (found.days, found.end) == (max(days) + 1, worked[-1] + 1)
    assert found.mixes == len(made.timetable.mixes)
