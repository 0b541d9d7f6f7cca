"""A shop's readings: pooled in part, the same in any order, honest about strangers."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from coatwright.engines import learning
from coatwright.engines.learning import Observation
from coatwright.errors import RangeError

PRIOR = learning.class_prior((0.0, 0.1, 0.1, 6.0), {"painter": 0.1, "gun": 0.15})
GROUPS = ("painter", "gun")


def reading(value: float, painter: str, gun: str, worth: float = 1.0) -> Observation:
    return Observation(value, {"painter": painter, "gun": gun}, worth)


READINGS = st.lists(
    st.builds(
        reading,
        st.floats(-1.0, 1.0),
        st.sampled_from("abc"),
        st.sampled_from("xyz"),
        st.floats(0.2, 5.0),
    ),
    max_size=12,
)


def told(pool: learning.Pool) -> list[float]:
    cells = ({"painter": "a", "gun": "x"}, {"painter": "a", "gun": "new"}, {})
    return [end for cell in cells for end in learning.interval(learning.believed(pool, cell))]


@settings(max_examples=25, deadline=None)
@given(READINGS, st.integers(0, 12))
def test_tallies_add_up_to_all_readings_at_once(readings, cut):
    first, rest = (learning.tally(part, GROUPS) for part in (readings[:cut], readings[cut:]))
    summed = learning.pooled(learning.together(first, rest), PRIOR)
    at_once = learning.pooled(readings, PRIOR)
    assert told(summed) == pytest.approx(told(at_once), abs=1e-9)
    assert summed.evidence == pytest.approx(at_once.evidence, abs=1e-9)


@settings(max_examples=15, deadline=None)
@given(READINGS, st.randoms())
def test_their_order_does_not_matter(readings, chance):
    mixed = list(readings)
    chance.shuffle(mixed)
    assert told(learning.pooled(mixed, PRIOR)) == pytest.approx(
        told(learning.pooled(readings, PRIOR)), abs=1e-9
    )


def test_without_readings_the_class_is_what_is_known():
    pool = learning.pooled([], PRIOR)
    anyone = learning.believed(pool, {"painter": "a", "gun": "x"})
    assert learning.mean(anyone) == 0.0
    # class centre, painter and gun at their median spreads, by rough sum of squares
    assert learning.deviation(anyone) == pytest.approx(0.25, rel=0.4)


def test_readings_of_one_painter_draw_the_other_only_in_part():
    rng = np.random.default_rng(2)
    seen = [reading(v, "a", g) for g in "xy" for v in rng.normal(0.3, 0.05, 12)]
    pool = learning.pooled(seen, PRIOR)
    own = learning.mean(learning.believed(pool, {"painter": "a", "gun": "x"}))
    other = learning.mean(learning.believed(pool, {"painter": "b", "gun": "x"}))
    stranger = learning.mean(learning.believed(pool, {"painter": "b", "gun": "z"}))
    assert own == pytest.approx(0.3, abs=0.03)
    assert 0.02 < stranger < other < own


def test_a_stranger_is_less_sure_than_one_who_was_met():
    seen = [reading(v, p, "x") for p in "ab" for v in (0.1, 0.15, 0.12)]
    pool = learning.pooled(seen, PRIOR)
    met, stranger = (learning.believed(pool, {"painter": p, "gun": "x"}) for p in ("a", "new"))
    assert learning.deviation(met) < learning.deviation(stranger)
    effect = learning.effect(pool, "painter", "new")
    assert learning.mean(effect) == 0.0


def test_few_readings_shrink_more_than_many():
    few = learning.pooled([reading(0.4, "a", "x")], PRIOR)
    many = learning.pooled([reading(0.4, "a", "x")] * 20, PRIOR)
    cell = {"painter": "a", "gun": "x"}
    first, last = (learning.mean(learning.believed(pool, cell)) for pool in (few, many))
    assert 0.0 < first < last < 0.4
    assert learning.readings_worth(few, cell) < learning.readings_worth(many, cell)


def test_guns_that_differ_are_seen_to_differ():
    rng = np.random.default_rng(5)
    means = {"x": -0.4, "y": 0.0, "z": 0.4}
    apart = [reading(rng.normal(m, 0.05), "a", g) for g, m in means.items() for _ in range(10)]
    alike = [reading(rng.normal(0.0, 0.05), "a", g) for g in "xyz" for _ in range(10)]
    far, near = (learning.apart(learning.pooled(r, PRIOR), "gun") for r in (apart, alike))
    assert near < 0.1 < 0.25 < far


def test_evidence_prefers_the_class_that_the_readings_came_from():
    rng = np.random.default_rng(6)
    seen = [reading(rng.normal(0.02, 0.1), p, g) for p in "ab" for g in "xy" for _ in range(5)]
    wrong = learning.class_prior((0.9, 0.1, 0.1, 6.0), {"painter": 0.1, "gun": 0.15})
    assert learning.pooled(seen, PRIOR).evidence > learning.pooled(seen, wrong).evidence + 3


def test_a_change_is_contradicted_and_more_of_the_same_is_not():
    rng = np.random.default_rng(7)
    pool = learning.pooled([reading(v, "a", "x") for v in rng.normal(0.1, 0.08, 25)], PRIOR)
    same = [reading(v, "a", "x") for v in rng.normal(0.1, 0.08, 5)]
    worn = [reading(v, "a", "x") for v in rng.normal(0.4, 0.08, 5)]
    assert learning.contradiction(pool, same) > 0.05
    assert learning.contradiction(pool, worn) < 0.001


def test_a_far_shop_contradicts_the_class():
    empty = learning.pooled([], PRIOR)
    far = [reading(1.8, p, g) for p in "ab" for g in "xy"]
    near = [reading(0.1, p, g) for p in "ab" for g in "xy"]
    assert learning.contradiction(empty, far) < 0.01
    assert learning.contradiction(empty, near) > 0.5


def test_one_blunder_is_found_and_its_cell_is_spared():
    rng = np.random.default_rng(9)
    seen = [reading(v, p, g) for p in "ab" for g in "xy" for v in rng.normal(0.1, 0.06, 5)]
    blunder = [*seen, reading(2.3, "a", "x")]
    assert [place for place, _ in learning.pool_doubtful(blunder, PRIOR)] == [20]
    assert learning.pool_doubtful(seen, PRIOR) == ()
    assert learning.left_out([], PRIOR) == ()


def test_four_groupings_are_pooled_and_five_refused():
    keys = {"a": "1", "b": "1", "c": "1", "d": "1"}
    prior = learning.class_prior((0.0, 0.1, 0.1, 6.0), dict.fromkeys("abcd", 0.1))
    found = learning.interval(
        learning.believed(learning.pooled([Observation(0.1, keys)], prior), keys)
    )
    assert found[0] < 0.1 < found[1]
    with pytest.raises(RangeError, match="groupings"):
        learning.pooled([], learning.class_prior((0.0, 0.1, 0.1, 6.0), dict.fromkeys("abcde", 0.1)))


def test_a_class_without_groupings_is_one_parameter():
    prior = learning.ClassPrior(learning.prior(0.1, 0.2, 0.15, 6.0), {})
    data = [0.31, 0.18, 0.44]
    pool = learning.pooled([Observation(v, {}) for v in data], prior)
    alone = learning.update(prior.own, data)
    assert learning.interval(learning.believed(pool, {})) == pytest.approx(
        learning.interval(learning.centre_of(alone)), abs=1e-9
    )
    assert pool.evidence == pytest.approx(learning.log_evidence(prior.own, data), abs=1e-9)


POOL = learning.pooled([reading(0.1, "a", "x")], PRIOR)


@pytest.mark.parametrize(
    "refused",
    [
        lambda: learning.pooled([Observation(0.1, {"painter": "a"})], PRIOR),
        lambda: learning.pooled([reading(float("nan"), "a", "x")], PRIOR),
        lambda: learning.pooled(learning.tally([], ("gun",)), PRIOR),
        lambda: learning.together(learning.tally([], ("gun",)), learning.tally([], GROUPS)),
        lambda: learning.class_prior((0.0, 0.1, 0.1, 6.0), {"gun": 0.0}),
        lambda: learning.effect(POOL, "booth", "a"),
        lambda: learning.apart(POOL, "booth"),
        lambda: learning.foreseen(POOL, {}, 0.0),
        lambda: learning.contradiction(POOL, []),
    ],
)
def test_refused(refused):
    with pytest.raises(RangeError):
        refused()
