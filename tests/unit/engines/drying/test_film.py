"""Films that dry: closed forms at both ends, an independent solver between them, layers."""

import math

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from coatwright.engines import drying
from coatwright.engines.constants import GAS
from coatwright.engines.drying import Air, Coat, Solvent
from coatwright.errors import RangeError

ESTER = Solvent(0.11616, 880.9, 399.15, 1245.0, 135.34)
KETONE = Solvent(0.05808, 792.2, 329.23, 24711.0, 67.67)
SLOW = Solvent(0.13216, 968.0, 419.15, 370.0, 141.45)
STILL = Air(293.15, 293.15, 0.2, 0.5)
COAT = Coat(50e-6, (KETONE, ESTER, SLOW), (8e-6, 30e-6, 15e-6))


def gas_rate(solvent, air):
    """Thickness of a pure liquid that air takes away each second, by hand."""
    transfer = drying.mass_transfer(
        drying.diffusivity(solvent, air.temperature), air.speed, air.length, air.temperature
    )
    pull = drying.vapour_pressure(solvent, air.metal)
    return transfer * pull / (GAS * air.metal) * solvent.molar_mass / solvent.density


def test_hardly_any_resin_is_a_bare_liquid():
    """Without resin the activity is 1: half of it has gone after half its thickness / rate."""
    bare = Coat(1e-9, (ESTER,), (20e-6,))
    expected = 10e-6 / gas_rate(ESTER, STILL)
    assert drying.time_to_residue(bare, STILL, 0.5) == pytest.approx(expected, rel=0.02)


def test_a_thicker_wet_film_takes_as_much_longer_while_air_holds_it_back():
    thin = drying.time_to_residue(Coat(1e-9, (ESTER,), (20e-6,)), STILL, 0.5)
    thick = drying.time_to_residue(Coat(2e-9, (ESTER,), (40e-6,)), STILL, 0.5)
    assert thick / thin == pytest.approx(2.0, rel=0.02)


def test_a_nearly_dry_film_loses_solvent_with_the_square_of_its_thickness():
    """Long after, one share a second leaves: pi^2 D / (4 h^2), with D of the dry film."""

    def pace(dry):
        curve = drying.drying_curve(Coat(dry, (KETONE,), (dry * 1e-3,)), STILL, 0.05)
        return math.log(curve.left[-2] / curve.left[-1]) / (curve.clock[-1] - curve.clock[-2])

    diffusion = drying.film_diffusion(1e-4)
    assert pace(50e-6) == pytest.approx(math.pi**2 * diffusion / (4 * 50e-6**2), rel=0.1)
    assert pace(50e-6) / pace(100e-6) == pytest.approx(4.0, rel=0.02)


def independent(coat, air, seconds):
    """The same physics written anew: amounts per area, one right-hand side, a stiff solver."""
    volume = np.array([s.molar_mass / s.density for s in coat.solvents])
    pull = np.array([drying.vapour_pressure(s, air.metal) for s in coat.solvents])
    transfer = np.array(
        [
            drying.mass_transfer(drying.diffusivity(s, air.temperature), air.speed, air.length,
                                 air.temperature)
            for s in coat.solvents
        ]
    )  # fmt: skip
    warm_wet = 1e-9 * math.exp(15e3 / GAS * (1 / 293.15 - 1 / air.metal))
    warm_dry = 1e-13 * math.exp(60e3 / GAS * (1 / 293.15 - 1 / air.metal))

    def slope(_, n):
        n = np.maximum(n, 1e-30)
        thick = coat.dry + (n * volume).sum()
        phi = (n * volume).sum() / thick
        activity = n / n.sum() * phi * np.exp((1 - phi) + 0.4 * (1 - phi) ** 2)
        outer = transfer * activity * pull / GAS / air.metal
        bend = phi * 1.2 / (phi + 0.2)
        inner = math.pi**2 / 4 * warm_dry ** (1 - bend) * warm_wet**bend * n / thick**2
        return -(outer * inner) / (outer + inner)

    start = np.array(coat.liquid) / volume
    solved = solve_ivp(slope, (0, seconds), start, method="LSODA", rtol=1e-9, atol=1e-14)
    return float((solved.y[:, -1] * volume).sum() / sum(coat.liquid))


