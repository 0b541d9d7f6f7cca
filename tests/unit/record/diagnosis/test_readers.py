"""Each sign read from a record: values by hand, from the events that were written."""

from datetime import UTC, datetime, timedelta

import pytest

from coatwright.record import events as ev
from coatwright.record.diagnosis import films, ground, gun, mixes, times, weather
from coatwright.record.diagnosis.evidence import READERS
from coatwright.record.diagnosis.signs import Measured, Missing, Told
from coatwright.record.diagnosis.story import tell
from histories.sets import PATHOLOGY

START = datetime(2026, 5, 4, 8, 0, tzinfo=UTC)
UM, MIN, HOUR, NOUGHT = 1e-6, 60.0, 3600.0, 273.15
PLAN = {
    "dry": 30 * UM, "dry_spread": 3 * UM, "wet": 60 * UM, "run_limit": 100 * UM, "least": 50 * UM,
    "most": 75 * UM, "surface": 1.0, "paint": 120e-6, "density": 1000.0, "trigger": 200.0,
    "pressure": 2e5, "pressure_least": 1.7e5, "flash": 10 * MIN, "recoat_from": 16 * HOUR,
    "recoat_until": 24 * HOUR, "sand_from": 12 * HOUR, "cured": 24 * HOUR,
    "metal_least": 15 + NOUGHT, "metal_most": 32 + NOUGHT, "humidity_most": 0.8,
    "cup_least": 16.0, "cup_most": 20.0, "coarsest": "P500",
}  # fmt: skip


class Book:
    """Writes what is said at so many minutes from the start."""

    def __init__(self):
        self.events = []

    def note(self, minutes, body, area="door"):
        at = START + timedelta(minutes=minutes)
        self.events.append(ev.said("job", "Ivo", at, body, area))
        return self

    def coat(self, minutes, product="colour", number=1, area="door", **more):
        plan = ev.Planned(**{**PLAN, **more.pop("plan", {})})
        trigger = more.pop("trigger", None)
        begun = ev.CoatBegun(product=product, coat=number, planned=plan, **more)
        self.note(minutes, begun, area)
        self.note(minutes + 8, ev.CoatDone(product=product, coat=number, trigger=trigger), area)
        return self

    def read(self, reader, index=0):
        return reader(tell(self.events, "door", "", START + timedelta(days=60)), index)


def test_every_sign_is_read_and_every_reader_has_a_sign():
    assert set(READERS) == set(PATHOLOGY.signs)


def test_flash_off_runs_from_the_last_trigger_to_the_next_first():
    """Done at minute 8, begun again at minute 12: four minutes."""
    book = Book().coat(0).coat(12, number=2).coat(40, number=3)
    found = book.read(times.flash_short)
    assert (found.value, found.bound) == (4 * MIN, 10 * MIN)
    assert found.place == "colour, coat 2"


def test_one_coat_has_no_flash_off_between_coats():
    assert Book().coat(0).read(times.flash_short) is Missing.NEVER_AROSE


def test_no_end_of_a_coat_means_not_recorded():
    plan = ev.Planned(**PLAN)
    book = Book().note(0, ev.CoatBegun(product="colour", coat=1, planned=plan))
    book.coat(20, number=2)
    assert book.read(times.flash_short) is Missing.NOT_RECORDED


def test_windows_run_between_layers():
    """Ended at minute 8, the next begun at 8 + 20 h: after the opening, before the close."""
    book = Book().coat(0, "base").coat(8 + 20 * 60, "lacquer")
    early, late = book.read(times.recoat_early, 1), book.read(times.recoat_late, 1)
    assert (early.value, early.bound) == (20 * HOUR, 16 * HOUR)
    assert (late.value, late.bound) == (20 * HOUR, 24 * HOUR)
    assert book.read(times.recoat_early, 0) is Missing.NEVER_AROSE


def test_past_its_window_only_counts_if_it_was_not_rubbed():
    rub = ev.RubbedDown(grade="P400")
    rubbed = Book().coat(0, "base").note(3000, rub).coat(3008, "lacquer")
    plain = Book().note(-60, rub).coat(0, "base").coat(3008, "lacquer")
    unknown = Book().coat(0, "base").coat(3008, "lacquer")
    assert rubbed.read(times.recoat_late, 1) is Missing.NEVER_AROSE
    assert plain.read(times.recoat_late, 1).value == 50 * HOUR
    assert unknown.read(times.recoat_late, 1) is Missing.NOT_RECORDED


