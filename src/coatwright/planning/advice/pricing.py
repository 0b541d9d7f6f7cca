"""What a step or a layer costs on one surface, well enough to rank routes.

The plan prices the chosen route from strokes and packs; here surface x film / solids / an assumed
share that lands must do, because hundreds of routes are weighed.
"""

from collections.abc import Callable
from functools import lru_cache
from typing import Final, NamedTuple

from coatwright.engines import mixing
from coatwright.model import money
from coatwright.model.material import Component, Material
from coatwright.model.work import Work
from coatwright.planning.advice.acts import Item

WORKDAY: Final = 8 * 3600.0
"""Working hours of a day [s]; assumption."""
DAY: Final = 86400.0


class Charge(NamedTuple):
    """Money in the job's currency, working time [s], and time on the calendar [s]."""

    money: float
    hours: float
    days: float


Price = Callable[[Item], Charge]


def simple_price(surface: float, rate: float, work: Work) -> Price:
    """Prices for a surface [m2] at a labour rate [money per hour]; for ranking only."""
    known: dict[Item, Charge] = {}

    def price(item: Item) -> Charge:
        if item not in known:
            known[item] = _charge(item, surface, rate, work)
        return known[item]

    return price


def _charge(item: Item, surface: float, rate: float, work: Work) -> Charge:
    act = work.acts[item.act]  # type: ignore[index]
    times = max(item.coats, 1)
    hours = times * act.per_m2 * surface + act.fixed
    spent = times * money.parse(act.materials).amount * surface
    if item.material is not None:
        hours += work.acts["clear up"].fixed
        spent += surface * item.film * mix_price(item.material) / work.transfer
    elapsed = hours / WORKDAY * DAY + _on_calendar(item.wait)
    return Charge(spent + hours / 3600.0 * rate, hours, elapsed)


def _on_calendar(wait: float) -> float:
    """A wait of hours is spent within a working day; a longer one runs through the nights."""
    return wait / WORKDAY * DAY if wait < WORKDAY else max(wait, DAY)


@lru_cache(maxsize=512)
def _mix_price(components: tuple[Component, ...], usual: float) -> float:
    mixed = sum(c.parts for c in components if c.role != "thinner")
    parts = [usual * mixed if c.role == "thinner" else c.parts for c in components]
    solids = mixing.ready_solids(parts, [c.volume_solids for c in components])
    per_volume = sum(p * _cheapest(c) for p, c in zip(parts, components, strict=True)) / sum(parts)
    return per_volume / solids


def mix_price(material: Material) -> float:
    """Money for a cubic metre of dry film, at the usual thinning and the cheapest packs."""
    return _mix_price(material.components, material.thinning.usual if material.thinning else 0.0)


def _cheapest(component: Component) -> float:
    """Money per cubic metre in the pack that is cheapest by volume; 0 if it has no packs."""
    return min((pack.money.amount / pack.size for pack in component.packs), default=0.0)
