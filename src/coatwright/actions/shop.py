"""The shop: one record, the jobs in it, and their plans, each computed once for each version."""

import hashlib
import threading
import tomllib
from collections import Counter, OrderedDict
from collections.abc import Callable, Hashable
from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta
from functools import partial
from itertools import count
from pathlib import Path
from typing import Any, Final, Generic, TypeVar

from coatwright.actions.arranged import (
    Arrangement,
    attached,
    brought_back,
    first_day,
    idle_days,
    last_arranged,
    when_arranged,
)
from coatwright.actions.plans import start_job
from coatwright.actions.workshop import Bench, bench_of
from coatwright.errors import InputError, NotFound
from coatwright.intake.edits import edited, key_of
from coatwright.intake.jobfile import open_text, titled
from coatwright.intake.toml.places import Place
from coatwright.model.quantity import Part
from coatwright.planning.build import Built, built
from coatwright.planning.day.plan import DayPlan
from coatwright.planning.plan import Plan
from coatwright.record.events import Corrected, Described, Event, Happened, said
from coatwright.record.state import JobState
from coatwright.record.store.ledger import Record
from coatwright.sentences import say

Made = TypeVar("Made")

LAST: Final = -1
"""In a place: after the last entry of the list."""

DAY_SECONDS: Final = 6.0
"""How long good days of work are looked for."""

KEPT: Final = 8
"""Plans kept ready, those used last."""

LOOKS: Final = 64
"""Other things kept ready."""


@dataclass(frozen=True)
class Opened:
    """A job as it is described now. version names that description, as events name their plan."""

    key: str
    bench: Bench
    version: str
    state: JobState

    @property
    def name(self) -> str:
        """Tells it from other jobs, and from itself as it was described before."""
        return f"{self.key} {self.version}"


@dataclass(frozen=True)
class JobCard:
    """One job in the list of the shop."""

    key: str
    title: str
    colour: str
    last: datetime | None


class Kept(Generic[Made]):
    """What was made for a version, those used last; safe to use from several threads."""

    def __init__(self, most: int = KEPT) -> None:
        self._most = most
        self._made: OrderedDict[Hashable, Made] = OrderedDict()
        self._lock = threading.Lock()
        self._locks: dict[Hashable, threading.Lock] = {}

    def known(self, version: Hashable) -> Made | None:
        """What was made for a version, if it has been."""
        with self._lock:
            if version in self._made:
                self._made.move_to_end(version)
            return self._made.get(version)

    def put(self, version: Hashable, made: Made) -> None:
        """Let something count for a version from now on."""
        with self._lock:
            self._made[version] = made
            self._made.move_to_end(version)
            while len(self._made) > self._most:
                self._made.popitem(last=False)

    def get(self, version: Hashable, make: Callable[[], Made]) -> Made:
        """What belongs to a version; made once, however many ask for it."""
        with self._lock:
            mine = self._locks.setdefault(version, threading.Lock())
        with mine:
            found = self.known(version)
            if found is None:
                found = make()
                self.put(version, found)
        with self._lock:
            self._locks.pop(version, None)
        return found


