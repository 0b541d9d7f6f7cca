"""A heated room: balances by hand."""

import pytest

from coatwright.engines import climate
from coatwright.errors import RangeError


def test_air_carries_heat_out():
    # 45 m3, 6 changes an hour = 0.075 m3/s of air at 10 degC (1.247 kg/m3): 94 W/K
    assert climate.air_loss(45.0, 6 / 3600, 283.15) == pytest.approx(94.1, rel=5e-3)
    assert climate.air_loss(45.0, 0.0, 283.15) == 0.0


def test_balance_closes():
    inside = climate.room_temperature(278.15, 3000.0, 150.0)
    assert inside == pytest.approx(298.15)
    assert climate.heater_for(278.15, inside, 150.0) == pytest.approx(3000.0)
    assert climate.heater_for(300.0, 293.15, 150.0) == 0.0


@pytest.mark.parametrize(
    "call",
    [
        lambda: climate.air_loss(-1.0, 1.0, 280.0),
        lambda: climate.room_temperature(280.0, -1.0, 100.0),
        lambda: climate.room_temperature(280.0, 100.0, 0.0),
        lambda: climate.heater_for(280.0, 290.0, -1.0),
    ],
)
def test_refused(call):
    with pytest.raises(RangeError):
        call()
