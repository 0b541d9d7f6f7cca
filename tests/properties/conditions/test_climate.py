"""What must hold of moist air, metal that lags, and a room's air, whatever the numbers."""

import numpy as np
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from coatwright.engines import climate, ventilation
from coatwright.engines.ventilation import Release, Room

airs = st.floats(263.15, 313.15)
shares = st.floats(0.05, 1.0)


@settings(deadline=None)
@given(airs, shares)
def test_dew_point_below_wet_bulb_below_air(air, humidity):
    dew, wet = climate.dew_point(air, humidity), climate.wet_bulb(air, humidity)
    assert dew <= wet + 0.02
    assert wet <= air + 0.005


@settings(deadline=None)
@given(airs, shares, st.floats(0.001, 0.3))
def test_damper_air_leaves_less_margin(air, humidity, more):
    assume(humidity + more <= 1.0)
    dry = climate.dew_margin(air, air, humidity)
    assert climate.dew_margin(air, air, humidity + more) <= dry + 1e-6


histories = st.lists(airs, min_size=2, max_size=30)


@given(histories, airs, st.floats(10.0, 2e4))
def test_metal_stays_between_what_it_and_the_air_have_been(air, start, lag):
    clock = np.arange(len(air)) * 900.0
    metal = climate.metal_temperature(clock, air, start, lag)
    assert np.all(metal >= min(start, *air) - 1e-9)
    assert np.all(metal <= max(start, *air) + 1e-9)


@given(airs, airs, st.floats(10.0, 5e3), st.floats(1.1, 5.0))
def test_thicker_metal_is_further_behind(start, air, lag, factor):
    ends = [
        climate.metal_temperature([0.0, 1200.0], [air, air], start, constant)[-1]
        for constant in (lag, lag * factor)
    ]
    assert abs(air - ends[1]) >= abs(air - ends[0]) - 1e-9


releases = st.builds(
    lambda begin, length, rate, fading: Release(begin, begin + length, rate, fading),
    st.floats(0.0, 3000.0),
    st.floats(1.0, 3000.0),
    st.floats(0.0, 1e-3),
    st.one_of(st.just(0.0), st.floats(1e-5, 1e-1)),
)
rooms = st.builds(Room, st.floats(10.0, 500.0), st.floats(0.0, 0.1), st.floats(1.0, 10.0))


@given(st.lists(releases, max_size=4), rooms, st.floats(1.1, 5.0))
def test_more_air_never_leaves_more_vapour(loose, room, factor):
    clock = np.linspace(0.0, 9000.0, 50)
    here = ventilation.concentration(clock, loose, room)
    aired = ventilation.concentration(
        clock, loose, room._replace(air_changes=room.air_changes * factor)
    )
    assert np.all(here >= 0)
    assert np.all(aired <= here * (1 + 1e-9) + 1e-15)


@settings(max_examples=50, deadline=None)
@given(st.lists(releases, min_size=1, max_size=3), rooms)
def test_what_is_let_loose_is_in_the_room_or_has_left_it(loose, room):
    """Mass balance: released = hanging + carried out, the last integrated numerically."""
    clock = np.linspace(0.0, 7000.0, 70_001)
    hanging = ventilation.concentration(clock, loose, room)
    carried = room.clearing * room.volume * np.trapezoid(hanging, clock)
    released = sum(
        one.rate * (one.end - one.begin)
        if one.fading == 0
        else one.rate / one.fading * -np.expm1(-one.fading * (one.end - one.begin))
        for one in loose
    )
    assert np.isclose(hanging[-1] * room.volume + carried, released, rtol=2e-3, atol=1e-12)


@given(st.floats(1.0, 1e4), rooms)
def test_clearing_is_what_the_box_does(factor, room):
    assume(room.air_changes > 1e-5)
    seconds = ventilation.clearing_time(factor, room)
    loose = Release(0.0, 1.0, 1.0)
    before, after = ventilation.concentration([1.0, 1.0 + seconds], [loose], room)
    assert np.isclose(before / after, factor, rtol=1e-6)
