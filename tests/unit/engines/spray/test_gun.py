"""What a gun delivers: limits in closed form, and what painters know."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coatwright.engines.spray.gun import (
    FluidTest,
    air_demand,
    droplet_size,
    fade_length,
    full_flow,
    transfer,
)
from coatwright.errors import RangeError

TEST = FluidTest(180e-6 / 60, 2e5, 57e-6, 1.3e-3, 330e-3 / 60)


def test_the_tested_flow_comes_back_at_the_tested_conditions() -> None:
    assert full_flow(TEST, 2e5, 57e-6) == pytest.approx(TEST.flow, rel=1e-12)


def test_thick_paint_obeys_hagen_poiseuille() -> None:
    """Laminar friction alone: flow goes as pressure over viscosity (hagen-poiseuille)."""
    thick = TEST._replace(viscosity=0.05)
    assert full_flow(thick, 4e5, 0.05) == pytest.approx(2 * TEST.flow, rel=2e-2)
    assert full_flow(thick, 2e5, 0.10) == pytest.approx(TEST.flow / 2, rel=2e-2)


def test_thin_liquid_obeys_the_orifice() -> None:
    """Dynamic head alone: flow goes as the root of pressure, whatever the viscosity."""
    thin = TEST._replace(viscosity=1e-12)
    assert full_flow(thin, 4e5, 1e-12) == pytest.approx(math.sqrt(2) * TEST.flow, rel=1e-4)


def test_half_the_fluid_at_1_5_bar_is_as_fine_as_full_fluid_at_2_bar() -> None:
    """Common practice, no source: what a beginner is given atomises no worse."""
    half = full_flow(TEST, 2e5, 57e-6) / 2
    assert droplet_size(TEST, 2e5, TEST.flow, TEST.flow) == pytest.approx(1.0)
    assert droplet_size(TEST, 1.5e5, half, TEST.flow) <= 1.02
    assert droplet_size(TEST, 1.5e5, TEST.flow, TEST.flow) > 1.05


def test_a_choked_cap_passes_air_by_absolute_pressure() -> None:
    """ISO 6358: mass flow through a choked opening goes as absolute upstream pressure."""
    assert air_demand(TEST, 2e5) == pytest.approx(TEST.air)
    assert air_demand(TEST, 4e5) == pytest.approx(TEST.air * 501325 / 301325)


@pytest.mark.parametrize(("pressure", "viscosity"), [(0.0, 5e-5), (-1.0, 5e-5), (2e5, 0.0)])
def test_nonsense_is_refused(pressure: float, viscosity: float) -> None:
    with pytest.raises(RangeError, match="must both be above zero"):
        full_flow(TEST, pressure, viscosity)


@given(st.floats(0.1, 0.3), st.floats(0.1, 0.3), st.floats(0.8e5, 4e5), st.floats(0.8e5, 4e5))
def test_farther_or_harder_never_transfers_more(d0: float, d1: float, p0: float, p1: float) -> None:
    near, far = sorted((d0, d1))
    soft, hard = sorted((p0, p1))
    assert transfer(0.6, far, 0.15, soft, 2e5) <= transfer(0.6, near, 0.15, soft, 2e5)
    assert transfer(0.6, near, 0.15, hard, 2e5) <= transfer(0.6, near, 0.15, soft, 2e5)
    assert 0 < transfer(0.6, far, 0.15, hard, 2e5) <= 0.95


def test_transfer_falls_by_e_over_the_stated_length() -> None:
    fallen = transfer(0.6, 0.15 + fade_length(), 0.15, 2e5, 2e5)
    assert fallen == pytest.approx(0.6 / math.e)
