"""How many places to measure."""

import math

import numpy as np
import pytest
from scipy import stats

from coatwright.engines import evidence
from coatwright.errors import NotConverged, RangeError


@pytest.mark.parametrize(
    ("surface", "areas"),
    [(5.0, 1), (10.0, 1), (10.1, 2), (30.0, 3), (99.0, 3), (100.1, 4), (200.0, 4), (201.0, 5)],
)
def test_areas(surface, areas):
    assert evidence.areas_to_measure(surface) == areas
    assert evidence.pa2_sampling(surface) == (areas, 5 * areas, 15 * areas)


@pytest.mark.parametrize(
    ("surface", "spots"), [(1.0, 5), (3.0, 10), (3.1, 15), (100.0, 30), (100.1, 40), (200.1, 50)]
)
def test_iso_19840(surface, spots):
    assert evidence.iso19840_sampling(surface) == (1, spots, spots)


@pytest.mark.parametrize(("surface", "spots"), [(0.5, 1), (5.0, 1), (5.1, 2), (100.0, 20)])
def test_pspc(surface, spots):
    assert evidence.pspc_sampling(surface) == (1, spots, spots)


@pytest.mark.parametrize(
    ("spread", "within", "confidence"), [(0.15, 0.1, 0.9), (0.3, 0.1, 0.9), (0.1, 0.2, 0.8)]
)
def test_smallest_number_whose_interval_is_narrow_enough(spread, within, confidence):
    """scipy.stats.t.interval, with the spread taken as found."""

    def reach(spots):
        scale = spread / math.sqrt(spots)
        return stats.t.interval(confidence, spots - 1, 0, scale)[1]

    spots = evidence.spots_for_mean(spread, within, confidence)
    assert reach(spots) <= within
    assert spots == 2 or reach(spots - 1) > within


def test_the_mean_of_so_many_is_close_enough_so_often():
    rng = np.random.default_rng(4)
    spots = evidence.spots_for_mean(0.15, 0.1, 0.9)
    off = np.abs(rng.normal(1.0, 0.15, (20_000, spots)).mean(axis=1) - 1)
    assert (off <= 0.1).mean() >= 0.9


@pytest.mark.parametrize(
    ("use", "sentence"),
    [
        (
            lambda: evidence.areas_to_measure(0.0),
            "a surface [m2] of 0; it must be above 0",
        ),
        (
            lambda: evidence.spots_for_mean(0.1, 0.1, 1.0),
            "a confidence of 1; it must lie between 0 and 1",
        ),
        (lambda: evidence.spots_for_mean(0.0, 0.1), "a spread of 0; it must be above 0"),
    ],
)
def test_refused(use, sentence):
    with pytest.raises(RangeError) as caught:
        use()
    assert caught.value.sentence == sentence


def test_too_many_to_measure():
    with pytest.raises(NotConverged, match="more than 10000 spots needed; allow a larger error"):
        evidence.spots_for_mean(1.0, 1e-3)
