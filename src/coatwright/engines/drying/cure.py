"""Two-pack cure: how fast at another temperature, how far after a history, what a bake reaches."""

import math
from typing import Final

import numpy as np
from numpy.typing import ArrayLike, NDArray

from coatwright.engines.constants import GAS
from coatwright.errors import RangeError

DOUBLING: Final = 51_200.0
"""Activation energy [J/mol] that doubles a cure from 20 to 30 degC."""

COLDEST: Final = 263.15
HOTTEST: Final = 473.15


def cure_rate(
    temperature: ArrayLike, sheet_temperature: float, activation: float = DOUBLING
) -> NDArray[np.float64]:
    """How many times faster a two-pack cures than at the sheet's temperature.

    Parameters
    ----------
    temperature : array [K]
        Of the metal, -10 to 200 degC.
    sheet_temperature : float [K]
        At which the sheet gives its times.
    activation : float [J/mol]
        Activation energy; the default doubles the rate from 20 to 30 degC.

    Returns
    -------
    array [-]
        Arrhenius: 1 at the sheet's temperature.

    Raises
    ------
    RangeError
        A temperature outside -10 to 200 degC or an activation energy below zero.

    Validity
        One reaction, not slowed by diffusion. Below about 10 degC many two-packs all but stop and
        never catch up fully; the law does not know that.
    Source
        arrhenius; sultan-busnel and polymer-ipdi for activation energies.
    Checked
        tests/published/test_drying.py.
    """
    wanted = np.asarray(temperature, dtype=float)
    for kelvin in (*wanted.ravel(), sheet_temperature):
        if not COLDEST <= kelvin <= HOTTEST:
            raise RangeError(
                f"a cure temperature of {kelvin:g} K is outside the cure law",
                instead="it must be -10 to 200 degC (263.15 to 473.15 K)",
            )
    if not activation >= 0:
        raise RangeError(
            f"an activation energy of {activation:g} J/mol", instead="it must be 0 or more"
        )
    return np.exp(activation / GAS * (1 / sheet_temperature - 1 / wanted))


def cure_reached(
    clock: ArrayLike,
    temperature: ArrayLike,
    sheet_time: float,
    sheet_temperature: float,
    activation: float = DOUBLING,
) -> NDArray[np.float64]:
    """How far a cure has come along a history of metal temperature; 1 is what the sheet calls dry.

    Parameters
    ----------
    clock : (n,) array [s]
        Rising times.
    temperature : (n,) array [K]
        Of the metal at those times, straight lines between.
    sheet_time, sheet_temperature : float [s, K]
        The sheet's time to that state (bake or air dry), and the metal temperature it holds for.
    activation : float [J/mol]
        Activation energy.

    Returns
    -------
    (n,) array [-]
        Equal-rate time spent so far over the sheet's time; above 1 it is past it.

    Raises
    ------
    RangeError
        Times that do not rise, or as cure_rate.

    Validity
        As cure_rate. Trapezium rule: give points close enough that rates change little between.
    Source
        arrhenius (integrated).
    Checked
        tests/unit/engines/drying/test_cure.py.
    """
    times = np.asarray(clock, dtype=float)
    if np.any(np.diff(times) <= 0) or not sheet_time > 0:
        raise RangeError(
            "a cure along times that do not rise", instead="give rising times and a time above 0"
        )
    rate = cure_rate(temperature, sheet_temperature, activation)
    steps = np.diff(times) * (rate[1:] + rate[:-1]) / 2
    return np.concatenate(([0.0], np.cumsum(steps))) / sheet_time


def activation_of(factor: float, from_temperature: float, to_temperature: float) -> float:
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
        Activation energy.

    Raises
    ------
    RangeError
        A factor not above zero, or twice the same temperature.

    Source
        arrhenius (derived).
    Checked
        tests/published/test_drying.py.
    """
    if not factor > 0 or from_temperature == to_temperature:
        raise RangeError(
            f"no activation energy gives {factor:g} between equal temperatures",
            instead="the factor must be above 0 and the temperatures must differ",
        )
    return GAS * math.log(factor) / (1 / from_temperature - 1 / to_temperature)
