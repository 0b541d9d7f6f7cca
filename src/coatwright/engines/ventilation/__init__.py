"""Ventilation: vapour and mist in a well-mixed room, against what burns and what harms."""

from coatwright.engines.ventilation.box import (
    Release,
    Room,
    clearing_time,
    concentration,
    face_air_changes,
    steady,
)
from coatwright.engines.ventilation.vapour import (
    additive_index,
    blend_limit,
    dilution_air,
    mass_in_air,
    molar_volume,
    saturation,
    vapour_volume,
)

__all__ = [
    "Release",
    "Room",
    "additive_index",
    "blend_limit",
    "clearing_time",
    "concentration",
    "dilution_air",
    "face_air_changes",
    "mass_in_air",
    "molar_volume",
    "saturation",
    "steady",
    "vapour_volume",
]
