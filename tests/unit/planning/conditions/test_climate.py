"""The shop's day: lag, heater, extraction; go or no-go through spraying, flash and cure."""

import re

import numpy as np
import pytest

from coatwright.actions.workshop import open_bench
from coatwright.engines import climate as engine
from coatwright.figures import walk
from coatwright.intake.weather import read_weather
from coatwright.model.kit import Climate, Room
from coatwright.planning.conditions import climate
from coatwright.planning.conditions.climate import go_no_go, shop_day
from coatwright.planning.conditions.drying import Weather

BENCH = open_bench("practice")
JOB, LIBRARY = BENCH.job, BENCH.library
COLOUR = (LIBRARY["solid-two-pack"],)


def job_with(usual=None, room=None, gauge=None):
    workshop = JOB.workshop.model_copy(update={"climate": usual or JOB.workshop.climate})
    if room is not None:
        workshop = workshop.model_copy(update={"room": room})
    areas = JOB.areas
    if gauge is not None:
        areas = tuple(area.model_copy(update={"gauge": gauge}) for area in areas)
    return JOB.model_copy(update={"workshop": workshop, "areas": areas})


def table(rows, head="time, air [degC], humidity [%], metal [degC]"):
    return read_weather("\n".join([head, *rows]))


def hourly(values, head="time, air [degC], humidity [%]"):
    return table([f"2026-05-04 {8 + i:02d}:00, {v}" for i, v in enumerate(values)], head)


def verdicts(hours):
    return [hour.products[0].verdict for hour in hours]


def test_one_hour_stands_for_a_shop_without_a_table():
    usual = Climate(air=293.15, metal=292.15, humidity=0.5)
    (hour,) = go_no_go(job_with(usual), COLOUR)
    assert hour.stamp == ""
    assert hour.metal.value == 292.15
    assert hour.dew_point.value == pytest.approx(engine.dew_point(293.15, 0.5))
    assert hour.margin.value == pytest.approx(292.15 - engine.dew_point(293.15, 0.5))
    assert hour.products[0].verdict == "go"
    assert hour.products[0].reasons == ()


def test_a_cold_shell_in_a_warm_shop_is_caught_until_it_has_warmed():
    """Wheeled in at 6 degC into 20 degC and 60 %: dew point 12, water settles on it at first."""
    rows = ["2026-05-04 08:00, 20, 60, 6"]
    rows += [f"2026-05-04 {8 + m // 60:02d}:{m % 60:02d}, 20, 60," for m in range(10, 300, 10)]
    heavy = job_with(Climate(), Room(), gauge=3e-3)
    hours = go_no_go(heavy, COLOUR, table(rows))
    assert hours[0].margin.value < 0
    first = hours[0].products[0]
    assert first.verdict == "no go"
    assert first.reasons[0] == (
        "metal of 6.0 degC is below the dew point of 12.0 degC: water settles on it"
    )
    assert hours[-1].products[0].verdict != "no go"
    margins = [hour.margin.value for hour in hours]
    assert np.all(np.diff(margins) > 0)
    light = go_no_go(job_with(Climate(), Room(), gauge=0.7e-3), COLOUR, table(rows))
    assert light[3].margin.value > hours[3].margin.value


def test_published_verdicts_come_out():
    """13 degC steel at 16 degC / 71 %: no; 19 degC at 21 degC dry, 17 wet bulb: its margin holds.

    dew-point-guide; the sheet's own limits are set aside by looking at the one check.
    """
    wet = engine.humidity_from_wet_bulb(294.15, 290.15)
    for metal, air, humidity, holds in (
        (286.15, 289.15, 0.71, False), (292.15, 294.15, wet, True),
    ):  # fmt: skip
        usual = Climate(air=air, metal=metal, humidity=humidity)
        room = Room(outdoor=air)
        now = shop_day(job_with(usual, room)).at(0.0)
        checks = climate._checks(COLOUR[0], (now, now))
        (dew,) = [one for one in checks if one.key == "dew-point"]
        assert dew.holds is holds


@pytest.mark.parametrize(
    ("usual", "reason"),
    [
        (Climate(air=285.15, metal=285.15, humidity=0.4), "below the sheet's 15.0 degC"),
        (Climate(air=308.15, metal=308.15, humidity=0.4), "above the sheet's 32.0 degC"),
        (Climate(air=293.15, metal=293.15, humidity=0.83), "over the sheet's 80%"),
        (Climate(air=293.15, metal=290.15, humidity=0.75), "degC above the dew point"),
        (Climate(air=293.15, metal=293.15, humidity=0.803), "80.3% is over the sheet's 80.0%"),
    ],
)
def test_each_limit_stops_it_in_words(usual, reason):
    (hour,) = go_no_go(job_with(usual), COLOUR)
    (go,) = hour.products
    assert go.verdict == "no go"
    assert any(reason in text for text in go.reasons)
    assert any(not check.holds for check in go.checks)


def test_vapour_can_stop_it():
    tiny = Room(volume=5.0, extract_changes=1.0)
    (hour,) = go_no_go(job_with(Climate(air=293.15, metal=293.15, humidity=0.5), tiny), COLOUR)
    (go,) = hour.products
    assert go.vapour.over
    assert any("lower flammable limit" in text for text in go.reasons)


