"""A timetable by index while it is searched: starts, who by option, pots; and its measures."""

from collections.abc import Sequence
from typing import Final, NamedTuple

import numpy as np

from coatwright.engines.timetable.problem import Measure, Mix, Problem, Slot, Span, Timetable
from coatwright.engines.timetable.solver._compiled import Compiled, Option, daily

Run = tuple[int, int, Option, tuple[str, int]]
"""From and until [-], who by pool, and a name."""


STOOD: Final = -1
"""Instead of who mixes a pot: it was standing there when the timetable began."""


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


def runs_of(made: Compiled, layout: Layout) -> list[Run]:
    """Every task and mixing with who does it; not the pots that stood there already."""
    runs: list[Run] = [
        (start, made.end_of(i, start), made.options[i][number], ("task", i))
        for i, (start, number) in enumerate(zip(layout.starts, layout.options, strict=True))
    ]
    for n, mix in enumerate(layout.mixes):
        if mix.option != STOOD:
            end = mix.start + made.problem.pots[mix.pot].mixing
            runs.append((mix.start, end, made.pots[mix.pot].options[mix.option], ("mix", n)))
    return runs


def measure_of(made: Compiled, layout: Layout, wanted: Sequence[int] = ()) -> Measure:
    """What a layout is judged by; wanted: where starts were before (-1: anywhere)."""
    fresh = sum(mix.option != STOOD for mix in layout.mixes)
    spans = [(start, end) for start, end, _, _ in runs_of(made, layout)]
    judged = measured(made.problem, spans, fresh)
    moved = sum(
        abs(start - before)
        for start, before in zip(layout.starts, wanted, strict=False)
        if before >= 0
    )
    return judged._replace(moved=moved)


def measured(problem: Problem, spans: Sequence[Span], mixes: int) -> Measure:
    """Days, time manned, end and mixes of these stretches of work."""
    end = max(end for _, end in spans)
    edges = edges_of(daily(problem), problem.day, spans)
    manned = sum(last - first for first, last in edges.values())
    return Measure((end - 1) // problem.day + 1, manned, end, mixes)


def edges_of(opened: Sequence[Span], day: int, spans: Sequence[Span]) -> dict[int, Span]:
    """First start and last end of work in every day that has any."""
    edges: dict[int, Span] = {}
    if not spans:
        return edges
    starts, ends = np.array(spans).T
    for low, high in opened:
        inside = (starts < high) & (ends > low)
        if inside.any():
            first = max(int(starts[inside].min()), low)
            last = min(int(ends[inside].max()), high)
            before = edges.get(low // day, (first, last))
            edges[low // day] = min(first, before[0]), max(last, before[1])
    return edges


def timetable_of(made: Compiled, layout: Layout) -> Timetable:
    """The layout with everything by name."""
    keys = [task.key for task in made.problem.tasks]
    runs = runs_of(made, layout)
    who, ends = staffed(made, runs), {name: end for _, end, _, name in runs}
    order = sorted(range(len(keys)), key=lambda i: (layout.starts[i], i))
    slots = {keys[i]: Slot(layout.starts[i], ends["task", i], who["task", i]) for i in order}
    mixes = tuple(
        Mix(
            made.problem.pots[mix.pot].key,
            mix.start,
            ends.get(("mix", n), mix.start),
            tuple(keys[i] for i in sorted(mix.serves, key=lambda i: layout.starts[i])),
            who.get(("mix", n), ()),
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
