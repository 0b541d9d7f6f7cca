"""The air hold of the invented demo's bonnet, in its own shop and in one with a small pump."""

import math
import re
import tomllib
from dataclasses import replace
from importlib.resources import files
from pathlib import Path

import numpy as np
import pytest

from coatwright.actions.explain import citations
from coatwright.actions.workshop import open_bench
from coatwright.engines import air
from coatwright.engines.spray import gun as guns
from coatwright.errors import InputErrors
from coatwright.figures import Figure, walk
from coatwright.intake import jobfile
from coatwright.model.job import Job
from coatwright.model.kit import Gauges
from coatwright.planning.conditions.air.changes import Subject, changes
from coatwright.planning.conditions.air.hold import Spraying
from coatwright.planning.conditions.air.patches import flow_factor, patches
from coatwright.planning.conditions.air.programme import NEXT_FACE, REFILL, coat_programme
from coatwright.planning.conditions.air.supply import (
    absolute,
    cap_of,
    fitted,
    gauge,
    kit_for,
    settings,
    supply_of,
)
from coatwright.planning.conditions.airhold import air_card, air_day, air_holds
from coatwright.planning.strokes.recipe import fluid_test
from coatwright.planning.strokes.spraying import Sprayed, layerings, spray_all
from coatwright.planning.systems import choose

SMALL = {"delivery": 120e-3 / 60, "receiver": 24e-3}


def shop(job: Job, **changed: object) -> Job:
    """The same job with another compressor."""
    compressor = job.workshop.compressor.model_copy(update=changed)
    workshop = job.workshop.model_copy(update={"compressor": compressor})
    return job.model_copy(update={"workshop": workshop})


@pytest.fixture(scope="module")
def job() -> Job:
    return open_bench("demo").job


@pytest.fixture(scope="module")
def sprayed(job: Job) -> dict[tuple[str, str], Sprayed]:
    bench = open_bench("demo")
    areas = tuple(area for area in job.areas if area.key == "bonnet")
    return spray_all(layerings(choose(job, areas, bench.shop.adviser, bench.library)), job)


def test_no_compressor_or_no_hose_no_air(job, sprayed):
    for missing in ("compressor", "hose"):
        bare = job.model_copy(update={"workshop": job.workshop.model_copy(update={missing: None})})
        assert air_holds(bare, sprayed) == ()
        assert air_day(bare, sprayed) == ()
        assert air_card(bare) is None


def test_the_shop_of_the_demo_holds_its_bonnet(job, sprayed):
    for hold in air_holds(job, sprayed):
        assert hold.enough
        assert hold.steady
        assert hold.lowest.value == pytest.approx(hold.wanted.value, rel=1e-6)
        assert hold.lost.value == pytest.approx(0.0, abs=1e-9)
        assert len(hold.sections) == 1
        assert hold.changes == ()


def test_a_small_pump_starves_it(job, sprayed):
    for hold in air_holds(shop(job, **SMALL), sprayed):
        assert not hold.steady
        assert hold.lowest.value < hold.wanted.value
        assert hold.lightest.value < hold.lightest_steady.value
        assert 0.0 < hold.lost.value < 1.0
        assert hold.coarsest.value > 1.0
        assert hold.changes[0].gain.value == max(change.gain.value for change in hold.changes)
        assert {change.key for change in hold.changes} == {
            "bore", "cap", "couplings", "pump", "receiver", "regulator",
        }  # fmt: skip


def test_every_key_is_a_recipe(job, sprayed):
    assert {hold.key for hold in air_holds(job, sprayed)} == {
        done.card.key for done in sprayed.values()
    }


def test_trigger_of_all_coats_is_that_of_the_recipe(sprayed):
    for done in sprayed.values():
        coats = [coat_programme(done, coat) for coat in range(done.recipe.coats)]
        trigger = sum(coat.trigger for coat in coats)
        assert trigger == pytest.approx(done.card.trigger_time.value, rel=1e-9)


