"""The fan back from its photograph."""

import numpy as np
import pytest

from card_photos import Shot, Truth, taken
from coatwright.engines.card.measure import measure
from coatwright.engines.card.rectify import decode, rectify


def measured(truth, shot, seed=1):
    sheet = rectify(decode(np.frombuffer(taken(truth, shot, seed), np.uint8)))
    return measure(sheet, truth.kind)


def test_a_burst():
    found = measured(Truth(length=230, width=55, across=2.4, along=2.1, tilt=5.0), Shot())
    assert found.length.value == pytest.approx(0.230, rel=0.03)
    assert found.width.value == pytest.approx(0.055, rel=0.03)
    assert found.across.value == pytest.approx(2.4, abs=0.15)
    assert found.along.value == pytest.approx(2.1, abs=0.15)
    assert np.degrees(found.tilt.value) == pytest.approx(5.0, abs=0.3)


def test_a_pass():
    found = measured(Truth(length=230, kind="pass", across=2.4), Shot())
    assert found.length.value == pytest.approx(0.230, rel=0.03)
    assert found.width is None
    assert found.across.value == pytest.approx(2.4, abs=0.15)
