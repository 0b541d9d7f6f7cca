"""One layer whose film is lognormal: never below nothing, its spreads shares of it.

In the logarithm everything is normal again, so `fuse` does the work. Of use where the spread is a
third of the film and more; below a tenth it hardly differs from the normal law.
"""

from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from coatwright.engines.evidence._checks import above, not_below
from coatwright.engines.evidence.fusing.layers import Combed, Gauged, Stack, fuse
from coatwright.engines.evidence.fusing.surprise import Surprise
from coatwright.engines.evidence.gauge import Films
from coatwright.engines.evidence.measured import Measured
from coatwright.errors import RangeError


class Layer(NamedTuple):
    """One lognormal layer: mean film of the area [m], scatter around it and doubt of that [-]."""

    level: Measured
    share_spread: float
    doubt: float = 0.0


class LayerFound(NamedTuple):
    """The layer after the readings [m, -], and how surprising those were [-]."""

    layer: Layer
    surprise: Surprise


def fuse_lognormal(
    layer: Layer, films: Films | None = None, intervals: ArrayLike = ()
) -> LayerFound:
    """A single layer after dry gauge readings and comb intervals, by the lognormal law.

    Parameters
    ----------
    layer : Layer [m, -]
        As foreseen.
    films : Films or None [m, m2]
        Dry gauge readings of this layer alone, all above 0.
    intervals : (n, 2) array [m]
        Dry intervals of a comb; may be empty.

    Returns
    -------
    LayerFound [m, -]
        Posterior and surprise.

    Raises
    ------
    RangeError
        A film not above zero, or a layer without spread.

    Validity
        Errors of the gauge small beside the film: they are taken as shares of the reading.
    Source
        derived: the normal update of logarithms; moments of the lognormal distribution.
    Checked
        tests/unit/engines/evidence/test_lognormal.py, against quadrature over scipy.stats.lognorm.
    """
    prior, shift = _in_logs(layer)
    gauged = [] if films is None else [Gauged(_log_films(films, shift), [1.0])]
    bounds = np.asarray(intervals, dtype=float).reshape(-1, 2)
    combed = [Combed(_log_bounds(bounds) + shift, [1.0])] if bounds.size else []
    found = fuse(prior, gauged, combed)
    return LayerFound(_from_logs(found.stack), found.surprise)


def _log_spread(share: float) -> float:
    return float(np.sqrt(np.log1p(share**2)))


def _in_logs(layer: Layer) -> tuple[Stack, float]:
    """Prior of the log of the area's mean, and what a spot's log lies below that on average."""
    mean = above(layer.level.mean, "a film")
    wide = _log_spread(above(layer.level.spread, "a spread") / mean)
    around = _log_spread(above(layer.share_spread, "a scatter"))
    level = np.array([np.log(mean) - wide**2 / 2])
    stack = Stack(level, np.array([[wide**2]]), np.array([around]), not_below(layer.doubt, "doubt"))
    return stack, around**2 / 2


def _log_films(films: Films, shift: float) -> Films:
    if not (films.films > 0).all():
        raise RangeError("a film that is not above 0", instead="use the normal law")
    relative = films.covariance / np.outer(films.films, films.films)
    return Films(np.log(films.films) + shift, relative)


def _log_bounds(bounds: NDArray[np.float64]) -> NDArray[np.float64]:
    least = bounds[bounds > 0].min() * 1e-6 if (bounds > 0).any() else 1.0
    logs: NDArray[np.float64] = np.log(np.maximum(bounds, least))
    return logs


def _from_logs(stack: Stack) -> Layer:
    wide = float(stack.covariance[0, 0])
    mean = float(np.exp(stack.level[0] + wide / 2))
    spread = mean * float(np.sqrt(np.expm1(wide)))
    share = float(np.sqrt(np.expm1(stack.scatter[0] ** 2)))
    return Layer(Measured(mean, spread), share, stack.doubt)
