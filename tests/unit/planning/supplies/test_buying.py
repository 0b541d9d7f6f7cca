"""The buying list and consumables, by numbers that can be checked on paper."""

import pytest

from coatwright.errors import InputError
from coatwright.figures import Figure
from coatwright.model.kit import Rates, Workshop
from coatwright.model.material import Material
from coatwright.planning.plan import CostLine, ProductNeed, Purchase
from coatwright.planning.supplies.batching import product_needs
from coatwright.planning.supplies.buying import Work, buying_list, consumables_for
from coatwright.planning.supplies.quantity import Demand
from paint import gun, packs, sheets, two_pack, workshop

ML = 1e-6
GUN = gun(residue=0.0).model_copy(update={"fluid": 1e-12})


def demand(product: str, millilitres: float, **more: object) -> Demand:
    usual: dict[str, object] = {
        "area": "bay", "product": product, "coat": 1, "through_gun": millilitres * ML,
        "on_surface": 0.0, "seconds": 600.0, "gun": GUN, "surface": 2.0,
    }  # fmt: skip
    return Demand(**(usual | more))  # type: ignore[arg-type]


def shopping(*demands: Demand, **change: object) -> tuple[Purchase, ...]:
    materials = {d.product: two_pack(d.product, **change) for d in demands}
    shop = workshop()
    return buying_list(product_needs(demands, materials, shop), materials, shop)


def test_each_component_by_its_share_in_the_cheapest_packs() -> None:
    # 6.6 L of 2 : 1 : 0.3 = 4 L base, 2 L hardener, 0.6 L thinner. Base at 40 a litre or 100 for
    # three: 3 + 1. Hardener 2 x 1 L at 35 = 70 beats 4 x 0.5 L at 20.
    base, hardener, thinner = shopping(demand("colour", 6600))
    assert (base.key, dict(base.packs), base.price.value) == (
        "colour-base",
        {"1 L": 1, "3 L": 1},
        140.0,
    )
    assert (dict(hardener.packs), hardener.price.value) == ({"1 L": 2}, 70.0)
    assert (dict(thinner.packs), thinner.price.value) == ({"1 L": 1}, 8.0)
    assert thinner.need.value == pytest.approx(600 * ML)
    assert thinner.left.value == pytest.approx(400 * ML)
    assert base.keeps is not None
    assert base.keeps.value == pytest.approx(3.15e7)


def test_what_stands_on_the_shelf_is_not_bought() -> None:
    # 4 L base and 2 L hardener are needed; 3.2 L base and 2.5 L hardener stand there.
    rows = [demand("colour", 6600)]
    materials, shop = {"colour": two_pack("colour")}, workshop()
    shelf = {("colour", "colour-base"): 3.2e-3, ("colour", "colour-hardener"): 2.5e-3}
    base, hardener, thinner = buying_list(
        product_needs(rows, materials, shop), materials, shop, shelf
    )
    assert (dict(base.packs), base.price.value) == ({"1 L": 1}, 40.0)
    assert base.left.value == pytest.approx(0.2e-3)
    assert base.held is not None
    assert base.held.value == pytest.approx(3.2e-3)
    assert (dict(hardener.packs), hardener.price.value) == ({}, 0.0)
    assert hardener.left.value == pytest.approx(0.5e-3)
    assert thinner.held is None


def test_packs_cover_the_ninety_percent_point() -> None:
    # 3.3 L expected is 2 L of base, with 20 % spread 2.5 L at the 90 % point.
    (base, *_) = shopping(demand("colour", 3300, shared_spread=0.2))
    assert base.need.value == pytest.approx(2e-3, rel=1e-3)
    assert base.need.spread is not None
    assert base.need.spread[1] == pytest.approx(2.53e-3, rel=0.01)
    assert base.bought.value >= base.need.spread[1]
    expected = base.price.inputs["if the need is as expected"]
    assert isinstance(expected, Figure)
    # 2 x 40 would do; 2.53 L needs 3 x 40 or 1 x 100.
    assert expected.value == 80.0
    assert base.price.value == 100.0


