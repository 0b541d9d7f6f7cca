"""What has happened of a day plan by a moment, told from the record in the plan's own times."""

from collections.abc import Container, Iterable, Iterator, Mapping
from datetime import datetime, time, timedelta
from typing import Any, Final, NamedTuple

from coatwright.actions.live.turns import Calendar, Dated, Turn, midnight
from coatwright.planning.day.anew.past import Happening, News
from coatwright.planning.day.anew.pots import Stirred
from coatwright.planning.day.plan import Entry
from coatwright.record.corrections import Happening as Stood
from coatwright.record.state import JobState, LaidCoat, Mix

STIRRING: Final = 300.0
"""How long a mix took that nobody noted the beginning of [s] (assumption)."""


class Past(NamedTuple):
    """What there is to tell of a day: every piece of work, what is true of the job, the calendar.

    paints: keys of what is mixed by the plan.
    """

    turns: tuple[Turn, ...]
    state: JobState
    calendar: Calendar
    paints: frozenset[str]


def true_calendar(turns: Iterable[Turn], calendar: Calendar, known: Dated | None) -> Calendar:
    """The calendar in which as much time has gone by as really has.

    The one that is shown leaves out days on which nothing was done; paint dries on those too.
    """
    if known is not None:
        return Calendar(midnight(known[0] - timedelta(days=known[1] - 1)))
    noted = [
        (one.at.astimezone().date(), turn.entry.day)
        for turn in turns
        for one in (turn.begun, turn.done)
        if one is not None
    ]
    if not noted:
        return calendar
    first, day = min(noted)
    return Calendar(min(calendar.first, midnight(first - timedelta(days=day - 1))))


def happened_by(told: Past, now: float) -> list[News]:
    """Everything that has been begun, and what was to be by now [s] and was not; and the pots."""
    found: list[News] = []
    for turn in told.turns:
        if turn.state == "planned":
            if turn.entry.start.value < now:
                found.append(Happening(turn.entry.key, None))
        elif turn.entry.act != "mix":
            found.append(_of(turn, told.calendar, now))
    return [*found, *_pots(told, now)]


def _of(turn: Turn, calendar: Calendar, now: float) -> Happening:
    end = calendar.seconds(turn.done.at) if turn.done else None
    start = min(max(_start(turn, turn.entry, calendar), 0.0), max(now - 60.0, 0.0))
    return Happening(turn.entry.key, start, None if end is None else min(max(end, start), now))


def _start(turn: Turn, entry: Entry, calendar: Calendar) -> float:
    """When it was begun; if nobody noted that, as long before its end as it was to take."""
    if turn.begun is not None:
        return calendar.seconds(turn.begun.at)
    assert turn.done is not None
    return calendar.seconds(turn.done.at) - entry.work.value


# Pots


def _pots(told: Past, now: float) -> Iterator[Stirred]:
    """Every mix that has been begun: those of the plan, then those that it does not have."""
    by_event = {mix.place.event: mix for mix in told.state.mixes.values()}
    sprayed = _sprayed(told)
    matched = set()
    for turn in told.turns:
        if turn.entry.act != "mix" or turn.state == "planned":
            continue
        mix = by_event.get(turn.done.event) if turn.done else None
        matched.add(mix.name if mix else "")
        yield _stirred(told, turn, mix, sprayed.get(mix.name, {}) if mix else {})
    for name, mix in told.state.mixes.items():
        end = told.calendar.seconds(mix.place.at)
        if name not in matched and mix.product in told.paints and end <= now:
            start = end - STIRRING
            gone = _gone(told.calendar, mix, start)
            yield Stirred(mix.product, start, end, "", _volume(mix), sprayed.get(name, {}), gone)


def _stirred(
    told: Past, turn: Turn, mix: Mix | None, sprayed: Mapping[str, float | None]
) -> Stirred:
    """A mix of the plan as it was made; mix None: nothing is noted but that it was."""
    calendar, product = told.calendar, turn.entry.product
    end = calendar.seconds(turn.done.at) if turn.done else None
    start = calendar.seconds(turn.begun.at) if turn.begun else (end or 0.0) - STIRRING
    key = turn.entry.mix
    if mix is None:
        return Stirred(product, start, end, key)
    gone = _gone(calendar, mix, start)
    return Stirred(product, start, end, key, _volume(mix), sprayed, gone)


def _volume(mix: Mix) -> float | None:
    """What was mixed [m3]; None if it was not weighed."""
    return mix.mass / mix.density if mix.density and mix.mass else None


def _gone(calendar: Calendar, mix: Mix, start: float) -> float | None:
    """When it goes off, its life counted from the first stir; or when it was noted to be gone."""
    ends = [] if mix.pot_life is None else [start + mix.pot_life]
    if mix.gone is not None:
        ends.append(calendar.seconds(mix.gone))
    return min(ends, default=None)


def _sprayed(told: Past) -> dict[str, dict[str, float | None]]:
    """By mix, the coats sprayed from it, and what each took [m3] if its cup was weighed."""
    entries = {
        one.event: turn.entry.key
        for turn in told.turns
        if turn.entry.coat
        for one in (turn.begun, turn.done)
        if one is not None
    }
    found: dict[str, dict[str, float | None]] = {}
    for coat in told.state.coats():
        if coat.mix in told.state.mixes and coat.event in entries:
            took = _took(coat, told.state.mixes[coat.mix])
            found.setdefault(coat.mix, {})[entries[coat.event]] = took
    return found


def _took(coat: LaidCoat, mix: Mix) -> float | None:
    """What left the cup for a coat that is done [m3]; None if nobody weighed it."""
    density = mix.density or (coat.planned.density if coat.planned else None)
    if not coat.cup or coat.done is None or density is None:
        return None
    return max(sum(one.before - one.after for one in coat.cup), 0.0) / density


# Who is there


class Absence(NamedTuple):
    """Somebody is away, by key, "" everybody; event is the one that says so."""

    event: str
    person: str
    since: datetime
    until: datetime


def absent(stood: Iterable[Stood], people: Container[str], now: datetime) -> tuple[Absence, ...]:
    """Whoever is noted to be away after a moment, of those who work on the job."""
    found = []
    for event in stood:
        body: Any = event.body
        if body.kind == "away" and (not body.person or body.person in people):
            since = body.since or event.at
            until = body.until or next_morning(since)
            if max(since, now) < until:
                found.append(Absence(event.id, body.person, since, until))
    return tuple(found)


def next_morning(moment: datetime) -> datetime:
    """The midnight after a moment, where it is."""
    local = moment.astimezone()
    return datetime.combine(local.date() + timedelta(days=1), time()).astimezone()
