"""Vapour: blends against another library, additive exposure by hand, dilution."""

import pytest
from chemicals.safety import fire_mixing

from coatwright.engines import ventilation
from coatwright.errors import RangeError


def test_le_chatelier_against_chemicals():
    shares, limits = [0.5, 0.3, 0.2], [0.012, 0.010, 0.015]
    assert ventilation.blend_limit(shares, limits) == pytest.approx(
        fire_mixing(ys=shares, FLs=limits), rel=1e-12
    )


def test_a_blend_of_one_is_that_one():
    assert ventilation.blend_limit([1.0], [0.017]) == 0.017
    assert 0.010 < ventilation.blend_limit([0.5, 0.5], [0.010, 0.025]) < 0.025


def test_additive_exposure_by_hand():
    # 40 ppm of 50 and 30 ppm of 100: 0.8 + 0.3 = 1.1, over the limit though each is under its own
    index = ventilation.additive_index([40e-6, 30e-6], [50e-6, 100e-6])
    assert index == pytest.approx(1.1)
    assert ventilation.additive_index([], []) == 0.0


def test_dilution_of_toluene():
    """OSHA's form, from memory: 4 (100 - 1.4) x 30.4 ft3 / 1.4 = 8564 ft3 for a US gallon.

    The formula and its figures are from memory: this pins the algebra, not the law.
    """
    assert ventilation.dilution_air(30.4, 0.014) == pytest.approx(8564.0, abs=1.0)


def test_no_more_than_everything():
    assert ventilation.saturation(2e5) == 1.0
    assert ventilation.saturation(0.0) == 0.0


@pytest.mark.parametrize(
    "call",
    [
        lambda: ventilation.blend_limit([0.5, 0.4], [0.01, 0.01]),
        lambda: ventilation.blend_limit([1.0], [0.0]),
        lambda: ventilation.blend_limit([0.5, 0.5], [0.01]),
        lambda: ventilation.additive_index([1e-6], [0.0]),
        lambda: ventilation.additive_index([1e-6], []),
        lambda: ventilation.dilution_air(1.0, 0.0),
        lambda: ventilation.dilution_air(1.0, 0.01, 1.5),
        lambda: ventilation.vapour_volume(-1.0, 800.0, 0.1),
    ],
)
def test_refused(call):
    with pytest.raises(RangeError):
        call()
