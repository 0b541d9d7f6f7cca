"""A lognormal layer, against quadrature over scipy.stats.lognorm."""

import math

import numpy as np
import pytest
from scipy import stats

from coatwright.engines.evidence import Films, Layer, Measured, fuse_lognormal
from coatwright.errors import RangeError

LAYER = Layer(Measured(50.0, 20.0), 0.2)


def lognormal(mean, share):
    spread = math.sqrt(math.log1p(share**2))
    return stats.lognorm(spread, scale=np.asarray(mean) * math.exp(-(spread**2) / 2))


def on_a_grid(films=(), intervals=()):
    """Level by summing prior x likelihood; spots lognormal around the level with share 0.2."""
    level = np.linspace(1, 250, 4000)
    chance = lognormal(50.0, 0.4).pdf(level)
    spots = lognormal(level, 0.2)
    for film in films:
        chance *= spots.pdf(film)
    for low, high in intervals:
        chance *= spots.cdf(high) - spots.cdf(low)
    chance /= chance.sum()
    mean = chance @ level
    return mean, math.sqrt(chance @ (level - mean) ** 2)


def test_readings_without_error():
    films = np.array([60.0, 82.0, 65.0])
    found = fuse_lognormal(LAYER, Films(films, np.eye(3) * 1e-9)).layer
    assert found.level == pytest.approx(on_a_grid(films), rel=1e-4)
    assert found.share_spread == pytest.approx(0.2)


def test_intervals():
    intervals = [(0.0, 40.0), (40.0, 60.0), (60.0, math.inf)]
    found = fuse_lognormal(LAYER, intervals=intervals).layer
    # Back from the logarithm as if its posterior were normal, which intervals leave it nearly.
    assert found.level == pytest.approx(on_a_grid(intervals=intervals), rel=0.01)


def test_nothing_read():
    found = fuse_lognormal(LAYER)
    assert found.layer.level == pytest.approx(LAYER.level)
    assert found.surprise.p == 1.0


def test_error_of_the_gauge_leaves_more_doubt():
    films = np.array([60.0, 82.0, 65.0])
    sure = fuse_lognormal(LAYER, Films(films, np.eye(3) * 0.01)).layer
    unsure = fuse_lognormal(LAYER, Films(films, np.eye(3) * 0.01 + 100.0)).layer
    assert sure.level.spread < unsure.level.spread < LAYER.level.spread


def test_doubt_of_the_scatter_is_settled():
    films = np.array([60.0, 63.0, 61.0, 62.0, 60.5, 61.5, 62.5, 60.2])
    found = fuse_lognormal(LAYER._replace(doubt=0.5), Films(films, np.eye(8) * 0.01)).layer
    assert found.share_spread < 0.1
    assert found.doubt < 0.5


def test_refuses_what_has_no_logarithm():
    with pytest.raises(RangeError) as caught:
        fuse_lognormal(LAYER, Films(np.array([50.0, 0.0]), np.eye(2)))
    assert caught.value.sentence == "a film that is not above 0; use the normal law"
