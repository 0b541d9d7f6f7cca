"""What has happened of a day plan when it is planned anew: as told, and else as planned."""

import math
from collections.abc import Mapping, Sequence
from typing import Final, NamedTuple, TypeGuard

from coatwright.engines.timetable.problem import Mix, Slot, Timetable
from coatwright.errors import NotFound
from coatwright.planning.day import habits
from coatwright.planning.day.anew.pots import Mixed, Poured, Stirred
from coatwright.planning.day.steps import Bout
from coatwright.planning.day.workings import Workings


class Happening(NamedTuple):
    """What really happened to an entry, or to all areas of a set's act, by its key.

    Times [s from the first midnight]; start None: it was not begun though it was planned to be;
    end None: it is not finished. Of a set's act the end is when its last area is done; cleaning
    the gun comes after it.
    """

    key: str
    start: float | None
    end: float | None = None


News = Happening | Stirred
"""What can be told of a day."""

CLEANING: Final = ".clean-gun"

Told = dict[str, Happening]
"""What happened by the key of the bout."""


class Went(NamedTuple):
    """The timetable as it went; origins: of each of its mixes the key in the plan, "" if none."""

    timetable: Timetable
    origins: tuple[str, ...]


def told_of(made: Workings, happened: Sequence[News]) -> Told:
    """What happened by bout, from what is told of it or of its areas.

    Areas not told of took as long as planned. Mixes, waits and rests are passed over, and when a
    gun was cleaned once its coats are told of: paint dries from the last trigger. Raises NotFound
    for a key that no plan of this work has.
    """
    bouts = {bout.key: bout for bout in made.steps.bouts}
    found: dict[str, Happening] = {}
    cleaned_last = sorted(happened, key=lambda one: one.key.endswith(CLEANING))
    for one in cleaned_last:
        if isinstance(one, Stirred) or one.key.startswith(("mix.", "day-")):
            continue
        if one.key.endswith((".flash", ".dry")):
            continue
        key = next((k for k in bouts if one.key == k or one.key.startswith(f"{k}.")), None)
        if key is None:
            raise NotFound(
                f"there is no '{one.key}' in this day plan", instead="use the key of an entry"
            )
        whole = _of_bout(bouts[key], one)
        if one.key.endswith(CLEANING) and key in found:
            continue
        found[key] = _both(found[key], whole) if key in found else whole
    return found


def mixes_told(made: Workings, happened: Sequence[News]) -> tuple[Mixed, list[Stirred]]:
    """What is told of the mixes of a plan, by key, and the mixes that it does not have.

    Raises NotFound for a mix that is named as one of the plan and is not.
    """
    known = made.mixes_by_key
    mixed: Mixed = {}
    for one in happened:
        if isinstance(one, Stirred):
            key = one.key
        elif one.key.startswith("mix."):
            key = one.key.removeprefix("mix.")
        else:
            continue
        if key and key not in known:
            raise NotFound(f"there is no mix '{key}' in this day plan", instead="use a key of it")
        if isinstance(one, Stirred):
            mixed |= {key: one} if key else {}
        elif one.start is None:
            mixed[key] = None
        else:
            mixed[key] = Stirred(known[key].pot, one.start, one.end, key)
    return mixed, [one for one in happened if _is_extra(one)]


def _is_extra(one: News) -> TypeGuard[Stirred]:
    return isinstance(one, Stirred) and not one.key


def _of_bout(bout: Bout, one: Happening) -> Happening:
    """The bout's own start and end, if one of its areas, or its cleaning, went like this."""
    place = one.key.removeprefix(f"{bout.key}.")
    before, after = 0, bout.cleaning
    if place == "clean-gun":
        before, after = bout.laying, 0
    elif one.key != bout.key:
        before = bout.begins(place) or 0
        after = bout.work - (bout.ends(place) or bout.laying)
    start = None if one.start is None else one.start - before * habits.TICK
    end = None if one.end is None else one.end + after * habits.TICK
    return Happening(bout.key, start, end)


