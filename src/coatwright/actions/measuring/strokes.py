"""Strokes timed at both ends: their speed against the recipe's pace, and how uneven they are."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime

from coatwright.actions.measuring.hands import (
    SOURCE,
    HandTold,
    find_recipe,
    hand_told,
    recipe_titles,
)
from coatwright.actions.shop import Shop
from coatwright.engines import evidence
from coatwright.figures import Figure
from coatwright.model.hand import Hand
from coatwright.planning.plan import Caution, StrokeRecipe
from coatwright.record.state import StrokeTest
from coatwright.sentences import say

_TENTH = 1.2815515655446004


@dataclass(frozen=True, slots=True)
class TimedSet:
    """Strokes timed together. ratio: speed over the recipe's. stroke: spread from stroke to stroke,
    the watch's part taken out. speeds: of each stroke [m/s]."""

    key: str
    event: str
    at: datetime
    who: str
    hand: str
    dry: bool
    length: Figure
    speed: Figure
    pace: Figure
    expected: Figure | None
    ratio: Figure | None
    stroke: Figure
    speeds: tuple[Figure, ...]


@dataclass(frozen=True, slots=True)
class StrokeBench:
    """The recipe whose pace is meant, the hands, what was timed, newest first, and the hand."""

    recipes: dict[str, str]
    card: StrokeRecipe
    hands: tuple[Hand, ...]
    told: HandTold
    cautions: tuple[Caution, ...]
    sets: tuple[TimedSet, ...]


def stroke_bench(shop: Shop, key: str, recipe: str = "", hand: str = "") -> StrokeBench:
    """What was timed of a hand, or of the one the recipe is planned for. Raises NotFound."""
    found = find_recipe(shop, key, recipe)
    opened = shop.open(key)
    name = hand or found.card.hand
    titles = {one.key: one.title for one in opened.bench.job.hands}
    mine = [one for one in opened.state.strokes if one.said.hand == name]
    mine.sort(key=lambda one: one.place.at, reverse=True)
    return StrokeBench(
        recipe_titles(shop, key), found.card, opened.bench.job.hands, hand_told(shop, key, name),
        tuple(one for one in shop.plan(key).cautions if one.where == "spraying"),
        tuple(_sets(mine, titles)),
    )  # fmt: skip


def _sets(tests: list[StrokeTest], titles: dict[str, str]) -> Iterator[TimedSet]:
    for number, one in enumerate(tests):
        said = one.said
        found = evidence.stroke_speed(said.seconds, said.length, said.timing)
        mean, reach = found.speed.mean, _TENTH * found.speed.spread
        speed = Figure(
            mean, "speed", "measured", "gum-type-a", say("mean of length / time"),
            spread=(mean - reach, mean + reach),
        )  # fmt: skip
        pace = Figure(1 / mean, "seconds", "measured", "gum-type-a", say("1 / speed"),
                      spread=(1 / (mean + reach), 1 / max(mean - reach, 1e-3)))  # fmt: skip
        yield TimedSet(
            f"s{number}", one.place.event, one.place.at.astimezone(), one.place.who,
            titles.get(said.hand, said.hand), said.dry,
            Figure(said.length, "run", "entered", SOURCE), speed, pace,
            Figure(said.expected, "speed", "formula", "stroke-recipe") if said.expected else None,
            _ratio(speed, said.expected), _spread(found.spread),
            tuple(Figure(said.length / t, "speed", "measured", SOURCE) for t in said.seconds),
        )  # fmt: skip


def _ratio(speed: Figure, expected: float | None) -> Figure | None:
    if not expected or speed.spread is None:
        return None
    low, high = speed.spread
    return Figure(
        speed.value / expected, "fraction", "measured", SOURCE, say("speed / recipe's speed"),
        spread=(low / expected, high / expected),
    )  # fmt: skip


def _spread(found: evidence.Range) -> Figure:
    return Figure(
        found.value, "fraction", "measured", "variance-interval",
        say("standard deviation of speed over its mean, the watch's error taken out"),
        spread=(found.low, found.high),
    )  # fmt: skip
