"""How early and how late each task can start, by lags and calendar alone."""

from collections.abc import Sequence
from typing import NamedTuple

from coatwright.engines.timetable.problem import NEVER, Anchor
from coatwright.engines.timetable.solver._compiled import ROUNDS, Arc, Compiled


class Reach(NamedTuple):
    """Earliest and latest start of every task; broken: the first task that has none, or None."""

    earliest: list[int]
    latest: list[int]
    broken: int | None = None


def reach(made: Compiled, until: int = NEVER, since: Sequence[int] | None = None) -> Reach:
    """Starts that no lag, window or calendar rules out, if all is to be done by `until`."""
    low = _earliest(made, list(since) if since else [0] * len(made.ends))
    if isinstance(low, int):
        return Reach([], [], low)
    high = _latest(made, until)
    if isinstance(high, int):
        return Reach([], [], high)
    gone = next((i for i, (a, b) in enumerate(zip(low, high, strict=True)) if a > b), None)
    return Reach(low, high, gone)


def tails(made: Compiled) -> list[int]:
    """The least time from the end of each task to the end of all, by lags alone."""
    tail = [0] * len(made.ends)
    work = [task.work for task in made.problem.tasks]
    for task in reversed(made.order):
        for arc in made.out[task]:
            if arc.least is not None:
                on = tail[arc.after] + (work[arc.after] if arc.reaches == "start" else 0)
                off = work[task] if arc.leaves == "start" else 0
                if off == 0 or not made.problem.tasks[task].split:
                    tail[task] = max(tail[task], arc.least + on - off)
    return tail


def _when(made: Compiled, task: int, start: int, anchor: Anchor) -> int:
    return start if anchor == "start" else made.end_of(task, start)


def _earliest(made: Compiled, floor: list[int]) -> list[int] | int:
    """Fixed point of all lags, or the index of a task that has no start left."""
    low = [-1] * len(made.ends)
    for task in made.order:
        start = made.first_start(task, floor[task], 0)
        if start is None:
            return task
        low[task] = start
    for _ in range(ROUNDS):
        changed = False
        for task in made.order:
            for arc in made.out[task]:
                for other, moment, anchor in _forward(made, arc, low):
                    if _when(made, other, low[other], anchor) < moment:
                        bound = (moment, 0) if anchor == "start" else (0, moment)
                        start = made.first_start(other, max(bound[0], low[other]), bound[1])
                        if start is None:
                            return other
                        low[other], changed = start, True
        if not changed:
            break
    return low


def _forward(made: Compiled, arc: Arc, low: list[int]) -> list[tuple[int, int, Anchor]]:
    """What a lag asks: (task, moment its anchor must not be before, anchor)."""
    asked = []
    if arc.least is not None:
        moment = _when(made, arc.before, low[arc.before], arc.leaves) + arc.least
        asked.append((arc.after, moment, arc.reaches))
    if arc.most is not None:
        moment = _when(made, arc.after, low[arc.after], arc.reaches) - arc.most
        asked.append((arc.before, moment, arc.leaves))
    return asked


def _latest(made: Compiled, until: int) -> list[int] | int:
    high = [-1] * len(made.ends)
    for task in made.order:
        start = made.last_start(task, NEVER, until)
        if start is None:
            return task
        high[task] = start
    for _ in range(ROUNDS):
        changed = False
        for task in reversed(made.order):
            for arc in made.into[task]:
                for other, moment, anchor in _backward(made, arc, high):
                    if _when(made, other, high[other], anchor) > moment:
                        bound = (moment, NEVER) if anchor == "start" else (NEVER, moment)
                        start = made.last_start(other, min(bound[0], high[other]), bound[1])
                        if start is None:
                            return other
                        high[other], changed = start, True
        if not changed:
            break
    return high


def _backward(made: Compiled, arc: Arc, high: list[int]) -> list[tuple[int, int, Anchor]]:
    asked = []
    if arc.least is not None:
        moment = _when(made, arc.after, high[arc.after], arc.reaches) - arc.least
        asked.append((arc.before, moment, arc.leaves))
    if arc.most is not None:
        moment = _when(made, arc.before, high[arc.before], arc.leaves) + arc.most
        asked.append((arc.after, moment, arc.reaches))
    return asked
