"""What the plan says of one coat, to be kept with the event that the coat was begun."""

from typing import Any, TypeVar

from coatwright.actions.workshop import Bench
from coatwright.errors import NotFound
from coatwright.figures import Figure
from coatwright.model.material import Material
from coatwright.planning.plan import AreaPlan, PatchPlan, Plan, StrokeRecipe
from coatwright.planning.strokes.ready import ready_paint
from coatwright.record.events import Planned
from coatwright.sentences import joined, say

Named = TypeVar("Named", AreaPlan, PatchPlan)

_TENTHS = 2 * 1.2815515655446004
"""Standard deviations between the 10 and 90 % points of a normal distribution."""


def planned_coat(bench: Bench, plan: Plan, area: str, product: str, patch: str = "") -> Planned:
    """What the plan said of one coat of a product on an area, or on one patch of it.

    Paint and trigger time are shared evenly among the coats. What is put on by hand, without a
    recipe, has neither. Raises NotFound if the plan has no such area, patch or layer.
    """
    where = _named(plan.areas, area, "area")
    laid = _laid(where, product)
    patches = (_named(laid, patch, "patch"),) if patch else laid
    layer = next(one for one in patches[0].layers if one.product == product)
    material = bench.library[product]
    recipe = plan.recipes.get(layer.recipe)
    surface = sum(one.surface.value for one in patches)
    share = surface / sum(one.surface.value for one in laid)
    air = bench.job.workshop.climate.air
    coats = max(1.0, layer.coats.value)
    return Planned(
        dry=layer.laid.value / coats,
        dry_spread=_spread(layer.laid) / coats,
        surface=surface,
        **({} if patch else _on_some(where, laid)),
        flash=layer.flash.value,
        recoat_from=layer.recoat_from.value,
        recoat_until=layer.recoat_until.value if layer.recoat_until else None,
        past_window=layer.past_window,
        air_temperature=air,
        **_of_sheet(material),
        **(_of_recipe(recipe, material, air, share / coats) if recipe else {}),
    )


def _named(things: tuple[Named, ...], key: str, noun: str) -> Named:
    for one in things:
        if one.key == key:
            return one
    listed = ", ".join(one.key for one in things)
    raise NotFound(
        say("the plan has no such {noun}: '{key}'", noun=noun, key=key),
        instead=say("it has {listed}", listed=listed),
    )


def _laid(area: AreaPlan, product: str) -> tuple[PatchPlan, ...]:
    """The patches of an area that get a product."""
    laid = tuple(
        patch for patch in area.patches if any(one.product == product for one in patch.layers)
    )
    if not laid:
        known = dict.fromkeys(one.product for patch in area.patches for one in patch.layers)
        raise NotFound(
            say("the plan lays no '{product}' on '{area}'", product=product, area=area.key),
            instead=say("it lays {known}", known=joined(", ", known)),
        )
    return laid


def _on_some(area: AreaPlan, laid: tuple[PatchPlan, ...]) -> dict[str, tuple[str, ...]]:
    """Which patches of an area get it and which do not; {} if all do."""
    keys = tuple(one.key for one in laid)
    left_out = tuple(one.key for one in area.patches if one.key not in keys)
    return {"patches": keys, "left_out": left_out} if left_out else {}


def _spread(figure: Figure) -> float:
    return (figure.spread[1] - figure.spread[0]) / _TENTHS if figure.spread else 0.0


def _of_sheet(material: Material) -> dict[str, Any]:
    limits = material.limits
    return {
        "least": material.film.total_min,
        "most": material.film.total_max,
        "sand_from": material.dry_to_sand,
        "cured": material.through_dry,
        "metal_least": limits.temperature_min,
        "metal_most": limits.temperature_max,
        "humidity_most": limits.humidity_max,
        "family": material.family.value,
        "cup_least": material.spray.min or None,
        "cup_most": material.spray.max or None,
        "coarsest": material.finest_key or "",
        "lifting_from": material.recoat.lifting_from,
        "lifting_to": material.recoat.lifting_to,
    }


def _of_recipe(
    recipe: StrokeRecipe, material: Material, air: float, share: float
) -> dict[str, Any]:
    """What only a sprayed coat has; share is that of one coat on this surface."""
    ready = ready_paint(material, air)
    return {
        "wet": recipe.wet_coat.value,
        "run_limit": recipe.run_limit.value,
        "paint": recipe.paint.value * share,
        "trigger": recipe.trigger_time.value * share,
        "capture": recipe.capture.value * recipe.transfer.value,
        "solids": ready.solids,
        "density": ready.density,
        "pressure": recipe.pressure.value,
        "pressure_least": material.pressure_min or None,
    }
