"""The mix of the day: grams, thinner, cup seconds, VOC, pot life; worked out by hand."""

import pytest

from coatwright.engines import rheology
from coatwright.errors import InputError
from coatwright.model.kit import Scale
from coatwright.model.material import Cup, SprayViscosity, Thinning
from coatwright.planning.supplies.mixsheet import (
    MixSheet,
    mix_sheet,
    ratio_error,
    ready_mix,
    smallest_mix,
)
from paint import WARM, sheet, sheets, two_pack, workshop

ML = 1e-6


def grams(mix: MixSheet) -> list[float]:
    return [round(pour.on_scale.value * 1e3, 4) for pour in mix.pours]


def test_by_volume_and_by_weight_in_pouring_order() -> None:
    # 2:1 + 10 % of 3 = 2 : 1 : 0.3, of 660 mL 400 : 200 : 60 mL;
    # 400 x 1.30 = 520 g, + 200 x 1.05 = 210 g, + 60 x 0.87 = 52.2 g.
    mix = mix_sheet(two_pack(), workshop(), volume=660 * ML)
    assert [pour.title for pour in mix.pours] == ["base", "hardener", "two-pack thinner"]
    assert [pour.volume.value / ML for pour in mix.pours] == pytest.approx([400, 200, 60])
    assert [pour.mass.value for pour in mix.pours] == pytest.approx([0.52, 0.21, 0.0522])
    assert grams(mix) == [520.0, 730.0, 782.2]
    assert mix.mass.value == pytest.approx(0.7822)


def test_asked_for_in_grams() -> None:
    mix = mix_sheet(two_pack(), workshop(), mass=0.7822)
    assert mix.volume.value == pytest.approx(660 * ML)
    assert grams(mix) == [520.0, 730.0, 782.2]


def test_a_coarse_scale_puts_the_ratio_off_and_says_so() -> None:
    # 33 mL on a scale of 5 g: 20 mL base 26 -> 25 g; 10 mL hardener, 36.5 -> 35 g, so 10 g for
    # 10.5: (10 / 10.5) / (25 / 26) - 1 = -0.95 %; thinner 39.11 -> 40 g, 5 g for 2.61: +99 %.
    shop = workshop(scale=Scale(resolution=5e-3))
    mix = mix_sheet(two_pack(), shop, volume=33 * ML)
    assert grams(mix) == [25.0, 35.0, 40.0]
    assert mix.ratio_error.value == pytest.approx(5 / 2.61 / (25 / 26) - 1, abs=1e-6)
    assert any("The scale is too coarse for so little" in note for note in mix.notes)
    fine = mix_sheet(two_pack(), workshop(), volume=660 * ML)
    assert fine.ratio_error.value == pytest.approx(0.0, abs=1e-9)
    assert not any("too coarse" in note for note in fine.notes)


def test_a_mix_too_heavy_for_the_scale_is_said() -> None:
    shop = workshop(scale=Scale(resolution=1e-4, capacity=0.5))
    mix = mix_sheet(two_pack(), shop, volume=660 * ML)
    assert any("heavier than the scale can carry" in note for note in mix.notes)


def test_the_smallest_mix_holds_hardener_to_two_percent() -> None:
    # One step of 0.1 g is 2 % of 5 g hardener: 5 / 1.05 mL, of which the mix holds 1 in 3.3.
    ready = ready_mix(two_pack(), workshop())
    assert smallest_mix(ready, 1e-4) == pytest.approx(5e-3 / 1050 * 3.3)


def test_every_smallest_mix_keeps_hardener_within_tolerance() -> None:
    for material in sheets().values():
        ready = ready_mix(material.model_copy(update={"thinning": None}), workshop())
        for more in (1.0, 1.37, 2.9):
            error = ratio_error(ready, more * smallest_mix(ready, 1e-4), 1e-4)
            # Two readings, each rounded by half a step, on the part and on the base.
            assert error.value <= 0.02 * 2, material.key


@pytest.mark.parametrize(
    ("thinner", "grams_per_litre", "verdict"),
    [
        # Worked example of the VOC section of the published values: 2:1:0.2 and 2:1:0.25 with
        # densities 1.30, 1.05, 0.87 and VOC mass fractions 0.3077, 0.35, 1 -> 419.2 and 426.2 g/L.
        (0.2 / 3, 419.2, "within the EU limit for topcoat, all types"),
        # 2 x 400.01 + 367.5 + 870 t = 420 (3 + t) gives t = 0.2055, that is 6.9 % of 3 parts.
        (
            0.25 / 3,
            426.2,
            "over the EU limit for topcoat, all types: up to 6.9% thinner would keep to it",
        ),
    ],
)
def test_voc_against_the_limit(thinner: float, grams_per_litre: float, verdict: str) -> None:
    ready = ready_mix(two_pack(thinner=0.0).model_copy(update=_thinning(thinner)), workshop())
    assert ready.thinner_share.value == pytest.approx(thinner)
    assert ready.voc.value == pytest.approx(grams_per_litre, abs=0.05)
    assert ready.voc_limit is not None
    assert ready.voc_limit.value == pytest.approx(420.0)
    assert ready.voc_verdict == verdict