def test_night_comes_before_it_has_cured():
    values = [(20, 50), (20, 50), (19, 50), (17, 55), (13, 60), (10, 65), (9, 65)]
    hours = go_no_go(job_with(Climate(), Room()), COLOUR, hourly([f"{a}, {h}" for a, h in values]))
    (go,) = hours[0].products
    assert go.verdict == "go if"
    assert re.search(
        r"2026-05-04 1[23]:00: the metal falls to .* before it has cured", go.reasons[0]
    )


def test_dew_during_the_flash_stops_it():
    rows = ["2026-05-04 08:00, 16, 60,", "2026-05-04 08:10, 16, 95,", "2026-05-04 09:00, 16, 95,"]
    hours = go_no_go(job_with(Climate(), Room()), (LIBRARY["synthetic"],), table(rows))
    assert verdicts(hours)[0] == "no go"
    assert any("before it is dry" in text for text in hours[0].products[0].reasons)


def test_extraction_chills_the_room():
    room = Room(volume=45.0, air_changes=1.0, extract_changes=10.0, loss=60.0)
    # By hand: idle 60 + 15.6 W/K, running 60 + 156 W/K; 15 K above outside become 5.2 K.
    chilled = climate.with_extraction(room, 293.15, 278.15)
    assert chilled - 278.15 == pytest.approx(15.0 * (60 + 15.96) / (60 + 159.6), rel=0.01)
    assert climate.with_extraction(room, 293.15, 293.15) == 293.15
    rows = hourly(["20, 50, 2"], "time, air [degC], humidity [%], outdoor [degC]")
    (hour,) = go_no_go(job_with(Climate(), room), COLOUR, rows)
    assert hour.spraying_air.value < 285.0
    assert hour.products[0].verdict == "no go"


def test_the_fan_makes_the_air_damp():
    """20 degC at 65 % chilled to 14 is over 90 %: no trouble before the fan runs, but then."""
    room = Room(extract_changes=8.0)
    rows = hourly(["20, 65, 8"], "time, air [degC], humidity [%], outdoor [degC]")
    (hour,) = go_no_go(job_with(Climate(), room), COLOUR, rows)
    (damp,) = [c for c in hour.products[0].checks if c.key == "humidity"]
    assert damp.value.value > 0.85 > hour.humidity.value
    assert not damp.holds


def test_outdoor_air_comes_in_through_the_heater():
    room = Room(heater=3000.0)
    loss = 60.0 + engine.air_loss(45.0, 1 / 3600, 278.15)
    assert climate.heated(room, 278.15) == pytest.approx(278.15 + 3000.0 / loss)
    day = shop_day(
        job_with(Climate(), room),
        hourly(["5, 90", "5, 90"], "time, outdoor [degC], humidity [%]"),
    )
    assert day.air[0] == pytest.approx(278.15 + 3000.0 / loss)
    assert day.humidity[0] < 0.3  # warmed air is dry air
    assert engine.dew_point(float(day.air[0]), float(day.humidity[0])) == pytest.approx(
        engine.dew_point(278.15, 0.9), abs=0.05
    )


def test_metal_that_was_read_is_believed():
    rows = ["2026-05-04 08:00, 20, 50, 14", "2026-05-04 09:00, 20, 50, 16"]
    day = shop_day(job_with(Climate(), Room()), table(rows))
    assert day.at(1800.0).metal == pytest.approx(288.15)
    assert day.at(1800.0, gauge=5e-3).metal == pytest.approx(288.15)
    assert day.stamp(1800.0) == "2026-05-04 08:30"


def test_metal_that_was_read_once_starts_there_and_follows():
    rows = ["2026-05-04 08:00, 20, 50, 10", "2026-05-04 09:00, 20, 50,"]
    day = shop_day(job_with(Climate(), Room()), table(rows))
    lag = climate.lag(0.8e-3, Room())
    assert day.at(3600.0).metal == pytest.approx(293.15 - 10.0 * np.exp(-3600.0 / lag))


def test_hardener_and_thinner_by_the_day():
    colour = COLOUR[0]
    assert climate.hardener_speed(colour, 285.15) == "fast"
    assert climate.hardener_speed(colour, 293.15) == "standard"
    assert climate.hardener_speed(colour, 303.15) == "slow"
    assert climate.hardener_speed(LIBRARY["cellulose"], 285.15) == ""
    speeds = [climate.thinner_speed(colour, Weather(t, t, 0.4)) for t in (285.15, 293.15, 311.15)]
    assert speeds == ["fast", "standard", "slow"]
    assert climate.thinner_speed(LIBRARY["base-waterborne"], Weather(293.15, 293.15, 0.5)) == ""


def test_in_damp_air_the_fast_thinner_is_passed_over():
    """Its cold would bring water out of the air: bloom."""
    damp = climate.thinner_speed(COLOUR[0], Weather(285.15, 285.65, 0.86))
    assert damp != "fast"


def test_nothing_is_called_safe():
    hours = go_no_go(JOB, tuple(LIBRARY.values()))
    texts = [f.formula for _, f in walk(hours)]
    for hour in hours:
        for go in hour.products:
            texts += [*go.reasons, *(check.text for check in go.checks)]
    assert re.search(r"\bsafe\b", " ".join(texts)) is None
