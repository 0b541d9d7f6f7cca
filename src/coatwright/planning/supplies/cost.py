"""What the job comes to: paint, consumables and hours with tax, as a range, and what drives it."""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from coatwright.errors import InputError
from coatwright.figures import Figure
from coatwright.model.kit import Workshop
from coatwright.model.money import Money
from coatwright.planning.plan import Cost, CostLine, ProductNeed, Purchase, StageBill, Swing
from coatwright.planning.supplies.chance import Z90, Joint, Part, joint
from coatwright.sentences import joined, say

HOURS_SPREAD: Final = (0.75, 1.5)
"""10 and 90 % points of hours that carry no spread of their own, as shares (assumption)."""

COMMON: Final = {"hours": 0.5, "paint": 1.0, "consumables": 1.0}
"""Share of the variance that all of a kind have in common: the body, the hand, the transfer
(assumption)."""

ODDS: Final = tuple(step / 20 for step in range(1, 20))
"""Chances at which the curve of what it may come to is given [-]."""

NAMED: Final = 3
"""How many of the lines that make the range are put in words."""

_RANGE: Final = "10 and 90 % points"


@dataclass(frozen=True, slots=True)
class Labour:
    """Hours of one kind of work (spraying, rubbing down, stripping ...), as a Figure in time."""

    key: str
    title: str
    hours: Figure


@dataclass(frozen=True, slots=True)
class Stage:
    """Work up to a point where the owner can look and pay: its hours, as a Figure in time."""

    key: str
    title: str
    hours: Figure


@dataclass(frozen=True, slots=True)
class Bill:
    """All the hours of a job: by kind, by stage, and those the booth is taken, if it costs."""

    labour: tuple[Labour, ...]
    stages: tuple[Stage, ...] = ()
    booth: Figure | None = None


@dataclass(frozen=True, slots=True)
class _Range:
    """Likely value with its 10 and 90 % points, in the job's currency."""

    low: float
    likely: float
    high: float

    @property
    def ends(self) -> tuple[float, float]:
        return self.low, self.high


def cost_of(
    purchases: Sequence[Purchase],
    consumables: Sequence[CostLine],
    bill: Bill,
    needs: Sequence[ProductNeed],
    workshop: Workshop,
) -> Cost:
    """The cost of a job as a distribution, what drives it, the deposit and what is due when.

    The likely figure counts paint at the packs that cover the expected need; the buying list, which
    covers the 90 % point, comes to the upper end. Each line is a lognormal in two halves through
    its 10, 50 and 90 % points; lines of one kind err together as COMMON says, kinds err apart
    (chance.joint). Prices and rates are without tax. Raises InputError for hours that are negative.
    """
    paint = _sum([_paint(purchase) for purchase in purchases])
    supplies = _sum([_range(line.amount) for line in consumables])
    hours = [_hours(item, workshop) for item in bill.labour]
    hours += _booth(bill.booth, workshop)
    lines = (
        CostLine("paint", say("paint, hardener and thinner"), _paint_figure(paint, purchases)),
        CostLine("consumables", say("consumables"), _money(supplies, "sum of the consumables")),
        *(line for line, _ in hours),
    )
    together = joint(
        [
            _part(paint, "paint", "paint"),
            _part(supplies, "consumables", "consumables"),
            *(_part(range_, line.key, "hours") for line, range_ in hours),
        ],
        COMMON,
    )
    net = _apart(sum(line.amount.value for line in lines), together)
    work = _sum([part for _, part in hours])
    tax = workshop.rates.tax
    likely = _money(net, "sum of the lines; its points from their joint distribution")
    rate = Figure(tax, "fraction", "entered", "job file")
    taxed: Mapping[str, Figure | str] = {"net": likely, "rate": rate}
    total = _money(_scaled(net, 1 + tax), "net x (1 + tax)", taxed)
    deposit, stages = _stages(bill.stages, total, work, workshop)
    swings = _swings(lines, together, 1 + tax)
    currency = workshop.currency
    return Cost(
        currency=currency,
        lines=lines,
        net=likely,
        tax=_money(_scaled(net, tax), "net x tax", taxed),
        total=total,
        drivers=(
            *_breadths(swings, currency),
            *_transfer(needs, paint, currency),
            *_list_words(purchases, paint, currency),
            *_left_out(purchases, consumables),
        ),
        half=_money(_at(together.point(0.5) * (1 + tax)), "half of such jobs come to less", taxed),
        odds=tuple((chance, together.point(chance) * (1 + tax)) for chance in ODDS),
        swings=swings,
        deposit=deposit,
        stages=stages,
    )


def _part(range_: _Range, key: str, group: str) -> Part:
    return Part(key, range_.low, range_.likely, range_.high, group)


def _apart(likely: float, together: Joint) -> _Range:
    low, high = together.point(0.1), together.point(0.9)
    return _Range(min(low, likely), likely, max(high, likely))


def _at(value: float) -> _Range:
    return _Range(value, value, value)


