"""A mean film behind readings that are only intervals: comb teeth.

Spots scatter normally around the mean film of the area, and each spot is known to lie between two
teeth. With a normal prior of the mean the posterior is log-concave in it; its moments are taken by
the trapezoidal rule over the range where it has not fallen by more than exp(-40) from its peak.
"""

from typing import Final, NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.special import log_ndtr

from coatwright.engines.evidence._checks import above
from coatwright.engines.evidence.measured import Measured
from coatwright.errors import RangeError

_DROP: Final = 40.0
_REACH: Final = 9.0
_COARSE: Final = 129
_FINEST: Final = 8193
_NARROW: Final = 1e-5


class Censored(NamedTuple):
    """Posterior of a mean film [m], and the log chance of such intervals under the prior [-]."""

    level: Measured
    log_chance: float


def level_from_intervals(prior: Measured, scatter: float, intervals: ArrayLike) -> Censored:
    """Mean film of an area when each spot is known only to lie in an interval.

    Parameters
    ----------
    prior : Measured [m]
        Mean film foreseen, and its standard deviation, above 0.
    scatter : float [m]
        Standard deviation from spot to spot, above 0.
    intervals : (n, 2) array [m]
        Lower and upper bound of each spot; the upper one may be infinite.

    Returns
    -------
    Censored [m, -]
        Posterior mean and standard deviation of the area's mean, and the log of the chance that the
        prior gave to these intervals.

    Raises
    ------
    RangeError
        A spread or scatter not above zero, no intervals, or one whose bounds do not rise.

    Validity
        Normal prior and normal, independent scatter.
    Source
        interval-likelihood: product of Phi((b - u)/s) - Phi((a - u)/s) (derived).
    Checked
        tests/unit/engines/evidence/test_censored.py, against scipy.stats.truncnorm and quadrature.
    """
    above(prior.spread, "a spread of the prior")
    above(scatter, "a scatter")
    bounds = _bounds(intervals)
    grid = _range(prior, scatter, bounds)
    heights = _log_posterior(grid, prior, scatter, bounds)
    peak = heights.max()
    weights = np.exp(heights - peak)
    total = weights.sum()
    mean = float((weights * grid).sum() / total)
    variance = float((weights * (grid - mean) ** 2).sum() / total)
    mass = peak + np.log(total * (grid[1] - grid[0])) - np.log(np.sqrt(2 * np.pi) * prior.spread)
    return Censored(Measured(mean, variance**0.5), float(mass))


def _bounds(intervals: ArrayLike) -> NDArray[np.float64]:
    bounds = np.asarray(intervals, dtype=float).reshape(-1, 2)
    if not bounds.size or not (bounds[:, 0] < bounds[:, 1]).all():
        raise RangeError("intervals whose bounds do not rise", instead="give the lower one first")
    return bounds


def _log_posterior(
    level: NDArray[np.float64], prior: Measured, scatter: float, bounds: NDArray[np.float64]
) -> NDArray[np.float64]:
    """Up to the prior's constant."""
    low = (bounds[:, 0] - level[:, None]) / scatter
    high = (bounds[:, 1] - level[:, None]) / scatter
    likelihood: NDArray[np.float64] = _log_between(low, high).sum(axis=1)
    return likelihood - 0.5 * ((level - prior.mean) / prior.spread) ** 2


def _log_between(low: NDArray[np.float64], high: NDArray[np.float64]) -> NDArray[np.float64]:
    """log(Phi(high) - Phi(low)), exact in both tails and for intervals too narrow to subtract."""
    flip = low > 0
    inner, outer = np.where(flip, -high, low), np.where(flip, -low, high)
    width = outer - inner
    narrow = width < _NARROW
    upper, lower = log_ndtr(outer), log_ndtr(inner)
    gap = np.where(narrow, -1.0, np.minimum(lower - upper, -1e-300))
    middle = np.where(narrow, (low + high) / 2, 0.0)
    density = -0.5 * middle**2 - 0.5 * np.log(2 * np.pi) + np.log(np.where(narrow, width, 1.0))
    result: NDArray[np.float64] = np.where(narrow, density, upper + np.log(-np.expm1(gap)))
    return result


def _range(prior: Measured, scatter: float, bounds: NDArray[np.float64]) -> NDArray[np.float64]:
    """Grid over all of the posterior that matters, fine enough for the sharpest edge in it."""
    ends = bounds[np.isfinite(bounds)]
    low = min(prior.mean - _REACH * prior.spread, ends.min() - _REACH * scatter)
    high = max(prior.mean + _REACH * prior.spread, ends.max() + _REACH * scatter)
    kept = 0.0
    while kept < 0.25:
        grid = np.linspace(low, high, _COARSE)
        heights = _log_posterior(grid, prior, scatter, bounds)
        near = np.flatnonzero(heights > heights.max() - _DROP)
        kept = near.size / _COARSE
        low, high = grid[max(near[0] - 1, 0)], grid[min(near[-1] + 1, _COARSE - 1)]
    finest = min(scatter, prior.spread)
    return np.linspace(low, high, int(np.clip(8 * (high - low) / finest, _COARSE, _FINEST)))
