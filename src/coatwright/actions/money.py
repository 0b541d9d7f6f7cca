"""Money of a job: as planned, as spent, as it will end, and what may be billed."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Final

from coatwright.actions.shop import Shop
from coatwright.figures import Figure
from coatwright.model.kit import Workshop
from coatwright.planning.plan import CostLine, Plan, Purchase
from coatwright.planning.supplies.buying import buying_list
from coatwright.planning.supplies.cost import COMMON, HOURS_SPREAD
from coatwright.planning.supplies.forecast import Completion, Progress, completion
from coatwright.record.account import ESTIMATE, WHOLE, Bill, Line, Terms, bill, yes_to
from coatwright.record.events import Approved, Event, ExtraProposed, Refused
from coatwright.record.shelf import OnShelf, shelf, usable
from coatwright.record.state import Extra, JobState, PatchState
from coatwright.sentences import say

SOURCE: Final = "paint-record"

Done = Mapping[str, float]
"""Share of each kind of work that is done, 0 to 1."""


@dataclass(frozen=True)
class Kind:
    """One kind of work: hours of the estimate, spent, share done, and at the end."""

    key: str
    title: str
    estimate: Figure
    spent: Figure
    done: Figure
    ahead: Figure


@dataclass(frozen=True)
class Account:
    """The money of a job as it stands. total, spent, forecast with tax."""

    currency: str
    estimate: Figure
    agreed: Figure | None
    spent: Figure
    forecast: Figure
    received: Figure
    kinds: tuple[Kind, ...]
    extras: tuple[Extra, ...]
    asked: Figure
    warning: str


def account(shop: Shop, key: str) -> Account:
    """Estimate, spent so far and forecast at completion of a job.

    Hours so far correct those to come; paint and consumables are counted as the plan has them, or
    as bought if that is more; approved extra work is in the forecast, work without a yes is not.
    """
    opened, plan = shop.open(key), shop.plan(key)
    workshop, state = opened.bench.job.workshop, opened.state
    rows = _progress(plan, state, shares_done(plan, state))
    rate = workshop.rates.hour.si
    ahead = completion(rows, COMMON["hours"], {row.key: rate for row in rows})
    tax = 1 + workshop.rates.tax
    extras = [extra for name, extra in state.extras.items() if name != ESTIMATE]
    said_yes = sum(yes.most for extra in extras if (yes := yes_to(extra)))
    bought = _bought(state)
    goods = [line.amount for line in plan.cost.lines if line.quantity is None]
    materials = max(sum(figure.value for figure in goods), bought)
    yes = yes_to(state.extras.get(ESTIMATE))
    spent = (sum(row.spent for row in rows) * rate + bought) * tax
    forecast = _money(
        (ahead.point(0.5) + materials) * tax + said_yes,
        "hours spent and to come x rate + materials, with tax, + approved extra work",
        ((ahead.point(0.1) + materials) * tax + said_yes,
         (ahead.point(0.9) + materials) * tax + said_yes),
    )  # fmt: skip
    return Account(
        currency=plan.currency,
        estimate=plan.cost.total,
        agreed=_money(yes.most, "what the owner said yes to, at most") if yes else None,
        spent=_money(spent, "hours noted x rate + packs bought, with tax"),
        forecast=forecast,
        received=_money(state.received(), "sum of what was received"),
        kinds=_kinds(plan, rows, ahead),
        extras=tuple(extras),
        asked=_money(
            sum(extra.price for extra in extras if extra.status == "proposed"),
            "extra work that waits for an answer",
        ),
        warning=_warning(forecast, yes.most if yes else None, said_yes, plan.currency),
    )


def shares_done(plan: Plan, state: JobState) -> Done:
    """Share of each kind of work that the record shows done, weighed by surface."""
    wanted: dict[str, float] = {}
    found: dict[str, float] = {}

    def count(act: str, surface: float, done: bool) -> None:
        wanted[act] = wanted.get(act, 0.0) + surface
        found[act] = found.get(act, 0.0) + (surface if done else 0.0)

    for area in plan.areas:
        for patch in area.patches:
            here, surface = state.patch(area.key, patch.key), patch.surface.value
            laid = {layer.product: len(layer.coats) for layer in here.layers}
            for layer in patch.layers:
                coats = round(layer.coats.value)
                for coat in range(1, coats + 1):
                    count("spraying", surface, coat <= laid.get(layer.product, 0))
            for step in patch.route.steps:
                count(step.act or step.key, surface, _stepped(here, step.before, laid))
    mixes = sum(len(need.batches) for need in plan.products)
    shares = {act: found[act] / area for act, area in wanted.items() if area > 0}
    return {**shares, "mixing": min(len(state.mixes) / mixes, 1.0) if mixes else 0.0}


def _stepped(patch: PatchState, before: str, laid: Mapping[str, int]) -> bool:
    """A step is done once the layer it prepares for is on; or, at the end, when any is."""
    return laid.get(before, 0) > 0 if before else bool(patch.layers)


def estimate_put(shop: Shop, key: str, who: str) -> Event:
    """Put the estimate of the plan to the owner."""
    cost = shop.plan(key).cost
    low, high = cost.total.spread or (cost.total.value, cost.total.value)
    body = ExtraProposed(
        extra=ESTIMATE, title=str(WHOLE), reason="as the plan says",
        price_low=low, price=cost.total.value, price_high=high,
        hours=sum(stage.hours.value for stage in cost.stages),
    )  # fmt: skip
    return shop.happened(key, who, body)


def answer(shop: Shop, key: str, extra: str, yes: bool, by: str, how: str) -> Event:
    """Keep the owner's yes or no to some work."""
    kind = Approved if yes else Refused
    return shop.happened(key, by, kind(extra=extra, by=by, how=how))


