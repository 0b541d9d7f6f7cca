"""How a paint's viscosity changes with its temperature."""

import math
from typing import Final

from coatwright.engines.constants import GAS
from coatwright.errors import RangeError

ACTIVATION: Final = 28_600.0
"""Flow activation energy [J/mol] taken for paints unless measured: 4 % per K at 20 degC."""

COLDEST: Final = 263.15
HOTTEST: Final = 353.15


def at_temperature(
    viscosity: float, measured_at: float, wanted_at: float, activation: float = ACTIVATION
) -> float:
    """Viscosity of the same paint at another temperature.

    Parameters
    ----------
    viscosity : float [m2/s]
        Kinematic (or dynamic) viscosity at measured_at.
    measured_at, wanted_at : float [K]
        Paint temperatures, 263.15 to 353.15.
    activation : float [J/mol]
        Flow activation energy; the default gives 4 % per K at 20 degC.

    Returns
    -------
    float [m2/s]
        Viscosity at wanted_at, in the unit it was given in.

    Raises
    ------
    RangeError
        A temperature outside -10 to 80 degC.

    Validity
        Andrade's law eta ~ exp(E / R T). The default stands for the 3-5 % per K that painters
        expect at 20 degC (common practice, no source); good within about 15 K of the measurement.
        Fails near the glass transition and where the thixotropy itself changes.
    Source
        andrade-1930; activation: common practice, no source.
    Checked
        tests/published/test_rheology.py.
    """
    for temperature in (measured_at, wanted_at):
        if not COLDEST <= temperature <= HOTTEST:
            raise RangeError(
                f"a paint temperature of {temperature:g} K is outside the viscosity law",
                instead="it must be -10 to 80 degC (263.15 to 353.15 K)",
            )
    return viscosity * math.exp(activation / GAS * (1 / wanted_at - 1 / measured_at))


def sensitivity(temperature: float, activation: float = ACTIVATION) -> float:
    """Share by which a paint gets thinner per kelvin of warming.

    Parameters
    ----------
    temperature : float [K]
        Paint temperature.
    activation : float [J/mol]
        Flow activation energy.

    Returns
    -------
    float [1/K]
        E / (R T^2); 0.04 means 4 % per K.

    Validity
        As at_temperature.
    Source
        andrade-1930 (derived).
    Checked
        tests/published/test_rheology.py.
    """
    return activation / (GAS * temperature**2)
