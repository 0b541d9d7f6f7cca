"""Moist air by psychrolib (the equations of the ASHRAE Handbook): dew point, wet bulb, humidity."""

from typing import Final

from coatwright.engines.climate._psychrometrics import psychrolib
from coatwright.engines.constants import ATMOSPHERE, ZERO_CELSIUS
from coatwright.errors import RangeError

COLDEST: Final = 223.15
HOTTEST: Final = 373.15
DEW_MARGIN: Final = 3.0
"""Metal must be this much warmer than the dew point [K] before it is painted."""


def _checked(temperature: float, humidity: float = 0.5) -> float:
    """The temperature in degC, after a look at both."""
    if not COLDEST <= temperature <= HOTTEST:
        raise RangeError(
            f"an air temperature of {temperature:g} K is outside the tables of moist air",
            instead="it must be -50 to 100 degC (223.15 to 373.15 K)",
        )
    if not 0 <= humidity <= 1:
        raise RangeError(
            f"a relative humidity of {humidity:g}", instead="it must be 0 to 1 (100 %)"
        )
    return temperature - ZERO_CELSIUS


def saturation_pressure(temperature: float) -> float:
    """Pressure of water vapour over water (over ice below freezing).

    Parameters
    ----------
    temperature : float [K]
        -50 to 100 degC.

    Returns
    -------
    float [Pa]
        Saturated vapour pressure.

    Raises
    ------
    RangeError
        A temperature outside -50 to 100 degC.

    Source
        ashrae-2017.
    Checked
        tests/published/test_climate.py.
    """
    return float(psychrolib.GetSatVapPres(_checked(temperature)))


def dew_point(temperature: float, humidity: float) -> float:
    """Temperature at which water begins to settle out of air.

    Parameters
    ----------
    temperature : float [K]
        Of the air.
    humidity : float [-]
        Relative humidity, above 0 and at most 1.

    Returns
    -------
    float [K]
        Dew point (frost point below freezing).

    Raises
    ------
    RangeError
        A temperature outside -50 to 100 degC, or a humidity outside 0 to 1.

    Validity
        Within about 0.03 K of other libraries between 5 and 35 degC.
    Source
        ashrae-2017.
    Checked
        tests/published/test_climate.py.
    """
    celsius = _checked(temperature, humidity)
    return float(psychrolib.GetTDewPointFromRelHum(celsius, max(humidity, 1e-4))) + ZERO_CELSIUS


def wet_bulb(temperature: float, humidity: float, pressure: float = ATMOSPHERE) -> float:
    """Temperature that a wetted thermometer in moving air shows.

    Parameters
    ----------
    temperature : float [K]
        Of the air.
    humidity : float [-]
        Relative humidity.
    pressure : float [Pa]
        Of the air.

    Returns
    -------
    float [K]
        Wet-bulb temperature.

    Raises
    ------
    RangeError
        As dew_point.

    Source
        ashrae-2017.
    Checked
        tests/published/test_climate.py.
    """
    celsius = _checked(temperature, humidity)
    return float(psychrolib.GetTWetBulbFromRelHum(celsius, humidity, pressure)) + ZERO_CELSIUS


def humidity_from_wet_bulb(
    temperature: float, wet_bulb: float, pressure: float = ATMOSPHERE
) -> float:
    """Relative humidity from a whirling hygrometer's two thermometers.

    Parameters
    ----------
    temperature, wet_bulb : float [K]
        Of the dry and of the wetted thermometer; the wet one is never warmer.
    pressure : float [Pa]
        Of the air.

    Returns
    -------
    float [-]
        Relative humidity, 0 to 1.

    Raises
    ------
    RangeError
        A wet bulb warmer than the air, or a temperature outside -50 to 100 degC.

    Source
        ashrae-2017.
    Checked
        tests/published/test_climate.py.
    """
    celsius = _checked(temperature)
    if not wet_bulb <= temperature:
        raise RangeError(
            f"a wet bulb of {wet_bulb:g} K in air of {temperature:g} K",
            instead="the wet thermometer cannot be warmer than the dry one",
        )
    found = psychrolib.GetRelHumFromTWetBulb(celsius, wet_bulb - ZERO_CELSIUS, pressure)
    return float(min(max(found, 0.0), 1.0))


def humidity_ratio(temperature: float, humidity: float, pressure: float = ATMOSPHERE) -> float:
    """Mass of water for each mass of dry air.

    Parameters
    ----------
    temperature : float [K]
        Of the air.
    humidity : float [-]
        Relative humidity.
    pressure : float [Pa]
        Of the air.

    Returns
    -------
    float [-]
        Water over dry air, by mass.

    Raises
    ------
    RangeError
        As dew_point.

    Source
        ashrae-2017.
    Checked
        tests/published/test_climate.py.
    """
    celsius = _checked(temperature, humidity)
    return float(psychrolib.GetHumRatioFromRelHum(celsius, humidity, pressure))


def humidity_at(temperature: float, humidity: float, warmed: float) -> float:
    """Relative humidity of the same air at another temperature, no water added or lost.

    Parameters
    ----------
    temperature : float [K]
        At which the humidity was measured.
    humidity : float [-]
        Relative humidity there.
    warmed : float [K]
        The other temperature.

    Returns
    -------
    float [-]
        Relative humidity, at most 1 (what is over settles out).

    Raises
    ------
    RangeError
        As dew_point.

    Source
        ashrae-2017 (ratio of saturation pressures).
    Checked
        tests/unit/engines/climate/test_moist_air.py.
    """
    _checked(temperature, humidity)
    held = humidity * saturation_pressure(temperature) / saturation_pressure(warmed)
    return min(held, 1.0)


def dew_margin(metal: float, temperature: float, humidity: float) -> float:
    """How much warmer the metal is than the dew point of the air.

    Parameters
    ----------
    metal : float [K]
        Temperature of the surface to be painted.
    temperature : float [K]
        Of the air.
    humidity : float [-]
        Relative humidity.

    Returns
    -------
    float [K]
        Below 0 water settles on it; painting asks for DEW_MARGIN or more.

    Raises
    ------
    RangeError
        As dew_point.

    Validity
        The rule of 3 K (5 degF) is that of paint sheets and inspection guides. ISO 8502-4 gives
        guidance on the probability of condensation; the 3 K was not seen in its own text.
    Source
        ashrae-2017; dew-point-guide, iso-8502-4.
    Checked
        tests/published/test_climate.py.
    """
    return metal - dew_point(temperature, humidity)
