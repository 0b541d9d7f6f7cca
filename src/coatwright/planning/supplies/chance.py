"""Sums of uncertain amounts: parts with 10, 50 and 90 % points, some of them erring together."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from statistics import NormalDist
from typing import Final

import numpy as np
from numpy.typing import NDArray
from scipy.special import ndtri
from scipy.stats import qmc

Float = NDArray[np.float64]

POINTS: Final = 12
"""Power of two of the points a sum is drawn at: 4096."""
SEED: Final = 20
Z90: Final = NormalDist().inv_cdf(0.9)
FLOOR: Final = 1e-9
"""Least share of the likely amount that its 10 % point is taken for, so that it has a logarithm."""


@dataclass(frozen=True, slots=True)
class Part:
    """One amount by its 10, 50 and 90 % points; parts of one group err together in part."""

    key: str
    low: float
    likely: float
    high: float
    group: str = ""

    def __post_init__(self) -> None:
        if not 0 <= self.low <= self.likely <= self.high:
            raise ValueError(f"{self.key}: {self.low} <= {self.likely} <= {self.high} is not so")


@dataclass(frozen=True, slots=True)
class Joint:
    """What the parts come to: draws of the sum, sorted, and each part's share of its variance."""

    draws: Float
    shares: Mapping[str, float]

    def point(self, chance: float) -> float:
        """What the sum stays under with that chance."""
        return float(np.quantile(self.draws, chance))


def joint(parts: Sequence[Part], common: Mapping[str, float]) -> Joint:
    """The sum of the parts.

    Each part is a lognormal in two halves, so that it has exactly its 10, 50 and 90 % points. In a
    group the share `common` of the variance (of the normal score) is the same for all its parts;
    groups, and parts of no group, err apart. The share of a part is its covariance with the sum
    over the variance of the sum: the shares add up to one.
    """
    groups = sorted({part.group for part in parts if part.group})
    drawn_at = scores(len(groups) + len(parts))
    drawn = np.empty((len(parts), drawn_at.shape[1]))
    for index, part in enumerate(parts):
        own = drawn_at[len(groups) + index]
        together = common.get(part.group, 0.0) if part.group else 0.0
        if together > 0:
            shared = drawn_at[groups.index(part.group)]
            own = np.sqrt(together) * shared + np.sqrt(1 - together) * own
        drawn[index] = _amounts(part, own)
    total = drawn.sum(axis=0)
    variance = float(total.var())
    shares = {
        part.key: float(np.cov(row, total, bias=True)[0, 1]) / variance if variance > 0 else 0.0
        for part, row in zip(parts, drawn, strict=True)
    }
    return Joint(np.sort(total), shares)


def _amounts(part: Part, score: Float) -> Float:
    if part.likely == 0:
        risen: Float = np.maximum(score, 0) * part.high / Z90
        return risen
    down = np.log(part.likely / max(part.low, FLOOR * part.likely)) / Z90
    up = np.log(part.high / part.likely) / Z90
    amounts: Float = part.likely * np.exp(np.where(score < 0, down, up) * score)
    return amounts


@cache
def scores(count: int) -> Float:
    """Normal scores of a scrambled Sobol sequence: the same at every call."""
    points = qmc.Sobol(count, seed=SEED).random_base2(POINTS)
    found: Float = ndtri(np.clip(points.T, 1e-12, 1 - 1e-12))
    return found
