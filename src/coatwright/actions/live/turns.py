"""What of a day plan is done, under way and next: its entries joined with the record's events.

An entry and an event that say the same work belong together: the coats by area, product and number,
other work by area and act, the first event to the first entry, the second to the second. Of mixes
that are stirred at the same time, each goes to whom the plan has for it.
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
    titles = {one.key: one.title for one in days.people}
    noted = _with_mixes(days, _joined(entries, events, titles))
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


def _joined(
    entries: Sequence[Entry], events: Iterable[Stood], titles: Mapping[str, str]
) -> dict[str, Pair]:
    left: dict[Name, list[Entry]] = defaultdict(list)
    for entry in entries:
        left[name_of(entry)].append(entry)
    found = {}
    for name, pairs in _pairs(events).items():
        for pair in pairs[: len(left[name])]:
            entry = _whose(left[name], pair.first.who, titles)
            left[name].remove(entry)
            found[entry.key] = pair
    return found


def _whose(free: Sequence[Entry], who: str, titles: Mapping[str, str]) -> Entry:
    """The first entry, or of those that are to go on beside it the one of that person."""
    ends = free[0].end.value
    beside = [one for one in free if one.start.value < ends]
    mine = [one for one in beside if who in one.people or who in map(titles.get, one.people)]
    return mine[0] if mine else free[0]


def _pairs(events: Iterable[Stood]) -> Mapping[Name, list[Pair]]:
    """What was noted of every piece of work, in order of time."""
    found: dict[Name, list[Pair]] = defaultdict(list)
    for event in events:
        told = _told_by(event)
        if told is None:
            continue
        name, ends = told
        noted, mine = Noted(event.id, event.at, event.who), found[name]
        place = _under_way(name, mine, event.who)
        if ends and place is not None:
            mine[place] = mine[place]._replace(done=noted)
        elif ends:
            mine.append(Pair(None, noted))
        elif place is None or (name[0] == "mix" and mine[place].first.who != event.who):
            mine.append(Pair(noted, None))
    return found


def _under_way(name: Name, mine: Sequence[Pair], who: str) -> int | None:
    """Which of the pairs is begun and not done: somebody's own, else the last.

    Two people stir a paint at once; anything else of one name is one piece of work.
    """
    begun = [place for place, pair in enumerate(mine) if pair.done is None]
    if name[0] != "mix":
        return begun[-1] if begun and begun[-1] == len(mine) - 1 else None
    own = [place for place in begun if mine[place].first.who == who]
    found = own or begun
    return found[-1] if found else None


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
