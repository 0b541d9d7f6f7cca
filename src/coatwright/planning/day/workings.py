"""What a day plan was made from, kept so that it can be made anew from any moment."""

from dataclasses import dataclass
from datetime import date, timedelta
from itertools import pairwise

from coatwright.engines.timetable.problem import Mix, Outcome, Problem, Span, Timetable
from coatwright.model.conditions.hours import Hours, seconds_of
from coatwright.planning.day.habits import TICK
from coatwright.planning.day.sets import AreaSet
from coatwright.planning.day.sky import Sky
from coatwright.planning.day.steps import Bout, Maker, Steps
from coatwright.planning.day.works import Asked

MINUTES_A_DAY = 1440


@dataclass(frozen=True)
class Calendar:
    """The hours of a shop over so many days from the first, which has a date or none.

    shut: minutes in which it is closed although it has hours. idle: days, counted from 0, on which
    nobody works; for a plan without a date, which has no weekdays of its own.
    """

    hours: Hours
    first: date | None
    days: int
    shut: tuple[Span, ...] = ()
    idle: tuple[int, ...] = ()

    def date(self, day: int) -> date | None:
        """The date of a day, counted from 0."""
        return self.first + timedelta(days=day) if self.first else None

    def works(self, day: int) -> bool:
        """Whether anybody works that day."""
        on = self.date(day)
        return day not in self.idle if on is None else f"{on:%A}" not in self.hours.closed

    def spans(self) -> tuple[tuple[int, int], ...]:
        """Minutes in which somebody may work, breaks left out."""
        found = []
        for day in range(self.days):
            if self.works(day):
                at = day * MINUTES_A_DAY
                edges = [(0, self.opens), *self.breaks(), (self.closes, 0)]
                found += [
                    (at + before[1], at + after[0])
                    for before, after in pairwise(edges)
                    if before[1] < after[0]
                ]
        for low, high in self.shut:
            found = [
                part
                for a, b in found
                for part in ((a, min(b, low)), (max(a, high), b))
                if part[0] < part[1]
            ]
        return tuple(found)

    def after(self, start: int, work: int) -> int:
        """The minute at which so many open minutes from a start are over."""
        for low, high in self.spans():
            taken = max(high - max(low, start), 0)
            if 0 < work <= taken:
                return max(low, start) + work
            work -= taken
        return start + work

    @property
    def opens(self) -> int:
        """Minute of the day at which work may begin."""
        return round(seconds_of(self.hours.opens) / TICK)

    @property
    def closes(self) -> int:
        """Minute of the day at which it ends."""
        return round(seconds_of(self.hours.closes) / TICK)

    def breaks(self) -> list[tuple[int, int]]:
        """Minutes of the day in which everybody rests."""
        starts = [(round(seconds_of(one.at) / TICK), one.length) for one in self.hours.breaks]
        return [(start, start + round(length / TICK)) for start, length in starts]


@dataclass(frozen=True)
class Workings:
    """Question and answer of one day plan. now: the minute from which it was planned anew."""

    asked: Asked
    calendar: Calendar
    sky: Sky
    maker: Maker
    sets: tuple[AreaSet, ...]
    steps: Steps
    problem: Problem
    outcome: Outcome
    done: frozenset[str] = frozenset()
    begun: frozenset[str] = frozenset()
    now: int = 0

    @property
    def timetable(self) -> Timetable:
        """When everything is done."""
        return self.outcome.timetable

    @property
    def mixes_by_key(self) -> dict[str, Mix]:
        """Mixes by product and number, in order of time."""
        counts: dict[str, int] = {}
        found: dict[str, Mix] = {}
        for mix in sorted(self.timetable.mixes, key=lambda one: (one.start, one.pot)):
            counts[mix.pot] = counts.get(mix.pot, 0) + 1
            found[f"{mix.pot}-{counts[mix.pot]}"] = mix
        return found

    def bout(self, key: str) -> Bout:
        """The bout of that key."""
        return next(bout for bout in self.steps.bouts if bout.key == key)

    def over(self, bout: Bout) -> int:
        """Minutes by which a coat took longer than it was to; below 0 if it was quicker."""
        slot = self.timetable.slots[bout.key]
        return slot.end - slot.start - bout.work if bout.coat else 0


class Kept:
    """The workings inside a day plan: no figures of the plan, so nothing for figures.walk."""

    __slots__ = ("made",)

    def __init__(self, made: Workings) -> None:
        self.made = made
