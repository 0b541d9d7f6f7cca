"""Hours by kind, stage and booth: they count every hour of the plan exactly once."""

import pytest

from coatwright.actions.workshop import open_bench
from coatwright.model.substrate import Family
from coatwright.planning.build import areas_of
from coatwright.planning.strokes.spraying import demands, layerings, spray_all
from coatwright.planning.supplies.batching import product_needs
from coatwright.planning.supplies.hours import MIXING, STAGES, bill_of, stage_of
from coatwright.planning.systems import choose


@pytest.fixture(scope="module")
def made():
    bench = open_bench("demo")
    job = bench.job
    chosen = choose(job, areas_of(job, "front-wings"), bench.shop.adviser, bench.library)
    found = layerings(chosen)
    wants = demands(found, spray_all(found, job), job)
    needs = product_needs(wants, bench.library, job.workshop)
    mixes = {need.key: len(need.batches) for need in needs}
    materials = {material.key: material for one in chosen for material in one.materials}
    return chosen, wants, mixes, materials, bill_of(chosen, wants, mixes, materials)


def test_every_hour_is_in_one_kind_and_one_stage(made):
    chosen, wants, mixes, _, bill = made
    steps = sum(step.hours.value for one in chosen for step in one.route.steps)
    expected = steps + sum(want.seconds for want in wants) + MIXING * sum(mixes.values())
    assert expected > 0
    assert sum(item.hours.value for item in bill.labour) == pytest.approx(expected)
    assert sum(stage.hours.value for stage in bill.stages) == pytest.approx(expected)
    assert [stage.key for stage in bill.stages] == list(STAGES)


def test_the_booth_is_taken_while_it_is_sprayed_and_flashes(made):
    _, wants, _, materials, bill = made
    sprayed = [want for want in wants if want.gun]
    coats = {(want.product, want.stage, want.coat) for want in sprayed}
    flashing = sum(materials[product].flash.min for product, _, _ in coats)
    assert bill.booth.value == pytest.approx(sum(w.seconds for w in sprayed) + flashing)
    assert bill.booth.spread[0] < bill.booth.value < bill.booth.spread[1]


def test_blocking_for_colour_is_part_of_being_ready_for_it(made):
    chosen, *_, bill = made
    blocking = sum(s.hours.value for one in chosen for s in one.route.steps if s.act == "block")
    built = next(stage for stage in bill.stages if stage.key == "built")
    assert built.hours.value > blocking > 0


@pytest.mark.parametrize("family", list(Family))
def test_every_family_has_a_stage(family):
    assert stage_of(family) in STAGES
