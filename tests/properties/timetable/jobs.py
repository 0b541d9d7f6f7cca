"""Random paint jobs for a small shop, each with a timetable made by doing one thing at a time.

All figures are invented. A tick is five minutes. Because one thing is done at a time, that
timetable shows that the job can be done; maximum lags are widened to what it kept.
"""

import random
from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from itertools import permutations

from coatwright.engines.timetable.problem import (
    Apart,
    Hold,
    Lag,
    Mix,
    Person,
    Pot,
    Problem,
    Slot,
    Span,
    Task,
    Timetable,
    Tool,
)

DAY = 288
DAYS = 20
SPRAY = "spray"


@dataclass(frozen=True)
class Job:
    """A problem and one timetable that solves it."""

    problem: Problem
    timetable: Timetable


def job(seed: int, areas: int = 0) -> Job:
    """The job of this seed, of one to three areas unless told."""
    dice = random.Random(seed)
    shop = _shop(dice)
    chains = [
        _chain(dice, f"area {n}", shop) for n in range(areas or dice.choice((1, 1, 1, 1, 2, 2, 3)))
    ]
    problem = replace(
        shop,
        tasks=tuple(task for chain in chains for task in chain.tasks),
        lags=tuple(lag for chain in chains for lag in chain.lags),
        holds=tuple(hold for chain in chains for hold in chain.holds),
        pots=_pots(dice, [task for chain in chains for task in chain.tasks]),
        aparts=_dust(dice, chains),
    )
    timetable = Sitting(problem).timetable()
    return Job(_fitted(dice, problem, timetable), timetable)


# The shop


def _shop(dice: random.Random) -> Problem:
    lunch_shut = dice.random() < 0.5
    spans = ((96, 144), (156, dice.choice((204, 216)))) if lunch_shut else ((96, 210),)
    days = [(day * DAY + a, day * DAY + b) for day in range(DAYS) for a, b in spans]
    people = [Person("painter", frozenset({SPRAY}), _breaks(dice, lunch_shut))]
    if dice.random() < 0.7:
        people.append(Person("helper", frozenset(), _breaks(dice, lunch_shut)))
    if dice.random() < 0.3:
        people.append(Person("second", frozenset({SPRAY}), _breaks(dice, lunch_shut)))
    gun = Tool("gun", dice.choice((1, 1, 2)), dice.choice((0, 2, 4)))
    tools = (gun, Tool("booth"), Tool("bay", dice.choice((1, 2))))
    return Problem((), tuple(people), tuple(days), tools=tools, day=DAY)


def _breaks(dice: random.Random, lunch_shut: bool) -> tuple[Span, ...]:
    """Nights at home, lunch where the shop stays open, and a morning off."""
    spans = [(day * DAY - 60, day * DAY + 90) for day in range(1, DAYS)]
    if not lunch_shut:
        noon = dice.choice((144, 147, 150))
        spans += [(day * DAY + noon, day * DAY + noon + 9) for day in range(DAYS)]
    off = dice.randrange(5) * DAY
    spans.append((off + 96, off + 140))
    return tuple(sorted(spans))


# The work


@dataclass
class Chain:
    """The steps of one area in order, and what ties them."""

    area: str
    tasks: list[Task] = field(default_factory=list)
    lags: list[Lag] = field(default_factory=list)
    holds: list[Hold] = field(default_factory=list)

    def then(self, task: Task, lag: Lag | None = None) -> None:
        if self.tasks:
            before = self.tasks[-1].key
            self.lags.append(replace(lag or Lag("", ""), before=before, after=task.key))
        self.tasks.append(task)


