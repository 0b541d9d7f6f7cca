"""Prediction and readings together: what is known of every layer of a stack.

The mean film of each layer over an area is normal, with a covariance; around it the film scatters
from spot to spot. All scatters may be wrong by one common factor k, lognormal about 1. A reading
through layers with weights h at a spot is

    y = h' (level + k scatter z) + error,       z normal, new at every spot and layer.

Given k, gauge readings update the levels in closed form (all of a stack, in proportion to their
variances) and comb intervals through one quadrature (`censored`); k is summed over a grid fitted to
its posterior. Gauge sets come first and comb sets in a fixed order, so that the order in which
readings were noted does not matter. With one comb set the moments are exact; with more, each is
taken as normal before the next.
"""

from collections.abc import Sequence
from typing import Final, NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from coatwright.engines.evidence._checks import above, listed, not_below
from coatwright.engines.evidence.fusing._rows import Rows, Turned, narrowed, said, turned
from coatwright.engines.evidence.fusing.censored import level_from_intervals
from coatwright.engines.evidence.fusing.surprise import Surprise, surprise
from coatwright.engines.evidence.gauge import Films
from coatwright.engines.evidence.measured import Measured
from coatwright.errors import RangeError

Array = NDArray[np.float64]

_NODES: Final = 41
_DROP: Final = 14.0


class Stack(NamedTuple):
    """What is known of the layers of an area, metal first.

    level (n,) mean films [m], covariance (n, n) of those means [m2], scatter (n,) standard
    deviation from spot to spot [m], doubt: standard deviation of the log of the factor by which all
    scatters may be wrong [-].
    """

    level: Array
    covariance: Array
    scatter: Array
    doubt: float = 0.0


class Gauged(NamedTuple):
    """Films at spots of their own [m] with their errors' covariance [m2], and the weight [-] of
    each layer in them: 1 under the probe, 0 laid later.

    whole: each is the mean of the whole area (a weighed cup), so that no scatter comes on top.
    """

    films: Films
    through: Sequence[float]
    whole: bool = False


class Combed(NamedTuple):
    """Dry intervals of one coat (n, 2) [m], its weight in the layers [-], and how well its solids
    are known, as a share [-]."""

    intervals: ArrayLike
    through: Sequence[float]
    solids_share: float = 0.0


class Fused(NamedTuple):
    """Layers after the readings [m, m2, -], how surprising those were, log of their chance [-]."""

    stack: Stack
    surprise: Surprise
    log_chance: float


def predicted(
    films: ArrayLike, spreads: ArrayLike, scatter: ArrayLike, doubt: float = 0.0
) -> Stack:
    """Layers as foreseen by the model, independent of each other.

    Parameters
    ----------
    films : (n,) array [m]
        Mean film of each layer over the area, metal first.
    spreads : (n,) array [m]
        Standard deviation of each mean, above 0.
    scatter : (n,) array [m]
        Standard deviation from spot to spot of each, 0 or more.
    doubt : float [-]
        Standard deviation of the log of the factor by which all scatters may be wrong; 0 is sure.

    Returns
    -------
    Stack [m, m2, -]
        The prior of `fuse`.

    Raises
    ------
    RangeError
        Not as many spreads or scatters as films, a spread not above zero, a negative scatter.

    Source
        derived.
    Checked
        tests/unit/engines/evidence/test_fusion.py.
    """
    level, spread = listed(films, "films"), listed(spreads, "spreads")
    around = listed(scatter, "scatters")
    if not level.size == spread.size == around.size:
        raise RangeError(
            f"{level.size} films, {spread.size} spreads and {around.size} scatters",
            instead="give one of each for every layer",
        )
    above(float(spread.min()), "a spread")
    not_below(float(around.min()), "a scatter")
    return Stack(level, np.diag(spread**2), around, not_below(doubt, "a doubt"))


def reading_of(stack: Stack, through: Sequence[float]) -> tuple[Measured, float]:
    """What is foreseen through some layers together.

    Parameters
    ----------
    stack : Stack [m, m2, -]
        The layers.
    through : (n,) sequence [-]
        Weight of each layer; 1 for all gives the whole stack.

    Returns
    -------
    (Measured, float) [m]
        Mean film of the area, and the standard deviation from spot to spot around it.

    Source
        derived: mean and variance of a weighted sum.
    Checked
        tests/unit/engines/evidence/test_fusion.py.
    """
    weights = _weights(stack, through)
    level = Measured(
        float(weights @ stack.level), float(weights @ stack.covariance @ weights) ** 0.5
    )
    return level, float(np.linalg.norm(weights * stack.scatter))


