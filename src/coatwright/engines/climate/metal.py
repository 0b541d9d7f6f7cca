"""How slowly metal follows the air: sheet of a gauge, warmed and cooled at its faces."""

import math
from typing import Final

import numpy as np
from numpy.typing import ArrayLike, NDArray

from coatwright.engines.constants import ATMOSPHERE, GAS, GRAVITY
from coatwright.errors import RangeError

STEEL_DENSITY: Final = 7850.0
STEEL_HEAT: Final = 470.0
"""Density [kg/m3] and specific heat [J/(kg K)] of mild steel near 20 degC."""

EMISSIVITY: Final = 0.9
"""Of paint, primer and dull metal in the infrared; bright metal is nearer 0.1."""

_STEFAN_BOLTZMANN: Final = 5.670374419e-8
_AIR_MOLAR_MASS: Final = 0.0289652
_AIR_VISCOSITY: Final = 1.716e-5
_PRANDTL: Final = 0.71


def surface_transfer(
    air_speed: float,
    length: float,
    temperature: float,
    difference: float = 5.0,
    emissivity: float = EMISSIVITY,
) -> float:
    """Heat that a surface takes from room and air for each kelvin between them.

    Parameters
    ----------
    air_speed : float [m/s]
        Along the surface, 0 or more.
    length : float [m]
        Of the surface along the air.
    temperature : float [K]
        Of the air.
    difference : float [K]
        Between surface and air, for the free flow.
    emissivity : float [-]
        Of the surface, 0 to 1.

    Returns
    -------
    float [W/(m2 K)]
        Forced and free convection joined by their cubes, plus radiation to walls as warm as the
        air.

    Raises
    ------
    RangeError
        A speed below 0, a length not above 0, or an emissivity outside 0 to 1.

    Validity
        Flat surfaces; within about 20 %.
    Source
        flat-plate, churchill-chu, stefan-boltzmann.
    Checked
        tests/unit/engines/climate/test_metal.py.
    """
    if not (air_speed >= 0 and length > 0 and 0 <= emissivity <= 1):
        raise RangeError(
            f"air at {air_speed:g} m/s along {length:g} m with emissivity {emissivity:g}",
            instead="the speed must be 0 or more, the length above 0, the emissivity 0 to 1",
        )
    viscosity = _viscosity(temperature)
    conductivity = viscosity / _PRANDTL * 1006.0 * ATMOSPHERE * _AIR_MOLAR_MASS / GAS / temperature
    reynolds = air_speed * length / viscosity
    laminar = 0.664 * math.sqrt(reynolds)
    forced = (laminar if reynolds <= 5e5 else 0.037 * reynolds**0.8 - 871.0) * _PRANDTL ** (1 / 3)
    rayleigh = GRAVITY * abs(difference) / temperature * length**3 / viscosity**2 * _PRANDTL
    group = (1.0 + (0.492 / _PRANDTL) ** (9 / 16)) ** (8 / 27)
    free = (0.825 + 0.387 * rayleigh ** (1 / 6) / group) ** 2
    convection = float((forced**3 + free**3) ** (1 / 3)) * conductivity / length
    return convection + 4.0 * emissivity * _STEFAN_BOLTZMANN * temperature**3


def _viscosity(temperature: float) -> float:
    dynamic = _AIR_VISCOSITY * (temperature / 273.15) ** 1.5 * (273.15 + 110.4)
    dynamic /= temperature + 110.4
    return float(dynamic * GAS * temperature / (ATMOSPHERE * _AIR_MOLAR_MASS))


def time_constant(
    gauge: float,
    heat_transfer: float,
    faces: float = 1.0,
    density: float = STEEL_DENSITY,
    heat: float = STEEL_HEAT,
) -> float:
    """Time in which sheet metal makes up 63 % of a difference from the air.

    Parameters
    ----------
    gauge : float [m]
        Thickness of the metal.
    heat_transfer : float [W/(m2 K)]
        Heat transfer at one face.
    faces : float [-]
        Faces that meet the air: 2 for a loose panel, 1 for a box that is closed behind.
    density : float [kg/m3]
        Of the metal.
    heat : float [J/(kg K)]
        Its specific heat.

    Returns
    -------
    float [s]
        density x heat x gauge / (faces x heat_transfer).

    Raises
    ------
    RangeError
        A value not above 0.

    Validity
        One temperature through the metal (Biot number well below 0.1: true for any body panel).
    Source
        lumped-capacity.
    Checked
        tests/unit/engines/climate/test_metal.py.
    """
    if not min(gauge, heat_transfer, faces, density, heat) > 0:
        raise RangeError("a sheet of nothing", instead="every value must be above 0")
    return density * heat * gauge / (faces * heat_transfer)


def metal_temperature(
    clock: ArrayLike, air: ArrayLike, metal: float, time_constant: float
) -> NDArray[np.float64]:
    """Metal temperature along a history of air temperature.

    Parameters
    ----------
    clock : (n,) array [s]
        Rising times.
    air : (n,) array [K]
        Air temperature at those times, straight lines between.
    metal : float [K]
        Its temperature at the first time.
    time_constant : float [s]
        Of the metal, 0 or more; 0 follows at once.

    Returns
    -------
    (n,) array [K]
        Exact for air that changes in straight lines.

    Raises
    ------
    RangeError
        Times that do not rise.

    Source
        lumped-capacity (solved in closed form).
    Checked
        tests/unit/engines/climate/test_metal.py, tests/properties/conditions/test_climate.py.
    """
    times = np.asarray(clock, dtype=float)
    outside = np.asarray(air, dtype=float)
    if np.any(np.diff(times) <= 0) or times.shape != outside.shape:
        raise RangeError("a history whose times do not rise", instead="give one rising list")
    if time_constant <= 0:
        return outside.copy()
    found = [metal]
    for step, here, there in zip(np.diff(times), outside[:-1], outside[1:], strict=True):
        slope = (there - here) / step
        lag = slope * time_constant
        found.append(there - lag + (found[-1] - here + lag) * math.exp(-step / time_constant))
    return np.array(found)


def time_to_reach(metal: float, air: float, wanted: float, time_constant: float) -> float:
    """Time until metal in air of one temperature has come to another.

    Parameters
    ----------
    metal, air, wanted : float [K]
        Metal now, the air around it, and the metal temperature wanted.
    time_constant : float [s]
        Of the metal.

    Returns
    -------
    float [s]
        0 if it is there; infinite if the air will not bring it there.

    Source
        lumped-capacity.
    Checked
        tests/unit/engines/climate/test_metal.py.
    """
    away, left = air - metal, air - wanted
    if (wanted - metal) * away <= 0:
        return 0.0
    if left * away <= 0:
        return math.inf
    return time_constant * math.log(away / left)
