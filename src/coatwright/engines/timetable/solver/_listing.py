"""A plan without a solver: tasks put on the board in many orders, the best of them kept."""

import random
from collections.abc import Iterator, Mapping
from typing import Final

from coatwright.engines.timetable.problem import Goal
from coatwright.engines.timetable.solver._board import Board, layout_of
from coatwright.engines.timetable.solver._compiled import Compiled, ordered
from coatwright.engines.timetable.solver._layout import Layout, measure_of
from coatwright.engines.timetable.solver._reach import Reach

WAVES: Final = (3, 4, 2, 6, 1, 8)
"""How many separate parts of the problem are taken abreast."""
PATIENCE: Final = 12
"""Tasks taken off the board again, for each task, before the first order is given up."""
HASTE: Final = 1
"""The same for every other order: most of those that need more come to nothing."""


def listed(
    made: Compiled, spread: Reach, goal: Goal, tries: int, seed: int
) -> Iterator[Layout | None]:
    """The best plan so far after each of so many orders."""
    best: tuple[tuple[int, ...], Layout] | None = None
    for number, (order, patience) in enumerate(_orders(made, spread, tries, seed)):
        board = Board(made, patience)
        left = (PATIENCE if best is None and number < 3 else HASTE) * len(order)
        if board.fill(order, spread.earliest, left):
            layout = layout_of(board)
            judged = measure_of(made, layout)
            value = tuple(judged.weighed(weights) for weights in goal)
            if best is None or value < best[0]:
                best = value, layout
        yield best and best[1]


def _orders(
    made: Compiled, spread: Reach, tries: int, seed: int
) -> Iterator[tuple[list[int], int]]:
    """Orders that respect the lags, with how long a task may wait for a pot that is open.

    First part after part; then parts in waves, each wave later than the one before by the work in
    it, and within that by how early a task can start.
    """
    draw, parts = random.Random(seed), parts_of(made)
    hands = sum(len(group.members) for group in made.groups)
    pace = sum(task.work for task in made.problem.tasks) / max(len(parts) * hands, 1)
    for number in range(tries):
        wave = WAVES[number % len(WAVES)]
        shuffled = draw.sample(parts, len(parts)) if number > len(WAVES) else parts
        slow, noise = draw.uniform(0.5, 1.2), draw.choice([0.0, 10.0, 30.0])
        rank: dict[int, tuple[int, float]]
        if number == 0:
            rank = {i: (n, spread.latest[i]) for n, part in enumerate(parts) for i in part}
        elif number % 2 and len(parts) < 2:
            rank = {i: (0, spread.latest[i] + draw.uniform(0, noise)) for i in made.order}
        else:
            rank = {
                i: (0, n // wave * wave * pace * slow + spread.earliest[i] + draw.uniform(0, noise))
                for n, part in enumerate(shuffled)
                for i in part
            }
        yield in_order(made, spread, rank), draw.choice([5, 20, 45, 60]) if number else 15


def parts_of(made: Compiled) -> list[list[int]]:
    """Tasks that lags tie together."""
    label = list(range(len(made.ends)))

    def root(task: int) -> int:
        while label[task] != task:
            label[task] = label[label[task]]
            task = label[task]
        return task

    for arc in made.arcs:
        label[root(arc.after)] = root(arc.before)
    parts: dict[int, list[int]] = {}
    for task in made.order:
        parts.setdefault(root(task), []).append(task)
    return list(parts.values())


def in_order(made: Compiled, spread: Reach, rank: Mapping[int, tuple[int, float]]) -> list[int]:
    """Tasks by rank, none before those that come first; before all, those with one time only."""
    fixed = {i for i in rank if spread.earliest[i] == spread.latest[i]}
    return ordered(made.firsts, {i: (-1, 0.0) if i in fixed else at for i, at in rank.items()})
