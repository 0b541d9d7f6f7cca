"""The job file is kept in the record: the latest one counts, earlier ones stay."""

from datetime import UTC, datetime, timedelta

from coatwright.record.events import Corrected, Described, said
from coatwright.record.fold import fold

NOON = datetime(2026, 5, 4, 12, tzinfo=UTC)


def test_the_latest_counts_and_a_struck_one_gives_way_to_the_one_before():
    one = said("job", "painter", NOON, Described(file="title = 'one'"))
    two = said("job", "painter", NOON + timedelta(hours=1), Described(file="title = 'two'"))
    state = fold("job", [two, one])
    assert state.described is not None
    assert (state.described.file, state.described.place.event) == ("title = 'two'", two.id)
    assert fold("job", [two, one], NOON).described.file == "title = 'one'"
    undone = said("job", "painter", NOON + timedelta(hours=2), Corrected(event=two.id, why="undo"))
    assert fold("job", [one, two, undone]).described.file == "title = 'one'"


def test_a_job_without_one_has_none():
    assert fold("job", []).described is None
