"""How far the record of each job has come, told at once while nobody has written."""

import threading
from collections.abc import Mapping
from types import MappingProxyType
from typing import Any

from sqlalchemy import PoolProxiedConnection, select

from coatwright.record.store import tables
from coatwright.record.store.database import Database


class Heads:
    """Every job that something is known of, with the number of its last event.

    SQLite counts what other connections commit, so one that never writes learns of every change in
    a few microseconds, whichever process made it. PostgreSQL is asked each time.
    """

    def __init__(self, database: Database) -> None:
        self._database = database
        self._lock = threading.Lock()
        self._watch: PoolProxiedConnection | None = None
        self._version = -1
        self._known: Mapping[str, int] = {}

    def now(self) -> Mapping[str, int]:
        """As they are now. Raises StoreError if the record cannot be read."""
        if not self._database.sqlite:
            return self._read()
        with self._lock:
            version = self._data_version()
            if version != self._version:
                # Read after the count: what is written in between only has it read again.
                self._known, self._version = self._read(), version
            return self._known

    def close(self) -> None:
        """Let go of the connection that watches."""
        with self._lock:
            if self._watch is not None:
                self._watch.invalidate()
                self._watch = None

    def _data_version(self) -> int:
        if self._watch is None:
            self._watch = self._database.engine.raw_connection()
            self._version = -1
        driver: Any = self._watch.driver_connection
        return int(driver.execute("PRAGMA data_version").fetchone()[0])

    def _read(self) -> Mapping[str, int]:
        wanted = select(tables.jobs.c.job, tables.jobs.c.last).where(tables.jobs.c.last > 0)
        with self._database.reading() as connection:
            found = {str(job): int(last) for job, last in connection.execute(wanted)}
        return MappingProxyType(found)
