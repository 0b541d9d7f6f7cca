"""What is left of a problem at a moment: the past becomes limits, absences and standing pots."""

from collections.abc import Iterator
from dataclasses import replace
from typing import NamedTuple

from coatwright.engines.timetable.problem import (
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
)
from coatwright.engines.timetable.solver._compiled import Given, Reachable, Standing
from coatwright.errors import NotConverged


class Rest(NamedTuple):
    """The problem from `now` on, what the past gives it, and the past.

    stands: for each mix of the past the pot by which the search knows it, None if it is of no use.
    """

    problem: Problem
    given: Given
    past: dict[str, Slot]
    mixes: tuple[Mix, ...]
    stands: tuple[Standing | None, ...]


def rest_of(problem: Problem, was: Timetable, now: int) -> Rest:
    """The rest of a problem. Raises NotConverged if work is left and the shop opens no more."""
    past = {key: slot for key, slot in was.slots.items() if slot.start < now}
    mixes = tuple(mix for mix in was.mixes if mix.start < now)
    left = [task for task in problem.tasks if task.key not in past]
    opened = tuple((max(a, now), b) for a, b in problem.open if b > now)
    if left and not opened:
        raise NotConverged(
            "no timetable exists: work is left and the shop does not open again",
            instead="open longer, or take something away",
        )
    tied = {task.key: Reachable(start_from=now) for task in left}
    for key, limit in _ties(problem, past):
        if key in tied:
            tied[key] = _both(tied[key], limit)
    under_way, holds = _under_way(problem, past, now, opened)
    rest = replace(
        problem,
        tasks=(*left, *under_way) if left else (),
        people=tuple(_busy(person, past, mixes, now) for person in problem.people),
        open=opened or problem.open,
        lags=tuple(g for g in problem.lags if g.before in tied and g.after in tied),
        pots=tuple(
            replace(pot, amounts=tuple((k, a) for k, a in pot.amounts if k in tied))
            for pot in problem.pots
        ),
        aparts=tuple(a for a in problem.aparts if a.one in tied and a.other in tied),
        holds=holds if left else (),
    )
    stands = _standing(problem, past, mixes, now)
    given = Given(tied, tuple(sorted(one for one in stands if one)))
    return Rest(rest, given, past, mixes, stands)


def joined(rest: Rest, found: Timetable) -> Timetable:
    """The past and what was found for the rest."""
    new = {key: slot for key, slot in found.slots.items() if key in rest.given.limits}
    slots = dict(sorted({**rest.past, **new}.items(), key=lambda item: item[1].start))
    more = _still_served(rest, found)
    mixes = [
        mix._replace(serves=tuple(k for k in mix.serves if k in rest.past) + more.get(i, ()))
        for i, mix in enumerate(rest.mixes)
    ]
    stood = {_known_by(rest.problem, one) for one in rest.stands if one}
    mixes += [mix for mix in found.mixes if (mix.pot, mix.start, mix.people) not in stood]
    return Timetable(slots, _none_idle(rest, slots, mixes))


def _none_idle(rest: Rest, slots: dict[str, Slot], mixes: list[Mix]) -> tuple[Mix, ...]:
    """A pot that serves nobody any more takes over a task that it can serve, if there is one."""
    pots = {pot.key: pot for pot in rest.problem.pots}
    for place, idle in enumerate(mixes):
        for other, mix in enumerate(mixes if not idle.serves else []):
            pot = pots[idle.pot]
            able = [
                key
                for key in mix.serves
                if mix.pot == idle.pot
                and len(mix.serves) > 1
                and key in rest.given.limits
                and slots[key].start >= idle.end + pot.stand
                and slots[key].end <= pot.gone(idle)
                and dict(pot.amounts)[key] <= _left(pot, idle, rest.past)
            ]
            if able:
                kept = tuple(key for key in mix.serves if key != able[0])
                mixes[other] = mix._replace(serves=kept)
                mixes[place] = idle._replace(serves=(able[0],))
                break
    return tuple(mixes)


def _still_served(rest: Rest, found: Timetable) -> dict[int, tuple[str, ...]]:
    """What each mix of the past serves later, by its place."""
    serves = {(mix.pot, mix.start, mix.people): mix.serves for mix in found.mixes}
    return {
        place: serves.get(_known_by(rest.problem, one), ())
        for place, one in enumerate(rest.stands)
        if one is not None
    }


def _known_by(problem: Problem, one: Standing) -> tuple[str, int, tuple[str, ...]]:
    """By what the timetable of the rest knows a pot that stood there: nobody mixes it."""
    return problem.pots[one.pot].key, one.start, ()


def _left(pot: Pot, mix: Mix, past: dict[str, Slot]) -> int:
    """What is left in a pot when the past has been served."""
    amounts = dict(pot.amounts)
    return pot.holds(mix) - sum(amounts.get(key, 0) for key in mix.serves if key in past)


