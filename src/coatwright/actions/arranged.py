"""The days of work as they stand in the record: kept when they are arranged, and found again.

An event says that days were arranged, or the rest of them anew; the timetable lies beside it as an
attached file. The last that stands counts, for the description of the job it was made for.
"""

import json
from collections.abc import Iterable
from datetime import date, datetime, timedelta
from typing import Final, NamedTuple

from coatwright.errors import CoatwrightError
from coatwright.model.conditions.hours import Hours, seconds_of
from coatwright.planning.build import Built
from coatwright.planning.day.plan import DayPlan
from coatwright.record.corrections import standing
from coatwright.record.events import Corrected, DaysArranged, Event
from coatwright.record.store.ledger import Record

NAME: Final = "days.json"
"""How the attached timetable is called."""


AHEAD: Final = 120
"""Days ahead of which it is told whether the shop works on them."""


class Arrangement(NamedTuple):
    """Days that count. event: the name of the one that says so, "" if none does yet.

    when: a date, and which day of the plan it is; None where the plan has dates of its own.
    """

    event: str
    days: DayPlan
    when: tuple[date, int] | None = None


def first_day(hours: Hours, now: datetime) -> date:
    """The day on which work can begin: today, or the next one that is worked if it is over."""
    here = now.astimezone()
    day = here.date()
    if 3600 * here.hour + 60 * here.minute >= seconds_of(hours.closes):
        day += timedelta(days=1)
    week = (day + timedelta(days=count) for count in range(7))
    return next((one for one in week if works(hours, one)), day)


def idle_days(hours: Hours, first: date) -> tuple[int, ...]:
    """Days on which nobody works, counted from 0 at the first; none if the shop never works."""
    found = tuple(n for n in range(AHEAD) if not works(hours, first + timedelta(days=n)))
    return found if len(found) < AHEAD else ()


def works(hours: Hours, day: date) -> bool:
    """Whether a shop with these hours works on a date."""
    return f"{day:%A}" not in hours.closed


def last_arranged(events: Iterable[Event], version: str) -> Event | None:
    """The event that says how the days of a description stand; None if they were never kept."""
    told = [one for one in events if isinstance(one.body, DaysArranged | Corrected)]
    stood = standing(told).events
    known = {one.id: one for one in told}
    mine = [one.id for one in stood if isinstance(one.body, DaysArranged) and one.plan == version]
    return known[mine[-1]] if mine else None


def when_arranged(event: Event) -> tuple[date, int] | None:
    """A date, and which day of the plan it is."""
    body = event.body
    if not isinstance(body, DaysArranged) or not (body.date and body.day):
        return None
    return date.fromisoformat(body.date), body.day


def brought_back(record: Record, event: Event, made: Built) -> DayPlan | None:
    """The days that an event tells of; None if their file is gone or they are for other work."""
    from coatwright.planning.day.anew import keeping  # loads the solver

    try:
        kept = json.loads(record.attachment(event.evidence[0]))
    except (CoatwrightError, IndexError, ValueError):
        return None
    return keeping.brought_back(made.asked, kept, made.plan.cautions)


def attached(record: Record, days: DayPlan) -> tuple[str, ...]:
    """Days kept as a file in the record, named as evidence; () if there are none in them."""
    from coatwright.planning.day.anew import keeping  # loads the solver

    kept = keeping.put_away(days)
    return () if kept is None else (record.attach(keeping.as_text(kept), NAME),)
