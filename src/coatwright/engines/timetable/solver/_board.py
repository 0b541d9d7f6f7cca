"""A timetable being filled by hand: tasks are put on the board one by one and can be taken off."""

from dataclasses import dataclass, field
from typing import Final, NamedTuple

import numpy as np

from coatwright.engines.timetable.problem import NEVER
from coatwright.engines.timetable.solver._compiled import Compiled, Flag, Int, Option
from coatwright.engines.timetable.solver._layout import STOOD, Layout, Potful

CHUNK: Final = 512
"""Ticks looked at in one go for a place to start."""


@dataclass(slots=True)
class Made:
    """A pot as mixed: where its mixing lies on the open axis, what is left, whom it serves."""

    pot: int
    low: int
    high: int
    start: int
    end: int
    option: Option
    left: int
    serves: list[int] = field(default_factory=list)


class Placed(NamedTuple):
    """A task on the board: slice of the open axis, who, and its pot."""

    task: int
    low: int
    high: int
    option: Option
    made: Made | None
    opened: bool


class Refused(NamedTuple):
    """Why a task found no place: it is `by` ticks too late for what `culprit` allows."""

    culprit: int
    by: int


class Limit(NamedTuple):
    """A start or end may not be later than this, because of that task."""

    latest: int
    on_end: bool
    culprit: int


