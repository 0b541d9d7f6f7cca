"""What is wrong with a timetable: every promise of a problem looked at again, one by one, plainly.

Written apart from what makes timetables and shares nothing with it but the types, so that a mistake
there cannot hide here. Slow on purpose: no cleverness that could itself be wrong.

How the words of the types are read here. A task that may be split works in every open tick between
its start and its end, starts and ends on one, and keeps its tools while it is laid down; windows
and absences concern the ticks it works in. Mixing is attended work and is not split. A tool with no
product in it, used with "", stays as clean or unclean as it was. Tasks that share a hold of a tool
share one of it.
"""

from collections import defaultdict
from collections.abc import Callable, Iterator
from functools import lru_cache
from itertools import combinations, pairwise, permutations
from typing import NamedTuple

from coatwright.engines.timetable.problem import (
    Anchor,
    Apart,
    Hold,
    Lag,
    Measure,
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


class _Job(NamedTuple):
    """Something a person does: a task or a mixing."""

    what: str
    start: int
    end: int
    people: tuple[str, ...]


class _Use(NamedTuple):
    """What occupies one of a tool [-]: its names, its span, and every (start, end, product)."""

    what: str
    start: int
    end: int
    products: tuple[tuple[int, int, str], ...]


class _Unit(NamedTuple):
    """One of a tool while its uses are told off: until when taken [-], last product and its end."""

    until: int = 0
    product: str = ""
    since: int = 0


def faults(problem: Problem, timetable: Timetable) -> tuple[str, ...]:
    """Every promise of the problem that the timetable breaks, each in a sentence.

    Parameters
    ----------
    problem : Problem
        What was to be scheduled, times [-] in ticks.
    timetable : Timetable
        What is to be checked, times [-] in ticks; it need not have come from a solver.

    Returns
    -------
    tuple of str
        Empty when nothing is wrong.

    Source
        derived: the promises of the types in problem.py, each checked by its definition.
    """
    return tuple(fault for check in _CHECKS for fault in check(problem, timetable))


def measure(problem: Problem, timetable: Timetable) -> Measure:
    """Days, manned time, end and mixes of a timetable, counted from its slots.

    Parameters
    ----------
    problem : Problem
        What was to be scheduled, times [-] in ticks.
    timetable : Timetable
        Times [-] in ticks.

    Returns
    -------
    Measure [-]
        Mixing counts as manned; a task laid down overnight is manned on both days. moved is 0: it
        needs a timetable to compare with.

    Source
        derived: the definitions of Measure.
    """
    jobs = list(_jobs(problem, timetable))
    end = max((job.end for job in jobs), default=0)
    by_day: defaultdict[int, list[Span]] = defaultdict(list)
    for job in jobs:
        for start, stop in _pieces(problem.open, job.start, job.end):
            for day in range(start // problem.day, (stop - 1) // problem.day + 1):
                morning = day * problem.day
                by_day[day].append((max(start, morning), min(stop, morning + problem.day)))
    manned = sum(max(b for _, b in spans) - min(a for a, _ in spans) for spans in by_day.values())
    days = (end - 1) // problem.day + 1 if end else 0
    return Measure(days=days, manned=manned, end=end, mixes=len(timetable.mixes))


# Times


@lru_cache
def _merged(spans: tuple[Span, ...]) -> tuple[Span, ...]:
    merged: list[Span] = []
    for start, end in sorted(spans):
        if merged and start <= merged[-1][1]:
            merged[-1] = (merged[-1][0], max(end, merged[-1][1]))
        else:
            merged.append((start, end))
    return tuple(merged)


def _pieces(spans: tuple[Span, ...], start: int, end: int) -> list[Span]:
    """The parts of start to end that lie within the spans."""
    clipped = [(max(start, a), min(end, b)) for a, b in _merged(spans)]
    return [(a, b) for a, b in clipped if a < b]


def _ticks(spans: tuple[Span, ...], start: int, end: int) -> int:
    return sum(b - a for a, b in _pieces(spans, start, end))


def _placed(problem: Problem, timetable: Timetable) -> Iterator[tuple[Task, Slot]]:
    for task in problem.tasks:
        if task.key in timetable.slots:
            yield task, timetable.slots[task.key]


def _mixing(mix: Mix) -> str:
    return f"the mixing of '{mix.pot}' at {mix.start}"


def _jobs(problem: Problem, timetable: Timetable) -> Iterator[_Job]:
    for task, slot in _placed(problem, timetable):
        yield _Job(f"'{task.key}'", slot.start, slot.end, slot.people)
    for mix in timetable.mixes:
        yield _Job(_mixing(mix), mix.start, mix.end, mix.people)


# Tasks


def _tasks(problem: Problem, timetable: Timetable) -> Iterator[str]:
    keys = {task.key for task in problem.tasks}
    for task in problem.tasks:
        if task.key not in timetable.slots:
            yield f"'{task.key}' is not in the timetable"
    for key in timetable.slots:
        if key not in keys:
            yield f"'{key}' is in the timetable but not a task"


def _durations(problem: Problem, timetable: Timetable) -> Iterator[str]:
    for task, slot in _placed(problem, timetable):
        told = f"'{task.key}' from {slot.start} to {slot.end}"
        open_ticks = _ticks(problem.open, slot.start, slot.end)
        if open_ticks != task.work:
            yield f"{told} has {open_ticks} open ticks for a work of {task.work}"
        if not task.split and slot.end - slot.start != task.work:
            yield f"{told} lasts {slot.end - slot.start} without a break, not {task.work}"
        if _ticks(problem.open, slot.start, slot.start + 1) == 0:
            yield f"{told} starts while the shop is shut"
        if _ticks(problem.open, slot.end - 1, slot.end) == 0:
            yield f"{told} ends while the shop is shut"


def _bounds(problem: Problem, timetable: Timetable) -> Iterator[str]:
    for task, slot in _placed(problem, timetable):
        if slot.start < max(task.earliest, 0):
            yield f"'{task.key}' starts at {slot.start}, before {max(task.earliest, 0)}"
        if slot.end > task.latest:
            yield f"'{task.key}' ends at {slot.end}, after {task.latest}"
        for start, end in _pieces(problem.open, slot.start, slot.end) if task.windows else ():
            if _ticks(task.windows, start, end) < end - start:
                yield f"'{task.key}' runs from {start} to {end}, outside its windows {task.windows}"


# People


def _people(problem: Problem, timetable: Timetable) -> Iterator[str]:
    pots = {pot.key: pot for pot in problem.pots}
    for task, slot in _placed(problem, timetable):
        yield from _crew(problem, f"'{task.key}'", task.people, slot.people)
    for mix in timetable.mixes:
        if mix.pot in pots:
            yield from _crew(problem, _mixing(mix), pots[mix.pot].people, mix.people)
    for job in _jobs(problem, timetable):
        yield from _absences(problem, job)


def _crew(
    problem: Problem, what: str, skills: tuple[str, ...], names: tuple[str, ...]
) -> Iterator[str]:
    """Whether the named are as many as asked, distinct, and can share out the skills."""
    known = {person.key: person for person in problem.people}
    for name in names:
        if name not in known:
            yield f"{what} is given to '{name}', whom nobody knows"
    if len(set(names)) < len(names):
        yield f"{what} is given twice to the same person: {', '.join(names)}"
    if len(names) != len(skills):
        yield f"{what} takes {len(skills)} people and is given {len(names)}"
    elif all(name in known for name in names):
        crew = [known[name] for name in names]
        if not any(_skilled(order, skills) for order in permutations(crew)):
            yield f"{what} takes the skills {skills}, which {', '.join(names)} do not have"


def _skilled(crew: tuple[Person, ...], skills: tuple[str, ...]) -> bool:
    return all(
        skill == "" or skill in person.skills for person, skill in zip(crew, skills, strict=True)
    )


def _absences(problem: Problem, job: _Job) -> Iterator[str]:
    for person in problem.people:
        if person.key in job.people:
            for start, end in _pieces(problem.open, job.start, job.end):
                for gone, back in _pieces(person.away, start, end):
                    yield f"{job.what} needs '{person.key}', who is away from {gone} to {back}"


def _two_places(problem: Problem, timetable: Timetable) -> Iterator[str]:
    for one, other in combinations(_jobs(problem, timetable), 2):
        if max(one.start, other.start) < min(one.end, other.end):
            for name in sorted(set(one.people) & set(other.people)):
                yield (
                    f"'{name}' is at {one.what} from {one.start} to {one.end} and at {other.what} "
                    f"from {other.start} to {other.end}"
                )


# Tools


def _tools(problem: Problem, timetable: Timetable) -> Iterator[str]:
    for tool in problem.tools:
        uses = sorted(_uses(problem, timetable, tool), key=lambda use: (use.start, use.end))
        for use in uses:
            yield from _unclean(tool, use)
        yield from _shared_out(tool, uses)


def _uses(problem: Problem, timetable: Timetable, tool: Tool) -> Iterator[_Use]:
    held: set[str] = set()
    for keys in _held_together([hold for hold in problem.holds if hold.tool == tool.key]):
        members = [(t, s) for t, s in _placed(problem, timetable) if t.key in keys]
        held |= keys
        if members:
            yield _use(tool, members)
    for task, slot in _placed(problem, timetable):
        for _ in range(task.tools.count(tool.key) - (task.key in held)):
            yield _use(tool, [(task, slot)])


def _held_together(holds: list[Hold]) -> list[set[str]]:
    """The tasks of each hold; holds that share a task are one."""
    groups: list[set[str]] = []
    for hold in holds:
        group = set(hold.tasks)
        for other in [g for g in groups if g & group]:
            groups.remove(other)
            group |= other
        groups.append(group)
    return groups


def _use(tool: Tool, members: list[tuple[Task, Slot]]) -> _Use:
    products = sorted(
        (slot.start, slot.end, task.product)
        for task, slot in members
        if task.product and tool.key in task.tools
    )
    return _Use(
        " and ".join(f"'{task.key}'" for task, _ in members),
        min(slot.start for _, slot in members),
        max(slot.end for _, slot in members),
        tuple(products),
    )


def _unclean(tool: Tool, use: _Use) -> Iterator[str]:
    """Two products in one hold of a tool with no time to clean it between them."""
    for (_, end, one), (start, _, other) in pairwise(use.products):
        if one != other and start < end + tool.cleaning:
            yield (
                f"'{tool.key}' held by {use.what} is used with '{one}' until {end} and with "
                f"'{other}' from {start}; cleaning takes {tool.cleaning}"
            )


def _shared_out(tool: Tool, uses: list[_Use]) -> Iterator[str]:
    """Tell the uses off to the tools in order of start; all ways of doing so are kept in view."""
    ways = {(_Unit(),) * tool.count}
    for at, use in enumerate(uses):
        after = {
            tuple(sorted((*way[:i], _taken(unit, use), *way[i + 1 :])))
            for way in ways
            for i, unit in enumerate(way)
            if _free(tool, unit, use)
        }
        if after:
            ways = after
            continue
        reach = use.start - tool.cleaning
        near = ", ".join(f"{u.what} {u.start} to {u.end}" for u in uses[:at] if u.end > reach)
        yield (
            f"{use.what} from {use.start} to {use.end} finds no '{tool.key}' free and clean "
            f"(there are {tool.count}, cleaning takes {tool.cleaning}): {near}"
        )


def _free(tool: Tool, unit: _Unit, use: _Use) -> bool:
    if unit.until > use.start:
        return False
    if not (use.products and unit.product):
        return True
    start, _, product = use.products[0]
    return product == unit.product or start >= unit.since + tool.cleaning


def _taken(unit: _Unit, use: _Use) -> _Unit:
    if not use.products:
        return unit._replace(until=use.end)
    _, end, product = use.products[-1]
    return _Unit(use.end, product, end)


# Order


def _at(slot: Slot, anchor: Anchor) -> int:
    return slot.start if anchor == "start" else slot.end


def _lags(problem: Problem, timetable: Timetable) -> Iterator[str]:
    slots = timetable.slots
    for lag in problem.lags:
        if lag.before in slots and lag.after in slots:
            left, reached = _at(slots[lag.before], lag.leaves), _at(slots[lag.after], lag.reaches)
            told = _lag_told(lag, left, reached)
            if lag.least is not None and reached - left < lag.least:
                yield f"{told}, at least {lag.least}"
            if lag.most is not None and reached - left > lag.most:
                yield f"{told}, at most {lag.most}"


def _lag_told(lag: Lag, left: int, reached: int) -> str:
    name = f"{lag.name}: " if lag.name else ""
    return (
        f"{name}the {lag.reaches} of '{lag.after}' at {reached} comes {reached - left} after the "
        f"{lag.leaves} of '{lag.before}' at {left}"
    )


def _aparts(problem: Problem, timetable: Timetable) -> Iterator[str]:
    for apart in problem.aparts:
        if apart.one in timetable.slots and apart.other in timetable.slots:
            yield from _apart(apart, timetable.slots[apart.one], timetable.slots[apart.other])


def _apart(apart: Apart, one: Slot, other: Slot) -> Iterator[str]:
    if one.end + apart.after_one > other.start and other.end + apart.after_other > one.start:
        name = f"{apart.name}: " if apart.name else ""
        yield (
            f"{name}'{apart.one}' from {one.start} to {one.end} and '{apart.other}' from "
            f"{other.start} to {other.end} are not apart (gaps {apart.after_one} and "
            f"{apart.after_other})"
        )


# Pots


def _pots(problem: Problem, timetable: Timetable) -> Iterator[str]:
    keys = {pot.key for pot in problem.pots}
    for mix in timetable.mixes:
        if mix.pot not in keys:
            yield f"{_mixing(mix)} is of no pot of the problem"
    for one, other in pairwise(timetable.mixes):
        if one.start > other.start:
            yield f"{_mixing(other)} stands after {_mixing(one)}"
    for pot in problem.pots:
        mixes = [mix for mix in timetable.mixes if mix.pot == pot.key]
        yield from _served(pot, mixes)
        for mix in mixes:
            yield from _mixed(problem, pot, mix)
            yield from _fresh(pot, mix, timetable)


def _served(pot: Pot, mixes: list[Mix]) -> Iterator[str]:
    """Every task of the pot is served once."""
    for key, _ in pot.amounts:
        times = sum(mix.serves.count(key) for mix in mixes)
        if times != 1:
            yield f"'{key}' takes '{pot.key}' from {times} mixes"


def _mixed(problem: Problem, pot: Pot, mix: Mix) -> Iterator[str]:
    """One mix: how long it takes, when, for whom and how much."""
    amounts = dict(pot.amounts)
    if mix.end - mix.start != pot.mixing:
        yield f"{_mixing(mix)} ends at {mix.end}, but takes {pot.mixing}"
    if mix.start < 0 or _ticks(problem.open, mix.start, mix.end) < mix.end - mix.start:
        yield f"{_mixing(mix)} runs to {mix.end} while the shop is shut"
    if not mix.serves:
        yield f"{_mixing(mix)} serves nothing"
    for key in mix.serves:
        if key not in amounts:
            yield f"{_mixing(mix)} serves '{key}', which takes none of it"
    total = sum(amounts.get(key, 0) for key in mix.serves)
    holds = (pot.capacity if mix.holds is None else mix.holds) - mix.lost
    if total > holds:
        yield f"{_mixing(mix)} gives {total} to {', '.join(mix.serves)}, and holds {holds}"


def _fresh(pot: Pot, mix: Mix, timetable: Timetable) -> Iterator[str]:
    """No task is served before the mix has stood or after it has gone off."""
    gone = mix.start + pot.life if mix.gone is None else mix.gone
    for key in mix.serves:
        slot = timetable.slots.get(key)
        if slot is None:
            continue
        if slot.start < mix.end + pot.stand:
            yield f"'{key}' starts at {slot.start}, before {_mixing(mix)} has stood {pot.stand}"
        if slot.end > gone:
            lived = max(gone - mix.start, 0)
            yield f"'{key}' ends at {slot.end}, after {_mixing(mix)} has lived its {lived}"


_Check = Callable[[Problem, Timetable], Iterator[str]]
_CHECKS: tuple[_Check, ...] = (
    _tasks,
    _durations,
    _bounds,
    _people,
    _two_places,
    _tools,
    _lags,
    _aparts,
    _pots,
)
