"""What no timetable can beat: fewest pots, least time by load and by lags, relaxed problems."""

from bisect import bisect_left
from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import pairwise
from typing import Final, NamedTuple

import numpy as np
from ortools.graph.python import max_flow

from coatwright.engines.timetable.problem import Lag, Measure, Problem, Task
from coatwright.engines.timetable.solver._compiled import Compiled, Int, daily
from coatwright.engines.timetable.solver._reach import Reach, reach, tails

EXACT: Final = 1e-6
"""What a sum of shares may lose by rounding [-]."""


def fewest_pots(made: Compiled, number: int) -> int:
    """How many pots of a paint must still be mixed: the L2 bound of bin packing.

    For every k: items above capacity - k fill a pot each; of those from k up, what does not fit
    beside the ones above half a pot needs pots of its own.
    """
    capacity = made.problem.pots[number].capacity
    amounts = list(made.pots[number].amount.values())
    left = sum(pot.left for pot in made.standing if pot.pot == number)
    if left:
        return max(-(-(sum(amounts) - left) // capacity), 0)
    return max(
        (_packed(amounts, capacity, k) for k in {0, *amounts} if 2 * k <= capacity), default=0
    )


def _packed(amounts: list[int], capacity: int, k: int) -> int:
    alone = [a for a in amounts if a > capacity - k]
    large = [a for a in amounts if capacity - k >= a and 2 * a > capacity]
    small = [a for a in amounts if 2 * a <= capacity and a >= k]
    room = len(large) * capacity - sum(large)
    return len(alone) + len(large) + max(-(-(sum(small) - room) // capacity), 0)


def load(made: Compiled) -> int:
    """The least time somebody is there [-]: all work shared out evenly to all who can do it."""
    problem = made.problem
    mixing = [(pot.people, pot.mixing * fewest_pots(made, n)) for n, pot in enumerate(problem.pots)]
    work = [(task.people, task.work) for task in problem.tasks] + mixing
    loads = [-(-sum(len(who) * time for who, time in work) // max(len(problem.people), 1))]
    for skill in {skill for who, _ in work for skill in who if skill}:
        able = sum(skill in person.skills for person in problem.people)
        asked = sum(who.count(skill) * time for who, time in work)
        loads.append(-(-asked // max(able, 1)))
    for tool in problem.tools:
        users = [task.work for task in problem.tasks if tool.key in task.tools and task.people]
        if not any(hold.tool == tool.key for hold in problem.holds):
            loads.append(-(-sum(users) // tool.count))
    return max(loads)


class Heavy(NamedTuple):
    """Work that a tool or the people must do: how long, not before a head, with a tail after it."""

    work: Int
    heads: Int
    tails: Int
    width: int


def soonest_end(made: Compiled) -> int:
    """The soonest that all can be done, by lags, by every tool and by the people.

    For any head r and tail q: what cannot start before r and has q after it is done one after
    another from r on (by several: shared out evenly), and q follows. For one tool the greatest of
    these is the bound of Jackson's preemptive schedule.
    """
    return max(
        [_heaviest(made, heavy) for heavy in _heavies(made) if len(heavy.work)]
        + [made.end_of(i, start) for i, start in enumerate(reach(made).earliest)]
    )


def _heavies(made: Compiled) -> Iterator[Heavy]:
    problem, heads = made.problem, np.array(reach(made).earliest)
    after, work = np.array(tails(made)), np.array([task.work for task in problem.tasks])
    for tool in problem.tools:
        uses = np.array([tool.key in task.tools for task in problem.tasks])
        if not any(hold.tool == tool.key for hold in problem.holds):
            yield Heavy(work[uses], heads[uses], after[uses], tool.count)
    many = np.array([len(task.people) for task in problem.tasks])
    asked = [(work * many, heads, after)]
    for number, pot in enumerate(problem.pots):
        least = fewest_pots(made, number) * pot.mixing * len(pot.people)
        served = [int(work[i] + after[i]) for i in made.pots[number].amount]
        if served:
            asked.append((np.array([least]), np.array([0]), np.array([min(served) + pot.stand])))
    loads, starts, ends = (np.concatenate(column) for column in zip(*asked, strict=True))
    yield Heavy(loads, starts, ends, max(len(problem.people), 1))


def _heaviest(made: Compiled, heavy: Heavy) -> int:
    order = np.argsort(-heavy.tails, kind="stable")
    work, tail = heavy.work[order], heavy.tails[order]
    first = made.clock.searchsorted(heavy.heads[order])
    soonest = 0
    for start in np.unique(first[work > 0]):
        late = first >= start
        done = -(-np.cumsum(work[late]) // heavy.width)
        last = np.clip(start + done, 1, len(made.clock)) - 1
        soonest = max(soonest, int((made.clock[last] + 1 + tail[late])[done > 0].max()))
    return soonest


class Share(NamedTuple):
    """Work that must lie within a window: how long, by how many people, on which tool ("": none).

    first and last are indices of the open ticks: it may run from first until just before last.
    """

    work: int
    many: int
    first: int
    last: int
    tool: str = ""


def joint_end(made: Compiled) -> int:
    """The soonest that all can be done by people and tools together, work torn up at will.

    The least end at which all work, cut into pieces and laid anywhere between its earliest start
    and its latest end, finds people enough at every moment and no more of it on a tool than there
    are. Whether it does is a maximum flow from work through the time on its tool to the time of the
    people (the windows as in Horn 1974, Naval Research Logistics Quarterly 21, from memory; tool
    and people in a row, and the mixings: derived).
    """
    low = soonest_end(made)
    for skill in _skills(made):
        step, high = 1, low
        while high <= made.clock[-1] and not _all_fits(made, high, skill):
            low, high, step = high + 1, high + step, 2 * step
        while low < high:
            middle = (low + high) // 2
            if _all_fits(made, middle, skill):
                high = middle
            else:
                low = middle + 1
    return low


def joint_days(made: Compiled) -> int:
    """How many days that takes at the least: what does not fit by the end of one takes another."""
    day = made.problem.day
    days = (soonest_end(made) - 1) // day + 1
    for skill in _skills(made):
        while days * day <= made.clock[-1] and not _all_fits(made, days * day, skill):
            days += 1
    return days


def _skills(made: Compiled) -> list[str]:
    """Everybody (""), then every skill that is asked for."""
    return ["", *sorted({s for task in made.problem.tasks for s in task.people if s})]


def _all_fits(made: Compiled, until: int, skill: str) -> bool:
    """Whether torn-up work finds room by then with those who have a skill ("": everybody)."""
    spread = reach(made, until)
    if spread.broken is not None:
        return False
    last = [made.end_of(i, start) for i, start in enumerate(spread.latest)]
    shares = [share for share in _shares(made, spread, last, skill) if share.many]
    if not shares:
        return True
    edges = np.unique([edge for share in shares for edge in (share.first, share.last)])
    there = np.zeros(len(made.clock), dtype=np.int64)
    for group in made.groups:
        if not skill or skill in group.skills:
            there += group.there * len(group.members)
    room = np.diff(np.concatenate([[0], np.cumsum(there)])[edges])
    counts = {tool.key: tool.count for tool in made.problem.tools}
    return _flows(shares, edges, room, counts)


def _flows(shares: Sequence[Share], edges: Int, room: Int, counts: dict[str, int]) -> bool:
    """Whether all shares fit into stretches between edges with so much room for people's work."""
    length = np.diff(edges)
    stretches = len(length)
    people = np.arange(stretches) + 2
    tools = {"": people}
    tails, heads, most = [people], [np.ones(stretches, dtype=np.int64)], [room]
    for number, tool in enumerate(sorted({share.tool for share in shares} - {""}), start=1):
        tools[tool] = people + number * stretches
        tails.append(tools[tool])
        heads.append(people)
        most.append(length * counts[tool])
    node = 2 + stretches * len(tools)
    for number, share in enumerate(shares):
        low, high = np.searchsorted(edges, (share.first, share.last))
        onto = tools[share.tool][low:high]
        tails += [np.zeros(1, dtype=np.int64), np.full(len(onto), node + number)]
        heads += [np.array([node + number]), onto]
        most += [np.array([share.work * share.many]), length[low:high] * share.many]
    flow = max_flow.SimpleMaxFlow()
    flow.add_arcs_with_capacity(np.concatenate(tails), np.concatenate(heads), np.concatenate(most))
    if flow.solve(0, 1) != flow.OPTIMAL:
        return True
    return bool(flow.optimal_flow() >= sum(share.work * share.many for share in shares))


def _shares(made: Compiled, spread: Reach, last: Sequence[int], skill: str) -> Iterator[Share]:
    """Tasks and mixings as work of those who have a skill, within what lags and calendar leave."""
    problem = made.problem
    loads = {
        tool.key: sum(task.work for task in problem.tasks if tool.key in task.tools) / tool.count
        for tool in problem.tools
        if not any(hold.tool == tool.key for hold in problem.holds)
    }
    for i, task in enumerate(problem.tasks):
        many = task.people.count(skill) if skill else len(task.people)
        tools = [tool for tool in task.tools if tool in loads] if many == 1 else []
        tool = max(tools, key=lambda key: loads[key], default="")
        yield Share(task.work, many, made.at(spread.earliest[i]), made.at(last[i]), tool)
    for number, pot in enumerate(problem.pots):
        many = pot.people.count(skill) if skill else len(pot.people)
        for due in mixed_by(made, number, spread, last):
            yield Share(pot.mixing, many, 0, made.at(due))


def mixed_by(made: Compiled, number: int, spread: Reach, last: Sequence[int]) -> list[int]:
    """For every pot of a paint that must be mixed, in order of mixing, by when it is ready.

    Pots that are ready after a moment serve only what starts after it: the tool gives so much time
    until the last of these tasks ends, filled at best with what takes most paint a tick. The rest
    must have pots enough by then. last: the latest end of every task [-] (derived).
    """
    pot, amounts = made.problem.pots[number], made.pots[number].amount
    if not amounts:
        return []
    final = max(spread.latest[i] for i in amounts) - pot.stand
    end = made.at(max(last[i] for i in amounts))
    work = {i: made.problem.tasks[i].work for i in amounts}
    greedy = sorted(amounts, key=lambda i: (-amounts[i] / work[i], i))
    asked = sum(amounts.values()) - sum(p.left for p in made.standing if p.pot == number)
    width = _width(made, list(amounts))

    def needed(moment: int) -> int:
        """How many pots must be ready by a moment."""
        ready = moment + 1 + pot.stand
        room, served = max(end - made.at(ready), 0) * width, 0.0
        for i in greedy:
            if spread.latest[i] >= ready:
                taken = min(work[i], room)
                room -= taken
                served += amounts[i] * taken / work[i]
        return -(-(asked - int(served + EXACT)) // pot.capacity)

    moments = range(max(final, 0))
    count = fewest_pots(made, number)
    return [bisect_left(moments, m, key=needed) for m in range(1, count + 1)]


def _width(made: Compiled, tasks: Sequence[int]) -> int:
    """How many of these tasks a tool that all of them use lets run at once."""
    problem = made.problem
    held = {hold.tool for hold in problem.holds}
    shared = set.intersection(*(set(problem.tasks[i].tools) for i in tasks)) - held
    return min((tool.count for tool in problem.tools if tool.key in shared), default=len(tasks))


def longest_chain(made: Compiled) -> int:
    """In one day without a break: from first start to last end at the least."""
    return max(task.work + tail for task, tail in zip(made.problem.tasks, tails(made), strict=True))


def least(made: Compiled, weights: Measure) -> int:
    """A bound of weighed measures from loads, lags and calendar."""
    end = joint_end(made) if weights.end else 1
    pots = sum(fewest_pots(made, n) for n in range(len(made.pots)))
    manned = load(made)
    if weights.manned and len(daily(made.problem)) == 1:
        manned = max(manned, longest_chain(made))
    days = (end - 1) // made.problem.day + 1
    if weights.days and not weights.end:
        days = joint_days(made)
    return Measure(days, manned, end, pots, 0).weighed(weights)


def ready_made(made: Compiled, until: int) -> Problem:
    """The problem without what makes it hardest: mixing takes hands, but serves no task of its own.

    The fewest mixings of every paint stand as tasks of their own, in a row, each done by when it is
    needed at last if all is to be done by `until`, the first before all that takes of the paint.
    """
    problem, spread = made.problem, reach(made, until)
    if spread.broken is not None:
        return replace(problem, pots=())
    last = [made.end_of(i, start) for i, start in enumerate(spread.latest)]
    tasks, lags = list(problem.tasks), list(problem.lags)
    for number, pot in enumerate(problem.pots):
        dues = mixed_by(made, number, spread, last)
        names = [f"\n{number}.{k}" for k in range(len(dues))]
        tasks += [
            Task(name, pot.mixing, pot.people, latest=due)
            for name, due in zip(names, dues, strict=True)
        ]
        lags += [Lag(one, other, leaves="start") for one, other in pairwise(names)]
        if names and all(stood.pot != number for stood in made.standing):
            lags += [Lag(names[0], key, pot.stand) for key, _ in pot.amounts]
    return replace(problem, tasks=tuple(tasks), lags=tuple(lags), pots=())
