"""The window map: clock times by hand, changing days, ranks, lapses, and the demo's own map."""

from datetime import datetime
from functools import cache

import pytest

from coatwright.actions.workshop import open_bench
from coatwright.figures import walk
from coatwright.intake.sheets import load_sheets
from coatwright.intake.weather import read_weather
from coatwright.model import money
from coatwright.model.kit import Climate
from coatwright.planning.build import build
from coatwright.planning.conditions import windows
from coatwright.planning.conditions.climate import shop_day
from coatwright.planning.conditions.drying import Laid, Weather, corrected_layer, sheet_film
from coatwright.planning.conditions.lapses import Bill, lapse
from coatwright.planning.conditions.windows import Laying, Season, until, window_map

LIBRARY = load_sheets()
HOUR = 3600.0
USUAL = Weather(293.15, 293.15, 0.5)


def laying(key, at=0.0, **more):
    material = LIBRARY[key]
    return Laying("door", "metal", material, sheet_film(material), at, **more)


def one(layer, weather=USUAL, start=None):
    (window,) = windows.windows([layer], weather, start)
    return window


def test_on_the_sheet_s_day_the_window_is_the_sheet_s():
    window = one(laying("high-build", at=2 * HOUR))
    assert window.opens.value == pytest.approx(5 * HOUR)
    assert window.closes.value == pytest.approx(2 * HOUR + 7 * 24 * HOUR)
    assert window.best.value == pytest.approx(2 * HOUR + (3 * HOUR * 168 * HOUR) ** 0.5)
    assert not window.shut


def test_clock_time_where_a_start_is_known():
    window = one(laying("high-build"), start=datetime(2026, 5, 4, 8))
    assert window.stamps == (
        "2026-05-04 08:00", "2026-05-04 11:00", "2026-05-05 06:26", "2026-05-11 08:00",
    )  # fmt: skip
    assert one(laying("high-build")).stamps == ("", "", "", "")


def test_a_layer_that_is_rubbed_opens_no_sooner_than_it_can_be_sanded():
    assert one(laying("high-build", rubbed=True)).opens.value == pytest.approx(4 * HOUR)


def test_layers_follow_each_other():
    epoxy, build = laying("epoxy"), laying("high-build", at=None, spraying=600.0)
    found = {w.product: w for w in windows.windows([epoxy, build], USUAL)}
    first, second = found["epoxy"], found["high-build"]
    coats = round(build.laid.layer / build.laid.coat)
    flashes = (coats - 1) * build.material.flash.min
    assert second.laid.value == pytest.approx(first.opens.value + 600.0 + flashes)


def test_other_patches_do_not_wait():
    other = Laying("roof", "metal", LIBRARY["high-build"], sheet_film(LIBRARY["high-build"]))
    found = {w.area: w for w in windows.windows([laying("epoxy"), other], USUAL)}
    assert found["roof"].laid.value < found["door"].opens.value


def test_what_lapses_next_comes_first_and_last_layers_last():
    layers = [laying("epoxy"), laying("acid-etch"), laying("cavity-wax"),
              laying("solid-two-pack", final=True)]  # fmt: skip
    keys = [w.product for w in windows.windows(layers, USUAL)]
    assert keys == ["acid-etch", "epoxy", "cavity-wax", "solid-two-pack"]


def test_a_changing_day_adds_up_its_shares():
    """Half the wait at one weather and half at the other, by hand."""

    def length(when):
        return 1000.0 if when < 5000.0 else 4000.0

    assert until(length, 0.0) == pytest.approx(1000.0)
    assert until(length, 4100.0) == pytest.approx(5000.0 + 0.1 * 4000.0)
    assert until(lambda _: 1e12, 0.0) == pytest.approx(60 * 86400.0)


def test_a_night_in_between_delays_it():
    def night(when):
        return USUAL if when < 3 * HOUR else Weather(278.15, 278.15, 0.5)

    layer = laying("solid-two-pack")  # 16 h on the sheet
    steady = one(layer).opens.value
    cold = one(layer, Weather(278.15, 278.15, 0.5)).opens.value
    mixed = one(layer, night).opens.value
    assert steady < mixed < cold
    share = 3 * HOUR / steady
    assert mixed == pytest.approx(3 * HOUR + (1 - share) * cold, rel=0.01)


def test_a_window_may_be_shut_on_a_cold_day():
    """16 h to open, 48 h to close: at -1 degC it opens after it has closed."""
    window = one(laying("solid-two-pack"), Weather(272.15, 272.15, 0.5))
    assert window.shut
    assert window.opens.value > window.closes.value
    assert window.closes.value <= 48 * HOUR


def test_the_table_of_temperatures_joins_what_is_worked_out():
    layer = laying("high-build")
    table = windows._Table(layer, None)
    for metal in (286.15, 287.15, 287.9):
        weather = Weather(metal, metal, 0.5)
        exact = corrected_layer(layer.material, layer.laid, weather)
        assert table.opens(weather) == pytest.approx(exact.recoat_from.corrected.value, rel=3e-3)


