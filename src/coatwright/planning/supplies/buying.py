"""What to buy: paint, hardener and thinner in packs at least cost, and what else a job uses up."""

import math
import tomllib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cache
from importlib.resources import files
from typing import Final

from coatwright import units
from coatwright.engines.mixing.packs import packs
from coatwright.errors import InputError
from coatwright.figures import Figure
from coatwright.model import money
from coatwright.model.kit import Workshop
from coatwright.model.material import Component, Material
from coatwright.planning.plan import CostLine, ProductNeed, Purchase
from coatwright.planning.supplies.mixsheet import ready_mix
from coatwright.planning.supplies.quantity import Demand, needs_of
from coatwright.sentences import Said, say

RATE_SPREAD: Final = (0.7, 1.4)
"""10 and 90 % points of consumables, as shares of the rate (assumption)."""

_NOTHING: Final = 1e-7


@dataclass(frozen=True, slots=True)
class Tin:
    """One component over all the products that use it [m3]: expected, and 10 and 90 % points."""

    key: str
    component: Component
    products: tuple[str, ...]
    expected: float
    low: float
    high: float


def tins(
    needs: Sequence[ProductNeed], materials: Mapping[str, Material], workshop: Workshop
) -> tuple[Tin, ...]:
    """Every component the job needs, summed over the products that share it.

    What mixes leave over counts as needed. Products share a tin only if key, title and packs are
    the same on both sheets. Their errors are taken to go the same way, because the gun's transfer
    is common to them: the 90 % points add up in full.
    """
    found: dict[tuple[object, ...], Tin] = {}
    for need in needs:
        ready = ready_mix(materials[need.key], workshop)
        left = sum(batch.left.value for batch in need.batches)
        low, high = need.volume.spread or (need.volume.value, need.volume.value)
        for component, share in zip(ready.components, ready.shares, strict=True):
            mine = tuple(share * (v + left) for v in (need.volume.value, low, high))
            same = (component.key, component.title, component.packs)
            tin = found.get(same, Tin("", component, (), 0.0, 0.0, 0.0))
            found[same] = Tin(
                "", component, (*tin.products, need.key),
                tin.expected + mine[0], tin.low + mine[1], tin.high + mine[2],
            )  # fmt: skip
    return tuple(_named(tin, found) for tin in found.values() if tin.high > _NOTHING)


def _named(tin: Tin, found: Mapping[tuple[object, ...], Tin]) -> Tin:
    """With a key of its own: two sheets may use one key for different tins."""
    alike = sum(other.component.key == tin.component.key for other in found.values())
    key = tin.component.key if alike == 1 else f"{tin.products[0]}-{tin.component.key}"
    return replace(tin, key=key)


def buying_list(
    needs: Sequence[ProductNeed],
    materials: Mapping[str, Material],
    workshop: Workshop,
    shelf: Mapping[tuple[str, str], float] | None = None,
) -> tuple[Purchase, ...]:
    """Packs that cover the 90 % point of every component at least cost.

    shelf: volume [m3] that stands there already, by product and component; what it covers is not
    bought. Raises InputError for a pack priced in another currency than the workshop counts in.
    """
    rows = tins(needs, materials, workshop)
    bought = {tin.key: _purchase(tin, workshop.currency, _held(tin, shelf or {})) for tin in rows}
    return tuple(_matched(bought[tin.key], tin, rows, bought, materials) for tin in rows)


def _prices(component: Component, currency: str) -> list[float]:
    prices = [money.parse(pack.price) for pack in component.packs]
    for price in prices:
        if price.currency != currency:
            raise InputError(
                f"a pack of {component.title} is priced in {price.currency}, but the workshop "
                f"counts in {currency}",
                field=f"components, {component.key}, packs",
                instead=f"write its price in {currency} on a product sheet of your own",
            )
    return [price.amount for price in prices]


def _held(tin: Tin, shelf: Mapping[tuple[str, str], float]) -> float:
    return sum(shelf.get((product, tin.component.key), 0.0) for product in tin.products)


