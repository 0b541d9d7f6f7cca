"""Fluid tests, strokes and practice boards tapped on a phone: what the shop makes of them."""

import math
from importlib.resources import files

import numpy as np
import pytest

from coatwright.actions.learned import learned_by
from coatwright.actions.measuring.boards import board_bench
from coatwright.actions.measuring.fluid import fluid_bench
from coatwright.actions.measuring.hands import (
    WORTH,
    find_recipe,
    hand_told,
    keep_hand,
    planned_with,
)
from coatwright.actions.measuring.strokes import stroke_bench
from coatwright.actions.shop import Shop
from coatwright.actions.taps import take
from coatwright.errors import InputError, NotFound
from coatwright.planning.strokes.ready import dry_density
from coatwright.record.events import new_id
from coatwright.record.store.ledger import Record

TEXT = (files("coatwright") / "data" / "demo" / "practice-board.toml").read_text("utf-8")


@pytest.fixture
def shop(tmp_path):
    with Record(f"sqlite:///{tmp_path / 'record.db'}", tmp_path / "files") as record:
        made = Shop(record, tmp_path)
        made.take_in("board", TEXT, "painter")
        yield made


@pytest.fixture
def card(shop):
    return find_recipe(shop, "board", "").card


def tap(shop, kind, area="board", **fields):
    told = {
        "id": new_id(), "job": "board", "who": "Anna", "kind": kind, "fields": fields,
        "area": area, "at": shop.clock().isoformat(), "seen": 10**9,
    }  # fmt: skip
    return take(shop, told).event


def caught(shop, share, opening="as set", **more):
    """Three catches of 15 s, each that share of what the recipe (or the full trigger) gives."""
    bench = fluid_bench(shop, "board")
    flow = bench.full.value if opening == "full" else bench.card.fluid.value
    held = "; ".join(f"{flow * share * 15e6 * off:.2f}" for off in (0.99, 1.0, 1.01))
    fields = {
        "gun": "colour-gun", "product": "solid-two-pack", "opening": opening,
        "volumes": {"text": held, "unit": "mL"}, "seconds": {"text": "15; 15; 15", "unit": "s"},
        "mark": "1 mL",
    } | more  # fmt: skip
    return tap(shop, "fluid caught", **fields)


class TestFluid:
    def test_what_the_plan_foretold_is_kept_with_the_test(self, shop, card):
        event = caught(shop, 1.0)
        assert event.body.expected == pytest.approx(card.fluid.value)
        assert event.body.pressure == pytest.approx(card.pressure.value)
        full = caught(shop, 1.0, "full")
        share = card.fluid.value / full.body.expected
        assert share == pytest.approx(card.fluid_share.value)

    @pytest.mark.parametrize(
        ("share", "verdict"), [(0.8, "less"), (1.02, "as wanted"), (1.25, "more")]
    )
    def test_it_is_told_whether_the_recipe_wants_more_or_less(self, shop, card, share, verdict):
        caught(shop, share)
        (test,) = fluid_bench(shop, "board").tests
        assert test.verdict == verdict
        assert test.ratio.value == pytest.approx(share, rel=2e-3)
        low, high = test.flow.spread
        assert low < card.fluid.value * share < high
        # The same film needs speed in proportion to the fluid: film = flow / (speed x pitch).
        assert test.pace.value == pytest.approx(card.pace.value / share, rel=2e-3)
        assert test.catch.value == pytest.approx(card.fluid.value * 15.0)

    def test_left_as_it_is_the_film_follows_the_fluid(self, shop, card):
        caught(shop, 0.8)
        (test,) = fluid_bench(shop, "board").tests
        assert test.as_it_is.dry_total.value == pytest.approx(0.8 * card.dry_total.value, rel=0.02)
        assert test.as_it_is.light_chance.value > card.light_chance.value

    def test_at_full_trigger_the_share_that_the_recipe_needs_is_told(self, shop, card):
        caught(shop, 1.3, "full")
        (test,) = fluid_bench(shop, "board").tests
        assert test.share.value == pytest.approx(card.fluid_share.value / 1.3, rel=2e-3)
        assert test.as_it_is is None

    def test_with_the_air_off_nothing_is_compared_or_learned(self, shop):
        caught(shop, 0.5, air=False)
        (test,) = fluid_bench(shop, "board").tests
        assert (test.verdict, test.pace, test.as_it_is) == ("not compared", None, None)
        known = learned_by(shop)
        assert [one.why[:24] for one in known.left_out] == ["caught with the air off:"]

    def test_the_shop_learns_the_flow_of_the_gun(self, shop):
        caught(shop, 0.8)
        caught(shop, 0.8)
        (row,) = [one for one in learned_by(shop).taught
                  if (one.parameter, one.group) == ("flow", "gun")]  # fmt: skip
        assert row.member == "colour-gun"
        assert row.readings == pytest.approx([math.log(0.8)] * 2, abs=2e-3)

    def test_a_test_taken_back_is_gone(self, shop):
        event = caught(shop, 0.8)
        shop.undo("board", "Anna", event.id, "the wrong cup")
        assert fluid_bench(shop, "board").tests == ()

    def test_what_no_recipe_is_about_is_kept_all_the_same(self, shop):
        event = caught(shop, 1.0, gun="borrowed")
        assert event.body.expected is None
        (test,) = fluid_bench(shop, "board").tests
        assert (test.gun, test.verdict) == ("borrowed", "not compared")

    def test_unequal_numbers_are_refused_in_a_sentence(self, shop):
        with pytest.raises(InputError, match="one time for each volume"):
            caught(shop, 1.0, seconds={"text": "15", "unit": "s"})


