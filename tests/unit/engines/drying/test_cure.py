"""Cure along a history: constant, stepped and swinging temperatures, by hand and quadrature."""

import math

import numpy as np
import pytest
from scipy.integrate import quad

from coatwright.engines import drying
from coatwright.errors import RangeError


def test_the_sheet_s_own_bake_cures_once():
    clock = np.linspace(0, 1800, 7)
    cure = drying.cure_reached(clock, np.full(7, 333.15), 1800.0, 333.15)
    np.testing.assert_allclose(cure, clock / 1800.0)


def test_ten_degrees_double_it_near_room_temperature():
    assert drying.cure_rate(303.15, 293.15) == pytest.approx(2.0, rel=1e-3)
    assert drying.cure_rate(293.15, 293.15) == 1.0
    assert drying.cure_rate(303.15, 293.15, 0.0) == 1.0


def test_against_quadrature():
    def metal(t):
        return 300.0 + 30.0 * math.sin(t / 900.0)

    clock = np.linspace(0, 3600, 1201)
    found = drying.cure_reached(clock, [metal(t) for t in clock], 1200.0, 320.0, 60e3)[-1]
    wanted, _ = quad(
        lambda t: math.exp(60e3 / 8.314462618 * (1 / 320.0 - 1 / metal(t))), 0, 3600, epsrel=1e-10
    )
    assert found == pytest.approx(wanted / 1200.0, rel=1e-5)


def test_energy_and_back():
    energy = drying.activation_of(2.0, 293.15, 303.15)
    assert energy == pytest.approx(51.2e3, rel=2e-3)
    assert drying.cure_rate(303.15, 293.15, energy) == pytest.approx(2.0)


@pytest.mark.parametrize(
    "call",
    [
        lambda: drying.cure_rate(200.0, 293.15),
        lambda: drying.cure_rate([293.15, 600.0], 293.15),
        lambda: drying.cure_rate(293.15, 293.15, -1.0),
        lambda: drying.cure_reached([0, 0], [293, 293], 10.0, 293.15),
        lambda: drying.cure_reached([0, 1], [293, 293], 0.0, 293.15),
        lambda: drying.activation_of(0.0, 293.15, 303.15),
        lambda: drying.activation_of(2.0, 293.15, 293.15),
    ],
)
def test_refused(call):
    with pytest.raises(RangeError):
        call()
