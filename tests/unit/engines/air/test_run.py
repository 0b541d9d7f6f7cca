"""The run against SciPy's solve_ivp on the plain twin, and what switches when."""

import math

import numpy as np
import pytest

from coatwright.engines import air
from coatwright.engines.air import _plain
from coatwright.engines.constants import ATMOSPHERE
from coatwright.errors import RangeError
from unit.engines.air.lines import CONVENTIONAL, HVLP, PUMP, SHOP, kit, line, strokes

LONG = air.programme([40.0, 3.0, 120.0, 60.0, 30.0], [0, -1, 0, -1, 0], [HVLP])


@pytest.mark.slow
@pytest.mark.parametrize(
    ("own", "phases"),
    [
        (kit(0.05), LONG),
        (kit(0.024, own=line(at_gun=True)), LONG),
        (kit(0.15, heat=0.0), LONG),
        (kit(0.05, draw=2e-3), strokes(8)),
        (kit(0.024, pump=PUMP._replace(delivery=1.5e-3, delivered_at=330.0)), strokes(12)),
        (kit(0.05), air.programme([20.0, 5.0, 30.0], [0, -1, 1], [HVLP, CONVENTIONAL])),
    ],
    ids=["small", "at the gun", "no heat", "others", "hot and weak", "two guns"],
)
def test_against_solve_ivp(own, phases):
    """The same mass and energy, the line marched the other way, DOP853 at 1e-10."""
    start = air.ReceiverState(8e5 + ATMOSPHERE, 296.0, False, 0.0)
    found = air.simulate(phases, own, start)
    pressure, temperature, used, delivered = _plain.simulate(phases, own, start)
    assert found.end.pressure == pytest.approx(pressure, rel=2e-8)
    assert found.end.temperature == pytest.approx(temperature, rel=2e-8)
    assert found.used.sum() == pytest.approx(used, rel=2e-8)
    assert found.delivered.sum() == pytest.approx(delivered, rel=2e-8, abs=1e-12)


def test_a_looser_tolerance_errs_as_much_as_it_says():
    exact = air.simulate(LONG, kit()).end.pressure
    for tolerance in (1e-4, 1e-6):
        limits = air.Limits(0.0, math.inf, tolerance, math.inf)
        off = abs(air.simulate(LONG, kit(), limits=limits).end.pressure / exact - 1.0)
        assert off < 30 * tolerance


def test_pump_starts_at_cut_in_and_stops_at_cut_out():
    found = air.simulate(LONG, kit(), trace=True)
    receiver, runs = found.trace[:, 1], found.trace[:, 4]
    starts = receiver[1:][(runs[1:] == 1.0) & (runs[:-1] == 0.0)]
    stops = receiver[1:][(runs[1:] == 0.0) & (runs[:-1] == 1.0)]
    assert len(starts) > 0
    assert starts == pytest.approx(PUMP.cut_in, rel=1e-9)
    filled = air.simulate(air.programme([200.0], [-1], [HVLP]), kit(), found.end, trace=True)
    stops = filled.trace[:, 1][np.flatnonzero(np.diff(filled.trace[:, 4]) < 0) + 1]
    assert stops == pytest.approx(PUMP.cut_out, rel=1e-9)
    assert not filled.end.pumping


def test_the_gun_holds_its_pressure_until_the_line_needs_more_than_there_is():
    own = kit()
    at = air.trigger(own.line, HVLP, PUMP.cut_out)
    trace = air.simulate(LONG, own, trace=True).trace
    pulled = ~np.isnan(trace[:, 3])
    full = trace[pulled & (trace[:, 1] > at.receiver * 1.000001)]
    starved = trace[pulled & (trace[:, 1] < at.receiver * 0.999)]
    assert full[:, 3] == pytest.approx(at.gun, rel=1e-9)
    assert len(starved) > 0
    assert (starved[:, 3] < at.gun).all()


def test_released_there_is_no_pressure_at_the_gun():
    found = air.simulate(strokes(3), kit())
    assert np.isnan(found.lowest[1::2]).all()
    assert not np.isnan(found.lowest[::2]).any()


def test_mean_and_lowest_of_a_stroke_that_holds():
    own = kit(0.5)
    found = air.simulate(strokes(3), own)
    held = air.trigger(own.line, HVLP, PUMP.cut_out).gun
    assert found.mean[::2] == pytest.approx(held)
    assert found.lowest[::2] == pytest.approx(held)


def test_mean_of_a_stroke_that_falls_is_that_of_its_trace():
    own = kit(0.02, pump=PUMP._replace(delivery=1e-3))
    limits = air.Limits(0.0, math.inf, 1e-9, 0.05)
    phases = air.programme([40.0], [0], [HVLP])
    found = air.simulate(phases, own, limits=limits, trace=True)
    mean = np.trapezoid(found.trace[:, 3], found.trace[:, 0]) / 40.0
    assert found.mean[0] == pytest.approx(mean, rel=1e-5)
    assert found.lowest[0] == pytest.approx(np.nanmin(found.trace[:, 3]))


def test_hold_time_ends_where_the_pressure_does():
    own = kit()
    lasts = air.hold_time(own, HVLP, 2.5e5)
    gun = [
        air.simulate(air.programme([t], [0], [HVLP]), own).lowest[0]
        for t in (lasts - 0.01, lasts + 0.01)
    ]
    assert gun[0] > 2.5e5 > gun[1]


def test_hold_time_of_what_is_never_reached_and_of_what_never_falls():
    assert air.hold_time(kit(), HVLP, 4e5) == 0.0
    big = PUMP._replace(delivery=20e-3)
    assert air.hold_time(kit(pump=big), HVLP, 2.5e5) == math.inf


def test_rest_until_full_and_until_enough():
    own = kit()
    empty = air.ReceiverState(4e5, SHOP, True, 0.0)
    full, some = air.rest_time(own, HVLP, empty), air.rest_time(own, HVLP, empty, 6e5)
    assert 0.0 < some < full
    after = air.simulate(air.programme([full + 0.01], [-1], [HVLP]), own, empty).end
    assert not after.pumping
    no_pump = PUMP._replace(delivery=0.0)
    assert air.rest_time(kit(pump=no_pump), HVLP, empty) == math.inf


def test_warmth_of_the_pump():
    """Filling for 30 s from cold: 1.4 (1 - exp(-30 / 1200)), by hand."""
    own = kit(1.0)
    found = air.simulate(
        air.programme([30.0], [-1], [HVLP]), own, air.ReceiverState(6e5, SHOP, True, 0.0)
    )
    assert found.warmest == pytest.approx(1.4 * -math.expm1(-30 / 1200), rel=1e-12)


def test_others_draw_with_the_trigger_released():
    own = kit(0.5, math.inf, pump=PUMP._replace(delivery=0.0), draw=3e-3)
    found = air.simulate(air.programme([60.0], [-1], [HVLP]), own)
    assert found.used.sum() == pytest.approx(0.18)


@pytest.mark.parametrize(
    "wrong",
    [([1.0], [0, -1], [HVLP]), ([1.0], [0], []), ([-1.0], [0], [HVLP]), ([1.0], [1], [HVLP])],
)
def test_programmes_that_are_none(wrong):
    with pytest.raises(RangeError):
        air.programme(*wrong)
