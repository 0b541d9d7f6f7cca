"""What was learned, carried into the paint, film and minutes that a recipe foretells.

A coat sprayed as its recipe says lays flow x transfer / speed. A gun that delivers more uses more
paint and lays more film; a painter who moves faster uses less, lays less and is done sooner; poor
transfer uses the same paint and lays less. What is known of the three comes as draws, so that coats
by one painter with one gun stay together: their errors do not average out.
"""

from collections.abc import Mapping, Sequence
from typing import NamedTuple

import numpy as np

from coatwright.engines.learning._readings import Floats
from coatwright.engines.learning.pooled import Pool
from coatwright.errors import RangeError


class Forecast(NamedTuple):
    """A quantity as it is now foreseen, in the unit of what was planned [-]: middle, the interval
    asked for, mean and standard deviation."""

    middle: float
    low: float
    high: float
    mean: float
    deviation: float


class Carried(NamedTuple):
    """Factors on a plan [-], a row for each draw and a column for each coat: paint through the gun
    and film of the recipe sprayed as it stands, time with the trigger pulled, and the paint that
    would lay the film wanted."""

    paint: Floats
    film: Floats
    trigger: Floats
    paint_for_film: Floats


def draws(
    pool: Pool, cells: Sequence[Mapping[str, str]], count: int = 4000, seed: int = 1
) -> Floats:
    """The next reading of each of several coats, drawn together from what is known.

    Parameters
    ----------
    pool : Pool [-]
        What was learned.
    cells : Sequence[Mapping[str, str]]
        Members for each coat; one never met is drawn from the class, the same for every coat
        that names it.
    count : int
        How many draws; 4000 place a 10 % point within 3 % of a standard deviation.
    seed : int
        Of the draws: the same seed gives the same draws.

    Returns
    -------
    Floats [-]
        A row for each draw, a column for each coat, on the scale of the readings.

    Validity
        Exact draws, no chain: node, spread, effects, noise.

    Source
        partial-pooling.

    Checked
        tests/published/test_learning.py.
    """
    chance = np.random.default_rng(seed)
    nodes = chance.choice(len(pool.weights), size=count, p=pool.weights)
    spreads = pool.spreads[nodes] * np.sqrt(pool.degrees / chance.chisquare(pool.degrees, count))
    roots = np.linalg.cholesky(pool.covariance)
    standard = chance.standard_normal((count, pool.effects.shape[1]))
    drawn = np.einsum("nij,nj->ni", roots[nodes], standard) * spreads[:, None]
    drawn += pool.effects[nodes]
    found = drawn[:, [0] * len(cells)] + pool.prior.own.centre
    for column, group in enumerate(pool.prior.between):
        met = enumerate(pool.tally.members, start=1)
        known = {key: drawn[:, i] for i, (own, key) in met if own == group}
        wide = spreads * pool.ratios[nodes, column]
        for place, keys in enumerate(cells):
            key = keys.get(group, "")
            if key not in known:
                known[key] = wide * chance.standard_normal(count)
            found[:, place] += known[key]
    return np.asarray(found + spreads[:, None] * chance.standard_normal(found.shape))


def carried(
    flow_ratio: Floats, transfer_shift: Floats, speed_ratio: Floats, shares: Sequence[float]
) -> Carried:
    """Factors on the paint, film and time of coats.

    Parameters
    ----------
    flow_ratio, speed_ratio : Floats [-]
        Draws of the log ratio of fluid flow and of stroke speed to the recipe's, by coat.
    transfer_shift : Floats [-]
        Draws of the logit shift of transfer from the recipe's, by coat.
    shares : Sequence[float] [-]
        Transfer that the recipe reckons with, by coat; between 0 and 1.

    Returns
    -------
    Carried [-]
        paint = flow / speed, film = flow x transfer / speed, trigger = 1 / speed,
        paint_for_film = 1 / transfer, each as a ratio to the recipe.

    Raises
    ------
    RangeError
        Another number of coats, or a share not strictly between 0 and 1.

    Validity
        The three are learned from different readings and taken as independent. The number and
        length of the strokes are as planned; turns take their own time.

    Source
        film-mass-balance.

    Checked
        tests/unit/engines/learning/test_carried.py.
    """
    known = np.asarray(shares, dtype=float)
    if not ((known > 0.0) & (known < 1.0)).all():
        raise RangeError("a transfer outside 0 to 1")
    if not (
        flow_ratio.shape
        == transfer_shift.shape
        == speed_ratio.shape
        == (len(flow_ratio), len(known))
    ):
        raise RangeError("draws of flow, transfer and speed differ in number")
    kept = 1.0 / (known + (1.0 - known) * np.exp(-transfer_shift))
    paint = np.exp(flow_ratio - speed_ratio)
    return Carried(paint, paint * kept, np.exp(-speed_ratio), 1.0 / kept)


def total(amounts: Sequence[float], factors: Floats, share: float = 0.8) -> Forecast:
    """The sum of planned amounts, each by its own factor.

    Parameters
    ----------
    amounts : Sequence[float] [-]
        What was planned for each coat, in one unit.
    factors : Floats [-]
        Draws of the factor on each, a column for each coat.
    share : float [-]
        Chance that the sum lies in the interval.

    Returns
    -------
    Forecast [-]
        In the unit of the amounts.

    Raises
    ------
    RangeError
        Another number of amounts than columns, or a share not strictly between 0 and 1.

    Validity
        To the error of the draws.

    Source
        derived: quantiles of sums.

    Checked
        tests/unit/engines/learning/test_carried.py.
    """
    planned = np.asarray(amounts, dtype=float)
    if factors.shape[1] != len(planned):
        raise RangeError(f"{len(planned)} amounts with {factors.shape[1]} factors")
    if not 0.0 < share < 1.0:
        raise RangeError(f"an interval of {share:g}", instead="its share must lie between 0 and 1")
    sums = factors @ planned
    rest = (1.0 - share) / 2.0
    low, middle, high = np.quantile(sums, [rest, 0.5, 1.0 - rest]).tolist()
    return Forecast(middle, low, high, float(sums.mean()), float(sums.std()))
