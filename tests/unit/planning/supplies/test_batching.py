"""Needs cut into mixes: cup, pot life, scale, days; and quick enough for a whole car."""

import itertools

import pytest

from coatwright.errors import NotFound, RangeError
from coatwright.model.kit import Scale
from coatwright.planning.plan import ProductNeed
from coatwright.planning.supplies.batching import product_needs
from coatwright.planning.supplies.quantity import Demand
from paint import WARM, gun, sheet, sheets, two_pack, workshop

ML = 1e-6
GUN = gun(residue=0.0).model_copy(update={"fluid": 1e-12})
PAINT = two_pack(pot_life=3600.0, induction=0.0)


def demand(area: str, millilitres: float, coat: int = 1, **more: object) -> Demand:
    usual: dict[str, object] = {
        "area": area, "product": "colour", "coat": coat, "through_gun": millilitres * ML,
        "on_surface": 0.0, "seconds": 300.0, "gun": GUN, "title": area.title(),
    }  # fmt: skip
    return Demand(**(usual | more))  # type: ignore[arg-type]


def need(*demands: Demand, **shop: object) -> ProductNeed:
    (found,) = product_needs(demands, {"colour": PAINT}, workshop(**shop))  # type: ignore[arg-type]
    return found


def test_a_batch_says_what_it_serves_and_how_to_pour_it() -> None:
    (batch,) = need(demand("bay", 300), demand("boot", 295)).batches
    assert batch.key == "colour-mix-1"
    assert batch.title == "two-pack colour, mix 1 of 1"
    assert batch.serves == ("bay", "boot")
    assert batch.session == "coat 1"
    assert batch.volume.value == pytest.approx(600 * ML)
    assert batch.left.value == pytest.approx(5 * ML, abs=1e-9)
    assert [pour.title for pour in batch.pours] == ["base", "hardener", "two-pack thinner"]
    assert sum(pour.volume.value for pour in batch.pours) == pytest.approx(600 * ML)
    # 5 min to mix and fill, then 2 x 5 min of spraying.
    assert batch.use_time.value == pytest.approx(900.0)


def test_one_mix_may_lay_two_coats() -> None:
    rows = [demand("bay", 200), demand("bay", 200, coat=2)]
    (batch,) = need(*rows).batches
    assert batch.session == "coats 1 to 2"
    assert batch.serves == ("bay",)
    # 5 min + 5 min + flash of the sheet + 5 min.
    assert batch.use_time.value == pytest.approx(900.0 + PAINT.flash.min)


def test_a_mix_that_gives_out_inside_an_area_says_where() -> None:
    first, second = need(demand("bay", 1500)).batches
    assert first.session == "coat 1; gives out on Bay, coat 1: have the next mix ready"
    assert second.session == "coat 1"


def test_days_apart_share_no_mix() -> None:
    together = need(demand("bay", 200), demand("roof", 200))
    apart = need(demand("bay", 200), demand("roof", 200, stage=1))
    assert len(together.batches) == 1
    assert [batch.serves for batch in apart.batches] == [("bay",), ("roof",)]


def test_a_hot_shop_shortens_the_life_and_needs_more_mixes() -> None:
    rows = [demand(name, 100, seconds=900.0) for name in "abcd"]
    # An hour of spraying; a mix lasts 60 min at 20 degC, 30 min at 30 degC, 5 of them mixing:
    # 60 / 55 is two mixes, 60 / 25 is three.
    cool, hot = need(*rows), need(*rows, air=WARM + 10)
    assert [len(batch.serves) for batch in cool.batches] == [2, 2]
    assert len(hot.batches) == 3
    for batch in (*cool.batches, *hot.batches):
        assert batch.pot_life is not None
        assert batch.use_time.value <= batch.pot_life.value


def test_a_coarse_scale_makes_small_mixes_larger() -> None:
    (batch,) = need(demand("bay", 40), scale=Scale(resolution=1e-3)).batches
    # 1 g is 2 % of 50 g hardener, 157 mL of a mix of 3.3 parts.
    assert batch.volume.value == pytest.approx(0.05 / 1050 * 3.3)
    assert batch.left.value == pytest.approx(batch.volume.value - 40 * ML, abs=1e-9)


def test_a_scale_that_carries_less_than_the_cup_sets_the_size() -> None:
    light = need(demand("bay", 900), scale=Scale(resolution=1e-4, capacity=0.6))
    # 0.6 kg of 1.185 kg/L is 506 mL.
    assert len(light.batches) == 2
    assert all(sum(p.mass.value for p in b.pours) <= 0.6 for b in light.batches)


def test_paint_ready_in_its_tin_is_not_mixed() -> None:
    wax = sheet("cavity-wax")
    rows = [demand("sill", 300, product="cavity-wax", gun=None)]
    (found,) = product_needs(rows, {"cavity-wax": wax}, workshop())
    assert found.batches == ()
    assert found.volume.value == pytest.approx(300 * ML)


def test_the_reserve_is_not_mixed() -> None:
    found = need(demand("bay", 500, shared_spread=0.2))
    assert found.reserve.value > 100 * ML
    assert sum(batch.volume.value for batch in found.batches) == pytest.approx(500 * ML)


def test_a_pot_life_shorter_than_mixing_names_the_product() -> None:
    with pytest.raises(RangeError) as caught:
        product_needs(
            [demand("bay", 100)], {"colour": two_pack(pot_life=240.0)}, workshop(air=WARM)
        )
    assert caught.value.sentence == (
        "two-pack colour: the pot life of 4 min is over before the first trigger, 5 min after "
        "mixing; use a slower hardener or a cooler shop"
    )


def test_a_product_without_a_sheet_is_named() -> None:
    with pytest.raises(NotFound) as caught:
        product_needs([demand("bay", 100, product="x")], {"colour": PAINT}, workshop())
    assert caught.value.sentence == "there is no product sheet 'x'; known are colour"


def test_a_whole_car_of_fifteen_products_is_mixed_and_covered() -> None:
    guns = itertools.cycle([gun("one"), gun("two")])
    rows = [
        demand(f"area-{i}", 40 + 37 * (i % 13), coat=coat, product=key, gun=carried)
        for key, carried in zip(list(sheets())[:15], guns, strict=False)
        for coat in (1, 2)
        for i in range(20)
    ]
    found = product_needs(rows, sheets(), workshop())
    assert len(found) == 15
    for need in found:
        if need.batches:
            mixed = sum(batch.volume.value for batch in need.batches)
            assert mixed >= need.on_surface.value + need.overspray.value
