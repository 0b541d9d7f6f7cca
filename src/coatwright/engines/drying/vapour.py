"""How a liquid solvent goes into air: vapour pressure, diffusion, mass transfer at a surface."""

import math
from typing import Final, NamedTuple

from coatwright.engines.constants import ATMOSPHERE, GAS, GRAVITY
from coatwright.errors import RangeError

ROOM: Final = 293.15
"""Temperature at which a solvent's vapour pressure is given [K]."""

AIR_MOLAR_MASS: Final = 0.0289652
AIR_DIFFUSION_VOLUME: Final = 19.7
_AIR_VISCOSITY: Final = 1.716e-5
"""Dry air at 0 degC [Pa s], with Sutherland's constant 110.4 K."""

COLDEST: Final = 233.15
HOTTEST: Final = 473.15


class Solvent(NamedTuple):
    """One solvent: molar mass [kg/mol], liquid density [kg/m3], normal boiling point [K], vapour
    pressure at 20 degC [Pa], and Fuller's diffusion volume [-].
    """

    molar_mass: float
    density: float
    boiling_point: float
    pressure: float
    diffusion_volume: float


def _within(temperature: float) -> None:
    if not COLDEST <= temperature <= HOTTEST:
        raise RangeError(
            f"a temperature of {temperature:g} K is outside the vapour-pressure law",
            instead="it must be -40 to 200 degC (233.15 to 473.15 K)",
        )


def _antoine(solvent: Solvent) -> tuple[float, float]:
    """Slope B [K] and shift C [K] of ln p = A - B / (T - C), through 20 degC and boiling."""
    shift = 0.19 * solvent.boiling_point - 18.0
    span = 1.0 / (ROOM - shift) - 1.0 / (solvent.boiling_point - shift)
    return math.log(ATMOSPHERE / solvent.pressure) / span, shift


def vapour_pressure(solvent: Solvent, temperature: float) -> float:
    """Saturated vapour pressure of a pure solvent.

    Parameters
    ----------
    solvent : Solvent
        Which; boiling point and vapour pressure at 20 degC fix the curve.
    temperature : float [K]
        -40 to 200 degC.

    Returns
    -------
    float [Pa]
        Antoine's equation through the vapour pressure at 20 degC and the boiling point; its third
        constant by Thomson's rule.

    Raises
    ------
    RangeError
        A temperature outside -40 to 200 degC.

    Validity
        Between 0 and 40 degC within a few per cent of measured curves if both points are good.
    Source
        antoine-thomson.
    Checked
        tests/published/test_drying.py.
    """
    _within(temperature)
    slope, shift = _antoine(solvent)
    return solvent.pressure * math.exp(slope * (1 / (ROOM - shift) - 1 / (temperature - shift)))


def room_pressure(boiling_point: float, pressure: float, temperature: float) -> float:
    """Vapour pressure at 20 degC of a solvent whose pressure is known at another temperature.

    Parameters
    ----------
    boiling_point : float [K]
        At one atmosphere.
    pressure : float [Pa]
        Vapour pressure, above 0 and below one atmosphere.
    temperature : float [K]
        At which it was measured, below the boiling point.

    Returns
    -------
    float [Pa]
        On the Antoine curve with Thomson's third constant through both points.

    Raises
    ------
    RangeError
        A pressure or a temperature out of those bounds.

    Source
        antoine-thomson.
    Checked
        tests/unit/engines/drying/test_vapour.py.
    """
    if not (0 < pressure < ATMOSPHERE and COLDEST <= temperature < boiling_point):
        raise RangeError(
            f"a vapour pressure of {pressure:g} Pa at {temperature:g} K",
            instead="it must lie between 0 and one atmosphere, below the boiling point",
        )
    shift = 0.19 * boiling_point - 18.0
    slope = math.log(ATMOSPHERE / pressure)
    slope /= 1.0 / (temperature - shift) - 1.0 / (boiling_point - shift)
    return pressure * math.exp(slope * (1 / (temperature - shift) - 1 / (ROOM - shift)))