def _both(one: Reachable, other: Reachable) -> Reachable:
    return Reachable(
        max(one.start_from, other.start_from),
        min(one.start_by, other.start_by),
        max(one.end_from, other.end_from),
        min(one.end_by, other.end_by),
    )


def _ties(problem: Problem, past: dict[str, Slot]) -> Iterator[tuple[str, Reachable]]:
    """How the past binds a task: by lags out of it, aparts and cleaning."""
    for lag in problem.lags:
        if lag.before in past:
            yield lag.after, _reached(lag, past[lag.before])
    for apart in problem.aparts:
        if apart.one in past:
            yield apart.other, Reachable(start_from=past[apart.one].end + apart.after_one)
        if apart.other in past:
            yield apart.one, Reachable(start_from=past[apart.other].end + apart.after_other)
    for tool in problem.tools:
        users = [task for task in problem.tasks if tool.key in task.tools and task.product]
        for before in users if tool.cleaning else ():
            for after in users:
                if before.key in past and before.product != after.product:
                    clean = past[before.key].end + tool.cleaning
                    yield after.key, Reachable(start_from=clean)


def _reached(lag: Lag, slot: Slot) -> Reachable:
    left = slot.start if lag.leaves == "start" else slot.end
    least = 0 if lag.least is None else max(left + lag.least, 0)
    limit = Reachable()
    if lag.reaches == "start":
        limit = limit._replace(start_from=least)
        return limit if lag.most is None else limit._replace(start_by=left + lag.most)
    limit = limit._replace(end_from=least)
    return limit if lag.most is None else limit._replace(end_by=left + lag.most)


def _busy(person: Person, past: dict[str, Slot], mixes: tuple[Mix, ...], now: int) -> Person:
    """A person who is away while what is under way lasts."""
    jobs = [(slot.start, slot.end, slot.people) for slot in past.values()]
    jobs += [(mix.start, mix.end, mix.people) for mix in mixes]
    busy = tuple((now, end) for _, end, who in jobs if end > now and person.key in who)
    return replace(person, away=person.away + busy)


def _under_way(
    problem: Problem, past: dict[str, Slot], now: int, opened: tuple[Span, ...]
) -> tuple[list[Task], tuple[Hold, ...]]:
    """What still takes tools, as tasks without people; and the holds that are not over."""
    tasks, holds = [], []
    held = {(hold.tool, key) for hold in problem.holds for key in hold.tasks}
    for task in problem.tasks:
        tools = tuple(tool for tool in task.tools if (tool, task.key) not in held)
        if task.key in past and tools:
            tasks += _remains(task.key, tools, (now, past[task.key].end), opened)
    for number, hold in enumerate(problem.holds):
        done = [past[key].end for key in hold.tasks if key in past]
        left = tuple(key for key in hold.tasks if key not in past)
        begun: list[Task] = []
        if done:
            until = max(*done, now + 1 if left else 0)
            begun = _remains(f"{hold.tool} {number}", (hold.tool,), (now, until), opened)
        tasks += begun
        if left or begun:
            holds.append(replace(hold, tasks=(*(task.key for task in begun), *left)))
    happened = any(slot.end > now // problem.day * problem.day for slot in past.values())
    if happened and opened and opened[0][0] // problem.day == now // problem.day:
        tasks += _remains("the day", (), (now, opened[0][0] + 1), opened)
    return tasks, tuple(holds)


def _remains(name: str, tools: tuple[str, ...], span: Span, opened: tuple[Span, ...]) -> list[Task]:
    """A task without people that fills the open ticks of a span, at least the first one."""
    now, end = span
    if end <= now or not opened:
        return []
    if end <= opened[0][0]:
        end = opened[0][0] + 1
    work = sum(max(min(b, end) - max(a, now), 0) for a, b in opened)
    return [Task(f"(under way) {name}", work, (), tools, split=True, earliest=now, latest=end)]


def _standing(
    problem: Problem, past: dict[str, Slot], mixes: tuple[Mix, ...], now: int
) -> tuple[Standing | None, ...]:
    """For each mix its pot, if it has paint that lives; None too for a paint no longer used.

    A pot is given the start from which its life ends when its paint does, before now. No two of a
    paint have the same, so that each is known by it.
    """
    pots = {pot.key: (number, pot) for number, pot in enumerate(problem.pots)}
    known: set[tuple[int, int]] = set()
    found: list[Standing | None] = []
    for mix in mixes:
        number, pot = pots.get(mix.pot, (-1, None))
        if pot is None or pot.gone(mix) <= now or (left := _left(pot, mix, past)) <= 0:
            found.append(None)
            continue
        start = min(pot.gone(mix) - pot.life, now - 1)
        while (number, start) in known:
            start -= 1
        known.add((number, start))
        found.append(Standing(number, start, mix.end, left))
    return tuple(found)
