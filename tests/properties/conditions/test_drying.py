"""What must hold of drying whatever the paint and the day."""

import math
from functools import cache

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from coatwright.engines import drying
from coatwright.engines.drying import Air, Coat
from coatwright.intake.sheets import load_sheets
from coatwright.planning.conditions.blends import evaporating, standard
from coatwright.planning.conditions.drying import Laid, Weather, corrected_layer, sheet_film

SLACK = 1.002
"""Steps of the integration leave a thousandth."""

solvents = st.sampled_from(sorted(standard().sheets)).map(
    lambda key: evaporating(standard().sheets[key])
)
temperatures = st.floats(273.15, 313.15)
microns = st.floats(1e-6, 200e-6)


@cache
def library():
    return load_sheets()


@st.composite
def coats(draw):
    chosen = tuple(draw(st.lists(solvents, min_size=1, max_size=4)))
    liquid = tuple(draw(microns) for _ in chosen)
    return Coat(draw(st.floats(5e-6, 150e-6)), chosen, liquid)


@st.composite
def airs(draw):
    return Air(draw(temperatures), draw(temperatures), draw(st.floats(0.0, 3.0)), 0.5)


def warmer(air, by):
    return air._replace(metal=air.metal + by, temperature=air.temperature + by)


@settings(max_examples=60, deadline=None)
@given(coats(), airs(), st.floats(0.02, 0.95), st.floats(0.5, 15.0))
def test_warmer_never_dries_later(coat, air, left, by):
    cold = drying.time_to_residue(coat, air, left)
    warm = drying.time_to_residue(coat, warmer(air, by), left)
    assert warm <= cold * SLACK


@settings(max_examples=60, deadline=None)
@given(coats(), airs(), st.floats(0.02, 0.95), st.floats(1.05, 3.0))
def test_thicker_never_dries_sooner(coat, air, left, factor):
    thick = Coat(coat.dry * factor, coat.solvents, tuple(x * factor for x in coat.liquid))
    assert drying.time_to_residue(thick, air, left) * SLACK >= drying.time_to_residue(
        coat, air, left
    )


@settings(max_examples=60, deadline=None)
@given(coats(), airs(), st.floats(0.02, 0.95), st.floats(0.05, 2.0))
def test_more_air_never_dries_later(coat, air, left, more):
    windy = air._replace(speed=air.speed + more)
    assert drying.time_to_residue(coat, windy, left) <= SLACK * drying.time_to_residue(
        coat, air, left
    )


@settings(max_examples=60, deadline=None)
@given(coats(), airs(), st.floats(1.0, 1e5))
def test_solvent_only_leaves(coat, air, seconds):
    early, late = (drying.residue(coat, air, t) for t in (seconds, 2 * seconds))
    assert 0 < late <= early * SLACK <= SLACK


@given(st.floats(0.0, 1.0), st.floats(0.001, 0.5))
def test_more_solvent_in_a_film_moves_faster(share, more):
    assert drying.film_diffusion(min(share + more, 1.0)) >= drying.film_diffusion(share)


def test_ends_of_film_diffusion():
    assert math.isclose(drying.film_diffusion(0.0, 1e-9, 1e-13), 1e-13)
    assert math.isclose(drying.film_diffusion(1.0, 1e-9, 1e-13), 1e-9)


@settings(max_examples=40, deadline=None)
@given(coats(), airs(), st.lists(st.floats(60.0, 5e3), min_size=1, max_size=4))
def test_longer_waits_never_leave_more_in_a_layer(coat, air, waits):
    longer = [1.5 * wait for wait in waits]
    assert drying.layered_residue(coat, air, longer) <= SLACK * drying.layered_residue(
        coat, air, waits
    )


@settings(max_examples=60, deadline=None)
@given(
    st.lists(st.floats(263.15, 393.15), min_size=2, max_size=20),
    st.floats(0.0, 20.0),
    st.floats(30e3, 90e3),
)
def test_a_warmer_history_never_cures_less(metal, by, energy):
    clock = np.arange(len(metal)) * 600.0
    cold = drying.cure_reached(clock, metal, 3600.0, 293.15, energy)
    warm = drying.cure_reached(clock, np.array(metal) + by, 3600.0, 293.15, energy)
    assert np.all(warm >= cold)
    assert np.all(np.diff(cold) >= 0)


products = st.sampled_from(sorted(library()))


@settings(max_examples=60, deadline=None)
@given(
    products,
    st.floats(275.0, 308.0),
    st.floats(0.2, 6.0),
    st.floats(0.1, 0.8),
    st.floats(0.5, 2.0),
)
def test_a_warmer_day_never_lengthens_a_flash(product, metal, by, humidity, factor):
    """Nor any other wait; and never is a coat flashed before the sheet's shortest."""
    material = library()[product]
    usual = sheet_film(material)
    laid = Laid(usual.coat * factor, usual.layer * factor)
    cold, warm = (
        corrected_layer(material, laid, Weather(t, t, humidity)) for t in (metal, metal + by)
    )
    for name in ("flash", "recoat_from", "sand_from", "through_dry", "pot_life", "recoat_until"):
        one, two = getattr(cold, name), getattr(warm, name)
        if one is not None:
            assert two.corrected.value <= one.corrected.value * SLACK, name
    assert cold.flash.corrected.value >= material.flash.min
    assert cold.recoat_from.corrected.value >= material.recoat.min
    if material.recoat.max is not None:
        assert cold.recoat_until.corrected.value <= material.recoat.max


@settings(max_examples=30, deadline=None)
@given(products)
def test_on_the_sheet_s_own_day_the_sheet_s_own_times(product):
    material = library()[product]
    times = corrected_layer(material, sheet_film(material), Weather(293.15, 293.15, 0.5))
    for name in ("flash", "recoat_from", "recoat_until", "sand_from", "through_dry", "pot_life"):
        timing = getattr(times, name)
        if timing is not None:
            assert math.isclose(timing.corrected.value, timing.sheet.value, rel_tol=1e-6), name
    assert times.doubt in ("", "warmer than the sheet allows")
