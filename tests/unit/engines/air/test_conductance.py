"""Parts by ISO 6358: there and back, and against isentropic flow worked out from its equations."""

import math

import pytest

from coatwright.engines import air
from coatwright.errors import RangeError

PART = air.Restriction(4e-8, 0.3)


@pytest.mark.parametrize("downstream", [1e5, 2.5e5, 4e5, 5.9e5])
@pytest.mark.parametrize("ratio", [0.1, 0.3, 0.5, 0.528, 0.6])
def test_the_pressure_before_is_found_again(downstream, ratio):
    part = air.Restriction(4e-8, ratio)
    flow = air.restriction_flow(part, 6e5, downstream)
    assert air.pressure_before(part, downstream, flow) == pytest.approx(6e5, rel=1e-12)


@pytest.mark.parametrize("downstream", [2.5e5, 4e5, 5.9e5])
def test_the_pressure_after_is_found_again(downstream):
    flow = air.restriction_flow(PART, 6e5, downstream)
    assert air.pressure_after(PART, 6e5, flow) == pytest.approx(downstream, rel=1e-12)


def test_choked_flow_no_longer_depends_on_what_is_behind():
    assert air.restriction_flow(PART, 6e5, 1e5) == air.restriction_flow(PART, 6e5, 1.7e5)
    assert air.restriction_flow(PART, 6e5, 1.9e5) < air.restriction_flow(PART, 6e5, 1.7e5)


def test_nothing_flows_uphill_and_nothing_at_rest():
    assert air.restriction_flow(PART, 3e5, 3e5) == 0.0
    assert air.restriction_flow(PART, 3e5, 4e5) == 0.0


def test_warm_air_flows_less():
    cold, warm = (air.restriction_flow(PART, 6e5, 1e5, t) for t in (273.15, 313.15))
    assert warm / cold == pytest.approx(math.sqrt(273.15 / 313.15))


def test_too_much_does_not_pass():
    most = air.restriction_flow(PART, 6e5, 1e5)
    with pytest.raises(RangeError, match=r"do not pass at 6\.00 bar absolute; at most"):
        air.pressure_after(PART, 6e5, most * 1.001)


def test_pressures_must_be_above_zero():
    with pytest.raises(RangeError, match="must be above zero"):
        air.restriction_flow(PART, -1.0, 1e5)


def test_two_alike_in_series_choked_at_the_second():
    """One after the other the flow of two equal parts is less than of one, and near C / sqrt 2."""
    both = air.in_series([PART.conductance, PART.conductance])
    assert both == pytest.approx(PART.conductance / math.sqrt(2))


def test_nominal_flow_is_what_passes_at_6_and_5_bar():
    part = air.from_nominal(1000e-3 / 60)
    flow = air.restriction_flow(part, 6e5 + 101325.0, 5e5 + 101325.0)
    assert flow / 1.185 == pytest.approx(1000e-3 / 60)
    with pytest.raises(RangeError, match="no way through"):
        air.from_nominal(0.0)


def test_nozzle_is_isentropic_flow():
    """Mass flux p sqrt(k / (R T)) (2 / (k + 1))^((k + 1) / (2 (k - 1))) of a 1 mm throat."""
    k, gas = 1.4, 8.314462618 / 0.0289652
    flux = 7e5 * math.sqrt(k / (gas * 293.15)) * (2 / (k + 1)) ** ((k + 1) / (2 * (k - 1)))
    flow = air.restriction_flow(air.nozzle(1e-3), 7e5, 1e5)
    assert flow == pytest.approx(flux * math.pi / 4 * 1e-6, rel=1e-12)
    assert air.nozzle(1e-3, 0.6).conductance == pytest.approx(0.6 * air.nozzle(1e-3).conductance)
