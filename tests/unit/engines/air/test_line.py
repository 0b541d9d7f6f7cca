"""The line at one moment, against the same line solved the other way round by search."""

import math

import pytest

from coatwright.engines import air
from coatwright.engines.air import _plain
from coatwright.engines.constants import ATMOSPHERE
from coatwright.errors import RangeError
from unit.engines.air.lines import CONVENTIONAL, HVLP, line

BOTH = pytest.mark.parametrize("at_gun", [False, True], ids=["wall", "gun"])


@BOTH
@pytest.mark.parametrize("cap", [HVLP, CONVENTIONAL], ids=["hvlp", "conventional"])
@pytest.mark.parametrize("receiver", [1.2e5, 2e5, 3.3e5, 4.4e5, 9e5])
def test_kernel_and_plain_agree(cap, receiver, at_gun):
    own = line(at_gun)
    found, plain = air.trigger(own, cap, receiver), _plain.settle(own, cap, receiver)
    assert found.flow == pytest.approx(plain.flow, rel=1e-10)
    assert found.gun == pytest.approx(plain.gun, rel=1e-10)


@BOTH
def test_the_setting_for_a_pressure_gives_that_pressure(at_gun):
    own = air.with_setting(line(at_gun), HVLP, 3e5)
    assert air.trigger(own, HVLP, 9e5).gun == pytest.approx(3e5, rel=1e-12)
    assert own.regulator.setting == pytest.approx(air.setting_for(line(at_gun), HVLP, 3e5))


@BOTH
def test_below_what_the_line_needs_the_gun_has_less(at_gun):
    own = air.with_setting(line(at_gun), HVLP, 3e5)
    needed = air.at_inlet(own, HVLP, 3e5).receiver
    assert air.trigger(own, HVLP, needed * 1.0001).gun == pytest.approx(3e5, rel=1e-9)
    assert air.trigger(own, HVLP, needed * 0.99).gun < 3e5


def test_a_regulator_at_the_gun_only_droops():
    own = air.with_setting(line(at_gun=True), HVLP, 3e5)
    flow = air.trigger(own, HVLP, 9e5).flow
    assert own.regulator.setting - 3e5 == pytest.approx(own.regulator.droop * flow)


@pytest.mark.parametrize("pressure", [0.8e5, 1.5e5, 2e5, 3e5])
def test_a_choked_cap_uses_air_by_absolute_pressure(pressure):
    used = air.at_inlet(line(), CONVENTIONAL, pressure + ATMOSPHERE).flow
    test = 300e-3 / 60 * air.free_density(293.15)
    straight = test * (pressure + ATMOSPHERE) / (3e5 + ATMOSPHERE)
    assert used == pytest.approx(straight, rel=1e-2 if pressure < 1e5 else 1e-9)


def test_the_cap_uses_at_its_test_what_it_was_tested_with():
    used = air.at_inlet(line(), HVLP, 2e5 + ATMOSPHERE).flow
    assert used == pytest.approx(380e-3 / 60 * air.free_density(293.15), rel=1e-12)


def test_a_high_volume_cap_is_throttled_by_its_body():
    """At twice the gauge pressure the cap itself must still be near its test's share of it."""
    flows = [air.at_inlet(line(), HVLP, p * 1e5 + ATMOSPHERE).flow for p in (1.0, 2.0)]
    assert 1.2 < flows[1] / flows[0] < 1.6  # (2 + 1) / (1 + 1) = 1.5 while choked


@pytest.mark.parametrize("test", [(0.0, 3e5, None), (5e-3, 1e5, None), (5e-3, 3e5, 3.5e5)])
def test_caps_that_cannot_be(test):
    with pytest.raises(RangeError, match="air must be used"):
        air.cap_from_test(*test)


@pytest.mark.parametrize("receiver", [2e5, 5e5, 9e5])
@pytest.mark.parametrize("bore", [2.5e-3, 3e-3, 4e-3])
def test_a_choked_hose_passes_what_it_can(bore, receiver):
    """Its end stays at flux sqrt(R T), and the search finds the same flow."""
    narrow = line(bore=bore)
    found, plain = air.trigger(narrow, HVLP, receiver), _plain.settle(narrow, HVLP, receiver)
    assert found.flow == pytest.approx(plain.flow, rel=1e-9)
    assert found.gun == pytest.approx(plain.gun, rel=1e-9)


def test_a_choked_hose_needs_pressure_in_proportion():
    """p = flux sqrt(R T f L / d): twice the flow, twice the pressure, less what f falls by, which
    in a smooth bore is less than the fourth root."""
    narrow = line(bore=2.5e-3)
    once, twice = (air.at_inlet(narrow, CONVENTIONAL, p) for p in (3e5, 6e5))
    assert twice.flow == pytest.approx(2 * once.flow, rel=1e-6)
    assert 2 * 2**-0.125 < twice.receiver / once.receiver < 2


def test_no_pressure_is_asked_for():
    with pytest.raises(RangeError, match="no more than the open air"):
        air.at_inlet(line(), HVLP, 1e5)


@pytest.mark.parametrize("friction", [0.8, 1.3, 2.4])
def test_two_gauges_give_the_friction_back(friction):
    at = air.at_inlet(line(friction=friction), HVLP, 3e5)
    found = air.fitted_friction(line(friction=1.0), HVLP, at.regulated, 3e5)
    assert found == pytest.approx(friction, rel=1e-9)


def test_gauges_that_contradict_the_fittings():
    with pytest.raises(RangeError, match="leave the hose nothing to lose"):
        air.fitted_friction(line(), HVLP, 3.05e5, 3e5)
    with pytest.raises(RangeError, match="read both gauges with the trigger pulled"):
        air.fitted_friction(line(), HVLP, 1.2e5, 3e5)


def test_droop_from_one_gauge():
    assert air.droop_of(4e5, 3.7e5, 0.01) == pytest.approx(3e6)
    with pytest.raises(RangeError, match="it must fall when the trigger is pulled"):
        air.droop_of(3.5e5, 3.7e5, 0.01)


def test_no_fitting_loses_nothing():
    bare = line()
    own = bare._replace(hose=bare.hose._replace(inlet=air.NO_PART, outlet=air.NO_PART))
    assert air.at_inlet(own, HVLP, 3e5).regulated < air.at_inlet(bare, HVLP, 3e5).regulated
    assert math.isinf(air.NO_PART.conductance)
