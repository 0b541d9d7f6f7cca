"""The scales that learning works on: what was found against what was predicted, without units."""

import math

from coatwright.errors import RangeError


def log_ratio(found: float, predicted: float) -> float:
    """How far a quantity came out from its prediction, on the log scale.

    Parameters
    ----------
    found, predicted : float [-]
        What was measured and what was predicted, in one unit; both > 0.

    Returns
    -------
    float [-]
        ln(found / predicted): 0 as predicted, 0.1 about 10 % more.

    Raises
    ------
    RangeError
        Either is not above zero.

    Validity
        Quantities that are multiplied by what goes wrong: flow, speed, minutes, paint.

    Source
        derived: the logarithm of a ratio.
    """
    if not (found > 0.0 and predicted > 0.0):
        raise RangeError(
            f"found {found:g} against {predicted:g} predicted", instead="both must be above 0"
        )
    return math.log(found / predicted)


def logit_shift(found: float, predicted: float) -> float:
    """How far a share came out from its prediction, on the logit scale.

    Parameters
    ----------
    found, predicted : float [-]
        Shares between 0 and 1, neither included.

    Returns
    -------
    float [-]
        logit(found) - logit(predicted), logit(x) = ln(x / (1 - x)).

    Raises
    ------
    RangeError
        Either is not strictly between 0 and 1.

    Validity
        Shares such as transfer: no shift can carry one past 0 or 1.

    Source
        derived: the difference of two log odds.
    """
    if not (0.0 < found < 1.0 and 0.0 < predicted < 1.0):
        raise RangeError(
            f"a share of {found:g} against {predicted:g} predicted",
            instead="both must lie between 0 and 1",
        )
    return math.log(found / (1.0 - found)) - math.log(predicted / (1.0 - predicted))


def shifted(predicted: float, shift: float) -> float:
    """A share moved on the logit scale: undoes logit_shift().

    Parameters
    ----------
    predicted : float [-]
        A share between 0 and 1, neither included.
    shift : float [-]
        Move of its log odds.

    Returns
    -------
    float [-]
        The share that lies there.

    Raises
    ------
    RangeError
        The share is not strictly between 0 and 1.

    Validity
        Any shift.

    Source
        derived: the inverse of logit_shift().
    """
    if not 0.0 < predicted < 1.0:
        raise RangeError(f"a share of {predicted:g}", instead="it must lie between 0 and 1")
    return 1.0 / (1.0 + (1.0 - predicted) / predicted * math.exp(-shift))