def _thinning(dose: float) -> dict[str, object]:
    """From no thinner up to that dose, and a paint so thick that the dose is used in full."""
    return {
        "thinning": Thinning(min=0.0, max=dose, usual=dose),
        "neat": Cup(cup="ISO 6", seconds=95.0),
    }


def test_no_category_no_limit() -> None:
    ready = ready_mix(two_pack(voc_eu=None), workshop())
    assert ready.voc_limit is None
    assert ready.voc_verdict == "the sheet names no EU category: no limit to compare with"


def test_the_us_limit_is_the_us_limit() -> None:
    # 40 CFR 59 subpart B: topcoat 600 g/L.
    ready = ready_mix(two_pack(voc_us="topcoat"), workshop(voc_region="US"))
    assert ready.voc_limit is not None
    assert ready.voc_limit.value == pytest.approx(600.0)
    assert ready.voc_verdict == "within the US limit for single and two-stage topcoat"


def test_a_limit_from_memory_says_so() -> None:
    ready = ready_mix(two_pack(voc_us="specialty"), workshop(voc_region="US"))
    assert "limit from memory: check it" in ready.voc_verdict


def test_a_cold_shop_takes_more_thinner_and_a_warm_one_less() -> None:
    doses = [
        ready_mix(sheet("epoxy"), workshop(air=air)).thinner_share.value
        for air in (WARM - 8, WARM, WARM + 8)
    ]
    assert doses[0] > doses[1] > doses[2] > 0


def test_thinner_brings_the_cup_to_the_middle_of_the_range() -> None:
    material = sheet("epoxy")
    ready = ready_mix(material, workshop())
    middle = (material.spray.min + material.spray.max) / 2
    assert ready.cup == material.spray.cup
    assert ready.cup_seconds.value == pytest.approx(middle, abs=0.1)
    low, high = ready.cup_seconds.spread or (0.0, 0.0)
    assert low < middle < high


def test_the_sheets_range_of_thinner_is_kept_and_said() -> None:
    material = two_pack().model_copy(update=_thinning(0.05))
    ready = ready_mix(material, workshop())
    assert ready.thinner_share.value == 0.05
    assert any(note.startswith("Thinner: would need") for note in ready.notes)


def test_below_25_s_a_din_cup_is_out_of_its_equation() -> None:
    # V7 of the published values: DIN 4 is made for 25 to 150 s.
    material = two_pack(
        neat=Cup(cup="DIN 4", seconds=28.0), spray=SprayViscosity(cup="DIN 4", min=16, max=20)
    )
    ready = ready_mix(material, workshop())
    assert not rheology.within("DIN 4", ready.cup_seconds.value)
    said = [note for note in ready.notes if "lies outside the equation" in note]
    assert said == [
        "18 s lies outside the equation of the DIN 4 cup (25 to 150 s): take it as a guide and let "
        "the cup decide."
    ]


def test_inside_the_equation_nothing_is_said() -> None:
    found = ready_mix(sheet("epoxy"), workshop())
    assert not any("equation" in note for note in found.notes)


@pytest.mark.parametrize(("celsius", "hours"), [(21.0, 2.0), (31.0, 1.0), (11.0, 4.0)])
def test_pot_life_halves_for_ten_degrees(celsius: float, hours: float) -> None:
    # UFGS-09971, 3.7.1.3: 2 h at 21 degC, halves per 10 degC up, doubles per 10 degC down.
    material = two_pack(
        pot_life=7200.0,
        spray=SprayViscosity(cup="ISO 4", min=42, max=50, temperature=273.15 + 21.0),
    )
    life = ready_mix(material, workshop(air=273.15 + celsius)).pot_life
    assert life is not None
    assert life.value / 3600 == pytest.approx(hours, rel=0.1)


def test_one_pack_paint_has_no_pot_life() -> None:
    assert ready_mix(sheet("cellulose"), workshop()).pot_life is None


@pytest.mark.parametrize("amounts", [{}, {"volume": 1e-4, "mass": 0.1}, {"volume": 0.0}])
def test_one_amount_is_wanted(amounts: dict[str, float]) -> None:
    with pytest.raises(InputError) as caught:
        mix_sheet(two_pack(), workshop(), **amounts)
    assert caught.value.sentence == (
        'a mix needs one amount above 0; give it as a volume or a mass, e.g. "600 mL"'
    )


@pytest.mark.parametrize("celsius", [12, 20, 30])
@pytest.mark.parametrize("key", sorted(sheets()))
def test_every_sheet_can_be_mixed(key: str, celsius: float) -> None:
    mix = mix_sheet(sheet(key), workshop(air=273.15 + celsius), volume=500 * ML)
    assert sum(pour.volume.value for pour in mix.pours) == pytest.approx(500 * ML)
    assert sum(pour.mass.value for pour in mix.pours) == pytest.approx(mix.mass.value)
    assert mix.pours[-1].on_scale.value == pytest.approx(mix.mass.value, abs=0.51e-4)
    readings = [pour.on_scale.value for pour in mix.pours]
    assert readings == sorted(readings)
