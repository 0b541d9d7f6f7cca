"""Times of a sheet over a day of weather."""

from dataclasses import replace
from datetime import datetime, timedelta

import pytest

from coatwright.actions.workshop import open_bench
from coatwright.model.conditions.weather import Reading, Readings
from coatwright.planning.build import built
from coatwright.planning.conditions.drying import Laid, corrected_layer, sheet_film
from coatwright.planning.day.days import plan_days, plan_works
from coatwright.planning.day.problem import spray_windows
from coatwright.planning.day.sky import Laying, Sky
from coatwright.planning.day.workings import Calendar
from day_floor import HOUR, act, area, asked, at, entries, layer, sheet

START = datetime(2026, 5, 4, 6)  # a Monday


def table(*celsius: float, humidity: float = 0.5) -> Readings:
    """Air in the shop every two hours from 06:00."""
    hours = tuple(
        Reading(time=START + timedelta(hours=2 * n), air=one + 273.15, humidity=humidity)
        for n, one in enumerate(celsius)
    )
    return Readings(hours=hours)


PAINT = sheet("paint", (4 * HOUR, 24 * HOUR), pot=2 * HOUR)
LAYING = Laying(PAINT, Laid(*sheet_film(PAINT)), 0.8e-3)


def over(readings: Readings | None = None) -> Sky:
    """The sky of a shop; 20 degC day and night without a table."""
    return Sky.over(replace(asked(PAINT), readings=readings))


def test_at_20_degrees_and_the_sheets_film_every_time_is_the_sheets():
    times = over().times(LAYING)
    assert times.opens == pytest.approx(4 * HOUR)
    assert times.closes == pytest.approx(24 * HOUR)
    assert times.flash == pytest.approx(PAINT.flash.min)
    assert over().pot_life(PAINT) == pytest.approx(2 * HOUR)


def test_steady_weather_agrees_with_the_window_map():
    """The same layer by planning.conditions.drying, which the window map is drawn from."""
    sky = over()
    known = corrected_layer(PAINT, LAYING.laid, sky.at(0.0, 0.8e-3))
    times = sky.times(LAYING)
    assert times.dry == pytest.approx(known.through_dry.corrected.value)
    assert known.sand_from is not None
    assert times.sands == pytest.approx(known.sand_from.corrected.value)


def test_a_warm_day_opens_no_later_and_a_cold_one_no_sooner():
    cold, warm = over(table(*[14.0] * 13)), over(table(*[26.0] * 13))
    assert warm.times(LAYING).flash <= cold.times(LAYING).flash
    assert warm.times(LAYING).opens <= cold.times(LAYING).opens
    assert warm.times(LAYING).dry < cold.times(LAYING).dry
    assert (warm.pot_life(PAINT) or 0.0) < (cold.pot_life(PAINT) or 0.0)


def test_two_pack_time_doubles_for_ten_kelvin():
    """Common practice, no source: twice as long for 10 degC less. 4 h at 20 are 8 h at 10 degC."""
    steady = over(table(*[10.0] * 13))
    assert steady.times(LAYING).opens == pytest.approx(8 * HOUR, rel=0.1)


def test_days_past_the_table_repeat_its_last():
    sky = over(table(10, 12, 14, 16, 18, 20, 18, 16, 14, 12, 11, 10, 10))
    for hour in (8, 12, 16):
        assert sky.at(at(3, f"{hour:02d}:00"), 0.8e-3).air == pytest.approx(
            sky.at(at(1, f"{hour:02d}:00"), 0.8e-3).air
        )


def test_nothing_is_sprayed_at_hours_that_are_no_go():
    """Colder than the sheet's 15 degC until 10:00: the coat waits for that, whatever else could."""
    bench = open_bench("practice")
    readings = table(10, 12, 16, 19, 21, 21, 18, 14, 13, 12, 11, 10, 10)
    made = built(bench.job, bench.shop, None, readings)
    sky = Sky.over(made.asked)
    calendar = Calendar(bench.job.workshop.hours, START.date(), 3)
    windows = spray_windows(made.asked, sky, calendar)["solid-two-pack"]
    assert windows[0][0] == 10 * 60
    day = plan_days(made.asked, 3.0)
    coats = entries(day, "coat")
    assert day.start == "2026-05-04"
    assert coats[0].start.value >= at(1, "10:00")


def test_the_shop_is_shut_on_sunday():
    """Ten hours of rubbing from Saturday on go on on Monday."""
    saturday = Readings(
        hours=tuple(
            Reading(time=START + timedelta(days=5, hours=2 * n), air=293.15, humidity=0.5)
            for n in range(13)
        )
    )
    paint = sheet("paint")
    own = replace(asked(paint), readings=saturday)
    work = area("wing", layer(paint, acts=(act("block", 600),)), metal=False)
    day = plan_works(own, [work], 2.0)
    (coat,) = entries(day, "coat")
    assert coat.day == 3
    assert [one.title for one in day.days] == [
        "Day 1, Saturday 9 May",
        "Day 2, Sunday 10 May",
        "Day 3, Monday 11 May",
    ]
    assert day.days[1].begins is None
    assert "closed" in day.days[1].summary
