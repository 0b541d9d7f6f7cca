"""Practice board, against simulated strokes, scipy.stats and scipy.signal."""

import math

import numpy as np
import pytest
from scipy import signal, stats

from coatwright.engines.evidence import Board, Gauge, Lap, hand_from_board, hand_from_weights, score
from coatwright.engines.evidence.practice.board import _mean_squares, _waves
from coatwright.errors import RangeError
from unit.engines.evidence.strokes import film

UM = 1e-6
LAP = Lap(0.25, 1.5, 0.125)
GAUGE = Gauge(1 * UM, 0.03)

# Strength of dyestuff, six samples of six batches: Davies (1960), as printed in an exercise at
# vaia.com, Mathematical Statistics and Data Analysis, chapter 12, problem 21.
DYESTUFF = np.array(
    [
        [94.5, 93.0, 91.0, 89.0, 96.5, 88.0],
        [89.0, 90.0, 92.5, 88.5, 91.5, 91.5],
        [88.5, 93.5, 93.5, 88.0, 92.5, 91.5],
        [100.0, 99.0, 100.0, 98.0, 95.0, 97.5],
        [91.5, 93.0, 90.0, 92.5, 89.0, 91.0],
        [98.5, 100.0, 98.0, 100.0, 96.5, 98.0],
    ]
)


def grid(rng, hand, rows=6, columns=4, spacing=0.1):
    """A board sprayed with 50 um by a hand (speed, aim, within), read by the gauge."""
    across = film(rng, LAP, np.arange(rows) * spacing, hand[0], hand[1])
    films = 50 * UM * across[:, None] * (1 + rng.normal(0, 1, (rows, columns)) * hand[2])
    error = rng.uniform(-GAUGE.share, GAUGE.share)
    return Board(
        films * (1 + error) + rng.uniform(-1, 1, films.shape) * GAUGE.fixed, spacing, GAUGE
    )


@pytest.mark.parametrize(
    ("hand", "rows", "spacing"),
    [((0.1, 0.0, 0.03), 6, 0.1), ((0.1, 0.006, 0.05), 12, 0.08), ((0.15, 0.0, 0.02), 6, 0.25)],
)
def test_the_hand_is_found_again(hand, rows, spacing):
    """Of 300 boards: mean square right within 30 %, bounds hold in 70 to 95 of 100."""
    rng = np.random.default_rng(11)
    boards = [grid(rng, hand, rows, 4, spacing) for _ in range(300)]
    found = [hand_from_board(board, LAP, hand[1]) for board in boards]
    speed = np.array([one.speed for one in found])
    assert math.sqrt(np.mean(speed[:, 0] ** 2)) == pytest.approx(hand[0], rel=0.3)
    held = np.mean((speed[:, 1] <= hand[0]) & (hand[0] <= speed[:, 2]))
    assert 0.7 <= held <= 0.95
    within = np.array([one.within_stroke for one in found])
    assert math.sqrt(np.mean(within[:, 0] ** 2)) == pytest.approx(hand[2], rel=0.05)


def test_an_even_hand_and_a_wild_one_are_told_apart():
    rng = np.random.default_rng(12)
    steady = np.mean([hand_from_board(grid(rng, (0.05, 0, 0)), LAP).speed[0] for _ in range(100)])
    wild = np.mean([hand_from_board(grid(rng, (0.25, 0, 0)), LAP).speed[0] for _ in range(100)])
    assert wild > 3 * steady


def test_wander_that_is_known_is_not_counted_as_speed():
    rng = np.random.default_rng(13)
    boards = [grid(rng, (0.0, 0.012, 0.02)) for _ in range(100)]
    blamed = np.mean([hand_from_board(board, LAP).speed.value for board in boards])
    cleared = np.mean([hand_from_board(board, LAP, 0.012).speed.value for board in boards])
    assert cleared < 0.6 * blamed


def test_the_hand_behind_weighed_boards():
    """Boards of 8 strokes, film one over the speed, weighed to 1 %."""
    rng = np.random.default_rng(18)
    found = []
    for _ in range(2000):
        films = (1 / (1 + rng.normal(0, 0.1, (6, 8)))).mean(axis=1)
        found.append(hand_from_weights(films * (1 + rng.normal(0, 0.01, 6)), 0.01, 8))
    squares = np.mean([one.value**2 for one in found])
    assert math.sqrt(squares) == pytest.approx(0.1, rel=0.06)
    held = np.mean([one.low <= 0.1 <= one.high for one in found])
    assert held == pytest.approx(0.8, abs=0.04)


