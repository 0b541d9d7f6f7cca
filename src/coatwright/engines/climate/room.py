"""A room warmed by a heater and chilled by what its fan throws out."""

from typing import Final

from coatwright.engines.constants import ATMOSPHERE, GAS
from coatwright.errors import RangeError

AIR_HEAT: Final = 1006.0
"""Specific heat of air [J/(kg K)]."""

_AIR_MOLAR_MASS: Final = 0.0289652


def air_loss(volume: float, air_changes: float, outdoor: float) -> float:
    """Heat that a room's changing air carries out for each kelvin.

    Parameters
    ----------
    volume : float [m3]
        Of the room.
    air_changes : float [1/s]
        Changes of its air.
    outdoor : float [K]
        Temperature of the air that comes in.

    Returns
    -------
    float [W/K]
        Density x specific heat x flow of the incoming air.

    Raises
    ------
    RangeError
        A volume or a rate below 0.

    Source
        room-heat-balance.
    Checked
        tests/unit/engines/climate/test_room.py.
    """
    if not (volume >= 0 and air_changes >= 0):
        raise RangeError("a room of less than nothing", instead="give values of 0 or more")
    density = ATMOSPHERE * _AIR_MOLAR_MASS / (GAS * outdoor)
    return density * AIR_HEAT * volume * air_changes


def room_temperature(outdoor: float, heater: float, loss: float) -> float:
    """Air temperature a heated room settles at.

    Parameters
    ----------
    outdoor : float [K]
        Air outside.
    heater : float [W]
        What the heater gives, 0 or more.
    loss : float [W/K]
        Heat through walls and with the air that changes.

    Returns
    -------
    float [K]
        outdoor + heater / loss.

    Raises
    ------
    RangeError
        A heater below 0 or a loss not above 0.

    Validity
        The steady state; sun, people and the heat of the building are left out.
    Source
        room-heat-balance.
    Checked
        tests/unit/engines/climate/test_room.py.
    """
    if not (heater >= 0 and loss > 0):
        raise RangeError(
            f"a heater of {heater:g} W against a loss of {loss:g} W/K",
            instead="the heater must be 0 or more and the loss above 0",
        )
    return outdoor + heater / loss


def heater_for(outdoor: float, wanted: float, loss: float) -> float:
    """Heat it takes to hold a room at a temperature.

    Parameters
    ----------
    outdoor, wanted : float [K]
        Air outside, and wanted inside.
    loss : float [W/K]
        Heat through walls and with the air that changes.

    Returns
    -------
    float [W]
        0 if it is warm enough without.

    Raises
    ------
    RangeError
        A loss below 0.

    Source
        room-heat-balance.
    Checked
        tests/unit/engines/climate/test_room.py.
    """
    if not loss >= 0:
        raise RangeError(f"a loss of {loss:g} W/K", instead="it must be 0 or more")
    return max(0.0, (wanted - outdoor) * loss)
