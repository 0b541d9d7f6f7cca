"""Days planned anew from a moment: what happened stays, the rest changes as little as it can."""

from coatwright.engines.timetable.checking import faults
from coatwright.planning.day.days import Happening, plan_works, replan
from coatwright.planning.day.plan import DayPlan
from coatwright.planning.day.works import Follow
from day_floor import HOUR, MINUTE, act, area, asked, at, entries, layer, sheet


def two_areas() -> DayPlan:
    """Door and wing, two coats each with 15 min of flash-off between."""
    paint = sheet("paint", flash=15 * MINUTE, pot=4 * HOUR)
    works = [area(key, layer(paint, 2, acts=(act("degrease", 6),))) for key in ("door", "wing")]
    return plan_works(asked(paint), works)


def starts(day: DayPlan) -> dict[str, float]:
    return {one.key: one.start.value for one in day.entries}


def test_as_planned_nothing_changes():
    day = two_areas()
    now = entries(day, "coat")[1].start.value + MINUTE
    anew = replan(day, now)
    assert anew.changes == ("Nothing else has to change.",)
    assert starts(anew) == starts(day)
    states = {one.state for one in anew.entries if one.people and one.end.value <= now}
    assert states == {"done"}


def test_before_anything_began_nothing_changes():
    day = two_areas()
    assert starts(replan(day, 0.0)) == starts(day)


def test_a_coat_that_runs_late_moves_what_follows_and_keeps_the_past():
    """The first coat ends 40 min late: later work of the one person moves, none of the past."""
    day = two_areas()
    first = entries(day, "coat")[0]
    late = first.end.value + 40 * MINUTE
    anew = replan(day, late, [Happening(first.key, first.start.value, late)])
    assert anew.clash is None
    past = {k: v for k, v in starts(day).items() if v <= first.start.value}
    assert {k: starts(anew)[k] for k in past} == past
    coats = entries(anew, "coat")
    assert [one.state for one in coats] == ["done", "planned", "planned", "planned"]
    assert coats[0].end.value == late
    assert coats[1].start.value >= late
    again = [one for one in coats if one.area == first.area][1]
    assert again.start.value >= late + 15 * MINUTE
    assert any("later" in sentence for sentence in anew.changes)


def test_a_coat_still_going_on_is_begun():
    day = two_areas()
    first = entries(day, "coat")[0]
    now = first.start.value + 5 * MINUTE
    anew = replan(day, now, [Happening(first.key, first.start.value)])
    assert [one.state for one in entries(anew, "coat")][:2] == ["begun", "planned"]


def test_what_did_not_happen_is_put_off_with_all_that_hangs_on_it():
    """Nobody came in the morning: everything is laid after 11:00, in the old order or another."""
    day = two_areas()
    missed = [Happening(one.key, None) for one in day.entries if one.people]
    anew = replan(day, at(1, "11:00"), missed)
    assert anew.clash is None
    assert min(one.start.value for one in anew.entries if one.people) >= at(1, "11:00")
    assert {one.state for one in anew.entries} == {"planned"}
    made = anew.workings.made
    assert faults(made.problem, made.timetable) == ()


def test_a_window_that_closed_meanwhile_is_keyed():
    """Open from 1 h to 3 h after the primer; four hours on, the colour has not been begun."""
    primer, colour = sheet("primer", (1 * HOUR, 3 * HOUR)), sheet("colour")
    work = area("wing", layer(primer), layer(colour, over=Follow("primer", keyed=False)))
    day = plan_works(asked(primer, colour), [work])
    laid, colour_coat = entries(day, "coat")
    now = laid.end.value + 4 * HOUR
    anew = replan(day, now, [Happening(colour_coat.key, None)])
    assert anew.clash is None
    (key,) = entries(anew, "abrade new")
    assert key.start.value >= now
    assert entries(anew, "coat")[1].start.value >= key.end.value
    assert any("keyed" in sentence for sentence in anew.changes)


def test_a_window_that_closed_and_must_be_stripped_is_said():
    primer, colour = sheet("primer", (1 * HOUR, 3 * HOUR), past="strip"), sheet("colour")
    work = area("wing", layer(primer), layer(colour, over=Follow("primer", keyed=False)))
    day = plan_works(asked(primer, colour), [work])
    laid, colour_coat = entries(day, "coat")
    anew = replan(day, laid.end.value + 4 * HOUR, [Happening(colour_coat.key, None)])
    assert anew.clash is not None
    assert "From now on no plan keeps every promise" in anew.clash.text
