"""A learner's practice board: its film on a grid or by weight, and what it shows of the hand."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime

from coatwright.actions.measuring.hands import (
    SOURCE,
    HandTold,
    board_of,
    find_hand,
    find_recipe,
    hand_told,
    recipe_titles,
    seen_on,
)
from coatwright.actions.shop import Shop
from coatwright.engines import evidence
from coatwright.errors import RangeError
from coatwright.figures import Figure
from coatwright.model.hand import Hand
from coatwright.planning.plan import Caution, StrokeRecipe
from coatwright.record.state import GaugedBoard, WeighedBoard
from coatwright.sentences import say

_TENTH = 1.2815515655446004


@dataclass(frozen=True, slots=True)
class StripeTold:
    """The strongest stripe across the rows; chance: of such a one on an even board."""

    period: Figure
    height: Figure
    chance: Figure


@dataclass(frozen=True, slots=True)
class BoardTold:
    """A board read on a grid. films: rows across the strokes. hand: the whole spread of speed that
    it shows, None with a reason where it shows none. why: "" or what could not be reckoned."""

    key: str
    event: str
    at: datetime
    who: str
    hand: str
    coats: int
    films: tuple[tuple[Figure, ...], ...]
    mean: Figure
    wanted: Figure | None
    spread: Figure
    edge: Figure
    stripe: StripeTold | None
    even: bool
    shows: Figure | None
    why: str = ""


@dataclass(frozen=True, slots=True)
class WeightTold:
    """A board weighed bare and coated."""

    event: str
    at: datetime
    who: str
    hand: str
    film: Figure | None
    wanted: Figure | None


@dataclass(frozen=True, slots=True)
class BoardBench:
    """The recipe it is practised for, the hands, the boards, newest first, and the hand."""

    recipes: dict[str, str]
    card: StrokeRecipe
    hands: tuple[Hand, ...]
    told: HandTold
    cautions: tuple[Caution, ...]
    boards: tuple[BoardTold, ...]
    weighed: tuple[WeightTold, ...]


def board_bench(shop: Shop, key: str, recipe: str = "", hand: str = "") -> BoardBench:
    """The practice boards of a hand, or of the one the recipe is planned for. Raises NotFound."""
    found = find_recipe(shop, key, recipe)
    name = hand or found.card.hand
    described = find_hand(shop, key, name)
    state = shop.open(key).state
    boards = [one for one in state.gauged if one.said.hand == name]
    weighed = [one for one in state.weighed if one.said.hand == name]
    return BoardBench(
        recipe_titles(shop, key), found.card, shop.open(key).bench.job.hands,
        hand_told(shop, key, name),
        tuple(one for one in shop.plan(key).cautions if one.where == "spraying"),
        tuple(_boards(boards, described)), tuple(_weights(weighed, described)),
    )  # fmt: skip


def _boards(boards: list[GaugedBoard], hand: Hand) -> Iterator[BoardTold]:
    ordered = sorted(boards, key=lambda one: one.place.at, reverse=True)
    for number, one in enumerate(ordered):
        try:
            yield _told(f"b{number}", one, hand)
        except RangeError:
            continue


def _told(key: str, one: GaugedBoard, hand: Hand) -> BoardTold:
    said, place = one.said, one.place
    board = board_of(said)
    scored = evidence.score(board)
    seen = seen_on(said, hand)
    reach = _TENTH * scored.film.spread
    grid = [
        said.readings[at : at + said.columns] for at in range(0, len(said.readings), said.columns)
    ]
    return BoardTold(
        key, place.event, place.at.astimezone(), place.who, hand.title, said.coats,
        tuple(tuple(_film(film - said.zero) for film in row) for row in grid),
        Figure(
            scored.film.mean, "film", "measured", "gum-type-a",
            say("mean of readings less the zero"),
            spread=(scored.film.mean - reach, scored.film.mean + reach),
        ),
        Figure(said.wanted, "film", "formula", "stroke-recipe") if said.wanted else None,
        _share(scored.spread, say("standard deviation over the mean, the gauge's own taken out")),
        _share(scored.edge_to_centre, say("mean of the outer ring over that of the inside")),
        _stripe(scored.stripe), scored.even,
        Figure(seen.spread, "fraction", "measured", "hand-sampling",
               say("from the variance between rows, less gauge, aim and stripes; both halves"))
        if seen else None,
        "" if seen else "the fan and the pitch are not known",
    )  # fmt: skip


def _film(value: float) -> Figure:
    return Figure(value, "film", "measured", SOURCE)


def _share(found: evidence.Range, formula: str) -> Figure:
    return Figure(
        found.value, "fraction", "measured", "variance-interval", formula,
        spread=(found.low, found.high),
    )  # fmt: skip


def _stripe(found: evidence.Stripe | None) -> StripeTold | None:
    if found is None:
        return None
    return StripeTold(
        Figure(found.period, "length", "measured", "sinusoid-fit"),
        Figure(found.height, "fraction", "measured", "sinusoid-fit"),
        Figure(found.chance, "fraction", "measured", "sinusoid-fit"),
    )


def _weights(boards: list[WeighedBoard], hand: Hand) -> Iterator[WeightTold]:
    for one in sorted(boards, key=lambda each: each.place.at, reverse=True):
        said = one.said
        wanted = Figure(said.wanted, "film", "formula", "stroke-recipe") if said.wanted else None
        yield WeightTold(
            one.place.event, one.place.at.astimezone(), one.place.who, hand.title,
            _weighed_film(one), wanted,
        )  # fmt: skip


def _weighed_film(one: WeighedBoard) -> Figure | None:
    said = one.said
    if said.density is None or said.after <= said.before:
        return None
    density = evidence.Measured(said.density, 0.0)
    film = evidence.film_from_weight(said.before, said.after, said.scale, density, said.surface)
    reach = _TENTH * film.spread
    return Figure(
        film.mean, "film", "measured", "uncertainty-product",
        say("gain / (density of the dry film x surface)"),
        {"density": Figure(said.density, "density", "sheet", "product sheet")},
        (film.mean - reach, film.mean + reach),
    )  # fmt: skip
