"""Partial pooling: one class of shops, and what sets painters, guns and products apart in this one.

A reading is mean + effect of its painter + of its gun + of its product + noise, on a scale without
units. Given the ratios of the spreads between members to that of one reading, everything else is
conjugate and exact. The ratios have no closed form; they are summed over an even grid of their
logarithms, drawn in as the readings sharpen them, each node weighted by how well it foresaw the
readings. A new painter is drawn from the class.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import product
from typing import Final, NamedTuple

import numpy as np
import numpy.typing as npt
from scipy.special import gammaln

from coatwright.engines.learning._readings import Floats
from coatwright.engines.learning.belief import Prior
from coatwright.engines.learning.belief import prior as own_prior
from coatwright.engines.learning.marginal import Marginal, deviation, tail
from coatwright.engines.learning.tally import Member, Observation, Tally, tally
from coatwright.errors import RangeError

_REACH: Final = 2.75
"""Standard deviations of a log ratio that the grid spans on either side: 99.4 % of a normal one."""

_NODES: Final = (1, 15, 9, 7, 5)
"""Nodes for each of no, one, two, three, four groupings. An even grid sums a normal curve to
exp(-2 (pi spread / step)2): 5 nodes over 2.75 spreads either way leave 3e-5."""

_PASSES: Final = 4
"""Times that the grid is drawn in around what the readings leave possible, at most."""

_NEAR: Final = 0.8
"""A grid that would not become narrower than this share of what it is stays as it is."""

_NEGLIGIBLE: Final = 1e-4
"""Share of the weight that the dropped nodes hold together: no chance is off by more."""


class Between(NamedTuple):
    """How the members of a grouping differ [-]: their standard deviation over that of one reading,
    at the median, and the standard deviation of its logarithm."""

    ratio: float
    doubt: float


class ClassPrior(NamedTuple):
    """What is held of a class of shops before the readings of one [-]."""

    own: Prior
    between: Mapping[str, Between]


@dataclass(frozen=True, eq=False)
class Pool:
    """What readings taught [-]: for each node of the grid its weight, the ratios, the effects (mean
    first) with their scaled covariance, and the spread of a reading. evidence: log density of all
    the readings."""

    prior: ClassPrior
    tally: Tally
    ratios: Floats
    weights: Floats
    effects: Floats
    covariance: Floats
    spreads: Floats
    degrees: float
    evidence: float


def class_prior(own: tuple[float, float, float, float], between: Mapping[str, float]) -> ClassPrior:
    """A class prior from standard deviations.

    Parameters
    ----------
    own : tuple[float, float, float, float] [-]
        As for prior(): centre, its spread, spread of one reading, degrees.
    between : Mapping[str, float] [-]
        Standard deviation between the members of each grouping, at the median.

    Returns
    -------
    ClassPrior [-]
        Each spread between members is believed within a factor of 1.8 either way (one standard
        deviation of its logarithm is 0.6; assumption).

    Raises
    ------
    RangeError
        A spread or degrees not above zero.

    Validity
        As prior().

    Source
        partial-pooling.
    """
    if not all(spread > 0.0 for spread in between.values()):
        raise RangeError("a spread between members is not above 0")
    spread = own[2]
    return ClassPrior(
        own_prior(*own), {group: Between(wide / spread, 0.6) for group, wide in between.items()}
    )


def pooled(observations: Sequence[Observation] | Tally, prior: ClassPrior) -> Pool:
    """What readings teach of a shop, its painters, guns and products.

    Parameters
    ----------
    observations : Sequence[Observation] | Tally [-]
        The readings, or their tally.
    prior : ClassPrior [-]
        What is held of the class.

    Returns
    -------
    Pool [-]
        The posterior.

    Raises
    ------
    RangeError
        A reading that cannot be used, a tally by other groupings, or more than four groupings.

    Validity
        Effects that add up on this scale; normal effects and readings. Even grid of 15, 9, 7 or 5
        nodes for each of 1 to 4 groupings, drawn in as the readings sharpen the ratios.

    Source
        partial-pooling; normal-inverse-gamma.

    Checked
        tests/published/test_learning.py.
    """
    groups = tuple(prior.between)
    sums = observations if isinstance(observations, Tally) else tally(observations, groups)
    if sums.groups != groups:
        raise RangeError(f"readings by {sums.groups} for a class prior by {groups}")
    return _fitted(sums, prior)


class _Grid(NamedTuple):
    """Middle and half width of an even grid of each log ratio, in standard deviations of its
    prior."""

    middle: Floats
    half: Floats


class _Nodes(NamedTuple):
    """A grid weighed by the readings: places, log weights, prior precisions, and the sum of squares
    that is left."""

    places: Floats
    logs: Floats
    precision: Floats
    squares: Floats


def _closed_in(sums: Tally, prior: ClassPrior) -> tuple[_Nodes, float]:
    """The grid drawn in around what the readings leave possible, with the log volume of a node."""
    groups = len(prior.between)
    if groups >= len(_NODES):
        raise RangeError(f"{groups} groupings", instead=f"at most {len(_NODES) - 1} can be pooled")
    grid = _Grid(np.zeros(groups), np.full(groups, _REACH))
    step = 2.0 / max(_NODES[groups] - 1, 1)
    for _ in range(_PASSES):
        nodes = _nodes(sums, prior, grid)
        weights = np.exp(nodes.logs - nodes.logs.max())
        middle = np.average(nodes.places, axis=0, weights=weights)
        spread = np.sqrt(np.average((nodes.places - middle) ** 2, axis=0, weights=weights))
        half = np.minimum(np.maximum(_REACH * spread, 1.25 * step * grid.half), _REACH)
        if (half > _NEAR * grid.half).all():
            break
        narrower = half < _NEAR * grid.half
        grid = _Grid(np.where(narrower, middle, grid.middle), np.where(narrower, half, grid.half))
    else:
        nodes = _nodes(sums, prior, grid)
    return nodes, float(np.log(step * grid.half).sum())


def _nodes(sums: Tally, prior: ClassPrior, grid: _Grid) -> _Nodes:
    """Every combination of ratios on a grid, weighed."""
    groups, degrees = len(prior.between), prior.own.degrees + sums.readings
    standard = np.linspace(-1.0, 1.0, _NODES[groups]).tolist()
    places = grid.middle + grid.half * np.array(list(product(standard, repeat=groups)), dtype=float)
    precision = _precision(sums, prior, _ratios(prior, places))
    roots = _roots(sums, prior, precision)
    squares = roots[:, -1] ** 2
    logs = 0.5 * np.log(precision).sum(axis=1) - np.log(roots[:, :-1]).sum(axis=1)
    logs -= 0.5 * degrees * np.log(squares)
    logs -= 0.5 * (places**2).sum(axis=1) + 0.5 * groups * np.log(2.0 * np.pi)
    return _Nodes(places, logs, precision, squares)


def _roots(sums: Tally, prior: ClassPrior, precision: Floats) -> Floats:
    """Diagonals of the Cholesky factors of the normal equations, bordered by their right-hand side
    and the sum of squares: the last, squared, is the sum of squares that the effects leave."""
    normal, cross, square = _centred(sums, prior.own.centre)
    size = len(cross)
    system = np.empty((len(precision), size + 1, size + 1))
    system[:, :size, :size] = normal
    system[:, size, :size] = system[:, :size, size] = cross
    system[:, size, size] = square + prior.own.degrees * prior.own.spread**2
    system[:, np.arange(size), np.arange(size)] += precision
    return np.asarray(np.diagonal(np.linalg.cholesky(system), axis1=1, axis2=2))


def _ratios(prior: ClassPrior, places: Floats) -> Floats:
    """Ratios that lie so many standard deviations from the median of their prior."""
    middle = np.log([one.ratio for one in prior.between.values()])
    doubt = np.array([one.doubt for one in prior.between.values()])
    return np.asarray(np.exp(middle + places * doubt))


def _fitted(sums: Tally, prior: ClassPrior) -> Pool:
    nodes, volume = _closed_in(sums, prior)
    top = nodes.logs.max()
    weights = np.exp(nodes.logs - top)
    evidence = top + np.log(weights.sum()) + volume + _constant(sums, prior.own)
    kept = _heaviest(weights)
    weights, degrees = weights[kept], prior.own.degrees + sums.readings
    normal, cross, _ = _centred(sums, prior.own.centre)
    system = normal + nodes.precision[kept][:, :, None] * np.eye(len(cross))
    covariance: Floats = np.asarray(np.linalg.inv(system), dtype=np.float64)
    return Pool(
        prior,
        sums,
        _ratios(prior, nodes.places[kept]),
        weights / weights.sum(),
        covariance @ cross,
        covariance,
        np.sqrt(nodes.squares[kept] / degrees),
        degrees,
        float(evidence),
    )


def _heaviest(weights: Floats) -> npt.NDArray[np.intp]:
    """The fewest nodes that hold all but a negligible part of the weight."""
    order = np.argsort(weights)[::-1]
    held = np.cumsum(weights[order])
    return order[: 1 + int(np.searchsorted(held, (1.0 - _NEGLIGIBLE) * held[-1]))]


def _centred(sums: Tally, centre: float) -> tuple[Floats, Floats, float]:
    """The sums as if every reading had been taken from the prior's centre."""
    cross = sums.cross - centre * sums.normal[0]
    square = sums.square - 2.0 * centre * sums.cross[0] + centre**2 * sums.normal[0, 0]
    return sums.normal, cross, float(square)


