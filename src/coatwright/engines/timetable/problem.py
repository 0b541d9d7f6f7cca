"""What is to be scheduled, and what a timetable is: plain whole numbers, no calendar date.

Time is counted in ticks from the start of the first day; planning uses minutes. A tick has no unit
here [-]: nothing below knows how long it is.
"""

from dataclasses import dataclass, field
from typing import Final, Literal, NamedTuple

from coatwright.errors import RangeError

Anchor = Literal["start", "end"]
Span = tuple[int, int]
"""From, and until just before [-]."""

NEVER: Final = 10**9
"""Later than any horizon [-]."""


@dataclass(frozen=True, slots=True)
class Task:
    """One piece of attended work; times [-] in ticks.

    work is its duration; people names the skill of each person it takes; tools what it occupies;
    product what is in those tools (a tool must be cleaned before another). split: it may be laid
    down when the shop closes and taken up again. earliest and latest bound its start and end;
    windows, if any, are the only times it may run.
    """

    key: str
    work: int
    people: tuple[str, ...] = ("",)
    tools: tuple[str, ...] = ()
    product: str = ""
    split: bool = False
    earliest: int = 0
    latest: int = NEVER
    windows: tuple[Span, ...] = ()


@dataclass(frozen=True, slots=True)
class Lag:
    """Time between an end of one task and an end of another, at least and at most [-].

    price is what it costs to break `most` (0: it cannot be broken); name says what it is.
    """

    before: str
    after: str
    least: int | None = 0
    most: int | None = None
    leaves: Anchor = "end"
    reaches: Anchor = "start"
    name: str = ""
    price: int = 0


@dataclass(frozen=True, slots=True)
class Apart:
    """Two tasks that may not overlap; gaps [-] after the first and after the second."""

    one: str
    other: str
    after_one: int = 0
    after_other: int = 0
    name: str = ""


@dataclass(frozen=True, slots=True)
class Hold:
    """A tool that belongs to these tasks from the start of the first to the end of the last."""

    tool: str
    tasks: tuple[str, ...]
    name: str = ""


@dataclass(frozen=True, slots=True)
class Pot:
    """A paint that is mixed in pots: the solver says how many, when, and which tasks each serves.

    A task takes its amount from one pot: it starts no sooner than `stand` after the mixing of it
    ends, and ends at most `life` after the mixing of it starts. All times and amounts [-].
    """

    key: str
    capacity: int
    life: int
    mixing: int
    amounts: tuple[tuple[str, int], ...]
    stand: int = 0
    people: tuple[str, ...] = ("",)

    def gone(self, mix: "Mix") -> int:
        """When a mix of it serves nothing any more [-]."""
        return mix.start + self.life if mix.gone is None else mix.gone

    def holds(self, mix: "Mix") -> int:
        """What a mix of it has for its tasks [-]."""
        return (self.capacity if mix.holds is None else mix.holds) - mix.lost


@dataclass(frozen=True, slots=True)
class Person:
    """Somebody who works: skills, and times away [-]. The skill "" is had by everybody."""

    key: str
    skills: frozenset[str] = frozenset()
    away: tuple[Span, ...] = ()


@dataclass(frozen=True, slots=True)
class Tool:
    """A gun, a booth, a bay: how many there are, and ticks [-] to clean it between two products."""

    key: str
    count: int = 1
    cleaning: int = 0


@dataclass(frozen=True, slots=True)
class Problem:
    """All that is to be scheduled. open: the times somebody may work [-]; day: ticks in one."""

    tasks: tuple[Task, ...]
    people: tuple[Person, ...]
    open: tuple[Span, ...]
    lags: tuple[Lag, ...] = ()
    tools: tuple[Tool, ...] = ()
    pots: tuple[Pot, ...] = ()
    aparts: tuple[Apart, ...] = ()
    holds: tuple[Hold, ...] = ()
    day: int = 1440

    def __post_init__(self) -> None:
        _check_spans(self.open, "open times")
        _check_names(self)
        for task in self.tasks:
            if task.work < 1:
                raise RangeError(
                    f"the work of '{task.key}' is {task.work}", instead="work takes at least 1 tick"
                )


