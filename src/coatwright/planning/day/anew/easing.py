"""Habits that a day which has begun can no longer keep, and what is done about each instead."""

from collections.abc import Callable
from dataclasses import replace

from coatwright.engines.timetable.problem import Lag, Timetable
from coatwright.planning.day import habits
from coatwright.planning.day.steps import Bout, Steps
from coatwright.sentences import joined, say


def eased(steps: Steps, lags: tuple[Lag, ...], went: Timetable, now: int) -> tuple[Lag, ...]:
    """The lags, without the longest times that are only habit and have begun to run before now.

    What a product sheet says stays.
    """
    bouts = {bout.key: bout for bout in steps.bouts}
    return tuple(
        replace(lag, most=None)
        if _habit(lag, bouts) and went.slots[lag.before].start < now
        else lag
        for lag in lags
    )


def dried(
    steps: Steps, lags: tuple[Lag, ...], broken: Timetable, opens: Callable[[Bout, Bout], int]
) -> tuple[Lag, ...]:
    """Eased lags, with the coat below dry where a timetable lets two coats fall out of a session.

    opens: from the start of one coat to the start of the next, if the first has to dry [min].
    """
    bouts = {bout.key: bout for bout in steps.bouts}
    sessions = {
        (lag.before, lag.after)
        for lag in steps.lags
        if _habit(lag, bouts) and bouts[lag.before].coat and _late(lag, broken)
    }
    return tuple(
        replace(lag, least=opens(bouts[lag.before], bouts[lag.after]))
        if (lag.before, lag.after) in sessions
        else lag
        for lag in lags
    )


def _habit(lag: Lag, bouts: dict[str, Bout]) -> bool:
    before, after = bouts[lag.before], bouts[lag.after]
    return lag.most is not None and before.layer == after.layer and before.set == after.set


def instead(steps: Steps, lags: tuple[Lag, ...], timetable: Timetable) -> tuple[str, ...]:
    """For every habit that a timetable breaks, a sentence on what that takes."""
    bouts = {bout.key: bout for bout in steps.bouts}
    found = [
        _sentence(bouts[lag.before], bouts[lag.after])
        for lag in lags
        if _habit(lag, bouts) and _late(lag, timetable)
    ]
    return tuple(dict.fromkeys(found))


def _late(lag: Lag, timetable: Timetable) -> bool:
    before, after = timetable.slots[lag.before], timetable.slots[lag.after]
    left = before.start if lag.leaves == "start" else before.end
    return lag.most is not None and after.start > left + lag.most


def _sentence(before: Bout, after: Bout) -> str:
    where = joined(", ", (piece.title for piece in before.pieces[:3]))
    where += say(" and more") if len(before.pieces) > 3 else ""
    if before.coat:
        return say(
            "{where}: coat {coat} of {product} no longer goes on in one session with "
            "coat {coat2}: that dries as its sheet says; key it and wipe it first.",
            where=where,
            coat=after.coat,
            product=after.product,
            coat2=before.coat,
        )
    if before.act in habits.BARING:
        return say(
            "{where}: the bare metal has stood too long: look for rust, abrade and "
            "wipe it once more before {product}; allow up to {work} min.",
            where=where,
            product=after.product,
            work=before.work,
        )
    return say(
        "{where}: what was wiped down has stood: wipe it once more before "
        "{product}; allow {work} min.",
        where=where,
        product=after.product,
        work=before.work,
    )