def _precision(sums: Tally, prior: ClassPrior, ratios: Floats) -> Floats:
    """Prior precision of each effect over that of one reading, a row for each node."""
    groups = list(prior.between)
    columns = [groups.index(group) for group, _ in sums.members]
    first = np.full((len(ratios), 1), prior.own.strength)
    return np.hstack([first, ratios[:, columns] ** -2.0])


def _constant(sums: Tally, own: Prior) -> float:
    """The part of the log evidence that is the same at every node."""
    degrees = own.degrees + sums.readings
    found = gammaln(0.5 * degrees) - gammaln(0.5 * own.degrees)
    found += 0.5 * own.degrees * np.log(own.degrees * own.spread**2)
    return float(found + 0.5 * sums.log_worth - 0.5 * sums.readings * np.log(np.pi))


def believed(pool: Pool, keys: Mapping[str, str]) -> Marginal:
    """What is known of the parameter of a painter with a gun and a product.

    Parameters
    ----------
    pool : Pool [-]
        What was learned.
    keys : Mapping[str, str]
        Members; a grouping left out, or a member never met, is drawn from the class.

    Returns
    -------
    Marginal [-]
        On the scale of the readings.

    Validity
        As pooled().

    Source
        partial-pooling.

    Checked
        tests/published/test_learning.py.
    """
    return _combined(pool, [(keys, 1.0)], 0.0)


