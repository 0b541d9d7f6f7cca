"""How long a mix stays usable at a temperature other than the sheet's."""

import math
from typing import Final

from coatwright.engines.constants import GAS
from coatwright.errors import RangeError

HALVING: Final = 51_200.0
"""Activation energy [J/mol] at which a cure doubles its speed from 20 to 30 degC."""

SLOWEST: Final = 43_000.0
FASTEST: Final = 77_000.0
"""Published activation energies of urethane cures run between these two [J/mol]."""

COLDEST: Final = 273.15
HOTTEST: Final = 353.15


def speed_up(from_temperature: float, to_temperature: float, activation: float = HALVING) -> float:
    """How many times faster a cure runs at one temperature than at another.

    Parameters
    ----------
    from_temperature, to_temperature : float [K]
        0 to 80 degC.
    activation : float [J/mol]
        Activation energy of the cure; the default doubles the speed from 20 to 30 degC.

    Returns
    -------
    float [-]
        Above 1 where it is warmer.

    Raises
    ------
    RangeError
        A temperature outside 0 to 80 degC, or a negative activation energy.

    Validity
        One reaction, not slowed by diffusion. Many two-pack paints stop curing somewhere below
        10 degC; the law does not know that.
    Source
        arrhenius; sultan-busnel, polymer-ipdi (activation energies).
    Checked
        tests/published/test_mixing.py.
    """
    for temperature in (from_temperature, to_temperature):
        if not COLDEST <= temperature <= HOTTEST:
            raise RangeError(
                f"a cure temperature of {temperature:g} K is outside the cure law",
                instead="it must be 0 to 80 degC (273.15 to 353.15 K)",
            )
    if not activation >= 0:
        raise RangeError(
            f"an activation energy of {activation:g} J/mol", instead="it must be 0 or more"
        )
    return math.exp(activation / GAS * (1 / from_temperature - 1 / to_temperature))


def activation_for(factor: float, from_temperature: float, to_temperature: float) -> float:
    """Activation energy at which a cure runs `factor` times faster at the second temperature.

    Parameters
    ----------
    factor : float [-]
        Speed-up, above 0.
    from_temperature, to_temperature : float [K]
        Two different temperatures.

    Returns
    -------
    float [J/mol]
        Activation energy; the inverse of speed_up.

    Raises
    ------
    RangeError
        A factor not above zero, or twice the same temperature.

    Validity
        As speed_up.
    Source
        arrhenius (derived).
    Checked
        tests/published/test_mixing.py.
    """
    if not factor > 0 or from_temperature == to_temperature:
        raise RangeError(
            f"no activation energy gives {factor:g} between {from_temperature:g} "
            f"and {to_temperature:g} K",
            instead="the factor must be above 0 and the temperatures must differ",
        )
    return GAS * math.log(factor) / (1 / from_temperature - 1 / to_temperature)


def pot_life(
    sheet_life: float, sheet_temperature: float, temperature: float, activation: float = HALVING
) -> float:
    """Usable time of a mix at the shop's temperature.

    Parameters
    ----------
    sheet_life : float [s]
        Pot life on the sheet.
    sheet_temperature, temperature : float [K]
        At which the sheet gives it, and of the mix in the shop; 0 to 80 degC.
    activation : float [J/mol]
        Activation energy of the cure; the default halves the life per 10 K.

    Returns
    -------
    float [s]
        Usable time of a cupful; a large pot warms itself and lasts shorter.

    Raises
    ------
    RangeError
        A temperature outside 0 to 80 degC.

    Validity
        Within about 15 K of the sheet's temperature.
    Source
        ufgs-09971, 3.7.1.3 (halves per 10 degC up, doubles per 10 degC down).
    Checked
        tests/published/test_mixing.py.
    """
    return sheet_life / speed_up(sheet_temperature, temperature, activation)


def pot_life_range(
    sheet_life: float, sheet_temperature: float, temperature: float
) -> tuple[float, float]:
    """Shortest and longest pot life the published activation energies allow.

    Parameters
    ----------
    sheet_life : float [s]
        Pot life on the sheet.
    sheet_temperature, temperature : float [K]
        At which the sheet gives it, and of the mix in the shop.

    Returns
    -------
    (float, float) [s]
        Shortest and longest; equal at the sheet's own temperature.

    Raises
    ------
    RangeError
        A temperature outside 0 to 80 degC.

    Validity
        As pot_life.
    Source
        sultan-busnel, polymer-ipdi.
    Checked
        tests/properties/test_mixing.py.
    """
    lives = [
        pot_life(sheet_life, sheet_temperature, temperature, activation)
        for activation in (SLOWEST, FASTEST)
    ]
    return min(lives), max(lives)