class Shop:
    """Every job of a workshop. Safe to use from several threads at once."""

    def __init__(
        self,
        record: Record,
        folder: Path,
        clock: Callable[[], datetime] = lambda: datetime.now(UTC),
    ) -> None:
        """record: where events are kept; folder: where the shop's own product sheets lie."""
        self.record = record
        self.folder = folder
        self.clock = clock
        self._benches = Kept[Bench]()
        self._plans = Kept[Built]()
        self._days = Kept[Arrangement]()
        self._cards: dict[str, tuple[int, JobCard | None]] = {}
        self.settling = threading.Lock()
        """Held while a tap is compared with what others tapped."""
        self.replanning = threading.Lock()
        """Held while the rest of the days is planned anew."""
        self._arranged = Kept[Arrangement]()
        self.looks = Kept[Any](LOOKS)
        """What was worked out from a state of the record that its name says; for actions alone."""
        self.worked = Counter[str]()
        """Changes for a job whenever its plan or its days have been computed."""
        self._works = count(1)
        self._listing = threading.Lock()
        self._changing = threading.Lock()
        self._planning = threading.Lock()

    def jobs(self) -> list[str]:
        """Keys of the jobs of the shop."""
        return self.record.jobs()

    def cards(self) -> list[JobCard]:
        """Every job that has been described, the one touched last first.

        A card is made anew only when something has happened to its job.
        """
        with self._listing:
            heads = self.record.heads()
            for key, number in heads.items():
                if self._cards.get(key, (0, None))[0] != number:
                    self._cards[key] = number, self._card(key)
        found = [card for key in heads if (card := self._cards[key][1]) is not None]
        never = datetime.min.replace(tzinfo=UTC)
        return sorted(found, key=lambda card: card.last or never, reverse=True)

    def _card(self, key: str) -> JobCard | None:
        file, last = self.record.outline(key)
        if file is None:
            return None
        told = tomllib.loads(file)
        title, colour = str(told.get("title") or key), str(told.get("colour") or "")
        return JobCard(key, title, colour, last)

    def start(self, title: str, who: str, demo: bool = False) -> str:
        """Begin a job from the starter or, with its own areas, from the invented demo; its key."""
        text = titled(start_job(title, demo), title)
        key = key_of(self.jobs(), title)
        self.write(said(key, who, self.clock(), Described(file=text, what="begun")))
        return key

    def take_in(self, key: str, text: str, who: str) -> None:
        """Take a whole job file as the description of a job. Raises InputErrors of its faults."""
        bench_of(open_text(text, f"{key}.toml"), self.folder)
        self.write(said(key, who, self.clock(), Described(file=text, what="taken from a file")))

    def open(self, key: str, until: datetime | None = None) -> Opened:
        """A job with its state, now or at a moment gone by. Raises NotFound if there is none."""
        state = self.record.state(key, until)
        if state.described is None:
            what = say("there is no job '{key}' in this shop", key=key)
            raise NotFound(what, instead=say("begin it, or open one"))
        text = state.described.file
        version = hashlib.sha256(text.encode()).hexdigest()[:12]
        return Opened(key, self._bench(key, text, version), version, state)

    def change(self, key: str, place: Place, value: Part | str | bool | None, told: Event) -> Event:
        """Change one thing in the description of a job; the event that says so, as stored.

        told gives who and its identity; its body says what changed. Two changes at once are put one
        after the other, each later than the description it builds on, so neither is lost. Raises
        InputErrors if no job comes out.
        """
        if not isinstance(told.body, Described):
            raise InputError("a change of the job is told by a description", field="kind")
        with self._changing:
            opened = self.open(key)
            changed = edited(opened.bench.file, place, value)
            bench_of(changed, self.folder)
            body = Described(file=changed.text, what=told.body.what)
            at = max(self.clock(), _just_after(opened.state))
            said = {"body": body, "plan": opened.version, "at": at}
            return self.write(told.model_copy(update=said))

    def write(self, event: Event) -> Event:
        """Keep an event; the same one again changes nothing."""
        return self.record.write(event)

    def happened(
        self, key: str, who: str, body: Happened, area: str = "", patch: str = ""
    ) -> Event:
        """Keep something that has just happened, under the plan that counts now."""
        event = said(key, who, self.clock(), body, area, patch)
        return self.write(event.model_copy(update={"plan": self.open(key).version}))

    def undo(self, key: str, who: str, event: str, why: str = "taken back") -> Event:
        """Take an event back by another one that says so."""
        return self.write(said(key, who, self.clock(), Corrected(event=event, why=why)))

    def plan(self, key: str) -> Plan:
        """The plan of a job as it is described now: computed once, then kept."""
        return self.built(key).plan

    def built(self, key: str) -> Built:
        """The plan with what it was made from."""
        while True:
            opened = self.open(key)
            bench = opened.bench
            if found := self._plans.known(opened.version):
                return found
            with self._planning:  # a description that was changed meanwhile is not planned at all
                if self.open(key).version == opened.version:
                    made = self._plans.get(opened.version, partial(built, bench.job, bench.shop))
                    self._worked_out(key)
                    return made

    def planned(self, key: str) -> Plan | None:
        """The plan if it has been computed already."""
        found = self._plans.known(self.open(key).version)
        return found.plan if found else None

    def days(self, key: str) -> DayPlan:
        """The days of work of a job as it is described now: arranged once, then kept."""
        from coatwright.planning.day.days import plan_days  # loads the solver

        opened, made = self.open(key), self.built(key)
        if kept := self.arrangement(key):
            return kept.days
        version = opened.version

        def arranged() -> Arrangement:
            hours, asked, when = opened.bench.job.workshop.hours, made.asked, None
            if asked.readings is None:
                when = first_day(hours, self.clock()), 1
                asked = replace(asked, idle=idle_days(hours, when[0]))
            days = plan_days(asked, DAY_SECONDS, made.plan.cautions)
            return Arrangement("", days, when)

        found = self._days.known(version)
        if found is None:
            found = self._days.get(version, arranged)
            self._worked_out(key)
        return found.days

    def arrangement(self, key: str) -> Arrangement | None:
        """The days as they count now: as the record has them, or as arranged if it has none.

        None if they have not been arranged, or the plan they belong to has not been computed.
        """
        opened = self.open(key)
        made = self._plans.known(opened.version)
        event = last_arranged(self.record.events(key), opened.version)
        if made is not None and event is not None:
            known = self._arranged.known(opened.name)
            if known is not None and known.event == event.id:
                return known
            if days := brought_back(self.record, event, made):
                found = Arrangement(event.id, days, when_arranged(event))
                self._arranged.put(opened.name, found)
                return found
        return self._days.known(opened.version) if made else None

    def keep_days(self, opened: Opened, days: DayPlan, told: Event) -> None:
        """Let days count for a job, and keep them in its record with the event that tells it."""
        evidence = attached(self.record, days)
        if evidence:
            event = told.model_copy(update={"plan": opened.version, "evidence": evidence})
            self._arranged.put(opened.name, Arrangement(event.id, days, when_arranged(event)))
            self.write(event)
        self._worked_out(opened.key)

    def _worked_out(self, key: str) -> None:
        """Said once it is kept: who looks after that finds it."""
        self.worked[key] = next(self._works)

    def _bench(self, key: str, text: str, version: str) -> Bench:
        def made() -> Bench:
            return bench_of(open_text(text, f"{key}.toml"), self.folder)

        return self._benches.get(version, made)


def _just_after(state: JobState) -> datetime:
    """A moment later than the description that counts: of two, the later one would win."""
    if state.described is None:
        return datetime.min.replace(tzinfo=UTC)
    return state.described.place.at + timedelta(microseconds=1)
