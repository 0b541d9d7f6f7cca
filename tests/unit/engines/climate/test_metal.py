"""Metal that lags: closed forms, an independent solver, published orders of magnitude."""

import math

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from coatwright.engines import climate
from coatwright.errors import RangeError


def test_time_constant_by_hand():
    # 7850 x 470 x 0.8 mm = 2952 J/(m2 K); at 8 W/(m2 K) on one face 369 s
    assert climate.time_constant(0.8e-3, 8.0) == pytest.approx(368.95, rel=1e-6)
    assert climate.time_constant(0.8e-3, 8.0, faces=2.0) == pytest.approx(184.475, rel=1e-6)


def test_transfer_of_still_air_is_that_of_handbooks():
    """Free convection of air 2 to 25 W/(m2 K), radiation about 5 at 20 degC (textbooks, memory)."""
    bright = climate.surface_transfer(0.0, 0.5, 293.15, emissivity=0.0)
    assert 2.0 < bright < 6.0
    radiation = climate.surface_transfer(0.0, 0.5, 293.15, emissivity=1.0) - bright
    assert radiation == pytest.approx(4 * 5.670374e-8 * 293.15**3, rel=1e-6)
    assert climate.surface_transfer(3.0, 0.5, 293.15) > 1.5 * climate.surface_transfer(
        0.2, 0.5, 293.15
    )


def test_laminar_plate_by_hand():
    """1 m/s along 0.5 m: Re 33 100, Nu 0.664 Re^0.5 Pr^(1/3) = 107.8, h 5.5 W/(m2 K).

    Free flow is switched off by a difference of nothing (its least Nusselt number stays).
    """
    found = climate.surface_transfer(1.0, 0.5, 293.15, difference=0.0, emissivity=0.0)
    assert found == pytest.approx(107.8 * 0.0257 / 0.5, rel=0.02)


def test_a_step_of_air_is_an_exponential():
    clock = np.array([0.0, 300.0, 600.0])
    metal = climate.metal_temperature(clock, np.full(3, 293.15), 278.15, 600.0)
    expected = 293.15 - 15.0 * np.exp(-clock / 600.0)
    np.testing.assert_allclose(metal, expected, rtol=1e-12)


def test_against_an_independent_solver():
    clock = np.linspace(0.0, 7200.0, 9)
    air = 288.0 + 5.0 * np.sin(clock / 2000.0)
    found = climate.metal_temperature(clock, air, 280.0, 900.0)
    solved = solve_ivp(
        lambda t, y: (np.interp(t, clock, air) - y) / 900.0,
        (0.0, 7200.0), [280.0], t_eval=clock, rtol=1e-10, atol=1e-10, max_step=20.0,
    )  # fmt: skip
    np.testing.assert_allclose(found, solved.y[0], atol=1e-4)


def test_metal_without_lag_is_the_air():
    air = np.array([280.0, 290.0])
    np.testing.assert_array_equal(climate.metal_temperature([0, 1], air, 250.0, 0.0), air)


def test_time_to_reach_inverts_the_exponential():
    wanted = 293.15 - 15.0 * math.exp(-2.0)
    assert climate.time_to_reach(278.15, 293.15, wanted, 600.0) == pytest.approx(1200.0)
    assert climate.time_to_reach(290.0, 293.15, 285.0, 600.0) == 0.0
    assert climate.time_to_reach(280.0, 285.0, 290.0, 600.0) == math.inf


@pytest.mark.parametrize(
    "call",
    [
        lambda: climate.time_constant(0.0, 8.0),
        lambda: climate.surface_transfer(-1.0, 0.5, 293.15),
        lambda: climate.surface_transfer(1.0, 0.5, 293.15, emissivity=1.5),
        lambda: climate.metal_temperature([0, 0], [280, 280], 280.0, 10.0),
    ],
)
def test_refused(call):
    with pytest.raises(RangeError):
        call()
