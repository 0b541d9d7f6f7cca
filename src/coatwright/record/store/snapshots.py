"""States kept on the way, so that a long record need not be folded from its beginning.

A snapshot is only a saving: whoever writes an earlier event or corrects one takes it out, and one
made by another version of the fold is passed over.
"""

import hashlib
from collections.abc import Sequence
from dataclasses import replace
from datetime import datetime
from functools import cache
from importlib.resources import files
from itertools import pairwise
from typing import NamedTuple

from sqlalchemy import Connection, delete, insert, select

from coatwright.record.corrections import Entry, standing
from coatwright.record.fold import is_news, resume
from coatwright.record.state import JobState
from coatwright.record.store import codec, tables
from coatwright.record.store.rows import ENTRY, entries_of, stamp
from coatwright.record.store.writer import corrected, last_number

STEP = 1000
"""So many events are folded again before a snapshot is worth its place."""

_EVENTS = tables.events.c
_MARKS = tables.snapshots.c
_FOLDING = (
    "events.py",
    "state.py",
    "corrections.py",
    "patches.py",
    "fold.py",
    "store/snapshots.py",
    "store/codec.py",
)


class Folded(NamedTuple):
    """A state, and those on the way to it that are worth keeping."""

    state: JobState
    marks: Sequence[JobState]


def folded(
    connection: Connection, job: str, until: datetime | None, held: JobState | None = None
) -> Folded:
    """The state of a job at a moment, from the nearest snapshot before it.

    held: a state of now that was worked out before, taken instead while nothing contradicts it.
    """
    if held is not None and until is None and _is_true_still(connection, held):
        base = held
    else:
        base = _nearest(connection, job, until) or JobState(job)
    state = replace(base, number=last_number(connection, job))
    stood = standing(_entries(connection, base, until))
    todo = [event for event in stood.events if is_news(event, base, until)]
    marks: list[JobState] = []
    for portion in portions(len(todo)):
        state = resume(state, stood._replace(events=todo[portion]))
        marks.append(state)
    rest = todo[state.events - base.events :]
    return Folded(resume(state, stood._replace(events=rest)), marks)


def portions(count: int) -> list[slice]:
    """Where to stop on the way through so many events: at the half of what is left each time.

    The last stop is the end itself; fewer than STEP events are not worth one.
    """
    if count < STEP:
        return []
    stops = [0]
    while count - stops[-1] >= 2 * STEP:
        stops.append((stops[-1] + count) // 2)
    stops.append(count)
    return [slice(*pair) for pair in pairwise(stops)]


def keep(connection: Connection, marks: Sequence[JobState]) -> None:
    """Keep snapshots, unless the record has grown since they were made; thin out the older ones."""
    job = marks[0].job
    held = select(tables.jobs.c.last).where(tables.jobs.c.job == job).with_for_update()
    if connection.execute(held).scalar() != marks[0].number:
        return
    for state in marks:
        _insert(connection, state)
    _thin(connection, job)


def _entries(connection: Connection, base: JobState, until: datetime | None) -> list[Entry]:
    """Events after a state and up to a moment, every correction, and all that was corrected."""
    later = select(*[_EVENTS[name] for name in ENTRY]).where(_EVENTS.job == base.job)
    corrections = later.where(_EVENTS.target > "")
    if base.last is not None:
        at = stamp(base.last)
        # The first half is what the index can follow.
        after = (_EVENTS.at > at) | (_EVENTS.number > base.last_number)
        later = later.where(_EVENTS.at >= at, after)
    if until is not None:
        later = later.where(_EVENTS.at <= stamp(until))
    found = list(entries_of(connection.execute(later.order_by(_EVENTS.at, _EVENTS.number))))
    more = list(entries_of(connection.execute(corrections)))
    if not more:
        return found
    wrong = tables.events.alias("wrong")
    joined = tables.events.join(wrong, wrong.c.id == _EVENTS.target)
    roots = select(*[wrong.c[name] for name in ENTRY]).select_from(joined)
    roots = roots.where(_EVENTS.job == base.job, _EVENTS.target > "", wrong.c.job == base.job)
    more += entries_of(connection.execute(roots))
    return list({entry.id: entry for entry in (*found, *more)}.values())


def _is_true_still(connection: Connection, held: JobState) -> bool:
    """Whether all that was written since happened later, and corrects nothing."""
    wanted = select(_EVENTS.id, _EVENTS.at, _EVENTS.target).where(_EVENTS.job == held.job)
    fresh = list(connection.execute(wanted.where(_EVENTS.number > held.number).limit(STEP)))
    if held.last is None or len(fresh) == STEP:
        return False
    last = stamp(held.last)
    if any(target is not None or at < last for _, at, target in fresh):
        return False
    return not corrected(connection, held.job, [name for name, _, _ in fresh])


def _nearest(connection: Connection, job: str, until: datetime | None) -> JobState | None:
    wanted = select(_MARKS.state).where(_MARKS.job == job, _MARKS.fold == version())
    if until is not None:
        wanted = wanted.where(_MARKS.at <= stamp(until))
    wanted = wanted.order_by(_MARKS.at.desc(), _MARKS.number.desc()).limit(1)
    kept = connection.execute(wanted).scalar()
    return None if kept is None else codec.read(kept)


def _insert(connection: Connection, state: JobState) -> None:
    assert state.last is not None  # something was folded
    place = {"job": state.job, "at": stamp(state.last), "number": state.last_number}
    same = [_MARKS[name] == value for name, value in place.items()]
    connection.execute(delete(tables.snapshots).where(*same))
    row = place | {"count": state.events, "fold": version(), "state": codec.written(state)}
    connection.execute(insert(tables.snapshots).values(row))


def _thin(connection: Connection, job: str) -> None:
    """Leave few: the further back, the wider apart; and none of another version."""
    connection.execute(delete(tables.snapshots).where(_MARKS.job == job, _MARKS.fold != version()))
    wanted = select(_MARKS.at, _MARKS.number, _MARKS.count).where(_MARKS.job == job)
    rows = list(connection.execute(wanted.order_by(_MARKS.count.desc())))
    for place in superfluous([count for *_, count in rows]):
        at, number, _ = rows[place]
        gone = delete(tables.snapshots).where(_MARKS.job == job, _MARKS.at == at)
        connection.execute(gone.where(_MARKS.number == number))


def superfluous(counts: Sequence[int]) -> list[int]:
    """Which of the snapshots can go, given how many events each knows, the newest first."""
    kept: list[int] = []
    gone: list[int] = []
    for place, count in enumerate(counts):
        gap = max(STEP, (counts[0] - count) // 3)
        if kept and counts[kept[-1]] - count < gap:
            gone.append(place)
        else:
            kept.append(place)
    return gone


@cache
def version() -> str:
    """Changes with the code that folds, so that a snapshot is never older than the rules."""
    folder = files("coatwright.record")
    code = b"".join((folder / name).read_bytes() for name in _FOLDING)
    return hashlib.sha256(code).hexdigest()[:16]
