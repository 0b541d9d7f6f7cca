"""A day plan put away as text and brought back is the same day plan, to the minute."""

import json

import pytest

from coatwright.actions.workshop import open_bench
from coatwright.engines.timetable.checking import faults
from coatwright.planning.build import built
from coatwright.planning.day.anew.keeping import as_text, brought_back, put_away
from coatwright.planning.day.days import Away, Happening, plan_days, replan
from coatwright.planning.day.plan import DayPlan
from coatwright.sentences import Said
from day_floor import MINUTE, at, entries


@pytest.fixture(scope="module")
def made():
    bench = open_bench("practice")
    return built(bench.job, bench.shop)


@pytest.fixture(scope="module")
def day(made) -> DayPlan:
    return plan_days(made.asked, 2.0, made.plan.cautions)


def there_and_back(made, day: DayPlan) -> DayPlan:
    text = as_text(put_away(day))
    back = brought_back(made.asked, json.loads(text), day.cautions)
    assert as_text(put_away(back)) == text
    return back


def late(day: DayPlan) -> DayPlan:
    """The first coat took 20 min longer, and the shop closes at three."""
    coat = entries(day, "coat")[0]
    now = coat.end.value + 20 * MINUTE
    return replan(
        day, now, [Happening(coat.key, coat.start.value, now)],
        away=[Away("", at(1, "15:00"), at(2, "00:00"))],
    )  # fmt: skip


def test_as_arranged(made, day):
    back = there_and_back(made, day)
    assert back == day
    assert back.workings.made.problem == day.workings.made.problem


def test_as_arranged_anew(made, day):
    anew = late(day)
    back = there_and_back(made, anew)
    assert back == anew
    assert back.changes == anew.changes
    assert back.workings.made.problem == anew.workings.made.problem
    assert back.workings.made.outcome.timetable == anew.workings.made.outcome.timetable


def test_what_is_brought_back_is_planned_anew_like_what_never_left(made, day):
    anew = late(day)
    now = anew.workings.made.now * MINUTE + 5 * MINUTE
    later, same = replan(there_and_back(made, anew), now), replan(anew, now)
    assert later == same
    problem, timetable = later.workings.made.problem, later.workings.made.timetable
    assert faults(problem, timetable) == faults(problem, anew.workings.made.timetable)


def test_sentences_can_still_be_told_in_another_language(made, day):
    anew = late(day)
    for before, after in zip(anew.changes, there_and_back(made, anew).changes, strict=True):
        if isinstance(before, Said):
            assert (after.template, after.places) == (before.template, before.places)


def test_a_day_without_a_way_on_is_brought_back_with_its_clash(made, day):
    """From nine on the shop stays shut, for as long as anybody looks ahead."""
    now = at(1, "09:00")
    missed = [Happening(one.key, None) for one in day.entries if one.people]
    stuck = replan(day, now, missed, away=[Away("", now, at(400, "00:00"))])
    assert stuck.clash is not None
    back = there_and_back(made, stuck)
    assert back.clash == stuck.clash
    assert back.changes == stuck.changes


def test_other_work_is_not_brought_back(made, day):
    kept = json.loads(as_text(put_away(day)))
    assert brought_back(made.asked, kept | {"of": "0" * 64}) is None
    assert brought_back(made.asked, kept | {"version": 2}) is None
    assert brought_back(made.asked, {}) is None


@pytest.mark.slow
def test_the_demo(planned_demo):
    day, bench = planned_demo.day, open_bench("demo")
    made = built(bench.job, bench.shop)
    anew = replan(day, at(2, "10:00"))
    assert there_and_back(made, day) == day
    assert there_and_back(made, anew) == anew
    assert len(as_text(put_away(anew))) < 60_000