def _chain(dice: random.Random, area: str, shop: Problem) -> Chain:
    chain = Chain(area)
    windows = _climate(dice) if dice.random() < 0.4 else ()
    alone = all(person.key != "helper" for person in shop.people)
    two = ("spray",) if alone or dice.random() < 0.7 else ("spray", "")
    chain.then(Task(f"{area}.degrease", dice.randint(2, 4)))
    chain.then(Task(f"{area}.mask", dice.randint(4, 12), split=True))
    for product in dice.choice((("primer",), ("primer", "colour"), ("primer", "colour"))):
        _coats(dice, chain, Task("", 1, two, ("gun", "booth"), product, windows=windows))
        if dice.random() < 0.7:
            dry = Lag("", "", least=dice.randint(6, 60), name="dry")
            chain.then(Task(f"{area}.rub {product}", dice.randint(4, 18), split=True), dry)
    if dice.random() < 0.5:
        chain.then(Task(f"{area}.unmask", dice.randint(1, 4), split=True), Lag("", "", least=6))
    if dice.random() < 0.5:
        chain.holds.append(Hold("bay", tuple(task.key for task in chain.tasks)))
    return chain


def _climate(dice: random.Random) -> tuple[Span, ...]:
    opens, shuts = dice.randint(96, 114), dice.randint(180, 216)
    return tuple((day * DAY + opens, day * DAY + shuts) for day in range(DAYS) if day % 3 != 1)


def _coats(dice: random.Random, chain: Chain, coat: Task) -> None:
    keys = []
    for n in range(dice.choice((1, 2, 2, 3))):
        flash = Lag(
            "",
            "",
            least=dice.randint(1, 4) if n else 0,
            most=dice.randint(8, 30) if n or dice.random() < 0.6 else None,
            name="flash" if n else "bare metal",
            price=dice.choice((0, 0, 5, 20)),
        )
        key = f"{chain.area}.{coat.product} {n + 1}"
        chain.then(replace(coat, key=key, work=dice.randint(1, 5)), flash)
        keys.append(key)
    if dice.random() < 0.5:
        chain.holds.append(Hold("booth", tuple(keys), "wet in the booth"))


def _pots(dice: random.Random, tasks: list[Task]) -> tuple[Pot, ...]:
    pots = []
    for product in ("primer", "colour"):
        amounts = tuple((t.key, dice.randint(1, 4)) for t in tasks if t.product == product)
        if amounts and dice.random() < 0.8:
            stand = dice.choice((0, 0, 2))
            life = 8 + stand + dice.choice((0, 6, 20, 60))
            people = dice.choice((("",), (SPRAY,)))
            pots.append(Pot(product, dice.randint(4, 12), life, 1, amounts, stand, people))
    return tuple(pots)


def _dust(dice: random.Random, chains: list[Chain]) -> tuple[Apart, ...]:
    """Rubbing in one area keeps off wet paint in another."""
    rubs = [task for chain in chains for task in chain.tasks if ".rub" in task.key]
    coats = [task for chain in chains for task in chain.tasks if task.product]
    pairs = [(r, c) for r in rubs for c in coats if r.key.split(".")[0] != c.key.split(".")[0]]
    chosen = dice.sample(pairs, min(len(pairs), dice.choice((0, 0, 3, 8))))
    return tuple(Apart(r.key, c.key, dice.randint(0, 2), 3, "dust") for r, c in chosen)


# The timetable that does one thing at a time


