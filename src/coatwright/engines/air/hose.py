"""A hose: compressible flow with friction at one temperature, between a smooth bore and a formula.

The air in a hose takes the temperature of its wall, so the flow is isothermal. Rubber hose loses
more than a smooth bore: its friction is a multiple of the smooth one's, 1.25 unless a reading of
two gauges says otherwise. All pressures are absolute.
"""

import math

from scipy.optimize import brentq

from coatwright.engines.air import _kernels as kernels
from coatwright.engines.air._kernels import AIR_GAS, REFERENCE_TEMPERATURE
from coatwright.engines.air._records import Hose, Restriction
from coatwright.errors import RangeError

HOSE_FRICTION = 1.25
"""Friction of a hose as a multiple of a smooth bore's: between a smooth bore (1) and
the formula of `empirical_drop` (1.3 to 1.65) in the hoses of a spray shop (assumption)."""

NO_PART = Restriction(math.inf, 0.5)
"""A fitting that loses nothing."""


def smooth_friction(reynolds: float) -> float:
    """Friction factor of a smooth bore.

    Parameters
    ----------
    reynolds : float [-]
        Reynolds number.

    Returns
    -------
    float [-]
        Darcy friction factor: laminar below 2000, Prandtl's law above 4000, linear between.

    Raises
    ------
    RangeError
        If the Reynolds number is not above zero.

    Source
        prandtl-smooth.
    """
    if reynolds <= 0.0:
        raise RangeError(f"a Reynolds number of {reynolds:g} must be above zero")
    return float(kernels.friction(reynolds))


def air_viscosity(temperature: float) -> float:
    """Dynamic viscosity of air.

    Parameters
    ----------
    temperature : float [K]
        Of the air.

    Returns
    -------
    float [Pa s]
        At any pressure met here.

    Source
        air-viscosity.
    """
    return float(kernels.viscosity(temperature))


def isothermal_flow(
    upstream: float,
    downstream: float,
    resistance: float,
    bore: float,
    temperature: float = REFERENCE_TEMPERATURE,
) -> float:
    """Air through a pipe of given resistance.

    Parameters
    ----------
    upstream, downstream : float [Pa]
        Pressure before and after it, absolute.
    resistance : float [-]
        Friction factor x length / bore.
    bore : float [m]
        Inside diameter.
    temperature : float [K]
        Of the air, all along.

    Returns
    -------
    float [kg/s]
        Of a downstream pressure too low to be reached, the choked flow.

    Raises
    ------
    RangeError
        If the downstream pressure is not above zero and below the upstream one.

    Source
        isothermal-pipe: flux^2 R T (f L / d + 2 ln(p1 / p2)) = p1^2 - p2^2.
    """
    if not 0.0 < downstream < upstream:
        raise RangeError(
            f"{downstream:g} Pa after the pipe is not between zero and {upstream:g} Pa before it"
        )
    reached = max(downstream, upstream / _choking(resistance))
    lost = resistance + 2.0 * math.log(upstream / reached)
    flux = math.sqrt((upstream**2 - reached**2) / (AIR_GAS * temperature * lost))
    return math.pi / 4.0 * bore**2 * flux


def _choking(resistance: float) -> float:
    """Ratio of the pressures of a pipe at whose end isothermal flow chokes."""
    far = 2.0 + resistance + 2.0 * math.sqrt(resistance)

    def left(x: float) -> float:
        return x * x - 1.0 - resistance - 2.0 * math.log(x)

    return float(brentq(left, 1.0, far, xtol=1e-15, rtol=8.9e-16))


def hose_inlet(
    hose: Hose, downstream: float, flow: float, temperature: float = REFERENCE_TEMPERATURE
) -> float:
    """Pressure at the inlet of a hose, its fittings included.

    Parameters
    ----------
    hose : Hose
        The hose.
    downstream : float [Pa]
        Pressure at its outlet, absolute.
    flow : float [kg/s]
        Air through it.
    temperature : float [K]
        Of the air.

    Returns
    -------
    float [Pa]
        Absolute.

    Raises
    ------
    RangeError
        If so much cannot come out at that pressure: the hose is choked.

    Validity
        Steady flow; a hose lying straight. The fittings lose as iso-6358 says.

    Source
        isothermal-pipe, with prandtl-smooth times the hose's own friction.
    """
    end = kernels.before(hose.outlet, downstream, flow, temperature)
    if hose.length > 0.0 and end < kernels.choking(_flux(hose, flow), temperature):
        raise RangeError(
            f"{flow:.4g} kg/s choke a bore of {hose.bore * 1e3:.1f} mm at "
            f"{end / 1e5:.2f} bar absolute",
            instead="take a wider hose or a smaller air cap",
        )
    start = kernels.along(hose, end, flow, temperature)
    return float(kernels.before(hose.inlet, start, flow, temperature))


def _flux(hose: Hose, flow: float) -> float:
    return flow / (math.pi / 4.0 * hose.bore**2)


def hose_outlet(
    hose: Hose, upstream: float, flow: float, temperature: float = REFERENCE_TEMPERATURE
) -> float:
    """Pressure at the outlet of a hose, its fittings included.

    Parameters
    ----------
    hose : Hose
        The hose.
    upstream : float [Pa]
        Pressure at its inlet, absolute.
    flow : float [kg/s]
        Air through it.
    temperature : float [K]
        Of the air.

    Returns
    -------
    float [Pa]
        Absolute.

    Raises
    ------
    RangeError
        If so much does not pass.

    Validity
        As hose_inlet, which it inverts.

    Source
        isothermal-pipe, solved for the pressure after it.
    """

    def over(downstream: float) -> float:
        end = kernels.before(hose.outlet, downstream, flow, temperature)
        start = kernels.along(hose, end, flow, temperature)
        return float(kernels.before(hose.inlet, start, flow, temperature)) - upstream

    if over(1.0) > 0.0:
        raise RangeError(
            f"{flow:.4g} kg/s do not pass a bore of {hose.bore * 1e3:.1f} mm from "
            f"{upstream / 1e5:.2f} bar absolute",
            instead="take a wider or shorter hose",
        )
    return float(brentq(over, 1.0, upstream, xtol=1e-9, rtol=1e-14))


def hose_drop(
    hose: Hose, upstream: float, flow: float, temperature: float = REFERENCE_TEMPERATURE
) -> float:
    """Pressure a hose loses, its fittings included.

    Parameters
    ----------
    hose : Hose
        The hose.
    upstream : float [Pa]
        Pressure at its inlet, absolute.
    flow : float [kg/s]
        Air through it.
    temperature : float [K]
        Of the air.

    Returns
    -------
    float [Pa]
        Inlet less outlet.

    Source
        isothermal-pipe.
    """
    return upstream - hose_outlet(hose, upstream, flow, temperature)


def empirical_drop(length: float, bore: float, upstream: float, delivery: float) -> float:
    """Pressure a pipe or hose loses by the formula of the compressed-air trade.

    Parameters
    ----------
    length : float [m]
        Length, with what its fittings add.
    bore : float [m]
        Inside diameter.
    upstream : float [Pa]
        Pressure at its inlet, absolute.
    delivery : float [m3/s]
        Free air through it.

    Returns
    -------
    float [Pa]
        Inlet less outlet.

    Validity
        Small drops: beyond a tenth of the inlet pressure it forgets that the air grows. An upper
        bound for the hose of a spray gun, a smooth bore being the lower one.

    Source
        air-line-formula.
    """
    inlet = upstream / 1e3
    return 1e3 * 1.6e12 * math.pow(delivery, 1.85) * length / (math.pow(bore * 1e3, 5) * inlet)
