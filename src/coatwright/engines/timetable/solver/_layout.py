"""A timetable by index while it is searched: starts, who by option, pots; and its measures."""

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np

from coatwright.engines.timetable.problem import Measure, Mix, Problem, Slot, Span, Timetable
from coatwright.engines.timetable.solver._compiled import Compiled, Option

Run = tuple[int, int, Option, tuple[str, int]]
"""From and until [-], who by pool, and a name."""


class Potful(NamedTuple):
    """One pot as mixed: which paint, start, number of the option that mixes, tasks it serves."""

    pot: int
    start: int
    option: int
    serves: tuple[int, ...]


class Layout(NamedTuple):
    """Start and number of the option of every task, and the pots in order of mixing."""

    starts: tuple[int, ...]
    options: tuple[int, ...]
    mixes: tuple[Potful, ...]


def spans_of(made: Compiled, layout: Layout) -> list[Span]:
    """From and until of every task and then of every mixing."""
    spans = [(start, made.end_of(i, start)) for i, start in enumerate(layout.starts)]
    mixing = [pot.mixing for pot in made.problem.pots]
    return spans + [(mix.start, mix.start + mixing[mix.pot]) for mix in layout.mixes]


def runs_of(made: Compiled, layout: Layout) -> list[Run]:
    """Every task and mixing with who does it."""
    spans, count = spans_of(made, layout), len(layout.starts)
    who = [made.options[i][number] for i, number in enumerate(layout.options)]
    who += [made.pots[mix.pot].options[mix.option] for mix in layout.mixes]
    names = [("task", i) for i in range(count)]
    names += [("mix", n) for n in range(len(layout.mixes))]
    return [(*span, option, name) for span, option, name in zip(spans, who, names, strict=True)]


def measure_of(made: Compiled, layout: Layout, wanted: Sequence[int] = ()) -> Measure:
    """What a layout is judged by; wanted: where starts were before (-1: anywhere)."""
    judged = measured(made.problem, spans_of(made, layout), len(layout.mixes))
    moved = sum(
        abs(start - before)
        for start, before in zip(layout.starts, wanted, strict=False)
        if before >= 0
    )
    return judged._replace(moved=moved)


def measured(problem: Problem, spans: Sequence[Span], mixes: int) -> Measure:
    """Days, time manned, end and mixes of these stretches of work."""
    starts = np.array([start for start, _ in spans])
    ends = np.array([end for _, end in spans])
    edges: dict[int, tuple[int, int]] = {}
    for low, high in problem.open:
        inside = (starts < high) & (ends > low)
        if inside.any():
            first = max(int(starts[inside].min()), low)
            last = min(int(ends[inside].max()), high)
            before = edges.get(low // problem.day, (first, last))
            edges[low // problem.day] = min(first, before[0]), max(last, before[1])
    end = int(ends.max())
    return Measure(
        (end - 1) // problem.day + 1,
        sum(last - first for first, last in edges.values()),
        end,
        mixes,
    )


def timetable_of(made: Compiled, layout: Layout) -> Timetable:
    """The layout with everything by name."""
    keys = [task.key for task in made.problem.tasks]
    spans, who = spans_of(made, layout), staffed(made, runs_of(made, layout))
    order = sorted(range(len(keys)), key=lambda i: (layout.starts[i], i))
    slots = {keys[i]: Slot(*spans[i], who["task", i]) for i in order}
    mixes = tuple(
        Mix(
            made.problem.pots[mix.pot].key,
            *spans[len(keys) + n],
            tuple(keys[i] for i in sorted(mix.serves, key=lambda i: layout.starts[i])),
            who["mix", n],
        )
        for n, mix in enumerate(layout.mixes)
    )
    return Timetable(slots, mixes)


def staffed(made: Compiled, runs: Sequence[Run]) -> dict[tuple[str, int], tuple[str, ...]]:
    """People by name for every run: within a pool whoever stopped last, so that others rest."""
    idle = [dict.fromkeys(group.members, -1) for group in made.groups]
    who: dict[tuple[str, int], tuple[str, ...]] = {}
    for start, end, option, name in sorted(runs, key=lambda run: (run[0], run[1], run[3])):
        chosen: list[str] = []
        for pool, count in option:
            able = [key for key, until in idle[pool].items() if until <= start]
            able.sort(key=lambda key: -idle[pool][key])
            for key in able[:count]:
                idle[pool][key] = end
            chosen += able[:count]
        who[name] = tuple(chosen)
    return who


def neighbours(made: Compiled, layout: Layout) -> list[tuple[tuple[str, int], tuple[str, int]]]:
    """Pairs that follow each other on a person or on a tool of which there is one."""
    runs = runs_of(made, layout)
    who = staffed(made, runs)
    last: dict[str, tuple[str, int]] = {}
    pairs = []
    held = {hold.tool for hold in made.holds}
    single = {tool.key for tool in made.problem.tools if tool.count == 1} - held
    for _, _, _, name in sorted(runs, key=lambda run: (run[0], run[1], run[3])):
        busy = [f"person {key}" for key in who[name]]
        if name[0] == "task":
            busy += [f"tool {t}" for t in made.problem.tasks[name[1]].tools if t in single]
        for key in busy:
            if key in last:
                pairs.append((last[key], name))
            last[key] = name
    return list(dict.fromkeys(pairs))
