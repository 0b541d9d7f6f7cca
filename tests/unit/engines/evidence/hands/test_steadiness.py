"""A hand from all that was measured of it, against hands simulated as the plan simulates them."""

import math

import numpy as np
import pytest
from scipy import stats

from coatwright.engines.evidence import (
    HandFound,
    Range,
    Seen,
    hand_from_weights,
    seen_in_board,
    seen_in_strokes,
    seen_in_weights,
    steadiness,
    unevenness,
)
from coatwright.engines.learning import prior, spread_interval, steadier
from coatwright.errors import RangeError

HAND = 0.2
"""Whole spread of speed; half of its variance is common to a coat (engines.spray.hand_films)."""


def coats(rng, count, strokes, hand=HAND):
    """Speeds of the strokes of several coats, against those asked for."""
    part = hand / math.sqrt(2)
    return np.exp(rng.normal(0, part, (count, 1)) + rng.normal(0, part, (count, strokes)))


def test_held_alone_is_held_still():
    found = steadiness(Seen(0.2, 6.0), [])
    low, high = 6 * 0.04 / stats.chi2(6).ppf([0.9, 0.1])
    assert found.spread == pytest.approx((0.2, math.sqrt(low), math.sqrt(high)))
    assert found.freedom == 6.0


def test_it_is_the_posterior_that_learning_has_of_a_spread():
    """Deviations with the same sum of squares teach the learning engine the same."""
    deviations = [0.1, -0.2, 0.15, 0.05]
    squares = sum(one**2 for one in deviations)
    held = steadier(prior(0.0, 1.0, 0.2, 6.0), deviations)
    found = steadiness(Seen(0.2, 6.0), [Seen(math.sqrt(squares / 4), 4.0)])
    assert found.spread.value == pytest.approx(held.spread)
    assert (found.spread.low, found.spread.high) == pytest.approx(spread_interval(held))


@pytest.mark.parametrize("count", [1, 4])
def test_timed_strokes_lead_from_a_wrong_guess_to_the_hand(count):
    """A hand of 20 % held for 10 %: each coat of 12 strokes draws it nearer; bounds then hold."""
    rng = np.random.default_rng(7)
    found = []
    for _ in range(1500):
        times = 2.0 / coats(rng, count, 12)
        seen = seen_in_strokes(unevenness(list(times), [2.0] * count, 0.0))
        found.append(steadiness(Seen(0.1, 3.0), seen))
    mean = math.sqrt(np.mean([one.spread.value**2 for one in found]))
    # Variances add by their degrees of freedom: 3 of the guess, 11 of each coat, 1 between two.
    freedom = 11 * count + (count - 1)
    known = (3 * 0.1**2 + freedom * HAND**2) / (3 + freedom)
    assert mean == pytest.approx(math.sqrt(known), rel=0.05)
    assert found[0].freedom == 3 + freedom


def test_bounds_hold_four_times_in_five_for_hands_as_they_are_held():
    """Hands drawn from what is held before (scaled inverse chi-square) and then timed."""
    rng = np.random.default_rng(8)
    held = 0
    for _ in range(2000):
        hand = 0.2 * math.sqrt(6 / rng.chisquare(6))
        times = 2.0 / coats(rng, 1, 10, hand)
        seen = seen_in_strokes(unevenness(list(times), [2.0], 0.0))
        low, high = steadiness(Seen(0.2, 6.0), seen).spread[1:]
        held += low <= hand <= high
    assert held / 2000 == pytest.approx(0.8, abs=0.03)


def test_weighed_boards_show_the_whole_hand():
    """Boards of 6 strokes: their means vary by the half common to a coat and the rest over 6."""
    rng = np.random.default_rng(9)
    squares = []
    for _ in range(3000):
        films = (1 / coats(rng, 5, 6, 0.1)).mean(axis=1)
        found = hand_from_weights(films, 0.0, 6)
        squares.append(seen_in_weights(found.value, 5, 6).spread ** 2)
    assert math.sqrt(np.mean(squares)) == pytest.approx(0.1, rel=0.05)
    assert seen_in_weights(0.1, 5, 6).freedom == 4


def test_a_board_shows_the_half_that_is_new_at_each_stroke():
    found = HandFound(Range(0.1, 0.05, 0.2), Range(0.0, 0.0, 0.1), 3.5)
    assert seen_in_board(found) == pytest.approx((0.1 * math.sqrt(2), 3.5))
    # Three coats of such strokes vary by the same over the root of three.
    assert seen_in_board(found, 3) == pytest.approx((0.1 * math.sqrt(6), 3.5))


def test_what_makes_no_hand_is_refused():
    with pytest.raises(RangeError):
        steadiness(Seen(0.2, 0.0), [])
    with pytest.raises(RangeError):
        steadiness(Seen(0.2, 6.0), [Seen(-0.1, 3.0)])
    with pytest.raises(RangeError):
        seen_in_weights(0.1, 1, 6)