class Sitting:
    """Does one thing after another in the order of the tasks, each as soon as it may."""

    def __init__(self, problem: Problem) -> None:
        self.problem = problem
        self.now = 0
        self.slots: dict[str, Slot] = {}
        self.mixes: list[Mix] = []
        self.open = {t for a, b in problem.open for t in range(a, b)}
        self.away = {p.key: {t for a, b in p.away for t in range(a, b)} for p in problem.people}
        self.lags = {lag.after: lag for lag in problem.lags}

    def timetable(self) -> Timetable:
        for task in self.problem.tasks:
            pot = next((p for p in self.problem.pots if task.key in dict(p.amounts)), None)
            start = self._ready(task)
            slot = self._first(task, start) if pot is None else self._from_pot(task, pot, start)
            self.slots[task.key] = slot
            self.now = slot.end
        return Timetable(self.slots, tuple(self.mixes))

    def _ready(self, task: Task) -> int:
        times = [self.now]
        lag = self.lags.get(task.key)
        if lag and lag.least is not None:
            times.append(self.slots[lag.before].end + lag.least)
        times += [self.slots[key].end + gap for key, gap in self._gaps(task) if key in self.slots]
        return max(times)

    def _gaps(self, task: Task) -> Iterator[tuple[str, int]]:
        for apart in self.problem.aparts:
            if apart.one == task.key:
                yield apart.other, apart.after_other
            if apart.other == task.key:
                yield apart.one, apart.after_one
        if task.product:
            for other in self.problem.tasks:
                if other.product not in ("", task.product):
                    yield other.key, max(tool.cleaning for tool in self.problem.tools)

    def _from_pot(self, task: Task, pot: Pot, ready: int) -> Slot:
        mixing = Task("", pot.mixing, pot.people)
        start = self.now
        while True:
            mixed = self._first(mixing, start)
            slot = self._first(task, max(ready, mixed.end + pot.stand))
            if slot.end <= mixed.start + pot.life:
                self.mixes.append(Mix(pot.key, mixed.start, mixed.end, (task.key,), mixed.people))
                return slot
            start = mixed.start + 1

    def _first(self, task: Task, start: int) -> Slot:
        for at in range(start, DAY * DAYS):
            if at not in self.open:
                continue
            ticks = self._ticks(task, at)
            crew = self._crew(task, ticks) if self._may_run(task, ticks) else None
            if crew is not None:
                return Slot(at, ticks[-1] + 1, crew)
        raise AssertionError(f"{task.key} does not fit")

    def _ticks(self, task: Task, at: int) -> list[int]:
        """The ticks in which it is worked on, when it starts here."""
        ticks = [at]
        while len(ticks) < task.work:
            after = ticks[-1] + 1
            while task.split and after not in self.open and after < DAY * DAYS:
                after += 1
            ticks.append(after)
        return ticks

    def _may_run(self, task: Task, ticks: list[int]) -> bool:
        return all(
            tick in self.open and (not task.windows or any(a <= tick < b for a, b in task.windows))
            for tick in ticks
        )

    def _crew(self, task: Task, ticks: list[int]) -> tuple[str, ...] | None:
        here = [p for p in self.problem.people if not self.away[p.key] & set(ticks)]
        for crew in permutations(here, len(task.people)):
            if all(s in ("", *p.skills) for p, s in zip(crew, task.people, strict=True)):
                return tuple(person.key for person in crew)
        return None


# Loose enough for that timetable, and tight enough to matter


def _fitted(dice: random.Random, problem: Problem, timetable: Timetable) -> Problem:
    slots = timetable.slots
    last_day = max(slot.end for slot in slots.values()) // DAY + dice.choice((1, 1, 2))
    return replace(
        problem,
        open=tuple(span for span in problem.open if span[0] < last_day * DAY),
        lags=(*(_widened(lag, slots) for lag in problem.lags), *_laps(dice, slots)),
        tasks=tuple(_bounded(dice, task, slots[task.key]) for task in problem.tasks),
    )


def _widened(lag: Lag, slots: dict[str, Slot]) -> Lag:
    if lag.most is None:
        return lag
    return replace(lag, most=max(lag.most, slots[lag.after].start - slots[lag.before].end))


def _laps(dice: random.Random, slots: dict[str, Slot]) -> Iterator[Lag]:
    """Ties of other kinds: any ends of any two tasks, forward or backward."""
    for _ in range(dice.choice((0, 1, 2))):
        before, after = dice.choice(list(slots)), dice.choice(list(slots))
        leaves, reaches = dice.choice(("start", "end")), dice.choice(("start", "end"))
        kept = getattr(slots[after], reaches) - getattr(slots[before], leaves)
        if before != after:
            least = kept - dice.randint(0, 50) if dice.random() < 0.7 else None
            most = kept + dice.randint(0, 50) if dice.random() < 0.7 else None
            yield Lag(before, after, least, most, leaves, reaches, "lap")


def _bounded(dice: random.Random, task: Task, slot: Slot) -> Task:
    if dice.random() < 0.1:
        task = replace(task, latest=slot.end + dice.randint(0, 100))
    if dice.random() < 0.1:
        task = replace(task, earliest=dice.randint(0, slot.start))
    return task
