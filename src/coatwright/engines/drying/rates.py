"""Evaporation of a bare liquid: it cools itself, and so the fast ones are slower than they seem."""

from typing import Final, NamedTuple

from scipy.optimize import brentq

from coatwright.engines.constants import ATMOSPHERE, GAS
from coatwright.engines.drying.vapour import (
    Solvent,
    diffusivity,
    heat_of_vaporisation,
    mass_transfer,
    vapour_pressure,
)
from coatwright.errors import RangeError

AIR_HEAT: Final = 1006.0
AIR_MOLAR_MASS: Final = 0.0289652
HEAT_DIFFUSION: Final = 2.14e-5
"""Thermal diffusivity of air near 20 degC [m2/s]."""


class Stand(NamedTuple):
    """Where a liquid evaporates: air temperature [K], air speed [m/s], length along the air [m],
    heat reaching it other than from the air over it [W/(m2 K)], and its vapour in that air [Pa].
    """

    temperature: float
    speed: float
    length: float
    backing: float
    loaded: float = 0.0


EVAPOROMETER: Final = Stand(298.15, 0.3, 0.09, 15.0)
"""A wetted filter paper of 90 mm at 25 degC in slow dry air. The air speed and the heat from
behind (radiation on both faces, the other side of the paper) are assumptions: one pair for all."""


def wet_temperature(solvent: Solvent, stand: Stand) -> float:
    """Temperature a wetted surface settles at while its solvent evaporates.

    Parameters
    ----------
    solvent : Solvent
        Which.
    stand : Stand
        Where: temperature [K], speed [m/s], length [m], backing [W/(m2 K)], vapour [Pa].

    Returns
    -------
    float [K]
        Heat from air and from behind equals heat of vaporisation; never above the air.

    Raises
    ------
    RangeError
        A temperature outside the vapour-pressure law.

    Validity
        Steady state of a small heat capacity: paper, fabric, a film on thin plastic. On metal use
        chill.
    Source
        wet-surface, with the analogy of Chilton and Colburn.
    Checked
        tests/published/test_drying.py.
    """
    transfer = _transfer(solvent, stand)
    lewis = (HEAT_DIFFUSION / diffusivity(solvent, stand.temperature)) ** (2 / 3)
    density = ATMOSPHERE * AIR_MOLAR_MASS / (GAS * stand.temperature)
    heat = transfer * density * AIR_HEAT * lewis + stand.backing

    def short(wet: float) -> float:
        taken = _moles(solvent, stand, transfer, wet) * heat_of_vaporisation(solvent, wet)
        return float(heat * (stand.temperature - wet) - taken)

    if short(stand.temperature) >= 0:
        return stand.temperature
    return float(brentq(short, max(stand.temperature - 60.0, 233.15), stand.temperature))


def _transfer(solvent: Solvent, stand: Stand) -> float:
    diffusion = diffusivity(solvent, stand.temperature)
    return mass_transfer(diffusion, stand.speed, stand.length, stand.temperature)


def _moles(solvent: Solvent, stand: Stand, transfer: float, wet: float) -> float:
    pull = vapour_pressure(solvent, wet) - stand.loaded
    return transfer * pull / (GAS * stand.temperature)


def evaporation(solvent: Solvent, stand: Stand) -> float:
    """Rate at which a bare liquid gets thinner.

    Parameters
    ----------
    solvent : Solvent
        Which.
    stand : Stand
        Where: temperature [K], speed [m/s], length [m], backing [W/(m2 K)], vapour [Pa].

    Returns
    -------
    float [m/s]
        At the temperature it settles at.

    Raises
    ------
    RangeError
        As wet_temperature.

    Validity
        As wet_temperature.
    Source
        wet-surface.
    Checked
        tests/published/test_drying.py.
    """
    wet = wet_temperature(solvent, stand)
    moles = _moles(solvent, stand, _transfer(solvent, stand), wet)
    return max(moles, 0.0) * solvent.molar_mass / solvent.density


def relative_rate(solvent: Solvent, reference: Solvent, stand: Stand = EVAPOROMETER) -> float:
    """Evaporation rate by volume relative to a reference solvent.

    Parameters
    ----------
    solvent, reference : Solvent
        Which, and which it is compared with (n-butyl acetate by custom).
    stand : Stand
        Where: temperature [K], speed [m/s], length [m], backing [W/(m2 K)], vapour [Pa].

    Returns
    -------
    float [-]
        1 for the reference itself.

    Raises
    ------
    RangeError
        As wet_temperature.

    Validity
        Within about a third of published rates for solvents from acetone to white spirit.
    Source
        astm-d3539, wet-surface.
    Checked
        tests/published/test_drying.py.
    """
    return evaporation(solvent, stand) / evaporation(reference, stand)


def chill(liquid: float, solvent: Solvent, capacity: float, temperature: float) -> float:
    """How far a panel cools if a film's solvent takes all its heat from the metal.

    Parameters
    ----------
    liquid : float [m]
        Thickness of solvent that leaves, 0 or more.
    solvent : Solvent
        Which.
    capacity : float [J/(m2 K)]
        Heat capacity of the metal behind a square metre: density x specific heat x gauge.
    temperature : float [K]
        Of the metal.

    Returns
    -------
    float [K]
        The most it can cool; air warms it again meanwhile.

    Raises
    ------
    RangeError
        A heat capacity not above 0, or a temperature outside the vapour-pressure law.

    Source
        wet-surface (heat balance).
    Checked
        tests/unit/engines/drying/test_rates.py.
    """
    if not (liquid >= 0 and capacity > 0):
        raise RangeError("a panel without heat", instead="its heat capacity must be above 0")
    moles = liquid * solvent.density / solvent.molar_mass
    return moles * heat_of_vaporisation(solvent, temperature) / capacity
