"""Pot life: what is refused."""

import pytest

from coatwright.engines import mixing
from coatwright.errors import RangeError


@pytest.mark.parametrize(("start", "end"), [(273.1, 293.0), (293.0, 353.2)])
def test_outside_the_law(start, end):
    with pytest.raises(RangeError) as caught:
        mixing.pot_life(3600.0, start, end)
    strange = start if start < 280 else end
    assert caught.value.sentence == (
        f"a cure temperature of {strange:g} K is outside the cure law; "
        "it must be 0 to 80 degC (273.15 to 353.15 K)"
    )


def test_negative_energy():
    with pytest.raises(RangeError) as caught:
        mixing.speed_up(293.15, 303.15, -1.0)
    assert caught.value.sentence == "an activation energy of -1 J/mol; it must be 0 or more"


@pytest.mark.parametrize(("factor", "end"), [(0.0, 303.0), (2.0, 293.0)])
def test_no_energy(factor, end):
    with pytest.raises(RangeError) as caught:
        mixing.activation_for(factor, 293.0, end)
    assert caught.value.sentence == (
        f"no activation energy gives {factor:g} between 293 and {end:g} K; "
        "the factor must be above 0 and the temperatures must differ"
    )


def test_the_ends_are_inside():
    assert mixing.speed_up(273.15, 353.15) > 1.0
