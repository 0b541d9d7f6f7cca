"""Physical constants. Source: CODATA 2018 (gas constant), ISO 80000-3 (standard gravity)."""

from typing import Final

GAS: Final = 8.314462618
"""Molar gas constant [J/(mol K)], CODATA 2018."""

GRAVITY: Final = 9.80665
"""Standard acceleration of free fall [m/s2], ISO 80000-3."""

ATMOSPHERE: Final = 101325.0
"""Standard atmosphere [Pa]."""

AIR_DENSITY: Final = 1.204
"""Dry air at 20 degC and one standard atmosphere [kg/m3]: p M / (R T), M 28.965 g/mol."""

ZERO_CELSIUS: Final = 273.15
"""0 degC [K]."""
