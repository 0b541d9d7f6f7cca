"""The scales of learning: there and back, and what they refuse."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coatwright.engines import learning
from coatwright.errors import RangeError

SHARES = st.floats(0.01, 0.99)


def test_a_tenth_more():
    assert learning.log_ratio(1.1, 1.0) == pytest.approx(math.log(1.1))
    assert learning.log_ratio(2.0, 2.0) == 0.0


@given(SHARES, SHARES)
def test_a_share_moves_there_and_back(found, predicted):
    shift = learning.logit_shift(found, predicted)
    assert learning.shifted(predicted, shift) == pytest.approx(found)


@given(SHARES, st.floats(-6.0, 6.0))
def test_no_shift_leaves_the_shares(predicted, shift):
    assert 0.0 < learning.shifted(predicted, shift) < 1.0


@pytest.mark.parametrize(
    ("function", "arguments"),
    [
        (learning.log_ratio, (0.0, 1.0)),
        (learning.log_ratio, (1.0, -1.0)),
        (learning.log_ratio, (math.nan, 1.0)),
        (learning.logit_shift, (1.0, 0.5)),
        (learning.logit_shift, (0.5, 0.0)),
        (learning.shifted, (1.2, 0.0)),
    ],
)
def test_refused(function, arguments):
    with pytest.raises(RangeError):
        function(*arguments)
