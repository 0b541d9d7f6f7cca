"""Panels under heat: steady states by root finding, and an independent solver."""

import numpy as np
import pytest
from scipy.integrate import solve_ivp
from scipy.optimize import brentq

from coatwright.engines import drying
from coatwright.engines.drying import Panel
from coatwright.errors import RangeError

STEEL = Panel(2952.0, 12.0)
SIGMA = 5.670374419e-8


def test_it_settles_where_heat_in_is_heat_out():
    def balance(metal):
        lost = 12.0 * (metal - 293.15) + 1.8 * SIGMA * (metal**4 - 293.15**4)
        return 0.9 * 1500.0 - lost

    found = drying.panel_temperature([0.0, 7200.0], STEEL, 1500.0, 293.15, 293.15)[-1]
    assert found == pytest.approx(brentq(balance, 293.15, 600.0), abs=0.01)


def test_against_an_independent_solver():
    def slope(_, metal):
        lost = 12.0 * (metal - 293.15) + 1.8 * SIGMA * (metal**4 - 293.15**4)
        return (0.9 * 2000.0 - lost) / 2952.0

    clock = np.array([0.0, 60.0, 300.0, 900.0])
    solved = solve_ivp(slope, (0, 900), [288.15], t_eval=clock, rtol=1e-10, atol=1e-8)
    found = drying.panel_temperature(clock, STEEL, 2000.0, 293.15, 288.15)
    np.testing.assert_allclose(found, solved.y[0], atol=1e-3)


def test_thicker_metal_warms_as_much_slower():
    thick = STEEL._replace(capacity=2 * 2952.0)
    early = drying.panel_temperature([0.0, 30.0], STEEL, 1500.0, 293.15, 293.15)[-1]
    later = drying.panel_temperature([0.0, 60.0], thick, 1500.0, 293.15, 293.15)[-1]
    assert later == pytest.approx(early, abs=1e-3)


def test_an_oven_brings_it_to_its_air():
    found = drying.panel_temperature([0.0, 7200.0], STEEL, 0.0, 333.15, 288.15)[-1]
    assert found == pytest.approx(333.15, abs=0.01)


def test_refused():
    with pytest.raises(RangeError):
        drying.panel_temperature([0, 0], STEEL, 0.0, 293.15, 293.15)
    with pytest.raises(RangeError):
        drying.panel_temperature([0, 1], STEEL._replace(capacity=0.0), 0.0, 293.15, 293.15)
