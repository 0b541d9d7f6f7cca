"""What must hold for every cup, viscosity, temperature and blend."""

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from coatwright.engines import rheology
from coatwright.errors import RangeError

cups = st.sampled_from(rheology.CUPS)
viscosities = st.floats(0.3e-6, 5e-3)
shares = st.floats(0.0, 1.0)
temperatures = st.floats(273.15, 323.15)


@given(cups, viscosities)
def test_cup_there_and_back(cup, viscosity):
    seconds = rheology.cup_seconds(cup, viscosity)
    assert rheology.kinematic_viscosity(cup, seconds) == pytest.approx(viscosity, rel=1e-6)


@given(cups, viscosities, viscosities)
def test_thicker_takes_longer(cup, one, other):
    assume(abs(one - other) > 1e-6 * one)
    longer = rheology.cup_seconds(cup, one) > rheology.cup_seconds(cup, other)
    assert longer == (one > other)


@given(viscosities, temperatures, temperatures, temperatures)
def test_temperature_by_stages_is_temperature_at_once(viscosity, first, between, last):
    staged = rheology.at_temperature(
        rheology.at_temperature(viscosity, first, between), between, last
    )
    assert staged == pytest.approx(rheology.at_temperature(viscosity, first, last))


@given(viscosities, temperatures, temperatures)
def test_warmer_is_thinner(viscosity, first, last):
    assume(abs(first - last) > 1e-3)
    thinner = rheology.at_temperature(viscosity, first, last) < viscosity
    assert thinner == (last > first)


@pytest.mark.parametrize("rule", [rheology.blend, rheology.blend_by_mass])
@given(a=viscosities, b=viscosities, share=shares)
def test_blend_lies_between(rule, a, b, share):
    found = rule(a, b, share)
    assert min(a, b) * (1 - 1e-9) <= found <= max(a, b) * (1 + 1e-9)
    assert rule(b, a, 1 - share) == pytest.approx(found)


@pytest.mark.parametrize("rule", [rheology.blend, rheology.blend_by_mass])
@given(b=viscosities, times=st.floats(1.001, 100.0), one=shares, more=st.floats(0.001, 1.0))
def test_more_of_the_thinner_is_thinner(rule, b, times, one, more):
    other = one + more * (1.0 - one)
    assume(other - one > 1e-6)
    assert rule(b * times, b, other) < rule(b * times, b, one)


@given(viscosities, viscosities, shares)
def test_share_is_found_again(a, b, share):
    assume(max(a, b) > 1.01 * min(a, b))
    assert rheology.share_for(rheology.blend(a, b, share), a, b) == pytest.approx(share, abs=1e-6)


@given(viscosities, viscosities, st.floats(0.0, 0.7))
def test_what_left_can_be_put_back(blend, lost, share):
    try:
        left = rheology.without(blend, lost, share)
    except RangeError:
        assert share > 0.0
        return
    assume(left > 0.3e-6)
    assert rheology.blend(left, lost, share) == pytest.approx(blend, rel=1e-6)


@given(viscosities, viscosities, shares)
def test_two_by_two_is_all_at_once(a, b, share):
    """The index adds up, so a half may be split: half of (a, b) with itself changes nothing."""
    found = rheology.blend(a, b, share)
    assert rheology.blend(found, found, 0.5) == pytest.approx(found)
