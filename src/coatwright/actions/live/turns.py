"""What of a day plan is done, under way and next: its entries joined with the record's events.

An entry and an event that say the same work belong together: the coats by area, product and number,
other work by area and act, the first event to the first entry, the second to the second.
"""

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import Any, Literal, NamedTuple

from coatwright.planning.day.plan import DayPlan, Entry
from coatwright.record.corrections import Happening as Stood

State = Literal["planned", "begun", "done"]
Name = tuple[str, ...]
"""What work is: two pieces of the same name are the same work at different times."""

_DONE = {"degreased": "degrease", "rubbed down": "abrade", "stripped": "strip"}


Dated = tuple[date, int]
"""A date, and which day of a plan it was."""


class Noted(NamedTuple):
    """Somebody noted it: in which event, when and who."""

    event: str
    at: datetime
    who: str


class Pair(NamedTuple):
    """Begun and done of one piece of work, as noted."""

    begun: Noted | None
    done: Noted | None

    @property
    def first(self) -> Noted:
        """What was noted of it first."""
        noted = self.begun or self.done
        assert noted is not None  # a pair is only ever made of one of the two
        return noted


@dataclass(frozen=True, slots=True)
class Turn:
    """One entry of the day plan as it goes: when it is to be, and what was noted of it."""

    entry: Entry
    start: datetime
    end: datetime
    begun: Noted | None = None
    done: Noted | None = None

    @property
    def state(self) -> State:
        """How far it has got."""
        return "done" if self.done else "begun" if self.begun else "planned"

    @property
    def last(self) -> Noted | None:
        """What was noted of it last."""
        return self.done or self.begun

    def late(self, now: datetime) -> float:
        """How long ago it should have begun, or been done if it is begun [s]; 0 if it is done."""
        if self.state == "done":
            return 0.0
        return (now - (self.end if self.begun else self.start)).total_seconds()


class Calendar(NamedTuple):
    """The moments of a day plan, whose times count from a midnight. first: that midnight, local."""

    first: datetime

    def moment(self, seconds: float) -> datetime:
        """The moment of a time of the plan [s]."""
        return (self.first + timedelta(seconds=seconds)).astimezone()

    def seconds(self, moment: datetime) -> float:
        """The time of the plan [s] of a moment."""
        return (moment.astimezone().replace(tzinfo=None) - self.first).total_seconds()

    def day(self, moment: datetime) -> int:
        """Which day of the plan a moment lies in, counted from 1."""
        return (moment.astimezone().date() - self.first.date()).days + 1


def turns_of(
    days: DayPlan, events: Iterable[Stood], now: datetime, known: Dated | None = None
) -> tuple[Calendar, tuple[Turn, ...]]:
    """Every piece of work with what was noted of it, in order of time, and on which dates it is.

    known: which day of the plan a date was, if it has been planned anew.
    """
    entries = [one for one in days.entries if one.kind in ("work", "spray")]
    noted = _with_mixes(days, _joined(entries, events))
    calendar = _calendar(days, {one.key: one for one in entries}, noted, (now, known))
    return calendar, tuple(_turn(one, noted.get(one.key), calendar) for one in entries)


def _with_mixes(days: DayPlan, noted: Mapping[str, Pair]) -> Mapping[str, Pair]:
    """The same, with every mix made of which something has been sprayed."""
    found = dict(noted)
    for mix in days.mixes:
        key, used = f"mix.{mix.key}", [noted[one].first for one in mix.serves if one in noted]
        before = found.get(key, Pair(None, None))
        if used and before.done is None:
            found[key] = before._replace(done=used[0])
    return found


def _turn(entry: Entry, pair: Pair | None, calendar: Calendar) -> Turn:
    start, end = calendar.moment(entry.start.value), calendar.moment(entry.end.value)
    return Turn(entry, start, end, *(pair or ()))


def _joined(entries: Sequence[Entry], events: Iterable[Stood]) -> dict[str, Pair]:
    pairs = _pairs(events)
    counts: dict[Name, int] = defaultdict(int)
    found = {}
    for entry in entries:
        name = name_of(entry)
        mine = pairs.get(name, [])
        if counts[name] < len(mine):
            found[entry.key] = mine[counts[name]]
        counts[name] += 1
    return found


def _pairs(events: Iterable[Stood]) -> Mapping[Name, list[Pair]]:
    """What was noted of every piece of work, in order of time."""
    found: dict[Name, list[Pair]] = defaultdict(list)
    for event in events:
        told = _told_by(event)
        if told is None:
            continue
        name, ends = told
        noted, mine = Noted(event.id, event.at, event.who), found[name]
        open_yet = bool(mine) and mine[-1].done is None
        if ends and open_yet:
            mine[-1] = mine[-1]._replace(done=noted)
        elif ends:
            mine.append(Pair(None, noted))
        elif not open_yet:
            mine.append(Pair(noted, None))
    return found


def name_of(entry: Entry) -> Name:
    """What the work of an entry is."""
    if entry.coat:
        return ("coat", entry.area, entry.product, str(entry.coat))
    return _named(entry.act, entry.area, entry.product)


def _named(act: str, area: str, product: str) -> Name:
    if act == "mix":
        return ("mix", product)
    if act.startswith(("abrade", "block")):
        return ("abrade", area)
    if act == "degrease" or act.startswith("strip"):
        return (act.split()[0], area)
    return (act, area, product)


def _told_by(event: Stood) -> tuple[Name, bool] | None:
    """What work an event is about, and whether it ends it; None: about none."""
    body: Any = event.body
    if body.kind in ("coat begun", "coat done"):
        name = ("coat", event.area, body.product, str(body.coat))
        return name, body.kind == "coat done"
    if body.kind in ("work begun", "work done"):
        return _named(body.act, event.area, body.product), body.kind == "work done"
    if body.kind == "mixed":
        return ("mix", body.product), True
    if body.kind in _DONE:
        return (_DONE[body.kind], event.area), True
    return None


def _calendar(
    days: DayPlan,
    entries: Mapping[str, Entry],
    noted: Mapping[str, Pair],
    when: tuple[datetime, Dated | None],
) -> Calendar:
    """Which date the first day is.

    A plan without a date begins with the first work noted; days on which nothing was done, though
    something was to be, are not counted.
    """
    if days.start:
        return Calendar(midnight(date.fromisoformat(days.start)))
    today, known = when[0].astimezone().date(), when[1]
    rows = sorted((pair.first.at.astimezone().date(), entries[key].day)
                  for key, pair in noted.items())  # fmt: skip
    last = next((row for row in rows if row[0] == rows[-1][0]), None)
    if known and (last is None or known[0] >= last[0]):
        last = known
    if last is None:
        return Calendar(midnight(today))
    day = last[1] + (today - last[0]).days
    left = [one.day for key, one in entries.items() if key not in noted or not noted[key].done]
    if last[0] != today and left:
        day = min(day, min(left))
    return Calendar(midnight(today - timedelta(days=day - 1)))


def midnight(day: date) -> datetime:
    """The first moment of a date, local."""
    return datetime(day.year, day.month, day.day)
