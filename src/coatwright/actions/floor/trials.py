"""Trying out another way to spray one recipe, while a slider moves."""

from collections.abc import Mapping
from dataclasses import dataclass

from coatwright.actions.shop import Shop
from coatwright.errors import InputError, NotFound
from coatwright.figures import Figure
from coatwright.model.hand import Hand
from coatwright.planning.plan import Caution, StrokeRecipe
from coatwright.planning.strokes.spraying import Sprayed
from coatwright.planning.strokes.trial import FARTHEST, NEAREST, Shot, overlap_of, try_out
from coatwright.sentences import say


@dataclass(frozen=True)
class Slider:
    """One thing that can be moved: from, to and now, in SI."""

    name: str
    low: float
    high: float
    now: float
    step: float
    purpose: str


@dataclass(frozen=True)
class Bench:
    """A recipe with its sliders, the hands it can be tried in, and the cautions of spraying."""

    card: StrokeRecipe
    sliders: tuple[Slider, ...]
    hands: tuple[Hand, ...]
    hand: str
    area: str
    product: str
    cautions: tuple[Caution, ...]


def bench(shop: Shop, key: str, recipe: str) -> Bench:
    """A recipe ready to be tried out. Raises NotFound."""
    found = _find(shop, key, recipe)
    task, setting, made = found.recipe.task, found.recipe.sample.setting, found.recipe
    job = shop.open(key).bench.job
    low = max(NEAREST, min(made.gun.distance_min, setting.distance) * 0.8)
    high = min(FARTHEST, max(made.gun.distance_max, setting.distance) * 1.5)
    sliders = (
        Slider("distance", low, high, setting.distance, 0.005, "length"),
        Slider("speed", 0.1, 1.0, made.speed, 0.01, "speed"),
        Slider("overlap", 0.2, 0.8, overlap_of(made), 0.05, "fraction"),
        Slider("fluid", 0.1, 1.0, made.flow / made.full_flow, 0.02, "fraction"),
    )
    cautions = tuple(one for one in shop.plan(key).cautions if one.where == "spraying")
    area, product = found.layering.area.title, found.layering.material.title
    return Bench(found.card, sliders, job.hands, task.hand.key, area, product, cautions)


def tried(shop: Shop, key: str, recipe: str, moved: Mapping[str, str]) -> StrokeRecipe:
    """The recipe as it comes out with the sliders where they are."""
    found = _find(shop, key, recipe)
    try:
        shot = {name: float(moved[name]) for name in ("distance", "speed", "overlap", "fluid")
                if moved.get(name)}  # fmt: skip
    except ValueError:
        raise InputError(say("a slider says no number"), instead=say("move it again")) from None
    hands = {hand.key: hand for hand in shop.open(key).bench.job.hands}
    hand = hands.get(moved.get("hand", ""))
    return try_out(found, Shot(**shot, hand=hand))


def differences(before: StrokeRecipe, after: StrokeRecipe) -> list[tuple[str, Figure, Figure]]:
    """What the trial changes, each figure before and after."""
    names = ("thinnest", "dry_total", "run_chance", "light_chance", "paint", "spray_minutes")
    return [(name, getattr(before, name), getattr(after, name)) for name in names]


def _find(shop: Shop, key: str, recipe: str) -> Sprayed:
    for done in shop.built(key).asked.sprayed.values():
        if done.card.key == recipe:
            return done
    raise NotFound(say("there is no recipe '{recipe}' in this job", recipe=recipe))
