"""Problems one tick tighter than a timetable keeps: every promise in turn is no longer kept.

Each function takes a job and dice, and gives the tighter problem with a word its fault must have,
or None where the job has nothing of the kind.
"""

import random
from collections.abc import Callable
from dataclasses import replace
from itertools import pairwise

from coatwright.engines.timetable.problem import Apart, Hold, Lag, Person, Pot, Problem, Task
from properties.timetable.jobs import Job

Tighter = tuple[Problem, str] | None


def _with_task(problem: Problem, task: Task) -> Problem:
    return replace(problem, tasks=tuple(task if t.key == task.key else t for t in problem.tasks))


def _with_pot(problem: Problem, pot: Pot) -> Problem:
    return replace(problem, pots=tuple(pot if p.key == pot.key else p for p in problem.pots))


def _with_person(problem: Problem, person: Person) -> Problem:
    return replace(
        problem, people=tuple(person if p.key == person.key else p for p in problem.people)
    )


def work(job: Job, dice: random.Random) -> Tighter:
    task = dice.choice(job.problem.tasks)
    return _with_task(
        job.problem, replace(task, work=task.work + 1)
    ), f"for a work of {task.work + 1}"


def earliest(job: Job, dice: random.Random) -> Tighter:
    task = dice.choice(job.problem.tasks)
    start = job.timetable.slots[task.key].start
    return _with_task(job.problem, replace(task, earliest=start + 1)), f"before {start + 1}"


def latest(job: Job, dice: random.Random) -> Tighter:
    task = dice.choice(job.problem.tasks)
    end = job.timetable.slots[task.key].end
    return _with_task(job.problem, replace(task, latest=end - 1)), f"after {end - 1}"


def windows(job: Job, dice: random.Random) -> Tighter:
    task = dice.choice(job.problem.tasks)
    start, end, _ = job.timetable.slots[task.key]
    tick = dice.choice((start, end - 1))
    around = ((0, tick), (tick + 1, 10**9))
    return _with_task(job.problem, replace(task, windows=around)), f"outside its windows {around}"


def least(job: Job, dice: random.Random) -> Tighter:
    lag, kept = _tie(job, dice)
    tight = replace(lag, least=kept + 1, most=None)
    return replace(job.problem, lags=(*job.problem.lags, tight)), f"at least {kept + 1}"


def most(job: Job, dice: random.Random) -> Tighter:
    lag, kept = _tie(job, dice)
    tight = replace(lag, least=None, most=kept - 1)
    return replace(job.problem, lags=(*job.problem.lags, tight)), f"at most {kept - 1}"


def _tie(job: Job, dice: random.Random) -> tuple[Lag, int]:
    slots = job.timetable.slots
    before, after = dice.choice(list(slots)), dice.choice(list(slots))
    leaves, reaches = dice.choice(("start", "end")), dice.choice(("start", "end"))
    kept = getattr(slots[after], reaches) - getattr(slots[before], leaves)
    return Lag(before, after, leaves=leaves, reaches=reaches), kept


def apart(job: Job, dice: random.Random) -> Tighter:
    slots = sorted(job.timetable.slots.items(), key=lambda item: item[1].start)
    (one, first), (other, second) = dice.choice(list(pairwise(slots)))
    tight = Apart(one, other, after_one=second.start - first.end + 1)
    return replace(job.problem, aparts=(*job.problem.aparts, tight)), "are not apart"


def cleaning(job: Job, dice: random.Random) -> Tighter:
    changes = [
        (one, other) for one, other in pairwise(_sprayed(job)) if one.product != other.product
    ]
    gun = job.problem.tools[0]
    if gun.count > 1 or not changes:
        return None
    one, other = dice.choice(changes)
    slots = job.timetable.slots
    tight = replace(gun, cleaning=slots[other.key].start - slots[one.key].end + 1)
    told = "finds no 'gun' free and clean"
    return replace(job.problem, tools=(tight, *job.problem.tools[1:])), told


def hold(job: Job, dice: random.Random) -> Tighter:
    coats = _sprayed(job)
    if job.problem.tools[0].count > 1 or len(coats) < 3:
        return None
    tight = Hold("gun", (coats[0].key, coats[-1].key))
    told = f"'{dice.choice(coats[1:-1]).key}' from"
    return replace(job.problem, holds=(*job.problem.holds, tight)), told


