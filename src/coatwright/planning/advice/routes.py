"""System advice for one patch: legal routes ranked, a chosen system reviewed, may this go on that.

adviser = Adviser(Rulebook(rules), library, work)
adviser.judge(material, patch, context)           -> Judgement
adviser.routes(patch, goal, context, price)       -> Routes, cheapest first, then what cannot be
adviser.review(system, patch, context, price)     -> Review of a system a person chose
adviser.may(material, patch, context, price)      -> Judgement and the cheapest legal route
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import product as combinations
from typing import Final

from coatwright.model.material import Material
from coatwright.model.substrate import Family, Patch
from coatwright.model.work import Classical, Work
from coatwright.planning.advice.acts import Item
from coatwright.planning.advice.context import Context
from coatwright.planning.advice.facts import Ahead
from coatwright.planning.advice.pricing import Charge, Price
from coatwright.planning.advice.rulebook import Judgement, Rulebook
from coatwright.planning.advice.search import (
    FINISHES,
    Task,
    Walker,
    Way,
    cheapest,
    forced,
    only_adds,
    starts,
)
from coatwright.planning.advice.stack import Catalogue, Stack, Traits, stack_of
from coatwright.planning.advice.telling import route_of, trust
from coatwright.planning.plan import Finding, Route
from coatwright.sentences import say

UNDERCOAT_KINDS: Final = frozenset({"pre-treatment", "etch", "primer", "build", "sealer"})
WANTED: Final = 4
"""How many legal routes are shown."""


@dataclass(frozen=True, slots=True)
class LayerReview:
    """What the rules say of one layer of a chosen system."""

    product: str
    possible: bool
    findings: tuple[Finding, ...]


@dataclass(frozen=True, slots=True)
class Review:
    """A chosen system: the route it makes, and what is wrong with each layer."""

    route: Route
    layers: tuple[LayerReview, ...]

    @property
    def possible(self) -> bool:
        """Whether the rules allow all of it, with the work the route names."""
        return self.route.possible


@dataclass(frozen=True, slots=True)
class May:
    """May this go on that: the answer now, and the cheapest legal route to having it there."""

    judgement: Judgement
    route: Route | None


class Adviser:
    """The rules, the sheets and the habits of the trade, asked about one patch at a time."""

    def __init__(self, rulebook: Rulebook, library: Mapping[str, Material], work: Work) -> None:
        self.rulebook = rulebook
        self.work = work
        self._catalogue = Catalogue(library)
        self._walker = Walker(rulebook, work)
        self._undercoats: dict[tuple[str, bool], tuple[Traits, ...]] = {}

    def stack(self, patch: Patch, context: Context) -> Stack:
        """The patch as the rules see it."""
        return stack_of(patch, self._catalogue, context.bare_for)

    def trust(self, patch: Patch) -> tuple[bool, str]:
        """Whether what is on the patch can be trusted, and why (not)."""
        return trust(stack_of(patch, self._catalogue))

    def judge(
        self,
        material: Material,
        patch: Patch,
        context: Context,
        ahead: Ahead = Ahead(),  # noqa: B008
    ) -> Judgement:
        """May this product go on this spot as it is now, and what would follow."""
        spot = self.stack(patch, context)
        return self.rulebook.judge_traits(self._catalogue.of(material), spot, context, ahead)

    def routes(
        self, patch: Patch, goal: Sequence[Material], context: Context, price: Price
    ) -> tuple[Route, ...]:
        """Routes from what is on the patch to the wanted coats, in order of cost.

        Legal ones come first, cheapest first, among them the classical systems of the ground;
        then classical ones that the rules forbid, with why. In a cavity the goal is wax.
        """
        task = self._task(patch, self._goal(goal, context), context)
        charged = self._with_risk(task, price)
        ways = list(cheapest(self._walker, task, charged, WANTED))
        ways += self._classical(task, charged, ways)
        ways.sort(key=lambda way: (not way.possible, way.money))
        named = {_products(way): title for title, way in self._named(task, ways)}
        return tuple(
            route_of(way, named.get(_products(way), ""), charged, self.work) for way in ways
        )

    def review(
        self, system: Sequence[Material], patch: Patch, context: Context, price: Price
    ) -> Review:
        """A system that a person chose: the route it makes, and what is wrong with it."""
        products = [self._catalogue.of(material) for material in system]
        task = self._task(patch, tuple(products), context)
        charged = self._with_risk(task, price)
        tried = [
            forced(self._walker, task, products, start, charged)
            for start in starts(self._walker, task, charged)
        ]
        way = min(tried, key=lambda w: (sum(not layer.possible for layer in w.layers), w.money))
        layers = tuple(
            LayerReview(_key(layer.product), layer.possible, layer.findings) for layer in way.layers
        )
        return Review(route_of(way, say("chosen by a person"), charged, self.work), layers)

    def may(self, material: Material, patch: Patch, context: Context, price: Price) -> May:
        """May this product go on this spot; and the cheapest legal route to having it there."""
        judged = self.judge(material, patch, context)
        task = self._task(patch, (self._catalogue.of(material),), context)
        charged = self._with_risk(task, price)
        ways = cheapest(self._walker, task, charged, 1)
        route = route_of(ways[0], "", charged, self.work) if ways else None
        return May(judged, route)

    def _goal(self, goal: Sequence[Material], context: Context) -> tuple[Traits, ...]:
        wax = next(
            (t for t in self._catalogue.by_key.values() if t.family is Family.CAVITY_WAX), None
        )
        if context.access == "cavity" and wax is not None:
            return (wax,)
        return tuple(self._catalogue.of(material) for material in goal)

    def _task(self, patch: Patch, goal: tuple[Traits, ...], context: Context) -> Task:
        return Task(self.stack(patch, context), goal, self._undercoats_for(context, goal), context)

    def _undercoats_for(self, context: Context, goal: tuple[Traits, ...]) -> tuple[Traits, ...]:
        """Sheets that may stand under the goal; in a cavity none."""
        if context.access == "cavity":
            return ()
        stone = context.zone == "underside" and goal[-1].kind in FINISHES
        key = ("", stone)
        if key not in self._undercoats:
            self._undercoats[key] = tuple(
                t
                for t in self._catalogue.by_key.values()
                if t.kind in UNDERCOAT_KINDS or (stone and t.family is Family.STONE_CHIP)
            )
        return self._undercoats[key]

    def _with_risk(self, task: Task, price: Price) -> Price:
        """The price with the chance added that old paint fails its test and must be stripped."""
        if not task.start.coatings:
            return price
        stripping = sum(price(i).money for i in self._walker.stripped(task.start).items)

        def charged(item: Item) -> Charge:
            charge = price(item)
            if not item.risk:
                return charge
            return charge._replace(money=charge.money + self.work.test_fails * stripping)

        return charged

    def _classical(self, task: Task, price: Price, found: Sequence[Way]) -> list[Way]:
        """Classical systems that the search has not shown: legal ones, and why others are not."""
        if task.context.access == "cavity":
            return []
        ways = {_products(way): way for way in found}
        for start in starts(self._walker, task, price):
            for classical in self._classical_for(start.stack):
                for products in self._choices(classical.layers, start.stack):
                    way = forced(self._walker, task, [*products, *task.goal], start, price)
                    if _products(way) not in ways and _worth(way, classical, found):
                        ways[_products(way)] = way
        return [way for way in ways.values() if way not in found]

    def _classical_for(self, stack: Stack) -> Iterable[Classical]:
        for classical in self.work.classical:
            if classical.old_paint == bool(stack.coatings) and (
                classical.old_paint or stack.ground in classical.grounds
            ):
                yield classical

    def _choices(self, families: Sequence[Family], stack: Stack) -> Iterable[tuple[Traits, ...]]:
        """The sheets of those families; of several, those whose sheet names the ground."""
        each = []
        for family in families:
            sheets = [t for t in self._catalogue.by_key.values() if t.family is family]
            named = [t for t in sheets if t.material and stack.ground in t.material.accepts.grounds]
            each.append((named or sheets)[:1])
        return combinations(*each)

    def _named(self, task: Task, ways: Sequence[Way]) -> Iterable[tuple[str, Way]]:
        """The titles of the classical systems among some ways."""
        goal = len(task.goal)
        for way in ways:
            families = tuple(layer.product.family for layer in way.layers[: len(way.layers) - goal])
            start = task.start if not way.before else way_start(way, task)
            for classical in self._classical_for(start):
                if classical.layers == families:
                    yield classical.title, way


def way_start(way: Way, task: Task) -> Stack:
    """The stack a way began on: stripped if it begins with stripping."""
    return Stack(ground=task.start.ground) if way.before else task.start


def _worth(way: Way, classical: Classical, found: Sequence[Way]) -> bool:
    """Whether a classical system is worth a line beside the routes that were found."""
    if not way.possible:
        return not way.before
    if not classical.old_paint or any(layer.product.kind == "build" for layer in way.layers):
        return True
    return not any(only_adds(way, other) for other in found)


def _products(way: Way) -> tuple[bool, tuple[str, ...]]:
    return bool(way.before), tuple(_key(layer.product) for layer in way.layers)


def _key(product: Traits) -> str:
    return product.material.key if product.material else str(product.family)
