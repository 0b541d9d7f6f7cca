"""Prediction and readings together, against scipy.stats and quadrature on plain grids."""

import math

import numpy as np
import pytest
from scipy import stats

from coatwright.engines import evidence
from coatwright.engines.evidence import Combed, Films, Gauge, Gauged
from coatwright.errors import RangeError

GAUGE = Gauge(1.0, 0.03)
STACK = evidence.predicted([30.0, 60.0, 50.0], [6.0, 12.0, 8.0], [4.0, 9.0, 6.0])
READ = evidence.films_from_gauge([150.0, 160.0, 138.0, 171.0], GAUGE, evidence.Ground(5.0, 1.0))


def conditional(stack, films, through):
    """Levels and readings as one joint normal; conditional moments by the inverse of a block."""
    weights = np.tile(through, (films.films.size, 1))
    noise = films.covariance + np.eye(films.films.size) * np.sum((through * stack.scatter) ** 2)
    joint = np.block(
        [
            [stack.covariance, stack.covariance @ weights.T],
            [weights @ stack.covariance, weights @ stack.covariance @ weights.T + noise],
        ]
    )
    mean = np.concatenate([stack.level, weights @ stack.level])
    size = stack.level.size
    precision = np.linalg.inv(joint)
    covariance = np.linalg.inv(precision[:size, :size])
    step = -covariance @ precision[:size, size:] @ (films.films - mean[size:])
    chance = stats.multivariate_normal(mean[size:], joint[size:, size:]).logpdf(films.films)
    return stack.level + step, covariance, chance


def test_gauge_through_a_stack_is_the_conditional_normal():
    through = np.array([1.0, 1.0, 1.0])
    found = evidence.fuse(STACK, [Gauged(READ, through)])
    level, covariance, chance = conditional(STACK, READ, through)
    assert found.stack.level == pytest.approx(level, rel=1e-10)
    assert found.stack.covariance == pytest.approx(covariance, rel=1e-8)
    assert found.log_chance == pytest.approx(chance, rel=1e-10)


def test_layers_move_in_proportion_to_their_variances():
    found = evidence.fuse(STACK, [Gauged(READ, [1, 1, 1])])
    moved = found.stack.level - STACK.level
    assert moved / moved.sum() == pytest.approx(np.array([36, 144, 64]) / 244)
    only = evidence.fuse(STACK, [Gauged(READ, [1, 1, 0])]).stack
    assert only.level[2] == STACK.level[2]
    assert only.covariance[2, 2] == STACK.covariance[2, 2]


def test_the_known_sum_ties_the_layers_together():
    found = evidence.fuse(STACK, [Gauged(READ, [1, 1, 1])]).stack
    off = found.covariance[np.triu_indices(3, 1)]
    assert (off < 0).all()
    whole, scatter = evidence.reading_of(found, [1, 1, 1])
    assert whole.spread < evidence.reading_of(STACK, [1, 1, 1])[0].spread
    assert scatter == pytest.approx(math.sqrt(16 + 81 + 36))


def on_a_grid(stack, gauged, combed, factors=81, points=161):
    """Moments of two layers and a factor by summing likelihood x prior over a dense box."""
    logs = np.linspace(-5, 5, factors) * stack.doubt if stack.doubt else np.zeros(1)
    spreads = np.sqrt(np.diag(stack.covariance))
    axes = [m + s * np.linspace(-6, 6, points) for m, s in zip(stack.level, spreads, strict=True)]
    first, second = np.meshgrid(*axes, indexing="ij")
    prior = stats.norm.logpdf(first, stack.level[0], spreads[0])
    prior = prior + stats.norm.logpdf(second, stack.level[1], spreads[1])
    total = np.zeros((factors if stack.doubt else 1, points, points))
    for number, log in enumerate(logs):
        total[number] = prior - (0.5 * (log / stack.doubt) ** 2 if stack.doubt else 0)
        for films, weights in gauged:
            noise = films.covariance + np.eye(films.films.size) * np.exp(2 * log) * np.sum(
                (np.array(weights) * stack.scatter) ** 2
            )
            off = films.films - (weights[0] * first + weights[1] * second)[..., None]
            total[number] -= 0.5 * np.einsum("abi,ij,abj->ab", off, np.linalg.inv(noise), off)
            total[number] -= 0.5 * np.linalg.slogdet(noise)[1]
        for intervals, weights in combed:
            at = weights[0] * first + weights[1] * second
            scatter = np.exp(log) * np.linalg.norm(np.array(weights) * stack.scatter)
            for low, high in intervals:
                inside = stats.norm.cdf((high - at) / scatter) - stats.norm.cdf(
                    (low - at) / scatter
                )
                total[number] += np.log(np.maximum(inside, 1e-300))
    chance = np.exp(total - total.max())
    chance /= chance.sum()
    means = [float((chance * first).sum()), float((chance * second).sum())]
    spreads = [
        math.sqrt(float((chance * (axis - mean) ** 2).sum()))
        for axis, mean in zip((first, second), means, strict=True)
    ]
    return means, spreads, float((chance.sum(axis=(1, 2)) * logs).sum())


TWO = evidence.predicted([60.0, 50.0], [12.0, 8.0], [9.0, 6.0])
PAIR = evidence.films_from_gauge([118.0, 131.0, 107.0, 125.0], GAUGE)
INTERVALS = [(40.0, 50.0), (50.0, 60.0), (60.0, 70.0)]


