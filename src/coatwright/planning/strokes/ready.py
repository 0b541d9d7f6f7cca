"""Paint ready to spray at the shop's temperature: thinner to add, and what the gun then sees."""

from dataclasses import dataclass

import numpy as np

from coatwright.engines import film, mixing, rheology
from coatwright.model.area import Orientation
from coatwright.model.material import Material
from coatwright.sentences import say

THINNER_VISCOSITY = 0.85e-6
"""Kinematic viscosity taken for thinner at 20 degC [m2/s]: between acetone 0.4 and PMA 1.1 mm2/s
(solvent tables, from memory)."""

WATER_VISCOSITY = 1.004e-6
"""Kinematic viscosity of water at 20 degC [m2/s] (IAPWS value, from memory)."""

RUN_SLIDE = 5e-3
"""A film whose surface slides this far before it sets shows as a run [m]; assumption: at a setting
time of 10 s it is the critical speed of 0.5 mm/s of the anti-sag index."""

SURFACE_TENSION = 0.028
"""Surface tension taken for paints [N/m]; typical, from memory."""

POOLING = 1.5
"""On a floor nothing runs; past this many times the sheet's fullest coat solvent is trapped
(assumption)."""


@dataclass(frozen=True, slots=True)
class ReadyPaint:
    """Mixed and thinned paint (SI): as sprayed, and as it lands after losing solvent in flight."""

    density: float
    solids: float
    landed_solids: float
    viscosity: float
    landed_viscosity: float
    thinner: float
    cup_seconds: float
    limited: str

    def wet_from_dry(self, dry: float) -> float:
        """Wet film as landed [m] that dries to `dry` [m]."""
        return film.wet_from_dry(dry, self.landed_solids)


def parts_of(material: Material, thinner: float) -> tuple[float, ...]:
    """Parts by volume in the order of the sheet's components, thinner as a share of the rest."""
    mixed = sum(c.parts for c in material.components if c.role != "thinner")
    return tuple(thinner * mixed if c.role == "thinner" else c.parts for c in material.components)


def thinner_viscosity(material: Material) -> float:
    """Kinematic viscosity of what the product is thinned with [m2/s]."""
    return WATER_VISCOSITY if material.waterborne else THINNER_VISCOSITY


def neat_viscosity(material: Material, temperature: float) -> float:
    """Kinematic viscosity of base and hardener, unthinned, at a paint temperature [m2/s]."""
    cup = material.neat
    measured = rheology.kinematic_viscosity(cup.cup, cup.seconds)
    return rheology.at_temperature(measured, cup.temperature, temperature)


def wanted_viscosity(material: Material) -> float:
    """Kinematic viscosity at the middle of the sheet's spraying range [m2/s].

    It is the viscosity that atomises and flows, so it is wanted at whatever temperature.
    """
    spray = material.spray
    return rheology.kinematic_viscosity(spray.cup, (spray.min + spray.max) / 2)


def _thinner(material: Material, neat: float) -> tuple[float, str]:
    """Thinner as a share of base plus hardener, and a sentence if the sheet's range stops it."""
    if material.thinning is None:
        return 0.0, ""
    wanted = wanted_viscosity(material)
    share = 0.0
    if neat > wanted:
        share = rheology.share_for(wanted, neat, thinner_viscosity(material))
    asked = share / (1.0 - share)
    low, high = material.thinning.min, material.thinning.max
    if asked > high + 0.005:
        return high, say(
            "would need {asked:.0%} thinner; the sheet allows {high:.0%}: warm the paint",
            asked=asked,
            high=high,
        )
    if asked < low - 0.005:
        return low, say(
            "needs only {asked:.0%} thinner; the sheet asks for at least {low:.0%}",
            asked=asked,
            low=low,
        )
    return min(max(asked, low), high), ""


def ready_paint(material: Material, temperature: float, thinner: float | None = None) -> ReadyPaint:
    """The mix ready to spray at a paint temperature [K]; thinner (a share) is chosen if not given.

    Raises RangeError if a viscosity lies outside the flow-cup equation.
    """
    neat = neat_viscosity(material, temperature)
    share, limited = _thinner(material, neat) if thinner is None else (thinner, "")
    parts = parts_of(material, share)
    blend_share = share / (1.0 + share)
    viscosity = rheology.blend(neat, thinner_viscosity(material), blend_share)
    solids = mixing.ready_solids(parts, [c.volume_solids for c in material.components])
    lost = material.flow.in_flight_loss * (1.0 - solids)
    return ReadyPaint(
        density=mixing.ready_density(parts, [c.density for c in material.components]),
        solids=solids,
        landed_solids=film.landed_solids(solids, material.flow.in_flight_loss),
        viscosity=viscosity,
        landed_viscosity=rheology.without(viscosity, thinner_viscosity(material), lost),
        thinner=share,
        cup_seconds=rheology.cup_seconds(material.spray.cup, viscosity),
        limited=limited,
    )


def dry_density(material: Material, thinner: float) -> float:
    """Density of the dry film [kg/m3]: what is left of mass and volume once all that flies off has.

    thinner as a share of the rest. Derived: mass and volume of solids over all components.
    """
    mass = volume = 0.0
    for part, one in zip(parts_of(material, thinner), material.components, strict=True):
        mass += part * (one.density - one.voc - one.water)
        volume += part * one.volume_solids
    return mass / volume


def run_limit(material: Material, paint: ReadyPaint, orientation: Orientation) -> float:
    """Thickest wet film [m], as landed, that stays where it is put."""
    dynamic = paint.landed_viscosity * paint.density
    flow = material.flow
    if orientation == "floor":
        return POOLING * paint.wet_from_dry(material.film.max)
    wall = film.sag_limit(paint.density, dynamic, flow.yield_stress, flow.set_time, RUN_SLIDE)
    if orientation == "vertical":
        return wall
    hang = film.hang_limit(paint.density, dynamic, SURFACE_TENSION, flow.set_time)
    return float(np.minimum(wall, hang))
