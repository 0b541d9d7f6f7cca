"""Parts of a mix and one value for each, checked once for all functions of this engine."""

import numpy as np
from numpy.typing import ArrayLike, NDArray

from coatwright.errors import RangeError

Float = NDArray[np.float64]


def as_parts(parts: ArrayLike) -> Float:
    """Parts by volume as an array: none negative, at least one above zero."""
    found = np.atleast_1d(np.asarray(parts, dtype=float))
    if not np.isfinite(found).all() or (found < 0).any() or not found.sum() > 0:
        raise RangeError(
            f"the parts {found.tolist()} cannot be mixed",
            instead="every part must be 0 or more and one above 0",
        )
    return found


def matched(parts: ArrayLike, values: ArrayLike, name: str) -> Float:
    """One value per component, none negative; `name` says in the message what they are."""
    found = np.atleast_1d(np.asarray(values, dtype=float))
    count = np.atleast_1d(np.asarray(parts)).size
    if found.size != count or not np.isfinite(found).all() or (found < 0).any():
        raise RangeError(
            f"{name} is {found.tolist()} for {count} parts",
            instead="give one value per part, 0 or more",
        )
    return found
