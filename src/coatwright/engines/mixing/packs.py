"""Which packs to buy: the least money that covers a need."""

import math
from collections.abc import Sequence
from typing import NamedTuple

from coatwright.errors import RangeError

_TINY = 1e-9


class _Best(NamedTuple):
    cost: float
    bought: float
    packs: int
    counts: tuple[int, ...]


def packs(need: float, sizes: Sequence[float], prices: Sequence[float]) -> tuple[int, ...]:
    """How many packs of each size cover a need at least cost.

    Exact, by branch and bound on the unbounded covering knapsack: what is still missing costs at
    least its volume at the best price per volume left. Of equal costs the one that leaves least
    over wins, then the one with fewer packs.

    Parameters
    ----------
    need : float [m3]
        Volume (or any amount) to cover; 0 or less buys nothing.
    sizes : sequence of float [m3]
        Content of each pack, > 0, in the unit of `need`.
    prices : sequence of float [-]
        Price of each pack, 0 or more, in one currency.

    Returns
    -------
    tuple of int [-]
        Count of each size, in the order given.

    Raises
    ------
    RangeError
        If there are no packs, or a size or a price is out of range.

    Source
        derived; integer programme, exact.
    Checked
        tests/properties/integer_programmes/test_packs.py (brute force, and HiGHS).
    """
    _check(sizes, prices)
    if need <= 0:
        return (0,) * len(sizes)
    order = sorted(range(len(sizes)), key=lambda i: (prices[i] / sizes[i], -sizes[i]))
    rows = [(sizes[i], prices[i]) for i in order]
    found = _search(need, rows)
    counts = [0] * len(sizes)
    for place, count in zip(order, found, strict=True):
        counts[place] = count
    return tuple(counts)


def _check(sizes: Sequence[float], prices: Sequence[float]) -> None:
    if not sizes or len(sizes) != len(prices):
        raise RangeError(
            f"{len(sizes)} pack sizes and {len(prices)} prices",
            instead="give one price for each size",
        )
    if not all(math.isfinite(s) and s > 0 for s in sizes):
        raise RangeError("a pack size is not above 0", instead="give what each pack holds")
    if not all(math.isfinite(p) and p >= 0 for p in prices):
        raise RangeError("a pack price is negative or not a number", instead="give 0 or more")


def _search(need: float, rows: list[tuple[float, float]]) -> tuple[int, ...]:
    largest = max(size for size, _ in rows)
    best = _Best(math.inf, math.inf, 0, ())
    slack = _TINY * need
    stack: list[tuple[tuple[int, ...], float, float]] = [((), 0.0, 0.0)]
    while stack:
        taken, bought, cost = stack.pop()
        missing = need - bought
        if missing <= slack or len(taken) == len(rows):
            full = taken + (0,) * (len(rows) - len(taken))
            if missing <= slack and _better(cost, bought, sum(taken), best):
                best = _Best(cost, bought, sum(taken), full)
            continue
        size, price = rows[len(taken)]
        least = cost + missing * price / size
        if not _better(least, need, sum(taken) + math.ceil(missing / largest - _TINY), best):
            continue
        most = math.ceil(missing / size - _TINY)
        last = len(taken) == len(rows) - 1
        # Pushed from few to many, so that the fullest answer is tried first and bounds the rest.
        stack.extend(
            ((*taken, count), bought + count * size, cost + count * price)
            for count in range(most if last else 0, most + 1)
        )
    return best.counts


def _better(cost: float, bought: float, count: int, best: _Best) -> bool:
    """Whether cost, then volume, then number of packs beats the best so far."""
    if not best.counts:
        return True
    for value, held in ((cost, best.cost), (bought, best.bought)):
        if abs(value - held) > _TINY * max(1.0 if held == 0 else abs(held), _TINY):
            return value < held
    return count < best.packs
