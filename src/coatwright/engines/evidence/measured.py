"""A measured value with its standard uncertainty, and how limits of error become one."""

import math
from collections.abc import Sequence
from typing import NamedTuple

from numpy.typing import ArrayLike

from coatwright.engines.evidence._checks import listed, not_below


class Measured(NamedTuple):
    """A value and its standard deviation, both in the unit the function names [m, m3, m3/s, -]."""

    mean: float
    spread: float

    @property
    def share(self) -> float:
        """Standard deviation as a share of the value."""
        return abs(self.spread / self.mean) if self.mean else math.inf


def product(multiplied: Sequence[Measured], divided: Sequence[Measured] = ()) -> Measured:
    """Product and quotient of independent measurements.

    Parameters
    ----------
    multiplied, divided : sequence of Measured [-]
        Above 0 and in any units.

    Returns
    -------
    Measured [-]
        To first order: the squares of the shares add.

    Validity
        Spreads of a tenth or two at most.
    Source
        uncertainty-product.
    Checked
        tests/unit/engines/evidence/test_weighing.py, against simulation.
    """
    value = math.prod(one.mean for one in multiplied) / math.prod(one.mean for one in divided)
    return Measured(value, value * math.hypot(*(one.share for one in (*multiplied, *divided))))


def standard_of_limits(half_width: float) -> float:
    """Standard deviation of an error of which only its limits are known.

    Parameters
    ----------
    half_width : float [-]
        The error lies between minus and plus this, in any unit, anywhere alike.

    Returns
    -------
    float [-]
        half_width / sqrt(3), in the same unit.

    Raises
    ------
    RangeError
        A negative half width.

    Source
        gum-type-b.
    Checked
        tests/unit/engines/evidence/test_gauge.py.
    """
    return not_below(half_width, "limits of error") / math.sqrt(3)


def mean_of(values: ArrayLike) -> Measured:
    """Mean of repeated measurements, and how well it is known.

    Parameters
    ----------
    values : (n,) array [-]
        At least two, in any unit.

    Returns
    -------
    Measured [-]
        The mean and s / sqrt(n), in the same unit.

    Raises
    ------
    RangeError
        Fewer than two values.

    Validity
        Independent measurements; an error that all share is not in the spread.
    Source
        gum-type-a.
    Checked
        tests/unit/engines/evidence/test_gauge.py, against scipy.stats.sem.
    """
    found = listed(values, "values", 2)
    return Measured(float(found.mean()), float(found.std(ddof=1)) / math.sqrt(found.size))
