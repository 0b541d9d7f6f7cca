"""Intervals in place of readings, against scipy.stats.truncnorm and adaptive quadrature."""

import math

import numpy as np
import pytest
from scipy import integrate, stats

from coatwright.engines.evidence import Measured, level_from_intervals
from coatwright.errors import RangeError

PRIOR = Measured(30.0, 8.0)


def quadrature(prior, scatter, intervals):
    """The same posterior by scipy.integrate.quad, written down separately."""

    def weight(level):
        spots = stats.norm(level, scatter)
        inside = [spots.cdf(high) - spots.cdf(low) for low, high in intervals]
        return stats.norm.pdf(level, *prior) * math.prod(inside)

    def moment(function):
        low, high = prior.mean - 8 * prior.spread, prior.mean + 8 * prior.spread
        return integrate.quad(function, low, high, epsabs=0, epsrel=1e-11, limit=300)[0]

    total = moment(weight)
    mean = moment(lambda level: level * weight(level)) / total
    variance = moment(lambda level: (level - mean) ** 2 * weight(level)) / total
    return mean, math.sqrt(variance), math.log(total)


@pytest.mark.parametrize(
    ("scatter", "intervals"),
    [
        (4.0, [(25, 50)]),
        (4.0, [(25, 50), (25, 50), (10, 25), (25, 50), (50, math.inf)]),
        (1.0, [(20, 30), (20, 30), (30, 40)]),
        (10.0, [(0, 20)] * 6),
    ],
)
def test_moments_and_chance(scatter, intervals):
    found = level_from_intervals(PRIOR, scatter, intervals)
    mean, spread, log_chance = quadrature(PRIOR, scatter, intervals)
    assert found.level == pytest.approx((mean, spread), rel=1e-8)
    assert found.log_chance == pytest.approx(log_chance, rel=1e-8)


def test_one_interval_is_a_truncated_normal_regressed_on_the_spot():
    """Spot ~ N(30, 8^2 + 4^2) cut to (35, 45); the level follows it by 64/80."""
    wide = math.sqrt(80)
    spot = stats.truncnorm((35 - 30) / wide, (45 - 30) / wide, 30, wide)
    found = level_from_intervals(PRIOR, 4.0, [(35, 45)])
    assert found.level.mean == pytest.approx(30 + 0.8 * (spot.mean() - 30), rel=1e-9)
    assert found.level.spread**2 == pytest.approx(0.64 * spot.var() + 64 * 16 / 80, rel=1e-9)


def test_hardly_any_scatter_is_the_truncated_prior():
    cut = stats.truncnorm((25 - 30) / 8, (50 - 30) / 8, 30, 8)
    found = level_from_intervals(PRIOR, 0.01, [(25, 50)])
    assert found.level == pytest.approx((cut.mean(), cut.std()), rel=1e-5)


def test_a_needle_of_an_interval_is_an_exact_reading():
    """Normal update: 30 + 64/80 (42 - 30), spread sqrt(64 16 / 80)."""
    found = level_from_intervals(PRIOR, 4.0, [(42 - 1e-7, 42 + 1e-7)])
    assert found.level == pytest.approx((39.6, math.sqrt(12.8)), rel=1e-9)
    expected = stats.norm.logpdf(42, 30, math.sqrt(80)) + math.log(2e-7)
    assert found.log_chance == pytest.approx(expected, rel=1e-8)


def test_far_from_the_prior_it_does_not_break_down():
    """Twenty prior spreads away: one interval is still the regression above."""
    wide = math.sqrt(80)
    spot = stats.truncnorm((200 - 30) / wide, (220 - 30) / wide, 30, wide)
    found = level_from_intervals(PRIOR, 4.0, [(200, 220)])
    assert found.level.mean == pytest.approx(30 + 0.8 * (spot.mean() - 30), rel=1e-6)


def test_the_unit_of_length_does_not_matter():
    small = level_from_intervals(Measured(30e-6, 8e-6), 4e-6, np.array([(25, 50)]) * 1e-6)
    large = level_from_intervals(PRIOR, 4.0, [(25, 50)])
    assert small.level == pytest.approx(np.multiply(large.level, 1e-6), rel=1e-12)
    assert small.log_chance == pytest.approx(large.log_chance, rel=1e-12)


@pytest.mark.parametrize(
    ("use", "sentence"),
    [
        (
            lambda: level_from_intervals(PRIOR, 4.0, [(3.0, 3.0)]),
            "intervals whose bounds do not rise; give the lower one first",
        ),
        (
            lambda: level_from_intervals(PRIOR, 4.0, []),
            "intervals whose bounds do not rise; give the lower one first",
        ),
        (
            lambda: level_from_intervals(PRIOR, 0.0, [(1.0, 2.0)]),
            "a scatter of 0; it must be above 0",
        ),
        (
            lambda: level_from_intervals(Measured(1.0, 0.0), 1.0, [(1.0, 2.0)]),
            "a spread of the prior of 0; it must be above 0",
        ),
    ],
)
def test_refused(use, sentence):
    with pytest.raises(RangeError) as caught:
        use()
    assert caught.value.sentence == sentence
