"""Volatile content: what is refused."""

import pytest

from coatwright.engines import mixing
from coatwright.errors import RangeError


def test_more_volatile_than_there_is():
    with pytest.raises(RangeError) as caught:
        mixing.ready_voc_eu([2, 1], [500.0, 700.0], [0.0, 400.0], [1200.0, 1000.0])
    assert caught.value.sentence == (
        "part 2 holds 1100 kg/m3 of volatiles in 1000 kg/m3; "
        "VOC and water together must not exceed the density"
    )


def test_nothing_but_water():
    with pytest.raises(RangeError) as caught:
        mixing.ready_voc_us([1], [0.0], [998.2], [998.2])
    assert caught.value.sentence == (
        "nothing but water is left to refer the VOC to; check the water"
    )


def test_exempt_must_be_part_of_the_volatiles():
    with pytest.raises(RangeError) as caught:
        mixing.ready_voc_us([1], [100.0], [0.0], [1000.0], mixing.Exempt([200.0], 790.0))
    assert caught.value.sentence == (
        "more exempt compounds than volatile organics; the exempt ones must be included in voc"
    )


@pytest.mark.parametrize(("solids", "water"), [(0.6, 0.5), (-0.1, 0.5), (0.5, -0.1)])
def test_shares_of_mass(solids, water):
    with pytest.raises(RangeError) as caught:
        mixing.voc_of_weights(1000.0, solids, water)
    assert caught.value.sentence == (
        f"mass shares of {solids:g} solids and {water:g} water; "
        "each must be 0 or more and together at most 1"
    )


def test_acetone_counts_in_the_eu_but_not_in_the_us():
    """Half acetone (exempt in the US) of 790 kg/m3, half another solvent of 870, by volume."""
    exempt = mixing.Exempt([395.0], 790.0)
    mix = ([1], [395.0 + 435.0], [0.0], [830.0])
    assert mixing.ready_voc_eu(*mix) == pytest.approx(830.0)
    assert mixing.ready_voc_us(*mix, exempt) == pytest.approx(870.0)


def test_all_volatile_and_all_exempt_are_allowed():
    assert mixing.ready_voc_us([1], [870.0], [0.0], [870.0]) == 870.0
    mostly = mixing.Exempt([400.0], 800.0)
    assert mixing.ready_voc_us([1], [400.0], [0.0], [1000.0], mostly) == 0.0
    assert mixing.voc_of_weights(1000.0, 0.3, 0.7) == pytest.approx(0.0, abs=1e-9)


@pytest.mark.parametrize("over", [1.001, 1.01])
def test_a_little_too_much_is_too_much(over):
    with pytest.raises(RangeError):
        mixing.ready_voc_us([1], [870.0 * over], [0.0], [870.0])
    with pytest.raises(RangeError):
        mixing.ready_voc_us([1], [400.0], [0.0], [1e3], mixing.Exempt([400.0 * over], 800.0))
