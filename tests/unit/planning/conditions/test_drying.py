"""Sheet times carried to another day; solvent shut in; bakes."""

import pytest

from coatwright.engines import drying as engine
from coatwright.errors import NotFound
from coatwright.figures import walk
from coatwright.intake.sheets import load_sheets
from coatwright.model.material import SolventShare
from coatwright.planning.conditions import drying
from coatwright.planning.conditions.baking import Heat, baked
from coatwright.planning.conditions.blends import Solvents, standard
from coatwright.planning.conditions.drying import Laid, Weather, corrected, corrected_layer
from coatwright.planning.conditions.trapping import trapped

LIBRARY = load_sheets()
MINUTE, HOUR = 60.0, 3600.0


def values(times):
    return {
        name: getattr(times, name).corrected.value
        for name in ("flash", "recoat_from", "through_dry")
    }


def test_ten_degrees_colder_about_doubles_every_wait():
    """The trade's rule (common practice, no source) must come out of the two laws by itself."""
    for key in ("high-build", "solid-two-pack", "epoxy", "base-solvent", "cellulose"):
        material = LIBRARY[key]
        usual = drying.sheet_film(material).coat
        cold = corrected(material, usual, 283.15, 0.5)
        for name, value in values(cold).items():
            sheet = getattr(cold, name).sheet.value
            assert 1.7 < value / sheet < 2.5, (key, name)


def test_warm_days_keep_to_the_sheet_s_shortest_and_say_what_the_law_alone_would():
    times = corrected(LIBRARY["high-build"], 47.5e-6, 303.15, 0.5)
    assert times.flash.corrected.value == LIBRARY["high-build"].flash.min
    assert times.flash.free.value < 0.7 * times.flash.sheet.value
    assert "held at the sheet's own" in times.flash.why
    assert times.recoat_until.corrected.value < LIBRARY["high-build"].recoat.max


def test_cold_days_never_lengthen_a_window_past_the_sheet():
    times = corrected(LIBRARY["epoxy"], 32e-6, 283.15, 0.5)
    assert times.recoat_until.corrected.value == LIBRARY["epoxy"].recoat.max
    assert times.recoat_until.free.value > LIBRARY["epoxy"].recoat.max


def test_a_thicker_film_waits_longer_between_in_proportion_and_squared():
    material = LIBRARY["solid-two-pack"]
    usual = drying.sheet_film(material)
    for factor in (1.5, 2.0):
        thick = corrected(material, usual.coat * factor, 293.15, 0.5)
        assert factor * 0.95 < thick.flash.corrected.value / thick.flash.sheet.value < factor**2.2
    assert "film 50 um for the sheet's 25 um" in thick.flash.why


def test_damp_air_holds_a_waterborne_coat_and_moving_air_frees_it():
    material = LIBRARY["base-waterborne"]
    usual = drying.sheet_film(material).coat
    dry, damp = (corrected(material, usual, 293.15, h).flash.free.value for h in (0.5, 0.7))
    assert 1.4 < damp / dry < 2.0
    moved = corrected(material, usual, 293.15, 0.7, 1.5).flash.free.value
    assert moved < 0.6 * damp
    solvent = LIBRARY["base-solvent"]
    one, two = (corrected(solvent, 1e-5, 293.15, h).flash.free.value for h in (0.3, 0.8))
    assert one == two


def test_water_that_cannot_leave_is_told_as_never():
    cold_metal = Weather(283.15, 293.15, 0.9)
    times = corrected_layer(
        LIBRARY["base-waterborne"], drying.sheet_film(LIBRARY["base-waterborne"]), cold_metal
    )
    assert times.flash.corrected.value >= drying.LONGEST * 0.999
    assert "as good as never" in times.flash.why
    assert "damper than the sheet allows" in times.doubt


def test_outside_the_sheet_s_limits_the_laws_are_doubted():
    times = corrected(LIBRARY["lacquer"], 28e-6, 278.15, 0.5)
    assert "may stop curing" in times.doubt
    assert corrected(LIBRARY["lacquer"], 28e-6, 293.15, 0.5).doubt == ""


def test_each_result_says_sheet_value_corrected_value_and_why():
    times = corrected(LIBRARY["high-build"], 60e-6, 288.15, 0.6)
    figures = dict(walk(times))
    assert figures["flash.sheet"].source == "sheet:high-build"
    assert figures["flash.sheet"].value == 8 * MINUTE
    assert figures["flash.corrected"].inputs["metal"].value == 288.15
    assert times.flash.why.startswith("metal 15 degC, solvent x")
    low, high = times.pot_life.corrected.spread
    assert low < times.pot_life.corrected.value < high


