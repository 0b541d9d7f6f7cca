"""What no timetable can beat: fewest pots, least time by load and by lags, relaxed problems."""

from collections.abc import Iterator
from dataclasses import replace
from typing import NamedTuple

import numpy as np

from coatwright.engines.timetable.problem import Measure, Problem
from coatwright.engines.timetable.solver._compiled import Compiled, Int, daily
from coatwright.engines.timetable.solver._reach import reach, tails


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
    first = np.searchsorted(made.clock, heavy.heads[order])
    soonest = 0
    for start in np.unique(first[work > 0]):
        late = first >= start
        done = -(-np.cumsum(work[late]) // heavy.width)
        last = np.clip(start + done, 1, len(made.clock)) - 1
        soonest = max(soonest, int((made.clock[last] + 1 + tail[late])[done > 0].max()))
    return soonest


def longest_chain(made: Compiled) -> int:
    """In one day without a break: from first start to last end at the least."""
    return max(task.work + tail for task, tail in zip(made.problem.tasks, tails(made), strict=True))


def least(made: Compiled, weights: Measure) -> int:
    """A bound of weighed measures from loads, lags and calendar."""
    end = soonest_end(made)
    pots = sum(fewest_pots(made, n) for n in range(len(made.pots)))
    manned = load(made)
    if weights.manned and len(daily(made.problem)) == 1:
        manned = max(manned, longest_chain(made))
    days = (end - 1) // made.problem.day + 1
    return Measure(days, manned, end, pots, 0).weighed(weights)


def tools_only(problem: Problem) -> Problem:
    """The problem without what makes it hardest: nobody need be there, paint is always mixed."""
    alone = tuple(replace(task, people=()) for task in problem.tasks)
    return replace(problem, tasks=alone, pots=())
