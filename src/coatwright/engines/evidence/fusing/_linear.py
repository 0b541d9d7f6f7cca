"""Linear algebra that several functions of this engine share."""

import numpy as np
from numpy.typing import NDArray

from coatwright.errors import RangeError


def lower_root(matrix: NDArray[np.float64]) -> NDArray[np.float64]:
    """Cholesky factor; refuses a covariance in which some mixture of readings would be exact."""
    try:
        return np.asarray(np.linalg.cholesky(matrix), dtype=np.float64)
    except np.linalg.LinAlgError:
        raise RangeError(
            "readings with neither error nor scatter", instead="give the gauge its limits of error"
        ) from None