def foreseen(pool: Pool, keys: Mapping[str, str], worth: float = 1.0) -> Marginal:
    """What is known of the next reading of a painter with a gun and a product.

    Parameters
    ----------
    pool : Pool [-]
        What was learned.
    keys : Mapping[str, str]
        Members; a grouping left out, or a member never met, is drawn from the class.
    worth : float [-]
        How many plain readings it is worth.

    Returns
    -------
    Marginal [-]
        On the scale of the readings.

    Raises
    ------
    RangeError
        A worth not above zero.

    Validity
        As pooled().

    Source
        partial-pooling.

    Checked
        tests/published/test_learning.py.
    """
    if not worth > 0.0:
        raise RangeError(f"a reading worth {worth:g}", instead="it must be above 0")
    return _combined(pool, [(keys, 1.0)], 1.0 / worth)


def effect(pool: Pool, group: str, member: str) -> Marginal:
    """What is known of how one member differs from the mean of all that could be.

    Parameters
    ----------
    pool : Pool [-]
        What was learned.
    group : str
        A grouping of the class prior.
    member : str
        A member of it; one never met is drawn from the class.

    Returns
    -------
    Marginal [-]
        0 is like the mean.

    Raises
    ------
    RangeError
        No such grouping.

    Validity
        As pooled().

    Source
        partial-pooling.

    Checked
        tests/published/test_learning.py.
    """
    column = _group(pool, group)
    scales = pool.spreads * pool.ratios[:, column]
    centres = np.zeros(len(scales))
    if (group, member) in pool.tally.members:
        place = 1 + pool.tally.members.index((group, member))
        centres = pool.effects[:, place]
        scales = pool.spreads * np.sqrt(pool.covariance[:, place, place])
    return Marginal(pool.weights, centres, scales, pool.degrees)


