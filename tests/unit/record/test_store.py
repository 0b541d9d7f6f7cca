"""The record on SQLite and on PostgreSQL: one suite, both databases."""

import multiprocessing
from datetime import UTC, datetime, timedelta, timezone
from itertools import pairwise

import pytest
from sqlalchemy import text
from sqlalchemy.exc import DBAPIError

from coatwright.errors import NotFound, StoreError
from coatwright.record import events
from coatwright.record.fold import fold
from coatwright.record.store import snapshots
from coatwright.record.store.ledger import Record
from happenings import JOB, PLANNED, Diary, minute

NOW = datetime(2031, 6, 1, tzinfo=UTC)


def notes(count: int, job: str = JOB) -> list[events.Event]:
    diary = Diary(job)
    for number in range(count):
        diary.say(number, events.Note(text=f"note {number}"))
    return [one.model_copy(update={"number": 0, "id": f"{job}-{one.id}"}) for one in diary.events]


def test_an_event_comes_back_as_it_was_written(record):
    record.clock = lambda: NOW
    zone = timezone(timedelta(hours=5, minutes=45))
    given = events.Event(
        id="an-id-of-my-own",
        job=JOB,
        at=datetime(2031, 5, 5, 12, 30, 0, 123457, tzinfo=zone),
        who="Wren µ",
        area="roof",
        patch="left",
        plan="v7",
        evidence=("ab" * 32, "cd" * 32),
        body=events.CoatBegun(product="epoxy", coat=1, planned=PLANNED),
    )
    kept = record.write(given)
    assert kept == given.model_copy(update={"number": 1, "noted": NOW})
    assert record.events(JOB) == [kept]
    assert record.event("an-id-of-my-own").at.utcoffset() == timedelta(hours=5, minutes=45)


def test_numbers_have_no_gap_in_each_job(record):
    record.write_all([*notes(3), *notes(2, "other")])
    record.write(notes(4)[3])
    assert [one.number for one in record.events(JOB)] == [1, 2, 3, 4]
    assert [one.number for one in record.events("other")] == [1, 2]
    assert record.jobs() == [JOB, "other"]


def test_written_twice_counts_once(record):
    first = notes(1)[0]
    kept = record.write(first)
    assert record.write(first) == kept
    assert record.write_all([first, notes(2)[1], first]) == [kept, record.events(JOB)[1], kept]
    assert len(record.events(JOB)) == 2


def test_another_event_under_the_same_id_is_refused(record):
    first = notes(1)[0]
    record.write(first)
    other = first.model_copy(update={"body": events.Note(text="something else")})
    with pytest.raises(StoreError) as refused:
        record.write(other)
    assert refused.value.sentence == (
        f"event {first.id} is in the record of job {JOB} already and says something else; "
        "give a new event an id of its own; change an old one with a correction"
    )
    with pytest.raises(StoreError, match="says something else"):
        record.write(first.model_copy(update={"job": "other"}))
    assert len(record.events(JOB)) == 1
    assert record.jobs() == [JOB]


def test_all_of_several_events_or_none(record):
    one, two = notes(2)
    record.write(one)
    wrong = one.model_copy(update={"who": "somebody else"})
    with pytest.raises(StoreError, match="says something else"):
        record.write_all([two, wrong])
    assert len(record.events(JOB)) == 1
    assert record.write(two).number == 2


@pytest.mark.parametrize("table", ["events", "attachments"])
@pytest.mark.parametrize(
    "act", ["UPDATE {} SET noted = 1", "DELETE FROM {}", "TRUNCATE {}", "REPLACE"]
)
def test_the_database_itself_refuses_to_change_what_happened(record, table, act):
    sqlite = record.database.sqlite
    if act.startswith("TRUNCATE") and sqlite:
        act = "DELETE FROM {} WHERE 1"
    if act == "REPLACE":
        act = "INSERT OR REPLACE INTO {0} SELECT * FROM {0}" if sqlite else "DELETE FROM {}"
    record.write_all(notes(2))
    record.attach(b"a picture")
    with pytest.raises(DBAPIError, match="the record only grows"):
        record.database.attempt(lambda found: found.execute(text(act.format(table))))
    assert len(record.events(JOB)) == 2


def test_events_by_kind_and_from_a_number_on(record):
    diary = Diary()
    diary.say(0, events.Note(text="one"))
    diary.say(1, events.Degreased())
    diary.say(2, events.Note(text="two"))
    diary.say(3, events.Note(text="three"))
    record.write_all(diary.events)
    found = record.events(JOB, kinds=["note"], after=1, most=1)
    assert [one.body.text for one in found] == ["two"]


