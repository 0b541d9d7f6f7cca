"""What an area asks for, and which areas are done in one go."""

from dataclasses import replace

import pytest

from coatwright.actions.workshop import open_bench
from coatwright.planning.build import built
from coatwright.planning.day import habits
from coatwright.planning.day.sets import Room, area_sets
from coatwright.planning.day.works import AreaWork, Asked, area_works, merged
from day_floor import MINUTE, act, area, layer, sheet


@pytest.fixture(scope="module")
def practice() -> Asked:
    bench = open_bench("practice")
    return built(bench.job, bench.shop).asked


@pytest.mark.parametrize(
    ("chains", "order"),
    [
        ([["epoxy", "colour"], ["epoxy", "build", "colour"]], ["epoxy", "build", "colour"]),
        ([["build", "colour"], ["epoxy", "build", "colour"]], ["epoxy", "build", "colour"]),
        ([["wipe"], []], ["wipe"]),
        ([], []),
    ],
)
def test_patches_are_merged_so_that_each_keeps_its_order(chains, order):
    assert merged(chains) == order


def test_the_board_gets_its_coats_and_is_wiped_once_more(practice):
    (work,) = area_works(practice)
    (colour,) = work.layers
    assert work.hand == "learner"
    assert not work.metal
    assert [one.act for one in colour.acts] == ["degrease"]
    known = practice.work.acts["degrease"]
    assert colour.acts[0].seconds == habits.WIPE_SHARE * known.per_m2 * practice.job.areas[0].net()


def test_paint_of_all_coats_is_what_the_plan_mixes(practice):
    """Losses and test cards are shared out by volume, so that the sum is the need."""
    (work,) = area_works(practice)
    total = sum(coat.paint for coat in work.layers[0].coats)
    assert total == pytest.approx(practice.needs[0].volume.value)


def test_a_coat_takes_its_strokes_its_refills_and_getting_there(practice):
    """Two and a half cups are two refills of 1 min each; and 1 min to get there."""
    demand = practice.demands[0]
    assert demand.gun is not None
    thick = replace(demand, through_gun=2.5 * demand.gun.cup, on_surface=0.0)
    many = replace(practice, demands=(thick, *practice.demands[1:]))
    (work,) = area_works(many)
    seconds = work.layers[0].coats[0].seconds
    assert seconds == pytest.approx(demand.seconds + 2 * 60.0 + 60.0)


def parts(count: int, paint: float = 1e-4) -> list[AreaWork]:
    colour = sheet("colour", pot=7200.0)
    one = layer(colour)
    one = replace(one, coats=(replace(one.coats[0], paint=paint),))
    return [area(f"part-{n}", one) for n in range(count)]


ROOM = Room(1e-3, {"colour": 7200.0})


def test_few_areas_stand_for_themselves():
    assert [len(one.works) for one in area_sets(parts(6), ROOM)] == [1] * 6


def test_many_alike_are_done_in_sets_that_fit_the_cup():
    """Seven times 300 mL into cups of 1 L: three, three and one."""
    assert [len(one.works) for one in area_sets(parts(7, 3e-4), ROOM)] == [3, 3, 1]


def test_a_set_is_sprayed_within_a_share_of_the_pot_life():
    """Each coat takes 10 min, mixing 5 and cleaning 10: 70 % of 60 min are 42, so two areas."""
    sets = area_sets(parts(7, 1e-5), Room(1e-3, {"colour": 60 * MINUTE}))
    assert [len(one.works) for one in sets] == [2, 2, 2, 1]


def test_insides_and_what_a_test_keeps_back_are_sets_of_their_own():
    colour = sheet("colour")
    test = replace(act("test patch", 30), wait=24 * 3600.0)
    works = [
        *parts(4),
        *(area(f"inside-{n}", layer(colour), zone="inside") for n in range(2)),
        area("old", layer(colour, acts=(test,))),
    ]
    assert [len(one.works) for one in area_sets(works, ROOM)] == [4, 2, 1]
