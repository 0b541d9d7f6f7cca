"""Drying: evaporation of solvent blends from a film, two-pack cure, baking."""

from coatwright.engines.drying.bake import Panel, panel_temperature
from coatwright.engines.drying.cure import DOUBLING, activation_of, cure_rate, cure_reached
from coatwright.engines.drying.film import (
    Air,
    Coat,
    Curve,
    blend_shares,
    drying_curve,
    film_diffusion,
    layered_residue,
    left_after,
    residue,
    time_on,
    time_to_residue,
)
from coatwright.engines.drying.rates import (
    EVAPOROMETER,
    Stand,
    chill,
    evaporation,
    relative_rate,
    wet_temperature,
)
from coatwright.engines.drying.vapour import (
    Solvent,
    air_viscosity,
    diffusivity,
    heat_of_vaporisation,
    mass_transfer,
    room_pressure,
    vapour_pressure,
)

__all__ = [
    "DOUBLING",
    "EVAPOROMETER",
    "Air",
    "Coat",
    "Curve",
    "Panel",
    "Solvent",
    "Stand",
    "activation_of",
    "air_viscosity",
    "blend_shares",
    "chill",
    "cure_rate",
    "cure_reached",
    "diffusivity",
    "drying_curve",
    "evaporation",
    "film_diffusion",
    "heat_of_vaporisation",
    "layered_residue",
    "left_after",
    "mass_transfer",
    "panel_temperature",
    "relative_rate",
    "residue",
    "room_pressure",
    "time_on",
    "time_to_residue",
    "vapour_pressure",
    "wet_temperature",
]