def test_products_share_a_tin_of_thinner() -> None:
    # 0.3 + 0.3 L of thinner in one litre tin.
    rows = shopping(demand("colour", 3300), demand("clear", 3300))
    (thinner,) = [row for row in rows if "thinner" in row.title]
    assert dict(thinner.packs) == {"1 L": 1}
    assert thinner.need.value == pytest.approx(600 * ML)
    assert thinner.need.inputs["for"] == "colour, clear"


def test_one_key_on_two_different_tins_is_two_purchases() -> None:
    other = two_pack("clear")
    changed = tuple(
        c.model_copy(update={"title": "slow thinner"}) if c.role == "thinner" else c
        for c in other.components
    )
    materials = {
        "colour": two_pack("colour"),
        "clear": other.model_copy(update={"components": changed}),
    }
    shop = workshop()
    needs = product_needs([demand("colour", 3300), demand("clear", 3300)], materials, shop)
    keys = [row.key for row in buying_list(needs, materials, shop)]
    assert "colour-thinner" in keys
    assert "clear-thinner" in keys
    assert len(set(keys)) == len(keys)


def test_leftover_base_without_hardener_is_said() -> None:
    # 3.3 L take 2 L base and 1 L hardener: both packs come out even, nothing is left to match.
    hardener = shopping(demand("colour", 3300))[1]
    assert hardener.note == "What is left matches the base that is left."
    # 3.63 L take 2.2 L base (3 L, 0.8 left, wants 0.4 hardener) and 1.1 L hardener (1.5 L, 0.4
    # left): it matches. 3.96 L take 2.4 and 1.2: 0.6 left wants 0.3, and 0.3 is left.
    assert shopping(demand("colour", 3960))[1].note.startswith("What is left matches")
    # 4.29 L take 2.6 (0.4 left, wants 0.2) and 1.3 (0.2 left); 4.62: 2.8 (0.2 left), 1.4 (0.1).
    # Base only in 3 L tins, 3.3 L: 1 L is left and wants 0.5 L; hardener is used up to the drop.
    big = two_pack()
    changed = tuple(
        c.model_copy(update={"packs": packs((3, "100 GBP"))}) if c.role == "base" else c
        for c in big.components
    )
    materials = {"colour": big.model_copy(update={"components": changed})}
    needs = product_needs([demand("colour", 3300)], materials, workshop())
    note = buying_list(needs, materials, workshop())[1].note
    assert note == (
        "Not enough for all the base that is left: buy hardener fresh when you use that up."
    )


def test_mixed_currencies_are_refused() -> None:
    materials = {"colour": two_pack()}
    shop = workshop(currency="EUR", rates=Rates(labour="40 EUR/h"))
    needs = product_needs([demand("colour", 1000)], materials, shop)
    with pytest.raises(InputError) as caught:
        buying_list(needs, materials, shop)
    assert caught.value.sentence == (
        "components, colour-base, packs: a pack of base is priced in GBP, but the workshop counts "
        "in EUR; write its price in EUR on a product sheet of your own"
    )


def test_a_sheet_without_packs_is_listed_but_not_priced() -> None:
    bare = tuple(c.model_copy(update={"packs": ()}) for c in two_pack().components)
    materials = {"colour": two_pack().model_copy(update={"components": bare})}
    needs = product_needs([demand("colour", 3300)], materials, workshop())
    base = buying_list(needs, materials, workshop())[0]
    assert dict(base.packs) == {}
    assert base.price.value == 0.0
    assert base.note.startswith("The sheet names no packs")


def test_every_shipped_sheet_can_be_bought() -> None:
    materials, shop = sheets(), workshop()
    rows = [demand(key, 700, shared_spread=0.15) for key in materials]
    for purchase in buying_list(product_needs(rows, materials, shop), materials, shop):
        assert purchase.need.spread is not None
        assert purchase.bought.value >= purchase.need.spread[1] * (1 - 1e-9)
        assert purchase.price.value > 0, purchase.key