class Board:
    """What is taken of people and tools, tick by tick, and by whom."""

    def __init__(self, made: Compiled, patience: int = 0) -> None:
        self.made = made
        self.patience = patience
        size = len(made.clock)
        self.free: list[Int] = [g.there * len(g.members) for g in made.groups]
        self.tools: dict[str, Int] = {
            tool.key: np.full(size, tool.count) for tool in made.problem.tools
        }
        self.holder: dict[str, Int] = {hold.tool: np.full(size, -1) for hold in made.holds}
        self.loose = [
            [t for t in task.tools if t not in self.holder] for task in made.problem.tasks
        ]
        self.holds_of: dict[int, list[int]] = {}
        for number, hold in enumerate(made.holds):
            for task in hold.tasks:
                self.holds_of.setdefault(task, []).append(number)
        self.stack: list[Placed] = []
        self.start: list[int] = [-1] * len(made.ends)
        self.end: list[int] = [-1] * len(made.ends)
        self.open: list[list[Made]] = [[] for _ in made.pots]
        for pot in made.standing:
            self.open[pot.pot].append(Made(pot.pot, 0, 0, pot.start, pot.end, (), pot.left))

    def put(self, task: int, floor: int = 0) -> Refused | None:
        """Put a task on the board as early as it can start; None if that is done.

        Refused names the task that would have to start later; culprit -1 says there is no place.
        """
        low, limits = self._bounds(task, floor)
        found = self._find(task, low)
        if found is None:
            return Refused(min(limits).culprit if limits else -1, 1)
        start, end = int(self.made.clock[found.low]), int(self.made.ends[task][found.low])
        late = [
            Refused(limit.culprit, (end if limit.on_end else start) - limit.latest)
            for limit in limits
        ]
        worst = max(late, key=lambda refused: refused.by, default=None)
        if worst is not None and worst.by > 0:
            return worst
        self._book(found, +1)
        return None

    def take_off(self) -> int:
        """Take the last task off again; its index."""
        last = self.stack[-1]
        self._book(last, -1)
        return last.task

    def _bounds(self, task: int, floor: int) -> tuple[int, list[Limit]]:
        """First index to look at, and what must not be passed."""
        low, limits = self.made.at(floor), []
        for arc in self.made.into[task]:
            if self.start[arc.before] < 0:
                continue
            left = (self.start if arc.leaves == "start" else self.end)[arc.before]
            if arc.least is not None:
                low = max(low, self._index(task, left + arc.least, arc.reaches))
            if arc.most is not None:
                limits.append(Limit(left + arc.most, arc.reaches == "end", arc.before))
        for arc in self.made.out[task]:
            if self.start[arc.after] < 0:
                continue
            right = (self.start if arc.reaches == "start" else self.end)[arc.after]
            if arc.most is not None:
                low = max(low, self._index(task, right - arc.most, arc.leaves))
            if arc.least is not None:
                limits.append(Limit(right - arc.least, arc.leaves == "end", arc.after))
        for number in self.holds_of.get(task, ()):
            until, last = self._held_until(number)
            if until < NEVER:
                limits.append(Limit(until, True, last))
        return low, limits

    def _index(self, task: int, moment: int, anchor: str) -> int:
        if anchor == "start":
            return self.made.at(moment)
        return int(self.made.ends[task].searchsorted(moment))

    def _held_until(self, number: int) -> tuple[int, int]:
        """Until when the tool of a hold may still be used by it, and its last task on the board."""
        hold = self.made.holds[number]
        mine = [i for i in hold.tasks if self.end[i] >= 0]
        if not mine:
            return NEVER, -1
        last = max(mine, key=lambda i: self.end[i])
        holder = self.holder[hold.tool]
        low = self.made.at(self.end[last])
        foreign = (holder[low:] >= 0) & (holder[low:] != number)
        if not foreign.any():
            return NEVER, -1
        return int(self.made.clock[low + int(foreign.argmax())]), last

    def _find(self, task: int, low: int) -> Placed | None:
        """The earliest place of a task at or after an index."""
        size, step = len(self.made.clock), CHUNK
        while low < size:
            high = min(low + step, size)
            fits = [self._fits(task, option, low, high) for option in self.made.options[task]]
            somebody = np.logical_or.reduce(fits)
            if somebody.any():
                place = self._place(task, somebody, fits, low)
                if place is not None:
                    return place
            low, step = high, step * 2
        return None

    def _fits(self, task: int, option: Option, low: int, high: int) -> Flag:
        """For each start in [low, high) whether people, tools and bars let the task run."""
        made = self.made
        asked = made.problem.tasks[task]
        until = min(high + asked.work, len(made.clock))
        ok = np.ones(until - low, dtype=bool)
        for pool, count in option:
            ok &= self.free[pool][low:until] >= count
        for tool in self.loose[task]:
            ok &= self.tools[tool][low:until] >= 1
        for number in self.holds_of.get(task, ()):
            holder = self.holder[made.holds[number].tool][low:until]
            ok &= (holder < 0) | (holder == number)
        fits = made.can_start[task][low:high] & _runs(ok, asked.work, high - low)
        for bar in made.bars[task]:
            if self.start[bar.other] >= 0:
                before = self.start[bar.other] - bar.after_this
                after = self.end[bar.other] + bar.after_other
                first = int(np.searchsorted(made.ends[task], before, side="right"))
                fits[max(first - low, 0) : max(made.at(after) - low, 0)] = False
        return fits

    def _place(self, task: int, fits: Flag, each: list[Flag], low: int) -> Placed | None:
        """The first fitting start, with a pot to serve the task if it takes paint from one."""
        number = self.made.pot_of.get(task)
        made, opened, at = None, False, low + int(fits.argmax())
        if number is not None:
            amount = self.made.pots[number].amount[task]
            ready = self._served(task, number, amount, fits, low)
            fresh = self._freshly(task, number, fits, low)
            if ready is None and fresh is None:
                return None
            soon = self._tick(fresh[0]) + self.patience if fresh else NEVER
            if ready and self._tick(ready[0]) <= soon:
                at, made = ready
            elif fresh:
                (at, made), opened = fresh, True
        option = next(
            o for o, can in zip(self.made.options[task], each, strict=True) if can[at - low]
        )
        work = self.made.problem.tasks[task].work
        return Placed(task, at, at + work, option, made, opened)

    def _tick(self, index: int) -> int:
        return int(self.made.clock[index])

    def _served(
        self, task: int, number: int, amount: int, fits: Flag, low: int
    ) -> tuple[int, Made] | None:
        """The first fitting start at which a pot that stands open still serves."""
        pot, ends, best = self.made.problem.pots[number], self.made.ends[task], None
        for made in self.open[number]:
            if made.left < amount:
                continue
            first = max(self.made.at(made.end + pot.stand), low) - low
            last = int(np.searchsorted(ends, made.start + pot.life, side="right")) - low
            window = fits[first : max(last, first)]
            if window.any():
                at = low + first + int(window.argmax())
                if best is None or at < best[0]:
                    best = (at, made)
        return best

    def _freshly(self, task: int, number: int, fits: Flag, low: int) -> tuple[int, Made] | None:
        """The first fitting start for which a new pot can be mixed just before."""
        pot, clock, ends = self.made.problem.pots[number], self.made.clock, self.made.ends[task]
        if self.made.pots[number].amount[task] > pot.capacity:
            return None
        begin = max(int(np.searchsorted(clock, clock[low] - pot.life)), 0)
        starts = low + np.flatnonzero(fits)
        best: tuple[int, Made] | None = None
        for who in self.made.pots[number].options:
            ok = np.ones(low + len(fits) - begin, dtype=bool)
            for pool, count in who:
                ok &= self.free[pool][begin : low + len(fits)] >= count
            can = _runs(ok, pot.mixing, len(ok))
            can &= _whole(clock[begin : begin + len(ok)], pot.mixing)
            latest = np.maximum.accumulate(np.where(can, np.arange(len(ok)), -1))
            before = np.searchsorted(clock, clock[starts] - pot.stand - pot.mixing, side="right")
            at = before - 1 - begin
            chosen = np.where(at >= 0, latest[np.maximum(at, 0)], -1)
            good = (chosen >= 0) & (clock[begin + np.maximum(chosen, 0)] >= ends[starts] - pot.life)
            if good.any():
                pick = int(good.argmax())
                if best is None or starts[pick] < best[0]:
                    mixed = begin + int(chosen[pick])
                    start = int(clock[mixed])
                    best = int(starts[pick]), Made(
                        number, mixed, mixed + pot.mixing, start, start + pot.mixing, who,
                        pot.capacity,
                    )  # fmt: skip
        return best

    def _book(self, place: Placed, sign: int) -> None:
        task = place.task
        for pool, count in place.option:
            self.free[pool][place.low : place.high] -= sign * count
        for tool in self.loose[task]:
            self.tools[tool][place.low : place.high] -= sign
        if place.made is not None:
            self._book_pot(place, place.made, sign)
        if sign > 0:
            self.start[task] = int(self.made.clock[place.low])
            self.end[task] = int(self.made.clock[place.high - 1]) + 1
            self.stack.append(place)
        else:
            self.start[task] = self.end[task] = -1
            self.stack.pop()
        for number in self.holds_of.get(task, ()):
            self._mark_hold(number)

    def _book_pot(self, place: Placed, made: Made, sign: int) -> None:
        made.left -= sign * self.made.pots[made.pot].amount[place.task]
        if sign > 0:
            made.serves.append(place.task)
        else:
            made.serves.remove(place.task)
        if place.opened:
            for pool, count in made.option:
                self.free[pool][made.low : made.high] -= sign * count
            if sign > 0:
                self.open[made.pot].append(made)
            else:
                self.open[made.pot].remove(made)

    def _mark_hold(self, number: int) -> None:
        """A hold takes its tool from its first task on the board to its last."""
        hold = self.made.holds[number]
        holder = self.holder[hold.tool]
        holder[holder == number] = -1
        mine = [i for i in hold.tasks if self.end[i] >= 0]
        if mine:
            low = self.made.at(min(self.start[i] for i in mine))
            high = self.made.at(max(self.end[i] for i in mine))
            holder[low:high] = number

    def fill(self, order: list[int], floors: list[int], patience: int) -> bool:
        """Put tasks on in this order, starting one later where a later one needs it.

        Takes at most `patience` times tasks off again; False if that was not enough.
        """
        floors, at, left = list(floors), 0, patience
        base = len(self.stack)
        while at < len(order):
            refused = self.put(order[at], floors[order[at]])
            if refused is None:
                at += 1
                continue
            if refused.culprit < 0 or left <= 0 or refused.culprit not in order[:at]:
                return False
            left -= 1
            floors[refused.culprit] = self.start[refused.culprit] + refused.by
            while len(self.stack) > base and self.take_off() != refused.culprit:
                at -= 1
            at -= 1
        return True


