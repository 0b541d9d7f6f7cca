"""What it takes once a recoat window has closed: hours, paint and money."""

from dataclasses import dataclass

from coatwright.figures import Figure
from coatwright.model import money
from coatwright.model.material import Material
from coatwright.model.work import ActName, Work
from coatwright.planning.advice.pricing import mix_price
from coatwright.planning.conditions.drying import landed_share
from coatwright.planning.conditions.window_plan import Lapse
from coatwright.sentences import say

NO_SOURCE = "common practice, no source"

TEXTS = {
    "abrade": say("key it and degrease, then go on"),
    "abrade and recoat": say(
        "key it, degrease, and lay one fresh coat of the same; then go on in time"
    ),
    "strip": say("strip it and begin again from the ground"),
    "no limit": say("nothing: it does not close"),
}


@dataclass(frozen=True)
class Bill:
    """What repairs are priced with: work.toml, and an hour's labour in the job's currency."""

    work: Work
    rate: float


@dataclass(frozen=True)
class _Sum:
    """Working time [s], ready paint [m3], money, waiting [s]."""

    hours: float = 0.0
    paint: float = 0.0
    money: float = 0.0
    wait: float = 0.0

    def and_(self, other: "_Sum") -> "_Sum":
        """Both together."""
        return _Sum(
            self.hours + other.hours,
            self.paint + other.paint,
            self.money + other.money,
            self.wait + other.wait,
        )


def lapse(
    layers: tuple[tuple[Material, float], ...], surface: float, wait: float, bill: Bill
) -> Lapse:
    """What letting the last of these layers lapse costs on a surface [m2].

    layers: products and their dry film [m] from the ground up, ending with the one that lapses;
    wait: from a fresh coat of it until the next layer may go on [s].
    """
    material, film = layers[-1]
    past = material.recoat.past
    total = _Sum()
    if past in ("abrade", "abrade and recoat"):
        total = _acts(("abrade new", "degrease"), surface, bill)
    if past == "abrade and recoat":
        coat = film / max(material.film.coats_max, 1)
        total = total.and_(_coat(material, max(coat, material.film.min), 1, surface, bill))
        total = total.and_(_Sum(wait=wait))
    if past == "strip":
        total = _acts(("strip", "degrease"), surface, bill)
        for product, dry in layers:
            total = total.and_(_coat(product, dry, product.film.coats_min, surface, bill))
            total = total.and_(_Sum(wait=product.recoat.min))
    return _told(material, past, total)


def _acts(acts: tuple[ActName, ...], surface: float, bill: Bill) -> _Sum:
    total = _Sum()
    for name in acts:
        act = bill.work.acts[name]
        hours = act.per_m2 * surface + act.fixed
        spent = money.parse(act.materials).amount * surface + hours / 3600.0 * bill.rate
        total = total.and_(_Sum(hours=hours, money=spent, wait=act.wait))
    return total


def _coat(material: Material, dry: float, coats: int, surface: float, bill: Bill) -> _Sum:
    """Laying a dry film of a product again: work of the coats, its paint and what that costs."""
    act, clear = bill.work.acts["coat"], bill.work.acts["clear up"]
    hours = coats * act.per_m2 * surface + clear.fixed
    landed = surface * dry / bill.work.transfer
    paint = landed / _ready_solids(material)
    spent = landed * mix_price(material) + hours / 3600.0 * bill.rate
    spent += coats * money.parse(act.materials).amount * surface
    return _Sum(hours, paint, spent)


def _ready_solids(material: Material) -> float:
    """Share of solids in the mix as it leaves the gun."""
    landed = landed_share(material)
    kept = 1.0 - material.flow.in_flight_loss
    return landed * kept / (1.0 - landed + landed * kept)


def _told(material: Material, past: str, total: _Sum) -> Lapse:
    formula = "acts of work.toml x surface, and the paint of the fresh coats"
    return Lapse(
        key=material.key,
        text=TEXTS[past],
        hours=Figure(total.hours, "hours", "assumed", NO_SOURCE, formula),
        paint=Figure(total.paint, "volume", "formula", NO_SOURCE, formula),
        money=Figure(total.money, "money", "assumed", NO_SOURCE, formula),
        wait=Figure(total.wait, "hours", "sheet", f"sheet:{material.key}", "waiting, not working"),
    )
