"""The fluid test: what a gun really delivers, against what the recipe expects of it."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from typing import Final, Literal

from coatwright.actions.measuring.foreseen import meant
from coatwright.actions.measuring.hands import SOURCE, find_recipe, recipe_titles
from coatwright.actions.shop import Shop
from coatwright.engines import evidence
from coatwright.errors import RangeError
from coatwright.figures import Figure
from coatwright.planning.plan import Caution, StrokeRecipe
from coatwright.planning.strokes.spraying import Sprayed
from coatwright.planning.strokes.trial import Shot, try_out
from coatwright.record.state import FluidTest
from coatwright.sentences import say

NEAR: Final = 0.05
"""A flow this near to what is expected is left alone (assumption)."""

_TENTH: Final = 1.2815515655446004
"""Standard deviations from the middle of a normal distribution to its 10 and 90 % points."""

Verdict = Literal["as wanted", "more", "less", "not compared"]


@dataclass(frozen=True, slots=True)
class Run:
    """One catch."""

    volume: Figure
    seconds: Figure
    flow: Figure


@dataclass(frozen=True, slots=True)
class Caught:
    """One fluid test. ratio: found over expected. catch: what the cup should hold after the time of
    the first run. share: of the full trigger that the recipe needs, for a test at full trigger.
    pace: which would lay the recipe's film with the fluid as it was found."""

    event: str
    at: datetime
    who: str
    gun: str
    product: str
    opening: str
    air: bool
    runs: tuple[Run, ...]
    flow: Figure
    expected: Figure | None
    ratio: Figure | None
    verdict: Verdict
    catch: Figure | None
    share: Figure | None
    pace: Figure | None
    asked_pace: Figure | None
    as_it_is: StrokeRecipe | None


@dataclass(frozen=True, slots=True)
class FluidBench:
    """What is expected of a gun and paint, and what was caught, newest first."""

    recipes: dict[str, str]
    card: StrokeRecipe
    full: Figure
    cautions: tuple[Caution, ...]
    tests: tuple[Caught, ...]


def fluid_bench(shop: Shop, key: str, recipe: str = "") -> FluidBench:
    """The fluid tests of a job, and what its recipe expects. Raises NotFound."""
    found = find_recipe(shop, key, recipe)
    full = Figure(
        found.recipe.full_flow, "flow", "formula", "hagen-poiseuille",
        say("the gun's own fluid test brought to this pressure and paint"),
    )  # fmt: skip
    cautions = tuple(one for one in shop.plan(key).cautions if one.where == "spraying")
    return FluidBench(
        recipe_titles(shop, key), found.card, full, cautions, tuple(_tests(shop, key))
    )


def _tests(shop: Shop, key: str) -> Iterator[Caught]:
    opened = shop.open(key)
    tests = sorted(opened.state.fluid, key=lambda one: one.place.at, reverse=True)
    guns = {one.key: one.title for one in opened.bench.job.workshop.guns}
    library = opened.bench.library
    for number, test in enumerate(tests):
        product = test.said.product
        title = library[product].title if product in library else product
        about = meant(shop, key, test.place.area, test.said)
        yield _told(test, (guns.get(test.said.gun, test.said.gun), title), about, number == 0)


def _told(test: FluidTest, titles: tuple[str, str], about: Sprayed | None, last: bool) -> Caught:
    said = test.said
    found = evidence.fluid_flow(said.volumes, said.seconds, said.mark)
    reach = _TENTH * found.spread
    flow = Figure(
        found.mean, "flow", "measured", "gum-type-b",
        say("mean of volume / time; spread of the runs or of cup and watch, the larger"),
        spread=(found.mean - reach, found.mean + reach),
    )  # fmt: skip
    ratio = _ratio(flow, said.expected)
    compared = ratio is not None and said.air
    card = about.card if about and compared else None
    return Caught(
        test.place.event, test.place.at.astimezone(), test.place.who, *titles, said.opening,
        said.air, tuple(_runs(test)), flow, _flow(said.expected), ratio,
        _verdict(ratio) if compared else "not compared",
        _catch(test), _share(card, flow) if said.opening == "full" else None,
        _pace(card, flow, said.opening == "full"), card.pace if card else None,
        _as_it_is(about, found.mean) if last and compared and said.opening == "as set" else None,
    )  # fmt: skip


def _runs(test: FluidTest) -> Iterator[Run]:
    for volume, seconds in zip(test.said.volumes, test.said.seconds, strict=True):
        yield Run(
            Figure(volume, "dose", "measured", SOURCE),
            Figure(seconds, "seconds", "measured", SOURCE),
            Figure(volume / seconds, "flow", "measured", SOURCE),
        )


def _flow(expected: float | None) -> Figure | None:
    return Figure(expected, "flow", "formula", "stroke-recipe") if expected else None


def _ratio(flow: Figure, expected: float | None) -> Figure | None:
    if not expected or flow.spread is None:
        return None
    low, high = flow.spread
    return Figure(
        flow.value / expected, "fraction", "measured", SOURCE, say("caught / expected"),
        {"caught": flow, "expected": Figure(expected, "flow", "formula", "stroke-recipe")},
        (low / expected, high / expected),
    )  # fmt: skip


def _verdict(ratio: Figure | None) -> Verdict:
    if ratio is None or ratio.spread is None:
        return "not compared"
    low, high = ratio.spread
    if low > 1.0 + NEAR:
        return "more"
    return "less" if high < 1.0 - NEAR else "as wanted"


def _catch(test: FluidTest) -> Figure | None:
    if not test.said.expected:
        return None
    return Figure(
        test.said.expected * test.said.seconds[0], "dose", "formula", "stroke-recipe",
        say("expected flow x time"),
    )  # fmt: skip


def _share(card: StrokeRecipe | None, flow: Figure) -> Figure | None:
    if card is None:
        return None
    share = card.fluid.value / flow.value
    return Figure(
        share, "fraction", "formula", "stroke-recipe", say("recipe's fluid / full as caught")
    )


def _pace(card: StrokeRecipe | None, flow: Figure, full: bool) -> Figure | None:
    """Seconds for a metre; at full trigger only where even that is less than the recipe needs."""
    if card is None or (full and flow.value >= card.fluid.value):
        return None
    needed = card.pace.value * card.fluid.value / flow.value
    return Figure(
        needed, "seconds", "formula", "film-mass-balance",
        say("recipe's pace x recipe's fluid / fluid as caught"), {"recipe": card.pace},
    )  # fmt: skip


def _as_it_is(about: Sprayed | None, flow: float) -> StrokeRecipe | None:
    """What the recipe's pace would lay with the fluid as it was found."""
    if about is None:
        return None
    try:
        return try_out(about, Shot(fluid=flow / about.recipe.full_flow))
    except RangeError:
        return None
