"""The cheapest legal ways from what is on a spot to the wanted coats: Dijkstra over the rules.

A state is a stack with its surface. From it one goes on by laying a product, after the least work
that the rules ask for, or at the start by stripping the old paint. An edge costs money; a state
from which the rules leave no way is a dead end. The first way to reach the goal is the cheapest.
"""

import heapq
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from itertools import count
from typing import Final, NamedTuple

from coatwright.model.work import Work
from coatwright.planning.advice.acts import Item, Prepared, Want, lay, prepare, strip
from coatwright.planning.advice.context import Context
from coatwright.planning.advice.facts import Ahead, sheet_of
from coatwright.planning.advice.pricing import Price
from coatwright.planning.advice.rulebook import Judgement, Rulebook
from coatwright.planning.advice.stack import Stack, Traits
from coatwright.planning.plan import Finding

ROUNDS: Final = 4
"""How often the rules are asked again after the work they wanted has been done."""
UNDERCOATS: Final = 4
EXPANSIONS: Final = 300
DEAREST: Final = 2.5
"""A route that costs more than this many times the cheapest is not looked for."""
FINISHES: Final = frozenset({"colour", "lacquer", "protection", "basecoat"})


class Fit(NamedTuple):
    """One product laid on a spot, after the work the rules asked for; or why it cannot be."""

    stack: Stack
    items: tuple[Item, ...]
    findings: tuple[Finding, ...]
    possible: bool


@dataclass(frozen=True, slots=True)
class Task:
    """Where a search starts and where it is to end."""

    start: Stack
    goal: tuple[Traits, ...]
    undercoats: tuple[Traits, ...]
    context: Context


@dataclass(frozen=True, slots=True)
class Layed:
    """One layer of a way, with the work before it."""

    product: Traits
    items: tuple[Item, ...]
    findings: tuple[Finding, ...]
    possible: bool = True


@dataclass(frozen=True, slots=True)
class Way:
    """A way from the start: layers in order, what comes before them, what it costs."""

    stack: Stack
    layers: tuple[Layed, ...] = ()
    before: tuple[Item, ...] = ()
    money: float = 0.0

    @property
    def possible(self) -> bool:
        """Whether the rules allow all of it."""
        return all(layer.possible for layer in self.layers)

    @property
    def items(self) -> tuple[Item, ...]:
        """All its work, in order."""
        return (*self.before, *(item for layer in self.layers for item in layer.items))


class Walker:
    """Lays products on stacks by the rules, and remembers what it found."""

    def __init__(self, rulebook: Rulebook, work: Work) -> None:
        self._rulebook = rulebook
        self._work = work
        self._fits: dict[tuple[Traits, Stack, Context, Ahead], Fit] = {}

    def fit(self, product: Traits, stack: Stack, context: Context, ahead: Ahead) -> Fit:
        """Lay the product, doing first what the rules ask for."""
        key = (product, stack, context, ahead)
        if key not in self._fits:
            self._fits[key] = self._fit(*key)
        return self._fits[key]

    def _fit(self, product: Traits, stack: Stack, context: Context, ahead: Ahead) -> Fit:
        state = Prepared(stack)
        judged = self._judge(product, state, context, ahead)
        said = {finding.rule: finding for finding in judged.findings}
        for _ in range(ROUNDS):
            if not judged.blocking:
                break
            want = Want(product, frozenset(judged.needs), self._work)
            ready = prepare(state.stack, want) if all(f.needs for f in judged.blocking) else None
            if ready is None or ready.stack == state.stack:
                break
            state = state.then(ready.stack, *ready.items)
            judged = self._judge(product, state, context, ahead)
            said |= {finding.rule: finding for finding in judged.findings}
        laid = lay(product, state.stack, context)
        last = _last_wait(laid.items, product) if ahead.last else laid.items
        blocking = judged.blocking
        kept = blocking or tuple(f for f in said.values() if f.verdict == "yes" or not _done(f))
        return Fit(laid.stack, (*state.items, *last), kept, not blocking)

    def _judge(self, product: Traits, state: Prepared, context: Context, ahead: Ahead) -> Judgement:
        return self._rulebook.judge_traits(product, state.stack, context, ahead)

    def stripped(self, stack: Stack) -> Prepared:
        """The spot with all its coatings off."""
        return strip(stack, self._work)


