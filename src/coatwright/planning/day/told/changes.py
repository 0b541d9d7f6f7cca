"""What planning anew has changed, in sentences."""

from collections.abc import Sequence

from coatwright.planning.day.steps import Bout
from coatwright.planning.day.told.clashing import act_told, moment, time_told
from coatwright.planning.day.workings import Workings
from coatwright.sentences import say

MOST = 12
"""Pieces of work named one by one; more are counted."""


def changes(
    before: Workings, after: Workings, now: int, told: Sequence[str] = ()
) -> tuple[str, ...]:
    """Every change of note between two plans of the same work, seen from a minute of the first.

    told: what has been said already.
    """
    found = [*_dead(before, after, now), *_ends(before, after), *_added(before, after)]
    found += _mixes(before, after, now)
    moved = _moved(before, after, now)
    if not moved and not found:
        if told:
            return ()
        return (say("Nothing else has to change."),)
    for bout, was, is_now in moved[:MOST]:
        way = say("later") if is_now > was else say("sooner")
        found.append(
            say(
                "{after}: {is_now}, {is_now2} {way}.",
                after=name_of(after, bout),
                is_now=moment(is_now),
                is_now2=time_told(abs(is_now - was)),
                way=way,
            )
        )
    if len(moved) > MOST:
        found.append(say("{moved} more pieces of work move.", moved=len(moved) - MOST))
    return tuple(found)


def name_of(made: Workings, bout: Bout) -> str:
    """A piece of work, and where."""
    title = next(one.title for one in made.sets if one.key == bout.set)
    sheet = made.asked.library[bout.product].title
    act = (
        say("coat {coat} of {sheet}", coat=bout.coat, sheet=sheet)
        if bout.coat
        else act_told(bout.act)
    )
    return say("{act!c} on {title}", act=act, title=title)


def _ends(before: Workings, after: Workings) -> list[str]:
    was = max(slot.end for slot in before.timetable.slots.values())
    ends = max(slot.end for slot in after.timetable.slots.values())
    if ends == was:
        return []
    way = say("later") if ends > was else say("sooner")
    return [
        say(
            "All is laid by {ends}, {ends2} {way} than before.",
            ends=moment(ends),
            ends2=time_told(abs(ends - was)),
            way=way,
        )
    ]


def _added(before: Workings, after: Workings) -> list[str]:
    known = {bout.key for bout in before.steps.bouts}
    new = [bout for bout in after.steps.bouts if bout.key not in known]
    lapsed = set(after.steps.lapsed) - set(before.steps.lapsed)
    told: list[str] = [
        say("{text}: {hours:.1f} h more work.", text=one.text, hours=one.hours / 3600)
        for one in lapsed
    ]
    return told + [say("New: {after}.", after=name_of(after, bout)) for bout in new]


def _dead(before: Workings, made: Workings, now: int) -> list[str]:
    """Mixes of the past that died before a coat they serve was done, since it was planned last."""
    pots = {pot.key: pot for pot in made.problem.pots}
    slots = made.timetable.slots
    found: list[str] = []
    for mix in made.timetable.mixes:
        gone = pots[mix.pot].gone(mix)
        late = [
            made.bout(key)
            for key in mix.serves
            if slots[key].start < now and slots[key].end > max(gone, before.now)
        ]
        found += [
            say(
                "{made}: its mix was past its pot life at {gone}. Spray no more of it, "
                "clean the gun at once, and mix anew for what is left.",
                made=name_of(made, bout),
                gone=moment(gone),
            )
            for bout in late
        ]
    return found


def _mixes(before: Workings, after: Workings, now: int) -> list[str]:
    was = sum(mix.start >= now for mix in before.timetable.mixes)
    left = sum(mix.start >= now for mix in after.timetable.mixes)
    if was == left:
        return []
    planned = {0: say("none was planned"), 1: say("1 was planned")}.get(
        was, say("{was} were planned", was=was)
    )
    return [say("Still to be mixed: {left}; {planned}.", left=left, planned=planned)]


def _moved(before: Workings, after: Workings, now: int) -> list[tuple[Bout, int, int]]:
    """Work still to come whose start changes, by its new start."""
    slots = before.timetable.slots
    found = [
        (after.bout(key), slots[key].start, slot.start)
        for key, slot in after.timetable.slots.items()
        if key in slots and slot.start != slots[key].start and slot.start >= now
    ]
    return sorted(found, key=lambda row: row[2])
