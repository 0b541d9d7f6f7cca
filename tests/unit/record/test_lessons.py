"""What a job teaches, worked out by hand beside each case."""

import math

import pytest

from coatwright.engines import learning
from coatwright.record import events
from coatwright.record.fold import fold
from coatwright.record.lessons import PARAMETERS, lessons_of, taught
from happenings import JOB, PLANNED, Diary

# 30 um on 2 m2 with half solids is 120 mL landed; 200 mL through the gun: 60 % of it stays.
PLAN = PLANNED.model_copy(
    update={"paint": 200e-6, "solids": 0.5, "density": 1200.0, "trigger": 100.0}
)
KEYS = {"painter": "painter", "gun": "hvlp", "product": "primer", "job": JOB}


class Coats(Diary):
    """A diary in which coats are sprayed, timed and weighed."""

    def sprayed(self, minute, number=1, used=200e-6, seconds=100.0, planned=PLAN, **more):
        more = {"gun": "hvlp", "hand": "painter"} | more
        self.say(minute, events.CoatBegun(product="primer", coat=number, planned=planned, **more))
        self.say(minute + 5, events.CoatDone(product="primer", coat=number, trigger=seconds))
        if used:
            cup = events.CupWeighed(
                product="primer", coat=number, before=1.0, after=1.0 - used * 1200.0
            )
            self.say(minute + 6, cup)

    def gauged(self, minute, *films, zero=0.0):
        self.say(minute, events.FilmRead(method="gauge", readings=films, zero=zero))

    def lessons(self, steps=None):
        return lessons_of(fold(JOB, self.events), steps)


@pytest.fixture
def diary():
    return Coats(area="roof")


def told(lessons, parameter):
    return [one.reading for one in lessons.lessons if one.parameter == parameter]


def test_a_coat_as_planned_teaches_zeros(diary):
    diary.sprayed(0)
    diary.gauged(60, 30e-6)
    found = diary.lessons()
    assert {one.parameter for one in found.lessons} == {"flow", "speed", "transfer", "paint"}
    for lesson in found.lessons:
        assert lesson.reading.value == pytest.approx(0.0, abs=1e-12)
        assert lesson.reading.keys == KEYS
    assert found.left_out == ()


def test_flow_speed_and_paint_by_hand(diary):
    """220 mL in 80 s against 200 mL in 100 s: speed 1.25, flow 1.375, paint 1.1."""
    diary.sprayed(0, used=220e-6, seconds=80.0)
    found = diary.lessons()
    [speed], [flow], [paint] = (told(found, name) for name in ("speed", "flow", "paint"))
    assert math.exp(speed.value) == pytest.approx(1.25)
    assert math.exp(flow.value) == pytest.approx(1.375)
    assert math.exp(paint.value) == pytest.approx(1.1)


def test_transfer_by_hand(diary):
    """Two coats foretold 60 um; 54 um found of 440 mL: 60 % x 0.9 / 1.1 = 49.1 % stayed."""
    diary.sprayed(0, 1, used=220e-6)
    diary.sprayed(20, 2, used=220e-6)
    diary.gauged(90, 60e-6, 58e-6, 62e-6, zero=6e-6)
    [shift] = told(diary.lessons(), "transfer")
    assert learning.shifted(0.6, shift.value) == pytest.approx(0.6 * 0.9 / 1.1)


def test_a_second_reading_tells_of_the_coats_since_the_first(diary):
    diary.sprayed(0, 1)
    diary.gauged(60, 30e-6)
    diary.sprayed(70, 2)
    diary.gauged(130, 55e-6)
    first, second = told(diary.lessons(), "transfer")
    assert first.value == pytest.approx(0.0, abs=1e-12)
    assert learning.shifted(0.6, second.value) == pytest.approx(0.6 * 25 / 30)


def test_a_coat_on_the_whole_area_is_counted_once(diary):
    diary.sprayed(0)
    diary.say(20, events.Found(what="filler", ground="filler"), patch="left")
    diary.say(21, events.Found(what="rust"), patch="right")
    assert len(told(diary.lessons(), "speed")) == 1


@pytest.mark.parametrize(
    ("spoil", "part"),
    [
        (lambda d: d.sprayed(0, used=None), "not weighed"),
        (lambda d: d.sprayed(0, planned=PLANNED), "not weighed"),
        (lambda d: (d.sprayed(0, 1), d.sprayed(9, 2, gun="spot")), "different guns"),
        (
            lambda d: (d.sprayed(0), d.say(30, events.RubbedDown(grade="P400", product="primer"))),
            "rubbed down",
        ),
        (lambda d: d.sprayed(0, used=80e-6), "stayed"),
    ],
)
def test_a_film_that_cannot_be_used_is_named_with_its_reason(diary, spoil, part):
    spoil(diary)
    diary.gauged(60, 30e-6)
    found = diary.lessons()
    assert told(found, "transfer") == []
    [left] = found.left_out
    assert part in left.why
    assert left.event == diary.events[-1].id


