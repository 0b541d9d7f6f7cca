"""Whether a tiny problem has a timetable, found by trying everything; the checker is the judge."""

from collections.abc import Iterator
from dataclasses import replace
from functools import cached_property, lru_cache
from itertools import permutations

from coatwright.engines.timetable.checking import faults
from coatwright.engines.timetable.clashes import only
from coatwright.engines.timetable.problem import Mix, Problem, Slot, Task, Timetable

Placed = dict[str, Slot]


@lru_cache(10_000)
def feasible(problem: Problem, seconds: float = 0.0) -> bool:
    """By placing task after task in every way; every mix serves what it may."""
    del seconds
    return any(True for _ in Trial(problem).timetables(0, {}, ()))


class Trial:
    """Tries everything; two tasks that clash by themselves are tried together but once."""

    def __init__(self, problem: Problem) -> None:
        self.problem = problem
        self.dry = replace(problem, pots=())
        self.known: dict[tuple[tuple[str, Slot], ...], bool] = {}

    def timetables(self, at: int, slots: Placed, mixes: tuple[Mix, ...]) -> Iterator[Timetable]:
        """Every way of placing the tasks from this one on."""
        if at == len(self.problem.tasks):
            yield Timetable(slots, mixes)
            return
        task = self.problem.tasks[at]
        part = only(self.problem, {*slots, task.key})
        for slot in self.slots[task.key]:
            if not self.fits(slots, task.key, slot):
                continue
            for mixed in self.served(task, slot, mixes):
                more = {**slots, task.key: slot}
                if not faults(part, Timetable(more, mixed)):
                    yield from self.timetables(at + 1, more, mixed)

    @cached_property
    def slots(self) -> dict[str, list[Slot]]:
        """For every task its slots that are good by themselves."""
        alone = {task.key: only(self.dry, {task.key}) for task in self.problem.tasks}
        return {
            task.key: [
                slot
                for slot in self.all_slots(task)
                if not faults(alone[task.key], Timetable({task.key: slot}))
            ]
            for task in self.problem.tasks
        }

    def all_slots(self, task: Task) -> Iterator[Slot]:
        names = [person.key for person in self.problem.people]
        end = self.problem.open[-1][1]
        for start in range(end):
            for stop in range(start + task.work, end + 1 if task.split else start + task.work + 1):
                for crew in permutations(names, len(task.people)):
                    yield Slot(start, stop, crew)

    def fits(self, slots: Placed, key: str, slot: Slot) -> bool:
        for other, there in slots.items():
            pair = ((other, there), (key, slot))
            if pair not in self.known:
                two = only(self.dry, {other, key})
                self.known[pair] = not faults(two, Timetable(dict(pair)))
            if not self.known[pair]:
                return False
        return True

    def served(self, task: Task, slot: Slot, mixes: tuple[Mix, ...]) -> Iterator[tuple[Mix, ...]]:
        """Every way of serving a task: none, from a mix there is, from one made for it."""
        pot = next((pot for pot in self.problem.pots if task.key in dict(pot.amounts)), None)
        if pot is None:
            yield mixes
            return
        for i, mix in enumerate(mixes):
            if mix.pot == pot.key:
                more = mix._replace(serves=(*mix.serves, task.key))
                yield (*mixes[:i], more, *mixes[i + 1 :])
        names = [person.key for person in self.problem.people]
        for crew in permutations(names, len(pot.people)):
            for start in range(slot.start - pot.mixing + 1):
                fresh = Mix(pot.key, start, start + pot.mixing, (task.key,), crew)
                yield tuple(sorted((*mixes, fresh), key=lambda mix: mix.start))
