"""Every patch coat by coat, as the record has it: what may go on, from when, until when.

The times are the ones the coats were given (happenings.PLANNED: flash 10 min, next layer from 1 h
until 24 h after the end of the last coat): what is expected is counted by hand from those.
"""

import pytest

from coatwright.actions.checking.windows import windows_of
from coatwright.record import events
from coatwright.record.fold import fold
from happenings import JOB, Diary, minute
from sample_plan import sample_plan

HOUR, DAY = 60.0, 1440.0


def stood(diary: Diary, at: float, patch: str = "bare"):
    """The patch of the engine bay's bare steel: etch (1 coat), high-build (3), solid colour (2)."""
    found = windows_of(sample_plan(), fold(JOB, diary.events), minute(at))
    return next(one for one in found if (one.area, one.patch) == ("engine-bay", patch))


@pytest.fixture
def diary():
    return Diary(area="engine-bay", patch="bare")


def boxes(one):
    return [(layer.product, layer.laid, layer.coats) for layer in one.layers]


def test_nothing_laid(diary):
    one = stood(diary, 0)
    assert (one.standing, one.coat, one.due.product) == ("bare", 1, "etch")
    assert boxes(one) == [("etch", 0, 1), ("high-build", 0, 3), ("solid", 0, 2)]


@pytest.mark.parametrize(
    ("at", "standing", "opens", "shuts"),
    [
        (3, "spraying", None, None),
        (30, "waits", 5 + HOUR, 5 + DAY),
        (2 * HOUR, "open", None, 5 + DAY),
        (2 * DAY, "shut", None, 5 + DAY),
    ],
)
def test_the_next_layer(diary, at, standing, opens, shuts):
    diary.coat(0, "etch")
    diary.events[:] = [one for one in diary.events if one.at <= minute(at)]
    one = stood(diary, at)
    assert one.standing == standing
    assert one.opens == (None if opens is None else minute(opens))
    assert one.shuts == (None if shuts is None else minute(shuts))
    if standing != "spraying":
        assert (one.due.product, one.coat) == ("high-build", 1)


def test_a_further_coat_waits_for_the_flash_alone(diary):
    diary.coat(0, "etch")
    diary.coat(100, "high-build")
    one = stood(diary, 110)  # ended at 105, flashed at 115
    assert (one.due.product, one.coat, one.standing) == ("high-build", 2, "waits")
    assert (one.opens, one.shuts) == (minute(115), None)
    assert stood(diary, 116).standing == "open"


def test_abraded_after_it_had_shut_it_is_open_without_an_end(diary):
    diary.coat(0, "etch")
    diary.say(2 * DAY, events.RubbedDown(grade="P400"))
    one = stood(diary, 2 * DAY + 10)
    assert (one.standing, one.shuts) == ("open", None)


def test_a_rubbed_layer_gets_no_more_coats_of_its_own(diary):
    diary.coat(0, "etch")
    diary.coat(100, "high-build")
    diary.coat(200, "high-build", 2)
    diary.say(600, events.RubbedDown(grade="P400", product="high-build"))
    one = stood(diary, 700)
    assert (one.due.product, one.coat) == ("solid", 1)


def test_all_on(diary):
    diary.coat(0, "etch")
    for number in (1, 2, 3):
        diary.coat(100 * number, "high-build", number)
    for number in (1, 2):
        diary.coat(1000 + 100 * number, "solid", number)
    one = stood(diary, 2000)
    assert (one.standing, one.due, one.coat) == ("all on", None, 0)
    assert boxes(one) == [("etch", 1, 1), ("high-build", 3, 3), ("solid", 2, 2)]


def test_what_the_plan_does_not_know_is_not_judged(diary):
    diary.coat(0, "cellulose")
    assert stood(diary, 200).standing == "unknown"


def test_what_lapses_next_stands_first():
    diary = Diary(area="engine-bay", patch="bare")
    diary.coat(0, "etch")
    diary.area, diary.patch = "boot-lid", "old"
    diary.coat(30, "high-build")
    found = windows_of(sample_plan(), fold(JOB, diary.events), minute(2 * HOUR))
    laid = [(one.area, one.standing) for one in found if one.standing != "bare"]
    # boot lid: a second coat of the same has no end; the etch shuts.
    assert laid == [("engine-bay", "open"), ("boot-lid", "open")]
    assert [one.standing for one in found][-1] in ("bare", "all on")