@cache
def demo():
    bench = open_bench("demo")
    return bench, build(bench.job, bench.shop)


@pytest.fixture(scope="module")
def mapped():
    bench, plan = demo()
    bill = Bill(bench.shop.adviser.work, bench.job.workshop.rates.hour.amount)
    season = Season(bench.library, shop_day(bench.job), bill)
    return bench, plan, season, window_map(bench.job, plan.areas, plan.recipes, season)


def test_every_layer_of_every_patch_is_on_the_map(mapped):
    _, plan, _, found = mapped
    layers = sum(len(patch.layers) for area in plan.areas for patch in area.patches)
    assert len(found.windows) == layers > 60
    assert len({window.key for window in found.windows}) == layers


def test_each_lapse_is_priced(mapped):
    _, _, _, found = mapped
    for window in found.windows:
        assert window.lapse.hours.value > 0
        assert window.lapse.money.value > 0
        assert (window.lapse.paint.value > 0) == (window.past in ("abrade and recoat", "strip"))


def test_the_map_s_figures_name_their_sources(mapped):
    from house.test_sources import source_keys

    keys = set(source_keys())
    for address, figure in walk(mapped[3]):
        known = figure.source in keys or figure.source.split(":")[0] in (
            "sheet", "job file", "assumption", "common practice, no source",
        )  # fmt: skip
        assert known, (address, figure.source)


def test_what_was_really_laid_moves_its_windows(mapped):
    bench, plan, season, _ = mapped
    area, patch = plan.areas[0], plan.areas[0].patches[0]
    first = patch.layers[0].product
    late = Season(
        season.library, season.day, season.bill, laid={(area.key, patch.key, first): 50 * HOUR}
    )
    found = window_map(bench.job, plan.areas, plan.recipes, late)
    own = {w.product: w for w in found.windows if (w.area, w.patch) == (area.key, patch.key)}
    assert own[first].laid.value == 50 * HOUR
    assert own[first].opens.value > 50 * HOUR


def test_a_cold_night_moves_the_map(mapped):
    bench, plan, season, usual = mapped
    rows = ["time, air [degC], humidity [%]"]
    rows += [f"2026-05-{4 + d:02d} {h:02d}:00, {11 + 4 * (8 < h < 18)}, 60"
             for d in range(3) for h in range(0, 24, 2)]  # fmt: skip
    job = bench.job.model_copy(
        update={"workshop": bench.job.workshop.model_copy(update={"climate": Climate()})}
    )
    day = shop_day(job, read_weather("\n".join(rows)))
    cold = window_map(job, plan.areas, plan.recipes, Season(season.library, day, season.bill))
    assert cold.start == "2026-05-04 00:00"
    before = {w.key: w.opens.value for w in usual.windows}
    later = [w for w in cold.windows if w.opens.value > before[w.key] * 1.05]
    assert len(later) > 0.8 * len(cold.windows)


def test_lapse_by_hand():
    """Key and degrease 2 m2: 2 x (10 + 6) min of work; a strip also pays for the layers again."""
    bench, _ = demo()
    work = bench.shop.adviser.work
    bill = Bill(work, 30.0)
    epoxy, etch = LIBRARY["epoxy"], LIBRARY["acid-etch"]
    abrade = lapse(((epoxy, 60e-6),), 2.0, epoxy.recoat.min, bill)
    acts = work.acts["abrade new"], work.acts["degrease"]
    hours = sum(act.per_m2 * 2.0 + act.fixed for act in acts)
    spent = sum(money.parse(act.materials).amount for act in acts) * 2.0
    assert abrade.hours.value == pytest.approx(hours)
    assert abrade.money.value == pytest.approx(spent + hours / HOUR * 30.0)
    assert abrade.paint.value == 0.0
    again = lapse(((etch, 8e-6),), 2.0, etch.recoat.min, bill)
    # 2 m2 x 8 um of etch, half of it landing, at 8 to 9 % solids ready to spray: 0.35 to 0.4 L
    solids = 0.5 * (0.14 + 0.03)
    assert again.paint.value == pytest.approx(2.0 * 8e-6 / work.transfer / solids, rel=0.01)
    assert again.wait.value == etch.recoat.min
    wax = lapse(((epoxy, 60e-6), (LIBRARY["cavity-wax"], 80e-6)), 2.0, 0.0, bill)
    assert wax.hours.value > abrade.hours.value + again.hours.value
    assert wax.text.startswith("strip it")


def test_a_thin_film_is_a_laid_film():
    thin = Laying("door", "metal", LIBRARY["epoxy"], Laid(10e-6, 20e-6), 0.0)
    assert one(thin).opens.value == LIBRARY["epoxy"].recoat.min
