"""Dry gauge and wet comb, against simulation and scipy.stats."""

import math

import numpy as np
import pytest
from scipy import stats

from coatwright.engines import evidence
from coatwright.engines.evidence import Gauge, Ground
from coatwright.errors import RangeError

UM = 1e-6
GAUGE = Gauge(1 * UM, 0.03)


def test_limits_become_the_spread_of_a_rectangle():
    assert evidence.standard_of_limits(3.0) == pytest.approx(stats.uniform(-3, 6).std())


def test_mean_and_its_standard_error():
    values = [51.0, 55.0, 48.0, 57.0]
    found = evidence.mean_of(values)
    assert found == pytest.approx((np.mean(values), stats.sem(values)))
    assert found.share == pytest.approx(found.spread / found.mean)
    assert evidence.Measured(0.0, 1.0).share == math.inf


def simulated(draws, films, ground, rng):
    """What the gauge shows if its limits, its calibration and its ground are as assumed."""
    fixed = rng.uniform(-GAUGE.fixed, GAUGE.fixed, (draws, films.size))
    share = rng.uniform(-GAUGE.share, GAUGE.share, (draws, 1))
    zero = rng.normal(ground.zero, ground.zero_spread, (draws, 1))
    filler = rng.normal(ground.filler, ground.filler_spread, (draws, 1))
    return zero + (films + filler) * (1 + share) + fixed


def test_covariance_is_that_of_simulated_readings():
    rng = np.random.default_rng(1)
    films = np.array([60.0, 100.0, 140.0]) * UM
    ground = Ground(8 * UM, 2 * UM, 50 * UM, 10 * UM)
    shown = simulated(200_000, films, ground, rng)
    true = evidence.films_from_gauge(shown.mean(axis=0), GAUGE, ground)
    assert true.films == pytest.approx(films, abs=0.2 * UM)
    found = np.cov(shown.T)
    # Filler read with a wrong calibration is the one product of two errors that is left out.
    assert true.covariance == pytest.approx(found, rel=0.04)


def test_difference_drops_ground_and_calibration_of_what_was_there():
    rng = np.random.default_rng(2)
    old, new = np.array([90.0, 110.0]) * UM, np.array([50.0, 60.0]) * UM
    draws = 200_000
    share = rng.uniform(-GAUGE.share, GAUGE.share, (draws, 1))
    zero = rng.normal(8 * UM, 3 * UM, (draws, 1))
    fixed = rng.uniform(-GAUGE.fixed, GAUGE.fixed, (draws, 2, 2))
    before = zero + old * (1 + share) + fixed[:, 0]
    now = zero + (old + new) * (1 + share) + fixed[:, 1]
    found = evidence.layer_by_difference(now.mean(axis=0), before.mean(axis=0), GAUGE)
    assert found.films == pytest.approx(new, abs=0.1 * UM)
    assert found.covariance == pytest.approx(np.cov((now - before).T), rel=0.03)


def test_zero_of_a_ground():
    zeros = np.array([6.0, 9.0, 12.0]) * UM
    found = evidence.ground_of(zeros, GAUGE)
    assert found == pytest.approx((9 * UM, stats.sem(zeros), 0.0, 0.0))
    single = evidence.ground_of([9 * UM], GAUGE)
    assert single == pytest.approx((9 * UM, 1 * UM / math.sqrt(3), 0.0, 0.0))


def test_one_common_error_is_not_averaged_away():
    """100 readings of 100 um: 3 % of calibration stays, 1.73 um; the fixed part is a tenth."""
    films = evidence.films_from_gauge(np.full(100, 100 * UM), GAUGE)
    mean = math.sqrt(films.covariance.mean())
    assert mean == pytest.approx(math.hypot(3 / math.sqrt(3), 0.1 / math.sqrt(3)) * UM, rel=1e-6)


@pytest.mark.parametrize(
    ("principle", "base", "seen"),
    [
        ("magnetic", "steel", ("paint",)),
        ("magnetic", "galvanised steel", ("zinc", "paint")),
        ("magnetic", "filler on steel", ("filler", "paint")),
        ("magnetic", "aluminium", ()),
        ("eddy current", "aluminium", ("paint",)),
        ("eddy current", "steel", ()),
        ("eddy current", "plastic", ()),
    ],
)
def test_what_a_gauge_sees(principle, base, seen):
    assert evidence.gauge_sees(principle, base) == seen


def test_comb_between_two_teeth():
    teeth = [25 * UM, 50 * UM, 75 * UM, 100 * UM]
    found = evidence.comb_intervals([50 * UM, 0.0, 100 * UM], teeth)
    assert found.tolist() == [
        [50 * UM, 75 * UM],
        [0.0, 25 * UM],
        [100 * UM, math.inf],
    ]
    dry = evidence.dry_intervals(found, 0.4)
    assert dry[0] == pytest.approx([20 * UM, 30 * UM])
    assert dry[2, 1] == math.inf


@pytest.mark.parametrize(
    ("use", "sentence"),
    [
        (
            lambda: evidence.layer_by_difference([1.0, 2.0], [1.0], GAUGE),
            "2 readings and 1 before; read the same spots both times",
        ),
        (
            lambda: evidence.comb_intervals([60 * UM], [50 * UM, 75 * UM]),
            "a tooth that the comb does not have; give one of its teeth",
        ),
        (
            lambda: evidence.comb_intervals([80 * UM], [50 * UM, 75 * UM]),
            "a tooth that the comb does not have; give one of its teeth",
        ),
        (
            lambda: evidence.dry_intervals([[1.0, 2.0]], 0.0),
            "volume solids of 0; it must be above 0 and at most 1",
        ),
        (
            lambda: evidence.films_from_gauge([50 * UM], Gauge(-1 * UM)),
            "limits of error of -1e-06; it must be 0 or more",
        ),
        (
            lambda: evidence.gauge_sees("magnetic", "wood"),
            "'wood' is not known; one of steel, galvanised steel, aluminium, filler on steel, "
            "plastic",
        ),
        (lambda: evidence.mean_of([1.0]), "1 values; at least 2 in one row are needed"),
    ],
)
def test_refused(use, sentence):
    with pytest.raises(RangeError) as caught:
        use()
    assert caught.value.sentence == sentence
