"""The hose against the general-purpose library `fluids`, and between its two bounds."""

import math

import fluids
import pytest

from coatwright.engines import air
from coatwright.engines.air import _plain
from coatwright.errors import RangeError

GAS = 8.314462618 / 0.0289652
SMOOTH = air.Hose(7.62, 6.35e-3, 1.0, air.NO_PART, air.NO_PART)


@pytest.mark.parametrize("reynolds", [4e3, 1e4, 5.17e4, 2e5, 1e6])
def test_friction_of_a_smooth_bore(reynolds):
    wanted = fluids.friction_factor(Re=reynolds, eD=0.0, Method="Colebrook")
    assert air.smooth_friction(reynolds) == pytest.approx(wanted, rel=1e-3)
    assert _plain.smooth_friction(reynolds) == pytest.approx(air.smooth_friction(reynolds))


def test_friction_while_laminar_and_without_a_jump():
    assert air.smooth_friction(500.0) == pytest.approx(64 / 500)
    for edge in (2000.0, 4000.0):
        below, above = air.smooth_friction(edge - 1e-6), air.smooth_friction(edge + 1e-6)
        assert below == pytest.approx(above, rel=1e-6)
    with pytest.raises(RangeError, match="Reynolds number of 0 must be above zero"):
        air.smooth_friction(0.0)


def test_viscosity_of_air_at_room_temperature():
    """1.81e-5 to 1.83e-5 Pa s at 20 degC in any table (from memory)."""
    assert air.air_viscosity(293.15) == pytest.approx(1.82e-5, rel=0.01)


@pytest.mark.parametrize(
    ("upstream", "downstream", "length", "bore", "friction"),
    [
        (1.0e6, 0.9e6, 1000.0, 0.5, 0.00185),
        (5.63e5, 3.5e5, 7.62, 6.35e-3, 0.0165),
        (4.0e5, 3.9e5, 10.0, 9.5e-3, 0.021),
        (9.0e5, 3.0e5, 2.0, 5e-3, 0.02),
    ],
)
def test_flow_is_that_of_the_library(upstream, downstream, length, bore, friction):
    wanted = fluids.isothermal_gas(
        rho=upstream / (GAS * 293.15),  # its formula divides by the inlet pressure
        fd=friction,
        P1=upstream,
        P2=downstream,
        L=length,
        D=bore,
    )
    found = air.isothermal_flow(upstream, downstream, friction * length / bore, bore)
    assert found == pytest.approx(wanted, rel=1e-9)


def test_a_choked_pipe_gives_no_more():
    flows = [air.isothermal_flow(7e5, p, 20.0, 6e-3) for p in (1e3, 5e4, 1e5)]
    assert flows[0] == flows[1] == flows[2]
    with pytest.raises(RangeError, match="not between zero"):
        air.isothermal_flow(3e5, 3e5, 20.0, 6e-3)


@pytest.mark.parametrize("flow", [1e-4, 2e-3, 7e-3])
@pytest.mark.parametrize("friction", [1.0, 1.3, 2.5])
def test_outlet_and_inlet_are_one_hose(flow, friction):
    part = air.from_nominal(1000e-3 / 60)
    hose = air.Hose(10.0, 9.5e-3, friction, part, part)
    outlet = air.hose_outlet(hose, 5e5, flow)
    assert air.hose_inlet(hose, outlet, flow) == pytest.approx(5e5, rel=1e-12)
    assert air.hose_drop(hose, 5e5, flow) == pytest.approx(5e5 - outlet)


def test_hose_is_the_library_s_pipe_at_its_own_friction():
    flow = 7e-3
    outlet = air.hose_outlet(SMOOTH, 4.0e5, flow)
    flux = flow / (math.pi / 4 * SMOOTH.bore**2)
    friction = fluids.friction_factor(Re=flux * SMOOTH.bore / air.air_viscosity(293.15), eD=0.0)
    dense = 4.0e5 / (GAS * 293.15)
    passed = fluids.isothermal_gas(dense, friction, P1=4.0e5, P2=outlet, L=7.62, D=6.35e-3)
    assert passed == pytest.approx(flow, rel=1e-3)


@pytest.mark.parametrize(
    ("bore", "smooth", "formula"), [(6.35, 1.45, 2.17), (7.94, 0.42, 0.71), (9.53, 0.17, 0.28)]
)
def test_rubber_hose_lies_between_a_smooth_bore_and_the_formula(bore, smooth, formula):
    """7.62 m at 3 bar with 350 L/min: bounds worked out with fluids and by hand (bar)."""
    flow, inlet = 350e-3 / 60, 3e5 + 101325.0
    mass = flow * air.free_density(293.15)
    drops = {
        friction: air.hose_drop(
            air.Hose(7.62, bore * 1e-3, friction, air.NO_PART, air.NO_PART), inlet, mass
        )
        for friction in (1.0, air.HOSE_FRICTION)
    }
    assert drops[1.0] / 1e5 == pytest.approx(smooth, rel=0.05)
    by_formula = air.empirical_drop(7.62, bore * 1e-3, inlet, flow) / 1e5
    assert by_formula == pytest.approx(formula, abs=0.0051)
    assert drops[1.0] < drops[air.HOSE_FRICTION] < by_formula * 1e5


def test_a_narrow_hose_chokes():
    narrow = SMOOTH._replace(bore=3e-3)
    with pytest.raises(RangeError, match="take a wider hose or a smaller air cap"):
        air.hose_inlet(narrow, 1.2e5, 7e-3)
    with pytest.raises(RangeError, match="take a wider or shorter hose"):
        air.hose_outlet(narrow, 4e5, 7e-3)


def test_no_flow_no_loss():
    assert air.hose_inlet(SMOOTH, 3e5, 0.0) == 3e5
