"""What a gun delivers: paint through the nozzle, droplets, and the share that stays on the work."""

import math
from typing import NamedTuple

from coatwright.engines.constants import AIR_DENSITY, ATMOSPHERE
from coatwright.errors import RangeError


class FluidTest(NamedTuple):
    """A measured full-trigger delivery: flow [m3/s] at inlet pressure [Pa] of a liquid of
    kinematic viscosity [m2/s], through a nozzle [m], using air (free) [m3/s]."""

    flow: float
    pressure: float
    viscosity: float
    nozzle: float
    air: float


_LAND = 2.0
"""Length of the nozzle's land over its bore; assumption, no source."""

_DISCHARGE = 0.8
"""Discharge coefficient of a sharp-edged short tube; handbook value, from memory."""

_FADE = 0.9
"""Length [m] over which transfer falls by e with distance; assumption, to be measured."""

_BLAST = 0.1
"""Transfer goes as (test pressure / pressure) to this power; assumption, to be measured."""


def _losses(nozzle: float, viscosity: float) -> tuple[float, float]:
    """Kinematic pressure loss of the nozzle, a Q + b Q^2 [m2/s2]."""
    viscous = 128.0 * viscosity * _LAND * nozzle / (math.pi * nozzle**4)
    inertial = 8.0 / (math.pi**2 * _DISCHARGE**2 * nozzle**4)
    return viscous, inertial


def full_flow(test: FluidTest, pressure: float, viscosity: float) -> float:
    """Paint through the nozzle with the trigger fully pulled.

    Parameters
    ----------
    test : FluidTest
        A measured delivery of this gun.
    pressure : float [Pa]
        Inlet pressure, trigger pulled, gauge; > 0.
    viscosity : float [m2/s]
        Kinematic viscosity of the paint as sprayed.

    Returns
    -------
    float [m3/s]
        Flow; equals the test's own at the test's own conditions.

    Raises
    ------
    RangeError
        If pressure or viscosity is not positive.

    Validity
        Suction taken as proportional to inlet pressure; laminar friction in the land plus the
        dynamic head of a short tube. Anchored at the measured point: 0.7 to 1.5 times its
        pressure and a factor of 3 in viscosity.

    Source
        hagen-poiseuille, orifice-flow.
    """
    if pressure <= 0.0 or viscosity <= 0.0:
        raise RangeError(
            f"pressure {pressure} Pa and viscosity {viscosity} m2/s must both be above zero"
        )
    a0, b = _losses(test.nozzle, test.viscosity)
    head = (a0 * test.flow + b * test.flow**2) * pressure / test.pressure
    a, _ = _losses(test.nozzle, viscosity)
    return (-a + math.sqrt(a * a + 4.0 * b * head)) / (2.0 * b)


def droplet_size(test: FluidTest, pressure: float, flow: float, reference_flow: float) -> float:
    """Droplet size against the gun's own at its test pressure and a reference flow.

    Parameters
    ----------
    test : FluidTest
        The gun's test.
    pressure : float [Pa]
        Inlet pressure, gauge.
    flow, reference_flow : float [m3/s]
        Paint flow now, and the flow that atomises well at the test pressure.

    Returns
    -------
    float [-]
        1 is as fine as the reference; above 1 is coarser (orange peel).

    Validity
        A ratio only: same cap, same paint. Mass ratio uses paint as dense as water.

    Source
        airblast-droplets: size as (1 + liquid/air) over the square root of the atomising pressure.
    """
    air = AIR_DENSITY * test.air * (pressure + ATMOSPHERE) / (test.pressure + ATMOSPHERE)
    air_then = AIR_DENSITY * test.air
    now = 1.0 + 1000.0 * flow / air
    then = 1.0 + 1000.0 * reference_flow / air_then
    return now / then * math.sqrt(test.pressure / pressure)


def transfer(
    share: float, distance: float, reference: float, pressure: float, tested: float
) -> float:
    """Share of the paint reaching the surface that stays, at a distance and a pressure.

    Parameters
    ----------
    share : float [-]
        Measured or class transfer at the reference distance and tested pressure.
    distance, reference : float [m]
        Gun to surface now, and when the share was found.
    pressure, tested : float [Pa]
        Inlet pressure now and then.

    Returns
    -------
    float [-]
        At most 0.95.

    Validity
        Small departures only (0.1 to 0.3 m, half to double the pressure).

    Source
        transfer-trend: assumption, no source for the numbers; direction is common practice.
    """
    fading = math.exp(-(distance - reference) / _FADE)
    return min(0.95, share * fading * math.pow(tested / pressure, _BLAST))


def fade_length() -> float:
    """Length over which transfer falls by e with distance.

    Returns
    -------
    float [m]
        The constant used by transfer().

    Source
        transfer-trend: assumption, to be measured.
    """
    return _FADE


def air_demand(test: FluidTest, pressure: float) -> float:
    """Free air the cap uses at an inlet pressure.

    Parameters
    ----------
    test : FluidTest
        The gun's test, with its air use.
    pressure : float [Pa]
        Inlet pressure, gauge.

    Returns
    -------
    float [m3/s]
        Free air; a choked cap passes air in proportion to absolute pressure.

    Source
        choked-flow: mass flow through a choked opening goes as absolute upstream pressure.
    """
    return test.air * (pressure + ATMOSPHERE) / (test.pressure + ATMOSPHERE)
