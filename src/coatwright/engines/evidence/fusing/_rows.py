"""Readings in rows, turned once so that every factor of their scatters costs little.

With E the covariance of errors and D that from spot to spot, U' (E + D) U = 1 and U' D U =
diag(share). The noise at a factor k, E + k^2 D, is then diag(1 - share + k^2 share), and what the
readings say of the levels is in three small sums.
"""

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray
from scipy.linalg import eigh

from coatwright.errors import RangeError

Array = NDArray[np.float64]


class Rows(NamedTuple):
    """Readings less what was foreseen (n,) [m], layers in each (n, layers) [-], covariance of
    errors (n, n) [m2] and variance from spot to spot (n,) [m2]."""

    residual: Array
    weights: Array
    errors: Array
    scatter: Array


class Turned(NamedTuple):
    """Rows in the coordinates in which their noise is diagonal."""

    residual: Array
    weights: Array
    share: Array
    log_size: float


class Said(NamedTuple):
    """What readings say: information on the levels, its push, residual squared, log determinant."""

    information: Array
    push: Array
    square: float
    log_size: float


def turned(rows: Rows) -> Turned:
    """Refuses readings of which some mixture would be exact."""
    if not rows.residual.size:
        return Turned(rows.residual, rows.weights, rows.scatter, 0.0)
    scatter = np.diag(rows.scatter)
    try:
        root = np.linalg.cholesky(rows.errors + scatter)
    except np.linalg.LinAlgError:
        raise RangeError(
            "readings with neither error nor scatter", instead="give the gauge its limits of error"
        ) from None
    share, turn = eigh(scatter, rows.errors + scatter)
    log_size = 2 * float(np.log(np.diag(root)).sum())
    return Turned(turn.T @ rows.residual, turn.T @ rows.weights, np.clip(share, 0, 1), log_size)


def said(rows: Turned, factor: float) -> Said:
    """Sums over the readings, their scatter taken `factor` times."""
    noise = 1 - rows.share + factor**2 * rows.share
    weighed = rows.weights / noise[:, None]
    return Said(
        weighed.T @ rows.weights,
        weighed.T @ rows.residual,
        float(np.sum(rows.residual**2 / noise)),
        rows.log_size + float(np.log(noise).sum()),
    )


def narrowed(covariance: Array, found: Said) -> tuple[Array, float]:
    """Covariance of the levels after the readings, and log of how much smaller it is."""
    grown = np.eye(len(covariance)) + covariance @ found.information
    after = np.linalg.solve(grown, covariance)
    return (after + after.T) / 2, float(np.linalg.slogdet(grown)[1])
