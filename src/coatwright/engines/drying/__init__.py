"""Drying: evaporation of solvent blends from a film, two-pack cure, baking."""

from coatwright.engines.drying.cure import activation_of, cure_rate, cure_reached
from coatwright.engines.drying.film import (
    Air,
    Coat,
    blend_shares,
    film_diffusion,
    residue,
    time_to_residue,
)
from coatwright.engines.drying.vapour import (
    Solvent,
    air_viscosity,
    diffusivity,
    heat_of_vaporisation,
    mass_transfer,
    vapour_pressure,
)

__all__ = [
    "Air",
    "Coat",
    "Solvent",
    "activation_of",
    "air_viscosity",
    "blend_shares",
    "cure_rate",
    "cure_reached",
    "diffusivity",
    "film_diffusion",
    "heat_of_vaporisation",
    "mass_transfer",
    "residue",
    "time_to_residue",
    "vapour_pressure",
]
