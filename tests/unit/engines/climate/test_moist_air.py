"""Moist air: round trips, edges, and the library's switch left at SI in plain Python."""

from types import FunctionType

import pytest

from coatwright.engines import climate
from coatwright.engines.climate._psychrometrics import psychrolib
from coatwright.errors import RangeError


def test_saturated_air_is_at_its_dew_point():
    for celsius in (2.0, 15.0, 35.0):
        air = celsius + 273.15
        assert climate.dew_point(air, 1.0) == pytest.approx(air, abs=2e-3)
        assert climate.wet_bulb(air, 1.0) == pytest.approx(air, abs=5e-3)
        assert climate.dew_margin(air, air, 1.0) == pytest.approx(0.0, abs=2e-3)


@pytest.mark.parametrize("humidity", [0.2, 0.5, 0.85])
def test_wet_bulb_and_back(humidity):
    wet = climate.wet_bulb(293.15, humidity)
    assert climate.humidity_from_wet_bulb(293.15, wet) == pytest.approx(humidity, abs=1e-3)
    assert climate.dew_point(293.15, humidity) < wet < 293.15


def test_humidity_ratio_is_the_gas_law():
    # 0.622 pw / (p - pw), by hand: 20 degC, 50 %, pw = 1169.4 Pa
    assert climate.humidity_ratio(293.15, 0.5) == pytest.approx(
        0.621945 * 1169.4 / (101325 - 1169.4), rel=1e-3
    )


def test_warming_air_dries_it_and_cooling_it_wets_it():
    # 10 degC at 80 % brought to 20 degC: 80 % x 1228 / 2339 Pa = 42 %
    assert climate.humidity_at(283.15, 0.8, 293.15) == pytest.approx(0.42, abs=0.005)
    assert climate.humidity_at(293.15, 0.5, 273.15) == 1.0
    same = climate.dew_point(283.15, 0.8)
    assert climate.dew_point(293.15, climate.humidity_at(283.15, 0.8, 293.15)) == pytest.approx(
        same, abs=0.01
    )


@pytest.mark.parametrize(
    ("function", "values"),
    [
        (climate.dew_point, (293.15, 1.2)),
        (climate.dew_point, (20.0, 0.5)),
        (climate.dew_point, (float("nan"), 0.5)),
        (climate.wet_bulb, (293.15, -0.1)),
        (climate.humidity_from_wet_bulb, (293.15, 294.15)),
        (climate.saturation_pressure, (400.0,)),
    ],
)
def test_out_of_range(function, values):
    with pytest.raises(RangeError):
        function(*values)


def test_bone_dry_air_has_a_dew_point():
    assert climate.dew_point(293.15, 0.0) < 220.0


def test_the_library_is_plain_and_in_si():
    assert psychrolib.GetUnitSystem() is psychrolib.SI
    assert psychrolib.has_numba is False
    # a compiled wrapper is no plain function, and its first call would take seconds
    assert isinstance(psychrolib.GetTDewPointFromRelHum, FunctionType)
    assert isinstance(psychrolib.GetTWetBulbFromRelHum, FunctionType)
