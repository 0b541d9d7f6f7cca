"""Days planned anew from a moment: what happened stays, the rest changes as little as it can."""

import pytest

from coatwright.engines.timetable.checking import faults
from coatwright.errors import NotFound
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


def test_one_area_of_a_set_is_told_and_the_rest_follows_it():
    """Of eight doors alike four fit the cup of 400 mL: told of the second, the first was before."""
    paint = sheet("paint", flash=15 * MINUTE)
    works = [area(f"door-{n}", layer(paint, acts=(act("degrease", 2),))) for n in range(8)]
    day = plan_works(asked(paint), works)
    coats = [one for one in entries(day, "coat") if one.set == "set-1"]
    assert len(coats) == 4
    second = coats[1]
    late = second.start.value + 20 * MINUTE
    anew = replan(day, late, [Happening(second.key, second.start.value, late)])
    again = [one for one in entries(anew, "coat") if one.set == "set-1"]
    assert again[0].start.value == coats[0].start.value
    assert again[-1].end.value == coats[-1].end.value + 10 * MINUTE


def test_an_entry_nobody_knows_is_refused():
    with pytest.raises(NotFound, match="no 'roof' in this day plan"):
        replan(two_areas(), at(1, "11:00"), [Happening("roof", None)])


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


def test_a_coat_too_late_for_its_session_waits_until_it_may_be_keyed():
    """Two coats, 15 min of flash and 16 h to open; the first ends at 17:20, ten minutes before the
    shop shuts: the second cannot follow in the session, so it waits for 16 h of drying."""
    paint = sheet("paint", (16 * HOUR, None), flash=15 * MINUTE)
    day = plan_works(asked(paint), [area("wing", layer(paint, 2))])
    first, second = entries(day, "coat")
    late = at(1, "17:20")
    anew = replan(day, late, [Happening(first.key, late - 10 * MINUTE, late)])
    assert anew.clash is None
    again = entries(anew, "coat")[1]
    assert again.key == second.key
    assert again.start.value >= late + 16 * HOUR
    assert any("key it" in sentence for sentence in anew.changes)


def test_what_was_wiped_too_long_ago_is_wiped_again():
    """Wiped in the morning; at 16:00 the coat has not been begun: 4 h and the wiping are over."""
    paint = sheet("paint")
    day = plan_works(asked(paint), [area("wing", layer(paint, acts=(act("degrease", 6),)))])
    (coat,) = entries(day, "coat")
    anew = replan(day, at(1, "16:00"), [Happening(coat.key, None)])
    assert anew.clash is None
    assert entries(anew, "coat")[0].start.value >= at(1, "16:00")
    assert any("wipe it once more" in sentence for sentence in anew.changes)


def test_a_mix_that_died_in_the_gun_is_said():
    """Two hours of pot life; the one coat, from 10 min after the mixing began, takes three."""
    paint = sheet("paint", pot=2 * HOUR)
    day = plan_works(asked(paint), [area("wing", layer(paint, minutes=30))])
    (coat,) = entries(day, "coat")
    late = coat.start.value + 3 * HOUR
    anew = replan(day, late, [Happening(coat.key, coat.start.value, late)])
    assert any("past its pot life" in sentence for sentence in anew.changes)
