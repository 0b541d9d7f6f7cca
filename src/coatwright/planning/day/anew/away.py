"""Somebody who is away for a while, or a shop that closes early."""

import math
from collections.abc import Iterable, Sequence
from dataclasses import replace
from typing import NamedTuple

from coatwright.engines.timetable.problem import Person, Span
from coatwright.errors import NotFound
from coatwright.planning.day import habits
from coatwright.planning.day.problem import people_of
from coatwright.planning.day.told.clashing import moment
from coatwright.planning.day.workings import Calendar, Workings
from coatwright.sentences import say


class Away(NamedTuple):
    """From when until when [s from the first midnight] somebody is away, by key; "" everybody."""

    person: str
    start: float
    end: float

    @property
    def span(self) -> Span:
        """The whole minutes of it."""
        return math.floor(self.start / habits.TICK), math.ceil(self.end / habits.TICK)


def with_absences(made: Workings, absences: Sequence[Away]) -> Workings:
    """The question of a plan with these absences and no others.

    Where everybody is away the shop is shut: what may be broken off goes on the next day. Raises
    NotFound for somebody nobody knows.
    """
    known = {person.key for person in made.problem.people}
    for one in absences:
        if one.person and one.person not in known:
            raise NotFound(f"nobody here is called '{one.person}'", instead="use a key of a person")
    calendar = replace(made.calendar, shut=tuple(sorted(_spans(absences, ""))))
    people = tuple(
        replace(person, away=tuple(_joined(_spans(absences, person.key))))
        for person in people_of(made.asked)
    )
    opened = calendar.spans() or made.problem.open
    problem = replace(made.problem, people=people, open=opened)
    return replace(made, calendar=calendar, problem=problem)


def with_idle_days(made: Workings, idle: tuple[int, ...]) -> Workings:
    """The question of a plan with these days on which nobody works; a dated one knows its own."""
    if made.calendar.first is not None or idle == made.calendar.idle:
        return made
    calendar = replace(made.calendar, idle=idle)
    problem = replace(made.problem, open=calendar.spans() or made.problem.open)
    return replace(made, calendar=calendar, problem=problem)


def _spans(absences: Iterable[Away], person: str) -> list[Span]:
    return [one.span for one in absences if one.person == person and one.span[0] < one.span[1]]


def _joined(spans: list[Span]) -> list[Span]:
    found: list[Span] = []
    for low, high in sorted(spans):
        if found and low <= found[-1][1]:
            found[-1] = found[-1][0], max(high, found[-1][1])
        else:
            found.append((low, high))
    return found


def told_of_absences(
    before: Workings, after: Workings, now: int, titles: dict[str, str]
) -> list[str]:
    """Whoever is away from now on that was not before, in sentences."""
    found: list[str] = [
        say("The shop is closed from {low} to {high}.", low=moment(low), high=moment(high))
        for low, high in _more(before.calendar, after.calendar)
        if high > now
    ]
    known = {person.key: person for person in before.problem.people}
    for person in after.problem.people:
        found += [
            say(
                "{person} is away from {low} to {high}.",
                person=titles.get(person.key, person.key),
                low=moment(low),
                high=moment(high),
            )
            for low, high in _new(known.get(person.key), person)
            if high > now
        ]
    return found


def _more(before: Calendar, after: Calendar) -> list[Span]:
    return [span for span in after.shut if span not in before.shut]


def _new(before: Person | None, after: Person) -> list[Span]:
    return [span for span in after.away if before is None or span not in before.away]