def timed(shop, seconds, **more):
    fields = {
        "hand": "learner", "product": "solid-two-pack", "length": "1 m",
        "seconds": {"text": "; ".join(f"{one:.2f}" for one in seconds), "unit": "s"},
    } | more  # fmt: skip
    return tap(shop, "strokes timed", **fields)


class TestStrokes:
    def test_speed_is_told_against_the_pace_of_the_recipe(self, shop, card):
        timed(shop, [1.9, 2.0, 2.1, 2.0])
        bench = stroke_bench(shop, "board")
        (found,) = bench.sets
        assert bench.told.key == card.hand == "learner"
        assert found.speed.value == pytest.approx(np.mean([1 / 1.9, 0.5, 1 / 2.1, 0.5]), rel=1e-6)
        assert found.ratio.value == pytest.approx(found.speed.value / card.speed.value)
        assert len(found.speeds) == 4

    def test_the_watch_alone_makes_no_uneven_hand(self, shop):
        """Times that differ by no more than a hand on a watch, 0.10 s."""
        timed(shop, [3.0, 3.1, 2.9, 3.05, 2.95])
        (found,) = stroke_bench(shop, "board").sets
        assert found.stroke.value == 0.0

    def test_dry_practice_tells_of_the_hand_and_not_of_the_speed_of_spraying(self, shop):
        timed(shop, [2.0, 2.6, 1.6, 2.2, 2.9], dry=True)
        assert hand_told(shop, "board", "learner").sets == 1
        known = learned_by(shop)
        assert not [one for one in known.taught if one.parameter == "speed" and one.readings]

    def test_two_strokes_are_too_few(self, shop):
        with pytest.raises(InputError):
            timed(shop, [2.0, 2.1])


class TestHand:
    def test_what_was_held_stays_until_something_is_measured(self, shop):
        told = hand_told(shop, "board", "learner")
        assert (told.measured, told.counts) == (False, False)
        assert told.now.value == pytest.approx(0.20)
        with pytest.raises(InputError, match="nothing was measured"):
            keep_hand(shop, "board", "Anna", "learner")
        with pytest.raises(NotFound):
            hand_told(shop, "board", "nobody")

    def test_even_strokes_make_a_steadier_hand_by_their_degrees_of_freedom(self, shop):
        """Strokes that show no spread: variance held x 6 / (6 + 8)."""
        timed(shop, [3.0] * 9)
        now = hand_told(shop, "board", "learner").now
        assert now.value == pytest.approx(0.2 * math.sqrt(WORTH / (WORTH + 8)))
        assert now.spread[0] < now.value < now.spread[1]

    def test_the_job_is_planned_with_the_measured_hand_and_counts_nothing_twice(self, shop, card):
        timed(shop, [3.0] * 9)
        before, after = planned_with(shop, "board", card.key, "learner")
        assert before == card
        assert after.within_bounds
        assert after.spray_minutes.value < before.spray_minutes.value
        wanted = hand_told(shop, "board", "learner").now.value
        event = keep_hand(shop, "board", "Anna", "learner")
        assert event.body.what == "The learner, as measured"
        (hand,) = [one for one in shop.open("board").bench.job.hands if one.key == "learner"]
        assert hand.speed_spread == pytest.approx(wanted, abs=5e-4)
        assert hand.source == "measured: 1 sets of strokes; 20 % was held before"
        again = hand_told(shop, "board", "learner")
        assert again.counts
        assert again.now.value == pytest.approx(wanted)
        # Planned so, the recipe is the one that was offered.
        assert find_recipe(shop, "board", "").card.paint.value == pytest.approx(
            after.paint.value, rel=0.02
        )

    def test_a_job_taken_elsewhere_keeps_what_was_held_before(self, shop):
        timed(shop, [3.0] * 9)
        keep_hand(shop, "board", "Anna", "learner")
        shop.take_in("second", shop.open("board").bench.file.text, "Anna")
        told = hand_told(shop, "second", "learner")
        assert told.before.value == pytest.approx(0.20)
        assert told.sets == 1  # of the same hand, in the first job
        assert told.counts