def apart(pool: Pool, group: str) -> float:
    """How far the members of a grouping lie apart.

    Parameters
    ----------
    pool : Pool [-]
        What was learned.
    group : str
        A grouping of the class prior.

    Returns
    -------
    float [-]
        Posterior mean of the standard deviation between members.

    Raises
    ------
    RangeError
        No such grouping.

    Validity
        More than one degree of freedom. With two or three members it is mostly the class prior.

    Source
        partial-pooling.

    Checked
        tests/published/test_learning.py.
    """
    half = 0.5 * pool.degrees
    wide = np.sqrt(half) * np.exp(gammaln(half - 0.5) - gammaln(half))
    return float(wide * (pool.weights @ (pool.ratios[:, _group(pool, group)] * pool.spreads)))


def _group(pool: Pool, group: str) -> int:
    groups = list(pool.prior.between)
    if group not in groups:
        raise RangeError(f"no readings are grouped by {group}", instead=", ".join(groups))
    return groups.index(group)


def readings_worth(pool: Pool, keys: Mapping[str, str]) -> float:
    """Effective number of readings behind what is known of a parameter.

    Parameters
    ----------
    pool : Pool [-]
        What was learned.
    keys : Mapping[str, str]
        Members, as for believed().

    Returns
    -------
    float [-]
        How many readings of this very painter, gun and product alone would tell as much.

    Validity
        More than two degrees of freedom.

    Source
        derived: variance of a reading over variance of the parameter.
    """
    noise = Marginal(pool.weights, np.zeros(len(pool.weights)), pool.spreads, pool.degrees)
    return (deviation(noise) / deviation(believed(pool, keys))) ** 2


def contradiction(pool: Pool, observations: Sequence[Observation]) -> float:
    """Do new readings contradict what was learned? Chance of a mean as far off as theirs.

    Parameters
    ----------
    pool : Pool [-]
        What was learned before them; of no readings at all, the class prior.
    observations : Sequence[Observation] [-]
        The new readings, at least one.

    Returns
    -------
    float [-]
        From 0 to 1; under 0.01 something has changed (a worn nozzle, another batch), or the
        class prior does not fit this shop.

    Raises
    ------
    RangeError
        No readings.

    Validity
        As pooled(); uniform where the model holds.

    Source
        predictive-check.

    Checked
        tests/published/test_learning.py.
    """
    total = sum(one.worth for one in observations)
    if not total > 0.0:
        raise RangeError("there are no readings to be surprised by")
    parts = [(one.keys, one.worth / total) for one in observations]
    found = sum(one.value * one.worth for one in observations) / total
    return tail(_combined(pool, parts, 1.0 / total), found)


def _combined(
    pool: Pool, parts: Sequence[tuple[Mapping[str, str], float]], noise: float
) -> Marginal:
    """What is known of a weighted sum of parameters, with so much noise over one reading's."""
    columns = np.zeros(pool.effects.shape[1])
    strangers: dict[Member, float] = {}
    for keys, share in parts:
        columns[0] += share
        for group in pool.prior.between:
            member = (group, keys.get(group, ""))
            if member in pool.tally.members:
                columns[1 + pool.tally.members.index(member)] += share
            else:
                strangers[member] = strangers.get(member, 0.0) + share
    variance = np.einsum("i,nij,j->n", columns, pool.covariance, columns) + noise
    for (group, _), share in strangers.items():
        variance += (share * pool.ratios[:, _group(pool, group)]) ** 2
    centres = pool.effects @ columns + pool.prior.own.centre * columns[0]
    return Marginal(pool.weights, centres, pool.spreads * np.sqrt(variance), pool.degrees)
