"""Guns that need no cleaning yet: they go on with the same paint at once."""

from dataclasses import replace

from coatwright.engines.timetable.problem import Lag, Timetable
from coatwright.planning.day import habits
from coatwright.planning.day.steps import Bout, Steps, minutes_within

GOES_ON = "the gun goes on with the same paint"
"""Name of the lags that hold such pairs together."""


def spared(steps: Steps, timetable: Timetable) -> Steps:
    """The steps without the cleanings that this timetable does not need; the same if it needs all.

    A cleaning is spared where every gun of the bout is next used with the same product within
    habits.GOES_ON of the last coat; a lag then keeps the two together, so that no other product
    can come between.
    """
    bouts: list[Bout] = []
    lags: list[Lag] = []
    for bout in steps.bouts:
        after = _next(bout, steps, timetable) if bout.cleaning and bout.guns else None
        if after is None:
            bouts.append(bout)
            continue
        bouts.append(replace(bout, cleaning=0))
        most = minutes_within(habits.GOES_ON)
        lags.append(Lag(bout.key, after.key, 0, most, "end", "start", GOES_ON))
    return replace(steps, bouts=tuple(bouts), lags=(*steps.lags, *lags)) if lags else steps


def _next(bout: Bout, steps: Steps, timetable: Timetable) -> Bout | None:
    """What uses all the guns of a bout next, if soon and with the same paint."""
    slots = timetable.slots
    end = slots[bout.key].end - bout.cleaning
    later = [
        one
        for one in steps.bouts
        if set(one.guns) & set(bout.guns) and slots[one.key].start >= slots[bout.key].end
    ]
    if not later:
        return None
    after = min(later, key=lambda one: slots[one.key].start)
    soon = slots[after.key].start - end <= minutes_within(habits.GOES_ON)
    same = after.product == bout.product and set(bout.guns) <= set(after.guns)
    return after if soon and same else None


def free_of_pairs(steps: Steps) -> Steps:
    """The steps with nothing held together: for a day that has begun, when that cannot be kept."""
    return replace(steps, lags=tuple(lag for lag in steps.lags if lag.name != GOES_ON))


def as_before(steps: Steps, old: Steps) -> Steps:
    """New steps with the cleanings that an older plan of the same sets has, and its pairs."""
    known = {bout.key: bout.cleaning for bout in old.bouts}
    bouts = (replace(one, cleaning=known.get(one.key, one.cleaning)) for one in steps.bouts)
    pairs = tuple(lag for lag in old.lags if lag.name == GOES_ON)
    return replace(steps, bouts=tuple(bouts), lags=(*steps.lags, *pairs))
