"""What if: nothing moved changes nothing; what is moved acts as the physics says."""

import pytest

from coatwright.actions.workshop import open_bench
from coatwright.errors import RangeError
from coatwright.planning.build import areas_of
from coatwright.planning.strokes.spraying import layerings, spray_all
from coatwright.planning.strokes.trial import Shot, overlap_of, try_out
from coatwright.planning.systems import choose


@pytest.fixture(scope="module")
def made():
    bench = open_bench("demo")
    job = bench.job
    areas = [*areas_of(job, "door-insides"), *areas_of(job, "chassis-legs")]
    chosen = choose(job, areas, bench.shop.adviser, bench.library)
    return spray_all(layerings(chosen), job), {hand.key: hand for hand in job.hands}


@pytest.fixture(params=["door-insides", "chassis-legs"])
def done(made, request):
    return made[0][request.param, "epoxy"]


def test_nothing_moved_is_the_recipe_itself(done):
    card = try_out(done, Shot())
    for name in ("dry_total", "thinnest", "run_chance", "light_chance", "paint", "spray_minutes"):
        assert getattr(card, name).value == pytest.approx(getattr(done.card, name).value)


def test_film_goes_with_fluid_over_speed(done):
    # Film per pass is flow x transfer / speed, so double the speed lays half.
    fast = try_out(done, Shot(speed=2 * done.recipe.speed))
    assert fast.dry_total.value == pytest.approx(done.card.dry_total.value / 2)
    assert fast.light_chance.value > done.card.light_chance.value
    full = done.recipe.flow / done.recipe.full_flow
    more = try_out(done, Shot(fluid=1.2 * full))
    assert more.dry_total.value == pytest.approx(1.2 * done.card.dry_total.value)
    assert more.run_chance.value >= done.card.run_chance.value


def test_farther_away_less_lands(done):
    far = try_out(done, Shot(distance=1.4 * done.recipe.sample.setting.distance))
    assert far.transfer.value < done.card.transfer.value


def test_more_overlap_takes_more_strokes_and_lays_more(made):
    done = made[0]["door-insides", "epoxy"]
    dense = try_out(done, Shot(overlap=min(overlap_of(done.recipe) + 0.2, 0.8)))
    assert dense.strokes.value > done.card.strokes.value
    assert dense.dry_total.value > done.card.dry_total.value


def test_an_unsteady_hand_lays_the_same_on_average_and_thinner_at_worst(made):
    sprayed, hands = made
    done = sprayed["door-insides", "epoxy"]
    shaky = try_out(done, Shot(hand=hands["learner"]))
    assert shaky.dry_total.value == pytest.approx(done.card.dry_total.value, rel=0.08)
    assert shaky.thinnest.value < done.card.thinnest.value
    assert shaky.light_chance.value > done.card.light_chance.value


@pytest.mark.parametrize(
    ("shot", "words"),
    [(Shot(distance=1.0), "spray from 80 to 400 mm"), (Shot(speed=0.0), "above 0")],
)
def test_nonsense_is_refused(done, shot, words):
    with pytest.raises(RangeError, match=words):
        try_out(done, shot)
