"""Splitting a product's work into mixes: fewest mixes, fewest changes inside an area, least left.

The work is a sequence of items (one area, one coat) in the order they are sprayed: coat 1 of every
area, then coat 2 ... The order is kept, because it is the walk that holds a wet edge and spends the
flash-off; so a mix serves a stretch of the sequence. That turns the integer programme into a
shortest path over the places where one mix may end and the next begin, which dynamic programming
solves exactly: there is no gap to state. A free assignment of items to mixes would be bin packing;
it could only trade changes inside an area against a broken walk, never save a mix that the total
volume asks for, because items may be split anyway.
"""

import itertools
import math
from collections.abc import Sequence
from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from coatwright.errors import RangeError

Float = NDArray[np.float64]
Int = NDArray[np.int64]

_GRAIN = 1e-9
"""Volumes closer than this are the same place [m3] (a microlitre)."""

_DROP = 1e-8
"""An item this small is a drop, and left out [m3]."""

_PER_CHANGE = 10**10
_PER_MIX = 10**14
_NO_WAY = 2**61
_MOST_MIXES = 2000


class Clock(NamedTuple):
    """When each item is sprayed, from the first trigger of the session: arrays [s]."""

    begin: Float
    end: Float


class MixLimits(NamedTuple):
    """What one mix must keep to: volumes [m3], times [s].

    capacity: the mixing cup. life: pot life at the shop's temperature (inf: none). handling: from
    mixing to the first trigger, induction included. step: mixes are rounded up to it. cut: spacing
    of the places inside an item where the next mix may take over. smallest: below it the scale
    cannot hold the ratio.
    """

    capacity: float
    life: float = math.inf
    handling: float = 0.0
    step: float = 1e-5
    cut: float = 5e-5
    smallest: float = 0.0


class Mix(NamedTuple):
    """One mixed quantity: volume to mix and volume used [m3], use time [s], and what it serves."""

    size: float
    used: float
    use_time: float
    serves: tuple[tuple[int, float], ...]
    splits: bool

    @property
    def left(self) -> float:
        """What stays in the cup [m3]."""
        return self.size - self.used


class _Places(NamedTuple):
    volume: Float
    begin: Float
    done: Float
    inside: NDArray[np.bool_]


def session_clock(
    seconds: ArrayLike, coats: Sequence[int], areas: Sequence[str], flash: float
) -> Clock:
    """When each item of a sequence is sprayed, waiting out the flash-off of the coat below.

    Parameters
    ----------
    seconds : (n,) array [s]
        Spraying time of each item, moving included.
    coats : sequence of int [-]
        Coat number of each item.
    areas : sequence of str
        Area of each item.
    flash : float [s]
        Flash-off between coats on the same area.

    Returns
    -------
    Clock
        Begin and end of each item [s], the first at 0.

    Raises
    ------
    RangeError
        If a time is negative or the sequences differ in length.

    Source
        derived; critical path of a fixed sequence.
    Checked
        tests/unit/engines/mixing/test_batches.py.
    """
    spans = np.asarray(seconds, dtype=float)
    if not len(spans) == len(coats) == len(areas):
        raise RangeError(
            "times, coats and areas differ in number", instead="give one of each per item"
        )
    if np.any(spans < 0) or flash < 0:
        raise RangeError("a spraying or flash-off time is negative", instead="times start at 0 s")
    begin, end = np.zeros(len(spans)), np.zeros(len(spans))
    now, wet = 0.0, dict[str, tuple[int, float]]()
    for i, (span, coat, area) in enumerate(zip(spans, coats, areas, strict=True)):
        below = wet.get(area)
        if below is not None and coat > below[0]:
            now = max(now, below[1] + flash)
        begin[i], now = now, now + float(span)
        end[i] = now
        wet[area] = (coat, now)
    return Clock(begin, end)


