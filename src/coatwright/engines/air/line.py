"""The line from the receiver to the air cap, at one moment: filter, regulator, hose, gun.

All pressures are absolute. The line answers at once: what its hose holds is small beside what the
receiver does, so that a moment is as good as steady.
"""

import math

from coatwright.engines.air import _kernels as kernels
from coatwright.engines.air._kernels import (
    AIR_GAS,
    AT_GUN,
    REFERENCE_DENSITY,
    REFERENCE_TEMPERATURE,
)
from coatwright.engines.air._records import Cap, Line, March, Restriction
from coatwright.engines.air.conductance import free_density
from coatwright.engines.air.hose import NO_PART
from coatwright.engines.constants import ATMOSPHERE
from coatwright.errors import RangeError

CAP_RATIO = 0.5
"""Critical pressure ratio of an air cap's holes (assumption: near an ideal nozzle's 0.528)."""


def cap_from_test(delivery: float, pressure: float, behind: float | None = None) -> Cap:
    """Gun and air cap from the air they use at one inlet pressure.

    Parameters
    ----------
    delivery : float [m3/s]
        Free air used, taken in at 20 degC.
    pressure : float [Pa]
        Inlet pressure of the test, absolute, trigger pulled.
    behind : float or None [Pa]
        Pressure behind the holes of the cap, absolute; None: the body loses nothing, as in a
        conventional gun. A cap of high volume and low pressure is throttled by its body.

    Returns
    -------
    Cap
        It uses that much air at that pressure.

    Raises
    ------
    RangeError
        If the pressures do not fall from the inlet to the open air, or no air is used.

    Validity
        Holes and passages of fixed size. Choked, it uses air in proportion to the absolute inlet
        pressure.

    Source
        iso-6358; hvlp-cap for the pressure behind the holes.
    """
    pressure, inner = float(pressure), float(pressure if behind is None else behind)
    if not ATMOSPHERE < inner <= pressure or delivery <= 0.0:
        raise RangeError(
            f"{delivery * 6e4:.0f} L/min at {pressure / 1e5:.2f} bar absolute, "
            f"{inner / 1e5:.2f} behind the holes",
            instead="air must be used, and its pressure fall from the inlet to the open air",
        )
    flow = delivery * free_density(REFERENCE_TEMPERATURE)
    holes = _fitted(flow, inner, ATMOSPHERE)
    return Cap(NO_PART if behind is None else _fitted(flow, pressure, inner), holes)


def _fitted(flow: float, upstream: float, downstream: float) -> Restriction:
    unit = kernels.through(Restriction(1.0, CAP_RATIO), upstream, downstream, REFERENCE_TEMPERATURE)
    return Restriction(flow / unit, CAP_RATIO)


def trigger(line: Line, cap: Cap, receiver: float) -> March:
    """The line with the trigger pulled.

    Parameters
    ----------
    line : Line
        From the receiver to the gun.
    cap : Cap
        Gun and air cap.
    receiver : float [Pa]
        Pressure in the receiver, absolute.

    Returns
    -------
    March
        Flow and pressures; `receiver` in it is what the line needs to hold them, at most what there
        is.

    Source
        iso-6358 and isothermal-pipe, part by part; regulator-droop.
    """
    return March(*kernels.settle(line, cap, float(receiver)))


def at_inlet(line: Line, cap: Cap, pressure: float) -> March:
    """The line that holds a pressure at the gun's inlet with the trigger pulled.

    Parameters
    ----------
    line : Line
        From the receiver to the gun; its regulator's setting does not count.
    cap : Cap
        Gun and air cap.
    pressure : float [Pa]
        Wanted at the gun's inlet, absolute.

    Returns
    -------
    March
        Flow, pressure just after the regulator, and the least pressure in the receiver that
        can hold it, with the regulator wide open; high where the hose or a fitting is choked.

    Raises
    ------
    RangeError
        If the pressure is not above the open air's.

    Source
        iso-6358 and isothermal-pipe, part by part.
    """
    if pressure <= ATMOSPHERE:
        raise RangeError(f"{pressure:g} Pa at the gun is no more than the open air")
    behind = kernels.behind_holes(line, cap, float(pressure), AT_GUN)
    return March(*kernels.march(line, cap, behind))


