"""How much of each product a job takes, ready to spray, with its spread.

Litres come from what leaves the gun (trigger time x fluid), not from the surface alone. Each
(area, product, coat) hands in a Demand; here they become sessions (one coat of one product with one
gun), with the paint lost at each cup fill and on the test card, and a Need with its spread.

The spread has two parts. Errors that each area makes on its own (pace, how the fluid was set)
average out: they add in quadrature. The gun's transfer efficiency is one unknown that every area
sprayed with it shares: its errors add up in full, and do not shrink however many areas there are.
"""

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import groupby
from statistics import NormalDist
from typing import Final

from coatwright.errors import RangeError
from coatwright.figures import Figure
from coatwright.model.kit import Gun

TEST_CARD: Final = 5.0
"""Seconds of full trigger on masking paper before each session (assumption)."""

LOSS_SPREAD: Final = 0.3
"""Relative standard deviation of the paint lost in cup and gun (assumption)."""

_Z90: Final = NormalDist().inv_cdf(0.9)


@dataclass(frozen=True, slots=True)
class Demand:
    """One coat of one product on one area (SI).

    through_gun and on_surface are volumes of paint ready to spray; seconds is the time it takes,
    moving included. own_spread and shared_spread are relative standard deviations of through_gun:
    what this area gets wrong by itself, and what the gun gets wrong everywhere (its transfer).
    stage: areas of different stages are painted on different days and share no mix. gun None: laid
    by brush, wipe or lance. title is the area's name as a person reads it; surface [m2] is what the
    coat covers.
    """

    area: str
    product: str
    coat: int
    through_gun: float
    on_surface: float
    seconds: float
    own_spread: float = 0.0
    shared_spread: float = 0.0
    gun: Gun | None = None
    stage: int = 0
    title: str = ""
    surface: float = 0.0

    def __post_init__(self) -> None:
        kept, sprayed = self.on_surface * 1e6, self.through_gun * 1e6
        if not 0.0 <= kept <= sprayed * (1 + 1e-9):
            raise RangeError(
                f"{kept:.0f} of {sprayed:.0f} mL stay on the surface",
                where=f"{self.area}, {self.product}",
                instead="no more can stay than leaves the gun",
            )
        if min(self.seconds, self.own_spread, self.shared_spread) < 0 or self.coat < 1:
            raise RangeError(
                "a time, a spread or a coat number is negative",
                where=f"{self.area}, {self.product}",
                instead="times and spreads start at 0, coats at 1",
            )


@dataclass(frozen=True, slots=True)
class Session:
    """One coat of one product with one gun: what it takes beyond what goes through onto areas."""

    stage: int
    coat: int
    gun: Gun | None
    demands: tuple[Demand, ...]

    @property
    def through_gun(self) -> float:
        """Volume sprayed on areas [m3]."""
        return sum(d.through_gun for d in self.demands)

    @property
    def test_card(self) -> float:
        """Volume sprayed on the test card [m3]."""
        return self.gun.fluid * TEST_CARD if self.gun else 0.0

    @property
    def fills(self) -> int:
        """How often the gun's cup is filled."""
        if self.gun is None or self.through_gun <= 0:
            return 0
        return math.ceil((self.through_gun + self.test_card) / self.gun.cup - 1e-9)

    @property
    def losses(self) -> float:
        """Volume left in cup and gun [m3]."""
        return self.fills * self.gun.residue if self.gun else 0.0

    def taken(self, demand: Demand) -> float:
        """What one of its demands takes with its share of losses and test card [m3]."""
        extra = self.losses + self.test_card
        return demand.through_gun * (1.0 + extra / self.through_gun) if self.through_gun else 0.0


@dataclass(frozen=True, slots=True)
class Need:
    """What one product takes over the whole job (SI); spreads are standard deviations."""

    product: str
    sessions: tuple[Session, ...]

    @property
    def demands(self) -> tuple[Demand, ...]:
        """Every demand, in the order of spraying."""
        return tuple(d for session in self.sessions for d in session.demands)

    @property
    def on_surface(self) -> float:
        """Volume that stays on the areas [m3]."""
        return sum(d.on_surface for d in self.demands)

    @property
    def overspray(self) -> float:
        """Volume sprayed that does not stay on the areas [m3]."""
        return sum(d.through_gun - d.on_surface for d in self.demands)

    @property
    def losses(self) -> float:
        """Volume left in cups and guns [m3]."""
        return sum(s.losses for s in self.sessions)

    @property
    def test_cards(self) -> float:
        """Volume sprayed on test cards [m3]."""
        return sum(s.test_card for s in self.sessions)

    @property
    def mean(self) -> float:
        """Everything together, as expected [m3]."""
        return self.on_surface + self.overspray + self.losses + self.test_cards

    @property
    def own_spread(self) -> float:
        """Part of the spread that averages out over areas [m3]."""
        areas = sum((d.through_gun * d.own_spread) ** 2 for d in self.demands)
        return math.sqrt(areas + (LOSS_SPREAD * self.losses) ** 2)

    @property
    def shared_spread(self) -> float:
        """Part of the spread that every area sprayed with a gun shares [m3]."""
        return math.sqrt(sum(part**2 for part in _by_gun(self.demands).values()))

    @property
    def spread(self) -> float:
        """Both parts together [m3]."""
        return math.hypot(self.own_spread, self.shared_spread)

    @property
    def band(self) -> tuple[float, float]:
        """10 and 90 % points [m3]."""
        return band(self.mean, self.spread)

    def area_spread(self, area: str) -> float:
        """Standard deviation of what one area takes [m3]."""
        mine = [d for d in self.demands if d.area == area]
        own = sum((d.through_gun * d.own_spread) ** 2 for d in mine)
        return math.sqrt(own + sum(part**2 for part in _by_gun(mine).values()))


