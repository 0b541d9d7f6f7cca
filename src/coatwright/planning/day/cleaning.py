"""Guns that need no cleaning yet, as they go on with the same paint at once, and those that do."""

from dataclasses import replace

from coatwright.engines.timetable.problem import Lag, Timetable
from coatwright.planning.day import habits
from coatwright.planning.day.steps import Bout, Steps, minutes, minutes_within

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


def cleaned(steps: Steps, timetable: Timetable) -> Steps:
    """The steps with a cleaning after every coat whose gun next takes another product; the same if
    none is wanting.

    Between two coats of a layer a gun waits as it is, unless something else is sprayed with it.
    """
    wanting = {
        bout.key
        for bout in steps.bouts
        if bout.guns and not bout.cleaning and _followed_by_other(bout, steps, timetable)
    }
    if not wanting:
        return steps
    cleaning = minutes(habits.GUN_CLEANING)
    bouts = (replace(b, cleaning=cleaning) if b.key in wanting else b for b in steps.bouts)
    lags = (g for g in steps.lags if g.name != GOES_ON or g.before not in wanting)
    return replace(steps, bouts=tuple(bouts), lags=tuple(lags))


def _followed_by_other(bout: Bout, steps: Steps, timetable: Timetable) -> bool:
    """Whether one of its guns is next used with another product."""
    slots = timetable.slots
    for gun in bout.guns:
        later = [
            one
            for one in steps.bouts
            if gun in one.guns and slots[one.key].start >= slots[bout.key].end
        ]
        after = min(later, key=lambda one: slots[one.key].start, default=bout)
        if after.product != bout.product:
            return True
    return False


def free_of_pairs(steps: Steps) -> Steps:
    """The steps with nothing held together: for a day that has begun, when that cannot be kept."""
    return replace(steps, lags=tuple(lag for lag in steps.lags if lag.name != GOES_ON))


def as_before(steps: Steps, old: Steps) -> Steps:
    """New steps with the cleanings that an older plan of the same sets has, and its pairs."""
    known = {bout.key: bout.cleaning for bout in old.bouts}
    bouts = (replace(one, cleaning=known.get(one.key, one.cleaning)) for one in steps.bouts)
    pairs = tuple(lag for lag in old.lags if lag.name == GOES_ON)
    return replace(steps, bouts=tuple(bouts), lags=(*steps.lags, *pairs))
