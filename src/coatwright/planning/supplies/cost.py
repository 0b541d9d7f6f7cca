"""What the job comes to: paint, consumables and hours with tax, as a range, and what drives it."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from statistics import NormalDist
from typing import Final

from coatwright.errors import InputError
from coatwright.figures import Figure
from coatwright.model.kit import Workshop
from coatwright.planning.plan import Cost, CostLine, ProductNeed, Purchase

HOURS_SPREAD: Final = (0.75, 1.5)
"""10 and 90 % points of hours that carry no spread of their own, as shares (assumption)."""

_Z90: Final = NormalDist().inv_cdf(0.9)
_RANGE: Final = "10 and 90 % points"


@dataclass(frozen=True, slots=True)
class Labour:
    """Hours of one kind of work (spraying, rubbing down, stripping ...), as a Figure in time."""

    key: str
    title: str
    hours: Figure


@dataclass(frozen=True, slots=True)
class _Range:
    """Likely value with its 10 and 90 % points, in the job's currency."""

    low: float
    likely: float
    high: float

    @property
    def ends(self) -> tuple[float, float]:
        return self.low, self.high

    @property
    def breadth(self) -> float:
        return self.high - self.low


def cost_of(
    purchases: Sequence[Purchase],
    consumables: Sequence[CostLine],
    labour: Sequence[Labour],
    needs: Sequence[ProductNeed],
    workshop: Workshop,
) -> Cost:
    """The cost of a job, each line and the total with 10 and 90 % points.

    The likely figure counts paint at the packs that cover the expected need; the buying list, which
    covers the 90 % point, comes to the upper end. Within paint, and within hours, errors go the
    same way and add up; paint, consumables and hours err apart and add in quadrature. Prices and
    rates are without tax. Raises InputError for hours that are negative.
    """
    paint = _sum([_paint(purchase) for purchase in purchases])
    supplies = _sum([_range(line.amount) for line in consumables])
    hours = [_hours(item, workshop) for item in labour]
    work = _sum([part for _, part in hours])
    net = _apart([paint, supplies, work])
    tax, currency = workshop.rates.tax, workshop.currency
    lines = (
        CostLine("paint", "paint, hardener and thinner", _paint_figure(paint, purchases)),
        CostLine("consumables", "consumables", _money(supplies, "sum of the consumables")),
        *(line for line, _ in hours),
    )
    likely = _money(net, "sum of the lines; ranges of paint, consumables and hours in quadrature")
    rate = Figure(tax, "fraction", "entered", "job file")
    taxed = _scaled(net, tax)
    return Cost(
        currency=currency,
        lines=lines,
        net=likely,
        tax=_money(taxed, "net x tax", {"net": likely, "rate": rate}),
        total=_money(_scaled(net, 1 + tax), "net x (1 + tax)", {"net": likely, "rate": rate}),
        drivers=(
            *_breadths({"hours": work, "paint": paint, "consumables": supplies}, currency),
            *_transfer(needs, paint, currency),
            *_list_words(purchases, paint, currency),
            *_left_out(purchases, consumables),
        ),
    )


def _range(figure: Figure) -> _Range:
    low, high = figure.spread or (figure.value, figure.value)
    return _Range(low, figure.value, high)


def _paint(purchase: Purchase) -> _Range:
    price = _range(purchase.price)
    expected = purchase.price.inputs.get("if the need is as expected")
    likely = expected.value if isinstance(expected, Figure) else price.likely
    return _Range(min(price.low, likely), likely, max(price.high, likely))


def _hours(item: Labour, workshop: Workshop) -> tuple[CostLine, _Range]:
    if item.hours.value < 0:
        raise InputError(
            f"{item.title} takes {item.hours.value / 3600:.1f} h", instead="hours start at 0"
        )
    rate = workshop.rates.hour
    spread = item.hours.spread or tuple(item.hours.value * share for share in HOURS_SPREAD)
    money = _Range(spread[0] * rate.si, item.hours.value * rate.si, spread[1] * rate.si)
    wage = Figure(rate.amount, "money", "entered", "job file", "for one hour")
    figure = _money(money, "hours x rate", {"hours": item.hours, "rate": wage})
    quantity = item.hours
    return CostLine(item.key, item.title, figure, quantity), money


def _sum(parts: Sequence[_Range]) -> _Range:
    return _Range(
        sum(p.low for p in parts), sum(p.likely for p in parts), sum(p.high for p in parts)
    )


def _apart(parts: Sequence[_Range]) -> _Range:
    """Sum of what errs independently: half-ranges in quadrature."""
    likely = sum(p.likely for p in parts)
    down = math.sqrt(sum((p.likely - p.low) ** 2 for p in parts))
    up = math.sqrt(sum((p.high - p.likely) ** 2 for p in parts))
    return _Range(likely - down, likely, likely + up)


def _scaled(part: _Range, factor: float) -> _Range:
    return _Range(part.low * factor, part.likely * factor, part.high * factor)


def _money(part: _Range, formula: str, inputs: dict[str, Figure | str] | None = None) -> Figure:
    return Figure(
        part.likely, "money", "formula", "cost-range", formula, inputs or {}, part.ends, _RANGE
    )


def _paint_figure(paint: _Range, purchases: Sequence[Purchase]) -> Figure:
    listed = Figure(
        sum(p.price.value for p in purchases), "money", "formula", "cost-range",
        "sum of the buying list, bought for the 90 % point",
    )  # fmt: skip
    return _money(
        paint, "least cost of packs that cover the expected need", {"buying list": listed}
    )


def _breadths(parts: dict[str, _Range], currency: str) -> list[str]:
    """How much of the range each kind of cost makes, the largest first."""
    total = sum(part.breadth**2 for part in parts.values())
    return [
        f"The {name} may come to {part.low:.0f} to {part.high:.0f} {currency}: "
        f"{part.breadth**2 / total:.0%} of what makes the range."
        for name, part in sorted(parts.items(), key=lambda row: -row[1].breadth)
        if part.breadth > 0
    ]


def _list_words(purchases: Sequence[Purchase], paint: _Range, currency: str) -> list[str]:
    listed = sum(p.price.value for p in purchases)
    if listed <= paint.likely + 0.005:
        return []
    return [
        f"The buying list comes to {listed:.0f} {currency}, because it covers nine jobs in ten. If "
        f"the need is as expected, packs for {paint.likely:.0f} {currency} would do: open the last "
        "ones only when they are wanted."
    ]


def _left_out(purchases: Sequence[Purchase], consumables: Sequence[CostLine]) -> list[str]:
    bare = [p.title for p in purchases if not p.packs]
    bare += [line.title for line in consumables if line.amount.formula.startswith("no price")]
    return [f"Not priced, so not in the sum: {', '.join(bare)}."] if bare else []


def _transfer(needs: Sequence[ProductNeed], paint: _Range, currency: str) -> list[str]:
    """What the guns' transfer efficiency alone does to the paint."""
    litres = sum(need.volume.value for need in needs)
    shared = 0.0
    for need in needs:
        part = need.volume.inputs.get("transfer spread")
        shared += part.value if isinstance(part, Figure) else 0.0
    if litres <= 0 or shared <= 0:
        return []
    width = math.sqrt(math.log1p((shared / litres) ** 2))
    down, up = (math.exp(side * _Z90 * width - width**2 / 2) - 1 for side in (-1, 1))
    return [
        f"Transfer efficiency alone moves the paint by {down:+.0%} to {up:+.0%} "
        f"({down * paint.likely:+.0f} to {up * paint.likely:+.0f} {currency}): weigh the cup "
        "before and after a coat, and measure the film, to pin it down."
    ]
