"""Cup and board on a scale, against simulation of the errors."""

import math

import numpy as np
import pytest

from coatwright.engines import evidence
from coatwright.engines.evidence import Gauged, Measured
from coatwright.errors import RangeError

DENSITY = Measured(1250.0, 25.0)
SOLIDS = Measured(0.55, 0.02)
CAPTURE = Measured(0.6, 0.06)
PAINT = Measured(300e-6, 6e-6)


def drawn(rng, *measured, draws=200_000):
    return [rng.normal(one.mean, one.spread, draws) for one in measured]


def test_paint_used_against_simulated_weighings():
    """A scale to 5 g, so that rounding counts beside 2 % of density."""
    rng = np.random.default_rng(1)
    lost = Measured(20e-6, 5e-6)
    before, after = rng.uniform(1.2, 1.3, 200_000), rng.uniform(1.1, 1.15, 200_000)
    density, beside = drawn(rng, DENSITY, lost)
    true = (before - after) / density - beside
    shown = np.round(before / 0.005) * 0.005 - np.round(after / 0.005) * 0.005
    off = shown / DENSITY.mean - lost.mean - true
    found = evidence.paint_used(1.250, 1.125, 0.005, DENSITY, lost)
    assert found.mean == pytest.approx(0.125 / 1250 - 20e-6)
    assert found.spread == pytest.approx(off.std(), rel=0.03)


def test_film_from_paint_against_simulation():
    rng = np.random.default_rng(2)
    paint, solids, capture = drawn(rng, PAINT, SOLIDS, CAPTURE)
    films = paint * solids * capture / 1.8
    found = evidence.film_from_paint(PAINT, SOLIDS, CAPTURE, 1.8)
    assert found.mean == pytest.approx(300e-6 * 0.55 * 0.6 / 1.8)
    assert found == pytest.approx((films.mean(), films.std()), rel=0.01)


def test_transfer_against_simulation():
    rng = np.random.default_rng(3)
    film = Measured(55e-6, 3e-6)
    films, paint, solids = drawn(rng, film, PAINT, SOLIDS)
    found = evidence.transfer_found(film, 1.8, PAINT, SOLIDS)
    simulated = films * 1.8 / (paint * solids)
    assert found == pytest.approx((simulated.mean(), simulated.std()), rel=0.015)


def test_a_weighed_board():
    """3 g on 0.04 m2 of a film of 1500 kg/m3: 50 um; a scale to 0.1 g adds 1.4 %."""
    found = evidence.film_from_weight(0.5, 0.503, 1e-4, Measured(1500.0, 30.0), 0.04)
    assert found.mean == pytest.approx(50e-6)
    rounding = math.sqrt(2) * 0.1 / math.sqrt(12) / 3
    assert found.share == pytest.approx(math.hypot(0.02, rounding))


def test_what_the_film_says_the_transfer_gives_back():
    film = evidence.film_from_paint(PAINT, SOLIDS, CAPTURE, 1.8)
    assert evidence.transfer_found(film, 1.8, PAINT, SOLIDS).mean == pytest.approx(CAPTURE.mean)


def test_a_weighed_cup_tells_of_the_mean_without_scatter():
    """Prior 50 +- 10 and a cup of 60 +- 5: 58, whatever the film does from spot to spot."""
    stack = evidence.predicted([50e-6], [10e-6], [20e-6])
    cup = Gauged(evidence.one_film(Measured(60e-6, 5e-6)), [1], whole=True)
    found = evidence.fuse(stack, [cup]).stack
    assert found.level[0] == pytest.approx(58e-6)
    assert math.sqrt(found.covariance[0, 0]) == pytest.approx(10e-6 / math.sqrt(5))


@pytest.mark.parametrize(
    ("use", "sentence"),
    [
        (
            lambda: evidence.paint_used(1.0, 1.1, 1e-3, DENSITY),
            "a cup of 1 kg before and 1.1 kg after; it must have become lighter",
        ),
        (
            lambda: evidence.paint_used(1.1, 1.0, 1e-3, DENSITY, Measured(1e-4, 0.0)),
            "paint left for the work [m3] of -2e-05; it must be above 0",
        ),
        (
            lambda: evidence.film_from_paint(PAINT, SOLIDS, Measured(0.0, 0.1), 1.0),
            "a capture of 0; it must be above 0",
        ),
        (
            lambda: evidence.film_from_weight(0.5, 0.5, 1e-4, DENSITY, 1.0),
            "a gain of the board [kg] of 0; it must be above 0",
        ),
        (
            lambda: evidence.transfer_found(PAINT, 0.0, PAINT, SOLIDS),
            "a surface [m2] of 0; it must be above 0",
        ),
    ],
)
def test_refused(use, sentence):
    with pytest.raises(RangeError) as caught:
        use()
    assert caught.value.sentence == sentence
