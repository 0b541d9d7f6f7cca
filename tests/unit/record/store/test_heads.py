"""How far each job has come, told at once; events once read, not read again; a job in outline."""

from datetime import UTC, datetime, timedelta

import pytest

from coatwright.record import events
from coatwright.record.store import told
from coatwright.record.store.ledger import Record
from coatwright.record.store.told import Told

START = datetime(2031, 5, 5, 8, tzinfo=UTC)


def note(number, job="one", text="note"):
    at = START + timedelta(minutes=number)
    return events.said(job, "painter", at, events.Note(text=f"{text} {number}"))


def described(number, title, job="one"):
    at = START + timedelta(minutes=number)
    return events.said(job, "painter", at, events.Described(file=f'title = "{title}"', what="x"))


def test_what_anybody_writes_is_told_at_once(record):
    assert dict(record.heads()) == {}
    with Record(record.database.url, record.files.folder) as other:
        for number in (1, 2, 3):
            other.write(note(number))
            assert dict(record.heads()) == {"one": number}
        record.write(note(4, "two"))
        assert dict(other.heads()) == dict(record.heads()) == {"one": 3, "two": 1}


def test_nothing_is_asked_of_the_database_while_nobody_writes(record, monkeypatch):
    if not record.database.sqlite:
        pytest.skip("PostgreSQL is asked each time")
    record.write(note(1))
    before = record.heads()
    monkeypatch.setattr(record.database, "reading", None)
    assert record.heads() is before


def test_events_held_are_those_of_the_record_whoever_wrote_them(record):
    with Record(record.database.url, record.files.folder) as other:
        for number in range(1, 8):
            (record if number % 2 else other).write(note(number))
            assert record.events("one") == other.events("one")
            for after in range(number + 1):
                assert record.events("one", after=after) == record.events("one")[after:]
    with Record(record.database.url, record.files.folder) as fresh:
        assert fresh.events("one", after=3) == record.events("one")[3:]
        assert fresh.events("one") == record.events("one")
    assert [one.number for one in record.events("one", ("note",), after=2, most=3)] == [3, 4, 5]


def test_only_what_is_new_is_read():
    asked = []

    def read(known):
        asked.append(known)
        return [one for one in stored if one.number > known]

    stored = [note(n).model_copy(update={"number": n}) for n in (1, 2)]
    held = Told()
    assert held.events("one", 2, 0, read) == stored
    assert held.events("one", 2, 1, read) == stored[1:]
    stored.append(note(3).model_copy(update={"number": 3}))
    assert held.events("one", 3, 0, read) == stored
    assert asked == [0, 2]
    held.events("one", 3, 0, read).clear()  # what is handed out is the asker's own
    assert held.events("one", 3, 0, read) == stored


def test_no_more_is_held_than_was_said_those_asked_for_last():
    stored = {
        job: [note(n, job).model_copy(update={"number": n}) for n in range(1, 5)]
        for job in ("one", "two", "three")
    }
    asked = []

    def ask(job, held):
        def read(known):
            asked.append((job, known))
            return stored[job][known:]

        return held.events(job, 4, 0, read)

    held = Told(most=9)
    for job in ("one", "two", "one", "three", "one", "two"):
        assert ask(job, held) == stored[job]
    assert asked == [("one", 0), ("two", 0), ("three", 0), ("two", 0)]
    small = Told(most=3)
    assert ask("one", small) == ask("one", small) == stored["one"]
    assert told.MOST > 10_000


def test_the_outline_of_a_job_is_that_of_its_state(record):
    def same():
        with Record(record.database.url, record.files.folder) as fresh:
            outline = fresh.outline("one")  # without any state held
            state = fresh.state("one")
            assert outline == fresh.outline("one")
            assert outline == (state.described and state.described.file, state.last)

    same()
    record.write(note(1))
    same()
    first = record.write(described(2, "first"))
    same()
    record.write(described(9, "second"))
    record.write(described(5, "told late, and so before it"))
    last = record.write(note(20))
    same()
    assert record.outline("one")[0] == 'title = "second"'
    for number, wrong in ((30, last), (31, first)):
        at = START + timedelta(minutes=number)
        record.write(events.said("one", "painter", at, events.Corrected(event=wrong.id, why="no")))
        same()
