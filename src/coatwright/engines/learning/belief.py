"""One parameter learned from readings of it: normal with unknown mean and unknown spread.

The readings are on a scale without units (scales.py). Prior and belief have one form, so that a
belief is the prior of the next readings, and readings taken one by one teach what they teach all
at once.
"""

from collections.abc import Sequence
from typing import Final, NamedTuple

import numpy as np
from scipy.special import gammaln
from scipy.stats import chi2

from coatwright.engines.learning._readings import weighed
from coatwright.engines.learning.marginal import Marginal, interval, single, tail
from coatwright.errors import RangeError

_LOG_PI: Final = float(np.log(np.pi))


class Prior(NamedTuple):
    """What is held before a reading [-]: centre, how many readings that is worth, the standard
    deviation of one reading, and how many readings that is worth."""

    centre: float
    strength: float
    spread: float
    degrees: float


class Belief(NamedTuple):
    """What is held after readings [-]: as Prior, with how many there were. strength is the
    effective number of readings behind the centre, the prior's own included."""

    centre: float
    strength: float
    spread: float
    degrees: float
    readings: int


def prior(centre: float, centre_spread: float, spread: float, degrees: float) -> Prior:
    """A prior from standard deviations.

    Parameters
    ----------
    centre : float [-]
        Where the parameter is expected.
    centre_spread : float [-]
        Standard deviation of that; > 0.
    spread : float [-]
        Standard deviation of one reading around the parameter; > 0.
    degrees : float [-]
        Readings that `spread` is worth: 5 for a guess, 30 for something known; > 0.

    Returns
    -------
    Prior [-]
        strength = (spread / centre_spread)2.

    Raises
    ------
    RangeError
        A spread or degrees not above zero.

    Validity
        The spread of the centre widens and narrows with that of a reading, as the conjugate form
        asks.

    Source
        normal-inverse-gamma.
    """
    if not (centre_spread > 0.0 and spread > 0.0 and degrees > 0.0):
        raise RangeError(
            f"spreads of {centre_spread:g} and {spread:g} with {degrees:g} degrees",
            instead="all must be above 0",
        )
    return Prior(centre, (spread / centre_spread) ** 2, spread, degrees)


def update(
    held: Prior | Belief, data: Sequence[float], worths: Sequence[float] | None = None
) -> Belief:
    """What readings teach.

    Parameters
    ----------
    held : Prior | Belief [-]
        What was held before them.
    data : Sequence[float] [-]
        The readings.
    worths : Sequence[float] | None [-]
        How many plain readings each is worth (1 / variance); None: one each.

    Returns
    -------
    Belief [-]
        The exact posterior.

    Raises
    ------
    RangeError
        A reading that is not finite, a worth not above zero, or another number of them.

    Validity
        Readings normal around one value and independent; doubtful() finds those that are not.

    Source
        normal-inverse-gamma.

    Checked
        tests/published/test_learning.py.
    """
    values, weights = weighed(data, worths)
    total = float(weights.sum())
    strength = held.strength + total
    centre = (held.strength * held.centre + float(weights @ values)) / strength
    squares = held.degrees * held.spread**2 + float(weights @ (values - centre) ** 2)
    squares += held.strength * (held.centre - centre) ** 2
    degrees = held.degrees + len(values)
    before = held.readings if isinstance(held, Belief) else 0
    spread = float(np.sqrt(squares / degrees))
    return Belief(centre, strength, spread, degrees, before + len(values))


def centre_of(held: Prior | Belief) -> Marginal:
    """What is known of the parameter itself.

    Parameters
    ----------
    held : Prior | Belief [-]
        What is held.

    Returns
    -------
    Marginal [-]
        A Student distribution.

    Validity
        As update().

    Source
        normal-inverse-gamma.

    Checked
        tests/published/test_learning.py.
    """
    return single(held.centre, held.spread / np.sqrt(held.strength), held.degrees)


def coming(held: Prior | Belief, worth: float = 1.0) -> Marginal:
    """What is known of the next reading.

    Parameters
    ----------
    held : Prior | Belief [-]
        What is held.
    worth : float [-]
        How many plain readings it is worth: n for the mean of n coming ones.

    Returns
    -------
    Marginal [-]
        A Student distribution, wider than the parameter's own.

    Raises
    ------
    RangeError
        A worth not above zero.

    Validity
        As update().

    Source
        normal-inverse-gamma.

    Checked
        tests/published/test_learning.py.
    """
    if not worth > 0.0:
        raise RangeError(f"a reading worth {worth:g}", instead="it must be above 0")
    wide = np.sqrt(1.0 / held.strength + 1.0 / worth)
    return single(held.centre, held.spread * float(wide), held.degrees)