def _both(one: Happening, other: Happening) -> Happening:
    """Two tellings of one bout: begun if either says so, at the earlier; ended at the later."""
    starts = [t for t in (one.start, other.start) if t is not None]
    ends = [one.end, other.end]
    end = None if None in ends else max(t for t in ends if t is not None)
    return Happening(one.key, min(starts, default=None), end)


def with_what_follows(made: Workings, told: Told, now: int) -> Told:
    """The same, with what cannot have begun: nobody does two things at once, nor before its time.

    Work that was to begin before now, that nobody told of, is taken as not begun if one of its
    people was then still at something told of, or something it must follow has not been begun.
    """
    found = dict(told)
    slots = made.timetable.slots
    before: dict[str, list[str]] = {}
    for lag in made.problem.lags:
        before.setdefault(lag.after, []).append(lag.before)
    for key, slot in sorted(slots.items(), key=lambda row: row[1].start):
        if key in found or slot.start >= now:
            continue
        missing = any(one in found and found[one].start is None for one in before.get(key, ()))
        if missing or any(_in_the_way(slot, slots[k], one) for k, one in told.items()):
            found[key] = Happening(key, None)
    return found


def _in_the_way(slot: Slot, late: Slot, told: Happening) -> bool:
    """Whether somebody was still at what was told of when this was to begin."""
    if told.start is None or not set(slot.people) & set(late.people) or slot.start < late.start:
        return False
    return told.end is None or slot.start * habits.TICK < told.end


def was(made: Workings, now: int, told: Told, happened: Sequence[News] = ()) -> Went:
    """The timetable with the past as it happened, and nothing before now that did not happen."""
    slots = {
        key: _slot(made, slot, now, told.get(key)) for key, slot in made.timetable.slots.items()
    }
    mixed, others = mixes_told(made, happened)
    planned = [
        _mix(made, mix, slots, now, told)
        for key, mix in made.mixes_by_key.items()
        if key not in mixed
    ]
    begun = frozenset(key for key, slot in slots.items() if slot.start < now < slot.end)
    pots = Poured(made, slots, now, begun).pots(mixed, others, planned)
    return Went(Timetable(slots, pots.mixes), pots.origins)


def _slot(made: Workings, slot: Slot, now: int, told: Happening | None) -> Slot:
    if told is None:
        return slot
    if told.start is None:
        start = max(slot.start, now)
        return Slot(start, start + slot.end - slot.start, slot.people)
    start = math.floor(told.start / habits.TICK)
    if told.end is None:
        bout = made.bout(told.key)
        end = made.calendar.after(start, bout.work) if bout.split else start + bout.work
        end = max(end, now + 1)
    else:
        end = math.ceil(told.end / habits.TICK)
    return Slot(start, max(end, start + 1), slot.people)


def _mix(made: Workings, mix: Mix, slots: Mapping[str, Slot], now: int, told: Told) -> Mix:
    """A mix nothing is told of, as made; not yet if what it serves is put off or nobody was free.

    What was stirred before the first thing told of began is there, whatever became of its coats.
    """
    begun = [one.start for one in told.values() if one.start is not None]
    if begun and mix.end * habits.TICK <= min(begun):
        return mix
    first = min((slots[key].start for key in mix.serves), default=0)
    put_off = all(key in told and told[key].start is None for key in mix.serves)
    mixing = Slot(mix.start, mix.end, mix.people)
    busy = any(_in_the_way(mixing, made.timetable.slots[key], one) for key, one in told.items())
    if not (mix.start < now <= first and (put_off or busy)):
        return mix
    start = max(now, first - (mix.end - mix.start))
    return mix._replace(start=start, end=start + mix.end - mix.start)


def past(went: Timetable, now: int, told: Told) -> tuple[frozenset[str], frozenset[str]]:
    """Bouts that are done, and those that are begun."""
    started = {key for key, slot in went.slots.items() if slot.start < now}
    open_ended = {key for key, one in told.items() if one.start is not None and one.end is None}
    done = {key for key in started - open_ended if went.slots[key].end <= now}
    return frozenset(done), frozenset(started - done)
