"""Whether readings contradict the prediction: chi-square under what was foreseen."""

from typing import Final, NamedTuple

import numpy as np
from numpy.typing import NDArray
from scipy.special import chdtrc

from coatwright.engines.evidence.fusing._rows import Rows, Said, narrowed, said, turned

Array = NDArray[np.float64]

DOUBTFUL: Final = 0.01
"""Chance below which readings are said to contradict the model."""
_NODES: Final = 41


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
    diagonal = turned(rows)
    parts = [_parts(said(diagonal, float(np.exp(log))), covariance) for log in logs]
    count = rows.residual.size
    chances = np.average([_chances(*part, count) for part in parts], axis=0, weights=shares)
    level, scatter, _ = parts[len(parts) // 2]
    return Surprise(level + scatter, count, *(float(one) for one in chances))


def _parts(found: Said, covariance: Array) -> tuple[float, float, int]:
    """Chi-square of level and of scatter, and how many levels the readings can tell apart."""
    total = found.square - found.push @ narrowed(covariance, found)[0] @ found.push
    scale = np.sqrt(np.diag(covariance))
    strengths, ways = np.linalg.eigh(found.information * np.outer(scale, scale))
    told = strengths > 1e-9 * strengths.max()
    explained = np.sum((ways.T @ (scale * found.push))[told] ** 2 / strengths[told])
    scatter = max(float(found.square - explained), 0.0)
    return max(float(total) - scatter, 0.0), scatter, int(told.sum())


def _chances(level: float, scatter: float, rank: int, count: int) -> tuple[float, float, float]:
    rest = count - rank
    over_all = float(chdtrc(count, level + scatter))
    return over_all, float(chdtrc(rank, level)), float(chdtrc(rest, scatter)) if rest else 1.0