@pytest.mark.parametrize(("wait", "inside"), [(3, -3), (8, 2), (30, 24), (130, -10)])
def test_the_lifting_zone_has_two_ends(wait, inside):
    """6 h to 120 h: how far inside, in hours."""
    plan = {"lifting_from": 6 * HOUR, "lifting_to": 120 * HOUR}
    book = Book().coat(0, "enamel", plan=plan).coat(8 + wait * 60, "again")
    assert book.read(times.lifting_zone, 1).excess == pytest.approx(inside * HOUR)


def test_rubbing_counts_from_the_end_of_what_is_rubbed():
    book = Book().coat(0, "build").note(8 + 5 * 60, ev.RubbedDown(grade="P180"))
    found = book.coat(900, "colour").read(times.rubbed_early, 0)
    assert (found.value, found.bound) == (5 * HOUR, 12 * HOUR)


def test_dust_of_any_area_counts():
    book = Book().note(-9, ev.RubbedDown(grade="P80"), "boot").coat(0)
    assert book.read(times.dust_raised).value == 9 * MIN


def test_film_of_a_comb_lies_between_its_teeth():
    """Teeth 60 and 80 wetted, next 80 and 100: middles 70 and 90."""
    comb = ev.FilmRead(method="wet comb", product="colour", coat=1,
                       readings=(60 * UM, 80 * UM), steps=(80 * UM, 100 * UM))  # fmt: skip
    found = Book().coat(0).note(9, comb).read(films.wet_over_run)
    assert found.value == pytest.approx(80 * UM)
    assert found.bound == 100 * UM


def test_film_of_the_cup_is_in_proportion_to_the_plan():
    """150 g at 1 kg/L are 150 mL of 120 planned: 1.25 x 60 um wet, 1.25 x 30 um dry."""
    book = Book().coat(0).note(9, ev.CupWeighed(product="colour", coat=1, before=1.5, after=1.35))
    assert book.read(films.wet_over_run).value == pytest.approx(75 * UM)
    assert book.read(films.layer_over_most).value == pytest.approx(37.5 * UM)


def test_film_of_a_layer_by_gauge_is_a_difference_plus_what_was_rubbed_off():
    """60 um of primer, 10 rubbed off, then 110 in all: 60 um of colour."""
    book = Book().note(-60, ev.Stripped(ground="bare steel")).coat(0, "primer")
    book.note(1300, ev.FilmRead(method="gauge", readings=(59 * UM, 60 * UM, 61 * UM)))
    book.note(1400, ev.RubbedDown(grade="P400", took=10 * UM)).coat(1500)
    book.note(2900, ev.FilmRead(method="gauge", readings=(109 * UM, 110 * UM, 111 * UM)))
    assert book.read(films.layer_under_least, 1).value == pytest.approx(60 * UM)
    assert book.read(films.stack_thick, 1).value == pytest.approx(110 * UM)


def test_uneven_film_is_the_coefficient_of_variation():
    """90, 110, 90, 110: standard deviation with n - 1 is 11.547, of a mean of 100."""
    readings = (90 * UM, 110 * UM, 90 * UM, 110 * UM)
    book = Book().coat(0).note(99, ev.FilmRead(method="gauge", readings=readings))
    assert book.read(films.film_uneven).value == pytest.approx(0.11547, abs=1e-5)


def test_the_gun_is_read_with_the_trigger_pulled():
    book = Book().note(-2, ev.AirRead(where="gun", pressure=2.4e5, trigger=False))
    book.note(-1, ev.AirRead(where="gun", pressure=1.4e5, trigger=True))
    book.note(-1, ev.AirRead(where="wall", pressure=6e5, trigger=True)).coat(0)
    found = book.read(gun.pressure_low)
    assert (found.value, found.bound) == (1.4e5, 1.7e5)
    assert book.read(gun.pressure_high).bound == pytest.approx(2.5e5)


def test_pressure_from_coat_to_coat():
    book = Book().note(-1, ev.AirRead(where="gun", pressure=1.8e5, trigger=True)).coat(0)
    book.note(20, ev.AirRead(where="gun", pressure=2.3e5, trigger=True)).coat(21, number=2)
    assert book.read(gun.pressure_varies).value == pytest.approx(0.5e5)


