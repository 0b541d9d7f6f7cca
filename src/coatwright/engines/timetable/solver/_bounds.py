"""What no timetable can beat: fewest pots, least time by load and by lags, relaxed problems."""

from collections.abc import Iterator
from dataclasses import replace

from coatwright.engines.timetable.problem import Measure, Problem
from coatwright.engines.timetable.solver._compiled import Compiled, daily
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


def soonest_end(made: Compiled) -> int:
    """The soonest that all can be done: lags and calendar, and the load in open ticks."""
    spread = reach(made)
    last = max(made.end_of(i, start) for i, start in enumerate(spread.earliest))
    asked = min(load(made), len(made.clock))
    first = 0 if any(pot.amount for pot in made.pots) else made.at(min(spread.earliest))
    return max(last, int(made.clock[min(first + asked, len(made.clock)) - 1]) + 1)


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


def relaxations(problem: Problem) -> Iterator[Problem]:
    """The problem without what makes it hard: first without people and pots, then without pots."""
    if problem.tools:
        alone = tuple(replace(task, people=()) for task in problem.tasks)
        yield replace(problem, tasks=alone, pots=())
    yield replace(problem, pots=())
