"""Closed forms of receiver and pump, and the run in their limits."""

import math

import numpy as np
import pytest

from coatwright.engines import air
from coatwright.engines.constants import ATMOSPHERE
from coatwright.errors import RangeError
from unit.engines.air.lines import CONVENTIONAL, PUMP, SHOP, kit, line

LITRES = 1e-3
STEADY = PUMP._replace(clearance=0.0, cut_in=10e5, cut_out=20e5)


def filled(heat, pump=STEADY, low=6e5, high=10e5):
    """Seconds in which a kit of 100 L is filled from low to high."""
    own = kit(0.1, heat, pump=pump)
    start = air.ReceiverState(low, SHOP, True, 0.0)
    return air.rest_time(own, CONVENTIONAL, start, high)


@pytest.mark.parametrize(("heat", "index"), [(math.inf, 1.0), (0.0, 1.4)])
def test_a_run_fills_like_the_closed_form(heat, index):
    """Filled at one temperature, and without heat: t = V dp / (n q pa)."""
    assert filled(heat) == pytest.approx(
        air.fill_time(0.1, 6e5, 10e5, STEADY.delivery, index), rel=1e-8
    )


def test_a_real_wall_lies_between():
    adiabatic, real, isothermal = filled(0.0), filled(air.wall_heat(0.1)), filled(math.inf)
    assert adiabatic < real < isothermal


@pytest.mark.parametrize("pumping", [True, False])
def test_a_run_draws_down_like_the_closed_form(pumping):
    """The regulator holds, so the gun takes the same all the time; at one temperature."""
    own = kit(0.1, math.inf, own=line(), pump=STEADY if pumping else STEADY._replace(cut_in=1e5))
    flow = air.trigger(own.line, CONVENTIONAL, 10e5).flow / air.free_density(SHOP)
    limits = air.Limits(7e5, math.inf, 1e-10, math.inf)
    found = air.simulate(
        air.programme([3600.0], [0], [CONVENTIONAL]),
        own,
        air.ReceiverState(9e5, SHOP, pumping, 0.0),
        limits,
    )
    given = STEADY.delivery if pumping else 0.0
    assert found.stopped
    assert found.time == pytest.approx(air.draw_time(0.1, 9e5, 7e5, flow, given), rel=1e-8)


def test_index_of_a_run():
    own = kit(0.1, 0.0, pump=STEADY)
    found = air.simulate(
        air.programme([20.0], [-1], [CONVENTIONAL]), own, air.ReceiverState(6e5, SHOP, True, 0.0)
    )
    rise, mass = found.end.pressure - 6e5, float(found.delivered.sum())
    assert air.index_of(0.1, rise, mass, SHOP) == pytest.approx(1.4, rel=1e-9)


def test_a_pump_that_keeps_up_is_never_drawn_down():
    assert air.draw_time(0.05, 8e5, 4e5, 3e-3, 3e-3) == math.inf
    assert air.receiver_volume(60.0, 8e5, 4e5, 3e-3, 4e-3) == 0.0


def test_a_fill_test_gives_the_delivery_back():
    seconds = air.fill_time(0.05, 4e5, 8e5, 2.5e-3)
    assert air.delivery_from_fill(0.05, 4e5, 8e5, seconds) == pytest.approx(2.5e-3)


@pytest.mark.parametrize(
    "call",
    [
        lambda: air.fill_time(0.05, 8e5, 4e5, 2e-3),
        lambda: air.fill_time(0.0, 4e5, 8e5, 2e-3),
        lambda: air.fill_time(0.05, 4e5, 8e5, 0.0),
        lambda: air.draw_time(0.05, 4e5, 8e5, 2e-3),
        lambda: air.receiver_volume(60.0, 4e5, 4e5, 2e-3),
        lambda: air.delivery_from_fill(0.05, 4e5, 8e5, 0.0),
    ],
)
def test_what_no_receiver_does(call):
    with pytest.raises(RangeError):
        call()


def test_delivery_grows_as_pressure_falls():
    """By hand: efficiency 1.05 - 0.05 r^(1/1.3), at 7.987 bar absolute over that at 4 bar."""
    at = {p: 1.05 - 0.05 * (p / ATMOSPHERE) ** (1 / 1.3) for p in (7e5 + ATMOSPHERE, 4e5)}
    ratio = at[4e5] / at[7e5 + ATMOSPHERE]
    stated = PUMP.delivery * air.free_density(SHOP)
    assert air.delivery_at(PUMP, 7e5 + ATMOSPHERE, SHOP) == pytest.approx(stated)
    assert air.delivery_at(PUMP, 4e5, SHOP) == pytest.approx(stated * ratio)
    assert air.delivery_at(PUMP._replace(clearance=0.0), 4e5, SHOP) == pytest.approx(stated)


def test_wall_of_a_receiver():
    """A cylinder of 2.5 to 1 that holds 150 L is 0.424 m wide: 1.70 m2 inside, by hand."""
    assert air.wall_heat(0.15) == pytest.approx(17.0, rel=0.01)


def test_rated_duty_just_reaches_the_limit():
    """Run and rest in the rated cycle until nothing changes any more: warmest is 1."""
    full, warmth = air.warmth_in_the_end(0.6), 0.0
    for _ in range(60):
        warm = full + (warmth - full) * math.exp(-360.0 / air.WARM_TIME)
        warmth = warm * math.exp(-240.0 / air.WARM_TIME)
    assert warm == pytest.approx(1.0, rel=1e-9)
    assert air.warmth_in_the_end(1.0) == pytest.approx(1.0)
    with pytest.raises(RangeError, match="duty of 0 is not above 0"):
        air.warmth_in_the_end(0.0)


def test_busiest_ten_minutes_against_every_second():
    rng = np.random.default_rng(7)
    times = np.cumsum(rng.uniform(5.0, 400.0, 40))
    running = (rng.random(40) < 0.5).astype(float)
    grid = np.arange(times[0], times[-1], 1.0)
    on = running[np.searchsorted(times, grid, side="right") - 1]
    ran = np.convolve(on, np.ones(600), "full") / 600
    assert air.busiest(times, running) == pytest.approx(ran.max(), abs=4e-3)


def test_busiest_of_a_short_spell():
    assert air.busiest(np.array([0.0, 60.0, 300.0]), np.array([1.0, 0.0, 0.0])) == pytest.approx(
        0.1
    )
