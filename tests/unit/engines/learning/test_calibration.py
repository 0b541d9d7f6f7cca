"""Intervals of 80 % hold 80 % of the time, over invented shops drawn from what is held of them."""

import importlib

import numpy as np
import pytest

from coatwright.engines import learning
from house import source

pytestmark = pytest.mark.slow

SHOPS = 400
LOW, HIGH = 0.77, 0.83


@pytest.fixture(scope="module")
def calibration():
    """tools/calibration.py, which makes the invented shops."""
    with pytest.MonkeyPatch.context() as patch:
        patch.syspath_prepend(source.ROOT / "tools")
        yield importlib.import_module("calibration")


@pytest.fixture(scope="module")
def held(calibration):
    """Share held for each class (rows) and question (columns)."""
    return np.array(
        [calibration.held(one, calibration.Twist(), SHOPS) for one in learning.CLASSES.values()]
    )


def test_pooled_intervals_hold_as_often_as_they_say(held, calibration):
    """2000 shops: one standard error of a share is 0.9 %."""
    shares = dict(zip(calibration.KINDS, held.mean(axis=0), strict=True))
    assert {kind: share for kind, share in shares.items() if not LOW <= share <= HIGH} == {}


def test_every_class_holds(held):
    """1200 answers for each class: one standard error is 1.2 %."""
    shares = dict(zip(learning.CLASSES, held.mean(axis=1), strict=True))
    assert {name: share for name, share in shares.items() if not LOW <= share <= HIGH} == {}


def test_the_band_would_see_intervals_a_sixth_too_narrow(calibration, monkeypatch):
    """The same shops asked for 72 % instead of 80 % fall out of the band."""
    monkeypatch.setattr(calibration, "CHANCE", 0.72)
    shares = calibration.held(learning.CLASSES["speed"], calibration.Twist(), SHOPS)
    assert max(shares) < LOW


def shop_of_one(rng, prior):
    """The spread and centre of a shop drawn from a prior."""
    spread = prior.spread * np.sqrt(prior.degrees / rng.chisquare(prior.degrees))
    return spread, rng.normal(prior.centre, spread / np.sqrt(prior.strength))


def test_one_parameter_its_next_reading_and_its_spread():
    prior, rng = learning.prior(0.1, 0.1, 0.08, 6.0), np.random.default_rng(3)
    inside = []
    for _ in range(2000):
        spread, centre = shop_of_one(rng, prior)
        *data, coming = rng.normal(centre, spread, 1 + rng.integers(1, 8)).tolist()
        after = learning.update(prior, data)
        chances = [
            learning.chance_below(learning.centre_of(after), centre),
            learning.chance_below(learning.coming(after), coming),
        ]
        low, high = learning.spread_interval(after)
        inside.append([*(0.1 < chance < 0.9 for chance in chances), low < spread < high])
    shares = np.mean(inside, axis=0)
    assert ((shares >= LOW) & (shares <= HIGH)).all(), shares


def test_forecast_of_a_whole_job(calibration):
    """Totals of twelve coats with factors drawn together: coats of one gun go wrong together."""
    prior, rng = learning.CLASSES["flow"], np.random.default_rng(5)
    inside = []
    for seed in range(600):
        shop = calibration.Shop(rng, prior, calibration.Twist())
        pool = calibration.learned(shop, 8)
        coats = [shop.cell() for _ in range(12)]
        amounts = rng.uniform(0.1, 0.4, 12).tolist()
        truth = sum(a * np.exp(shop.reading(c, 0.0)) for a, c in zip(amounts, coats, strict=True))
        factors = np.exp(learning.draws(pool, coats, count=1000, seed=seed))
        found = learning.total(amounts, factors)
        inside.append(found.low < truth < found.high)
    assert LOW <= np.mean(inside) <= HIGH