def heat_of_vaporisation(solvent: Solvent, temperature: float) -> float:
    """Heat that a mole of solvent takes with it when it evaporates.

    Parameters
    ----------
    solvent : Solvent
        Which.
    temperature : float [K]
        -40 to 200 degC.

    Returns
    -------
    float [J/mol]
        Slope of the vapour-pressure curve, by Clausius and Clapeyron with an ideal vapour.

    Raises
    ------
    RangeError
        A temperature outside -40 to 200 degC.

    Validity
        Within about 5 % near 20 degC.
    Source
        antoine-thomson, with the equation of Clausius and Clapeyron (derived).
    Checked
        tests/published/test_drying.py.
    """
    _within(temperature)
    slope, shift = _antoine(solvent)
    return GAS * slope * (temperature / (temperature - shift)) ** 2


def diffusivity(solvent: Solvent, temperature: float, pressure: float = ATMOSPHERE) -> float:
    """Diffusion coefficient of a solvent's vapour in air.

    Parameters
    ----------
    solvent : Solvent
        Molar mass and diffusion volume are used.
    temperature : float [K]
        Of the air.
    pressure : float [Pa]
        Of the air.

    Returns
    -------
    float [m2/s]
        By the method of Fuller, Schettler and Giddings.

    Validity
        Error of about 5 %, at most 10 %, for organic vapours at low pressure.
    Source
        fuller-1966.
    Checked
        tests/published/test_drying.py.
    """
    mean = 2.0 / (1e-3 / AIR_MOLAR_MASS + 1e-3 / solvent.molar_mass)
    size = solvent.diffusion_volume ** (1 / 3) + AIR_DIFFUSION_VOLUME ** (1 / 3)
    return float(1e-4 * 0.00143 * temperature**1.75 / (pressure / 1e5 * math.sqrt(mean) * size**2))


def air_viscosity(temperature: float) -> float:
    """Kinematic viscosity of dry air at one atmosphere.

    Parameters
    ----------
    temperature : float [K]
        Of the air.

    Returns
    -------
    float [m2/s]
        Sutherland's law over the density of an ideal gas.

    Source
        sutherland-air.
    Checked
        tests/published/test_drying.py.
    """
    dynamic = _AIR_VISCOSITY * (temperature / 273.15) ** 1.5 * (273.15 + 110.4)
    dynamic /= temperature + 110.4
    return float(dynamic * GAS * temperature / (ATMOSPHERE * AIR_MOLAR_MASS))


def mass_transfer(
    diffusion: float, air_speed: float, length: float, temperature: float, draught: float = 2.0
) -> float:
    """Mean mass-transfer coefficient of a flat surface in moving or still air.

    Parameters
    ----------
    diffusion : float [m2/s]
        Diffusion coefficient of the vapour.
    air_speed : float [m/s]
        Along the surface, 0 or more.
    length : float [m]
        Of the surface along the air.
    temperature : float [K]
        Of the air.
    draught : float [K]
        Difference of temperature (or its equal in vapour density) that drives the air at the
        surface when nothing else does.

    Returns
    -------
    float [m/s]
        Forced flow (laminar, then turbulent from Re 5e5) and free flow joined by their cubes.

    Raises
    ------
    RangeError
        A speed below zero or a length not above zero.

    Validity
        Smooth surfaces, vapour dilute in air. Sherwood for Nusselt by the analogy of Chilton and
        Colburn. Draughts in a shop make the true value 20 to 50 % higher.
    Source
        flat-plate; churchill-chu.
    Checked
        tests/published/test_drying.py.
    """
    if not (air_speed >= 0 and length > 0):
        raise RangeError(
            f"air at {air_speed:g} m/s along {length:g} m",
            instead="the speed must be 0 or more and the length above 0",
        )
    viscosity = air_viscosity(temperature)
    schmidt = viscosity / diffusion
    forced = _forced(air_speed * length / viscosity) * schmidt ** (1 / 3)
    grashof = GRAVITY * draught / temperature * length**3 / viscosity**2
    free = _free(grashof * schmidt, schmidt)
    return float((forced**3 + free**3) ** (1 / 3)) * diffusion / length


def _forced(reynolds: float) -> float:
    """Sherwood number over the cube root of Schmidt, mean along a flat plate."""
    if reynolds <= 5e5:
        return 0.664 * math.sqrt(reynolds)
    return float(0.037 * reynolds**0.8 - 871.0)


def _free(rayleigh: float, schmidt: float) -> float:
    """Sherwood number of free flow on a vertical wall (Churchill and Chu)."""
    group = (1.0 + (0.492 / schmidt) ** (9 / 16)) ** (8 / 27)
    return float((0.825 + 0.387 * rayleigh ** (1 / 6) / group) ** 2)
