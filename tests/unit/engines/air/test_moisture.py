"""Water in air against PsychroLib, and what falls out against a balance by hand."""

import psychrolib
import pytest

from coatwright.engines import air
from coatwright.errors import RangeError

psychrolib.SetUnitSystem(psychrolib.SI)


@pytest.mark.parametrize("celsius", [-30.0, -5.0, 0.0, 5.0, 20.0, 35.0, 60.0, 90.0])
def test_saturation(celsius):
    wanted = psychrolib.GetSatVapPres(celsius)
    assert air.saturation_pressure(celsius + 273.15) == pytest.approx(wanted, rel=1e-6)


@pytest.mark.parametrize(("celsius", "humidity"), [(20.0, 0.5), (5.0, 0.8), (35.0, 0.9)])
def test_water_ratio(celsius, humidity):
    wanted = psychrolib.GetHumRatioFromRelHum(celsius, humidity, 101325.0)
    assert air.water_ratio(celsius + 273.15, humidity) == pytest.approx(wanted, rel=1e-5)


@pytest.mark.parametrize(("celsius", "humidity"), [(20.0, 0.5), (10.0, 0.85), (30.0, 0.7)])
def test_dew_point_at_the_same_pressure(celsius, humidity):
    wanted = psychrolib.GetTDewPointFromRelHum(celsius, humidity)
    found = air.pressure_dew_point(celsius + 273.15, humidity, 101325.0)
    assert found - 273.15 == pytest.approx(wanted, abs=0.01)


def test_dew_point_rises_with_pressure_and_falls_back():
    up = air.pressure_dew_point(293.15, 0.5, 8e5)
    assert up > 293.15
    back = air.pressure_dew_point(up, 1.0, 101325.0, at=8e5)
    assert back == pytest.approx(air.pressure_dew_point(293.15, 0.5, 101325.0), abs=1e-6)


def test_what_falls_out_and_what_stays_is_what_came():
    came = air.water_ratio(293.15, 0.6)
    out = air.condensate((293.15, 0.6), 293.15, 8e5)
    assert came == pytest.approx(out + air.water_ratio(293.15, 1.0, 8e5))
    assert out > 0.7 * came


def test_dry_air_drops_nothing():
    assert air.condensate((293.15, 0.05), 293.15, 8e5) == 0.0


def test_humidity_after_the_regulator():
    """Saturated at 8 bar absolute, let down to 4 at the same temperature: half, by hand."""
    assert air.humidity_after(293.15, (293.15, 8e5), 4e5) == pytest.approx(0.5)
    assert air.humidity_after(273.15, (293.15, 8e5), 8e5) == 1.0


@pytest.mark.parametrize(
    "call",
    [
        lambda: air.saturation_pressure(500.0),
        lambda: air.water_ratio(293.15, 1.2),
        lambda: air.water_ratio(380.0, 1.0),
        lambda: air.pressure_dew_point(293.15, 0.0, 8e5),
    ],
)
def test_outside(call):
    with pytest.raises(RangeError):
        call()
