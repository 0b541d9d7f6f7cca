"""A database for the record: SQLite in its safest mode, or PostgreSQL by its address."""

import os
import random
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any, TypeVar

from sqlalchemy import Connection, Engine, create_engine, event, make_url, text
from sqlalchemy.exc import ArgumentError, DBAPIError, NoSuchModuleError, SQLAlchemyError

from coatwright.errors import StoreError
from coatwright.record.store.tables import HEAD

WAIT = 20.0
"""How long a writer waits for the others before it gives up [s]."""

_AGAIN = {"40001", "40P01", "55P03"}  # PostgreSQL: serialisation, deadlock, lock not available
Result = TypeVar("Result")


class Database:
    """Connections to one database whose tables are up to date."""

    def __init__(self, url: str) -> None:
        self.url = url
        self.engine = _engine(url)
        try:
            with told(url):
                self.attempt(_migrate)
                _sync_folder(self.engine)
        except StoreError:
            self.close()
            raise

    @property
    def sqlite(self) -> bool:
        """Whether it is SQLite."""
        return self.engine.dialect.name == "sqlite"

    @contextmanager
    def reading(self) -> Iterator[Connection]:
        """A connection that sees one moment of the database throughout."""
        with told(self.url), self.engine.connect() as connection:
            if not self.sqlite:
                connection.execution_options(isolation_level="REPEATABLE READ")
            with connection.begin():
                yield connection

    def writing(self, act: Callable[[Connection], Result]) -> Result:
        """What act returns once its transaction is on disk; tried again while others write."""
        with told(self.url):
            return self.attempt(act)

    def attempt(self, act: Callable[[Connection], Result]) -> Result:
        """Run act in a transaction that no other writer shares, again until WAIT is over."""
        until = time.monotonic() + WAIT
        while True:
            try:
                with self.engine.connect() as connection:
                    connection = connection.execution_options(writes=True)
                    with connection.begin():
                        return act(connection)
            except DBAPIError as fault:
                if not _busy(fault) or time.monotonic() > until:
                    raise
                time.sleep(random.uniform(0.002, 0.05))

    def close(self) -> None:
        """Let go of every connection."""
        self.engine.dispose()


@contextmanager
def told(url: str) -> Iterator[None]:
    """Turn what the database says into one sentence."""
    try:
        yield
    except (SQLAlchemyError, OSError) as fault:
        cause = getattr(fault, "orig", None) or fault
        words = " ".join(str(cause).split())
        where = make_url(url).render_as_string(hide_password=True)
        raise StoreError(f"the record cannot be read or written: {words}", where=where) from fault


def _engine(url: str) -> Engine:
    try:
        parsed = make_url(url)
        if parsed.get_backend_name() == "postgresql":
            parsed = parsed.set(drivername="postgresql+psycopg")
        engine = create_engine(parsed)
    except (ArgumentError, NoSuchModuleError, ModuleNotFoundError) as fault:
        raise StoreError(
            f"this address of a database cannot be used: {fault}",
            instead="write sqlite:///file.db, or postgresql://name@host/database with the extra "
            "'postgres' installed",
        ) from fault
    if engine.dialect.name not in ("sqlite", "postgresql"):
        raise StoreError(
            f"the record is not kept in {engine.dialect.name}",
            instead="write sqlite:///file.db or postgresql://name@host/database",
        )
    if engine.dialect.name == "sqlite":
        event.listen(engine, "connect", _set_up)
        event.listen(engine, "begin", _begin)
    return engine


def _set_up(connection: Any, _: object) -> None:
    """Write-ahead log, synced at every commit; transactions begin where we say."""
    connection.isolation_level = None
    connection.execute("PRAGMA busy_timeout = 10000")
    connection.execute("PRAGMA synchronous = FULL")
    connection.execute("PRAGMA recursive_triggers = ON")
    if connection.execute("PRAGMA journal_mode").fetchone()[0] != "wal":
        connection.execute("PRAGMA journal_mode = WAL")


def _begin(connection: Connection) -> None:
    """A writer takes its place at once, so that it never finds it taken half-way."""
    writes = connection.get_execution_options().get("writes")
    connection.exec_driver_sql("BEGIN IMMEDIATE" if writes else "BEGIN")


def _busy(fault: DBAPIError) -> bool:
    words = str(fault.orig)
    state = getattr(fault.orig, "sqlstate", None)
    return "database is locked" in words or "database is busy" in words or state in _AGAIN


def _migrate(connection: Connection) -> None:
    """Bring the tables up to date, one process at a time."""
    if connection.dialect.name == "postgresql":
        connection.execute(text("SELECT pg_advisory_xact_lock(7215019)"))
    found = version(connection)
    if found == HEAD:
        return
    from coatwright.record.store.migrations import upgrade  # Alembic is slow to load

    upgrade(connection)


def version(connection: Connection) -> str | None:
    """The migration the tables stand at; None if there are none."""
    if not connection.dialect.has_table(connection, "alembic_version"):
        return None
    found: str | None = connection.execute(text("SELECT version_num FROM alembic_version")).scalar()
    return found


def _sync_folder(engine: Engine) -> None:
    """A new database file must still be in its folder after the power fails."""
    file = engine.url.database
    if engine.dialect.name != "sqlite" or not file or file == ":memory:" or os.name == "nt":
        return
    folder = os.open(Path(file).resolve().parent, os.O_RDONLY)
    try:
        os.fsync(folder)
    finally:
        os.close(folder)