def test_water_counts_for_the_hours_before():
    dry = ev.AirRead(where="receiver", pressure=8e5, trigger=False)
    wet = dry.model_copy(update={"water": True})
    assert Book().note(-30, wet).coat(0).read(gun.water_in_air).yes
    assert not Book().note(-900, wet).note(-30, dry).coat(0).read(gun.water_in_air).yes
    assert Book().coat(0).read(gun.water_in_air) is Missing.NOT_RECORDED


def test_pace_and_distance():
    book = Book().coat(0, trigger=300.0, distance=0.3).coat(20, number=2, trigger=140.0)
    assert book.read(gun.strokes_slow).value == pytest.approx(1.5)
    assert book.read(gun.strokes_fast).value == pytest.approx(0.7)
    assert book.read(gun.distance_far).value == book.read(gun.distance_near).value == 0.3


def mixed(parts, **more):
    wanted = {"a-base": 0.4, "a-hardener": 0.2, "a-thinner": 0.05}
    return ev.Mixed(mix="m", product="colour", parts=parts, wanted=wanted, **more)


def test_shares_of_a_mix_are_taken_against_its_base():
    """Twice the base with the same hardener: half of what is asked; the thinner as asked."""
    book = Book().note(-5, mixed({"a-base": 0.8, "a-hardener": 0.2, "a-thinner": 0.1})).coat(0)
    assert book.read(mixes.READERS["hardener-short"]).value == pytest.approx(0.5)
    assert book.read(mixes.READERS["ratio-off"]).value == pytest.approx(0.5)
    assert book.read(mixes.READERS["thinner-over"]).value == pytest.approx(1.0)
    assert not book.read(mixes.wrong_part).yes


def test_a_forgotten_hardener_is_none_of_it():
    book = Book().note(-5, mixed({"a-base": 0.4})).coat(0)
    assert book.read(mixes.READERS["hardener-short"]).value == 0.0


def test_a_part_of_another_product_is_seen():
    book = Book().note(-5, mixed({"a-base": 0.4, "b-hardener": 0.2})).coat(0)
    assert book.read(mixes.wrong_part).yes
    assert book.read(mixes.READERS["hardener-short"]).value == pytest.approx(1.0)


def test_dates_cups_and_pots():
    """Use by 24 April, mixed on 4 May at 07:55: ten days and 7 h 55 min past it."""
    mix = mixed({"a-base": 0.4, "a-hardener": 0.2}, expiry={"a-hardener": "2026-04-24"},
                cup_seconds=24.0, cup="DIN 4", pot_life=1200.0)  # fmt: skip
    book = Book().note(-5, mix).coat(0)
    assert book.read(mixes.expired).value == pytest.approx(10 * 86400 + 7 * 3600 + 55 * 60)
    assert book.read(mixes.cup_thick).value == 24.0
    assert book.read(mixes.cup_thick).bound == 20.0
    pot = book.read(mixes.pot_old)
    assert (pot.value, pot.bound) == (13 * MIN, 1200.0)


def test_batches_over_areas():
    one, other = mixed({"a-base": 0.4}, lots={"a-base": "L1"}), None
    other = one.model_copy(update={"mix": "n", "lots": {"a-base": "L2"}})
    book = Book().note(-5, one).note(-4, other).coat(0, mix="m").coat(60, area="bonnet", mix="n")
    assert book.read(mixes.lots_differ).yes
    same = Book().note(-5, one).coat(0, mix="m").coat(60, area="bonnet", mix="m")
    assert not same.read(mixes.lots_differ).yes


def climate(metal=20.0, air=20.0, humidity=0.5, speed=None):
    return ev.ClimateRead(
        metal=metal + NOUGHT, air=air + NOUGHT, humidity=humidity, air_speed=speed
    )


def test_dew_margin_through_spraying_and_flash_off():
    """20 degC at 50 %: dew point 9.3 degC (psychrometric tables), so 12 degC metal is 2.7 K off."""
    book = Book().note(-5, climate()).coat(0).note(15, climate(metal=12.0))
    found = book.read(weather.dew_near)
    assert found.value == pytest.approx(2.7, abs=0.1)
    assert book.read(weather.metal_cold).value == 12.0 + NOUGHT


def test_the_hours_after_are_told_apart_from_spraying():
    book = Book().note(-5, climate()).coat(0).note(300, climate(metal=8.0, air=9.0))
    assert book.read(weather.metal_cold).value == 20.0 + NOUGHT
    assert book.read(weather.cold_cure).value == 8.0 + NOUGHT
    unread = Book().note(-5, climate()).coat(0)
    assert unread.read(weather.cold_cure) is Missing.NOT_RECORDED