def test_gauge_and_one_comb_are_exact():
    found = evidence.fuse(TWO, [Gauged(PAIR, [1, 1])], [Combed(INTERVALS, [0, 1])]).stack
    means, spreads, _ = on_a_grid(TWO, [(PAIR, (1, 1))], [(INTERVALS, (0, 1))])
    assert found.level == pytest.approx(means, rel=1e-5)
    assert np.sqrt(np.diag(found.covariance)) == pytest.approx(spreads, rel=1e-4)


def test_doubt_of_the_scatter_is_summed_over():
    stack = TWO._replace(doubt=0.4)
    found = evidence.fuse(stack, [Gauged(PAIR, [1, 1])], [Combed(INTERVALS, [0, 1])]).stack
    means, spreads, log_factor = on_a_grid(stack, [(PAIR, (1, 1))], [(INTERVALS, (0, 1))])
    assert found.level == pytest.approx(means, rel=1e-4)
    assert np.sqrt(np.diag(found.covariance)) == pytest.approx(spreads, rel=1e-3)
    assert np.log(found.scatter[0] / stack.scatter[0]) == pytest.approx(log_factor, abs=1e-3)


def test_combs_of_two_coats_are_near_enough():
    """Each comb is taken as normal before the next: within 1 % of a spread here."""
    other = [(50.0, 70.0), (60.0, 80.0)]
    combed = [Combed(other, [1, 0]), Combed(INTERVALS, [0, 1])]
    found = evidence.fuse(TWO, [Gauged(PAIR, [1, 1])], combed).stack
    means, spreads, _ = on_a_grid(TWO, [(PAIR, (1, 1))], [(other, (1, 0)), (INTERVALS, (0, 1))])
    assert found.level == pytest.approx(means, abs=0.01 * min(spreads))
    assert np.sqrt(np.diag(found.covariance)) == pytest.approx(spreads, rel=0.01)


def test_scatter_is_learned_from_many_readings():
    """True scatter twice the foreseen one: 60 readings bring the factor near 2."""
    rng = np.random.default_rng(3)
    stack = evidence.predicted([50.0], [8.0], [5.0], doubt=0.5)
    films = Films(rng.normal(50, 10, 60), np.eye(60) * 0.01)
    found = evidence.fuse(stack, [Gauged(films, [1])]).stack
    assert found.scatter[0] == pytest.approx(films.films.std(ddof=1), rel=0.05)
    assert found.doubt == pytest.approx(1 / math.sqrt(2 * 60), rel=0.1)


def test_solids_that_are_badly_known_leave_more_doubt():
    sure = evidence.fuse(TWO, combed=[Combed(INTERVALS, [0, 1])]).stack
    unsure = evidence.fuse(TWO, combed=[Combed(INTERVALS, [0, 1], 0.1)]).stack
    assert sure.covariance[1, 1] < unsure.covariance[1, 1] < TWO.covariance[1, 1]


def test_the_example_of_the_page():
    """docs/engines/evidence.md: figures there are these."""
    stack = evidence.predicted([60.0, 130.0], [9.0, 20.0], [8.0, 18.0], doubt=0.3)
    ground = evidence.ground_of([4.0, 6.0, 5.0], GAUGE)
    films = evidence.films_from_gauge([235.0, 221.0, 248.0, 229.0, 240.0], GAUGE, ground)
    found = evidence.fuse(stack, [Gauged(films, [1, 1])]).stack
    means, spreads, _ = on_a_grid(stack, [(films, (1, 1))], [])
    assert found.level == pytest.approx(means, rel=1e-4)
    assert found.level == pytest.approx([65.7, 158.3], abs=0.05)
    assert np.sqrt(np.diag(found.covariance)) == pytest.approx(spreads, rel=2e-3)
    assert np.sqrt(np.diag(found.covariance)) == pytest.approx([8.3, 10.7], abs=0.05)
    assert evidence.reading_of(found, [1, 1])[0] == pytest.approx((224.1, 8.3), abs=0.05)


def test_nothing_read_changes_nothing():
    stack = TWO._replace(doubt=0.3)
    found = evidence.fuse(stack)
    assert found.stack.level == pytest.approx(stack.level, rel=1e-12)
    assert found.stack.covariance == pytest.approx(stack.covariance, rel=1e-9)
    assert found.stack.doubt == pytest.approx(0.3, rel=1e-3)
    assert found.log_chance == pytest.approx(0.0, abs=1e-5)
    assert found.surprise == evidence.NO_SURPRISE


@pytest.mark.parametrize(
    ("use", "sentence"),
    [
        (
            lambda: evidence.predicted([1.0, 2.0], [1.0], [1.0]),
            "2 films, 1 spreads and 1 scatters; give one of each for every layer",
        ),
        (
            lambda: evidence.predicted([1.0], [0.0], [1.0]),
            "a spread of 0; it must be above 0",
        ),
        (
            lambda: evidence.fuse(TWO, [Gauged(PAIR, [1])]),
            "1 weights for 2 layers; give one for every layer, 0 for those not read",
        ),
        (
            lambda: evidence.fuse(
                evidence.predicted([1.0], [1.0], [0.0]), combed=[Combed(INTERVALS, [1])]
            ),
            "a scatter of the coat that the comb read of 0; it must be above 0",
        ),
        (
            lambda: evidence.fuse(
                evidence.predicted([1.0], [1.0], [0.0]),
                [Gauged(Films(np.ones(2), np.zeros((2, 2))), [1])],
            ),
            "readings with neither error nor scatter; give the gauge its limits of error",
        ),
    ],
)
def test_refused(use, sentence):
    with pytest.raises(RangeError) as caught:
        use()
    assert caught.value.sentence == sentence
