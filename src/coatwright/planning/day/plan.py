"""What the day plan says, as plain frozen data made of Figures.

Every clock time is a Figure of purpose "hours": seconds from the midnight before the first day.
"""

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Literal

from coatwright.figures import Figure
from coatwright.planning.plan import Caution

if TYPE_CHECKING:
    from coatwright.planning.day.workings import Kept

Kind = Literal["work", "spray", "wait", "rest"]
State = Literal["planned", "begun", "done"]


@dataclass(frozen=True, slots=True)
class Stretch:
    """An unbroken part of a piece of work, between two breaks."""

    start: Figure
    end: Figure


@dataclass(frozen=True, slots=True)
class Entry:
    """One piece of work, drying time or rest.

    area is "" for what belongs to no area (cleaning the gun, a break); patch "" means all of the
    area. act is its short name (degrease, abrade, mask, test, coat, guide coat, block, clean gun,
    dry, break); coat counts from 1, 0 where it is no coat. people and tools hold keys, mix the key
    of the DayMix it takes its paint from. work is the attended time, less than end - start where
    it is laid down for a break: then parts has the stretches. set names the areas done in one go.
    cautions are sentences that must stand beside it.
    """

    key: str
    kind: Kind
    area: str
    area_title: str
    patch: str
    product: str
    act: str
    text: str
    people: tuple[str, ...]
    start: Figure
    end: Figure
    work: Figure
    day: int
    parts: tuple[Stretch, ...] = ()
    tools: tuple[str, ...] = ()
    mix: str = ""
    coat: int = 0
    set: str = ""
    state: State = "planned"
    cautions: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class DayMix:
    """One pot: when it is mixed, when it may be sprayed, when it is past use, and for what."""

    key: str
    product: str
    title: str
    people: tuple[str, ...]
    start: Figure
    end: Figure
    ready: Figure
    gone: Figure | None
    volume: Figure
    pot_life: Figure | None
    serves: tuple[str, ...]
    day: int
    state: State = "planned"
    cautions: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class DayWindow:
    """When the next layer may go on a layer of an area, as planned, and when it does.

    closes is None where the sheet sets no limit; used None where nothing follows. kept: the next
    layer goes on inside the window (or after rubbing down, which opens it anew). lapse says what
    is done where the plan lets it close, and at what price.
    """

    key: str
    area: str
    area_title: str
    product: str
    title: str
    laid: Figure
    opens: Figure
    best: Figure
    closes: Figure | None
    used: Figure | None
    kept: bool
    past: str
    why: str
    lapse: str = ""
    price: Figure | None = None


@dataclass(frozen=True, slots=True)
class DayPerson:
    """Somebody who works: hours of work over all days, and what share of the time present."""

    key: str
    title: str
    work: Figure
    busy: Figure


@dataclass(frozen=True, slots=True)
class Day:
    """One day. number counts from 1; date "" without a calendar; begins and ends None: nothing
    is done that day (it dries)."""

    key: str
    number: int
    date: str
    title: str
    opens: Figure
    closes: Figure
    begins: Figure | None
    ends: Figure | None
    work: Figure
    waiting: Figure
    mixes: Figure
    breaks: tuple[Stretch, ...]
    summary: str
    cautions: tuple[Caution, ...] = ()


@dataclass(frozen=True, slots=True)
class DayGoal:
    """One of the things made small, in their order: its value, the least it could be, the gap."""

    key: str
    title: str
    value: Figure
    bound: Figure
    gap: Figure
    proven: bool


@dataclass(frozen=True, slots=True)
class DayClash:
    """Why no day works: what cannot hold together, each in plain words, and the way out."""

    text: str
    cannot: tuple[str, ...]
    proven: bool
    way_out: str
    give_up: tuple[str, ...] = ()
    price: Figure | None = None


@dataclass(frozen=True, slots=True)
class DayPlan:
    """All steps of all areas over one or several days.

    start: the date of the first day, "" without one. With a clash there are no entries. proof is
    the sentence that says what is proven. changes: what a replanning changed, in sentences.
    """

    title: str
    start: str
    days: tuple[Day, ...]
    people: tuple[DayPerson, ...]
    entries: tuple[Entry, ...]
    mixes: tuple[DayMix, ...]
    windows: tuple[DayWindow, ...]
    day_count: Figure
    waiting: Figure
    mix_count: Figure
    ends: Figure | None
    goals: tuple[DayGoal, ...]
    proven: bool
    proof: str
    clash: DayClash | None = None
    rules: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()
    cautions: tuple[Caution, ...] = ()
    changes: tuple[str, ...] = ()
    workings: "Kept | None" = field(default=None, repr=False, compare=False)

    @property
    def feasible(self) -> bool:
        """Whether there is a day that works."""
        return self.clash is None