def test_no_such_event(record):
    with pytest.raises(NotFound, match="there is no event nothing in the record"):
        record.event("nothing")


def test_attached_files_are_kept_by_what_is_in_them(record):
    name = record.attach(b"a picture", "left.jpg")
    assert record.attach(b"a picture", "again.jpg") == name
    assert record.attachment(name) == b"a picture"
    assert record.names([name, "ff" * 32]) == {name: "left.jpg"}
    place = record.files.folder / name[:2] / name
    place.write_bytes(b"b picture")
    with pytest.raises(StoreError, match=f"the attached file {name} was changed or damaged"):
        record.attachment(name)
    assert record.attach(b"a picture") == name
    assert record.attachment(name) == b"a picture"
    with pytest.raises(NotFound, match="is not there"):
        record.attachment("0" * 64)
    with pytest.raises(NotFound, match=r"'\.\./\.\./etc/passwd' is not the SHA-256 of a file"):
        record.attachment("../../etc/passwd")


def test_a_file_that_cannot_be_kept_says_so(record, tmp_path):
    record.files.folder = tmp_path / "a-file"
    (tmp_path / "a-file").write_text("no folder")
    with pytest.raises(StoreError, match="a file cannot be kept"):
        record.attach(b"a picture")


def long_diary(count: int) -> Diary:
    diary = Diary(area="roof")
    for number in range(count // 4):
        diary.coat(number * 20, f"product-{number % 5}")
        diary.say(number * 20 + 6, events.ClimateRead(air=280.0 + number % 20))
        diary.say(number * 20 + 7, events.PaidTime(act="spraying", seconds=300))
    return diary


@pytest.fixture
def small_steps(monkeypatch):
    monkeypatch.setattr(snapshots, "STEP", 20)


def marks(record) -> list[int]:
    with record.database.reading() as connection:
        rows = connection.execute(text("SELECT count FROM snapshots ORDER BY count"))
        return list(rows.scalars())


def test_a_state_from_snapshots_is_the_state_from_all_events(record, small_steps):
    diary = long_diary(200)
    record.write_all(diary.events[:150])
    assert record.state(JOB) == fold(JOB, diary.events[:150])
    # Half of what is left each time: 75, 112, 131, 150; 131 is nearer to the end than a step.
    assert marks(record) == [75, 112, 150]
    record.write_all(diary.events[150:])
    assert record.state(JOB) == fold(JOB, diary.events)
    for at in (-5, 0, 3, 17, 303, 555, 990):
        assert record.state(JOB, minute(at)) == fold(JOB, diary.events, minute(at))


def test_the_second_time_only_what_is_new_is_read(record, small_steps, monkeypatch):
    diary = long_diary(200)
    record.write_all(diary.events)
    record.state(JOB)
    read = []
    entries_of = snapshots.entries_of

    def counted(rows):
        read.extend(found := list(entries_of(rows)))
        return iter(found)

    monkeypatch.setattr(snapshots, "entries_of", counted)
    assert record.state(JOB) is record.state(JOB)
    record._held.clear()
    assert record.state(JOB) == fold(JOB, diary.events)
    assert read == []
    diary.say(6000, events.Note(text="new"))
    record.write(diary.events[-1])
    assert record.state(JOB) == fold(JOB, diary.events)
    assert [entry.id for entry in read] == [diary.events[-1].id]


@pytest.mark.parametrize("back", [5, 60, 150, 199])
def test_a_correction_of_an_older_event_takes_later_snapshots_out(record, small_steps, back):
    diary = long_diary(200)
    record.write_all(diary.events)
    record.state(JOB)
    before = marks(record)
    wrong = diary.events[-1 - back]
    diary.say(5000, events.Corrected(event=wrong.id, why="it did not happen"))
    record.write(diary.events[-1])
    assert marks(record) == [count for count in before if count < 200 - back]
    assert record.state(JOB) == fold(JOB, diary.events)


def test_a_correction_of_a_correction_reaches_back_to_where_the_event_stood(record, small_steps):
    diary = long_diary(200)
    wrong = diary.events[190]
    moved = events.Corrected(
        event=wrong.id, why="wrong hour", body=events.Note(text="moved"), at=minute(50)
    )
    diary.say(2000, moved)
    record.write_all(diary.events)
    assert record.state(JOB) == fold(JOB, diary.events)
    diary.say(2001, events.Corrected(event=diary.events[-1].id, why="the hour was right"))
    record.write(diary.events[-1])
    assert record.state(JOB) == fold(JOB, diary.events)
    diary.say(2002, events.Corrected(event=diary.events[-1].id, why="no, it was wrong"))
    record.write(diary.events[-1])
    assert record.state(JOB) == fold(JOB, diary.events)


def test_an_event_that_comes_late_and_one_a_correction_waited_for(record, small_steps):
    diary = long_diary(200)
    late = [diary.events[40], diary.events[120]]
    rest = [event for event in diary.events if event not in late]
    strike = events.Corrected(event=late[1].id, why="it did not happen")
    rest.append(late[0].model_copy(update={"id": "the-strike", "body": strike, "at": minute(7000)}))
    record.write_all(rest)
    assert record.state(JOB) == fold(JOB, record.events(JOB))
    for event in late:
        record.write(event)
        assert record.state(JOB) == fold(JOB, record.events(JOB))


def test_a_late_event_among_newer_ones_takes_snapshots_out(record, small_steps):
    diary = long_diary(200)
    late = diary.events[60]
    record.write_all([event for event in diary.events if event is not late])
    record.state(JOB)
    diary.say(9000, events.Note(text="new"))
    record.write_all([diary.events[-1], late])
    record._held.clear()
    assert record.state(JOB) == fold(JOB, record.events(JOB))


def test_a_correction_that_came_first_moves_its_event_to_before_snapshots(record, small_steps):
    diary = long_diary(200)
    late = diary.events[150]
    said = events.Corrected(
        event=late.id, why="the hour", body=events.Note(text="early"), at=minute(10)
    )
    move = late.model_copy(update={"id": "the-move", "body": said, "at": minute(20)})
    record.write_all([move, *(event for event in diary.events if event is not late)])
    record.state(JOB)
    record.write(late)
    record._held.clear()
    assert record.state(JOB) == fold(JOB, record.events(JOB))


def test_a_snapshot_is_not_kept_if_the_record_has_grown_meanwhile(record, small_steps):
    diary = long_diary(200)
    record.write_all(diary.events[:100])
    with record.database.reading() as connection:
        _, made = snapshots.folded(connection, JOB, None)
    record.write_all(diary.events[100:])
    record.database.writing(lambda connection: snapshots.keep(connection, made))
    assert marks(record) == []


def test_a_held_state_goes_on_with_what_is_new(record, monkeypatch):
    diary = long_diary(40)
    record.write_all(diary.events)
    first = record.state(JOB)
    diary.say(9000, events.Note(text="new"))
    record.write(diary.events[-1])

    def never(*_):
        raise AssertionError("it went back to the database for what it held")

    with monkeypatch.context() as changed:
        changed.setattr(snapshots, "_nearest", never)
        assert record.state(JOB) == fold(JOB, diary.events)
    assert record.state(JOB) != first
    for body in (
        events.Corrected(event=diary.events[3].id, why="it did not happen"),
        events.Note(text="late"),
    ):
        diary.say(5, body)
        record.write(diary.events[-1])
        assert record.state(JOB) == fold(JOB, diary.events)


def test_a_snapshot_of_another_fold_is_passed_over(record, small_steps, monkeypatch):
    diary = long_diary(100)
    record.write_all(diary.events)
    record.state(JOB)
    with monkeypatch.context() as changed:
        changed.setattr(snapshots, "version", lambda: "another")
        record._held.clear()
        assert record.state(JOB) == fold(JOB, diary.events)
    record._held.clear()
    assert record.state(JOB) == fold(JOB, diary.events)


def test_snapshots_are_wider_apart_the_further_back():
    counts = list(range(100_000, 0, -snapshots.STEP))
    gone = snapshots.superfluous(counts)
    kept = [count for place, count in enumerate(counts) if place not in gone]
    assert kept[:3] == [100_000, 99_000, 98_000]
    assert len(kept) < 20
    assert all(a - b <= max(4000, (100_000 - b) / 2) for a, b in pairwise(kept))


def test_a_job_nobody_wrote_of(record):
    assert record.state("nothing") == fold("nothing", [])


def _write_some(url, folder, start, count):
    with Record(url, folder) as record:
        for number in range(count):
            record.write(events.said("shared", "Wren", minute(number), events.Note(text=start)))


def test_several_processes_write_at_once(url, tmp_path):
    context = multiprocessing.get_context("spawn")
    writers = [
        context.Process(target=_write_some, args=(url, tmp_path / "files", name, 25))
        for name in ("a", "b", "c")
    ]
    for writer in writers:
        writer.start()
    for writer in writers:
        writer.join(60)
    assert [writer.exitcode for writer in writers] == [0, 0, 0]
    with Record(url, tmp_path / "files") as record:
        kept = record.events("shared")
    assert [one.number for one in kept] == list(range(1, 76))
    assert sorted(one.body.text for one in kept) == ["a"] * 25 + ["b"] * 25 + ["c"] * 25
