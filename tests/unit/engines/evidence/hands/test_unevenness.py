"""Strokes in sets: what is new at each stroke and what a whole set has in common."""

import math

import numpy as np
import pytest
from scipy import stats

from coatwright.engines.evidence import stroke_speed, unevenness
from coatwright.errors import RangeError

ASKED = 2.5
"""Seconds of a stroke of a metre at 0.4 m/s."""


def sets(rng, own, common, sizes, watch=0.0, asked=ASKED):
    """Times of strokes by a hand with those spreads, read by a watch with that error."""
    steps = [rng.normal(0, common) + rng.normal(0, own, size) for size in sizes]
    return [asked * np.exp(one) + rng.normal(0, watch, one.size) for one in steps]


def test_mean_squares_are_those_of_scipy():
    """F of scipy.stats.f_oneway = (1 + n common^2 / stroke^2) for sets of n strokes, no watch."""
    found = sets(np.random.default_rng(3), 0.1, 0.15, [6, 6, 6, 6])
    uneven = unevenness(found, [ASKED] * 4, timing=0.0)
    assert uneven.common is not None
    ratio = stats.f_oneway(*[np.log(one) for one in found]).statistic
    expected = 1 + 6 * (uneven.common.value / uneven.stroke.value) ** 2
    assert expected == pytest.approx(ratio)
    assert (uneven.freedom, uneven.sets_freedom) == (20, 3)


@pytest.mark.parametrize("watch", [0.0, 0.1])
def test_both_parts_are_found_again(watch):
    """Of 1500 evenings with sets of unequal size: variances right, bounds hold about 4 in 5."""
    rng = np.random.default_rng(4)
    found = [
        unevenness(sets(rng, 0.10, 0.12, [5, 8, 12, 6, 9], watch), [ASKED] * 5, watch)
        for _ in range(1500)
    ]
    stroke = np.array([one.stroke for one in found])
    common = np.array([one.common for one in found])
    assert math.sqrt(np.mean(stroke[:, 0] ** 2)) == pytest.approx(0.10, rel=0.03)
    assert math.sqrt(np.mean(common[:, 0] ** 2)) == pytest.approx(0.12, rel=0.05)
    for part, truth in ((stroke, 0.10), (common, 0.12)):
        held = np.mean((part[:, 1] <= truth) & (truth <= part[:, 2]))
        assert held == pytest.approx(0.8, abs=0.05)


def test_sets_at_different_paces_are_compared_with_what_was_asked_of_each():
    rng = np.random.default_rng(5)
    slow, quick = sets(rng, 0.05, 0.0, [400]), sets(rng, 0.05, 0.0, [400], asked=1.0)
    uneven = unevenness([*slow, *quick], [ASKED, 1.0], timing=0.0)
    assert uneven.common is not None
    assert uneven.common.value < 0.01
    assert uneven.stroke.value == pytest.approx(0.05, rel=0.1)


def test_one_set_tells_what_a_stopwatch_tells():
    """To first order; the logarithm of the speed and the speed over its mean differ by squares."""
    (times,) = sets(np.random.default_rng(6), 0.08, 0.0, [12], 0.05)
    uneven = unevenness([times], [ASKED], 0.05)
    assert uneven.common is None
    assert uneven.stroke.value == pytest.approx(
        stroke_speed(times, 1.0, 0.05).spread.value, rel=0.1
    )


@pytest.mark.parametrize(
    ("times", "asked"),
    [([], []), ([[1.0, 2.0]], []), ([[1.0], [2.0]], [1.0, 1.0]), ([[1.0, -1.0]], [1.0])],
)
def test_what_tells_nothing_is_refused(times, asked):
    with pytest.raises(RangeError):
        unevenness(times, asked)
