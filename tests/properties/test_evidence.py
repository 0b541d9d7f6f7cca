"""What must hold for every set of readings."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from coatwright.engines import evidence
from coatwright.engines.evidence import Combed, Films, Gauge, Gauged, Measured

UM = 1e-6
GAUGE = Gauge(1 * UM, 0.03)
films = st.floats(5.0, 300.0).map(lambda value: value * UM)
several = st.lists(films, min_size=1, max_size=12)
layers = st.integers(1, 4)
shares = st.floats(0.03, 0.4)


@st.composite
def stacks(draw, doubts=(0.0,)):
    size = draw(layers)
    level = np.array([draw(films) for _ in range(size)])
    spreads = np.array([draw(shares) for _ in range(size)]) * level
    scatter = np.array([draw(shares) for _ in range(size)]) * level
    return evidence.predicted(level, spreads, scatter, draw(st.sampled_from(doubts)))


@st.composite
def read(draw, stack):
    """Sets of gauge and comb readings through any of the layers."""
    size = stack.level.size
    ones = st.lists(st.sampled_from([0.0, 1.0]), min_size=size, max_size=size)
    weights = ones.filter(any)
    gauged = [
        Gauged(evidence.films_from_gauge(draw(several), GAUGE), draw(weights))
        for _ in range(draw(st.integers(0, 3)))
    ]
    combed = [
        Combed([(low, low + draw(films)) for low in draw(several)], draw(weights))
        for _ in range(draw(st.integers(0, 2)))
    ]
    return gauged, combed


@given(st.data())
def test_readings_never_add_doubt(data):
    """With the scatter known, the covariance shrinks in every direction, whatever is read."""
    stack = data.draw(stacks())
    found = evidence.fuse(stack, *data.draw(read(stack))).stack
    scale = np.diag(1 / np.sqrt(np.diag(stack.covariance)))
    lost = scale @ (stack.covariance - found.covariance) @ scale
    assert np.linalg.eigvalsh(lost).min() >= -1e-9
    left = np.linalg.eigvalsh(scale @ found.covariance @ scale)
    assert left.min() >= -1e-9
    assert found.covariance == pytest.approx(found.covariance.T, abs=1e-20)


@settings(max_examples=30)
@given(st.data())
def test_the_order_of_readings_does_not_matter(data):
    stack = data.draw(stacks((0.0, 0.3)))
    gauged, combed = data.draw(read(stack))
    turned = [
        Gauged(Films(one.films.films[::-1], one.films.covariance[::-1, ::-1]), one.through)
        for one in reversed(gauged)
    ]
    back = [Combed(one.intervals[::-1], one.through) for one in reversed(combed)]
    first, second = evidence.fuse(stack, gauged, combed), evidence.fuse(stack, turned, back)
    spreads = np.sqrt(np.diag(first.stack.covariance))
    assert np.abs(first.stack.level - second.stack.level).max() <= 1e-5 * spreads.max()
    assert first.log_chance == pytest.approx(second.log_chance, rel=1e-6, abs=1e-6)
    assert first.surprise.p == pytest.approx(second.surprise.p, rel=1e-6, abs=1e-12)


@given(st.data())
def test_gauge_sets_one_after_another_are_the_same_as_together(data):
    stack = data.draw(stacks())
    gauged, _ = data.draw(read(stack))
    together = evidence.fuse(stack, gauged).stack
    for one in gauged:
        stack = evidence.fuse(stack, [one]).stack
    assert stack.level == pytest.approx(together.level, rel=1e-6)
    scale = np.abs(together.covariance).max()
    assert stack.covariance == pytest.approx(together.covariance, rel=1e-5, abs=1e-7 * scale)


@settings(max_examples=30)
@given(films, shares, shares, st.lists(st.floats(-8.0, 8.0), min_size=1, max_size=12))
def test_fine_teeth_tend_to_exact_readings(film, spread, scatter, places):
    """A tenth of the gap leaves a hundredth of what is off: it goes by the width squared."""
    spots = [film * (1 + scatter * place) for place in places]
    stack = evidence.predicted([film], [spread * film], [scatter * film])
    exact = Films(np.array(spots), np.zeros((len(spots), len(spots))))
    aim = evidence.fuse(stack, [Gauged(exact, [1])]).stack
    off = []
    for gap in (0.1, 0.01):
        half = gap * scatter * film / 2
        teeth = [(spot - half, spot + half) for spot in spots]
        found = evidence.fuse(stack, combed=[Combed(teeth, [1])]).stack
        off.append(abs(found.level[0] - aim.level[0]) / math.sqrt(aim.covariance[0, 0]))
        assert found.covariance[0, 0] == pytest.approx(aim.covariance[0, 0], rel=gap)
    assert off[0] <= 0.05
    assert off[1] <= max(0.015 * off[0], 1e-6)


@given(films, shares, shares, st.lists(films, min_size=1, max_size=6))
def test_an_interval_that_says_nothing_changes_nothing(film, spread, scatter, spots):
    prior = Measured(film, spread * film)
    wide = [(-1.0, math.inf) for _ in spots]
    found = evidence.level_from_intervals(prior, scatter * film, wide)
    assert found.level == pytest.approx(prior, rel=1e-6)
    assert found.log_chance == pytest.approx(0.0, abs=1e-6)


@given(several, st.floats(0.0, 1.0))
def test_more_film_everywhere_never_fails_a_floor(readings, more):
    """Adding paint to every spot cannot break the clauses that ask for at least so much."""
    nominal = 100 * UM

    def floors(found):
        return [clause.passed for clause in found.clauses if "maximum" not in clause.says]

    thin = evidence.iso19840_verdict(readings, nominal)
    thick = evidence.iso19840_verdict([one + more * 50 * UM for one in readings], nominal)
    assert all(
        after or not before for before, after in zip(floors(thin), floors(thick), strict=True)
    )
    strict = evidence.pspc_verdict(readings, nominal)
    if strict.passed and np.mean(readings) >= nominal:
        assert all(floors(thin))
