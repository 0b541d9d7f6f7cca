"""A line, a pump and a gun to test with; all pressures absolute."""

from coatwright.engines import air
from coatwright.engines.constants import ATMOSPHERE

SHOP = 293.15
HVLP = air.cap_from_test(380e-3 / 60, 2e5 + ATMOSPHERE, 0.69e5 + ATMOSPHERE)
CONVENTIONAL = air.cap_from_test(300e-3 / 60, 3e5 + ATMOSPHERE)
PUMP = air.Pump(4e-3, 7e5 + ATMOSPHERE, 0.05, 6e5 + ATMOSPHERE, 8e5 + ATMOSPHERE, SHOP, 1.4, 1200.0)


def line(at_gun=False, friction=1.3, length=10.0, bore=9.5e-3, droop=3e6):
    part = air.from_nominal
    return air.Line(
        part(2000e-3 / 60),
        air.Regulator(3.6e5 + ATMOSPHERE, droop, part(1500e-3 / 60), at_gun),
        air.Hose(length, bore, friction, part(1000e-3 / 60), part(1000e-3 / 60)),
        SHOP,
    )


def kit(volume=0.05, heat=None, own=None, pump=PUMP, draw=0.0):
    warm = air.wall_heat(volume) if heat is None else heat
    return air.Kit(own or line(), air.Receiver(volume, warm, SHOP), pump, draw)


def strokes(count=20, pull=4.0, turn=1.0, cap=HVLP):
    return air.programme([pull, turn] * count, [0, -1] * count, [cap])
