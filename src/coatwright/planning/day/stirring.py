"""Mixes made no sooner than they are wanted: paint that stands gets no better."""

from collections.abc import Sequence
from dataclasses import replace

from coatwright.engines.timetable.checking import measure
from coatwright.engines.timetable.problem import (
    Goal,
    Mix,
    Outcome,
    Pot,
    Problem,
    Span,
    Timetable,
)


def stirred(problem: Problem, outcome: Outcome, goal: Goal, now: int = 0) -> Outcome:
    """The outcome with its mixes made late, and judged again: a day whose first work was a mix
    begins later. As it was where late mixes keep people longer (the next morning's pot)."""
    late = stirred_late(problem, outcome.timetable, now)
    judged = measure(problem, late)._replace(moved=outcome.measure.moved)
    more = judged.manned - outcome.measure.manned
    if more > 0:
        return outcome
    values = tuple(
        value + weights.manned * more for value, weights in zip(outcome.values, goal, strict=True)
    )
    bounds = tuple(min(pair) for pair in zip(outcome.bounds, values, strict=True))
    return replace(outcome, timetable=late, measure=judged, values=values, bounds=bounds)


def stirred_late(problem: Problem, timetable: Timetable, now: int = 0) -> Timetable:
    """The same timetable with every mix from `now` on made as late as who stirs it is free.

    The last first, so that one mix can follow another out of the way. Nothing else moves.
    """
    pots = {pot.key: pot for pot in problem.pots}
    mixes = list(timetable.mixes)
    for at in sorted(range(len(mixes)), key=lambda at: -mixes[at].start):
        if mixes[at].start >= now:
            others = [*mixes[:at], *mixes[at + 1 :]]
            mixes[at] = _late(mixes[at], pots[mixes[at].pot], (problem, timetable, others))
    return Timetable(timetable.slots, tuple(sorted(mixes, key=lambda mix: (mix.start, mix.pot))))


def _late(mix: Mix, pot: Pot, among: tuple[Problem, Timetable, Sequence[Mix]]) -> Mix:
    problem, timetable, others = among
    slots = timetable.slots
    jobs = [(slot.start, slot.end, slot.people) for slot in slots.values()]
    jobs += [(one.start, one.end, one.people) for one in others]
    busy: list[Span] = [(a, b) for a, b, who in jobs if set(who) & set(mix.people)]
    busy += [span for p in problem.people if p.key in mix.people for span in p.away]
    start = min(slots[key].start for key in mix.serves) - pot.stand - pot.mixing
    while start > mix.start and not _free(problem, busy, (start, start + pot.mixing)):
        start -= 1
    if start <= mix.start:
        return mix
    return mix._replace(start=start, end=start + pot.mixing)


def _free(problem: Problem, busy: Sequence[Span], span: Span) -> bool:
    low, high = span
    opened = any(a <= low and high <= b for a, b in problem.open)
    return opened and not any(a < high and b > low for a, b in busy)