def test_programme_by_hand(sprayed):
    """Two faces of so many strokes: turns between strokes, a walk between faces, no refill."""
    done = sprayed["bonnet", "solid-two-pack"]
    recipe = done.recipe
    assert (done.pieces, recipe.sections) == (2.0, 1)
    coat, count = coat_programme(done, 0), recipe.sample.setting.layout.count
    rests = coat.phases.seconds[1::2]
    assert len(coat.pulls) == 2 * count
    assert rests[count - 1] == NEXT_FACE
    assert set(np.delete(rests, count - 1)) == {recipe.task.hand.turn}
    assert coat.fills == 0


def test_a_small_cup_is_refilled_as_often_as_the_paint_asks(sprayed):
    """Cup of 40 mL: a refill whenever the next stroke no longer fits, never in a stroke."""
    done = sprayed["bonnet", "high-build"]
    gun = done.recipe.gun.model_copy(update={"cup": 40e-6})
    small = _with_gun(done, gun)
    coat = coat_programme(small, 0)
    stroke = small.recipe.coat_flows[0] * coat.phases.seconds[0]
    each = math.floor(gun.cup / stroke)
    assert coat.fills == math.ceil(len(coat.pulls) / each) - 1
    assert float(coat.phases.seconds[1::2].max()) >= REFILL


def _with_gun(done: Sprayed, gun) -> Sprayed:
    """The same recipe with another gun in the hand."""
    sample = done.recipe.sample
    own = replace(sample, setting=replace(sample.setting, gun=gun))
    return replace(done, recipe=replace(done.recipe, sample=own))


def test_less_pressure_less_paint(sprayed):
    """Half the pressure: what the gun's own law gives, and a little more of it stays."""
    recipe = sprayed["bonnet", "solid-two-pack"].recipe
    half = recipe.pressure / 2
    flow = guns.full_flow(fluid_test(recipe.gun), half, recipe.task.paint.viscosity)
    assert flow_factor(recipe, recipe.pressure) == pytest.approx(1.0)
    assert flow_factor(recipe, half) == pytest.approx(flow / recipe.full_flow * 2**0.1, rel=1e-9)


def test_film_at_half_pressure_all_along_is_that_factor_everywhere(sprayed):
    done = sprayed["bonnet", "solid-two-pack"]
    coats = [coat_programme(done, coat) for coat in range(done.recipe.coats)]
    half = [np.full(len(coat.pulls), done.recipe.pressure / 2) for coat in coats]
    found = patches(done, coats, half)
    factor = flow_factor(done.recipe, done.recipe.pressure / 2)
    assert found.lightest == pytest.approx(found.steady * factor)
    assert found.lost == pytest.approx(1.0 - factor)


def test_one_starved_stroke_leaves_a_patch_only_under_it(sprayed):
    done = sprayed["bonnet", "solid-two-pack"]
    coats = [coat_programme(done, coat) for coat in range(done.recipe.coats)]
    pressures = [np.full(len(coat.pulls), done.recipe.pressure) for coat in coats]
    pressures[0][3] *= 0.5
    found = patches(done, coats, pressures)
    factor = flow_factor(done.recipe, done.recipe.pressure / 2)
    assert 0.0 < found.lost < (1.0 - factor) / done.recipe.coats
    assert found.lightest <= found.steady


def test_steady_film_is_the_thinnest_spot_of_the_recipe(sprayed):
    """The card's 10 to 90 % band of a hand that wanders lies around it."""
    for done in sprayed.values():
        found = Spraying(supply_of(open_bench("demo").job.workshop), done, 0.6).film
        low, high = done.card.dry_total.spread
        assert 0.5 * low < found.steady < high


