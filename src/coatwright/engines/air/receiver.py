"""Receiver and pump: times in closed form, delivery against pressure, warmth, busiest minutes.

The polytropic index in the closed forms says how the air's pressure goes with its mass: 1 at one
temperature (the wall gives all the heat), 1.4 with no heat from the wall. A run lets the wall give
what it can and so needs no index; `index_of` finds the one it came to.
"""

import math

import numpy as np
from numpy.typing import NDArray

from coatwright.engines.air import _kernels as kernels
from coatwright.engines.air._kernels import AIR_GAS
from coatwright.engines.air._records import Pump
from coatwright.engines.constants import ATMOSPHERE
from coatwright.errors import RangeError

Float = NDArray[np.float64]

DUTY_CYCLE = 600.0
"""Cycle by which a duty is meant unless the plate says otherwise [s] (IEC 60034-1, type S3)."""

WARM_TIME = 1200.0
"""Time in which a small pump warms by 63 % of what it would in the end [s] (assumption)."""

WALL_HEAT = 10.0
"""Heat that passes from air to the wall of a receiver [W/(m2 K)]: turbulent natural convection at
several bar (assumption; 3 to 4 at the pressure of the open air, growing with it)."""

_SLENDER = 2.5


def _span(low: float, high: float, volume: float) -> float:
    if not 0.0 <= low <= high or volume <= 0.0:
        raise RangeError(
            f"a receiver of {volume:g} m3 cannot go between {low:g} and {high:g} Pa",
            instead="the lower pressure comes first, and the volume is above zero",
        )
    return volume * (high - low) / ATMOSPHERE


def fill_time(volume: float, low: float, high: float, delivery: float, index: float = 1.0) -> float:
    """Time in which a pump fills a receiver, nothing being taken.

    Parameters
    ----------
    volume : float [m3]
        Of the receiver.
    low, high : float [Pa]
        Pressure at the start and at the end, both absolute or both gauge.
    delivery : float [m3/s]
        Free air the pump delivers, constant.
    index : float [-]
        Polytropic index: 1 at one temperature, 1.4 with no heat lost.

    Returns
    -------
    float [s]
        The warmer the air gets, the sooner the pressure is there.

    Raises
    ------
    RangeError
        If the pressures do not rise, or volume or delivery is not above zero.

    Source
        receiver-balance.
    """
    if delivery <= 0.0:
        raise RangeError(f"a pump of {delivery:g} m3/s never fills a receiver")
    return _span(low, high, volume) / (index * delivery)


def draw_time(
    volume: float,
    high: float,
    low: float,
    draw: float,
    delivery: float = 0.0,
    index: float = 1.0,
) -> float:
    """Time in which a receiver is drawn down.

    Parameters
    ----------
    volume : float [m3]
        Of the receiver.
    high, low : float [Pa]
        Pressure at the start and at the end, both absolute or both gauge.
    draw, delivery : float [m3/s]
        Free air taken, and delivered by the pump meanwhile, both constant.
    index : float [-]
        Polytropic index: 1 at one temperature, 1.4 with no heat from the wall.

    Returns
    -------
    float [s]
        Infinite if the pump delivers as much as is taken.

    Raises
    ------
    RangeError
        If the pressures do not fall, or the volume is not above zero.

    Source
        receiver-balance.
    """
    span = _span(low, high, volume)
    return span / (index * (draw - delivery)) if draw > delivery else math.inf


def receiver_volume(
    seconds: float, high: float, low: float, draw: float, delivery: float = 0.0
) -> float:
    """Receiver that lasts a wanted time.

    Parameters
    ----------
    seconds : float [s]
        How long it must last.
    high, low : float [Pa]
        Pressure at the start and at the end, both absolute or both gauge.
    draw, delivery : float [m3/s]
        Free air taken, and delivered by the pump meanwhile.

    Returns
    -------
    float [m3]
        At one temperature; 0 if the pump delivers as much as is taken.

    Raises
    ------
    RangeError
        If the pressures do not fall.

    Source
        receiver-balance.
    """
    if high <= low:
        raise RangeError(f"a receiver gives nothing between {high:g} and {low:g} Pa")
    return max(0.0, seconds * (draw - delivery) * ATMOSPHERE / (high - low))