def _booth(booth: Figure | None, workshop: Workshop) -> list[tuple[CostLine, _Range]]:
    rate = workshop.rates.booth_hour
    if booth is None or rate is None:
        return []
    return [_charged(Labour("booth", say("booth"), booth), rate, "booth hours x its rate")]


def _swings(lines: Sequence[CostLine], together: Joint, factor: float) -> tuple[Swing, ...]:
    """What each line does to the sum, those that do most first."""
    found = [
        Swing(
            line.key,
            line.title,
            Figure(
                together.shares[line.key], "fraction", "formula", "cost-range",
                "covariance of the line with the sum / variance of the sum",
            ),
            _money(_scaled(_range(line.amount), factor), "the line, with tax"),
        )
        for line in lines
        if together.shares[line.key] > 0
    ]  # fmt: skip
    return tuple(sorted(found, key=lambda swing: -swing.share.value))


def _stages(
    stages: Sequence[Stage], total: Figure, work: _Range, workshop: Workshop
) -> tuple[Figure, tuple[StageBill, ...]]:
    """Deposit and what is due after each stage; together they come to the likely total."""
    share = workshop.rates.deposit
    seconds = sum(stage.hours.value for stage in stages)
    if share is None:
        materials = total.value - work.likely * (1 + workshop.rates.tax)
        before, formula = materials, "what must be bought before work begins, with tax"
    else:
        before, formula = share * total.value, "share of the total, as the job file says"
    if seconds <= 0:
        before, formula = total.value, "no hours to bill by stage: all of it"
    deposit = _money(_at(before), formula, {"total": total})
    left = total.value - before
    bills = tuple(
        StageBill(
            stage.key,
            stage.title,
            stage.hours,
            _money(
                _at(left * stage.hours.value / seconds),
                "(total - deposit) x hours of the stage / all hours",
                {"total": total, "deposit": deposit, "hours": stage.hours},
            ),
        )
        for stage in stages
        if seconds > 0
    )
    return deposit, bills


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
    return _charged(item, workshop.rates.hour, "hours x rate")


def _charged(item: Labour, rate: Money, formula: str) -> tuple[CostLine, _Range]:
    low, high = item.hours.spread or tuple(item.hours.value * share for share in HOURS_SPREAD)
    money = _Range(low * rate.si, item.hours.value * rate.si, high * rate.si)
    wage = Figure(rate.amount, "money", "entered", "job file", "for one hour")
    figure = _money(money, formula, {"hours": item.hours, "rate": wage})
    return CostLine(item.key, item.title, figure, item.hours), money


def _sum(parts: Sequence[_Range]) -> _Range:
    return _Range(
        sum(p.low for p in parts), sum(p.likely for p in parts), sum(p.high for p in parts)
    )


def _scaled(part: _Range, factor: float) -> _Range:
    return _Range(part.low * factor, part.likely * factor, part.high * factor)


def _money(part: _Range, formula: str, inputs: Mapping[str, Figure | str] | None = None) -> Figure:
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


def _breadths(swings: Sequence[Swing], currency: str) -> list[str]:
    """What makes most of the range, in words."""
    found: list[str] = []
    for swing in swings[:NAMED]:
        low, high = swing.amount.spread or (swing.amount.value, swing.amount.value)
        found.append(
            say(
                "{part!c} may come to {low:.0f} to {high:.0f} {currency} with tax: "
                "{share:.0%} of what makes the range.",
                part=swing.title,
                low=low,
                high=high,
                currency=currency,
                share=swing.share.value,
            )
        )
    return found


def _list_words(purchases: Sequence[Purchase], paint: _Range, currency: str) -> list[str]:
    listed = sum(p.price.value for p in purchases)
    if listed <= paint.likely + 0.005:
        return []
    return [
        say(
            "The buying list comes to {listed:.0f} {currency}, because it covers "
            "nine jobs in ten. If the need is as expected, packs for {likely:.0f} "
            "{currency} would do: open the last ones only when they are wanted.",
            listed=listed,
            currency=currency,
            likely=paint.likely,
        )
    ]


def _left_out(purchases: Sequence[Purchase], consumables: Sequence[CostLine]) -> list[str]:
    bare = [p.title for p in purchases if not p.packs]
    bare += [line.title for line in consumables if line.amount.formula.startswith("no price")]
    return [say("Not priced, so not in the sum: {bare}.", bare=joined(", ", bare))] if bare else []


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
    down, up = (math.exp(side * Z90 * width - width**2 / 2) - 1 for side in (-1, 1))
    return [
        say(
            "Transfer efficiency alone moves the paint by {down:+.0%} to {up:+.0%} "
            "({down2:+.0f} to {up2:+.0f} {currency}): weigh the cup before and after "
            "a coat, and measure the film, to pin it down.",
            down=down,
            up=up,
            down2=down * paint.likely,
            up2=up * paint.likely,
            currency=currency,
        )
    ]
