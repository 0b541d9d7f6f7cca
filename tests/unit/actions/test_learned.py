"""What the shop has learned, from lessons made by hand."""

import pytest

from coatwright.actions.learned import learned, learned_in
from coatwright.engines import learning
from coatwright.engines.learning import Observation
from coatwright.record import events
from coatwright.record.lessons import LeftOut, Lesson, Lessons
from coatwright.record.store.ledger import Record
from happenings import PLANNED, Diary


def lesson(number: int, value: float, painter: str = "a", job: str = "one") -> Lesson:
    return Lesson("speed", f"event-{number}", Observation(value, {"painter": painter, "job": job}))


HONEST = [lesson(i, v) for i, v in enumerate((0.20, 0.24, 0.17, 0.22, 0.26, 0.19, 0.23, 0.21))]


def test_each_member_is_told_before_and_after():
    found = learned([Lessons(tuple(HONEST), (LeftOut("event-99", "no scale"),))])
    [row] = found.taught
    assert (row.parameter, row.group, row.member, len(row.readings)) == ("speed", "painter", "a", 8)
    assert learning.mean(row.before) == pytest.approx(0.0)
    assert 0.1 < learning.mean(row.after) < 0.22
    assert learning.deviation(row.after) < 0.6 * learning.deviation(row.before)
    assert found.doubted == ()
    assert [left.event for left in found.left_out] == ["event-99"]


def test_what_the_class_cannot_explain_is_told():
    far = [lesson(i, 1.4 + 0.01 * i) for i in range(6)]
    [near_row], [far_row] = (learned([Lessons(tuple(x), ())]).taught for x in (HONEST, far))
    assert far_row.fits < 0.01 < near_row.fits


def test_a_blunder_is_named_by_its_event_and_kept():
    found = learned([Lessons((*HONEST, lesson(77, 2.4)), ())])
    assert [(one.parameter, one.event) for one in found.doubted] == [("speed", "event-77")]
    assert found.pools["speed"].tally.readings == 9


def test_jobs_add_up():
    second = [lesson(20 + i, 0.1, "b", "two") for i in range(3)]
    found = learned([Lessons(tuple(HONEST), ()), Lessons(tuple(second), ())])
    assert [row.member for row in found.taught] == ["a", "b"]
    assert found.pools["speed"].tally.readings == 11


def test_all_jobs_of_a_record_are_learned_from(tmp_path):
    record = Record(f"sqlite:///{tmp_path / 'shop.db'}", tmp_path)
    plan = PLANNED.model_copy(update={"trigger": 100.0})
    for name in ("first", "second"):
        diary = Diary(job=name, area="roof")
        diary.say(0, events.CoatBegun(product="primer", coat=1, planned=plan, hand="wren"))
        diary.say(5, events.CoatDone(product="primer", coat=1, trigger=80.0))
        record.write_all(
            [one.model_copy(update={"id": f"{name}-{one.id}"}) for one in diary.events]
        )
    [row] = learned_in(record).taught
    assert (row.parameter, row.member, len(row.readings)) == ("speed", "wren", 2)
