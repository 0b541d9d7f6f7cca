"""The record of a shop: what happened to each of its jobs, and what follows from it."""

import gc
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager, suppress
from datetime import UTC, datetime
from pathlib import Path
from typing import Self

from sqlalchemy import select

from coatwright.errors import NotFound, StoreError
from coatwright.record.corrections import in_order
from coatwright.record.events import Described, Event
from coatwright.record.state import JobState
from coatwright.record.store import snapshots, tables, writer
from coatwright.record.store.database import Database
from coatwright.record.store.files import Files
from coatwright.record.store.heads import Heads
from coatwright.record.store.rows import EVENT, events_of, moment, stamp
from coatwright.record.store.told import Told

_EVENTS = tables.events.c


class Record:
    """A database of events and a folder of attached files, open for reading and writing."""

    def __init__(
        self, url: str, folder: Path, clock: Callable[[], datetime] = lambda: datetime.now(UTC)
    ) -> None:
        """Open the record at a database's address; make it, or bring it up to date, if need be.

        Raises StoreError if it cannot be reached, or was written by a newer Coatwright.
        """
        self.database = Database(url)
        self.files = Files(folder)
        self.clock = clock
        self._held: dict[str, JobState] = {}
        self._heads = Heads(self.database)
        self._told = Told()

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    def close(self) -> None:
        """Let go of the database."""
        self._heads.close()
        self.database.close()

    def write(self, event: Event) -> Event:
        """Keep an event; as stored, with its number, once it is on disk.

        Writing it again changes nothing and hands back what was stored. Raises StoreError if
        another event has its id.
        """
        return self.write_all((event,))[0]

    def write_all(self, events: Sequence[Event]) -> list[Event]:
        """Keep events, all of them or none; as stored, in the order given."""
        noted = self.clock()
        return self.database.writing(lambda found: writer.append(found, events, noted))

    def jobs(self) -> list[str]:
        """Keys of the jobs that something is known of."""
        wanted = select(tables.jobs.c.job).where(tables.jobs.c.last > 0)
        with self.database.reading() as connection:
            return list(connection.execute(wanted.order_by(tables.jobs.c.job)).scalars())

    def heads(self) -> Mapping[str, int]:
        """Every job that something is known of, with the number of its last event.

        It says at once whether anything was written since it was asked last, by whichever process.
        """
        return self._heads.now()

    def events(
        self, job: str, kinds: Iterable[str] = (), after: int = 0, most: int | None = None
    ) -> list[Event]:
        """Events of a job as they were written, in order of their numbers; corrections untouched.

        kinds: of these kinds alone. after: with a greater number. most: no more than so many.
        """
        named = tuple(kinds)
        if named or most is not None:
            return self._read(job, named, after, most)
        return self._told.events(
            job, self.heads().get(job, 0), after, lambda known: self._read(job, (), known, None)
        )

    def _read(self, job: str, kinds: Sequence[str], after: int, most: int | None) -> list[Event]:
        wanted = select(*[_EVENTS[name] for name in EVENT]).where(_EVENTS.job == job)
        if kinds:
            wanted = wanted.where(_EVENTS.kind.in_(kinds))
        wanted = wanted.where(_EVENTS.number > after).order_by(_EVENTS.number).limit(most)
        with self.database.reading() as connection:
            return list(events_of(connection.execute(wanted)))

    def event(self, name: str) -> Event:
        """An event by its id. Raises NotFound if there is none."""
        with self.database.reading() as connection:
            found = writer.find(connection, (name,))
        if name not in found:
            raise NotFound(f"there is no event {name} in the record")
        return found[name]

    def state(self, job: str, until: datetime | None = None) -> JobState:
        """What is true of a job, now or at a moment gone by; an unknown job has no events."""
        held = self._held.get(job)
        if until is None and held and held.number == self.heads().get(job, 0):
            return held
        with self.database.reading() as connection, _uninterrupted():
            state, marks = snapshots.folded(connection, job, until, held)
        if until is None:
            self._held[job] = state
        if marks:
            # Only a saving: if nobody may write now, the next one will.
            with suppress(StoreError):
                self.database.writing(lambda found: snapshots.keep(found, marks))
        return state

    def outline(self, job: str) -> tuple[str | None, datetime | None]:
        """The description of a job that counts, and the moment of its last event.

        As its state has them, but without folding all the others, unless something was corrected.
        """
        held = self._held.get(job)
        told = [] if held else self.events(job, ("described", "corrected"))
        bodies = [one.body for one in sorted(told, key=in_order)]
        described = [one for one in bodies if isinstance(one, Described)]
        if held or len(described) < len(bodies):
            state = self.state(job)
            return (state.described.file if state.described else None), state.last
        wanted = select(_EVENTS.at, _EVENTS.at_offset).where(_EVENTS.job == job)
        with self.database.reading() as connection:
            newest = wanted.order_by(_EVENTS.at.desc(), _EVENTS.number.desc()).limit(1)
            found = connection.execute(newest).first()
        file = described[-1].file if described else None
        return file, moment(*found) if found else None

    def attach(self, data: bytes, name: str = "") -> str:
        """Keep a file; its SHA-256, to be named as the evidence of an event."""
        sha256 = self.files.put(data)
        when = stamp(self.clock())
        self.database.writing(
            lambda found: writer.keep_attachment(found, sha256, name, len(data), when)
        )
        return sha256

    def attachment(self, sha256: str) -> bytes:
        """What is in an attached file. Raises NotFound, or StoreError if it was changed."""
        return self.files.get(sha256)

    def names(self, sha256s: Iterable[str]) -> dict[str, str]:
        """How attached files were called; a file never attached is left out."""
        wanted = tuple(dict.fromkeys(sha256s))
        with self.database.reading() as connection:
            rows = connection.execute(
                select(tables.attachments).where(tables.attachments.c.sha256.in_(wanted))
            )
            return {row.sha256: row.name for row in rows}


@contextmanager
def _uninterrupted() -> Iterator[None]:
    """Without garbage collection: a large state is many objects at once, none of them garbage."""
    was_on = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was_on:
            gc.enable()
