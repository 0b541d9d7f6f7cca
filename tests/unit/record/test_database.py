"""Opening a database: its modes, its migrations, and what is said when it cannot be."""

import sqlite3
from contextlib import closing
from pathlib import Path

import pytest
from alembic.autogenerate import compare_metadata
from alembic.config import Config
from alembic.migration import MigrationContext
from alembic.script import ScriptDirectory
from sqlalchemy import text

import coatwright.record.store.migrations as migrations
from coatwright.errors import StoreError
from coatwright.record.store import database, tables
from coatwright.record.store.database import Database, version


@pytest.fixture
def opened(url):
    made = Database(url)
    yield made
    made.close()


def test_the_migrations_make_the_tables_that_the_code_uses(opened):
    with opened.reading() as connection:
        assert version(connection) == tables.HEAD
        differences = compare_metadata(MigrationContext.configure(connection), tables.metadata)
    assert differences == []


def test_a_column_without_a_migration_would_be_found(opened):
    def drop(connection):
        connection.execute(text("ALTER TABLE snapshots DROP COLUMN fold"))
        return compare_metadata(MigrationContext.configure(connection), tables.metadata)

    assert [change[0] for change in opened.attempt(drop)] == ["add_column"]


def test_head_is_the_last_migration():
    config = Config()
    config.set_main_option("script_location", str(Path(migrations.__file__).parent))
    config.set_main_option("path_separator", "os")
    assert ScriptDirectory.from_config(config).get_current_head() == tables.HEAD


def test_opening_again_changes_nothing(url, opened):
    again = Database(url)
    with again.reading() as connection:
        assert version(connection) == tables.HEAD
    again.close()


def test_a_record_of_a_newer_coatwright_is_left_alone(url, opened):
    opened.attempt(lambda found: found.execute(text("UPDATE alembic_version SET version_num='z'")))
    with pytest.raises(StoreError, match="written by a newer Coatwright than this one") as refused:
        Database(url)
    assert refused.value.instead.startswith("this one knows its tables up to 0001")


def test_sqlite_syncs_every_commit_to_disk(tmp_path):
    made = Database(f"sqlite:///{tmp_path}/record.db")
    with made.reading() as connection:
        assert connection.exec_driver_sql("PRAGMA journal_mode").scalar() == "wal"
        assert connection.exec_driver_sql("PRAGMA synchronous").scalar() == 2  # FULL
    made.close()


def test_a_writer_waits_for_another_and_then_says_that_it_is_busy(tmp_path, monkeypatch):
    monkeypatch.setattr(database, "WAIT", 0.0)
    made = Database(f"sqlite:///{tmp_path}/record.db")
    with closing(sqlite3.connect(tmp_path / "record.db", isolation_level=None)) as other:
        other.execute("BEGIN IMMEDIATE")

        def hurried(connection):
            raise AssertionError("it began while another was writing")

        monkeypatch.setattr(
            database, "_begin", lambda connection: connection.exec_driver_sql("BEGIN IMMEDIATE")
        )
        with made.engine.connect() as quick:
            quick.exec_driver_sql("PRAGMA busy_timeout = 0")
        with pytest.raises(StoreError, match="database is locked"):
            made.writing(hurried)
        other.execute("ROLLBACK")
    assert made.writing(lambda connection: connection.exec_driver_sql("SELECT 7").scalar()) == 7
    made.close()


@pytest.mark.parametrize(
    ("address", "words"),
    [
        ("nonsense", "this address of a database cannot be used"),
        ("mysql://nobody@nowhere/none", "this address of a database cannot be used"),
        ("sqlite:///no/such/folder/record.db", "unable to open database file"),
        ("postgresql://nobody:hidden@/none?host=/no/such/folder", "the record cannot be read"),
    ],
)
def test_an_address_that_does_not_work_is_told_in_a_sentence(address, words):
    with pytest.raises(StoreError, match=words) as refused:
        Database(address)
    assert "hidden" not in refused.value.sentence
    assert "\n" not in refused.value.sentence