def predict(held: Prior | Belief, share: float = 0.8) -> tuple[float, float]:
    """The interval that holds the next reading with a given chance.

    Parameters
    ----------
    held : Prior | Belief [-]
        What is held.
    share : float [-]
        Chance that the reading is inside.

    Returns
    -------
    tuple[float, float] [-]
        Low and high.

    Raises
    ------
    RangeError
        The share is not strictly between 0 and 1.

    Validity
        As update().

    Source
        normal-inverse-gamma.

    Checked
        tests/published/test_learning.py.
    """
    return interval(coming(held), share)


def spread_interval(held: Prior | Belief, share: float = 0.8) -> tuple[float, float]:
    """The interval that holds the standard deviation of one reading with a given chance.

    Parameters
    ----------
    held : Prior | Belief [-]
        What is held; of log speeds, this is a hand's spread of speed.
    share : float [-]
        Chance that it is inside.

    Returns
    -------
    tuple[float, float] [-]
        Low and high.

    Raises
    ------
    RangeError
        The share is not strictly between 0 and 1.

    Validity
        Scaled inverse chi-square on the variance; sensitive to readings that are not normal.

    Source
        normal-inverse-gamma.

    Checked
        tests/published/test_learning.py.
    """
    if not 0.0 < share < 1.0:
        raise RangeError(f"an interval of {share:g}", instead="its share must lie between 0 and 1")
    rest = (1.0 - share) / 2.0
    ends = held.degrees / chi2.ppf([1.0 - rest, rest], held.degrees)
    low, high = (held.spread * np.sqrt(ends)).tolist()
    return low, high


def steadier(held: Prior | Belief, deviations: Sequence[float]) -> Belief:
    """What deviations from a known value teach of a spread: of the aim off a chalk line, say.

    Parameters
    ----------
    held : Prior | Belief [-]
        What was held before them; only its spread and degrees change.
    deviations : Sequence[float] [-]
        Each reading less the value that is known, over its unit.

    Returns
    -------
    Belief [-]
        The exact posterior of the spread.

    Raises
    ------
    RangeError
        A deviation that is not finite.

    Validity
        Deviations normal around zero.

    Source
        normal-inverse-gamma, with the mean known.

    Checked
        tests/published/test_learning.py.
    """
    values, _ = weighed(deviations, None)
    degrees = held.degrees + len(values)
    squares = held.degrees * held.spread**2 + float(values @ values)
    before = held.readings if isinstance(held, Belief) else 0
    spread = float(np.sqrt(squares / degrees))
    return Belief(held.centre, held.strength, spread, degrees, before + len(values))


def log_evidence(
    held: Prior | Belief, data: Sequence[float], worths: Sequence[float] | None = None
) -> float:
    """How well readings were foreseen: the logarithm of their density under what was held.

    Parameters
    ----------
    held : Prior | Belief [-]
        What was held before them.
    data : Sequence[float] [-]
        The readings.
    worths : Sequence[float] | None [-]
        How many plain readings each is worth; None: one each.

    Returns
    -------
    float [-]
        Natural logarithm; the difference of two of them is a log Bayes factor.

    Raises
    ------
    RangeError
        As update().

    Validity
        Only differences on the same readings mean anything.

    Source
        normal-inverse-gamma; bayes-factor.

    Checked
        tests/published/test_learning.py.
    """
    _, weights = weighed(data, worths)
    after = update(held, data, worths)
    found = gammaln(0.5 * after.degrees) - gammaln(0.5 * held.degrees)
    found += 0.5 * (np.log(held.strength) - np.log(after.strength))
    found += 0.5 * held.degrees * np.log(held.degrees * held.spread**2)
    found -= 0.5 * after.degrees * np.log(after.degrees * after.spread**2)
    found += 0.5 * float(np.log(weights).sum()) - 0.5 * len(weights) * _LOG_PI
    return float(found)


def surprise(held: Prior | Belief, data: Sequence[float]) -> float:
    """Do readings contradict what was held? Chance of a mean as far off as theirs.

    Parameters
    ----------
    held : Prior | Belief [-]
        What was held before: the class prior, or earlier readings when the question is drift.
    data : Sequence[float] [-]
        The new readings, at least one.

    Returns
    -------
    float [-]
        From 0 to 1; under 0.01 the readings and what was held do not go together.

    Raises
    ------
    RangeError
        No readings, or one that is not finite.

    Validity
        As update(); uniform where the model holds.

    Source
        predictive-check.

    Checked
        tests/published/test_learning.py.
    """
    values, weights = weighed(data, None)
    if not len(values):
        raise RangeError("there are no readings to be surprised by")
    return tail(coming(held, float(weights.sum())), float(values.mean()))
