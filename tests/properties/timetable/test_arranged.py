"""500 random jobs of a paint shop, arranged: the checker, written apart, finds no fault in any.

A budget of effort, not of seconds, so that every machine arranges the same timetables.
"""

import pytest

from coatwright.engines.timetable.arranging import Budget, arrange
from coatwright.engines.timetable.checking import faults, measure
from coatwright.engines.timetable.problem import Measure, Outcome
from coatwright.errors import NotConverged
from properties.timetable.jobs import Job, job

LITTLE = Budget(seconds=60.0, effort=0.02)
MORE = Budget(seconds=60.0, effort=1.0)
BLOCK = 20
BLOCKS = [
    pytest.param(
        range(first, first + BLOCK),
        id=f"{first}-{first + BLOCK - 1}",
        marks=[pytest.mark.slow] if first >= 2 * BLOCK else [],
    )
    for first in range(0, 500, BLOCK)
]


def arranged(made: Job, seed: int) -> Outcome:
    """With little effort; a job for which that is not enough is given more."""
    try:
        return arrange(made.problem, LITTLE, seed)
    except NotConverged:
        return arrange(made.problem, MORE, seed)


def rank(found: Measure) -> tuple[int, int, int]:
    return found.days, found.manned, found.mixes


@pytest.mark.parametrize("seeds", BLOCKS)
def test_no_schedule_breaks_a_promise(seeds):
    for seed in seeds:
        made = job(seed)
        outcome = arranged(made, seed)
        assert faults(made.problem, outcome.timetable) == (), seed
        counted = measure(made.problem, outcome.timetable)
        assert counted == outcome.measure, seed
        assert outcome.values == rank(counted), seed
        assert all(b <= v for v, b in zip(outcome.values, outcome.bounds, strict=True)), seed
        known = rank(measure(made.problem, made.timetable))
        assert no_bound_is_too_high(outcome, known), seed


def no_bound_is_too_high(outcome: Outcome, known: tuple[int, ...]) -> bool:
    """Against a timetable that is known: the bound of a stage holds for all no worse before it."""
    for stage, bound in enumerate(outcome.bounds):
        before = zip(known[:stage], outcome.values[:stage], strict=True)
        if all(one <= other for one, other in before) and bound > known[stage]:
            return False
    return not outcome.proven or outcome.values <= known


@pytest.mark.parametrize("seed", range(500, 530))
def test_never_worse_than_where_it_started(seed):
    made = job(seed)
    outcome = arrange(made.problem, LITTLE, start=made.timetable)
    assert faults(made.problem, outcome.timetable) == ()
    assert rank(outcome.measure) <= rank(measure(made.problem, made.timetable))


@pytest.mark.parametrize("seed", range(0, 40, 8))
def test_the_same_seed_gives_the_same_timetable(seed):
    made = job(seed)
    assert arranged(made, 3).timetable == arranged(made, 3).timetable