def fuse(stack: Stack, gauged: Sequence[Gauged] = (), combed: Sequence[Combed] = ()) -> Fused:
    """Layers as known after dry gauge and wet comb readings.

    Parameters
    ----------
    stack : Stack [m, m2, -]
        As foreseen.
    gauged : sequence of Gauged [m, m2, -]
        Sets of dry gauge readings.
    combed : sequence of Combed [m, -]
        Sets of comb readings, as dry intervals.

    Returns
    -------
    Fused [m, m2, -]
        Posterior of all layers, a measure of surprise, log of the chance of the readings.

    Raises
    ------
    RangeError
        Weights that do not fit the layers, or a comb through a coat that has no scatter.

    Validity
        Normal films and errors; every reading at a spot of its own (the same spots read twice: use
        layer_by_difference); errors of different sets independent.
    Source
        kalman-update; interval-likelihood for combs; mixture over k (derived).
    Checked
        tests/unit/engines/evidence/test_fusion.py and tests/properties/test_evidence.py, against
        scipy.stats.multivariate_normal and quadrature in several dimensions.
    """
    rows, combs = _rows(stack, gauged), _combs(stack, combed)
    diagonal, logs = turned(rows), _coarse(stack.doubt)
    nodes = [_given(stack, diagonal, combs, log) for log in logs]
    if stack.doubt > 0:
        logs = _fitted(logs, np.array([node.log_chance for node in nodes]), stack.doubt)
        nodes = [_given(stack, diagonal, combs, log) for log in logs]
    posterior, log_chance = _mixture(stack, logs, nodes)
    everything = _joined([rows, *(_as_rows(comb, stack) for comb in combs)])
    return Fused(posterior, surprise(everything, stack.covariance, stack.doubt), log_chance)


class _Node(NamedTuple):
    """Posterior given one factor of the scatters."""

    level: Array
    covariance: Array
    log_chance: float


class _Comb(NamedTuple):
    intervals: Array
    weights: Array
    bias: float
    scatter: float


def _weights(stack: Stack, through: Sequence[float]) -> Array:
    weights = listed(through, "weights")
    if weights.size != stack.level.size:
        raise RangeError(
            f"{weights.size} weights for {stack.level.size} layers",
            instead="give one for every layer, 0 for those not read",
        )
    return weights


def _rows(stack: Stack, gauged: Sequence[Gauged]) -> Rows:
    return _joined([_of_gauge(stack, one) for one in gauged])


def _of_gauge(stack: Stack, gauged: Gauged) -> Rows:
    weights = _weights(stack, gauged.through)
    size = gauged.films.films.size
    return Rows(
        gauged.films.films - weights @ stack.level,
        np.tile(weights, (size, 1)),
        gauged.films.covariance,
        np.full(size, 0.0 if gauged.whole else np.sum((weights * stack.scatter) ** 2)),
    )


def _joined(parts: Sequence[Rows]) -> Rows:
    kept = [part for part in parts if part.residual.size]
    if not kept:
        return Rows(np.zeros(0), np.zeros((0, 0)), np.zeros((0, 0)), np.zeros(0))
    sizes = [part.residual.size for part in kept]
    errors = np.zeros((sum(sizes), sum(sizes)))
    for part, end in zip(kept, np.cumsum(sizes), strict=True):
        at = slice(end - part.residual.size, end)
        errors[at, at] = part.errors
    return Rows(
        np.concatenate([part.residual for part in kept]),
        np.vstack([part.weights for part in kept]),
        errors,
        np.concatenate([part.scatter for part in kept]),
    )


def _combs(stack: Stack, combed: Sequence[Combed]) -> list[_Comb]:
    """Sets of one coat merged, in an order that does not depend on the one given."""
    together: dict[tuple[tuple[float, ...], float], list[Array]] = {}
    for one in combed:
        key = (tuple(_weights(stack, one.through)), not_below(one.solids_share, "a share"))
        together.setdefault(key, []).append(np.asarray(one.intervals, dtype=float).reshape(-1, 2))
    return [
        _comb(stack, np.array(weights), share, np.vstack(together[weights, share]))
        for weights, share in sorted(together)
    ]


