"""The days of the invented jobs: what must hold whatever the search finds in its time."""

import pytest

from coatwright.actions.explain import citations, explain
from coatwright.actions.plans import plan_job
from coatwright.engines.timetable.checking import faults
from coatwright.figures import walk
from coatwright.planning.plan import Plan
from day_floor import MINUTE, broken, entries


@pytest.fixture(scope="module")
def practice() -> Plan:
    return plan_job("practice", day_seconds=3.0)


@pytest.fixture(scope="module")
def demo(planned_demo) -> Plan:
    return planned_demo


def test_the_practice_board_is_a_morning(practice):
    """One wipe, three coats from one mix, one gun cleaned; no promise broken; proven best."""
    day = practice.day
    assert day is not None
    assert day.day_count.value == 86400.0
    assert len(entries(day, "coat")) == round(practice.areas[0].patches[0].layers[0].coats.value)
    assert len(day.mixes) == 1
    assert len(entries(day, "clean gun")) == 1
    assert day.proven
    assert broken(day) == []


def test_without_time_for_it_there_is_no_day():
    assert plan_job("practice").day is None


def test_every_figure_of_the_day_can_be_explained(practice):
    known = citations()
    figures = walk(practice.day, "day")
    for address, figure in figures:
        told = explain(practice, address)
        assert told.figure == figure
        assert figure.source in known or figure.source.startswith(("sheet:", "common", "job"))
    assert len(figures) > 40


def test_hazards_stand_beside_the_work_that_meets_them(practice):
    """Two-pack colour holds isocyanates: said at mixing, spraying and cleaning, and on the day."""
    day = practice.day
    assert day is not None
    for act in ("mix", "coat", "clean gun"):
        for one in entries(day, act):
            assert any("socyanate" in text or "hardener" in text for text in one.cautions), act
    assert {"isocyanate-spray", "vapour-fire"} <= {one.key for one in day.days[0].cautions}
    assert day.cautions == practice.cautions


def test_work_beside_isocyanate_mist_is_warned_of(practice):
    """Cleaning the gun straight after the last coat is; the wipe 20 min before the first is not."""
    day = practice.day
    assert day is not None
    (clean,), (wipe,) = entries(day, "clean gun"), entries(day, "degrease")
    assert any("another room" in text for text in clean.cautions)
    assert not any("another room" in text for text in wipe.cautions)


@pytest.mark.slow
def test_the_demo_keeps_every_promise(demo):
    day = demo.day
    assert day is not None
    assert day.workings is not None
    made = day.workings.made
    assert faults(made.problem, made.timetable) == ()
    assert broken(day) == []


@pytest.mark.slow
def test_the_demo_lays_every_coat_of_every_area_once(demo):
    laid = sorted((one.area, one.product, one.coat) for one in entries(demo.day, "coat"))
    assert len(laid) == len(set(laid))
    coats = {
        (area.key, layer.product): round(layer.coats.value)
        for area in demo.areas
        for patch in area.patches
        for layer in patch.layers
    }
    assert laid == sorted((*key, n) for key, most in coats.items() for n in range(1, most + 1))


@pytest.mark.slow
def test_the_demo_does_insides_first_and_wax_last(demo):
    inside = {"bulkhead", "inner-wings", "cabin-floor", "boot-well", "underside", "wheel-arches"}
    finish = [one for one in entries(demo.day, "coat") if one.product == "solid-two-pack"]
    inner = max(one.end.value for one in finish if one.area in inside)
    outer = min(one.start.value for one in finish if one.area in ("front-wings", "bonnet"))
    assert inner < outer
    (wax,) = [one for one in entries(demo.day, "coat") if one.product == "cavity-wax"]
    assert wax.start.value >= max(one.end.value for one in finish)


@pytest.mark.slow
def test_the_demo_stands_in_primer_for_two_days(demo):
    """It waits as the job says (3 d) or until a day before the epoxy's 72 h are over: 48 h."""
    for area in ("front-wings", "bonnet", "cabin-floor"):
        coats = entries(demo.day, "coat", area)
        epoxy = max(one.end.value for one in coats if one.product == "epoxy")
        after = min(one.start.value for one in coats if one.start.value > epoxy)
        assert 48 * 60 * MINUTE <= after - epoxy <= 72 * 60 * MINUTE
