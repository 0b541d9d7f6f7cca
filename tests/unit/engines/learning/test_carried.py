"""What was learned, carried into a recipe's paint, film and time."""

import numpy as np
import pytest

from coatwright.engines import learning
from coatwright.engines.learning import Observation
from coatwright.engines.spray import gun
from coatwright.errors import RangeError

PRIOR = learning.class_prior((0.0, 0.1, 0.08, 6.0), {"gun": 0.15, "product": 0.08})
COATS = ({"gun": "x", "product": "p"}, {"gun": "x", "product": "p"}, {"gun": "y", "product": "p"})


def test_film_is_flow_times_transfer_over_speed():
    """By hand: flow 1.2, speed 1.1, transfer 0.6 shifted to 0.5: paint 1.2/1.1, film that x 5/6."""
    shift = learning.logit_shift(0.5, 0.6)
    flow, speed = np.full((1, 1), np.log(1.2)), np.full((1, 1), np.log(1.1))
    found = learning.carried(flow, np.full((1, 1), shift), speed, [0.6])
    assert found.paint[0, 0] == pytest.approx(1.2 / 1.1)
    assert found.film[0, 0] == pytest.approx(1.2 / 1.1 * 0.5 / 0.6)
    assert found.trigger[0, 0] == pytest.approx(1 / 1.1)
    assert found.paint_for_film[0, 0] == pytest.approx(0.6 / 0.5)


def test_nothing_learned_leaves_the_plan():
    none = np.zeros((5, 2))
    found = learning.carried(none, none, none, [0.6, 0.5])
    assert all((part == 1.0).all() for part in found)


def test_a_learned_flow_is_the_flow_of_a_gun_tested_anew():
    """A fluid test 15 % higher, put into the gun engine, gives the factor that learning carries."""
    test = gun.FluidTest(3e-6, 2e5, 4e-5, 1.3e-3, 5e-3)
    better = test._replace(flow=test.flow * 1.15)
    ratio = gun.full_flow(better, 1.8e5, 4e-5) / gun.full_flow(test, 1.8e5, 4e-5)
    factor = learning.carried(
        np.full((1, 1), np.log(1.15)), np.zeros((1, 1)), np.zeros((1, 1)), [0.6]
    ).paint[0, 0]
    assert ratio == pytest.approx(factor, rel=0.01)


def test_coats_by_one_gun_go_wrong_together():
    """Ten coats with one new gun are hardly surer than one coat; with ten guns they even out."""
    pool = learning.pooled([], PRIOR)
    one = learning.draws(pool, [{"gun": "x", "product": "p"}] * 10)
    many = learning.draws(pool, [{"gun": str(i), "product": str(i)} for i in range(10)])
    together, apart = (learning.total([1.0] * 10, np.exp(d)) for d in (one, many))
    single = learning.total([10.0], np.exp(one[:, :1]))
    wide, narrow, alone = (f.high - f.low for f in (together, apart, single))
    assert wide > 0.8 * alone
    assert narrow < 0.7 * alone


def test_draws_are_the_same_every_time_and_centred():
    seen = [Observation(0.2, keys) for keys in COATS for _ in range(4)]
    pool = learning.pooled(seen, PRIOR)
    first, again = (learning.draws(pool, COATS, seed=7) for _ in range(2))
    assert (first == again).all()
    for column, keys in zip(first.T, COATS, strict=True):
        known = learning.foreseen(pool, keys)
        assert column.mean() == pytest.approx(learning.mean(known), abs=0.01)
        assert np.quantile(column, 0.1) == pytest.approx(learning.level(known, 0.1), abs=0.015)


def test_total_is_the_sum_of_amounts_by_their_factors():
    factors = np.array([[1.0, 1.0], [2.0, 1.0], [3.0, 1.0]])
    found = learning.total([10.0, 5.0], factors, 0.5)
    assert (found.middle, found.mean) == (25.0, 25.0)
    assert (found.low, found.high) == (20.0, 30.0)


@pytest.mark.parametrize(
    "refused",
    [
        lambda: learning.carried(np.zeros((3, 1)), np.zeros((3, 1)), np.zeros((3, 1)), [1.0]),
        lambda: learning.carried(np.zeros((3, 1)), np.zeros((2, 1)), np.zeros((3, 1)), [0.5]),
        lambda: learning.carried(np.zeros((3, 1)), np.zeros((3, 1)), np.zeros((3, 1)), [0.5, 0.5]),
        lambda: learning.total([1.0, 2.0], np.ones((3, 1))),
        lambda: learning.total([1.0], np.ones((3, 1)), 1.0),
    ],
)
def test_refused(refused):
    with pytest.raises(RangeError):
        refused()