def _runs(ok: Flag, length: int, count: int) -> Flag:
    """For each of the first `count` places whether `length` true values follow."""
    bad = np.concatenate([[0], np.cumsum(~ok)])
    runs = np.zeros(count, dtype=bool)
    whole = min(count, len(ok) - length + 1)
    if whole > 0:
        runs[:whole] = bad[length : length + whole] == bad[:whole]
    return runs


def _whole(clock: Int, length: int) -> Flag:
    """For each place whether `length` ticks of the clock follow without a closed time."""
    whole = np.zeros(len(clock), dtype=bool)
    if length <= len(clock):
        count = len(clock) - length + 1
        whole[:count] = clock[length - 1 :] - clock[:count] == length - 1
    return whole


def layout_of(board: Board) -> Layout:
    """The full board as a layout."""
    made = board.made
    options = [0] * len(board.start)
    for placed in board.stack:
        options[placed.task] = made.options[placed.task].index(placed.option)
    mixes = [
        Potful(m.pot, m.start, _option(made, m), tuple(sorted(m.serves)))
        for row in board.open
        for m in row
        if m.serves
    ]
    mixes.sort(key=lambda mix: (mix.start, mix.pot, mix.serves))
    return Layout(tuple(board.start), tuple(options), tuple(mixes))


def _option(made: Compiled, mix: Made) -> int:
    """Who mixes it; nobody any more if it was standing there already."""
    return made.pots[mix.pot].options.index(mix.option) if mix.high > mix.low else STOOD
