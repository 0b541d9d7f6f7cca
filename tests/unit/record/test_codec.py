"""A state as JSON and back."""

import json
from datetime import timedelta, timezone

from hypothesis import given

from coatwright.record import events
from coatwright.record.fold import fold
from coatwright.record.state import JobState
from coatwright.record.store.codec import read, written
from happenings import JOB, Diary, streams


@given(streams())
def test_what_is_written_is_read_back(stream):
    state = fold(JOB, stream)
    assert read(written(state)) == state


def test_a_moment_keeps_its_time_zone():
    diary = Diary()
    said = diary.say(0, events.Note(text="late"))
    zone = timezone(timedelta(hours=-3, minutes=-30))
    moved = said.model_copy(update={"at": said.at.astimezone(zone)})
    back = read(written(fold(JOB, [moved]))).notes[0].place.at
    assert back == said.at
    assert back.utcoffset() == timedelta(hours=-3, minutes=-30)


def test_a_coat_on_many_patches_is_written_once():
    diary = Diary(area="roof")
    for patch in ("left", "right", "middle"):
        diary.say(0, events.Degreased(), patch=patch)
    diary.coat(1, "epoxy")
    text = written(fold(JOB, diary.events))
    assert json.loads(text)["LaidCoat"][""] == 1
    state = read(text)
    left, right = (state.patch("roof", one).last_coat for one in ("left", "right"))
    assert left is right


def test_nothing_at_all():
    assert read(written(JobState(JOB))) == JobState(JOB)