def _purchase(tin: Tin, currency: str, held: float = 0.0) -> Purchase:
    component = tin.component
    prices, sizes = _prices(component, currency), [pack.size for pack in component.packs]
    source = f"sheet:{tin.products[0]}"
    need = Figure(
        tin.expected, "volume", "formula", "paint-need",
        "share of the mix x (paint needed + what mixes leave over), all products",
        {"for": ", ".join(tin.products)}, (tin.low, tin.high), "10 and 90 % points",
    )  # fmt: skip
    if not sizes:
        nothing = Figure(0.0, "volume", "assumed", source, "the sheet names no packs")
        price = Figure(0.0, "money", "assumed", source, "no packs, so no price: left out")
        note = say("The sheet names no packs: enter sizes and prices to have it bought and priced.")
        return Purchase(tin.key, component.title, need, {}, nothing, nothing, None, price, note)

    def cost(volume: float) -> tuple[float, tuple[int, ...]]:
        counts = packs(max(volume - held, 0.0), sizes, prices)
        return sum(n * p for n, p in zip(counts, prices, strict=True)), counts

    listed, counts = cost(tin.high)
    volume = sum(n * s for n, s in zip(counts, sizes, strict=True))
    rows = zip(component.packs, counts, strict=True)
    chosen = {units.write(pack.size, "volume"): n for pack, n in rows if n}
    return Purchase(
        key=tin.key,
        title=component.title,
        need=need,
        packs=chosen,
        bought=Figure(
            volume, "volume", "formula", "pack-choice",
            "packs at least cost that cover the 90 % point of the need", {"need": need},
        ),
        left=Figure(
            held + volume - tin.expected, "volume", "formula", "pack-choice",
            "on the shelf + bought - needed" if held else "bought - needed", {"need": need},
            (held + volume - tin.high, held + volume - tin.low), "10 and 90 % points",
        ),
        keeps=_keeps(component, source),
        price=Figure(
            listed, "money", "sheet", source,
            " + ".join(f"{n} x {size}" for size, n in chosen.items()),
            {"if the need is as expected": Figure(
                cost(tin.expected)[0], "money", "formula", "pack-choice",
                "least cost that covers the expected need",
            )},
            (cost(tin.low)[0], listed), "price of what covers the 10 and the 90 % point",
        ),
        held=Figure(held, "volume", "measured", "paint-record", "on the shelf") if held else None,
    )  # fmt: skip


def _keeps(component: Component, source: str) -> Figure | None:
    if component.opened_life is None:
        return None
    return Figure(component.opened_life, "days", "sheet", source, "life of an opened tin")


def _matched(
    purchase: Purchase,
    tin: Tin,
    rows: Sequence[Tin],
    bought: Mapping[str, Purchase],
    materials: Mapping[str, Material],
) -> Purchase:
    """A hardener's line says whether it would also serve the base that is left over."""
    if tin.component.role != "hardener" or len(tin.products) != 1 or not purchase.packs:
        return purchase
    material = materials[tin.products[0]]
    base = material.component("base")
    mate = next((row for row in rows if base is not None and row.component == base), None)
    if base is None or mate is None:
        return purchase
    wanted = bought[mate.key].left.value * tin.component.parts / base.parts
    note = (
        say("What is left matches the base that is left.")
        if wanted <= purchase.left.value * 1.02
        else say(
            "Not enough for all the base that is left: buy hardener fresh when you use that up."
        )
    )
    return replace(purchase, note=note)


@dataclass(frozen=True, slots=True)
class Work:
    """Work besides spraying [m2]: masked, cleaned (each time), rubbed by grade, stripped."""

    masked: float
    cleaned: float
    rubbed: Mapping[str, float]
    stripped: float = 0.0


@cache
def _table() -> Mapping[str, Mapping[str, object]]:
    return tomllib.loads((files("coatwright") / "data" / "consumables.toml").read_text("utf-8"))


def consumables_for(
    work: Work,
    demands: Sequence[Demand],
    needs: Sequence[ProductNeed],
    materials: Mapping[str, Material],
    workshop: Workshop,
) -> tuple[CostLine, ...]:
    """What the job uses up besides paint, and what it comes to.

    Rates are common practice, prices the workshop's own or, failing that, illustrative ones.
    Raises InputError for a rate in workshop.rates.consumables that nothing here is counted by.
    """
    drivers = _drivers(work, demands, needs, materials)
    _known(workshop)
    lines = []
    for key, row in _table().items():
        grades = [str(grade) for grade in row.get("grades", ())]  # type: ignore[attr-defined]
        if not grades:
            lines.append(_line(key, key, drivers[str(row["per"])], drivers, workshop))
        lines += [
            _line(f"{key}-{grade}", key, work.rubbed[grade], drivers, workshop, grade)
            for grade in grades
            if work.rubbed.get(grade, 0.0) > 0
        ]
    return tuple(line for line in lines if line.quantity and line.quantity.value > 0)


