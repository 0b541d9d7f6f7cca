"""The cost as a range, worked out by hand."""

import math

import pytest

from coatwright.errors import InputError
from coatwright.figures import Figure
from coatwright.model.kit import Rates
from coatwright.planning.plan import Cost, CostLine, Purchase
from coatwright.planning.supplies.cost import Labour, cost_of
from paint import workshop

SHOP = workshop(rates=Rates(labour="40 GBP/h", tax=0.2))


def money(value: float, spread: tuple[float, float] | None = None, **inputs: float) -> Figure:
    given = {name: Figure(v, "money", "formula", "") for name, v in inputs.items()}
    return Figure(value, "money", "formula", "", "", given, spread)  # type: ignore[arg-type]


def purchase(listed: float, low: float, expected: float, packs: bool = True) -> Purchase:
    nothing = Figure(0.0, "volume", "formula", "")
    price = Figure(
        listed, "money", "sheet", "", "", {"if the need is as expected": money(expected)},
        (low, listed),
    )  # fmt: skip
    sizes = {"1 L": 1} if packs else {}
    return Purchase("base", "base", nothing, sizes, nothing, nothing, None, price)


def hours(value: float, spread: tuple[float, float] | None = None, key: str = "rub") -> Labour:
    seconds = tuple(3600.0 * end for end in spread) if spread else None
    return Labour(key, key, Figure(3600.0 * value, "hours", "assumed", "", "", {}, seconds))  # type: ignore[arg-type]


def cost(
    purchases: tuple[Purchase, ...] = (),
    consumables: tuple[CostLine, ...] = (),
    labour: tuple[Labour, ...] = (),
) -> Cost:
    return cost_of(purchases, consumables, labour, (), SHOP)


def test_sum_tax_and_range() -> None:
    # Paint 300 (260-340), consumables 100 (70-140), hours 10 at 40 = 400 (340-520).
    found = cost(
        (purchase(340, 260, 300),),
        (CostLine("paper", "paper", money(100, (70, 140))),),
        (hours(10, (8.5, 13)),),
    )
    assert [(line.key, line.amount.value) for line in found.lines] == [
        ("paint", 300.0),
        ("consumables", 100.0),
        ("rub", 400.0),
    ]
    assert found.net.value == pytest.approx(800.0)
    low = 800 - math.sqrt(40**2 + 30**2 + 60**2)
    high = 800 + math.sqrt(40**2 + 40**2 + 120**2)
    assert found.net.spread == pytest.approx((low, high))
    assert found.tax.value == pytest.approx(160.0)
    assert found.total.value == pytest.approx(960.0)
    assert found.total.spread == pytest.approx((1.2 * low, 1.2 * high))
    assert found.currency == "GBP"


def test_errors_of_hours_go_the_same_way() -> None:
    found = cost(labour=(hours(10, (8, 14)), hours(5, (4, 7), "spray")))
    # 600 likely; 480 to 840: straight sums, not quadrature.
    assert found.net.spread == pytest.approx((480.0, 840.0))


def test_hours_without_a_spread_get_an_assumed_one() -> None:
    (_, _, line) = cost(labour=(hours(10),)).lines
    assert line.amount.spread == pytest.approx((300.0, 600.0))


def test_the_list_is_dearer_than_the_likely_need_and_says_why() -> None:
    found = cost((purchase(340, 260, 300),))
    assert (
        "The buying list comes to 340 GBP, because it covers nine jobs in ten. If the need is as "
        "expected, packs for 300 GBP would do: open the last ones only when they are wanted."
    ) in found.drivers


def test_the_widest_comes_first() -> None:
    found = cost((purchase(340, 260, 300),), (), (hours(10, (8.5, 13)),))
    # Breadths 80 and 180: 6400 against 32400 of 38800.
    assert found.drivers[0] == "The hours may come to 340 to 520 GBP: 84% of what makes the range."
    assert found.drivers[1] == "The paint may come to 260 to 340 GBP: 16% of what makes the range."


def test_what_transfer_alone_does_to_the_paint() -> None:
    from coatwright.planning.supplies.batching import product_needs
    from coatwright.planning.supplies.quantity import Demand
    from paint import gun, two_pack

    spraying = gun(residue=0.0).model_copy(update={"fluid": 1e-12})
    rows = [
        Demand(area, "colour", 1, 1e-3, 5e-4, 60.0, shared_spread=0.2, gun=spraying)
        for area in ("a", "b", "c")
    ]
    needs = product_needs(rows, {"colour": two_pack()}, SHOP)
    found = cost_of((purchase(300, 300, 300),), (), (), needs, SHOP)
    # Log-normal at 20 %: width sqrt(ln 1.04) = 0.198; exp(-1.2816 x 0.198 - 0.0196) = 0.761,
    # exp(+1.2816 x 0.198 - 0.0196) = 1.264.
    assert found.drivers == (
        "Transfer efficiency alone moves the paint by -24% to +26% (-72 to +79 GBP): weigh the cup "
        "before and after a coat, and measure the film, to pin it down.",
    )


def test_what_has_no_price_is_named() -> None:
    bare = CostLine("gloves", "gloves", Figure(0.0, "money", "assumed", "", "no price in EUR: ..."))
    found = cost((purchase(0, 0, 0, packs=False),), (bare,))
    assert found.drivers == ("Not priced, so not in the sum: base, gloves.",)


def test_negative_hours_are_refused() -> None:
    with pytest.raises(InputError) as caught:
        cost(labour=(hours(-1),))
    assert caught.value.sentence == "rub takes -1.0 h; hours start at 0"


def test_nothing_costs_nothing() -> None:
    found = cost()
    assert (found.net.value, found.tax.value, found.total.value) == (0.0, 0.0, 0.0)
    assert found.drivers == ()