def batches(volumes: ArrayLike, clock: Clock, limits: MixLimits) -> tuple[Mix, ...]:
    """Split a sequence of items into mixes.

    Least, in this order: mixes; mixes that give out inside an area; paint left over; unevenness of
    the mixes (sum of squares). The number of mixes is the least possible wherever a mix may end;
    the rest is least over ends of items, every `cut` inside an item, and the places a cup that is
    always filled to the brim would run dry.

    Parameters
    ----------
    volumes : (n,) array [m3]
        What each item takes, in the order of spraying; a drop (0.01 mL) or less is left out.
    clock : Clock
        When each item is sprayed [s], never going back.
    limits : MixLimits
        Cup, pot life and rounding.

    Returns
    -------
    tuple of Mix
        In order of use; empty if nothing is sprayed.

    Raises
    ------
    RangeError
        If a volume is negative, the cup is smaller than a step or than the smallest mix, or the
        pot life is over before the first trigger.

    Validity
        Items sprayed at an even pace, and the next mix made while the last is sprayed or flashes
        off: time lost on mixing in mid-session is not on the clock.
    Source
        derived; shortest path on a directed acyclic graph (Bellman), exact.
    Checked
        tests/properties/integer_programmes/test_batches.py (brute force, HiGHS).
    """
    wanted = np.asarray(volumes, dtype=float)
    _check(wanted, clock, limits)
    kept = np.flatnonzero(wanted > _DROP)
    if len(kept) == 0:
        return ()
    items = wanted[kept]
    times = Clock(clock.begin[kept], clock.end[kept])
    brim = _floor_to(limits.capacity, limits.step)
    places = _places(items, times, limits, brim)
    path = _shortest(places, limits, brim)
    bounds = np.concatenate([[0.0], np.cumsum(items)])
    return tuple(_mix(places, bounds, kept, limits, a, b) for a, b in itertools.pairwise(path))


def mix_size(used: float, step: float, smallest: float = 0.0) -> float:
    """Volume to mix for a volume used: rounded up to a step, and never below the smallest mix.

    Parameters
    ----------
    used : float [m3]
        What will be sprayed from it.
    step : float [m3]
        Practical step of a mix.
    smallest : float [m3]
        Least that can be weighed well enough.

    Returns
    -------
    float [m3]
        At least `used`.

    Source
        derived.
    Checked
        tests/unit/engines/mixing/test_batches.py.
    """
    return float(_sizes(np.array([used]), step, smallest)[0])


def _check(wanted: Float, clock: Clock, limits: MixLimits) -> None:
    if np.any(wanted < 0) or not np.all(np.isfinite(wanted)):
        raise RangeError("an item's volume is negative or not a number", instead="give 0 or more")
    if limits.step <= 0 or limits.cut <= 0 or limits.capacity < limits.step * (1 - 1e-9):
        raise RangeError(
            f"a cup of {limits.capacity * 1e6:g} mL cannot hold a mix of one step",
            instead=f"use a cup of at least {limits.step * 1e6:g} mL",
        )
    if limits.smallest > limits.capacity * (1 + 1e-9):
        raise RangeError(
            f"the smallest mix the scale can weigh, {limits.smallest * 1e6:.0f} mL, does not fit "
            f"the cup of {limits.capacity * 1e6:.0f} mL",
            instead="use a finer scale or a larger cup",
        )
    if limits.life <= limits.handling:
        raise RangeError(
            f"the pot life of {limits.life / 60:.0f} min is over before the first trigger, "
            f"{limits.handling / 60:.0f} min after mixing",
            instead="use a slower hardener or a cooler shop",
        )
    steps = np.diff(np.stack([clock.begin, clock.end], axis=1).ravel())
    if len(clock.begin) != len(wanted) or np.any(steps < -1e-9):
        raise RangeError("the clock of the items goes back", instead="give items in spraying order")


def _floor_to(volume: float, step: float) -> float:
    return math.floor(volume / step + 1e-9) * step


def _places(items: Float, times: Clock, limits: MixLimits, brim: float) -> _Places:
    """Every place a mix may end, in order, with the clock just before and just after it."""
    bounds = np.concatenate([[0.0], np.cumsum(items)])
    inner = [
        low + limits.cut * np.arange(1, math.ceil(size / limits.cut))
        for low, size in zip(bounds, items, strict=False)
    ]
    brims = _brim_chain(bounds, times, limits, brim)
    places = np.unique(np.concatenate([bounds, *inner, brims]))
    at = np.clip(np.searchsorted(bounds, places), 1, len(bounds) - 1)
    near = np.minimum(np.abs(places - bounds[at]), np.abs(places - bounds[at - 1]))
    keep = (near > _GRAIN) | np.isin(places, bounds)
    places, inside = places[keep], (near > _GRAIN)[keep]
    before = np.clip(np.searchsorted(bounds, places - _GRAIN, side="left") - 1, 0, len(items) - 1)
    after = np.clip(np.searchsorted(bounds, places + _GRAIN, side="right") - 1, 0, len(items) - 1)
    done = _clock_at(places, before, bounds, items, times)
    return _Places(places, _clock_at(places, after, bounds, items, times), done, inside)


