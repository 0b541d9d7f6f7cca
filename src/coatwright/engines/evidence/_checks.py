"""Bounds that several functions of this engine share."""

import numpy as np
from numpy.typing import ArrayLike, NDArray

from coatwright.errors import RangeError


def above(value: float, name: str) -> float:
    """The value, if it is above zero."""
    if not value > 0:
        raise RangeError(f"{name} of {value:g}", instead="it must be above 0")
    return value


def not_below(value: float, name: str) -> float:
    """The value, if it is zero or more."""
    if not value >= 0:
        raise RangeError(f"{name} of {value:g}", instead="it must be 0 or more")
    return value


def listed(values: ArrayLike, name: str, least: int = 1) -> NDArray[np.float64]:
    """The values in one row, if they are numbers and there are enough of them."""
    found = np.atleast_1d(np.asarray(values, dtype=float))
    if found.ndim != 1 or found.size < least:
        raise RangeError(f"{found.size} {name}", instead=f"at least {least} in one row are needed")
    if not np.isfinite(found).all():
        raise RangeError(f"{name} that are no numbers", instead="leave them out")
    return found