def test_setting_at_the_wall_gives_the_recipe_s_pressure_at_the_gun(job, sprayed):
    supply = supply_of(job.workshop)
    for done, hold in zip(sprayed.values(), air_holds(job, sprayed), strict=True):
        kit = kit_for(supply, done.recipe.gun, done.recipe.pressure)
        at = air.trigger(kit.line, cap_of(done.recipe.gun), kit.pump.cut_out)
        assert gauge(at.gun) == pytest.approx(hold.wanted.value)
        assert gauge(at.regulated) == pytest.approx(hold.wall.value)
        assert hold.wall.value - hold.wanted.value == pytest.approx(hold.loss.value)
        assert hold.wall_released.value > hold.wall.value
        assert hold.wanted.value + hold.burst.value == pytest.approx(hold.wall_released.value)


def test_sections_hold_when_run_from_end_to_end(job, sprayed):
    """Their rests put into the programme by hand; no stroke below what is needed."""
    small = shop(job, delivery=60e-3 / 60, receiver=24e-3, cut_in=5e5)
    cut = 0
    for hold, done in zip(air_holds(small, sprayed), sprayed.values(), strict=True):
        if hold.enough or not hold.cut_holds:
            continue
        cut += 1
        spraying = Spraying(supply_of(small.workshop), done, 0.6)
        coat = spraying.coats[spraying.worst]
        seconds, which = list(coat.phases.seconds), list(coat.phases.which)
        for section in reversed(hold.sections):
            first = int(coat.pulls[section.first - 1, 0])
            seconds.insert(first, section.rest_before.value)
            which.insert(first, -1)
        phases = air.Programme(np.array(seconds), np.array(which), coat.phases.caps)
        lowest = np.nanmin(air.simulate(phases, spraying.kit).lowest)
        assert gauge(lowest) >= hold.needed.value * (1 - 1e-4)
        assert [s.first for s in hold.sections][1:] == [s.last + 1 for s in hold.sections][:-1]
        assert hold.sections[-1].last == len(coat.pulls)
    assert cut > 0


def test_trace_shows_the_lowest_pressure_where_it_is_said_to_be(job, sprayed):
    for hold in air_holds(shop(job, **SMALL), sprayed):
        coat = next(coat for coat in hold.coats if coat.key == hold.lowest_coat)
        assert np.nanmin(coat.trace.trigger) == pytest.approx(hold.lowest.value, rel=1e-6)
        at = coat.trace.times[int(np.nanargmin(coat.trace.trigger))]
        assert at == pytest.approx(coat.lowest_at.value, abs=0.01)


def test_every_figure_has_a_source_that_exists(job, sprayed):
    known = citations().keys() | {"job file", "common practice, no source"}
    found = [
        *walk(air_holds(shop(job, **SMALL), sprayed)),
        *walk(air_card(job)),
        *walk(air_day(job, sprayed)),
    ]
    inner = [item for _, figure in found for item in walk(dict(figure.inputs))]
    assert len(found) > 150
    wrong = {f.source for _, f in found + inner if f.source not in known}
    assert {source for source in wrong if not source.startswith("sheet:")} == set()
    assert all(math.isfinite(figure.value) for _, figure in found)


ODD = {
    "no pump to speak of": {"delivery": 0.0},
    "no difference": {"cut_in": 8e5, "cut_out": 8e5},
    "no pressure": {"cut_in": 0.0, "cut_out": 0.0},
    "one litre": {"receiver": 1e-3},
    "others take all": {"others": 20e-3},
    "never to run": {"duty": 1e-3},
}


@pytest.mark.parametrize("changed", ODD.values(), ids=ODD)
def test_odd_shops_get_an_answer(job, sprayed, changed):
    odd = shop(job, **changed)
    found = [*walk(air_holds(odd, sprayed)), *walk(air_day(odd, sprayed)), *walk(air_card(odd))]
    assert all(math.isfinite(figure.value) for _, figure in found)


