"""The fan: paint flux over an ellipse by a double-beta profile, and its integrals.

With u along the fan's length and v across it, both on the plane at the fan's reference distance,

    f(u, v) = C (1 - u^2/a^2)^(p - 1) (1 - v^2 / (b^2 (1 - u^2/a^2)))^(q - 1)

inside the ellipse, 0 outside; a and b are half the length and width, p and q the exponents, and C
makes the whole integrate to 1. Integrated across v this is exactly (1 - u^2/a^2)^(p - 1/2), the
profile a pass leaves. Source: elliptical double-beta model, `double-beta` in data/sources.
"""

import math
from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.special import betainc, gammaln


class Fan(NamedTuple):
    """A fan on the plane at `distance`: full length and width [m], exponents across and along."""

    length: float
    width: float
    across: float
    along: float
    distance: float


def _beta(x: float, y: float) -> float:
    return math.exp(gammaln(x) + gammaln(y) - gammaln(x + y))


def peak(fan: Fan) -> float:
    """Flux density at the middle of the fan, C.

    Parameters
    ----------
    fan : Fan
        The fan, all lengths [m].

    Returns
    -------
    float [1/m2]
        Share of the flow per area at u = v = 0, on the plane at the reference distance.

    Source
        double-beta, integral of the profile over its ellipse (derived).
    """
    half_length, half_width = fan.length / 2, fan.width / 2
    return 1.0 / (half_length * half_width * _beta(0.5, fan.along) * _beta(0.5, fan.across + 0.5))


def density(fan: Fan, u: ArrayLike, v: ArrayLike) -> NDArray[np.float64]:
    """Share of the flow per area at (u, v) on the plane at the reference distance.

    Parameters
    ----------
    fan : Fan
        The fan, all lengths [m].
    u, v : array [m]
        Along the fan's length and across it.

    Returns
    -------
    array [1/m2]
        Integrates to 1 over the plane; 0 outside the ellipse.

    Source
        double-beta.
    """
    uu = 1.0 - (np.asarray(u, dtype=float) / (fan.length / 2)) ** 2
    inside_u = uu > 0.0
    uu = np.where(inside_u, uu, 1.0)
    vv = 1.0 - (np.asarray(v, dtype=float) / (fan.width / 2)) ** 2 / uu
    inside = inside_u & (vv > 0.0)
    flux = peak(fan) * uu ** (fan.across - 1.0) * np.where(inside, vv, 1.0) ** (fan.along - 1.0)
    return np.where(inside, flux, 0.0)


def pass_profile(fan: Fan, u: ArrayLike) -> NDArray[np.float64]:
    """Profile a straight pass leaves, per unit flow and speed, at the reference distance.

    Parameters
    ----------
    fan : Fan
        The fan, all lengths [m].
    u : array [m]
        Along the fan's length (across the stroke).

    Returns
    -------
    array [1/m]
        Integrates to 1 over u; film = flow / speed x this.

    Source
        double-beta, integrated across v: (1 - u^2/a^2)^(across - 1/2).
    """
    half = fan.length / 2
    uu = np.clip(1.0 - (np.asarray(u, dtype=float) / half) ** 2, 0.0, None)
    return np.asarray(uu ** (fan.across - 0.5) / (half * _beta(0.5, fan.across + 0.5)))


def cumulative(exponent: float, t: ArrayLike) -> NDArray[np.float64]:
    """Share of a symmetric beta profile (1 - t^2)^(exponent - 1) that lies below t.

    Parameters
    ----------
    exponent : float [-]
        Exponent of the profile, > 0.
    t : array [-]
        Position as a share of the half-length; -1 and below gives 0, 1 and above gives 1.

    Returns
    -------
    array [-]
        Regularised incomplete beta function I((1 + t)/2; exponent, exponent).

    Source
        derived; the incomplete beta function of SciPy (DLMF 8.17).
    """
    where = np.clip((1.0 + np.asarray(t, dtype=float)) / 2.0, 0.0, 1.0)
    return np.asarray(betainc(exponent, exponent, where))


def across_stroke(fan: Fan, u: ArrayLike) -> NDArray[np.float64]:
    """Share of a pass that lands below u (across the stroke), at the reference distance.

    Parameters
    ----------
    fan : Fan
        The fan, all lengths [m].
    u : array [m]
        Along the fan's length.

    Returns
    -------
    array [-]
        0 to 1; the integral of pass_profile.

    Source
        double-beta (derived).
    """
    return cumulative(fan.across + 0.5, np.asarray(u, dtype=float) / (fan.length / 2))


def at_opening(wide: Fan, spot: float, opening: float) -> Fan:
    """The fan at a fan-control opening between 0 (a round spot) and 1 (wide open).

    Parameters
    ----------
    wide : Fan
        The fan wide open, all lengths [m].
    spot : float [m]
        The spot's diameter with the fan closed, at the same distance.
    opening : float [-]
        0 to 1.

    Returns
    -------
    Fan
        Length and width interpolated linearly between spot and fan, lengths [m].

    Source
        assumption: the fan control is taken as linear until a test card says otherwise.
    """
    length = spot + (wide.length - spot) * opening
    return wide._replace(length=length, width=spot + (wide.width - spot) * opening)
