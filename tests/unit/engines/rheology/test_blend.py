"""Thinning: what is refused, and how far the two rules are apart."""

import pytest

from coatwright.engines import rheology
from coatwright.errors import RangeError

THINNER = 0.8e-6


def test_target_beyond_reach():
    with pytest.raises(RangeError) as caught:
        rheology.share_for(80e-6, 60e-6, THINNER)
    assert caught.value.sentence == (
        "no blend of 60 and 0.8 mm2/s has 80 mm2/s; it must lie between 0.8 and 60 mm2/s"
    )


def test_equal_liquids_need_no_share():
    assert rheology.share_for(60e-6, 60e-6, 60e-6) == 0.0


@pytest.mark.parametrize("share", [-0.1, 1.1, float("nan")])
def test_share_outside(share):
    with pytest.raises(RangeError) as caught:
        rheology.blend(60e-6, THINNER, share)
    assert caught.value.sentence == f"a share of {share:g} in a blend; it must be 0 to 1"


@pytest.mark.parametrize(
    ("index", "viscosity", "bound"),
    [
        (rheology.blend_index, 0.009e-6, "0.01"),
        (rheology.blend_index, 1.1, "0.01"),
        (rheology.blend_index_by_mass, 0.2e-6, "0.2001"),
    ],
)
def test_no_liquid(index, viscosity, bound):
    with pytest.raises(RangeError) as caught:
        index(viscosity)
    assert caught.value.sentence == (
        f"a kinematic viscosity of {viscosity / 1e-6:g} mm2/s cannot be blended; "
        f"it must be {bound} mm2/s to 1 m2/s"
    )


@pytest.mark.parametrize("share", [0.8, 1.0])
def test_nothing_liquid_left(share):
    with pytest.raises(RangeError) as caught:
        rheology.without(60e-6, THINNER, share)
    assert caught.value.sentence == (
        f"without {share:.0%} of it nothing liquid is left of the blend; a smaller share must leave"
    )


def test_index_by_hand():
    """ln 100 / ln 100000 = 2/5."""
    assert rheology.blend_index(100e-6) == pytest.approx(0.4)


def test_blend_by_hand():
    """Half and half of 1000 (index 1/2) and 1 mm2/s (index 0): 1/4, that is 1000^(1/3) = 10."""
    assert rheology.blend(1000e-6, 1e-6, 0.5) == pytest.approx(10e-6)


@pytest.mark.parametrize("neat", [100e-6, 200e-6, 400e-6])
@pytest.mark.parametrize("wanted", [45e-6, 57e-6, 70e-6])
def test_the_two_rules_agree_on_the_dose(neat, wanted):
    """Within the 30 % stated: the rule by mass, at 1.25 kg/L of paint and 0.87 of thinner."""
    share = rheology.share_for(wanted, neat, THINNER)
    low, high = 0.0, 1.0
    for _ in range(60):
        middle = (low + high) / 2
        if rheology.blend_by_mass(neat, THINNER, middle) > wanted:
            low = middle
        else:
            high = middle
    by_volume = (low / 0.87) / (low / 0.87 + (1 - low) / 1.25)
    assert by_volume == pytest.approx(share, rel=0.3)


def test_thickest_and_thinnest_may_be_blended():
    assert rheology.blend(1.0, 0.01e-6, 0.0) == pytest.approx(1.0)
    assert rheology.blend(1.0, 0.01e-6, 1.0) == pytest.approx(0.01e-6)


def test_what_is_left_may_be_as_thick_as_a_liquid_can_be():
    """Half thinner, half a liquid just below the thickest: taking the thinner out gives it back."""
    half = rheology.blend(0.99, THINNER, 0.5)
    assert rheology.without(half, THINNER, 0.5) == pytest.approx(0.99)
    with pytest.raises(RangeError):
        rheology.without(rheology.blend(1.0, THINNER, 0.5) * 1.01, THINNER, 0.5)


def test_rounding_at_the_ends_is_forgiven_and_no_more():
    assert rheology.share_for(60e-6 * (1 + 1e-12), 60e-6, THINNER) == 0.0
    assert rheology.share_for(THINNER * (1 - 1e-12), 60e-6, THINNER) == 1.0
    for target in (60e-6 * (1 + 1e-6), THINNER * (1 - 1e-6)):
        with pytest.raises(RangeError):
            rheology.share_for(target, 60e-6, THINNER)
