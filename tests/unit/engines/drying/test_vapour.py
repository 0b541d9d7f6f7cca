"""Vapour, diffusion and transfer: fixed points and hand calculations."""

import pytest

from coatwright.engines import drying
from coatwright.engines.drying import Solvent
from coatwright.errors import RangeError

ESTER = Solvent(0.11616, 880.9, 399.15, 1245.0, 135.34)


def test_the_curve_goes_through_both_its_points():
    assert drying.vapour_pressure(ESTER, 293.15) == pytest.approx(1245.0)
    assert drying.vapour_pressure(ESTER, 399.15) == pytest.approx(101325.0)


def test_a_point_elsewhere_is_carried_to_room_temperature():
    elsewhere = drying.vapour_pressure(ESTER, 310.0)
    assert drying.room_pressure(399.15, elsewhere, 310.0) == pytest.approx(1245.0)


def test_heat_is_the_slope_of_the_curve():
    step = 0.01
    up, down = (drying.vapour_pressure(ESTER, 298.15 + d) for d in (step, -step))
    slope = (up - down) / (2 * step) / drying.vapour_pressure(ESTER, 298.15)
    expected = slope * 8.314462618 * 298.15**2
    assert drying.heat_of_vaporisation(ESTER, 298.15) == pytest.approx(expected, rel=1e-6)


def test_viscosity_of_air():
    """15.1e-6 m2/s at 20 degC (textbooks, from memory)."""
    assert drying.air_viscosity(293.15) == pytest.approx(15.1e-6, rel=0.01)


def test_laminar_transfer_by_hand():
    """5 m/s along 0.5 m: Re 165 500, Sh = 0.664 Re^0.5 Sc^(1/3) with Sc 1.51 for D 1e-5."""
    found = drying.mass_transfer(1e-5, 5.0, 0.5, 293.15, draught=0.0)
    expected = 0.664 * 165500**0.5 * 1.51 ** (1 / 3) * 1e-5 / 0.5
    assert found == pytest.approx(expected, rel=0.01)


def test_turbulent_transfer_is_above_laminar():
    slow, fast = (drying.mass_transfer(1e-5, v, 2.0, 293.15) for v in (3.7, 3.9))
    assert fast > slow
    assert (
        drying.mass_transfer(1e-5, 10.0, 2.0, 293.15) / drying.mass_transfer(1e-5, 5.0, 2.0, 293.15)
        > 2**0.8 * 0.95
    )


@pytest.mark.parametrize(
    "call",
    [
        lambda: drying.vapour_pressure(ESTER, 500.0),
        lambda: drying.vapour_pressure(ESTER, float("nan")),
        lambda: drying.heat_of_vaporisation(ESTER, 100.0),
        lambda: drying.mass_transfer(1e-5, -0.1, 0.5, 293.15),
        lambda: drying.mass_transfer(1e-5, 0.1, 0.0, 293.15),
        lambda: drying.room_pressure(399.15, 2e5, 310.0),
        lambda: drying.room_pressure(399.15, 1e3, 400.0),
    ],
)
def test_refused(call):
    with pytest.raises(RangeError):
        call()
