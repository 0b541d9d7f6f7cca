"""What the plan says of a coat, and a job that kept to it: nothing to accuse, a fault found."""

from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pytest

from coatwright.actions.asking.causes import Asked, why
from coatwright.actions.planned import planned_coat
from coatwright.actions.plans import plan_job
from coatwright.actions.workshop import open_bench
from coatwright.errors import NotFound
from coatwright.record import events as ev

AREA, COLOUR = "bonnet", "solid-two-pack"
START = datetime(2026, 5, 4, 8, 0, tzinfo=UTC)


@pytest.fixture(scope="module")
def bench():
    return open_bench("demo")


@pytest.fixture(scope="module")
def plan():
    return plan_job("demo", AREA)


def test_paint_that_lands_is_the_film(bench, plan):
    """Paint x capture x solids / surface is the dry film: what goes in comes out."""
    for patch in ("", plan.areas[0].patches[0].key):
        coat = planned_coat(bench, plan, AREA, COLOUR, patch)
        assert coat.paint * coat.capture * coat.solids / coat.surface == pytest.approx(
            coat.dry, rel=1e-6
        )


def test_a_coat_that_a_patch_does_without_says_so(bench, plan):
    """The rear wings of the demo have a patch that is in epoxy already."""
    wings = plan_job("demo", "rear-wings")
    epoxy = planned_coat(bench, wings, "rear-wings", "epoxy")
    assert (epoxy.patches, epoxy.left_out) == (("metal", "filler"), ("epoxied",))
    for told in (
        planned_coat(bench, wings, "rear-wings", "epoxy", "metal"),
        planned_coat(bench, wings, "rear-wings", "high-build"),
        planned_coat(bench, plan, AREA, COLOUR),
    ):
        assert (told.patches, told.left_out) == ((), ())


def test_a_layer_is_its_coats(bench, plan):
    layer = next(one for one in plan.areas[0].patches[0].layers if one.product == COLOUR)
    coat = planned_coat(bench, plan, AREA, COLOUR)
    assert coat.dry * layer.coats.value == pytest.approx(layer.laid.value)
    assert (coat.flash, coat.recoat_until) == (layer.flash.value, layer.recoat_until.value)


def test_the_sheet_gives_its_limits(bench, plan):
    """As data/products/solid-two-pack.toml has them."""
    coat = planned_coat(bench, plan, AREA, COLOUR)
    sheet = bench.library[COLOUR]
    assert (coat.least, coat.most) == (sheet.film.total_min, sheet.film.total_max)
    assert (coat.family, coat.coarsest) == ("two-pack solid colour", sheet.finest_key)
    assert coat.metal_least == sheet.limits.temperature_min
    assert coat.pressure_least == sheet.pressure_min


def test_what_is_put_on_by_hand_has_no_gun(bench, plan):
    wiped = planned_coat(bench, plan, AREA, "aluminium-pretreatment")
    assert (wiped.paint, wiped.pressure, wiped.wet) == (None, None, None)


@pytest.mark.parametrize(
    ("area", "product", "patch", "sentence"),
    [
        ("roof", COLOUR, "", "the plan has no such area: 'roof'; it has bonnet"),
        (AREA, "lacquer", "", "the plan lays no 'lacquer' on 'bonnet'; it lays "),
        (AREA, COLOUR, "hole", "the plan has no such patch: 'hole'; it has "),
    ],
)
def test_what_the_plan_does_not_know(bench, plan, area, product, patch, sentence):
    with pytest.raises(NotFound) as fault:
        planned_coat(bench, plan, area, product, patch)
    assert fault.value.sentence.startswith(sentence)


def sprayed(coat, flash):
    """Two coats of the colour as planned, with a cup weighed and that flash-off between."""
    events = []

    def note(seconds, body):
        at = START + timedelta(seconds=seconds)
        events.append(ev.said("job", "Ivo", at, body, AREA))

    used = coat.paint * coat.density
    warm = ev.ClimateRead(air=294.0, metal=293.5, humidity=0.5)
    begin = 0.0
    for number in (1, 2):
        note(begin - 60, warm)
        note(begin - 30, ev.AirRead(where="gun", pressure=coat.pressure, trigger=True))
        note(begin, ev.CoatBegun(product=COLOUR, coat=number, planned=coat))
        end = begin + coat.trigger
        note(end, ev.CoatDone(product=COLOUR, coat=number, trigger=coat.trigger))
        note(end + 9, ev.CupWeighed(product=COLOUR, coat=number, before=1.0, after=1.0 - used))
        begin = end + flash
    return events


@pytest.mark.parametrize("defect", ["runs", "solvent-pop", "orange-peel", "dieback"])
def test_a_job_that_kept_to_its_plan_accuses_nobody(bench, plan, defect):
    coat = planned_coat(bench, plan, AREA, COLOUR)
    told = why(sprayed(coat, 1.3 * coat.flash), Asked(defect=defect))
    assert told.blamed == ()
    assert not any(one.speaks_for for one in told.causes)


def test_a_flash_off_cut_short_is_found(bench, plan):
    coat = planned_coat(bench, plan, AREA, COLOUR)
    told = why(sprayed(coat, 0.2 * coat.flash), Asked(defect="runs"))
    assert [one.cause.key for one in told.blamed] == ["flash"]


def test_a_layer_without_spread_has_none(bench, plan):
    layer = plan.areas[0].patches[0].layers[-1]
    bare = replace(layer, laid=replace(layer.laid, spread=None))
    patch = replace(plan.areas[0].patches[0], layers=(bare,))
    area = replace(plan.areas[0], patches=(patch,))
    coat = planned_coat(bench, replace(plan, areas=(area,)), AREA, layer.product)
    assert coat.dry_spread == 0.0
