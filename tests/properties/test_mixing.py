"""What must hold for every mix: mass and volume balance, inverses, monotony."""

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from coatwright.engines import mixing

part = st.floats(0.05, 20.0)
density = st.floats(700.0, 2500.0)
rows = st.lists(st.tuples(part, density, st.floats(0.0, 1.0)), min_size=2, max_size=5)
temperatures = st.floats(278.15, 318.15)


def columns(mix):
    return tuple(np.array(column) for column in zip(*mix, strict=True))


@given(rows)
def test_a_mix_lies_between_its_parts(mix):
    parts, densities, solids = columns(mix)
    assert mixing.shares(parts).sum() == pytest.approx(1.0)
    assert densities.min() * (1 - 1e-12) <= mixing.ready_density(parts, densities)
    assert mixing.ready_density(parts, densities) <= densities.max() * (1 + 1e-12)
    assert solids.min() - 1e-12 <= mixing.ready_solids(parts, solids) <= solids.max() + 1e-12


@given(rows, st.floats(0.0, 2.0))
def test_thinner_dilutes_the_solids(mix, share):
    parts, _, solids = columns(mix)
    thin = mixing.ready_solids(mixing.thinned(parts, share), [*solids, 0.0])
    assert thin == pytest.approx(mixing.ready_solids(parts, solids) / (1 + share))


@given(rows)
def test_parts_by_mass_and_back(mix):
    parts, densities, _ = columns(mix)
    mass = mixing.mass_parts(parts, densities)
    assert mass.sum() == pytest.approx(parts.sum())
    assert mixing.volume_parts(mass, densities) == pytest.approx(parts)


@given(rows, st.floats(1e-5, 5e-3))
def test_mass_balance_on_the_scale(mix, volume):
    parts, densities, _ = columns(mix)
    shown = mixing.pour(volume, parts, densities)
    assert (np.diff(shown) > 0).all()
    assert shown[-1] == pytest.approx(volume * mixing.ready_density(parts, densities))
    assert mixing.pour_mass(shown[-1], parts, densities) == pytest.approx(shown)
    assert mixing.ratio_error(shown, parts, densities) == pytest.approx(0.0, abs=1e-9)


@given(rows, st.floats(1e-4, 5e-3), st.sampled_from([1e-4, 1e-3, 5e-3]))
def test_rounding_is_at_most_half_a_step(mix, volume, step):
    parts, densities, _ = columns(mix)
    exact = mixing.pour(volume, parts, densities)
    shown = mixing.on_scale(exact, step)
    assert np.abs(shown - exact).max() <= step / 2 * (1 + 1e-9)
    assert np.abs(shown / step - np.round(shown / step)).max() < 1e-6


@given(rows, st.data())
def test_an_over_pour_is_mended_with_the_least(mix, data):
    parts, densities, _ = columns(mix)
    amount = st.floats(0.0, 1.0)
    cup = np.array(data.draw(st.lists(amount, min_size=len(parts), max_size=len(parts))))
    assume(cup.max() > 1e-3)
    add = mixing.over_pour(cup, parts, densities)
    total = cup + add
    assert add.min() == pytest.approx(0.0, abs=1e-12)
    assert total / total.sum() == pytest.approx(
        mixing.mass_parts(parts, densities) / parts.sum(), abs=1e-9
    )


@given(rows, st.data())
def test_voc_is_a_mass_balance(mix, data):
    """Per volume as it is, the VOC of the mix is what went in; less water it can only be more."""
    parts, densities, share = columns(mix)
    voc = densities * share * 0.5
    water = np.minimum(densities * (1 - share) * 0.5, 800.0)
    with_water = mixing.ready_voc_eu(parts, voc, water, densities, less_water=False)
    assert with_water * parts.sum() == pytest.approx(float(parts @ voc))
    less_water = mixing.ready_voc_eu(parts, voc, water, densities)
    assert less_water >= with_water * (1 - 1e-12)
    assert mixing.ready_voc_us(parts, voc, water, densities) == pytest.approx(less_water)


@given(density, st.floats(0.05, 0.9), st.floats(0.0, 0.6))
def test_voc_of_weights_is_voc_of_a_mix_of_one(rho, solids, water):
    """The form of ISO 11890-2 and the sum over parts are the same for one liquid."""
    assume(solids + water <= 1.0)
    assume(rho * water < 900.0)
    organic = rho * (1 - solids - water)
    summed = mixing.ready_voc_eu([1.0], [organic], [rho * water], [rho])
    assert mixing.voc_of_weights(rho, solids, water) == pytest.approx(summed, abs=1e-9)


@given(st.floats(600.0, 1e6), temperatures, temperatures)
def test_pot_life_lies_in_its_range(life, sheet, shop):
    short, long = mixing.pot_life_range(life, sheet, shop)
    assert short * (1 - 1e-12) <= mixing.pot_life(life, sheet, shop) <= long * (1 + 1e-12)
    assert (short < life) == (shop > sheet) or shop == pytest.approx(sheet)


@given(st.floats(1e4, 2e5), temperatures, temperatures, temperatures)
def test_speed_by_stages_is_speed_at_once(energy, first, between, last):
    staged = mixing.speed_up(first, between, energy) * mixing.speed_up(between, last, energy)
    assert staged == pytest.approx(mixing.speed_up(first, last, energy))


@given(st.floats(1e4, 2e5), temperatures, temperatures)
def test_energy_is_found_again(energy, first, last):
    assume(abs(first - last) > 0.5)
    factor = mixing.speed_up(first, last, energy)
    assert mixing.activation_for(factor, first, last) == pytest.approx(energy)
