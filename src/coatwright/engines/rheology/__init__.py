"""Cup seconds, viscosity, temperature and thinning."""

from coatwright.engines.rheology.blend import (
    blend,
    blend_by_mass,
    blend_index,
    blend_index_by_mass,
    share_for,
    without,
)
from coatwright.engines.rheology.cups import (
    CUPS,
    cup_range,
    cup_seconds,
    kinematic_viscosity,
    within,
)
from coatwright.engines.rheology.temperature import ACTIVATION, at_temperature, sensitivity

__all__ = [
    "ACTIVATION",
    "CUPS",
    "at_temperature",
    "blend",
    "blend_by_mass",
    "blend_index",
    "blend_index_by_mass",
    "cup_range",
    "cup_seconds",
    "kinematic_viscosity",
    "sensitivity",
    "share_for",
    "within",
    "without",
]
