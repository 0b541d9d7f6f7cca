"""Random days, begun and arranged anew: what happened stays, the rest breaks nothing new."""

import random
from functools import cache

import pytest

from coatwright.engines.timetable.arranging import DAYS_MOVES_MIXES, Budget, arrange, rearrange
from coatwright.engines.timetable.checking import faults, measure
from coatwright.engines.timetable.clashes import demands, only, without
from coatwright.engines.timetable.problem import Mix, Problem, Timetable
from coatwright.errors import NotConverged
from properties.timetable.jobs import job

LITTLE = Budget(seconds=60.0, effort=0.02)
ANEW = Budget(seconds=60.0, effort=0.02, goal=DAYS_MOVES_MIXES)
SEEDS = range(600, 640)


@cache
def begun(seed: int) -> tuple[Problem, Timetable, int]:
    made = job(seed)
    was = arrange(made.problem, LITTLE, start=made.timetable).timetable
    starts = sorted(slot.start for slot in was.slots.values())
    return made.problem, was, random.Random(seed).randint(starts[0] + 1, starts[-1])


def past(was: Timetable, now: int) -> Timetable:
    """What had begun, and of the mixes that had, whom they had served."""
    slots = {key: slot for key, slot in was.slots.items() if slot.start < now}
    return Timetable(slots, tuple(_had_served(mix, slots) for mix in was.mixes if mix.start < now))


def _had_served(mix: Mix, slots: dict[str, object]) -> Mix:
    return mix._replace(serves=tuple(key for key in mix.serves if key in slots))


def loosened(problem: Problem) -> Problem:
    """Without what a delay can break."""
    ends = {"latest", "most", "life", "horizon"}
    return without(problem, [demand for demand in demands(problem) if demand.kind in ends])


@pytest.mark.parametrize("seed", SEEDS)
def test_nothing_moves_when_nothing_went_wrong(seed):
    problem, was, now = begun(seed)
    again = rearrange(problem, was, now, ANEW)
    assert faults(problem, again.timetable) == ()
    assert past(again.timetable, now) == past(was, now)
    # A day saved is worth moving for, and a search may come upon one that the first had not.
    if again.measure.days == measure(problem, was).days:
        assert again.measure.moved == 0
        starts = {key: slot.start for key, slot in again.timetable.slots.items()}
        assert starts == {key: slot.start for key, slot in was.slots.items()}
    else:
        assert again.measure.days < measure(problem, was).days


@pytest.mark.parametrize("seed", SEEDS)
def test_a_step_that_took_longer(seed):
    problem, was, now = begun(seed)
    before = past(was, now).slots
    late = max(before, key=lambda key: before[key].end)
    more = random.Random(seed).randint(1, 4)
    slots = {**was.slots, late: was.slots[late]._replace(end=was.slots[late].end + more)}
    happened = Timetable(slots, was.mixes)
    try:
        again = rearrange(problem, happened, now, ANEW).timetable
    except NotConverged as error:
        assert error.what.startswith("no timetable exists")  # noqa: PT017
        problem = loosened(problem)
        again = rearrange(problem, happened, now, ANEW).timetable
    assert past(again, now) == past(happened, now)
    assert all(slot.start >= now for key, slot in again.slots.items() if key not in before)
    known = set(faults(only(problem, set(before)), past(happened, now)))
    # Paint that was mixed for work now too late for it is poured away; that too has happened.
    known |= {
        f"the mixing of '{mix.pot}' at {mix.start} serves nothing"
        for mix in again.mixes
        if mix.start < now
    }
    assert set(faults(problem, again)) <= known


def pots_at(problem: Problem, was: Timetable, now: int, draw: random.Random) -> Timetable:
    """The same, the pots mixed by now holding, losing and living as drawn, and perhaps more."""
    mixes = []
    for mix in was.mixes:
        pot = next(pot for pot in problem.pots if pot.key == mix.pot)
        amounts = dict(pot.amounts)
        if mix.start >= now:
            mixes.append(mix)
            continue
        least = sum(amounts[key] for key in mix.serves if was.slots[key].start < now)
        holds = draw.randint(least, pot.capacity)
        lost = draw.choice([0, draw.randint(0, holds - least)])
        # What has been begun is painted with it: it lives at least until that is done.
        until = [was.slots[key].end for key in mix.serves if was.slots[key].start < now]
        gone = draw.choice([None, max([now, *until]) + draw.randint(0, pot.life)])
        if gone is not None and gone > mix.start + pot.life:
            gone = None
        mixes.append(mix._replace(holds=holds, lost=lost, gone=gone))
    first = problem.open[0][0]
    for pot in problem.pots:
        if draw.random() < 0.4 and first + pot.mixing < now:
            end = draw.randint(first + pot.mixing, now)
            mixes.append(Mix(pot.key, end - pot.mixing, end, (), (), draw.randint(1, pot.capacity)))
    return Timetable(was.slots, tuple(sorted(mixes, key=lambda mix: mix.start)))


@pytest.mark.parametrize("seed", SEEDS)
def test_pots_that_are_not_as_planned(seed):
    """Each holds less, has lost some or goes off sooner; some stand there that no plan had."""
    problem, was, now = begun(seed)
    draw = random.Random(seed)
    happened = pots_at(problem, was, now, draw)
    try:
        again = rearrange(problem, happened, now, ANEW).timetable
    except NotConverged as error:
        assert error.what.startswith("no timetable exists")  # noqa: PT017
        ends = {"latest", "most", "horizon"}
        problem = without(problem, [one for one in demands(problem) if one.kind in ends])
        again = rearrange(problem, happened, now, ANEW).timetable
    before = past(happened, now)
    assert past(again, now) == before
    assert all(slot.start >= now for key, slot in again.slots.items() if key not in before.slots)
    known = set(faults(only(problem, set(before.slots)), before))
    # By whom and when a pot nobody had planned was mixed is a fact, and it may be for nothing.
    mixed = tuple(f"the mixing of '{m.pot}' at {m.start} " for m in again.mixes if m.start < now)
    facts = ("serves nothing", "is given 0", "while the shop is shut")
    new = set(faults(problem, again)) - known
    assert {one for one in new if not (one.startswith(mixed) and one.endswith(facts))} == set()