@pytest.mark.parametrize("bore", [1e-4, 3e-3])
def test_a_hose_too_narrow_never_has_what_it_needs(job, sprayed, bore):
    hose = job.workshop.hose.model_copy(update={"bore": bore})
    narrow = job.model_copy(update={"workshop": job.workshop.model_copy(update={"hose": hose})})
    for hold in air_holds(narrow, sprayed):
        assert hold.summary.startswith("Never has")
        assert not hold.enough
        assert hold.holds.value == hold.lasts.value == 0.0
    assert {change.key for change in air_holds(narrow, sprayed)[0].changes} >= {"bore"}


def test_bone_dry_air_drops_no_water(job):
    climate = job.workshop.climate.model_copy(update={"humidity": 0.0})
    dry = job.model_copy(update={"workshop": job.workshop.model_copy(update={"climate": climate})})
    water = air_card(dry).water
    assert water.receiver.value == water.trap.value == 0.0


# --- the card ---------------------------------------------------------------------------------


def test_hold_grows_with_the_receiver(job):
    holds = [receiver.holds.value for receiver in air_card(job).receivers]
    assert holds == sorted(holds)
    assert holds[0] < 60.0 < 240.0 < holds[-1]


def test_the_page_tells_the_demo_s_own_figures(job):
    """The table of docs/engines/air.md: seconds from cut-in and from full, minutes in strokes."""
    page = (Path(__file__).parents[4] / "docs" / "engines" / "air.md").read_text("utf-8")
    rows = re.findall(r"\| (\d+) L \| (\d+) to (\d+) s \| (\d+) min \|", page)
    found = {receiver.key: receiver for receiver in air_card(job).receivers}
    assert len(rows) == 4
    for litres, low, high, minutes in rows:
        receiver = found[f"{litres}-litres"]
        assert receiver.holds.spread == pytest.approx((float(low), float(high)), abs=0.6)
        assert receiver.strokes.value / 60 == pytest.approx(float(minutes), abs=0.55)


def test_hold_of_a_receiver_against_the_balance_of_its_air(job):
    """At one temperature: (cut-out - needed) V / (pa (use - delivery)), pump off above cut-in.

    By hand for 150 L, the primer gun and a pump without clearance. In the run the air cools as it
    is drawn, so that the pump starts earlier, and the wall warms it again: 10 % either way.
    """
    even = shop(job, clearance=0.0)
    found = {r.key: r for r in air_card(even).receivers}["150-litres"]
    primer = job.workshop.guns[0]
    supply = supply_of(even.workshop)
    kit = kit_for(supply, primer, primer.fluid_pressure)
    needs = settings(kit, primer).receiver
    used = primer.air
    above = air.draw_time(0.15, kit.pump.cut_out, kit.pump.cut_in, used)
    below = air.draw_time(0.15, kit.pump.cut_in, needs, used, supply.compressor.delivery)
    assert found.holds.value == pytest.approx(above + below, rel=0.1)


def test_changes_are_what_they_say(job):
    """A receiver twice as big in the job file holds as long as the change promises."""
    supply = supply_of(job.workshop)
    gun = job.workshop.guns[0]
    found = {c.key: c for c in changes(supply, Subject(gun, 2e5, lambda *_: 0.0))}
    bigger = shop(job, receiver=200e-3)
    promised = found["receiver"].holds.value
    kit = kit_for(supply_of(bigger.workshop), gun, 2e5)
    assert air.hold_time(kit, cap_of(gun), absolute(2e5)) == pytest.approx(promised)
    assert found["regulator"].burst.value < found["bore"].burst.value
    assert found["bore"].wall.value < found["receiver"].wall.value


def test_an_air_fed_mask_shortens_the_hold(job):
    for gun in air_card(job).guns:
        assert gun.with_mask.value < gun.holds.value or gun.with_mask.value == air.LONG_ENOUGH


def test_the_rule_of_thumb_is_judged_by_the_pump(job):
    weak, own, strong = (
        air_card(shop(job, delivery=litres * 1e-3 / 60)).rule for litres in (100, 240, 500)
    )
    assert "the rule is not enough here" in weak
    assert "the rule is enough here" in own
    assert "The pump keeps up" in strong


