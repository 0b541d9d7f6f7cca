"""What must hold for every air line: a longer hose never helps, nothing is lost, litres help."""

import math

import numpy as np
import pytest
from hypothesis import assume, example, given, settings
from hypothesis import strategies as st

from coatwright.engines import air
from coatwright.engines.air import _plain
from coatwright.engines.constants import ATMOSPHERE
from coatwright.errors import RangeError

SHOP = 293.15
BAR = 1e5


@st.composite
def caps(draw):
    gauge = draw(st.floats(0.8, 4.0)) * BAR
    used = draw(st.floats(80.0, 500.0)) * 1e-3 / 60
    behind = draw(st.sampled_from([None, ATMOSPHERE + min(0.345 * gauge, 0.689 * BAR)]))
    return air.cap_from_test(used, gauge + ATMOSPHERE, behind)


@st.composite
def parts(draw):
    return air.Restriction(draw(st.floats(0.5e-8, 2e-7)), draw(st.floats(0.1, 0.6)))


@st.composite
def lines(draw):
    hose = air.Hose(
        draw(st.floats(0.5, 40.0)),
        draw(st.floats(5e-3, 20e-3)),
        draw(st.floats(1.0, 2.5)),
        draw(st.one_of(st.just(air.NO_PART), parts())),
        draw(parts()),
    )
    regulator = air.Regulator(
        draw(st.floats(1.0, 6.0)) * BAR + ATMOSPHERE,
        draw(st.floats(0.0, 8e6)),
        draw(parts()),
        draw(st.booleans()),
    )
    return air.Line(draw(parts()), regulator, hose, SHOP)


@st.composite
def kits(draw, line=None):
    cut_in = draw(st.floats(3.0, 8.0)) * BAR + ATMOSPHERE
    pump = air.Pump(
        draw(st.floats(50.0, 500.0)) * 1e-3 / 60,
        cut_in,
        draw(st.floats(0.0, 0.08)),
        cut_in,
        cut_in + draw(st.floats(0.3, 3.0)) * BAR,
        draw(st.floats(290.0, 340.0)),
        1.5,
        1200.0,
    )
    volume = draw(st.floats(0.02, 0.5))
    heat = draw(st.sampled_from([0.0, air.wall_heat(volume), math.inf]))
    return air.Kit(
        draw(lines()) if line is None else line,
        air.Receiver(volume, heat, SHOP),
        pump,
        draw(st.sampled_from([0.0, 3e-3])),
    )


programmes = st.lists(
    st.tuples(st.floats(0.05, 60.0), st.booleans()), min_size=1, max_size=8
)  # seconds, pulled


def phases(rows, cap):
    return air.programme([s for s, _ in rows], [0 if on else -1 for _, on in rows], [cap])


@given(lines(), caps(), st.floats(1.05, 10.0), st.floats(1.5, 12.0))
def test_a_longer_hose_never_raises_the_pressure_at_the_gun(line, cap, longer, bar):
    long = line._replace(hose=line.hose._replace(length=line.hose.length * longer))
    receiver = bar * BAR
    here, there = (air.trigger(own, cap, receiver).gun for own in (line, long))
    assert there <= here * (1 + 1e-12)


@given(lines(), caps(), st.floats(1.05, 3.0), st.floats(1.5, 12.0))
def test_a_wider_hose_never_lowers_it(line, cap, wider, bar):
    wide = line._replace(hose=line.hose._replace(bore=line.hose.bore * wider))
    here, there = (air.trigger(own, cap, bar * BAR).gun for own in (line, wide))
    assert there >= here * (1 - 1e-12)


@given(lines(), caps(), st.floats(1.2, 12.0), st.floats(1.0, 2.0))
def test_more_in_the_receiver_never_lowers_it(line, cap, bar, more):
    here, there = (air.trigger(line, cap, p * BAR).gun for p in (bar, bar * more))
    assert there >= here * (1 - 1e-12)


@given(lines(), caps(), st.floats(1.2, 12.0))
def test_pressure_falls_along_the_line_and_the_regulator_never_gives_more_than_it_gets(
    line, cap, bar
):
    at = air.trigger(line, cap, bar * BAR)
    assert at.gun * (1 + 1e-12) >= ATMOSPHERE
    assert at.gun <= at.regulated * (1 + 1e-12)
    assert at.regulated <= at.receiver * (1 + 1e-12) <= bar * BAR * (1 + 1e-9)
    assert at.regulated <= line.regulator.setting * (1 + 1e-12)


@settings(max_examples=60)
@given(lines(), caps(), st.floats(1.2, 12.0))
def test_the_same_line_solved_by_search(line, cap, bar):
    found, plain = air.trigger(line, cap, bar * BAR), _plain.settle(line, cap, bar * BAR)
    assert found.flow == pytest.approx(plain.flow, rel=1e-8)
    assert found.gun == pytest.approx(plain.gun, rel=1e-8)


@given(lines(), caps(), st.floats(1.1, 6.0))
def test_the_line_holds_what_it_is_set_for(line, cap, bar):
    wanted = bar * BAR + ATMOSPHERE
    try:
        own = air.with_setting(line, cap, wanted)
    except RangeError:
        assume(False)
    needed = air.at_inlet(own, cap, wanted).receiver
    assert air.trigger(own, cap, needed * 1.001).gun == pytest.approx(wanted, rel=1e-9)