def test_heat_damp_and_draught():
    book = Book().note(-5, climate(36.0, 28.0, 0.9, 1.4)).coat(0)
    assert book.read(weather.metal_hot).value == 36.0 + NOUGHT
    assert book.read(weather.humid).value == 0.9
    assert book.read(weather.draught).value == 1.4


def test_a_slip_of_the_pen_is_no_dew_point():
    """20 K written for 20 degC."""
    slip = ev.ClimateRead(air=20.0, metal=20.0, humidity=0.5)
    assert Book().note(-5, slip).coat(0).read(weather.dew_near) is Missing.NOT_RECORDED


def test_air_stands_for_the_metal_with_more_doubt():
    told = ev.ClimateRead(air=10.0 + NOUGHT)
    found = Book().note(-5, told).coat(0).read(weather.metal_cold)
    assert (found.value, found.spread) == (10.0 + NOUGHT, weather.AIR_FOR_METAL)


def test_degreasing_must_follow_the_last_rubbing():
    clean, rub = ev.Degreased(), ev.RubbedDown(grade="P400")
    book = Book().note(-9, clean).coat(0, "primer").note(900, clean).note(950, rub).coat(1000)
    book.note(-9, clean, "boot").coat(2, area="boot")
    assert book.read(ground.not_cleaned, 1).yes
    assert not book.read(ground.not_cleaned, 0).yes


def test_a_shop_that_never_writes_degreasing_down_is_not_blamed():
    assert Book().coat(0).coat(2000, "b").read(ground.not_cleaned, 1) is Missing.NOT_RECORDED


def test_wet_in_wet_needs_no_degreasing():
    book = Book().note(-9, ev.Degreased()).coat(0, "base").coat(40, "lacquer")
    assert book.read(ground.not_cleaned, 1) is Missing.NEVER_AROSE


def test_grades():
    """P180 to P500 is a step of 500 / 180; P400 under what hides P500 is too coarse."""
    book = Book().coat(0, "primer").note(900, ev.RubbedDown(grade="P180"))
    book.note(910, ev.RubbedDown(grade="P500")).coat(1000)
    assert book.read(ground.grade_skipped, 1).value == pytest.approx(500 / 180)
    assert book.read(ground.too_coarse, 1).excess < 0.0
    coarse = Book().coat(0, "primer").note(900, ev.RubbedDown(grade="P400")).coat(1000)
    assert coarse.read(ground.too_coarse, 1).excess > 0.0


def test_a_spot_painted_without_primer():
    broke = ev.BrokeThrough(ground="metal")
    assert Book().coat(0, "primer").note(900, broke).coat(1000).read(ground.bare_spots, 1).yes
    primed = Book().coat(0, "primer").note(900, broke).coat(950, "epoxy", plan={"surface": 0.01})
    assert not primed.coat(1000).read(ground.bare_spots, 1).yes


def test_bare_metal_waits_from_its_last_abrading():
    book = Book().note(-1800, ev.Stripped(ground="bare steel"))
    assert book.note(-600, ev.RubbedDown(grade="P120")).coat(0).read(
        ground.waited_bare
    ).value == pytest.approx(10 * HOUR)


def test_old_paint_counts_unless_it_was_stripped():
    found = ev.Found(what="old red", ground="unknown paint")
    assert Book().note(-900, found).coat(0).read(ground.old_paint).yes
    book = Book().note(-900, found).note(-600, ev.Stripped(ground="bare steel")).coat(0)
    assert not book.read(ground.old_paint).yes
    assert Book().coat(0).read(ground.old_paint) is Missing.NOT_RECORDED


def test_acid_under_epoxy():
    etch, epoxy = {"family": "etch primer"}, {"family": "epoxy primer"}
    book = Book().coat(0, "etch", plan=etch).coat(300, "epoxy", plan=epoxy)
    assert book.read(ground.acid, 1).yes
    fine = Book().coat(0, "epoxy", plan=epoxy).coat(300, "etch", plan=etch)
    assert not fine.read(ground.acid, 1).yes


@pytest.mark.parametrize("key", sorted(READERS))
def test_a_bare_record_breaks_no_bound(key):
    """One coat without plan or readings: nothing measured, or nothing that could speak."""
    book = Book().note(0, ev.CoatBegun(product="colour", coat=1))
    found = book.read(READERS[key])
    assert found in (Missing.NOT_RECORDED, Missing.NEVER_AROSE)
    assert not isinstance(found, Measured | Told)
