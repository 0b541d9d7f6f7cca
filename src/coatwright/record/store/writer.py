"""Putting events into the record: each once, numbered without a gap, on disk before it is said."""

from collections.abc import Iterable, Sequence
from datetime import datetime

from sqlalchemy import Connection, delete, insert, select, update
from sqlalchemy.dialects import postgresql

from coatwright.errors import StoreError
from coatwright.record.events import Corrected, Event, body_reader
from coatwright.record.store import tables
from coatwright.record.store.rows import EVENT, chunks, events_of, row_of, same, stamp

_EVENTS = tables.events.c


def append(connection: Connection, events: Sequence[Event], noted: datetime) -> list[Event]:
    """Put events of one or several jobs in, in the order given; as stored, numbers and all.

    One that is there already, saying the same, is handed back as it was stored. Raises StoreError
    if it says something else. An event that carries when it was noted (from an archive) keeps it.
    """
    placed: dict[str, Event] = {}
    for job in dict.fromkeys(event.job for event in events):
        own = [event for event in events if event.job == job]
        placed |= _append(connection, job, own, noted)
    return [placed[event.id] for event in events]


def _append(
    connection: Connection, job: str, events: Sequence[Event], noted: datetime
) -> dict[str, Event]:
    last = _take_place(connection, job)
    placed = find(connection, [event.id for event in events])
    fresh: list[Event] = []
    for event in events:
        if event.id in placed:
            _must_agree(placed[event.id], event)
            continue
        number = last + len(fresh) + 1
        kept = event.model_copy(update={"number": number, "noted": event.noted or noted})
        placed[event.id] = kept
        fresh.append(kept)
    if fresh:
        rows = [row_of(event) | _added(event) for event in fresh]
        connection.execute(insert(tables.events), rows)
        _forget(connection, job, fresh)
    latest = update(tables.jobs).where(tables.jobs.c.job == job)
    connection.execute(latest.values(last=last + len(fresh)))
    return placed


def _take_place(connection: Connection, job: str) -> int:
    """The job's last number; until the transaction ends nobody else can give the next one."""
    held = select(tables.jobs.c.last).where(tables.jobs.c.job == job).with_for_update()
    last = connection.execute(held).scalar()
    if last is not None:
        return int(last)
    fresh = {"job": job, "last": 0}
    if connection.dialect.name == "sqlite":
        connection.execute(insert(tables.jobs).values(fresh))
    else:
        wanted = postgresql.insert(tables.jobs).values(fresh)
        connection.execute(wanted.on_conflict_do_nothing())
    return int(connection.execute(held).scalar_one())


def last_number(connection: Connection, job: str) -> int:
    """Number of a job's newest event; 0 if nobody wrote of it."""
    wanted = select(tables.jobs.c.last).where(tables.jobs.c.job == job)
    return int(connection.execute(wanted).scalar() or 0)


def find(connection: Connection, ids: Sequence[str]) -> dict[str, Event]:
    """Those of the events that are in the record."""
    columns = [_EVENTS[name] for name in EVENT]
    found: dict[str, Event] = {}
    for some in chunks(ids):
        rows = connection.execute(select(*columns).where(_EVENTS.id.in_(some)))
        found |= {event.id: event for event in events_of(rows)}
    return found


def _must_agree(kept: Event, given: Event) -> None:
    if not same(kept, given):
        raise StoreError(
            f"event {given.id} is in the record of job {kept.job} already and says something else",
            instead="give a new event an id of its own; change an old one with a correction",
        )


def _added(event: Event) -> dict[str, int]:
    assert event.noted is not None
    return {"number": event.number, "noted": stamp(event.noted)}


def _forget(connection: Connection, job: str, fresh: Sequence[Event]) -> None:
    """Take out the snapshots that did not know these events."""
    marks = tables.snapshots.c
    own = delete(tables.snapshots).where(marks.job == job)
    plain = [stamp(event.at) for event in fresh if not isinstance(event.body, Corrected)]
    if plain:
        connection.execute(own.where(marks.at > min(plain)))
    touched = _touched(connection, job, fresh)
    if touched:
        connection.execute(own.where(marks.at >= min(touched)))


def _touched(connection: Connection, job: str, fresh: Sequence[Event]) -> list[int]:
    """Moments at which the fold may go another way because of corrections among the fresh events.

    From each correction up to the event at its root and down to every other correction of it: where
    the root stood before and stands now is one of the moments that these name.
    """
    names = {event.body.event for event in fresh if isinstance(event.body, Corrected)}
    names |= corrected(connection, job, [event.id for event in fresh])
    moments: list[int] = []
    seen: set[str] = set()
    while names:
        seen |= names
        found = [*_by(connection, job, "id", names), *_by(connection, job, "target", names)]
        moments += [when for row in found for when in row[2]]
        names = {name for row in found for name in row[:2] if name} - seen
    return moments


def corrected(connection: Connection, job: str, ids: Sequence[str]) -> set[str]:
    """Those of the events that some correction was waiting for."""
    found: set[str] = set()
    for some in chunks(ids):
        wanted = select(_EVENTS.target).where(_EVENTS.job == job, _EVENTS.target.in_(some))
        found |= set(connection.execute(wanted).scalars())
    return found


def _by(
    connection: Connection, job: str, column: str, names: Iterable[str]
) -> list[tuple[str, str | None, list[int]]]:
    """Id, target and moments of events: its own, or of a correction the one it names."""
    wanted = select(_EVENTS.id, _EVENTS.target, _EVENTS.at, _EVENTS.body).where(_EVENTS.job == job)
    rows = [
        row
        for some in chunks(list(names))
        for row in connection.execute(wanted.where(_EVENTS[column].in_(some)))
    ]
    return [(id_, target, _moments(target, at, body)) for id_, target, at, body in rows]


def _moments(target: str | None, at: int, body: str) -> list[int]:
    if target is None:
        return [at]
    said = body_reader().validate_json(body)
    assert isinstance(said, Corrected)
    return [] if said.at is None else [stamp(said.at)]


def keep_attachment(connection: Connection, sha256: str, name: str, size: int, when: int) -> None:
    """Note an attached file; one noted before keeps its first name."""
    row = {"sha256": sha256, "name": name, "size": size, "noted": when}
    if connection.dialect.name == "sqlite":
        known = select(tables.attachments).where(tables.attachments.c.sha256 == sha256)
        if connection.execute(known).first() is None:
            connection.execute(insert(tables.attachments).values(row))
        return
    wanted = postgresql.insert(tables.attachments).values(row)
    connection.execute(wanted.on_conflict_do_nothing())