def test_without_a_scale_or_a_watch_there_is_less_to_learn(diary):
    diary.sprayed(0, used=None)
    diary.sprayed(20, 2, seconds=None)
    found = diary.lessons()
    assert len(told(found, "speed")) == 1
    assert len(told(found, "paint")) == 1
    assert told(found, "flow") == []


def test_minutes_of_a_finished_step(diary):
    diary.say(0, events.PaidTime(act="block", seconds=1800.0))
    diary.say(60, events.PaidTime(act="block", seconds=2700.0))
    diary.say(90, events.PaidTime(act="degrease", seconds=600.0))
    steps = {("roof", "block"): 3600.0, ("door", "block"): 3600.0}
    [took] = told(diary.lessons(steps), "minutes")
    assert math.exp(took.value) == pytest.approx(4500 / 3600)
    assert took.keys == {"painter": "Wren", "step": "block", "job": JOB}


def test_lessons_become_pools(diary):
    for number in range(1, 5):
        diary.sprayed(number * 10, number, seconds=80.0)
    pools = taught(diary.lessons().lessons)
    assert set(pools) == set(PARAMETERS)
    quick = learning.believed(pools["speed"], {"painter": "painter"})
    assert 0.05 < learning.mean(quick) < math.log(1.25)
    assert pools["minutes"].tally.readings == 0


def fluid(**more):
    told = {"gun": "hvlp", "product": "primer", "volumes": (50e-6, 50e-6, 50e-6),
            "seconds": (15.0, 15.0, 15.0), "mark": 1e-6, "expected": 50e-6 / 12.0}  # fmt: skip
    return events.FluidCaught(**told | more)


def test_a_fluid_test_teaches_the_flow_of_gun_and_product(diary):
    """50 mL in 15 s where 12 s were foretold: 0.8 of the flow, and counts as one coat."""
    diary.say(0, fluid())
    [flow] = told(diary.lessons(), "flow")
    assert math.exp(flow.value) == pytest.approx(0.8)
    assert flow.keys == {"painter": "Wren", "gun": "hvlp", "product": "primer", "job": JOB}
    assert flow.worth == 1.0


def test_a_rough_fluid_test_counts_for_less(diary):
    """10 mL to 5 mL in 3 s: 5/sqrt(12)/10 of cup, 0.1/3 of watch; 8 % is one reading's worth."""
    diary.say(0, fluid(volumes=(10e-6,), seconds=(3.0,), mark=5e-6))
    [flow] = told(diary.lessons(), "flow")
    assert flow.worth == pytest.approx(0.08**2 / ((0.5 / math.sqrt(12)) ** 2 + (0.1 / 3) ** 2))


def test_strokes_teach_the_speed_of_the_hand_that_made_them(diary):
    said = events.StrokesTimed(
        hand="learner", seconds=(2.0, 2.0, 2.0, 2.0), length=1.0, expected=0.4, gun="hvlp",
        product="primer",
    )  # fmt: skip
    diary.say(0, said)
    [speed] = told(diary.lessons(), "speed")
    assert math.exp(speed.value) == pytest.approx(0.5 / 0.4)
    assert speed.keys["painter"] == "learner"


@pytest.mark.parametrize(
    ("body", "part"),
    [
        (fluid(air=False), "air off"),
        (fluid(expected=None), "without a plan"),
        (
            events.StrokesTimed(hand="a", seconds=(2.0, 2.1, 2.2), length=1.0, dry=True),
            "without paint",
        ),
        (events.StrokesTimed(hand="a", seconds=(2.0, 2.1, 2.2), length=1.0), "without a plan"),
    ],
)
def test_a_trial_that_cannot_be_used_is_named_with_its_reason(diary, body, part):
    event = diary.say(0, body)
    found = diary.lessons()
    assert found.lessons == ()
    [left] = found.left_out
    assert part in left.why
    assert left.event == event.id


def test_a_trial_taken_back_teaches_nothing(diary):
    event = diary.say(0, fluid())
    diary.say(1, events.Corrected(event=event.id, why="the wrong cup"))
    found = diary.lessons()
    assert (found.lessons, found.left_out) == ((), ())
