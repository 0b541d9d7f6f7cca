"""The forecast at completion, against closed forms of Gaussian conditioning."""

import math

import numpy as np
import pytest
from scipy import stats

from coatwright.errors import RangeError
from coatwright.planning.supplies.forecast import NOISE, SLICE, Progress, completion

Z = stats.norm.ppf(0.9)


def kind(key="rub", sigma=0.3, likely=100.0, spent=0.0, done=0.0):
    ends = likely * math.exp(-Z * sigma), likely * math.exp(Z * sigma)
    return Progress(key, ends[0], likely, ends[1], spent, done)


def test_before_work_begins_it_is_the_estimate():
    (found,) = completion([kind()], 0.5).kinds
    assert found.low == pytest.approx(100 * math.exp(-Z * 0.3), rel=3e-3)
    assert found.likely == pytest.approx(100.0, rel=3e-3)
    assert found.high == pytest.approx(100 * math.exp(Z * 0.3), rel=3e-3)


def test_when_all_is_done_it_is_what_was_spent():
    found = completion([kind(spent=140.0, done=1.0)], 0.5)
    assert found.kinds[0].low == found.kinds[0].high == pytest.approx(140.0)
    assert found.point(0.9) == pytest.approx(140.0)


def test_half_done_at_half_as_much_again():
    # A normal prior (sd 0.3 of the logarithm) and one reading of it: the textbook weights.
    done, spent, sigma = 0.5, 75.0, 0.3
    noise = NOISE * math.sqrt(SLICE / done)
    weight = sigma**2 / (sigma**2 + noise**2)
    mean = weight * math.log(spent / (done * 100))
    sd = math.sqrt(sigma**2 * (1 - weight))
    (found,) = completion([kind(sigma=sigma, spent=spent, done=done)], 0.5).kinds
    assert found.likely == pytest.approx(spent + 50 * math.exp(mean), rel=3e-3)
    assert found.high == pytest.approx(spent + 50 * math.exp(mean + Z * sd), rel=5e-3)


def test_a_slow_start_warns_of_the_kinds_not_begun():
    slow = kind("rub", spent=70.0, done=0.5)
    found = completion([slow, kind("mask")], 0.5)
    assert found.kinds[1].likely > 102
    apart = completion([slow, kind("mask")], 0.0)
    assert apart.kinds[1].likely == pytest.approx(100.0, rel=3e-3)


def test_two_kinds_against_dense_conditioning():
    rows = [kind("a", 0.3, 100, 60, 0.4), kind("b", 0.2, 50)]
    prior = np.array([[0.3**2, 0.5 * 0.3 * 0.2], [0.5 * 0.3 * 0.2, 0.2**2]])
    noise = NOISE**2 * SLICE / 0.4
    gain = prior[:, 0] / (prior[0, 0] + noise)
    mean = gain * math.log(60 / 40)
    left = prior - np.outer(gain, prior[0])
    found = completion(rows, 0.5)
    assert found.kinds[0].likely == pytest.approx(60 + 60 * math.exp(mean[0]), rel=3e-3)
    assert found.kinds[1].likely == pytest.approx(50 * math.exp(mean[1]), rel=3e-3)
    high = 50 * math.exp(mean[1] + Z * math.sqrt(left[1, 1]))
    assert found.kinds[1].high == pytest.approx(high, rel=8e-3)


def test_weights_turn_hours_into_money():
    plain = completion([kind()], 0.5)
    priced = completion([kind()], 0.5, {"rub": 45.0})
    assert priced.point(0.5) == pytest.approx(45 * plain.point(0.5))


def test_the_range_narrows_as_work_is_done():
    widths = []
    for done in (0.0, 0.25, 0.5, 0.75, 1.0):
        (found,) = completion([kind(spent=100 * done, done=done)], 0.5).kinds
        widths.append(found.high - found.low)
    assert widths == sorted(widths, reverse=True)
    assert widths[-1] == pytest.approx(0.0, abs=1e-9)


@pytest.mark.parametrize(("given", "words"), [({"done": 1.2}, "share"), ({"spent": -1.0}, "spent")])
def test_nonsense_is_refused(given, words):
    with pytest.raises(RangeError, match=words):
        kind(**given)