def test_weighed_boards_that_are_refused():
    with pytest.raises(RangeError) as caught:
        hand_from_weights([50 * UM, 51 * UM], 0.01, 8)
    assert caught.value.sentence == "2 boards; at least 3 in one row are needed"


def test_mean_squares_are_those_of_the_analysis_of_variance():
    """Rows against scipy.stats.f_oneway, whose residual still holds the columns."""
    between, residual = _mean_squares(DYESTUFF)
    columns = 6 * DYESTUFF.mean(axis=0).var(ddof=1) * 5
    within = (residual * 25 + columns) / 30
    assert between / within == pytest.approx(stats.f_oneway(*DYESTUFF).statistic)


def test_score_of_a_plain_board():
    rng = np.random.default_rng(14)
    readings = 50 * UM * (1 + rng.normal(0, 0.1, (40, 40)))
    found = score(Board(readings, 0.1, GAUGE))
    assert found.film.mean == pytest.approx(readings.mean())
    assert found.film.share == pytest.approx(math.hypot(0.1 / 40, 0.03 / math.sqrt(3)), rel=0.05)
    assert found.spread.value == pytest.approx(0.1, rel=0.05)
    assert found.edge_to_centre.value == pytest.approx(1.0, abs=0.03)
    assert found.even


def test_edge_to_centre():
    readings = np.full((4, 4), 40 * UM)
    readings[1:3, 1:3] = 50 * UM
    found = score(Board(readings, 0.1, GAUGE)).edge_to_centre
    assert found.value == pytest.approx(0.8)
    assert found.low < 0.8 < found.high


def test_bounds_of_edge_to_centre_hold():
    rng = np.random.default_rng(15)
    found = [
        score(Board(50 * UM * (1 + rng.normal(0, 0.1, (4, 4))), 0.1, GAUGE)).edge_to_centre
        for _ in range(1000)
    ]
    held = np.mean([one.low <= 1 <= one.high for one in found])
    assert held == pytest.approx(0.8, abs=0.05)


def test_stripe_period_is_found():
    places = np.arange(16) * 0.03
    rows = 50 * UM * (1 + 0.2 * np.sin(2 * np.pi * places / 0.125 + 1))
    found = score(Board(np.tile(rows[:, None], 3), 0.03, GAUGE)).stripe
    assert found.period == pytest.approx(0.125, rel=0.01)
    assert found.height == pytest.approx(0.2, rel=0.02)
    assert found.chance < 1e-6
    assert score(Board(np.full((5, 3), 50 * UM), 0.03, GAUGE)).stripe is None


def test_wave_against_a_periodogram():
    """Share explained by one sinusoid and a mean: scipy.signal's normalised floating one."""
    rng = np.random.default_rng(16)
    places, rows = np.arange(12) * 0.05, rng.normal(1, 0.1, 12)
    frequencies = np.array([2.3, 4.1, 7.7])
    explained, _ = _waves(places, rows, frequencies)
    power = signal.lombscargle(
        places, rows, 2 * np.pi * frequencies, normalize=True, floating_mean=True
    )
    assert explained == pytest.approx(power, rel=1e-6)


def test_stripes_are_seldom_seen_where_there_are_none():
    """On boards of noise a chance below 5 % comes about 5 times in 100."""
    rng = np.random.default_rng(17)
    boards = [Board(50 * UM * (1 + rng.normal(0, 0.1, (12, 3))), 0.05, GAUGE) for _ in range(1000)]
    alarms = np.mean([score(board).stripe.chance < 0.05 for board in boards])
    assert 0.02 <= alarms <= 0.06


@pytest.mark.parametrize(
    ("board", "sentence"),
    [
        (
            Board(np.ones((2, 5)), 0.1),
            "a board of 2 x 5 readings; at least 3 rows of 3 are needed",
        ),
        (Board(np.ones(9), 0.1), "a board of 9 readings; at least 3 rows of 3 are needed"),
        (Board(np.zeros((3, 3)), 0.1), "a mean film of 0; it must be above 0"),
        (Board(np.ones((3, 3)), 0.0), "a distance from row to row of 0; it must be above 0"),
    ],
)
def test_refused(board, sentence):
    with pytest.raises(RangeError) as caught:
        score(board)
    assert caught.value.sentence == sentence