def _done(finding: Finding) -> bool:
    """Whether the work of the plan has met it, so that it is no more to be said."""
    return finding.severity in ("fault", "ruin")


def _last_wait(items: tuple[Item, ...], product: Traits) -> tuple[Item, ...]:
    return tuple(replace(item, wait=sheet_of(product).through_dry) for item in items)


@dataclass(order=True, slots=True)
class _Node:
    money: float
    order: int
    way: Way = field(compare=False)
    done: int = field(compare=False)
    used: frozenset[Traits] = field(compare=False)


def cheapest(walker: Walker, task: Task, price: Price, wanted: int) -> tuple[Way, ...]:
    """Up to `wanted` legal ways, cheapest first."""
    order = count()
    heap = [
        _Node(way.money, next(order), way, 0, frozenset()) for way in starts(walker, task, price)
    ]
    heapq.heapify(heap)
    found: list[Way] = []
    for _ in range(EXPANSIONS):
        if not heap or len(found) == wanted:
            break
        node = heapq.heappop(heap)
        if node.done == len(task.goal):
            if not any(only_adds(node.way, way) for way in found):
                found.append(node.way)
            continue
        if found and node.money > DEAREST * found[0].money:
            break
        for product in _next(task, node):
            way = step(walker, task, node.way, product, price)
            if way is not None:
                done = node.done + (product is task.goal[node.done])
                used = node.used | {product}
                heapq.heappush(heap, _Node(way.money, next(order), way, done, used))
    return tuple(found)


def only_adds(way: Way, cheaper: Way) -> bool:
    """Whether a way is a cheaper one with layers added that spare no caution."""
    if bool(way.before) != bool(cheaper.before):
        return False
    layers = iter(layer.product for layer in way.layers)
    if not all(layer.product in layers for layer in cheaper.layers):
        return False
    return _cautions(cheaper) <= _cautions(way)


def _cautions(way: Way) -> frozenset[str]:
    return frozenset(f.rule for layer in way.layers for f in layer.findings if f.severity != "note")


def starts(walker: Walker, task: Task, price: Price) -> list[Way]:
    """The spot as it is, and if it has coatings the spot stripped."""
    ways = [Way(task.start)]
    if task.start.coatings:
        bare = walker.stripped(task.start)
        ways.append(Way(bare.stack, (), bare.items, _cost(bare.items, price)))
    return ways


def _next(task: Task, node: _Node) -> Sequence[Traits]:
    goal = task.goal[node.done]
    if node.done or len(node.used) >= UNDERCOATS:
        return (goal,)
    return (goal, *(u for u in task.undercoats if u not in node.used and u is not goal))


def step(walker: Walker, task: Task, way: Way, product: Traits, price: Price) -> Way | None:
    """The way with one layer more, or None if the rules forbid it."""
    fit = walker.fit(product, way.stack, task.context, ahead_of(task, product))
    return _with(way, product, fit, price) if fit.possible else None


def _with(way: Way, product: Traits, fit: Fit, price: Price) -> Way:
    layer = Layed(product, fit.items, fit.findings, fit.possible)
    money = way.money + _cost(fit.items, price)
    return Way(fit.stack, (*way.layers, layer), way.before, money)


def forced(walker: Walker, task: Task, products: Sequence[Traits], start: Way, price: Price) -> Way:
    """The way through these products in order, whether the rules allow it or not."""
    way = start
    for index, product in enumerate(products):
        following = products[index + 1] if index + 1 < len(products) else None
        ahead = Ahead(following.family if following else None, _is_last(product, following))
        fit = walker.fit(product, way.stack, task.context, ahead)
        way = _with(way, product, fit, price)
    return way


def _is_last(product: Traits, following: Traits | None) -> bool | None:
    if following is not None:
        return False
    return True if product.kind in FINISHES else None


def ahead_of(task: Task, product: Traits) -> Ahead:
    """What is settled to follow a product on the way to the goal."""
    if product not in task.goal:
        return Ahead(None, False)
    index = task.goal.index(product)
    following = task.goal[index + 1] if index + 1 < len(task.goal) else None
    return Ahead(following.family if following else None, _is_last(product, following))


def _cost(items: Sequence[Item], price: Price) -> float:
    return sum(price(item).money for item in items)
