"""Whether readings contradict the prediction: chi-square under what was foreseen."""

from typing import Final, NamedTuple

import numpy as np
from numpy.typing import NDArray
from scipy.special import chdtrc

from coatwright.engines.evidence.fusing._linear import lower_root

Array = NDArray[np.float64]

DOUBTFUL: Final = 0.01
"""Chance below which readings are said to contradict the model."""
_NODES: Final = 41


class Rows(NamedTuple):
    """Readings less what was foreseen (n,) [m], layers in each (n, layers) [-], covariance of
    errors (n, n) [m2] and variance from spot to spot (n,) [m2]."""

    residual: Array
    weights: Array
    errors: Array
    scatter: Array


class Surprise(NamedTuple):
    """How far readings lie from the prediction [-].

    chi_square over all readings with its degrees of freedom, at the foreseen scatter; chances of as
    much or more if the model is right: p over all, level_p of the mean films alone, scatter_p of
    the scatter around them alone (too much, not too little).
    """

    chi_square: float
    degrees: int
    p: float
    level_p: float
    scatter_p: float

    @property
    def contradicts(self) -> bool:
        """Whether level or scatter is less likely than 1 % (each is given half of it)."""
        return min(self.level_p, self.scatter_p) < DOUBTFUL / 2


NO_SURPRISE: Final = Surprise(0.0, 0, 1.0, 1.0, 1.0)


def surprise(rows: Rows, covariance: Array, doubt: float = 0.0) -> Surprise:
    """How surprising readings are to the model that foresaw them.

    Parameters
    ----------
    rows : Rows [m, -, m2]
        Readings less what was foreseen, and what each is made of.
    covariance : (layers, layers) array [m2]
        Of the mean films, as foreseen.
    doubt : float [-]
        Standard deviation of the log of the factor by which all scatters may be wrong.

    Returns
    -------
    Surprise [-]
        Chi-square r' S^-1 r and chances, averaged over the factor. The part that no mean film could
        explain (generalised least squares) tells of the scatter, the rest of the level.

    Raises
    ------
    RangeError
        Readings with neither error nor scatter.

    Validity
        Normal films and errors.
    Source
        chi-square-test; its average over an unknown scatter is the prior predictive chance
        (derived).
    Checked
        tests/unit/engines/evidence/test_surprise.py, against scipy.stats and simulation.
    """
    if not rows.residual.size:
        return NO_SURPRISE
    logs = np.linspace(-4 * doubt, 4 * doubt, _NODES) if doubt > 0 else np.zeros(1)
    shares = np.exp(-0.5 * (logs / doubt) ** 2) if doubt > 0 else np.ones(1)
    parts = [_parts(rows, covariance, float(np.exp(log))) for log in logs]
    chances = np.average([_chances(*part) for part in parts], axis=0, weights=shares)
    level, scatter, _, _ = parts[len(parts) // 2]
    return Surprise(level + scatter, rows.residual.size, *(float(one) for one in chances))


def _parts(rows: Rows, covariance: Array, factor: float) -> tuple[float, float, int, int]:
    """Chi-square of level and of scatter, and the degrees of freedom of each."""
    noise = rows.errors + np.diag(factor**2 * rows.scatter)
    foreseen = rows.weights @ covariance @ rows.weights.T
    whitened = np.linalg.solve(lower_root(foreseen + noise), rows.residual)
    root = lower_root(noise)
    seen = np.linalg.solve(root, rows.weights)
    target = np.linalg.solve(root, rows.residual)
    explained, _, rank, _ = np.linalg.lstsq(seen, target, rcond=1e-9)
    total, scatter = float(whitened @ whitened), float(np.sum((target - seen @ explained) ** 2))
    return max(total - scatter, 0.0), scatter, int(rank), rows.residual.size - int(rank)


def _chances(level: float, scatter: float, rank: int, rest: int) -> tuple[float, float, float]:
    over_all = float(chdtrc(rank + rest, level + scatter))
    return over_all, float(chdtrc(rank, level)), float(chdtrc(rest, scatter)) if rest else 1.0
