"""What stands on the shelf: every tin bought for any job, less what any job has poured from it."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from typing import NamedTuple

from coatwright.record.state import JobState, Stock
from coatwright.sentences import say

NOTHING = 1e-7
"""Less than this [m3] is an empty tin: a tenth of a millilitre."""


class Tin(NamedTuple):
    """Which tin: product, component and batch number."""

    product: str
    component: str
    lot: str


@dataclass(frozen=True, slots=True)
class OnShelf:
    """One tin, or several of one batch number: volume left [m3] and what is known of it.

    poured_unweighed [kg] was poured but is in no volume, because no density is known. doubt: what
    does not fit, in words.
    """

    tin: Tin
    left: float
    expiry: str
    price: float
    bought: float
    poured_unweighed: float
    doubt: str = ""

    @property
    def value(self) -> float:
        """What is left, at what was paid for it."""
        return self.price * self.left / self.bought if self.bought > 0 else 0.0

    def expired(self, today: date) -> bool:
        """Whether its use-by date has passed; False if it has none."""
        return bool(self.expiry) and _day(self.expiry) < today


def shelf(states: Iterable[JobState]) -> tuple[OnShelf, ...]:
    """Every tin of the shop over all its jobs, those that spoil first before the others."""
    found: dict[Tin, list[Stock]] = {}
    for state in states:
        for stock in state.stock:
            found.setdefault(Tin(stock.product, stock.component, stock.lot), []).append(stock)
    rows = [_together(tin, stocks) for tin, stocks in found.items()]
    return tuple(sorted(rows, key=lambda row: (row.expiry or "9999", row.tin)))


def usable(rows: Sequence[OnShelf], today: date) -> dict[tuple[str, str], float]:
    """Volume [m3] of each (product, component) that has not passed its use-by date."""
    found: dict[tuple[str, str], float] = {}
    for row in rows:
        if row.left > NOTHING and not row.expired(today):
            key = row.tin.product, row.tin.component
            found[key] = found.get(key, 0.0) + row.left
    return found


def _together(tin: Tin, stocks: Sequence[Stock]) -> OnShelf:
    density = next((stock.density for stock in stocks if stock.density), None)
    unweighed = sum(stock.poured_unweighed for stock in stocks)
    left = sum(stock.left for stock in stocks) - (unweighed / density if density else 0.0)
    doubt = ""
    if left < -NOTHING:
        doubt = say("{more:.2f} L more was poured than is noted as bought", more=-left * 1e3)
    return OnShelf(
        tin,
        max(left, 0.0),
        next((stock.expiry for stock in stocks if stock.expiry), ""),
        sum(stock.price for stock in stocks),
        sum(stock.bought for stock in stocks),
        0.0 if density else unweighed,
        doubt,
    )


def _day(text: str) -> date:
    """A use-by date; a month alone counts to its last day, and nonsense never expires."""
    parts = text.split("-")
    try:
        if len(parts) == 2:
            year, month = int(parts[0]), int(parts[1])
            following = date(year + month // 12, month % 12 + 1, 1)
            return date.fromordinal(following.toordinal() - 1)
        return date.fromisoformat(text)
    except ValueError:
        return date.max
