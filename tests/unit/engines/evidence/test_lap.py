"""How an unsteady hand shows in strokes side by side, against strokes summed one by one."""

import numpy as np
import pytest

from coatwright.engines.evidence import Lap, likeness, response
from coatwright.errors import RangeError
from unit.engines.evidence.strokes import film

LAP = Lap(0.25, 1.5, 0.125)
PLACES = np.linspace(0, 12.5, 5001)


def variance(lap, draws=30, **hand):
    """Relative variance that a hand adds to the film of even strokes on the same lines."""
    off = []
    for seed in range(draws):
        even = film(np.random.default_rng(seed), lap, PLACES)
        off.append(film(np.random.default_rng(seed), lap, PLACES, **hand) / even.mean() - 1)
        off[-1] -= even / even.mean() - 1
    return np.mean([one.var() for one in off])


@pytest.mark.parametrize("lap", [LAP, Lap(0.25, 1.5, 0.0625), Lap(0.2, 2.5, 0.1)])
def test_variance_from_speed_and_aim(lap):
    expected, wander = response(lap), 0.01 * lap.length
    still = film(np.random.default_rng(1), lap, PLACES)
    assert expected.ripple == pytest.approx(still.var() / still.mean() ** 2, rel=1e-2, abs=1e-7)
    assert expected.speed == pytest.approx(variance(lap, speed=0.02) / 0.02**2, rel=0.1)
    assert expected.aim == pytest.approx(variance(lap, aim=wander) / wander**2, rel=0.1)


def test_closed_forms_of_a_parabola():
    """1 - t^2: int f = 4/3 a, int f^2 = 16/15 a, int f'^2 = 8/3 / a."""
    found = response(Lap(2.0, 1.0, 0.7))
    assert found.speed == pytest.approx(0.7 * (16 / 15) / (16 / 9))
    assert found.aim == pytest.approx(0.7 * (8 / 3) / (16 / 9))


def test_a_closer_pitch_forgives():
    near, far = response(Lap(0.25, 1.5, 0.06)), response(LAP)
    assert (near.speed < far.speed, near.ripple < far.ripple) == (True, True)


def test_likeness_of_rows():
    """Correlation over 20,000 pairs of places, stripes taken out by pairs a pitch apart."""
    rng = np.random.default_rng(7)
    apart = np.array([0.0, 0.125, 0.25, 0.4])
    rows = np.array([film(rng, LAP, apart, speed=0.02) for _ in range(20_000)])
    even = response(LAP)
    found = np.array([np.cov(rows[:, 0], rows[:, k])[0, 1] for k in range(apart.size)])
    found /= rows.mean() ** 2
    alike = likeness(LAP, apart)
    expected = even.speed * 0.02**2 * alike.speed + even.ripple * alike.ripple
    assert found == pytest.approx(expected, abs=0.03 * expected[0])
    assert alike.speed[[0, 2, 3]] == pytest.approx([1.0, 0.0, 0.0], abs=1e-9)
    assert alike.ripple[[0, 1, 2]] == pytest.approx([1.0, 1.0, 1.0])


def test_likeness_of_aim():
    rng = np.random.default_rng(8)
    apart = np.array([0.0, 0.05, 0.125])
    rows = np.array([film(rng, LAP, apart, aim=0.002) for _ in range(20_000)])
    even = response(LAP)
    found = np.array([np.cov(rows[:, 0], rows[:, k])[0, 1] for k in range(apart.size)])
    found /= rows.mean() ** 2
    alike = likeness(LAP, apart)
    expected = even.aim * 0.002**2 * alike.aim + even.ripple * alike.ripple
    assert found == pytest.approx(expected, abs=0.03 * expected[0])


@pytest.mark.parametrize(
    ("lap", "sentence"),
    [
        (Lap(0.25, 0.5, 0.1), "an exponent of 0.5; it must be above 0.5"),
        (Lap(0.25, 1.5, 0.0), "a pitch of 0; it must be above 0"),
        (Lap(0.0, 1.5, 0.1), "a length of 0; it must be above 0"),
    ],
)
def test_refused(lap, sentence):
    with pytest.raises(RangeError) as caught:
        response(lap)
    assert caught.value.sentence == sentence
