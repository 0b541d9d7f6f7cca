"""Pouring on the scale."""

import math

import pytest

from coatwright.engines import mixing
from coatwright.errors import RangeError

PARTS = [4, 1, 0.5]
DENSITIES = [1400.0, 1000.0, 880.0]


def test_pour_by_hand():
    """550 mL at 4:1:0.5 is 400, 100 and 50 mL: 560, 100 and 44 g."""
    assert mixing.pour(550e-6, PARTS, DENSITIES) == pytest.approx([0.560, 0.660, 0.704])
    assert mixing.pour_mass(0.704, PARTS, DENSITIES) == pytest.approx([0.560, 0.660, 0.704])


@pytest.mark.parametrize("volume", [0.0, -1e-3, float("nan")])
def test_no_volume(volume):
    with pytest.raises(RangeError) as caught:
        mixing.pour(volume, PARTS, DENSITIES)
    assert caught.value.sentence == f"a mix of {volume:g} m3; it must be above 0"


def test_no_scale():
    with pytest.raises(RangeError) as caught:
        mixing.on_scale([0.1], 0.0)
    assert caught.value.sentence == "a scale resolution of 0 kg; it must be above 0"


def test_rounding_of_a_small_mix_spoils_the_ratio():
    """10 g of 10:1 at equal densities on a scale of 1 g: 9 and 10 g, so 9:1, a ninth too much."""
    exact = mixing.pour_mass(0.010, [10, 1], [1000.0, 1000.0])
    shown = mixing.on_scale(exact, 0.001)
    assert shown == pytest.approx([0.009, 0.010])
    assert mixing.ratio_error(shown, [10, 1], [1000.0, 1000.0]) == pytest.approx(1 / 9)


def test_no_base_at_all():
    assert mixing.ratio_error([0.0, 0.1], [4, 1], [1000.0, 1000.0]) == math.inf
    with pytest.raises(RangeError) as caught:
        mixing.ratio_error([0.0, 0.1], [0, 1], [1000.0, 1000.0])
    assert caught.value.sentence == "the first part is 0; pour the base first"


def test_too_much_hardener_by_hand():
    """4:1 at 1.4 and 1.0 kg/L is 5.6:1 by mass; 120 g of hardener want 672 g of base."""
    add = mixing.over_pour([0.560, 0.120, 0.0], PARTS, DENSITIES)
    assert add == pytest.approx([0.112, 0.0, 0.0528])


@pytest.mark.parametrize("cup", [[0.0, 0.0], [0.1, 0.1]])
def test_what_cannot_be_mended(cup):
    parts = [4, 1] if sum(cup) == 0 else [4, 0]
    with pytest.raises(RangeError) as caught:
        mixing.over_pour(cup, parts, [1000.0, 1000.0])
    assert caught.value.sentence == (
        f"a cup with {cup} kg cannot be brought to the ratio; "
        "it must hold something, and only what belongs in the mix"
    )


def test_a_component_that_is_not_used_is_left_alone():
    """4:0:1 at equal densities, 10 % too much of the last."""
    cumulative = [0.4, 0.4, 0.51]
    densities = [1000.0, 1000.0, 1000.0]
    assert mixing.ratio_error(cumulative, [4, 0, 1], densities) == pytest.approx(0.1)
    add = mixing.over_pour([0.4, 0.0, 0.11], [4, 0, 1], densities)
    assert add == pytest.approx([0.04, 0.0, 0.0])
