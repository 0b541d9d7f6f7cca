"""The live day: where everybody stands, and the rest of it planned anew when it runs late."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Final, NamedTuple

from coatwright.actions.arranged import idle_days
from coatwright.actions.live.clocks import Clock, clocks_of
from coatwright.actions.live.happened import Absence, Past, absent, happened_by, true_calendar
from coatwright.actions.live.turns import Calendar, Turn, turns_of
from coatwright.actions.shop import Opened, Shop
from coatwright.errors import InputError, NotFound
from coatwright.model.conditions.hours import Hours as ShopHours
from coatwright.planning.day.plan import DayPlan
from coatwright.planning.plan import Plan
from coatwright.record.corrections import standing
from coatwright.record.events import Away, DaysArranged, MixGone, Sentence, said
from coatwright.sentences import Said, apart, say

LATE: Final = 600.0
"""From so many seconds behind on the rest of the day is planned anew."""
SECONDS: Final = 0.5
"""How long a better rest of the day is looked for."""
HEARD: Final = 40
"""How many of the last events a day names."""

ITSELF: Final = "Coatwright"
"""Who arranges the days when nobody has asked for it."""

_OLD_PAINT: Final = ("abrade old", "strip", "strip thin", "test", "test patch")


@dataclass(frozen=True)
class Live:
    """The day of a job at a moment. behind: by how much the latest work is late [s], 0 if none.

    heard: names of the events that it knows, those of the last. absent: who is away.
    """

    opened: Opened
    days: DayPlan
    plan: Plan
    now: datetime
    calendar: Calendar
    turns: tuple[Turn, ...]
    clocks: tuple[Clock, ...]
    behind: float
    heard: tuple[str, ...] = ()
    absent: tuple[Absence, ...] = ()

    @property
    def today(self) -> int:
        """Which day of the plan it is, counted from 1."""
        return self.calendar.day(self.now)

    @property
    def hours(self) -> ShopHours:
        """When the shop works."""
        return self.opened.bench.job.workshop.hours

    @property
    def falls_on_a_rest(self) -> bool:
        """Whether work still to come lies on a day on which the shop is closed.

        It does when days on which nothing was done are not counted, and the week has moved on.
        """
        today = self.now.astimezone().date()
        ahead = {
            turn.start.astimezone().date()
            for turn in self.turns
            if turn.state == "planned" and turn.entry.people
        }
        return (
            any(day >= today and f"{day:%A}" in self.hours.closed for day in ahead)
            and not self.days.start
        )

    @property
    def people(self) -> Mapping[str, str]:
        """Titles of those who work, by key."""
        return {one.key: one.title for one in self.days.people}

    @property
    def planned_anew(self) -> datetime | None:
        """When the rest was last planned anew, if it was."""
        kept = self.days.workings
        if kept is None or not kept.made.now:
            return None
        return self.calendar.moment(kept.made.now * 60.0)

    def lane(self, person: str) -> tuple[Turn, ...]:
        """What somebody is to do, in order."""
        return tuple(turn for turn in self.turns if person in turn.entry.people)

    def due(self, person: str) -> tuple[Turn, ...]:
        """What somebody is still to do; what is under way comes first."""
        left = [turn for turn in self.lane(person) if turn.state != "done"]
        return tuple(sorted(left, key=lambda turn: turn.state != "begun"))

    def just_done(self, person: str) -> Turn | None:
        """What somebody did last; of two at the same time, what the plan has later."""
        done = [turn for turn in reversed(self.lane(person)) if turn.done]
        return max(done, key=lambda turn: turn.done.at if turn.done else self.now, default=None)

    def cautions(self, turn: Turn) -> tuple[str, ...]:
        """What must be read before it is begun."""
        found = list(turn.entry.cautions)
        if turn.entry.act in _OLD_PAINT:
            found += [one.text for one in self.plan.cautions if one.where == "stripping"]
        if turn.entry.kind == "spray" and turn is self.first_trigger:
            found += [one.text for one in self.plan.cautions if one.where == "air"]
        return tuple(dict.fromkeys(found))

    def before(self, turn: Turn) -> tuple[Turn, ...]:
        """What is to be done first by the plan, and has not been."""
        mix = f"mix.{turn.entry.mix}" if turn.entry.coat else ""
        return tuple(
            one
            for one in self.turns
            if one.state != "done"
            and one.start < turn.start
            and ((turn.entry.area and one.entry.area == turn.entry.area) or one.entry.key == mix)
        )

    def waits_until(self, turn: Turn) -> datetime | None:
        """When what lies under a coat lets it on; None if it does now, or nothing is known."""
        if not turn.entry.coat or turn.state != "planned":
            return None
        ends = [
            moment
            for patch in self.opened.state.area(turn.entry.area).named
            if (window := patch.window) and patch.last_coat
            for moment in (
                window.flashed if patch.last_coat.product == turn.entry.product else window.opens,
            )
            if moment and moment > self.now
        ]
        return max(ends, default=None)

    @property
    def first_trigger(self) -> Turn | None:
        """The first coat to be sprayed today, as long as none has been."""
        sprayed = [turn for turn in self.turns if turn.entry.kind == "spray"]
        today = self.now.astimezone().date()
        if any(turn.last and turn.last.at.astimezone().date() == today for turn in sprayed):
            return None
        return next((turn for turn in sprayed if turn.state == "planned"), None)


def look(shop: Shop, key: str, now: datetime | None = None) -> Live | None:
    """The day as it stands; None if its plan has not been arranged yet."""
    arranged, plan = shop.arrangement(key), shop.planned(key)
    if arranged is None or plan is None:
        return None
    if not arranged.event:
        _keep_first(shop, key)
    now, opened, days = now or shop.clock(), shop.open(key), arranged.days
    events = shop.record.events(key)
    stood, heard = standing(events).events, tuple(event.id for event in events[-HEARD:])
    calendar, turns = turns_of(days, stood, now, arranged.when)
    clocks = clocks_of(opened.state, plan, turns, now)
    behind = max((turn.late(now) for turn in turns if turn.entry.state == "planned"), default=0.0)
    people = {one.key for one in days.people}
    return Live(
        opened, days, plan, now, calendar, turns, clocks, max(behind, 0.0), heard,
        absent(stood, people, now),
    )  # fmt: skip


def arrange(shop: Shop, key: str) -> None:
    """Have the days arranged: takes a while the first time."""
    shop.days(key)


def _keep_first(shop: Shop, key: str) -> None:
    """Keep the days that somebody follows: they are the same whenever they are looked at."""
    with shop.settling:
        arranged = shop.arrangement(key)
        if arranged and not arranged.event and arranged.days.workings:
            said_so = DaysArranged()
            if arranged.when:
                said_so = DaysArranged(date=arranged.when[0].isoformat(), day=arranged.when[1])
            told = said(key, ITSELF, shop.clock(), said_so)
            shop.keep_days(shop.open(key), arranged.days, told)


def is_late(live: Live) -> bool:
    """Whether the rest is to be planned anew by itself: not at once again, nor in vain."""
    anew = live.planned_anew
    fresh = anew is not None and (live.now - anew).total_seconds() < LATE
    wrong = live.behind > LATE or live.falls_on_a_rest
    return wrong and live.days.feasible and not fresh


def plan_anew(shop: Shop, key: str, now: datetime | None = None, who: str = ITSELF) -> Live | None:
    """Plan the rest of the days anew from now with what has happened, and keep that."""
    from coatwright.planning.day.days import Away, replan  # loads the solver

    with shop.replanning:
        live = look(shop, key, now)
        if live is None:
            return None
        past = _past(shop, live)
        moment = max(past.calendar.seconds(live.now), 0.0)
        seconds = past.calendar.seconds
        away = [Away(one.person, seconds(one.since), seconds(one.until)) for one in live.absent]
        idle = idle_days(live.hours, past.calendar.first.date())
        days = replan(live.days, moment, happened_by(past, moment), SECONDS, away, idle)
        day, date = past.calendar.day(live.now), live.now.astimezone().date().isoformat()
        since = DaysArranged(
            since=moment, date=date, day=max(day, 0), changes=tuple(map(str, days.changes)),
            told=tuple(map(_kept, days.changes)),
        )  # fmt: skip
        shop.keep_days(live.opened, days, said(key, who, live.now, since))
    return look(shop, key, now)


def _kept(text: str) -> Sentence:
    """A sentence as the record keeps it."""
    known = text if isinstance(text, Said) else say("{words}", words=text)
    return Sentence.model_validate(apart(known))


def _past(shop: Shop, live: Live) -> Past:
    """What there is to tell of a day, in true time."""
    arranged = shop.arrangement(live.opened.key)
    calendar = live.calendar
    if not live.days.start:
        calendar = true_calendar(live.turns, calendar, arranged.when if arranged else None)
    paints = frozenset(turn.entry.product for turn in live.turns if turn.entry.act == "mix")
    return Past(live.turns, live.opened.state, calendar, paints)


def mix_is_gone(shop: Shop, key: str, who: str, mix: str, why: str = "") -> Live | None:
    """Note that a mix is of no use any more, and plan the rest anew without it.

    Raises NotFound if there is no such mix.
    """
    mixes = shop.open(key).state.mixes
    if mix not in mixes:
        raise NotFound(
            say("there is no mix '{name}' in this job", name=mix),
            instead=say("name one that was mixed"),
        )
    if mixes[mix].gone is None:
        shop.happened(key, who, MixGone(mix=mix, why=why))
    return plan_anew(shop, key, who=who)


class Hours(NamedTuple):
    """From when and until when; None: from now on, and until the next day."""

    since: datetime | None = None
    until: datetime | None = None


TODAY: Final = Hours()
"""From now on, for the rest of the day."""


def leave(shop: Shop, key: str, who: str, person: str = "", hours: Hours = TODAY) -> Live | None:
    """Note that somebody is away, "" everybody, and plan the rest anew without them.

    Raises NotFound for somebody who does not work on this job, InputError for hours that are over
    before they begin.
    """
    live = look(shop, key)
    if live and person and person not in live.people:
        raise NotFound(
            say("nobody here is called '{person}'", person=person),
            instead=say("use {people}", people=", ".join(live.people)),
        )
    if hours.until and hours.until <= (hours.since or shop.clock()):
        raise InputError(
            say("they would be back before they leave"), instead=say("give a later time")
        )
    shop.happened(key, who, Away(person=person, since=hours.since, until=hours.until))
    return plan_anew(shop, key, who=who)


def come_back(shop: Shop, key: str, who: str, event: str) -> Live | None:
    """Take back that somebody is away, and plan the rest anew with them. Raises NotFound.

    It is planned from the days as they were before: those arranged since are taken back too, lest
    everything stay put off.
    """
    left = shop.record.event(event)
    if left.body.kind != "away" or left.job != key:
        raise NotFound(say("event {event} says of nobody that they are away", event=event))
    why = "here after all"
    shop.undo(key, who, event, why)
    for one in standing(shop.record.events(key)).events:
        if one.number > left.number and one.body.kind == "days arranged":
            shop.undo(key, who, one.id, why)
    return plan_anew(shop, key, who=who)