@given(kits(), caps(), programmes, st.floats(0.5, 1.0))
def test_mass_is_kept(kit, cap, rows, full):
    """p V / (R T) at the end is what was there, plus what came, less what was used."""
    gas = 8.314462618 / 0.0289652
    start = air.ReceiverState(kit.pump.cut_out * full, SHOP, False, 0.0)
    found = air.simulate(phases(rows, cap), kit, start)
    volume = kit.receiver.volume

    def mass(state):
        return state.pressure * volume / (gas * state.temperature)

    balance = mass(start) + found.delivered.sum() - found.used.sum()
    assert mass(found.end) == pytest.approx(balance, rel=1e-11)
    assert found.time == pytest.approx(sum(s for s, _ in rows))


@given(kits(), caps(), programmes)
def test_energy_is_kept_without_heat(kit, cap, rows):
    """With no heat from the wall and nothing taken: U gains the enthalpy of what came."""
    gas = 8.314462618 / 0.0289652
    own = kit._replace(receiver=kit.receiver._replace(heat=0.0), draw=0.0)
    start = air.ReceiverState(kit.pump.cut_in * 0.9, SHOP, True, 0.0)
    found = air.simulate(phases([(s, False) for s, _ in rows], cap), own, start)
    gained = 2.5 * own.receiver.volume * (found.end.pressure - start.pressure)
    brought = 3.5 * gas * own.pump.delivered_at * found.delivered.sum()
    assert gained == pytest.approx(brought, rel=1e-9)


@given(kits(), caps(), st.floats(1.01, 5.0))
def test_a_bigger_receiver_never_shortens_the_hold(kit, cap, bigger):
    at = air.trigger(kit.line, cap, kit.pump.cut_out)
    assume(at.gun > ATMOSPHERE * 1.2)
    wanted = ATMOSPHERE + 0.8 * (at.gun - ATMOSPHERE)
    volume = kit.receiver.volume * bigger
    heat = air.wall_heat(volume) if 0.0 < kit.receiver.heat < math.inf else kit.receiver.heat
    big = kit._replace(receiver=kit.receiver._replace(volume=volume, heat=heat))
    here, there = (air.hold_time(own, cap, wanted) for own in (kit, big))
    assert there >= here * (1 - 1e-9)


@given(kits(), caps(), programmes)
def test_a_stronger_pump_never_lowers_the_pressure(kit, cap, rows):
    strong = kit._replace(pump=kit.pump._replace(delivery=kit.pump.delivery * 1.5))
    low = air.ReceiverState(kit.pump.cut_in, SHOP, True, 0.0)
    lowest = [
        np.nanmin([*air.simulate(phases(rows, cap), own, low).lowest, 1e9]) for own in (kit, strong)
    ]
    # A stronger pump reaches cut-out sooner and may then rest while the weaker still runs.
    floor = air.trigger(kit.line, cap, kit.pump.cut_in).gun
    assert lowest[1] >= min(lowest[0], floor) * (1 - 1e-9)


@given(lines(), caps(), st.floats(1.2, 6.0), st.floats(0.7, 4.0))
def test_two_gauges_give_the_friction_back(line, cap, bar, friction):
    regulator = line.regulator._replace(at_gun=False)
    hose = line.hose._replace(friction=friction, inlet=air.from_nominal(2000e-3 / 60))
    own = line._replace(regulator=regulator, hose=hose)
    try:
        at = air.at_inlet(own, cap, bar * BAR)
    except RangeError:
        assume(False)
    assume(at.regulated - at.gun > 1e3)
    try:
        found = air.fitted_friction(own, cap, at.regulated, bar * BAR)
    except RangeError:
        assume(False)  # the fittings explain it all to rounding
    assert found == pytest.approx(friction, rel=1e-4)


@given(st.floats(278.0, 313.0), st.floats(0.05, 1.0), st.floats(278.0, 313.0), st.floats(1.5, 12.0))
def test_water_is_kept_and_more_pressure_wrings_out_more(shop, humidity, cooled, bar):
    came = air.water_ratio(shop, humidity)
    out, more = (air.condensate((shop, humidity), cooled, p * BAR) for p in (bar, bar * 1.5))
    assert 0.0 <= out <= more <= came
    if out > 0.0:
        assert came - out == pytest.approx(air.water_ratio(cooled, 1.0, bar * BAR))


@given(parts(), st.floats(1.2, 12.0), st.floats(0.05, 0.999), st.floats(260.0, 330.0))
@example(air.Restriction(4e-8, 0.5), 6.0, 0.5, 293.15)
def test_a_part_solved_both_ways(part, bar, share, temperature):
    upstream = bar * BAR
    flow = air.restriction_flow(part, upstream, share * upstream, temperature)
    after = air.pressure_after(part, upstream, flow, temperature)
    assert after == pytest.approx(max(share, part.ratio) * upstream, rel=1e-6)
    before = air.pressure_before(part, share * upstream, flow, temperature)
    assert before == pytest.approx(upstream, rel=1e-9)
