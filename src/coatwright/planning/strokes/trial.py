"""What if: another distance, speed, overlap, fluid or hand, and what that would lay."""

from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from coatwright.engines.spray import gun as guns
from coatwright.errors import RangeError
from coatwright.model.hand import Hand
from coatwright.planning.plan import StrokeRecipe
from coatwright.planning.strokes.card import card
from coatwright.planning.strokes.layouts import Layout, layouts
from coatwright.planning.strokes.recipe import Recipe, fluid_test, fullest, reassess
from coatwright.planning.strokes.sampling import Setting, resampled
from coatwright.planning.strokes.spraying import Sprayed
from coatwright.sentences import say

NEAREST: Final = 0.08
FARTHEST: Final = 0.40
"""Between these [m] the model of the fan is followed; nobody sprays outside them."""


@dataclass(frozen=True, slots=True)
class Shot:
    """How it is sprayed instead; None leaves it as the recipe has it. SI; shares of 1."""

    distance: float | None = None
    speed: float | None = None
    overlap: float | None = None
    fluid: float | None = None
    hand: Hand | None = None


def overlap_of(recipe: Recipe) -> float:
    """Share of the fan that two strokes have in common."""
    setting = recipe.sample.setting
    return _overlap(setting.layout, _length(setting, setting.distance))


def try_out(done: Sprayed, shot: Shot) -> StrokeRecipe:
    """The card of a recipe as it would come out if sprayed so.

    Strokes are laid anew for another distance or overlap (the nearest overlap that covers the shape
    evenly); the hand's draws are the recipe's own, so that only what was changed differs.
    Raises RangeError for a distance or a speed that nobody sprays at.
    """
    recipe = _laid_anew(done.recipe, shot)
    flow = recipe.flow if shot.fluid is None else shot.fluid * recipe.full_flow
    speed = recipe.speed if shot.speed is None else shot.speed
    if speed <= 0 or flow <= 0:
        raise RangeError(say("nothing is sprayed"), instead=say("speed and fluid are above 0"))
    recipe = _judged(reassess(recipe, flow=flow, speed=speed))
    faces = done.pieces / done.layering.share if done.layering.share else done.pieces
    area, share = done.layering.area.key, done.layering.share
    return card(recipe, (recipe,), area=area, share=share, faces=faces)


def _laid_anew(recipe: Recipe, shot: Shot) -> Recipe:
    setting, hand = recipe.sample.setting, shot.hand or recipe.task.hand
    distance = setting.distance if shot.distance is None else shot.distance
    if not NEAREST <= distance <= FARTHEST:
        raise RangeError(
            say("a distance of {distance:.0f} mm", distance=distance * 1000.0),
            instead=say(
                "spray from {nearest:.0f} to {farthest:.0f} mm",
                nearest=NEAREST * 1000.0,
                farthest=FARTHEST * 1000.0,
            ),
        )
    moved = distance != setting.distance or shot.overlap is not None
    if not moved and hand == recipe.task.hand:
        return recipe
    if moved:
        setting = _setting(recipe, distance, shot.overlap)
    sample = resampled(recipe.subject, setting, hand)
    return replace(recipe, sample=sample, task=replace(recipe.task, hand=hand))


def _setting(recipe: Recipe, distance: float, overlap: float | None) -> Setting:
    old = recipe.sample.setting
    length = _length(old, distance)
    wanted = overlap_of(recipe) if overlap is None else overlap
    found = list(layouts(recipe.subject, length, distance, old.gun.head))
    alike = [one for one in found if one.text == old.layout.text] or found
    chosen = min(
        alike,
        key=lambda one: (round(abs(_overlap(one, length) - wanted), 3), one.count),
    )
    return replace(old, distance=distance, layout=chosen)


def _length(setting: Setting, distance: float) -> float:
    return setting.fan.length * distance / setting.fan.distance


def _overlap(layout: Layout, length: float) -> float:
    return float(np.clip(1 - layout.pitch / length, 0.0, 0.95)) if layout.count > 1 else 0.0


def _judged(recipe: Recipe) -> Recipe:
    """With what it breaks, in words, and its wettest spots against the run limit."""
    task = recipe.task
    level = recipe.sample.level((1.0,), 1.0 - task.bounds.run_chance)
    share = task.paint.solids / task.paint.landed_solids
    wet = recipe.gain * level * fullest(task, recipe.coats) * share
    fault = ""
    if wet > task.run_limit:
        limit = task.run_limit * 1e6
        fault = say(
            "{wet:.0f} um wet at the fullest spots; runs from {limit:.0f} um",
            wet=wet * 1000000.0,
            limit=limit,
        )
    elif recipe.light_chance > task.bounds.light_chance:
        fault = say("{light_chance:.0%} of it stays light", light_chance=recipe.light_chance)
    coarse = guns.droplet_size(
        fluid_test(recipe.gun), recipe.pressure, recipe.flow, recipe.gun.fluid
    )
    return replace(recipe, wettest=wet / task.run_limit, shortfall=fault, droplets=coarse)