def test_a_cover_slows_drying_and_a_porous_primer_must_be_sealed():
    times = corrected(LIBRARY["high-build"], 47.5e-6, 293.15, 0.5)
    assert times.under_cover.corrected.value >= times.through_dry.corrected.value
    wet = corrected(LIBRARY["base-waterborne"], 6.5e-6, 293.15, 0.5)
    assert wet.under_cover.corrected.value > 1.02 * wet.through_dry.corrected.value
    assert times.seal_by.corrected.value == 7 * 24 * HOUR
    assert "never outdoors" in times.seal_by.why
    damp = corrected(LIBRARY["high-build"], 47.5e-6, 293.15, 0.75)
    assert damp.seal_by.corrected.value == 3.5 * 24 * HOUR
    assert corrected(LIBRARY["epoxy"], 32e-6, 293.15, 0.5).seal_by is None


def test_a_sheet_may_name_its_own_solvents():
    material = LIBRARY["base-solvent"]
    share = SolventShare(solvent="acetone", share=1.0)
    quick = material.model_copy(update={"solvents": (share,)})
    one, two = (corrected(m, 20e-6, 283.15, 0.5).flash.corrected.value for m in (material, quick))
    assert one != two
    wrong = SolventShare(solvent="moonshine", share=1.0)
    with pytest.raises(NotFound, match="no solvent 'moonshine'"):
        corrected(material.model_copy(update={"solvents": (wrong,)}), 20e-6, 283.15, 0.5)


def test_a_kind_without_a_blend_asks_for_the_sheet_s():
    bare = Solvents(standard().sheets, standard().blends.model_copy(update={"families": {}}))
    with pytest.raises(NotFound, match="list its solvents"):
        corrected(LIBRARY["epoxy"], 32e-6, 293.15, 0.5, solvents=bare)


def test_solvent_left_in_one_coat_is_the_engine_s_own_residue():
    material = LIBRARY["acid-etch"]
    laid = Laid(8e-6, 8e-6)
    found = trapped(material, laid, Weather(293.15, 293.15, 0.5), (1e9, 900.0))
    case = drying.Case(material, laid, Weather(293.15, 293.15, 0.5), standard())
    blend, water = case.blend()
    coat = drying.wet_coat(blend, 8e-6, drying.landed_share(material))
    air = drying.air_of(Weather(293.15, 293.15, 0.5), water)
    left = engine.residue(coat, air, 900.0) * sum(coat.liquid)
    assert found.left.value == pytest.approx(left, rel=1e-6)


def test_solvent_shut_in():
    material = LIBRARY["high-build"]
    laid = drying.sheet_film(material)
    day = Weather(293.15, 293.15, 0.5)
    kept = (material.flash.min, material.recoat.min)
    usual = trapped(material, laid, day, kept)
    assert usual.ratio.value == pytest.approx(1.0)
    assert "as the sheet" in usual.why
    hurried = trapped(material, laid, day, (120.0, HOUR))
    assert hurried.ratio.value > 1.3
    assert "wait longer" in hurried.why
    cold = trapped(material, laid, Weather(283.15, 283.15, 0.5), kept)
    assert cold.ratio.value > 1.3
    thick = trapped(material, Laid(2 * laid.coat, 2 * laid.layer), day, kept)
    assert thick.ratio.value > 2.0
    patient = trapped(material, laid, day, (900.0, 24 * HOUR))
    assert patient.ratio.value < 0.7
    assert "less solvent" in patient.why


PANEL = engine.Panel(7850 * 470 * 0.8e-3, 20.0)


def test_an_oven_at_the_sheet_s_temperature_cures_in_its_time_and_the_warming_up():
    material = LIBRARY["solid-two-pack"]  # 40 min at 60 degC
    oven = Heat(0.0, 335.15)
    done = baked(material, PANEL, oven, 3600.0)
    assert done.metal.value == pytest.approx(335.15, abs=0.1)
    assert done.enough_after.value == pytest.approx(40 * MINUTE, rel=0.1)
    assert done.cure.value > 1.3
    assert "cured through" in done.why
    short = baked(material, PANEL, oven, 1200.0)
    assert short.enough_after is None
    assert short.cure.value < 0.6
    assert "longer, nearer or warmer" in short.why


def test_thick_metal_comes_late_and_a_weak_lamp_never():
    material = LIBRARY["solid-two-pack"]
    thick = PANEL._replace(capacity=7850 * 470 * 4e-3)
    thin_one, thick_one = (baked(material, p, Heat(0.0, 335.15), 7200.0) for p in (PANEL, thick))
    assert thick_one.reaches.value > 3 * thin_one.reaches.value
    assert baked(material, PANEL, Heat(300.0, 288.15), 3600.0).reaches is None


def test_too_hot_a_bake_and_one_pack_paint_are_told():
    hot = baked(LIBRARY["solid-two-pack"], PANEL, Heat(0.0, 373.15), 3600.0)
    assert "may boil" in hot.why
    plain = baked(LIBRARY["cellulose"], PANEL, Heat(0.0, 333.15), 3600.0)
    assert "not a two-pack" in plain.why
