"""What a job will have come to when it is done: hours spent so far correct those still to come.

The estimate gives every kind of work its 10, 50 and 90 % points; kinds share part of what makes
them uncertain (cost.COMMON). Work done so far, at the share of it that is done, is a reading of the
same factor with a noise of its own; Gaussian conditioning of the normal scores carries it to the
rest of that kind and, through what they share, to the other kinds.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from coatwright.errors import RangeError
from coatwright.planning.supplies.chance import Z90, scores

Float = NDArray[np.float64]

NOISE: Final = 0.25
"""Relative standard deviation of the hours of one tenth of a kind of work about its own pace
(assumption); it falls with the root of the share done."""
SLICE: Final = 0.1
LEAST: Final = 1e-9


@dataclass(frozen=True, slots=True)
class Progress:
    """One kind of work: points of the estimate, spent so far (same unit), share done (0 to 1)."""

    key: str
    low: float
    likely: float
    high: float
    spent: float = 0.0
    done: float = 0.0

    def __post_init__(self) -> None:
        if not 0 < self.low <= self.likely <= self.high:
            raise RangeError(
                f"{self.key}: {self.low:g}, {self.likely:g} and {self.high:g} are no 10, 50 and "
                "90 % points",
                instead="they rise and lie above 0",
            )
        if self.spent < 0 or not 0 <= self.done <= 1:
            raise RangeError(
                f"{self.key}: spent {self.spent:g} at a share of {self.done:g} done",
                instead="nothing spent is negative, and a share lies between 0 and 1",
            )


@dataclass(frozen=True, slots=True)
class Ahead:
    """One kind of work when all is done: 10, 50 and 90 % points; pace: against the estimate."""

    key: str
    low: float
    likely: float
    high: float
    pace: float


@dataclass(frozen=True, slots=True)
class Completion:
    """Every kind when all is done, and draws of their sum for the points of the whole."""

    kinds: tuple[Ahead, ...]
    draws: Float

    def point(self, chance: float) -> float:
        """What the whole stays under with that chance."""
        return float(np.quantile(self.draws, chance))


def completion(
    rows: Sequence[Progress], common: float, weights: Mapping[str, float] | None = None
) -> Completion:
    """What every kind of work, and all together, come to at the end.

    common: share of the variance of the scores that all kinds have in common; weights: money for
    one unit of each kind (1 if not given), for the sum.
    """
    mean, spread = _conditioned(rows, common)
    drawn = mean[:, None] + _root(spread) @ scores(len(rows))
    kinds, total = [], np.zeros(drawn.shape[1])
    for row, line in zip(rows, drawn, strict=True):
        ends = row.spent + (1 - row.done) * row.likely * _factor(row, line)
        low, likely, high = (float(np.quantile(ends, chance)) for chance in (0.1, 0.5, 0.9))
        kinds.append(Ahead(row.key, low, likely, high, likely / row.likely))
        total += ends * (weights or {}).get(row.key, 1.0)
    return Completion(tuple(kinds), np.sort(total))


def _conditioned(rows: Sequence[Progress], common: float) -> tuple[Float, Float]:
    """Mean and covariance of the scores, given what has been spent."""
    count = len(rows)
    prior = np.full((count, count), common) + (1 - common) * np.eye(count)
    read = [i for i, row in enumerate(rows) if row.done > 0 and row.spent > 0]
    if not read:
        return np.zeros(count), prior
    seen = np.array([_score(rows[i]) for i in read])
    noise = np.diag([_noise(rows[i]) for i in read])
    across = prior[:, read]
    gain = np.linalg.solve(prior[np.ix_(read, read)] + noise, across.T).T
    return gain @ seen, prior - gain @ across.T


def _widths(row: Progress) -> tuple[float, float]:
    """Standard deviation of the logarithm below and above the likely value."""
    down = max(np.log(row.likely / row.low) / Z90, LEAST)
    up = max(np.log(row.high / row.likely) / Z90, LEAST)
    return float(down), float(up)


def _score(row: Progress) -> float:
    down, up = _widths(row)
    log = float(np.log(row.spent / (row.done * row.likely)))
    return log / (up if log > 0 else down)


def _noise(row: Progress) -> float:
    """Variance of the score that was read: less the more of the work is done."""
    down, up = _widths(row)
    width = up if row.spent > row.done * row.likely else down
    return NOISE**2 * SLICE / row.done / width**2


def _factor(row: Progress, score: Float) -> Float:
    down, up = _widths(row)
    factor: Float = np.exp(np.where(score < 0, down, up) * score)
    return factor


def _root(matrix: Float) -> Float:
    """A square root of a covariance, also where some of it has shrunk to nothing."""
    values, vectors = np.linalg.eigh((matrix + matrix.T) / 2)
    root: Float = vectors * np.sqrt(np.clip(values, 0, None))
    return root