def test_nothing_is_called_safe_and_the_cautions_are_there(job, sprayed):
    card = air_card(job)
    assert {caution.key for caution in card.cautions} >= {"vessel", "pressure"}
    words = [card.rule, card.summary, *card.water.advice]
    words += [text for hold in air_holds(job, sprayed) for text in (hold.summary, *hold.advice)]
    words += [spell.summary for spell in air_day(job, sprayed)]
    assert not any("safe" in text.lower() for text in words)


def test_water_of_the_day(job):
    """19 degC and 60 %: 9.8 g/m3 by psychrometric tables; at 8 bar most of it falls out."""
    water = air_card(job).water
    assert water.taken_in.value * 1e3 == pytest.approx(9.8, abs=0.1)
    assert water.dew_point.value == pytest.approx(292.15)
    assert water.hose_dew_point.value < water.dew_point.value
    assert water.receiver.value > water.trap.value > 0.0


def test_water_of_an_hour_by_hand(job):
    """14.4 m3 of 1.208 kg/m3, less its own vapour: 8.20 g/kg come, 1.71 g/kg stay at 7 bar."""
    water = air_card(job).water
    hourly = (water.receiver.value + water.trap.value) * 1e3
    assert hourly == pytest.approx(14.4 * 1.208 * (8.20 - 1.71), rel=0.01)
    bowl = job.workshop.filter.bowl * 1e6
    assert water.drain_trap.value == pytest.approx(bowl / (water.trap.value * 1e3) * 3600)


def test_gauges_that_were_read_replace_the_assumption(job):
    line = supply_of(job.workshop)
    gun = job.workshop.guns[1]
    kit = kit_for(line, gun, 2e5)
    own = kit.line._replace(hose=kit.line.hose._replace(friction=1.9))
    at = air.at_inlet(own, cap_of(gun), absolute(2e5))
    read = Gauges(gun=gun.key, wall=gauge(at.regulated), at_gun=2e5)
    hose = job.workshop.hose.model_copy(update={"gauges": (read,)})
    known = job.model_copy(update={"workshop": job.workshop.model_copy(update={"hose": hose})})
    found = fitted(supply_of(known.workshop)).friction
    assert found.value == pytest.approx(1.9, rel=1e-6)
    assert found.basis == "measured"
    assert found.spread[0] < 1.9 < found.spread[1]
    assert fitted(line).friction.basis == "assumed"


def test_gauges_of_a_gun_that_is_not_there_are_a_fault_of_the_file():
    text = (files("coatwright") / "data" / "demo" / "larkfield.toml").read_text("utf-8")
    broken = text.replace(
        "couplings = 2 }",
        'couplings = 2, gauges = [{ gun = "no-gun", wall = "3 bar", at_gun = "2 bar" }] }',
    )
    assert tomllib.loads(broken)
    with pytest.raises(InputErrors, match="no gun has the key 'no-gun'"):
        jobfile.open_text(broken, "larkfield.toml")


# --- a product in one go -------------------------------------------------------------------------


def test_a_spell_adds_up(job, sprayed):
    spells = {spell.product: spell for spell in air_day(job, sprayed)}
    assert set(spells) == {product for _, product in sprayed}
    for (_, product), done in sprayed.items():
        trigger = done.card.trigger_time.value
        assert spells[product].trigger.value == pytest.approx(trigger, rel=1e-9)
        assert spells[product].seconds.value > trigger


def test_a_pump_on_its_last_legs_overheats(job, sprayed):
    tired = air_day(shop(job, duty=0.1), sprayed)
    assert any(spell.overheats for spell in tired)
    assert all(spell.warmth.value >= 0.0 for spell in tired)
    for weak, own in zip(tired, air_day(job, sprayed), strict=True):
        assert weak.busiest.value == pytest.approx(own.busiest.value)
        assert weak.warmth.value >= own.warmth.value


def test_figures_are_figures(job):
    assert all(isinstance(figure, Figure) for _, figure in walk(air_card(job)))