def setting_for(line: Line, cap: Cap, pressure: float) -> float:
    """What the regulator must be set to, trigger released, for a pressure at the gun when pulled.

    Parameters
    ----------
    line : Line
        From the receiver to the gun.
    cap : Cap
        Gun and air cap.
    pressure : float [Pa]
        Wanted at the gun's inlet, absolute, trigger pulled.

    Returns
    -------
    float [Pa]
        Absolute.

    Raises
    ------
    RangeError
        As at_inlet.

    Source
        regulator-droop on top of the line's loss.
    """
    found = at_inlet(line, cap, pressure)
    return found.regulated + line.regulator.droop * found.flow


def with_setting(line: Line, cap: Cap, pressure: float) -> Line:
    """The same line with its regulator set for a pressure at the gun, trigger pulled.

    Parameters
    ----------
    line : Line
        From the receiver to the gun.
    cap : Cap
        Gun and air cap.
    pressure : float [Pa]
        Wanted at the gun's inlet, absolute.

    Returns
    -------
    Line
        As given but for the setting.

    Source
        derived: setting_for.
    """
    regulator = line.regulator._replace(setting=setting_for(line, cap, pressure))
    return line._replace(regulator=regulator)


def fitted_friction(line: Line, cap: Cap, regulated: float, pressure: float) -> float:
    """Friction of this hose from two gauges read with the trigger pulled.

    Parameters
    ----------
    line : Line
        From the receiver to the gun; its hose's own friction does not count.
    cap : Cap
        Gun and air cap.
    regulated : float [Pa]
        Read just after the regulator at the wall, absolute.
    pressure : float [Pa]
        Read at the gun's inlet, absolute.

    Returns
    -------
    float [-]
        Friction as a multiple of a smooth bore's; everything that the fittings given do not
        explain counts as the hose's.

    Raises
    ------
    RangeError
        If the gauges do not fall towards the gun by at least what the fittings lose.

    Validity
        A difference of 0.1 bar between the gauges is about the least that means anything.

    Source
        isothermal-pipe, solved for the friction (derived).
    """
    flow = at_inlet(line._replace(hose=line.hose._replace(length=0.0)), cap, pressure).flow
    hose, heat = line.hose, line.temperature
    end = kernels.before(hose.outlet, pressure, flow, heat)
    start = _after_inlet(hose.inlet, regulated, flow, heat)
    if start <= end or hose.length <= 0.0:
        raise RangeError(
            f"{(regulated - ATMOSPHERE) / 1e5:.2f} bar at the wall and "
            f"{(pressure - ATMOSPHERE) / 1e5:.2f} bar at the gun leave the hose nothing to lose",
            instead="read both gauges with the trigger pulled, and check them against each other",
        )
    flux = flow / (math.pi / 4.0 * hose.bore**2)
    carried = flux**2 * AIR_GAS * heat
    resistance = (start**2 - end**2) / carried - 2.0 * math.log(start / end)
    smooth = kernels.friction(flux * hose.bore / kernels.viscosity(heat))
    return float(resistance * hose.bore / (smooth * hose.length))


def _after_inlet(part: Restriction, upstream: float, flow: float, temperature: float) -> float:
    """Pressure after the fitting at the wall; 0 if it is choked, which says nothing of the hose."""
    if not math.isfinite(part.conductance):
        return upstream
    most = part.conductance * REFERENCE_DENSITY * upstream
    share = flow / (most * math.sqrt(REFERENCE_TEMPERATURE / temperature))
    if share > 0.999:
        return 0.0
    return upstream * (part.ratio + (1.0 - part.ratio) * math.sqrt(1.0 - share * share))


def droop_of(released: float, regulated: float, flow: float) -> float:
    """Droop of a regulator from its gauge with the trigger released and pulled.

    Parameters
    ----------
    released, regulated : float [Pa]
        Gauge just after the regulator, trigger released and pulled.
    flow : float [kg/s]
        Air through it when pulled.

    Returns
    -------
    float [Pa s/kg]
        Pressure lost per flow.

    Raises
    ------
    RangeError
        If the gauge rises when the trigger is pulled, or no air flows.

    Source
        regulator-droop.
    """
    if flow <= 0.0 or released < regulated:
        raise RangeError(
            f"the gauge goes from {released:g} to {regulated:g} Pa with {flow:g} kg/s flowing",
            instead="it must fall when the trigger is pulled",
        )
    return (released - regulated) / flow