WORK = Work(masked=10.0, cleaned=20.0, rubbed={"P320": 6.0, "P80": 0.0})


def used(shop: Workshop, work: Work = WORK) -> dict[str, CostLine]:
    materials: dict[str, Material] = {"colour": two_pack(), "cellulose": sheets()["cellulose"]}
    rows = [demand("colour", 1500), demand("cellulose", 400, seconds=36000.0)]
    needs: tuple[ProductNeed, ...] = product_needs(rows, materials, shop)
    return {line.key: line for line in consumables_for(work, rows, needs, materials, shop)}


def test_consumables_by_surface_coats_and_mixes() -> None:
    lines = used(workshop())
    # Rates of data/consumables.toml: 1.5 m of paper a m2, 50 mL degreaser a m2, 3 discs a m2.
    assert lines["masking-paper"].quantity.value == pytest.approx(15.0)
    assert lines["degreaser"].quantity.value == pytest.approx(1e-3)
    assert lines["abrasive-medium-P320"].quantity.value == 18.0
    assert "abrasive-coarse-P80" not in lines
    # Two coats of one product each: 4 pairs of gloves; 1.5 L in two mixes and 0.4 L in one.
    assert lines["gloves"].quantity.value == 4.0
    assert lines["mixing-cups"].quantity.value == 3.0
    # 1.5 L through a cup of 0.6 L is three fills, 0.4 L one.
    assert lines["strainers"].quantity.value == 4.0
    # One coat holds isocyanates; the other takes ten hours on cartridges of 8 h: two pairs.
    assert lines["visor-covers"].quantity.value == 1.0
    assert lines["mask-cartridges"].quantity.value == 2.0
    # 15 m at 0.18.
    assert lines["masking-paper"].amount.value == pytest.approx(2.70)
    assert lines["masking-paper"].amount.basis == "assumed"


def test_stripping_takes_stripper() -> None:
    work = Work(masked=10.0, cleaned=0.0, rubbed={}, stripped=2.0)
    line = used(workshop(), work)["paint-stripper"]
    assert line.quantity.value == pytest.approx(1.2e-3)
    # 1.2 L at 11.
    assert line.amount.value == pytest.approx(13.2)
    assert "paint-stripper" not in used(workshop())


def priced(key: str, price: str) -> CostLine:
    shop = workshop(rates=Rates(labour="40 GBP/h", consumables={key: price}))
    return used(shop)[key]


@pytest.mark.parametrize(
    ("key", "price", "money"),
    [
        ("masking-paper", "0.20 GBP", 3.0),
        ("masking-paper", "1.00 GBP/m2", 10.0),
        ("degreaser", "8.00 GBP/L", 8.0),
        ("wipes", "0.50 GBP/m2", 10.0),
        ("gloves", "2.50 GBP/coat", 5.0),
        ("mixing-cups", "1.00 GBP/mix", 3.0),
        # 600 + 36 000 s of spraying.
        ("overalls", "6.00 GBP/h", 61.0),
    ],
)
def test_the_shops_own_price_counts(key: str, price: str, money: float) -> None:
    line = priced(key, price)
    assert line.amount.value == pytest.approx(money)
    assert line.amount.basis == "entered"


def test_a_price_for_what_is_not_used_up_is_refused() -> None:
    with pytest.raises(InputError) as caught:
        priced("glitter", "1.00 GBP")
    assert caught.value.what == "nothing called 'glitter' is used up"
    assert "gloves" in caught.value.instead


def test_a_consumable_by_the_day_is_refused() -> None:
    with pytest.raises(InputError, match="gloves cannot be paid per d"):
        priced("gloves", "1.00 GBP/d")


def test_without_a_price_in_its_currency_a_consumable_is_counted_but_not_priced() -> None:
    shop = workshop(currency="EUR", rates=Rates(labour="40 EUR/h"))
    line = used(shop)["gloves"]
    assert line.quantity is not None
    assert line.quantity.value == 4.0
    assert line.amount.value == 0.0
    assert line.amount.formula.startswith("no price in EUR")
