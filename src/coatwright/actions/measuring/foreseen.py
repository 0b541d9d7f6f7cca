"""What the plan foretells of a trial, kept with it so that it teaches without the plan."""

from typing import Any

from coatwright.actions.shop import Shop
from coatwright.errors import CoatwrightError
from coatwright.planning.strokes.ready import dry_density
from coatwright.planning.strokes.spraying import Sprayed
from coatwright.record.events import BoardRead, BoardWeighed, FluidCaught, StrokesTimed

Trial = FluidCaught | StrokesTimed | BoardRead | BoardWeighed


def foreseen(shop: Shop, key: str, area: str, trial: Trial) -> dict[str, Any]:
    """The fields of a trial that the recipe of its area and product knows and it does not say.

    Nothing if no recipe is meant, or there is none by that gun: what was measured is kept as it is.
    """
    found = meant(shop, key, area, trial)
    if found is None:
        return {}
    return {name: value for name, value in _told(found, trial).items()
            if value and getattr(trial, name) in (None, "")}  # fmt: skip


def meant(shop: Shop, key: str, area: str, trial: Trial) -> Sprayed | None:
    """The recipe that a trial is about."""
    try:
        sprayed = shop.built(key).asked.sprayed.values()
    except CoatwrightError:
        return None
    mine = [one for one in sprayed if (one.card.area, one.card.product) == (area, trial.product)]
    return next((one for one in mine if trial.gun in ("", one.card.gun)), None)


def _told(found: Sprayed, trial: Trial) -> dict[str, Any]:
    card, recipe = found.card, found.recipe
    if isinstance(trial, FluidCaught):
        full = trial.opening == "full"
        return {
            "expected": recipe.full_flow if full else card.fluid.value,
            "pressure": card.pressure.value,
        }
    if isinstance(trial, StrokesTimed):
        return {"expected": card.speed.value, "gun": card.gun}
    if isinstance(trial, BoardRead):
        return {
            "gun": card.gun,
            "fan": card.fan_length.value,
            "exponent": recipe.gun.footprint.across - 0.5,
            "pitch": card.pitch.value or card.fan_length.value,
            "wanted": card.dry_coat.value * trial.coats,
        }
    material = found.layering.material
    return {
        "gun": card.gun,
        "density": dry_density(material, recipe.task.paint.thinner),
        "wanted": card.dry_coat.value,
    }
