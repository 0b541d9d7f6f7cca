"""Parts that air passes through, by ISO 6358: a sonic conductance and a critical pressure ratio.

All pressures are absolute.
"""

import math
from collections.abc import Sequence

from coatwright.engines.air import _kernels as kernels
from coatwright.engines.air._kernels import AIR_GAS, REFERENCE_DENSITY, REFERENCE_TEMPERATURE
from coatwright.engines.air._records import Restriction
from coatwright.engines.constants import ATMOSPHERE
from coatwright.errors import RangeError

COMMON_RATIO = 0.3
"""Critical pressure ratio taken for couplings, filters and regulators whose maker states none
(assumption: 0.2 to 0.5 is usual)."""

_NOMINAL = (6e5 + ATMOSPHERE, 5e5 + ATMOSPHERE)


def _float(part: Restriction) -> Restriction:
    """Whole numbers as floats: a kernel is compiled anew for every type it meets."""
    return Restriction(float(part.conductance), float(part.ratio))


def free_density(temperature: float) -> float:
    """Density of free air, by which a volume of free air is a mass.

    Parameters
    ----------
    temperature : float [K]
        Of the air taken in.

    Returns
    -------
    float [kg/m3]
        At one standard atmosphere, dry.

    Source
        ideal-gas-air.
    """
    return ATMOSPHERE / (AIR_GAS * temperature)


def restriction_flow(
    part: Restriction,
    upstream: float,
    downstream: float,
    temperature: float = REFERENCE_TEMPERATURE,
) -> float:
    """Air through a part.

    Parameters
    ----------
    part : Restriction
        The part.
    upstream, downstream : float [Pa]
        Pressure before and after it, absolute.
    temperature : float [K]
        Of the air before it.

    Returns
    -------
    float [kg/s]
        In proportion to the upstream pressure while choked, less beyond the critical ratio, 0
        where the pressure after is not below the one before.

    Raises
    ------
    RangeError
        If a pressure or the temperature is not above zero.

    Source
        iso-6358, flow through a component.
    """
    if min(upstream, downstream, temperature) <= 0.0:
        raise RangeError(
            f"pressures {upstream:g} and {downstream:g} Pa and {temperature:g} K must be above zero"
        )
    return float(
        kernels.through(_float(part), float(upstream), float(downstream), float(temperature))
    )


def pressure_before(
    part: Restriction, downstream: float, flow: float, temperature: float = REFERENCE_TEMPERATURE
) -> float:
    """Pressure before a part that passes a flow.

    Parameters
    ----------
    part : Restriction
        The part.
    downstream : float [Pa]
        Pressure after it, absolute.
    flow : float [kg/s]
        Air that passes.
    temperature : float [K]
        Of the air.

    Returns
    -------
    float [Pa]
        Absolute.

    Source
        iso-6358, solved for the upstream pressure (derived).
    """
    return float(kernels.before(_float(part), float(downstream), float(flow), float(temperature)))


def pressure_after(
    part: Restriction, upstream: float, flow: float, temperature: float = REFERENCE_TEMPERATURE
) -> float:
    """Pressure after a part that passes a flow.

    Parameters
    ----------
    part : Restriction
        The part.
    upstream : float [Pa]
        Pressure before it, absolute.
    flow : float [kg/s]
        Air that passes.
    temperature : float [K]
        Of the air.

    Returns
    -------
    float [Pa]
        Absolute; at the choking flow, the highest pressure at which it is choked.

    Raises
    ------
    RangeError
        If so much does not pass, whatever the pressure after it.

    Source
        iso-6358, solved for the downstream pressure (derived).
    """
    most = kernels.through(_float(part), float(upstream), 0.0, float(temperature))
    share = flow / most
    if share > 1.0 + 1e-12:
        raise RangeError(
            f"{flow:.4g} kg/s do not pass at {upstream / 1e5:.2f} bar absolute",
            instead=f"at most {most:.4g} kg/s do",
        )
    spare = math.sqrt(max(0.0, 1.0 - share * share))
    return upstream * (part.ratio + (1.0 - part.ratio) * spare)


def in_series(conductance: Sequence[float]) -> float:
    """Sonic conductance of parts one after the other.

    Parameters
    ----------
    conductance : sequence of float [m3/(s Pa)]
        Of each part.

    Returns
    -------
    float [m3/(s Pa)]
        The inverse squares add up.

    Validity
        A rule for alike parts; the line itself is solved part by part.

    Source
        iso-6358-series.
    """
    return 1.0 / math.sqrt(sum(1.0 / one**2 for one in conductance))


def from_nominal(flow: float, ratio: float = COMMON_RATIO) -> Restriction:
    """A part from the nominal flow of its catalogue page.

    Parameters
    ----------
    flow : float [m3/s]
        Free air with 6 bar before and 5 bar after it, gauge.
    ratio : float [-]
        Critical pressure ratio.

    Returns
    -------
    Restriction
        Its conductance and ratio.

    Raises
    ------
    RangeError
        If the flow is not above zero.

    Source
        nominal-flow, with iso-6358.
    """
    if flow <= 0.0:
        raise RangeError(f"a nominal flow of {flow:g} m3/s is no way through")
    unit = kernels.through(Restriction(1.0, float(ratio)), *_NOMINAL, REFERENCE_TEMPERATURE)
    return Restriction(flow * REFERENCE_DENSITY / unit, ratio)


def nozzle(bore: float, discharge: float = 1.0) -> Restriction:
    """A hole or nozzle as a part.

    Parameters
    ----------
    bore : float [m]
        Diameter of its throat.
    discharge : float [-]
        Share of the ideal flow: about 0.97 well rounded, 0.6 to 0.65 sharp-edged.

    Returns
    -------
    Restriction
        Its conductance, with the critical ratio of an ideal nozzle.

    Source
        ideal-nozzle: isentropic flow of a gas with a ratio of heats of 1.4.
    """
    area = math.pi * bore * bore / 4.0
    flux = math.sqrt(1.4 / (AIR_GAS * REFERENCE_TEMPERATURE)) * (2.0 / 2.4) ** 3.0
    return Restriction(discharge * area * flux / REFERENCE_DENSITY, (2.0 / 2.4) ** 3.5)


def critical_pressure(upstream: float) -> float:
    """Pressure after an ideal nozzle below which its flow no longer grows.

    Parameters
    ----------
    upstream : float [Pa]
        Absolute.

    Returns
    -------
    float [Pa]
        Absolute.

    Source
        ideal-nozzle.
    """
    return upstream * float((2.0 / 2.4) ** 3.5)