def _clock_at(places: Float, item: Int, bounds: Float, items: Float, times: Clock) -> Float:
    share = np.clip((places - bounds[item]) / items[item], 0.0, 1.0)
    return np.asarray(times.begin[item] + share * (times.end[item] - times.begin[item]))


def _brim_chain(bounds: Float, times: Clock, limits: MixLimits, brim: float) -> list[float]:
    """Where mixes end if each is filled to the brim and used until cup or pot life ends."""
    chain, at, total = list[float](), 0.0, float(bounds[-1])
    budget = limits.life - limits.handling
    while total - at > _GRAIN:
        item = min(int(np.searchsorted(bounds, at + _GRAIN, side="right")) - 1, len(bounds) - 2)
        size = bounds[item + 1] - bounds[item]
        spent = (at - bounds[item]) / size * (times.end[item] - times.begin[item])
        until = times.begin[item] + spent + budget
        at = min(at + brim, _reach(until, bounds, times))
        chain.append(at)
        if len(chain) > _MOST_MIXES:
            raise RangeError(
                f"more than {_MOST_MIXES} mixes would be needed",
                instead="use a larger cup or a longer pot life",
            )
    return chain[:-1]


def _reach(until: float, bounds: Float, times: Clock) -> float:
    """Volume sprayed by a time on the clock."""
    if until >= times.end[-1]:
        return float(bounds[-1])
    item = int(np.searchsorted(times.end, until, side="right"))
    span = times.end[item] - times.begin[item]
    share = (until - times.begin[item]) / span if span > 0 else 0.0
    return float(bounds[item] + max(0.0, share) * (bounds[item + 1] - bounds[item]))


def _sizes(used: Float, step: float, smallest: float) -> Float:
    return np.maximum(smallest, np.ceil(used / step - 1e-6) * step)


def _shortest(places: _Places, limits: MixLimits, brim: float) -> list[int]:
    """Indices of the places on the best path from first to last."""
    count = len(places.volume)
    cost, uneven = np.full(count, _NO_WAY, dtype=np.int64), np.zeros(count)
    back = np.zeros(count, dtype=np.int64)
    cost[0] = 0
    firsts = _firsts(places, limits, brim)
    for b in range(1, count):
        low = int(firsts[b])
        if low >= b or cost[low:b].min() >= _NO_WAY:
            continue
        used = places.volume[b] - places.volume[low:b]
        sizes = _sizes(used, limits.step, limits.smallest)
        totals = cost[low:b] + np.rint((sizes - used) / _GRAIN).astype(np.int64)
        squares = uneven[low:b] + sizes**2
        ties = np.flatnonzero(totals == totals.min())
        best = int(ties[np.argmin(squares[ties])])
        back[b] = low + best
        uneven[b] = squares[best]
        cost[b] = totals[best] + _PER_MIX + (_PER_CHANGE if places.inside[b] else 0)
    return _trace(back)


def _firsts(places: _Places, limits: MixLimits, brim: float) -> Int:
    """For each place, the first one from which a single mix reaches it (cup and pot life)."""
    by_cup = np.searchsorted(places.volume, places.volume - brim - _GRAIN / 2)
    latest = places.done + limits.handling - limits.life
    return np.maximum(by_cup, np.searchsorted(places.begin, latest - 1e-6))


def _trace(back: Int) -> list[int]:
    path = [len(back) - 1]
    while path[-1] > 0:
        path.append(int(back[path[-1]]))
    return path[::-1]


def _mix(places: _Places, bounds: Float, kept: Int, limits: MixLimits, a: int, b: int) -> Mix:
    low, high = places.volume[a], places.volume[b]
    share = np.minimum(bounds[1:], high) - np.maximum(bounds[:-1], low)
    serves = tuple((int(kept[i]), float(share[i])) for i in np.flatnonzero(share > _GRAIN / 2))
    used = float(high - low)
    size = mix_size(used, limits.step, limits.smallest)
    use_time = float(limits.handling + places.done[b] - places.begin[a])
    return Mix(size, used, use_time, serves, bool(places.inside[b]))
