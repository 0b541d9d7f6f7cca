"""The same events on SQLite and on PostgreSQL give the same record and the same state."""

from itertools import count

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from coatwright.record import events
from coatwright.record.fold import fold
from coatwright.record.store import snapshots
from coatwright.record.store.ledger import Record
from databases import new_postgresql
from happenings import JOB, Diary, minute, streams


def test_the_same_events_give_the_same_state_on_both(tmp_path):
    numbers = count()
    mine = f"sqlite:///{tmp_path}/record.db"
    with Record(mine, tmp_path / "a") as one, Record(new_postgresql(), tmp_path / "b") as two:

        @settings(max_examples=20, deadline=None, suppress_health_check=[HealthCheck.too_slow])
        @given(streams(), st.integers(0, 10_000))
        def check(stream, at):
            job = f"job-{next(numbers)}"
            renamed = _renamed(stream, job)
            for record in (one, two):
                for event in renamed:
                    record.write(event)
            state = one.state(job)
            assert state == two.state(job) == fold(job, one.events(job))
            assert one.state(job, minute(at)) == two.state(job, minute(at))
            bare = {"noted": None}
            assert [event.model_copy(update=bare) for event in one.events(job)] == [
                event.model_copy(update=bare) for event in two.events(job)
            ]

        check()


def _renamed(stream: list[events.Event], job: str) -> list[events.Event]:
    """The same stream as another job: identities are unique in the whole record."""
    made = []
    for event in stream:
        body = event.body
        if isinstance(body, events.Corrected):
            body = body.model_copy(update={"event": f"{body.event}-{job}"})
        if isinstance(body, events.Repaired) and body.defect:
            body = body.model_copy(update={"defect": f"{body.defect}-{job}"})
        new = {"id": f"{event.id}-{job}", "job": job, "body": body, "number": 0}
        made.append(event.model_copy(update=new))
    return made


def test_snapshots_on_both_as_late_events_and_corrections_come_in(record, monkeypatch):
    """Whatever comes in whatever order: from snapshots as from all the events."""
    monkeypatch.setattr(snapshots, "STEP", 5)
    numbers = count()

    @settings(max_examples=15, deadline=None, suppress_health_check=[HealthCheck.too_slow])
    @given(streams(), st.randoms(), st.lists(st.integers(0, 10_000), max_size=4))
    def check(stream, chance, moments):
        job = f"job-{next(numbers)}"
        renamed = _renamed(stream, job)
        chance.shuffle(renamed)
        for event in renamed:
            record.write(event)
            if chance.random() < 0.4:
                assert record.state(job) == fold(job, record.events(job))
        for at in moments:
            record._held.clear()
            assert record.state(job, minute(at)) == fold(job, record.events(job), minute(at))
        record._held.clear()
        assert record.state(job) == fold(job, record.events(job))

    check()


def test_a_diary_of_a_whole_job(record):
    diary = Diary(JOB, area="roof")
    for number in range(30):
        diary.coat(number * 30, f"product-{number % 3}")
    record.write_all(diary.events)
    assert record.state(JOB) == fold(JOB, diary.events)
