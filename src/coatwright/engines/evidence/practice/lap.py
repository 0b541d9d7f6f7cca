"""How an unsteady hand shows in the film of strokes laid side by side.

A pass leaves the profile f(x) = (1 - x^2/a^2)^p across itself, a half the fan's length; passes lie
a pitch P apart. If stroke k is faster by the share e_k and off its line by d_k, the film is to
first order

    F(x) = sum f(x - k P) (1 - e_k) - f'(x - k P) d_k

so that, averaged over x and divided by the mean film squared,

    variance = e^2 P int f^2 / (int f)^2 + d^2 P int f'^2 / (int f)^2 + ripple^2.

With |t| <= 1 the integrals are beta functions. The first term for two passes everywhere is about
half: the film forgives speed, because each place is covered by several strokes.
"""

from collections.abc import Callable
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray
from scipy.special import beta

from coatwright.engines.evidence._checks import above
from coatwright.errors import RangeError

Array = NDArray[np.float64]

_POINTS = 1001


class Lap(NamedTuple):
    """Passes side by side: length of the fan [m], exponent of a pass's profile [-], pitch [m]."""

    length: float
    exponent: float
    pitch: float


class Response(NamedTuple):
    """Variance of the film as a share, from that of speed [-] and of aim [1/m2]; that of an even
    hand [-]."""

    speed: float
    aim: float
    ripple: float


def response(lap: Lap) -> Response:
    """How much of a hand's unsteadiness shows in the film across its strokes.

    Parameters
    ----------
    lap : Lap [m, -]
        Fan and pitch.

    Returns
    -------
    Response [-, 1/m2]
        Factors of the variances of speed (as a share) and of aim, and the variance of the stripes
        that a perfectly even hand leaves.

    Raises
    ------
    RangeError
        A length or pitch not above zero, or an exponent not above one half (an edge so steep that
        any wander breaks the film).

    Validity
        First order: spreads of a few tenths at most. Distance and angle are not told apart from
        speed.
    Source
        derived, from the pass profile double-beta.
    Checked
        tests/unit/engines/evidence/test_lap.py, against simulated strokes.
    """
    half, power = above(lap.length, "a length") / 2, lap.exponent
    if not power > 0.5:
        raise RangeError(f"an exponent of {power:g}", instead="it must be above 0.5")
    area = (half * beta(0.5, power + 1)) ** 2
    pitch = above(lap.pitch, "a pitch")
    square = half * beta(0.5, 2 * power + 1)
    steep = 4 * power**2 / half * beta(1.5, 2 * power - 1)
    return Response(float(pitch * square / area), float(pitch * steep / area), _ripple(lap) ** 2)


class Likeness(NamedTuple):
    """Correlation between rows of places of what speed, aim and stripes do to the film [-]."""

    speed: Array
    aim: Array
    ripple: Array


def likeness(lap: Lap, apart: NDArray[np.float64]) -> Likeness:
    """How far two rows of places feel the same strokes.

    Parameters
    ----------
    lap : Lap [m, -]
        Fan and pitch.
    apart : array [m]
        Distance from row to row, across the strokes.

    Returns
    -------
    Likeness [-]
        For speed and aim 1 at no distance and 0 beyond the fan; the stripes come again after a
        pitch.

    Source
        derived: autocorrelation of the pass profile, its slope, and the film of even strokes.
    Checked
        tests/unit/engines/evidence/test_lap.py, against simulated strokes.
    """
    across = np.linspace(-lap.length / 2, lap.length / 2, _POINTS)
    within = np.linspace(0, lap.pitch, _POINTS, endpoint=False)
    mean = _film(lap, within).mean()
    return Likeness(
        _alike(lambda x: _profile(lap, x), across, apart),
        _alike(lambda x: _slope(lap, x), across, apart),
        _alike(lambda x: _film(lap, x) - mean, within, apart),
    )


def _alike(shape: Callable[[Array], Array], across: Array, apart: Array) -> Array:
    here = shape(across)
    steps, which = np.unique(apart, return_inverse=True)
    there = np.array([here @ shape(across + one) for one in steps])
    alike: Array = (there / max(float(here @ here), 1e-300))[which.reshape(np.shape(apart))]
    return alike


def _profile(lap: Lap, across: Array) -> Array:
    profile: Array = np.maximum(1 - (2 * across / lap.length) ** 2, 0.0) ** lap.exponent
    return profile


def _slope(lap: Lap, across: Array) -> Array:
    """Slope of the profile, up to a factor; 0 outside the fan."""
    inside = 1 - (2 * across / lap.length) ** 2
    slope: Array = np.where(inside > 0, across * np.maximum(inside, 1e-9) ** (lap.exponent - 1), 0)
    return slope


def _film(lap: Lap, across: Array) -> Array:
    """Film of even strokes on lines 0, P, 2 P ..."""
    reach = int(np.ceil(lap.length / 2 / lap.pitch)) + 1
    place = across % lap.pitch
    lines = range(-reach, reach + 1)
    film: Array = np.sum([_profile(lap, place - k * lap.pitch) for k in lines], axis=0)
    return film


def _ripple(lap: Lap) -> float:
    film = _film(lap, np.linspace(0, lap.pitch, _POINTS, endpoint=False))
    return float(film.std() / film.mean())