def delivery_from_fill(
    volume: float, low: float, high: float, seconds: float, index: float = 1.0
) -> float:
    """What a pump really delivers, from a stopwatch and the receiver's gauge.

    Parameters
    ----------
    volume : float [m3]
        Of the receiver and what stands open to it.
    low, high : float [Pa]
        Gauge at the start and at the end, nothing being taken.
    seconds : float [s]
        Time between.
    index : float [-]
        Polytropic index: 1 if it was slow or has cooled again, up to 1.4.

    Returns
    -------
    float [m3/s]
        Free air.

    Raises
    ------
    RangeError
        If the pressures do not rise, or no time has passed.

    Source
        receiver-balance.
    """
    if seconds <= 0.0:
        raise RangeError("a fill test takes some time")
    return _span(low, high, volume) / (index * seconds)


def index_of(volume: float, change: float, mass: float, temperature: float) -> float:
    """Polytropic index that a change of pressure came to.

    Parameters
    ----------
    volume : float [m3]
        Of the receiver.
    change : float [Pa]
        Pressure gained.
    mass : float [kg]
        Air gained.
    temperature : float [K]
        Of the air that comes and of the wall.

    Returns
    -------
    float [-]
        Near 1 if slow, up to 1.4 if fast.

    Source
        receiver-balance (derived).
    """
    return change * volume / (mass * AIR_GAS * temperature)


def wall_heat(volume: float) -> float:
    """Heat that passes between the air in a receiver and its wall.

    Parameters
    ----------
    volume : float [m3]
        Of the receiver, taken as a cylinder 2.5 times as long as wide.

    Returns
    -------
    float [W/K]
        10 W/(m2 K) over its whole inside.

    Source
        receiver-wall: assumption.
    """
    width = math.pow(4.0 * volume / (math.pi * _SLENDER), 1.0 / 3.0)
    return WALL_HEAT * math.pi * width * width * (_SLENDER + 0.5)


def delivery_at(pump: Pump, pressure: float, temperature: float) -> float:
    """Air that a running pump delivers against a pressure.

    Parameters
    ----------
    pump : Pump
        The pump.
    pressure : float [Pa]
        In the receiver, absolute.
    temperature : float [K]
        Of the air taken in.

    Returns
    -------
    float [kg/s]
        Air left in its clearance re-expands and leaves less room: the less, the lower the pressure.

    Source
        clearance-efficiency, as a ratio to the delivery stated; FAD as iso-1217 defines it.
    """
    return float(kernels.delivered(pump, pressure, temperature))


def warmth_in_the_end(
    duty: float, cycle: float = DUTY_CYCLE, warm_time: float = WARM_TIME
) -> float:
    """How warm a pump would get if it never stopped.

    Parameters
    ----------
    duty : float [-]
        Share of each cycle that it may run.
    cycle : float [s]
        The cycle its plate means.
    warm_time : float [s]
        Time in which it warms by 63 % of what it would in the end.

    Returns
    -------
    float [-]
        1 is the warmest it gets in its own rated cycle, that is, its limit.

    Raises
    ------
    RangeError
        If the duty is not above 0 and at most 1.

    Validity
        One body warming and cooling at one rate.

    Source
        pump-warmth (derived), from the duty type S3 of iec-60034-1.
    """
    if not 0.0 < duty <= 1.0:
        raise RangeError(f"a duty of {duty:g} is not above 0 and at most 1")
    cooled = -math.expm1(-cycle / warm_time)
    return cooled / -math.expm1(-duty * cycle / warm_time)


def busiest(times: Float, running: Float, window: float = DUTY_CYCLE) -> float:
    """Largest share of any stretch of time that the pump ran.

    Parameters
    ----------
    times : (n,) array [s]
        Moments, rising.
    running : (n,) array [-]
        1 if the pump runs from that moment to the next, else 0.
    window : float [s]
        Length of the stretch.

    Returns
    -------
    float [-]
        Over the whole if it is shorter than the window: as a share of the window.

    Source
        derived: the busiest window begins or ends where the pump starts or stops.
    """
    run = np.concatenate([[0.0], np.cumsum(np.diff(times) * running[:-1])])
    ends = np.concatenate([times, times + window])
    ran = np.interp(ends, times, run) - np.interp(ends - window, times, run)
    return float(np.max(ran) / window)