class Mix(NamedTuple):
    """One pot as made: which paint, start and end of mixing [-], tasks it serves, who mixes it.

    holds: what was mixed [-], None: as much as the pot takes. lost: what went of it beside what its
    tasks were to take; below 0 if they took less. gone: from when it serves nothing any more [-],
    None: when the pot's life is over. All three are known only of what has happened.
    """

    pot: str
    start: int
    end: int
    serves: tuple[str, ...]
    people: tuple[str, ...] = ()
    holds: int | None = None
    lost: int = 0
    gone: int | None = None


class Measure(NamedTuple):
    """What a timetable is judged by [-].

    days until all is done; manned, the sum over days from the first start to the last end; end, the
    last end; mixes; moved, the sum of how far starts lie from where they were.
    """

    days: int = 0
    manned: int = 0
    end: int = 0
    mixes: int = 0
    moved: int = 0

    def weighed(self, weights: "Measure") -> int:
        """Their sum with these weights."""
        return sum(a * b for a, b in zip(self, weights, strict=True))


Goal = tuple[Measure, ...]
"""Weighted sums to be made small, the first before all others."""

DAYS_WAITING_MIXES: Final[Goal] = (Measure(days=1), Measure(manned=1), Measure(mixes=1))


class Slot(NamedTuple):
    """When a task runs [-] and who does it."""

    start: int
    end: int
    people: tuple[str, ...] = ()


@dataclass(frozen=True)
class Timetable:
    """When every task runs, and the mixes, in order of start; times [-]."""

    slots: dict[str, Slot]
    mixes: tuple[Mix, ...] = ()


@dataclass(frozen=True)
class Outcome:
    """A timetable and what is known of it: for every stage of the goal its value and bound [-].

    proven: no timetable is better. stopped says why the search ended.
    """

    timetable: Timetable
    measure: Measure
    values: tuple[int, ...]
    bounds: tuple[int, ...]
    stopped: str = ""
    trace: tuple[tuple[float, int, int], ...] = field(default=())

    @property
    def proven(self) -> bool:
        """Whether every stage is at its bound."""
        return self.values == self.bounds

    def gap(self, stage: int) -> float:
        """How far the value of a stage may lie above the best there is, as a share of it."""
        value, bound = self.values[stage], self.bounds[stage]
        return (value - bound) / max(value, 1)


def _check_spans(spans: tuple[Span, ...], what: str) -> None:
    if not spans:
        raise RangeError(f"there are no {what}", instead="the shop must open at least once")
    ends = [edge for span in spans for edge in span]
    if any(a >= b for a, b in spans) or ends != sorted(ends) or ends[0] < 0:
        raise RangeError(f"the {what} overlap or run backwards", instead="give them in order")


def _check_names(problem: Problem) -> None:
    keys = [task.key for task in problem.tasks]
    known, tools = set(keys), {tool.key for tool in problem.tools}
    if len(known) < len(keys):
        raise RangeError("two tasks have the same key", instead="give each its own")
    named = [key for lag in problem.lags for key in (lag.before, lag.after)]
    named += [key for apart in problem.aparts for key in (apart.one, apart.other)]
    named += [key for hold in problem.holds for key in hold.tasks]
    named += [key for pot in problem.pots for key, _ in pot.amounts]
    for key in named:
        if key not in known:
            raise RangeError(f"there is no task '{key}'", instead="name a task of the problem")
    for key in [k for task in problem.tasks for k in task.tools] + [h.tool for h in problem.holds]:
        if key not in tools:
            raise RangeError(f"there is no tool '{key}'", instead="name a tool of the problem")
