"""Stopwatch: fluid and strokes, against simulation and scipy.stats."""

import math

import numpy as np
import pytest
from scipy import stats

from coatwright.engines import evidence
from coatwright.engines.evidence import Measured
from coatwright.errors import RangeError


def held(ranges, truth):
    """How often the bounds hold the truth."""
    low, high = np.array([one.low for one in ranges]), np.array([one.high for one in ranges])
    return float(((low <= truth) & (truth <= high)).mean())


def test_bounds_hold_four_times_in_five():
    rng = np.random.default_rng(1)
    draws = rng.normal(0, math.hypot(3.0, 1.0), (4000, 8))
    found = [evidence.true_spread(row.var(ddof=1), 7, 1.0) for row in draws]
    assert held(found, 3.0) == pytest.approx(0.8, abs=0.02)
    squares = [one.value**2 for one in found]
    assert np.mean(squares) == pytest.approx(9.0, rel=0.03)


def test_interval_of_a_plain_variance():
    low, high = 5 * 4.0 / stats.chi2(5).ppf([0.9, 0.1])
    found = evidence.true_spread(4.0, 5, 0.0)
    assert found == pytest.approx((2.0, math.sqrt(low), math.sqrt(high)))


def test_error_that_explains_all_leaves_nothing():
    assert evidence.true_spread(1.0, 5, 4.0) == (0.0, 0.0, 0.0)


def test_one_run_of_fluid_has_the_error_of_cup_and_watch():
    """100 mL to 5 mL in 20 s: 5/sqrt(12) % and 0.5 %."""
    found = evidence.fluid_flow([100e-6], [20.0], 5e-6)
    assert found.mean == pytest.approx(5e-6)
    assert found.share == pytest.approx(math.hypot(0.05 / math.sqrt(12), 0.005))


def test_runs_that_differ_say_more_than_cup_and_watch():
    runs = [90e-6, 100e-6, 110e-6]
    found = evidence.fluid_flow(runs, [20.0] * 3, 1e-6)
    assert found.spread == pytest.approx(stats.sem(np.array(runs) / 20))


def test_runs_that_agree_do_not_say_less():
    one = evidence.fluid_flow([100e-6], [20.0], 5e-6)
    four = evidence.fluid_flow([100e-6] * 4, [20.0] * 4, 5e-6)
    assert four.spread == pytest.approx(one.spread / 2)


def strokes(rng, spread, count):
    """Times over 2 m at 0.4 m/s by an uneven hand and a hand-held watch of 0.1 s."""
    return 2.0 / (0.4 * (1 + rng.normal(0, spread, count))) + rng.normal(0, 0.1, count)


def test_speed_and_spread_of_strokes():
    rng = np.random.default_rng(2)
    found = evidence.stroke_speed(strokes(rng, 0.1, 400), 2.0)
    assert found.speed.mean == pytest.approx(0.4, abs=4 * found.speed.spread)
    assert found.spread.value == pytest.approx(0.1, rel=0.1)
    assert found.spread.low < 0.1 < found.spread.high


def test_bounds_of_a_few_strokes_hold():
    rng = np.random.default_rng(3)
    found = [evidence.stroke_speed(strokes(rng, 0.1, 10), 2.0).spread for _ in range(2000)]
    assert held(found, 0.1) == pytest.approx(0.8, abs=0.03)


def test_a_steady_hand_is_not_blamed_for_the_watch():
    rng = np.random.default_rng(4)
    found = evidence.stroke_speed(strokes(rng, 0.0, 200), 2.0)
    assert found.spread.value < 0.01


def test_speed_from_film_against_simulation():
    rng = np.random.default_rng(5)
    film, flow = Measured(19e-6, 1e-6), Measured(3.3e-6, 1e-7)
    transfer, solids = Measured(0.65, 0.03), Measured(0.5, 0.01)
    drawn = [rng.normal(one.mean, one.spread, 200_000) for one in (film, flow, transfer, solids)]
    speeds = drawn[1] * drawn[2] * drawn[3] / (drawn[0] * 0.125)
    found = evidence.speed_from_film(film, flow, transfer, solids, 0.125)
    assert found == pytest.approx((speeds.mean(), speeds.std()), rel=0.02)


@pytest.mark.parametrize(
    ("use", "sentence"),
    [
        (
            lambda: evidence.fluid_flow([1.0, 1.0], [1.0], 0.0),
            "2 volumes and 1 times; give one time for each volume",
        ),
        (lambda: evidence.fluid_flow([1.0], [0.0], 0.0), "a time of 0; it must be above 0"),
        (
            lambda: evidence.stroke_speed([1.0, 2.0], 1.0),
            "2 times; at least 3 in one row are needed",
        ),
        (
            lambda: evidence.true_spread(-1.0, 3, 0.0),
            "a variance of -1; it must be 0 or more",
        ),
    ],
)
def test_refused(use, sentence):
    with pytest.raises(RangeError) as caught:
        use()
    assert caught.value.sentence == sentence