def invoice(shop: Shop, key: str) -> Bill:
    """What may be billed for a job now. Raises Infeasible without a yes to the estimate."""
    opened, plan = shop.open(key), shop.plan(key)
    workshop = opened.bench.job.workshop
    materials = [
        Line(line.key, line.title, 1.0, "sum", line.amount.value)
        for line in plan.cost.lines
        if line.quantity is None
    ]
    return bill(opened.state, materials, _terms(plan, workshop))


def on_shelf(shop: Shop) -> tuple[OnShelf, ...]:
    """Every tin of the shop, over all its jobs."""
    return shelf(shop.record.state(key) for key in shop.jobs())


def to_buy(shop: Shop, key: str, today: date) -> tuple[Purchase, ...]:
    """The buying list of a job, less what stands on the shelf and is not past its date."""
    opened, plan = shop.open(key), shop.plan(key)
    held = usable(on_shelf(shop), today)
    return buying_list(plan.products, opened.bench.library, opened.bench.job.workshop, held)


def _terms(plan: Plan, workshop: Workshop) -> Terms:
    rates = workshop.rates
    acts = {line.key: line.title for line in plan.cost.lines}
    return Terms(workshop.currency, rates.hour.si, rates.tax, acts)


def _progress(plan: Plan, state: JobState, done: Done) -> list[Progress]:
    spent: dict[str, float] = {}
    for entry in state.time:
        if not entry.extra:
            spent[entry.act] = spent.get(entry.act, 0.0) + entry.seconds
    rows = [_row(line, spent, done) for line in plan.cost.lines if _by_the_hour(line)]
    known = {row.key for row in rows} | {line.title for line in plan.cost.lines}
    rows += [
        Progress(act, seconds, seconds, seconds, seconds, 1.0)
        for act, seconds in spent.items()
        if act not in known
    ]
    return rows


def _by_the_hour(line: CostLine) -> bool:
    return line.quantity is not None and line.quantity.value > 0 and line.key != "booth"


def _row(line: CostLine, spent: Mapping[str, float], done: Done) -> Progress:
    hours = line.quantity
    assert hours is not None
    low, high = hours.spread or tuple(hours.value * share for share in HOURS_SPREAD)
    used = spent.get(line.key, 0.0) + (spent.get(line.title, 0.0) if line.title != line.key else 0)
    share = done.get(line.title, done.get(line.key, 0.0))
    if used > 0 and share == 0:
        # Begun, but nothing of it is finished: nothing is known of its pace yet.
        share = min(used / hours.value, 0.9)
    return Progress(line.key, low, hours.value, high, used, share)


def _kinds(plan: Plan, rows: Sequence[Progress], ahead: Completion) -> tuple[Kind, ...]:
    titles = {line.key: line for line in plan.cost.lines}
    found = []
    for row, end in zip(rows, ahead.kinds, strict=True):
        line = titles.get(row.key)
        estimate = line.quantity if line and line.quantity else _hours(0.0, say("not in the plan"))
        found.append(
            Kind(
                row.key,
                line.title if line else row.key,
                estimate,
                _hours(row.spent, "sum of the hours noted", "measured"),
                Figure(row.done, "fraction", "measured", SOURCE, "surface done / surface planned"),
                Figure(
                    end.likely, "hours", "formula", "forecast",
                    "spent + what is left x pace so far, drawn towards the estimate",
                    spread=(end.low, end.high),
                ),
            )
        )  # fmt: skip
    return tuple(found)


def _hours(seconds: float, formula: str, basis: str = "formula") -> Figure:
    return Figure(seconds, "hours", basis, SOURCE, formula)  # type: ignore[arg-type]


def _money(value: float, formula: str, spread: tuple[float, float] | None = None) -> Figure:
    source = "forecast" if spread else SOURCE
    return Figure(value, "money", "formula", source, formula, spread=spread)


def _bought(state: JobState) -> float:
    return sum(stock.price for stock in state.stock)


def _warning(forecast: Figure, agreed: float | None, extras: float, currency: str) -> str:
    """What must be said to the owner now, if anything."""
    if agreed is None:
        return say(
            "No yes of the owner to the estimate is in the record: nothing can be billed yet."
        )
    over = forecast.value - agreed - extras
    if over <= 0:
        return ""
    return say(
        "The job is heading for {over:.0f} {currency} more than was agreed: tell "
        "the owner now, before the work is done.",
        over=over,
        currency=currency,
    )
