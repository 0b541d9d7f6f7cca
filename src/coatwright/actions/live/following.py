"""The live day: where everybody stands, and the rest of it planned anew when it runs late."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any, Final

from coatwright.actions.live.clocks import Clock, clocks_of
from coatwright.actions.live.turns import Calendar, Turn, turns_of
from coatwright.actions.shop import Opened, Shop
from coatwright.planning.day.plan import DayPlan, Entry
from coatwright.planning.plan import Plan
from coatwright.record.corrections import standing

LATE: Final = 600.0
"""From so many seconds behind on the rest of the day is planned anew."""
SECONDS: Final = 0.8
"""How long a better rest of the day is looked for."""
HEARD: Final = 40
"""How many of the last events a day names."""

_OLD_PAINT: Final = ("abrade old", "strip", "strip thin", "test", "test patch")


@dataclass(frozen=True)
class Live:
    """The day of a job at a moment. behind: by how much the latest work is late [s], 0 if none.

    heard: names of the events that it knows, those of the last.
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

    @property
    def today(self) -> int:
        """Which day of the plan it is, counted from 1."""
        return self.calendar.day(self.now)

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
    days, plan = shop.days_known(key), shop.planned(key)
    if days is None or plan is None:
        return None
    now, opened = now or shop.clock(), shop.open(key)
    events = shop.record.events(key)
    stood, heard = standing(events).events, tuple(event.id for event in events[-HEARD:])
    calendar, turns = turns_of(days, stood, now, shop.replanned.get(opened.name))
    clocks = clocks_of(opened.state, plan, turns, now)
    behind = max((turn.late(now) for turn in turns if turn.entry.state == "planned"), default=0.0)
    return Live(opened, days, plan, now, calendar, turns, clocks, max(behind, 0.0), heard)


def arrange(shop: Shop, key: str) -> None:
    """Have the days arranged: takes a while the first time."""
    shop.days(key)


def is_late(live: Live) -> bool:
    """Whether the rest is to be planned anew by itself: not at once again, nor in vain."""
    anew = live.planned_anew
    fresh = anew is not None and (live.now - anew).total_seconds() < LATE
    return live.behind > LATE and live.days.feasible and not fresh


def plan_anew(shop: Shop, key: str, now: datetime | None = None) -> Live | None:
    """Plan the rest of the days anew from now with what has happened, and keep that."""
    from coatwright.planning.day.days import replan  # loads the solver

    with shop.replanning:
        live = look(shop, key, now)
        if live is None:
            return None
        moment = max(live.calendar.seconds(live.now), 0.0)
        happened = happenings(live, moment)
        when = live.now.astimezone().date(), live.today
        shop.keep_days(live.opened, replan(live.days, moment, happened, SECONDS), when)
    return look(shop, key, now)


def happenings(live: Live, now: float) -> list[Any]:
    """What has happened of a day plan by a time of it, in its own times [s]."""
    from coatwright.planning.day.anew.past import Happening

    found, waiting, calendar = [], _unmixed(live, now), live.calendar
    for turn in live.turns:
        entry = turn.entry
        if turn.state == "planned":
            if entry.start.value < now or entry.key in waiting:
                found.append(Happening(entry.key, None))
            continue
        start = _start(turn, entry, calendar)
        end = calendar.seconds(turn.done.at) if turn.done else None
        start = min(max(start, 0.0), max(now - 60.0, 0.0))
        found.append(
            Happening(entry.key, start, None if end is None else min(max(end, start), now))
        )
    return found


def _unmixed(live: Live, now: float) -> set[str]:
    """Coats whose mix was to be made by now and has not been: they wait with it."""
    turns = {turn.entry.key: turn for turn in live.turns}
    late = [
        mix.serves
        for mix in live.days.mixes
        if mix.start.value < now and turns[f"mix.{mix.key}"].state != "done"
    ]
    return {key for serves in late for key in serves}


def _start(turn: Turn, entry: Entry, calendar: Calendar) -> float:
    """When it was begun; if nobody noted that, as long before its end as it was to take."""
    if turn.begun is not None:
        return calendar.seconds(turn.begun.at)
    assert turn.done is not None
    return calendar.seconds(turn.done.at) - entry.work.value
