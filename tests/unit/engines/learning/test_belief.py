"""One parameter: readings one by one are readings at once, and doubt where it is due."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from coatwright.engines import learning
from coatwright.engines.learning import Belief, Prior
from coatwright.errors import RangeError

HELD = learning.prior(0.0, 0.1, 0.08, 6.0)
READING = st.floats(-2.0, 2.0)
WORTH = st.floats(0.1, 10.0)


def same(one: Belief, other: Belief) -> bool:
    return one == pytest.approx(other, rel=1e-9, abs=1e-12)


@given(st.lists(st.tuples(READING, WORTH), max_size=12), st.integers(0, 12))
def test_readings_one_by_one_teach_what_they_teach_at_once(readings, cut):
    data, worths = [r for r, _ in readings], [w for _, w in readings]
    first = learning.update(HELD, data[:cut], worths[:cut])
    assert same(
        learning.update(first, data[cut:], worths[cut:]), learning.update(HELD, data, worths)
    )


@given(st.lists(READING, min_size=1, max_size=8), st.randoms())
def test_their_order_does_not_matter(data, chance):
    mixed = list(data)
    chance.shuffle(mixed)
    assert same(learning.update(HELD, mixed), learning.update(HELD, data))


@given(st.lists(READING, max_size=8), st.integers(0, 8))
def test_evidence_adds_up(data, cut):
    first = learning.update(HELD, data[:cut])
    parts = learning.log_evidence(HELD, data[:cut]) + learning.log_evidence(first, data[cut:])
    assert parts == pytest.approx(learning.log_evidence(HELD, data), abs=1e-8)


def test_a_reading_of_worth_two_is_two_readings_of_the_same_value_but_for_the_spread():
    once = learning.update(HELD, [0.2], [2.0])
    twice = learning.update(HELD, [0.2, 0.2])
    assert (once.centre, once.strength) == pytest.approx((twice.centre, twice.strength))
    assert once.degrees == twice.degrees - 1


def test_no_readings_leave_what_was_held():
    assert same(learning.update(HELD, []), Belief(*HELD, 0))


def test_more_readings_narrow_the_interval():
    widths = []
    for count in (0, 1, 4, 16, 64):
        low, high = learning.interval(learning.centre_of(learning.update(HELD, [0.1, 0.2] * count)))
        widths.append(high - low)
    assert widths == sorted(widths, reverse=True)
    assert widths[-1] < 0.25 * widths[0]


def test_the_belief_lies_between_the_class_and_the_readings():
    held = learning.update(HELD, [0.3, 0.3, 0.3])
    assert 0.0 < held.centre < 0.3


def test_the_next_reading_is_less_sure_than_the_parameter():
    held = learning.update(HELD, [0.1, 0.2, 0.15])
    inside, outside = learning.interval(learning.centre_of(held)), learning.predict(held)
    assert outside[0] < inside[0] < inside[1] < outside[1]
    mean_of_many = learning.interval(learning.coming(held, 1e6))
    assert mean_of_many == pytest.approx(inside, abs=1e-4)


def test_the_spread_is_learned():
    steady = learning.steadier(Prior(0.0, 1.0, 0.1, 5.0), [0.03, -0.02, 0.04, -0.03] * 10)
    low, high = learning.spread_interval(steady)
    assert low < 0.044 < high < 0.1
    assert steady.readings == 40


def test_surprise_is_small_where_readings_contradict_the_class_and_not_where_they_do_not():
    assert learning.surprise(HELD, [0.8, 0.9, 0.85]) < 0.001
    assert learning.surprise(HELD, [0.02, -0.05, 0.07]) > 0.3


def test_surprise_sees_a_nozzle_wear():
    rng = np.random.default_rng(4)
    before = learning.update(HELD, rng.normal(0.05, 0.06, 30).tolist())
    assert learning.surprise(before, rng.normal(0.05, 0.06, 6).tolist()) > 0.05
    assert learning.surprise(before, rng.normal(0.25, 0.06, 6).tolist()) < 0.001


def test_one_blunder_is_found_and_no_other():
    data = [0.1, 0.12, 0.05, 0.14, 1.9, 0.09]
    found = learning.doubtful(HELD, data)
    assert [place for place, _ in found] == [4]
    assert found[0][1] < 1e-4


def test_two_different_blunders_are_found_worst_first():
    data = [*np.random.default_rng(1).normal(0.1, 0.05, 20).tolist(), -3.0, 1.4]
    assert [place for place, _ in learning.doubtful(HELD, data)] == [20, 21]


def test_honest_readings_are_seldom_doubted():
    """A chance of 5 % to doubt any, over 400 shops drawn from what is held: three standard errors
    of the count are 3 %."""
    rng, doubted = np.random.default_rng(8), 0
    for _ in range(400):
        spread = HELD.spread * math.sqrt(HELD.degrees / rng.chisquare(HELD.degrees))
        centre = rng.normal(HELD.centre, spread / math.sqrt(HELD.strength))
        doubted += bool(learning.doubtful(HELD, rng.normal(centre, spread, 8).tolist(), 0.05))
    assert 0.02 <= doubted / 400 <= 0.08


@pytest.mark.parametrize(
    ("function", "arguments"),
    [
        (learning.prior, (0.0, 0.0, 0.1, 5.0)),
        (learning.prior, (0.0, 0.1, -0.1, 5.0)),
        (learning.prior, (0.0, 0.1, 0.1, 0.0)),
        (learning.update, (HELD, [math.nan])),
        (learning.update, (HELD, [0.1], [0.0])),
        (learning.update, (HELD, [0.1], [1.0, 1.0])),
        (learning.coming, (HELD, 0.0)),
        (learning.predict, (HELD, 1.0)),
        (learning.spread_interval, (HELD, 0.0)),
        (learning.surprise, (HELD, [])),
        (learning.single, (0.0, 0.0, 1.0)),
        (learning.level, (learning.single(0.0, 1.0, 5.0), 1.0)),
    ],
)
def test_refused(function, arguments):
    with pytest.raises(RangeError):
        function(*arguments)