def _comb(stack: Stack, weights: Array, share: float, intervals: Array) -> _Comb:
    scatter = float(np.linalg.norm(weights * stack.scatter))
    above(scatter, "a scatter of the coat that the comb read")
    order = np.lexsort(intervals.T)
    return _Comb(intervals[order], weights, share * float(weights @ stack.level), scatter)


def _given(stack: Stack, rows: Turned, combs: Sequence[_Comb], log_factor: float) -> _Node:
    factor = float(np.exp(log_factor))
    node = _gauge_update(stack, rows, factor)
    for comb in combs:
        node = _comb_update(node, comb, factor)
    return node


def _gauge_update(stack: Stack, rows: Turned, factor: float) -> _Node:
    if not rows.residual.size:
        return _Node(stack.level, stack.covariance, 0.0)
    found = said(rows, factor)
    covariance, shrunk = narrowed(stack.covariance, found)
    step = covariance @ found.push
    surprise_left = found.square - float(found.push @ step)
    constant = rows.residual.size * np.log(2 * np.pi)
    chance = -0.5 * (surprise_left + found.log_size + shrunk + constant)
    return _Node(stack.level + step, covariance, float(chance))


def _comb_update(node: _Node, comb: _Comb, factor: float) -> _Node:
    """The comb sees h'level plus the error of its solids; the levels follow by regression on it."""
    gain = node.covariance @ comb.weights
    variance = float(comb.weights @ gain) + comb.bias**2
    prior = Measured(float(comb.weights @ node.level), variance**0.5)
    found = level_from_intervals(prior, factor * comb.scatter, comb.intervals)
    slope = gain / variance
    return _Node(
        node.level + slope * (found.level.mean - prior.mean),
        node.covariance + np.outer(slope, slope) * (found.level.spread**2 - variance),
        node.log_chance + found.log_chance,
    )


def _coarse(doubt: float) -> Array:
    return np.linspace(-6 * doubt, 6 * doubt, _NODES) if doubt > 0 else np.zeros(1)


def _log_weights(logs: Array, chances: Array, doubt: float) -> Array:
    return chances - 0.5 * (logs / doubt) ** 2 if doubt > 0 else chances


def _fitted(logs: Array, chances: Array, doubt: float) -> Array:
    """Grid over the part of the factor's posterior that matters."""
    heights = _log_weights(logs, chances, doubt)
    near = np.flatnonzero(heights > heights.max() - _DROP)
    low, high = max(near[0] - 1, 0), min(near[-1] + 1, logs.size - 1)
    return np.linspace(logs[low], logs[high], _NODES)


def _mixture(stack: Stack, logs: Array, nodes: Sequence[_Node]) -> tuple[Stack, float]:
    heights = _log_weights(logs, np.array([node.log_chance for node in nodes]), stack.doubt)
    weights = np.exp(heights - heights.max())
    chance = heights.max() + np.log(weights.sum())
    if stack.doubt > 0:
        chance += np.log((logs[1] - logs[0]) / (np.sqrt(2 * np.pi) * stack.doubt))
    weights /= weights.sum()
    levels = np.array([node.level for node in nodes])
    level = weights @ levels
    within = np.einsum("k,kij->ij", weights, np.array([node.covariance for node in nodes]))
    between = np.einsum("k,ki,kj->ij", weights, levels - level, levels - level)
    log_factor = float(weights @ logs)
    doubt = float(weights @ (logs - log_factor) ** 2) ** 0.5
    scatter = stack.scatter * np.exp(log_factor)
    return Stack(level, within + between, scatter, doubt), float(chance)


def _as_rows(comb: _Comb, stack: Stack) -> Rows:
    """Intervals as readings of their middles, for the surprise alone (Sheppard's width^2 / 12).

    One without an upper bound counts at its lower bound if more was not foreseen anyway.
    """
    foreseen = float(comb.weights @ stack.level)
    low, high = comb.intervals.T
    closed = np.isfinite(high)
    kept = closed | (low > foreseen)
    middle = np.where(closed, (low + np.where(closed, high, 0.0)) / 2, low)[kept]
    width = np.where(closed, high - low, 0.0)[kept]
    return Rows(
        middle - foreseen,
        np.tile(comb.weights, (middle.size, 1)),
        np.diag(width**2 / 12) + comb.bias**2,
        np.full(middle.size, comb.scatter**2),
    )
