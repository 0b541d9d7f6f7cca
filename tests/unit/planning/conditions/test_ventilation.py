"""Vapour of one mix in a room: balances by hand, direction, and never a word of safety."""

import re

import pytest

from coatwright.engines import ventilation as engine
from coatwright.figures import walk
from coatwright.intake.sheets import load_sheets
from coatwright.model.kit import Room
from coatwright.planning.conditions import ventilation
from coatwright.planning.conditions.blends import standard
from coatwright.planning.conditions.ventilation import Spraying, breathing_limit, vapour

LIBRARY = load_sheets()
LITRE = Spraying(1e-3, 480.0)
GARAGE = Room()
SEALED = Room(air_changes=0.0, extract_changes=1e-6)


@pytest.mark.parametrize("key", ["solid-two-pack", "cellulose", "synthetic", "acid-etch"])
def test_without_air_all_the_vapour_hangs_in_the_room(key):
    """Mass balance: the peak comes to all the solvent's vapour over the volume of the room."""
    material = LIBRARY[key]
    told = vapour(material, LITRE, SEALED)
    limit = told.peak.inputs["lower limit"].value
    hanging = told.peak.value * limit * SEALED.volume
    blend = [(s, x) for s, x in standard().blend(material) if s.key != "water"]
    organic = sum(x for _, x in blend)
    liquid = LITRE.paint * (1 - ventilation._solids(material)) * organic
    expected = sum(
        engine.vapour_volume(liquid * x / organic, s.density.value, s.molar_mass) for s, x in blend
    )
    assert hanging == pytest.approx(expected, rel=0.03)


def test_solvent_of_the_mix_is_what_its_sheet_says():
    """55 to 60 % of a litre of two-pack colour is solvent: about 0.5 kg, as its VOC says."""
    material = LIBRARY["solid-two-pack"]
    share = 1 - ventilation._solids(material)
    assert share * 880 == pytest.approx(425, rel=0.1)  # g/L, sheet ready to spray about 420


def test_more_air_less_vapour_and_sooner_clear():
    few, many = (vapour(LIBRARY["cellulose"], LITRE, Room(extract_changes=n)) for n in (4, 30))
    assert many.peak.value < few.peak.value
    assert many.clear_after.value <= few.clear_after.value
    assert many.fresh_air.value == pytest.approx(few.fresh_air.value)


def test_a_litre_of_cellulose_in_a_garage_passes_a_quarter_of_the_limit():
    told = vapour(LIBRARY["cellulose"], Spraying(2e-3, 960.0), GARAGE)
    assert told.over
    assert told.peak.value > told.ceiling.value == 0.25
    assert told.breathing.value > 10


def test_isocyanate_clears_no_sooner_than_its_mist():
    told = vapour(LIBRARY["solid-two-pack"], LITRE, GARAGE)
    mist = engine.clearing_time(300.0, ventilation.engine_room(GARAGE))
    assert told.clear_after.value == pytest.approx(mist)
    booth = Room(volume=84.0, extract_changes=360.0, mixing=1.0)
    assert 54 <= vapour(LIBRARY["solid-two-pack"], LITRE, booth).clear_after.value <= 300


def test_a_room_that_is_no_booth_waits_half_an_hour_at_least():
    told = vapour(LIBRARY["base-waterborne"], LITRE, Room(extract_changes=50.0, mixing=1.0))
    assert told.clear_after.value == 1800.0


def test_limits_differ_by_region_and_missing_ones_are_named():
    ester = standard().sheets["n-butyl-acetate"]
    assert breathing_limit(ester, "EU") == pytest.approx(150e-6)
    assert breathing_limit(ester, "US") == pytest.approx(150e-6)
    assert breathing_limit(standard().sheets["n-butanol"], "EU") is None
    assert "1-butanol (n-butanol)" in vapour(LIBRARY["epoxy"], LITRE, GARAGE).unknown
    assert vapour(LIBRARY["epoxy"], LITRE, GARAGE, region="US").unknown != ()


def test_cautions_are_there_and_nothing_is_called_safe():
    told = vapour(LIBRARY["solid-two-pack"], LITRE, GARAGE)
    assert len(told.cautions) >= 3
    words = " ".join((*told.cautions, told.product, *(f.formula for _, f in walk(told))))
    assert re.search(r"\bsafe\b|\bharmless\b|no danger", words) is None
    assert "safety data sheet" in words