def readings(spread, rows=8, columns=4, film=60.0):
    """A board whose rows differ, in um as a gauge shows them."""
    rng = np.random.default_rng(21)
    across = film * np.exp(rng.normal(0, spread, rows))
    return across[:, None] * (1 + rng.normal(0, 0.02, (rows, columns)))


def board(shop, films, **more):
    text = "; ".join(f"{one:.1f}" for one in films.ravel())
    fields = {
        "hand": "learner", "product": "solid-two-pack", "columns": films.shape[1],
        "readings": {"text": text, "unit": "um"}, "spacing": "8 cm", "coats": 1,
    } | more  # fmt: skip
    return tap(shop, "board read", **fields)


class TestBoard:
    def test_a_grid_comes_back_as_it_was_read_with_the_laps_of_the_recipe(self, shop, card):
        films = readings(0.1)
        event = board(shop, films)
        assert event.body.fan == pytest.approx(card.fan_length.value)
        assert event.body.pitch == pytest.approx(card.pitch.value)
        assert event.body.wanted == pytest.approx(card.dry_coat.value)
        (found,) = board_bench(shop, "board").boards
        shown = np.array([[one.value * 1e6 for one in row] for row in found.films])
        assert shown == pytest.approx(films, abs=0.06)
        assert found.mean.value == pytest.approx(films.mean() * 1e-6, rel=1e-3)
        assert found.spread.value == pytest.approx(films.std(ddof=1) / films.mean(), rel=0.05)

    def test_a_wild_board_makes_a_wilder_hand_than_an_even_one(self, shop):
        board(shop, readings(0.02))
        even = hand_told(shop, "board", "learner")
        board(shop, readings(0.5))
        wild = hand_told(shop, "board", "learner")
        assert (even.gauged, wild.gauged) == (1, 2)
        assert even.now.value < 0.20 < wild.now.value

    def test_a_board_without_a_recipe_is_drawn_and_tells_no_hand(self, shop):
        board(shop, readings(0.1), product="unknown")
        bench = board_bench(shop, "board")
        assert bench.boards[0].shows is None
        assert "pitch" in bench.boards[0].why
        assert bench.told.gauged == 0

    def test_a_grid_with_a_gap_is_refused(self, shop):
        with pytest.raises(InputError, match="whole rows"):
            board(shop, readings(0.1), columns=5)

    def test_a_weighed_board_tells_its_film(self, shop, card):
        """Gain / (density x surface), the density of the dry film that the sheet's solids have."""
        material = shop.open("board").bench.library["solid-two-pack"]
        thinner = find_recipe(shop, "board", "").recipe.task.paint.thinner
        density = dry_density(material, thinner)
        gain = density * 0.54 * 20e-6
        event = tap(
            shop, "board weighed", hand="learner", product="solid-two-pack", strokes=6,
            before="2000 g", after=f"{2000 + gain * 1e3:.3f} g", surface="0.54 m2", scale="0.1 g",
        )  # fmt: skip
        assert event.body.density == pytest.approx(density)
        (found,) = board_bench(shop, "board").weighed
        assert found.film.value == pytest.approx(20e-6, rel=1e-3)
        assert found.wanted.value == pytest.approx(card.dry_coat.value)

    def test_three_weighed_boards_tell_the_hand(self, shop):
        for gain in (10.0, 10.0, 10.0):
            tap(
                shop, "board weighed", hand="learner", product="solid-two-pack", strokes=6,
                before="2000 g", after=f"{2000 + gain} g", surface="0.54 m2",
            )  # fmt: skip
        told = hand_told(shop, "board", "learner")
        assert told.weighed == 3
        assert told.now.value == pytest.approx(0.2 * math.sqrt(WORTH / (WORTH + 2)), rel=1e-2)


def test_dry_film_is_what_flies_off_leaves(shop):
    """Solid two-pack of the library by hand: per litre of each part, density - VOC and solids.

    Base and hardener of the sheet; thinner leaves nothing, so it must not change the density.
    """
    material = shop.open("board").bench.library["solid-two-pack"]
    parts = [one for one in material.components if one.role != "thinner"]
    mass = sum(one.parts * (one.density - one.voc - one.water) for one in parts)
    volume = sum(one.parts * one.volume_solids for one in parts)
    assert dry_density(material, 0.0) == pytest.approx(mass / volume)
    assert dry_density(material, 0.1) == pytest.approx(mass / volume)
    assert 1000 < mass / volume < 2500