@pytest.mark.parametrize("seconds", [30.0, 300.0, 3000.0, 60000.0])
@pytest.mark.parametrize("celsius", [10.0, 30.0])
def test_against_an_independent_solver(seconds, celsius):
    air = Air(celsius + 273.15, celsius + 273.15, 0.3, 0.5)
    assert drying.residue(COAT, air, seconds) == pytest.approx(
        independent(COAT, air, seconds), rel=2e-3
    )


def test_metal_decides_the_pull_and_air_carries_it_off():
    """Metal and air apart, against the same independent solver."""
    air = Air(283.15, 298.15, 0.3, 0.5)
    found = drying.residue(Coat(1e-9, (ESTER,), (20e-6,)), air, 60.0)
    assert found == pytest.approx(1 - 60.0 * gas_rate(ESTER, air) / 20e-6, rel=2e-3)
    assert drying.residue(COAT, air, 300.0) == pytest.approx(
        independent(COAT, air, 300.0), rel=2e-3
    )


def test_curve_residue_and_time_agree():
    curve = drying.drying_curve(COAT, STILL)
    assert curve.clock[0] == 0.0
    assert curve.left[0] == 1.0
    assert np.all(np.diff(curve.left) < 0)
    for left in (0.9, 0.5, 0.1, 0.01):
        seconds = drying.time_on(curve, left)
        assert drying.left_after(curve, seconds) == pytest.approx(left, rel=1e-9)
        assert drying.residue(COAT, STILL, seconds) == pytest.approx(left, rel=1e-3)
        assert drying.time_to_residue(COAT, STILL, left) == pytest.approx(seconds, rel=1e-3)
    assert drying.time_on(curve, curve.left[-1] / 2) == math.inf
    assert drying.left_after(curve, 1e9) == pytest.approx(curve.left[-1])


def test_water_in_saturated_air_never_dries():
    water = Solvent(0.018015, 998.2, 373.12, 2339.3, 13.1)
    coat = Coat(10e-6, (water,), (40e-6,))
    wet = Air(293.15, 293.15, 0.2, 0.5, (drying.vapour_pressure(water, 293.15),))
    assert drying.time_to_residue(coat, wet, 0.5) == math.inf
    assert drying.residue(coat, wet, 3600.0) == 1.0
    damp = wet._replace(loaded=(0.5 * wet.loaded[0],))
    dry = wet._replace(loaded=(0.0,))
    # Half the pull, while the air holds it back: twice the time.
    ratio = drying.time_to_residue(coat, damp, 0.7) / drying.time_to_residue(coat, dry, 0.7)
    assert ratio == pytest.approx(2.0, rel=0.03)


def test_layers_hold_more_than_one_coat_and_less_than_coats_laid_at_once():
    one = drying.layered_residue(COAT, STILL, [3600.0])
    assert one == pytest.approx(drying.residue(COAT, STILL, 3600.0) * sum(COAT.liquid))
    three = drying.layered_residue(COAT, STILL, [600.0, 600.0, 3600.0])
    thick = Coat(3 * COAT.dry, COAT.solvents, tuple(3 * x for x in COAT.liquid))
    at_once = drying.residue(thick, STILL, 3600.0) * sum(thick.liquid)
    assert 3 * one < three < at_once


def test_shares_of_a_blend():
    assert drying.blend_shares([1, 1, 2]) == (0.25, 0.25, 0.5)


@pytest.mark.parametrize(
    "call",
    [
        lambda: drying.residue(Coat(0.0, (ESTER,), (1e-6,)), STILL, 1.0),
        lambda: drying.residue(Coat(1e-6, (ESTER,), (0.0,)), STILL, 1.0),
        lambda: drying.residue(Coat(1e-6, (ESTER,), (1e-6, 1e-6)), STILL, 1.0),
        lambda: drying.residue(Coat(1e-6, (), ()), STILL, 1.0),
        lambda: drying.time_to_residue(COAT, STILL, 0.0),
        lambda: drying.residue(COAT, STILL._replace(metal=600.0), 1.0),
        lambda: drying.layered_residue(COAT, STILL, []),
        lambda: drying.blend_shares([0, 0]),
        lambda: drying.blend_shares([2, -1]),
    ],
)
def test_refused(call):
    with pytest.raises(RangeError):
        call()
