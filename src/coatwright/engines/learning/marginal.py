"""What is known of one number: Student distributions, each with a weight, and what they say."""

from typing import Final, NamedTuple

import numpy as np
import numpy.typing as npt
from scipy.optimize import brentq
from scipy.special import gammaln, stdtr, stdtrit

from coatwright.errors import RangeError

Floats = npt.NDArray[np.float64]

_LAST_DIGITS: Final = 1e-9
"""Bounds nearer than this share of themselves are one."""


class Marginal(NamedTuple):
    """One unknown number [-]: Student distributions of equal degrees, with weights that sum to 1,
    each with its centre and scale."""

    weights: Floats
    centres: Floats
    scales: Floats
    degrees: float


def single(centre: float, scale: float, degrees: float) -> Marginal:
    """One Student distribution.

    Parameters
    ----------
    centre : float [-]
        Its middle.
    scale : float [-]
        Its scale; > 0.
    degrees : float [-]
        Degrees of freedom; > 0, infinite for a normal.

    Returns
    -------
    Marginal [-]
        A mixture of one.

    Raises
    ------
    RangeError
        A scale or degrees not above zero.

    Validity
        Any.

    Source
        derived: a mixture of one.
    """
    if not (scale > 0.0 and degrees > 0.0):
        raise RangeError(
            f"a scale of {scale:g} with {degrees:g} degrees", instead="both must be above 0"
        )
    return Marginal(np.ones(1), np.array([centre]), np.array([scale]), degrees)


def chance_below(known: Marginal, value: float) -> float:
    """Chance that the number is below a value.

    Parameters
    ----------
    known : Marginal [-]
        What is known of the number.
    value : float [-]
        The value.

    Returns
    -------
    float [-]
        From 0 to 1.

    Validity
        Any.

    Source
        derived: the weighted sum of Student distribution functions.

    Checked
        tests/published/test_learning.py.
    """
    standard = (value - known.centres) / known.scales
    return float(known.weights @ stdtr(known.degrees, standard))


def level(known: Marginal, chance: float) -> float:
    """The value that the number is below with a given chance.

    Parameters
    ----------
    known : Marginal [-]
        What is known of the number.
    chance : float [-]
        Between 0 and 1, neither included.

    Returns
    -------
    float [-]
        The quantile.

    Raises
    ------
    RangeError
        The chance is not strictly between 0 and 1.

    Validity
        To 1e-12, by Brent's method between the quantiles of the parts.

    Source
        derived: the inverse of chance_below().

    Checked
        tests/published/test_learning.py.
    """
    if not 0.0 < chance < 1.0:
        raise RangeError(f"a chance of {chance:g}", instead="it must lie between 0 and 1")
    ends = known.centres + known.scales * stdtrit(known.degrees, chance)
    low, high = float(ends.min()), float(ends.max())
    if high - low <= _LAST_DIGITS * max(abs(low), abs(high)):
        return 0.5 * (low + high)
    margin = _LAST_DIGITS * (high - low)  # so that rounding cannot put the root outside
    found = brentq(
        lambda value: chance_below(known, value) - chance, low - margin, high + margin, xtol=1e-12
    )
    return float(found)


def interval(known: Marginal, share: float = 0.8) -> tuple[float, float]:
    """The interval that holds the number with a given chance, as much left out on either side.

    Parameters
    ----------
    known : Marginal [-]
        What is known of the number.
    share : float [-]
        Chance that the number is inside; 0.8 runs from the 10 to the 90 % point.

    Returns
    -------
    tuple[float, float] [-]
        Low and high.

    Raises
    ------
    RangeError
        The share is not strictly between 0 and 1.

    Validity
        Calibrated where the model holds; docs/engines/learning.md shows how it fails.

    Source
        derived: two quantiles.

    Checked
        tests/published/test_learning.py.
    """
    if not 0.0 < share < 1.0:
        raise RangeError(f"an interval of {share:g}", instead="its share must lie between 0 and 1")
    rest = (1.0 - share) / 2.0
    return level(known, rest), level(known, 1.0 - rest)


def mean(known: Marginal) -> float:
    """The mean of what is known of a number.

    Parameters
    ----------
    known : Marginal [-]
        What is known of the number.

    Returns
    -------
    float [-]
        The weighted mean of the centres.

    Validity
        More than one degree of freedom; otherwise it is only the middle.

    Source
        derived: the mean of a mixture.
    """
    return float(known.weights @ known.centres)


def deviation(known: Marginal) -> float:
    """The standard deviation of what is known of a number.

    Parameters
    ----------
    known : Marginal [-]
        What is known of the number.

    Returns
    -------
    float [-]
        Infinite with two degrees of freedom or fewer.

    Validity
        Any.

    Source
        derived: the variance of a mixture.
    """
    if known.degrees <= 2.0:
        return float("inf")
    wide = 1.0 if np.isinf(known.degrees) else known.degrees / (known.degrees - 2.0)
    away = known.centres - mean(known)
    return float(np.sqrt(known.weights @ (known.scales**2 * wide + away**2)))


def density(known: Marginal, values: Floats) -> Floats:
    """How likely each value is, for a plot.

    Parameters
    ----------
    known : Marginal [-]
        What is known of the number.
    values : Floats [-]
        Where.

    Returns
    -------
    Floats [-]
        Probability per unit.

    Validity
        Any.

    Source
        derived: the weighted sum of Student densities.

    Checked
        tests/published/test_learning.py.
    """
    standard = (np.asarray(values)[:, None] - known.centres) / known.scales
    return np.asarray(np.exp(log_student(standard, known.degrees)) / known.scales @ known.weights)


def log_student(standard: Floats, degrees: float) -> Floats:
    """Logarithm of the density of a standard Student variable.

    Parameters
    ----------
    standard : Floats [-]
        Values of the variable.
    degrees : float [-]
        Degrees of freedom; infinite for a normal.

    Returns
    -------
    Floats [-]
        Natural logarithms.

    Validity
        Any.

    Source
        derived: the textbook density.

    Checked
        tests/published/test_learning.py.
    """
    if np.isinf(degrees):
        return np.asarray(-0.5 * standard**2 - 0.5 * np.log(2.0 * np.pi))
    half = 0.5 * (degrees + 1.0)
    constant = gammaln(half) - gammaln(0.5 * degrees) - 0.5 * np.log(degrees * np.pi)
    return np.asarray(constant - half * np.log1p(standard**2 / degrees))


def tail(known: Marginal, value: float) -> float:
    """Chance of a value as far out as this one, on either side: small where it does not fit.

    Parameters
    ----------
    known : Marginal [-]
        What was known before.
    value : float [-]
        What came.

    Returns
    -------
    float [-]
        Twice the smaller of the chances below and above.

    Validity
        Uniform between 0 and 1 where the model holds.

    Source
        predictive-check.

    Checked
        tests/published/test_learning.py.
    """
    below = chance_below(known, value)
    return 2.0 * min(below, 1.0 - below)
