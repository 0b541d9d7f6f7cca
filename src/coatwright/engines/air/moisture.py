"""Water in compressed air: what the pump takes in, what falls out under pressure, what is left.

All pressures are absolute.
"""

import math

from scipy.optimize import brentq

from coatwright.engines.constants import ATMOSPHERE, GAS
from coatwright.errors import RangeError

WATER_RATIO = 0.621945
"""Molar mass of water over that of dry air [-] (ASHRAE)."""

_ICE = (
    -5.6745359e3,
    6.3925247,
    -9.677843e-3,
    6.2215701e-7,
    2.0747825e-9,
    -9.484024e-13,
    4.1635019,
)
_LIQUID = (-5.8002206e3, 1.3914993, -4.8640239e-2, 4.1764768e-5, -1.4452093e-8, 0.0, 6.5459673)
_FREEZING = 273.16


def saturation_pressure(temperature: float) -> float:
    """Pressure of saturated water vapour, over ice below freezing.

    Parameters
    ----------
    temperature : float [K]
        -100 to 200 degC.

    Returns
    -------
    float [Pa]
        Of the vapour alone.

    Raises
    ------
    RangeError
        Outside that range.

    Source
        hyland-wexler.
    """
    if not 173.15 <= temperature <= 473.15:
        raise RangeError(f"{temperature - 273.15:.0f} degC is outside -100 to 200 degC")
    c = _ICE if temperature <= _FREEZING else _LIQUID
    powers = sum(c[i + 1] * temperature**i for i in range(5))
    return math.exp(c[0] / temperature + powers + c[6] * math.log(temperature))


def water_ratio(temperature: float, humidity: float, pressure: float = ATMOSPHERE) -> float:
    """Water that air holds.

    Parameters
    ----------
    temperature : float [K]
        Of the air.
    humidity : float [-]
        Relative humidity.
    pressure : float [Pa]
        Of the air, absolute.

    Returns
    -------
    float [-]
        Mass of water per mass of dry air.

    Raises
    ------
    RangeError
        If the humidity is not between 0 and 1, or the water would boil.

    Source
        humidity-ratio.
    """
    vapour = humidity * saturation_pressure(temperature)
    if not 0.0 <= humidity <= 1.0 or vapour >= pressure:
        raise RangeError(
            f"{humidity:.0%} humidity at {temperature - 273.15:.0f} degC and "
            f"{pressure / 1e5:.2f} bar is no moist air"
        )
    return WATER_RATIO * vapour / (pressure - vapour)


def water_per_free_air(temperature: float, humidity: float) -> float:
    """Water in free air.

    Parameters
    ----------
    temperature : float [K]
        Of the air.
    humidity : float [-]
        Relative humidity.

    Returns
    -------
    float [kg/m3]
        Per volume of the moist air taken in.

    Raises
    ------
    RangeError
        As water_ratio.

    Source
        ideal-gas-air, for the vapour.
    """
    vapour = humidity * saturation_pressure(temperature)
    return vapour * WATER_RATIO * 0.0289652 / (GAS * temperature)


def condensate(taken_in: tuple[float, float], temperature: float, pressure: float) -> float:
    """Water that falls out when air is compressed and cools.

    Parameters
    ----------
    taken_in : (float, float) [K, -]
        Temperature and relative humidity of the free air.
    temperature : float [K]
        To which the compressed air cools.
    pressure : float [Pa]
        Of the compressed air, absolute.

    Returns
    -------
    float [-]
        Mass of water per mass of dry air; 0 if all of it stays vapour.

    Raises
    ------
    RangeError
        As water_ratio.

    Validity
        Equilibrium: a small receiver lets some drops go on into the line.

    Source
        humidity-ratio, before and after.
    """
    came = water_ratio(*taken_in)
    return max(0.0, came - water_ratio(temperature, 1.0, pressure))


def pressure_dew_point(
    temperature: float, humidity: float, pressure: float, at: float = ATMOSPHERE
) -> float:
    """Temperature at which air would begin to drop water at another pressure.

    Parameters
    ----------
    temperature : float [K]
        Of the air.
    humidity : float [-]
        Its relative humidity.
    pressure : float [Pa]
        At which the dew point is wanted, absolute.
    at : float [Pa]
        Pressure at which temperature and humidity hold, absolute.

    Returns
    -------
    float [K]
        Above its own temperature where compressing alone would already drop water.

    Raises
    ------
    RangeError
        If the air holds no water, or the dew point lies outside -100 to 200 degC.

    Source
        hyland-wexler: the vapour's share of the pressure stays the same.
    """
    vapour = humidity * saturation_pressure(temperature) * pressure / at
    if not saturation_pressure(173.15) < vapour < saturation_pressure(473.15):
        raise RangeError(f"vapour of {vapour:.3g} Pa has no dew point between -100 and 200 degC")
    return float(brentq(lambda t: saturation_pressure(t) - vapour, 173.15, 473.15, xtol=1e-9))


def humidity_after(temperature: float, dried_at: tuple[float, float], pressure: float) -> float:
    """Relative humidity of air once saturated under pressure, and then let down and warmed.

    Parameters
    ----------
    temperature : float [K]
        Of the air now.
    dried_at : (float, float) [K, Pa]
        Temperature and pressure (absolute) at which it was last saturated.
    pressure : float [Pa]
        Its pressure now, absolute.

    Returns
    -------
    float [-]
        1 where water would fall out again.

    Source
        hyland-wexler: the vapour's share of the pressure stays the same.
    """
    saturated, before = dried_at
    vapour = saturation_pressure(saturated) * pressure / before
    return min(1.0, vapour / saturation_pressure(temperature))