def _drivers(
    work: Work,
    demands: Sequence[Demand],
    needs: Sequence[ProductNeed],
    materials: Mapping[str, Material],
) -> dict[str, float]:
    every = [(need.product, s) for need in needs_of(demands) for s in need.sessions if s.gun]
    hazardous = {key for key, m in materials.items() if "isocyanate" in m.hazards}
    left = sum(batch.left.value for need in needs for batch in need.batches)
    lost = sum(session.losses for _, session in every)
    open_time = sum(
        d.seconds for product, s in every if product not in hazardous for d in s.demands
    )
    return {
        "m2 masked": work.masked,
        "m2 cleaned": work.cleaned,
        "m2 rubbed": sum(work.rubbed.values()),
        "m2 stripped": work.stripped,
        "m2 coated": sum(d.surface for d in demands),
        "coat": len(every),
        "isocyanate coat": sum(product in hazardous for product, _ in every),
        "fill": sum(session.fills for _, session in every),
        "mix": sum(len(need.batches) for need in needs),
        "open hour": open_time / 3600.0,
        "spray hour": sum(d.seconds for _, s in every for d in s.demands) / 3600.0,
        "L waste": 1e3 * (left + lost) + _GUN_WASH * len(every),
    }


_GUN_WASH: Final = 0.25
"""Litres of gun wash a coat makes (common practice, no source)."""


def _known(workshop: Workshop) -> None:
    strange = sorted(workshop.rates.consumables.keys() - _table().keys())
    if strange:
        raise InputError(
            f"nothing called '{strange[0]}' is used up",
            field="workshop, rates, consumables",
            instead=f"use one of {', '.join(sorted(_table()))}",
        )


def _line(
    line_key: str,
    key: str,
    driver: float,
    drivers: Mapping[str, float],
    workshop: Workshop,
    grade: str = "",
) -> CostLine:
    row = _table()[key]
    each, purpose = _amount(str(row["amount"]))
    exact = driver * each
    quantity = float(math.ceil(exact - 1e-9)) if purpose == "count" else exact
    amount = Figure(
        quantity, purpose, "formula", "consumable-rates", f"{row['amount']} for one {row['per']}",
        {str(row["per"]): f"{driver:.3g}"}, _about(quantity),
        "assumed: rates of the trade differ that much",
    )  # fmt: skip
    title = Said(str(row["title"]))
    title = say("{supply} {grade}", supply=title, grade=grade) if grade else title
    return CostLine(line_key, title, _money(key, amount, driver, drivers, workshop), amount)


def _about(value: float) -> tuple[float, float]:
    return value * RATE_SPREAD[0], value * RATE_SPREAD[1]


def _amount(text: str) -> tuple[float, str]:
    if text.endswith(" m"):
        return units.parse(text, "length"), "run"
    if text.endswith("L"):
        return units.parse(text, "volume"), "volume"
    return units.parse(text, "count"), "count"


def _money(
    key: str,
    quantity: Figure,
    driver: float,
    drivers: Mapping[str, float],
    workshop: Workshop,
) -> Figure:
    own = workshop.rates.supplies.get(key)
    price = own or money.parse(str(_table()[key]["price"]))
    if price.currency != workshop.currency:
        return Figure(
            0.0, "money", "assumed", "consumable-rates",
            f"no price in {workshop.currency}: enter it in workshop.rates.consumables",
        )  # fmt: skip
    units_of = {"coat": drivers["coat"], "mix": drivers["mix"], "h": drivers["spray hour"]}
    if price.per in ("", "each", "L"):
        count = quantity.value * (1e3 if quantity.purpose == "volume" else 1.0)
    elif price.per == "m2":
        count = driver if str(_table()[key]["per"]).startswith("m2") else drivers["m2 masked"]
    elif price.per in units_of:
        count = units_of[price.per]
    else:
        raise InputError(
            f"{key} cannot be paid per {price.per}",
            field=f"workshop, rates, consumables, {key}",
            instead="give the price of one, or per m2, coat, mix or h",
        )
    value = price.amount * count
    return Figure(
        value, "money", "entered" if own else "assumed",
        "job file" if own else "consumable-rates",
        f"quantity x {price.amount:g} {price.currency}" + (f"/{price.per}" if price.per else ""),
        {"quantity": quantity}, _about(value),
        "assumed: rates of the trade differ that much",
    )  # fmt: skip
