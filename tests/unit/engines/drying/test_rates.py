"""Evaporation that cools itself: wet bulbs of an independent library, and heat by hand."""

import pytest

from coatwright.engines import climate, drying
from coatwright.engines.drying import Solvent, Stand
from coatwright.errors import RangeError

WATER = Solvent(0.018015, 998.2, 373.12, 2339.3, 13.1)
KETONE = Solvent(0.05808, 792.2, 329.23, 24711.0, 67.67)


@pytest.mark.parametrize(("celsius", "humidity"), [(15, 0.4), (20, 0.5), (25, 0.3), (30, 0.7)])
def test_water_settles_at_the_wet_bulb(celsius, humidity):
    """In fast air, with no heat from behind, water must settle at PsychroLib's wet bulb.

    That library knows nothing of this package's transfer laws; 0.6 K is what the analogy of heat
    and mass is good for.
    """
    air = celsius + 273.15
    loaded = humidity * climate.saturation_pressure(air)
    found = drying.wet_temperature(WATER, Stand(air, 3.0, 0.05, 0.0, loaded))
    assert found == pytest.approx(climate.wet_bulb(air, humidity), abs=0.6)


def test_heat_and_mass_balance_at_the_temperature_it_settles_at():
    """By hand: k rho cp (a/D)^(2/3) (T - Tw) = k p(Tw) / (R T) x heat; k falls out."""
    stand = Stand(293.15, 1.0, 0.1, 0.0)
    wet = drying.wet_temperature(KETONE, stand)
    lewis = (2.14e-5 / drying.diffusivity(KETONE, 293.15)) ** (2 / 3)
    given = 101325 * 0.0289652 / (8.314462618 * 293.15) * 1006.0 * lewis * (293.15 - wet)
    taken = drying.vapour_pressure(KETONE, wet) / (8.314462618 * 293.15)
    taken *= drying.heat_of_vaporisation(KETONE, wet)
    assert given == pytest.approx(taken, rel=1e-6)
    assert 250.0 < wet < 265.0


def test_nothing_leaves_into_its_own_vapour():
    loaded = drying.vapour_pressure(WATER, 293.15)
    full = Stand(293.15, 1.0, 0.1, 5.0, loaded)
    assert drying.wet_temperature(WATER, full) == pytest.approx(293.15, abs=1e-6)
    assert drying.evaporation(WATER, full) == pytest.approx(0.0, abs=1e-15)
    assert drying.wet_temperature(WATER, full._replace(loaded=2 * loaded)) == 293.15


def test_heat_from_behind_speeds_it_up():
    bare, backed = (
        drying.evaporation(KETONE, Stand(293.15, 0.3, 0.1, heat)) for heat in (0.0, 50.0)
    )
    assert backed > 1.5 * bare


def test_a_reference_is_one():
    assert drying.relative_rate(KETONE, KETONE) == 1.0


def test_chill_by_hand():
    """30 um of acetone on 0.8 mm of steel.

    30e-6 x 792.2 / 0.05808 = 0.409 mol/m2, at 31 kJ/mol (CRC 31.0 at 25 degC, from memory) 12.7
    kJ/m2 out of 2952 J/(m2 K): 4.3 K.
    """
    assert drying.chill(30e-6, KETONE, 2952.0, 293.15) == pytest.approx(4.3, rel=0.05)
    with pytest.raises(RangeError):
        drying.chill(30e-6, KETONE, 0.0, 293.15)
