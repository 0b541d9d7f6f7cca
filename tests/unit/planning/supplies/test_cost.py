"""The cost as a range, worked out by hand."""

import math

import pytest

from coatwright.errors import InputError
from coatwright.figures import Figure
from coatwright.model.kit import Rates
from coatwright.planning.plan import Cost, CostLine, Purchase
from coatwright.planning.supplies.cost import Bill, Labour, Stage, cost_of
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
    return cost_of(purchases, consumables, Bill(labour), (), SHOP)


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
    # Kinds err apart: near the root of the summed squares, though skewed parts push it up.
    low = 800 - math.sqrt(40**2 + 30**2 + 60**2)
    high = 800 + math.sqrt(40**2 + 40**2 + 120**2)
    assert found.net.spread == pytest.approx((low, high), rel=0.02)
    low, high = found.net.spread
    assert found.tax.value == pytest.approx(160.0)
    assert found.total.value == pytest.approx(960.0)
    assert found.total.spread == pytest.approx((1.2 * low, 1.2 * high))
    assert found.currency == "GBP"


def test_hours_err_together_in_part() -> None:
    found = cost(labour=(hours(10, (8, 14)), hours(5, (4, 7), "spray")))
    # 600 likely; 480 to 840 if they erred wholly together, 511 to 779 if wholly apart.
    apart = 600 - math.hypot(80, 40), 600 + math.hypot(160, 80)
    assert 480 < found.net.spread[0] < apart[0]
    assert apart[1] < found.net.spread[1] < 840


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
    assert [swing.key for swing in found.swings] == ["rub", "paint"]
    # Lognormal halves: variances (of scores ln(high/likely)/1.2816 and so on) near 70^2 and 32^2.
    shares = [swing.share.value for swing in found.swings]
    assert sum(shares) == pytest.approx(1.0)
    assert shares[0] == pytest.approx(70**2 / (70**2 + 32**2), abs=0.03)
    assert found.drivers[0].startswith("Rub may come to 408 to 624 GBP with tax: 8")
    assert found.drivers[1].startswith("Paint, hardener and thinner may come to 312 to 408 GBP")


def test_half_of_such_jobs_come_to_less() -> None:
    found = cost(labour=(hours(10, (7, 16)), hours(10, (7, 16), "spray")))
    # Skewed upwards: half of the sums lie above the sum of the likely hours.
    assert found.half.value > found.total.value == pytest.approx(960.0)
    chances = dict(found.odds)
    assert found.half.value == pytest.approx(chances[0.5])
    assert list(chances.values()) == sorted(chances.values())


def stage(key: str, value: float) -> Stage:
    return Stage(key, key, Figure(3600.0 * value, "hours", "assumed", ""))


def test_deposit_and_stages_come_to_the_total() -> None:
    bill = Bill((hours(10),), (stage("primed", 4), stage("coloured", 6)))
    found = cost_of((purchase(340, 260, 300),), (), bill, (), SHOP)
    # Without a share in the job file the deposit is the paint with tax: 1.2 x 300.
    assert found.deposit.value == pytest.approx(360.0)
    assert [due.amount.value for due in found.stages] == pytest.approx([192.0, 288.0])
    shop = workshop(rates=Rates(labour="40 GBP/h", tax=0.2, deposit=0.25))
    found = cost_of((purchase(340, 260, 300),), (), bill, (), shop)
    assert found.deposit.value == pytest.approx(0.25 * 840)
    assert [due.amount.value for due in found.stages] == pytest.approx([252.0, 378.0])


def test_the_booth_costs_where_it_has_a_price() -> None:
    taken = Figure(7200.0, "hours", "formula", "", spread=(7200.0, 9000.0))
    bill = Bill((hours(10),), (), taken)
    assert "booth" not in [line.key for line in cost_of((), (), bill, (), SHOP).lines]
    shop = workshop(rates=Rates(labour="40 GBP/h", booth="15 GBP/h"))
    line = cost_of((), (), bill, (), shop).lines[-1]
    assert (line.key, line.amount.value) == ("booth", pytest.approx(30.0))
    assert line.amount.spread == pytest.approx((30.0, 37.5))


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
    found = cost_of((purchase(300, 300, 300),), (), Bill(()), needs, SHOP)
    # Log-normal at 20 %: width sqrt(ln 1.04) = 0.198; exp(-1.2816 x 0.198 - 0.0196) = 0.761,
    # exp(+1.2816 x 0.198 - 0.0196) = 1.264.
    assert found.drivers[-1:] == (
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
