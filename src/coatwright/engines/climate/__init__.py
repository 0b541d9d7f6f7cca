"""Climate: moist air, dew-point margin of the metal, its lag behind the air, a heated room."""

from coatwright.engines.climate.metal import (
    metal_temperature,
    surface_transfer,
    time_constant,
    time_to_reach,
)
from coatwright.engines.climate.moist_air import (
    DEW_MARGIN,
    dew_margin,
    dew_point,
    humidity_at,
    humidity_from_wet_bulb,
    humidity_ratio,
    saturation_pressure,
    wet_bulb,
)
from coatwright.engines.climate.room import air_loss, heater_for, room_temperature

__all__ = [
    "DEW_MARGIN",
    "air_loss",
    "dew_margin",
    "dew_point",
    "heater_for",
    "humidity_at",
    "humidity_from_wet_bulb",
    "humidity_ratio",
    "metal_temperature",
    "room_temperature",
    "saturation_pressure",
    "surface_transfer",
    "time_constant",
    "time_to_reach",
    "wet_bulb",
]