def _by_gun(demands: Iterable[Demand]) -> dict[str, float]:
    """Shared standard deviation by gun: within a gun the errors add up, they do not average out."""
    parts: dict[str, float] = {}
    for d in demands:
        key = d.gun.key if d.gun else ""
        parts[key] = parts.get(key, 0.0) + d.through_gun * d.shared_spread
    return parts


def needs_of(demands: Sequence[Demand]) -> tuple[Need, ...]:
    """One Need per product, in the order the products first appear.

    Within a product the order is stage, coat, then areas as given; that is the order of spraying.
    """
    products = list(dict.fromkeys(d.product for d in demands))
    return tuple(
        Need(product, _sessions([d for d in demands if d.product == product]))
        for product in products
    )


def _sessions(demands: list[Demand]) -> tuple[Session, ...]:
    def place(d: Demand) -> tuple[int, int, str]:
        return d.stage, d.coat, d.gun.key if d.gun else ""

    # sorted() keeps the given order within a session: that is the painter's walk.
    groups = groupby(sorted(demands, key=place), key=place)
    rows = [(stage, coat, tuple(group)) for (stage, coat, _), group in groups]
    return tuple(Session(stage, coat, group[0].gun, group) for stage, coat, group in rows)


def volume_for_film(surface: float, dry: float, solids: float, transfer: float) -> float:
    """Volume [m3] ready to spray for a dry film [m] on a surface [m2].

    solids is the volume solids ready to spray, transfer the share that stays on the surface. For
    what no stroke recipe covers (brush, wipe, lance), and as a check on what one gives.
    """
    if not (0 < solids <= 1 and 0 < transfer <= 1):
        raise RangeError(
            f"volume solids {solids:g} and transfer {transfer:g}",
            instead="both are shares above 0 and at most 1",
        )
    return surface * dry / solids / transfer


def band(mean: float, deviation: float) -> tuple[float, float]:
    """10 and 90 % points of a log-normal quantity of that mean and standard deviation.

    Log-normal, because paint is never negative and a transfer lower than thought costs more than a
    higher one saves.
    """
    if mean <= 0.0 or deviation <= 0.0:
        return mean, mean
    width = math.sqrt(math.log1p((deviation / mean) ** 2))
    middle = math.log(mean) - width**2 / 2
    return math.exp(middle - _Z90 * width), math.exp(middle + _Z90 * width)


def need_figures(need: Need) -> dict[str, Figure]:
    """The volumes of a ProductNeed: volume, on_surface, overspray, gun_losses, test_cards, reserve.

    `volume` is what is expected; `reserve` on top of it reaches the 90 % point. The reserve is
    bought but not mixed: it stays in the tin until it is wanted.
    """
    low, high = need.band
    parts = _parts(need)
    shared = Figure(
        need.shared_spread, "volume", "formula", "paint-need",
        "sum over areas of volume x spread of the gun's transfer, in full for one gun",
    )  # fmt: skip
    own = Figure(
        need.own_spread, "volume", "formula", "paint-need",
        "root of the sum of squares over areas of volume x the area's own spread",
    )  # fmt: skip
    volume = Figure(
        need.mean, "volume", "formula", "paint-need",
        "on the surface + overspray + left in cup and gun + test cards",
        {**parts, "transfer spread": shared, "own spread": own}, (low, high),
        "10 and 90 % points, log-normal",
    )  # fmt: skip
    reserve = Figure(
        high - need.mean, "volume", "formula", "paint-need", "90 % point - expected",
        {"expected": volume},
    )  # fmt: skip
    return {"volume": volume, **parts, "reserve": reserve}


def _parts(need: Need) -> dict[str, Figure]:
    fills = Figure(
        sum(session.fills for session in need.sessions), "count", "formula", "paint-need",
        "paint of a session / gun cup, rounded up",
    )  # fmt: skip
    cards = sum(session.gun is not None for session in need.sessions)
    return {
        "on_surface": Figure(
            need.on_surface, "volume", "formula", "paint-need",
            "sum over areas and coats of paint through the gun x capture x transfer",
        ),
        "overspray": Figure(
            need.overspray, "volume", "formula", "paint-need",
            "sum over areas and coats of paint through the gun - what stays on the surface",
        ),
        "gun_losses": Figure(
            need.losses, "dose", "formula", "paint-need",
            "cup fills x what stays in cup and gun at each",
            {"fills": fills},
            band(need.losses, LOSS_SPREAD * need.losses), "30 % standard deviation assumed",
        ),
        "test_cards": Figure(
            need.test_cards, "dose", "assumed", "test-card",
            f"one card a session x {TEST_CARD:.0f} s of full fluid",
            {"cards": Figure(cards, "count", "formula", "test-card", "sessions with a gun")},
        ),
    }  # fmt: skip


def area_figures(need: Need) -> Mapping[str, Figure]:
    """What each area takes of the product, losses and test cards shared out by volume."""
    taken: dict[str, float] = {}
    for session in need.sessions:
        for d in session.demands:
            taken[d.area] = taken.get(d.area, 0.0) + session.taken(d)
    return {
        area: Figure(
            volume, "volume", "formula", "paint-need",
            "trigger time x fluid, all coats, + its share of losses and test cards",
            {}, band(volume, need.area_spread(area)), "10 and 90 % points, log-normal",
        )
        for area, volume in taken.items()
    }  # fmt: skip