def _sprayed(job: Job) -> list[Task]:
    coats = [task for task in job.problem.tasks if "gun" in task.tools]
    return sorted(coats, key=lambda task: job.timetable.slots[task.key].start)


def away(job: Job, dice: random.Random) -> Tighter:
    key, (start, end, people) = dice.choice(list(job.timetable.slots.items()))
    name = dice.choice(people)
    person = next(person for person in job.problem.people if person.key == name)
    tick = dice.choice((start, end - 1))
    gone = replace(person, away=(*person.away, (tick, tick + 1)))
    told = f"'{key}' needs '{name}', who is away from {tick} to {tick + 1}"
    return _with_person(job.problem, gone), told


def skill(job: Job, dice: random.Random) -> Tighter:
    del dice
    people = tuple(replace(person, skills=frozenset()) for person in job.problem.people)
    return replace(job.problem, people=people), "takes the skills ('spray',"


def shut(job: Job, dice: random.Random) -> Tighter:
    key, (start, end, _) = dice.choice(list(job.timetable.slots.items()))
    tick = dice.choice((start, end - 1))
    kept = [((a, min(b, tick)), (max(a, tick + 1), b)) for a, b in job.problem.open]
    spans = tuple((a, b) for parts in kept for a, b in parts if a < b)
    return replace(job.problem, open=spans), f"'{key}' from {start} to {end}"


def crew(job: Job, dice: random.Random) -> Tighter:
    """The same work for one person more than do it."""
    task = dice.choice(job.problem.tasks)
    more = (*task.people, "")
    told = f"'{task.key}' takes {len(more)} people and is given {len(task.people)}"
    return _with_task(job.problem, replace(task, people=more)), told


def capacity(job: Job, dice: random.Random) -> Tighter:
    pot = _pot(job, dice)
    if pot is None:
        return None
    top = max(amount for _, amount in pot.amounts)
    return _with_pot(job.problem, replace(pot, capacity=top - 1)), f"and holds {top - 1}"


def life(job: Job, dice: random.Random) -> Tighter:
    pot = _pot(job, dice)
    if pot is None:
        return None
    mix = next(mix for mix in job.timetable.mixes if mix.pot == pot.key)
    lived = job.timetable.slots[mix.serves[0]].end - mix.start
    return _with_pot(job.problem, replace(pot, life=lived - 1)), f"has lived its {lived - 1}"


def stand(job: Job, dice: random.Random) -> Tighter:
    pot = _pot(job, dice)
    if pot is None:
        return None
    mix = next(mix for mix in job.timetable.mixes if mix.pot == pot.key)
    stood = job.timetable.slots[mix.serves[0]].start - mix.end
    return _with_pot(job.problem, replace(pot, stand=stood + 1)), f"has stood {stood + 1}"


def mixing(job: Job, dice: random.Random) -> Tighter:
    pot = _pot(job, dice)
    if pot is None:
        return None
    return _with_pot(
        job.problem, replace(pot, mixing=pot.mixing + 1)
    ), f"but takes {pot.mixing + 1}"


def served(job: Job, dice: random.Random) -> Tighter:
    """A task that was forgotten when the paint was mixed."""
    pot = _pot(job, dice)
    dry = [task for task in job.problem.tasks if not task.product]
    if pot is None or not dry:
        return None
    forgotten = dice.choice(dry).key
    more = replace(pot, amounts=(*pot.amounts, (forgotten, 1)))
    return _with_pot(job.problem, more), f"'{forgotten}' takes '{pot.key}' from 0 mixes"


def _pot(job: Job, dice: random.Random) -> Pot | None:
    return dice.choice(job.problem.pots) if job.problem.pots else None


KINDS: tuple[Callable[[Job, random.Random], Tighter], ...] = (
    work,
    earliest,
    latest,
    windows,
    least,
    most,
    apart,
    cleaning,
    hold,
    away,
    skill,
    shut,
    crew,
    capacity,
    life,
    stand,
    mixing,
    served,
)
