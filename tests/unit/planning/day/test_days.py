"""Small jobs whose day can be worked out by hand; the shop is that of day_floor."""

import pytest

from coatwright.engines.timetable.checking import faults
from coatwright.model.conditions.hours import Hours
from coatwright.planning.day.days import plan_works
from coatwright.planning.day.plan import DayPlan
from coatwright.planning.day.works import Follow
from day_floor import HOUR, MINUTE, act, area, asked, at, entries, job, layer, sheet


def checked(day: DayPlan) -> DayPlan:
    """The plan, once the independent checker has found nothing wrong with its timetable."""
    assert day.workings is not None
    assert faults(day.workings.made.problem, day.workings.made.timetable) == ()
    return day


def goal(day: DayPlan, key: str) -> float:
    return next(one.value.value for one in day.goals if one.key == key)


def test_flash_off_is_waited_for_and_no_longer():
    """6 min wipe, 10 min for the degreaser to flash, coat 10, flash 15, coat 10, gun 10: 61 min."""
    paint = sheet("paint", flash=15 * MINUTE)
    day = checked(
        plan_works(asked(paint), [area("wing", layer(paint, 2, acts=(act("degrease", 6),)))])
    )
    first, second = entries(day, "coat")
    assert second.start.value - first.end.value == 15 * MINUTE
    assert goal(day, "manned") == 61 * MINUTE
    assert goal(day, "mixes") == 1
    assert day.proven


def test_a_coat_is_not_broken_off_for_a_rest():
    """A coat of 3 h fits no stretch before lunch (135 and 120 min), only 13:15 to 17:30."""
    paint = sheet("paint")
    day = checked(plan_works(asked(paint), [area("floor", layer(paint, minutes=180))]))
    (coat,) = entries(day, "coat")
    assert coat.start.value >= at(1, "13:15")
    assert coat.end.value - coat.start.value == coat.work.value == 3 * HOUR
    assert coat.parts == ()


def test_rubbing_is_laid_down_for_a_rest():
    """5 h of rubbing from 08:00 run through both rests: until 14:00 at the earliest."""
    paint = sheet("paint")
    day = checked(
        plan_works(asked(paint), [area("wing", layer(paint, acts=(act("abrade old", 300),)))])
    )
    (rub,) = entries(day, "abrade old")
    assert rub.work.value == 5 * HOUR
    assert sum(part.end.value - part.start.value for part in rub.parts) == 5 * HOUR
    for part in rub.parts:
        for low, high in (("10:15", "10:30"), ("12:30", "13:15")):
            assert part.end.value <= at(1, low) or part.start.value >= at(1, high)


def test_a_recoat_window_is_not_crossed_overnight():
    """Open from 5 h to 8 h after the coat: the night takes 14 h 30 min, so both are laid in a day.

    5 h of rubbing must come first: laid at 14:10 or later that day, the next coat would fall into
    the night, so the primer waits for the second day.
    """
    primer, colour = sheet("primer", (5 * HOUR, 8 * HOUR), past="strip"), sheet("colour")
    work = area(
        "wing",
        layer(primer, acts=(act("abrade old", 300),)),
        layer(colour, over=Follow("primer", keyed=False)),
    )
    day = checked(plan_works(asked(primer, colour), [work]))
    first, second = entries(day, "coat")
    assert (first.day, second.day) == (2, 2)
    assert 5 * HOUR <= second.start.value - first.end.value <= 8 * HOUR
    (window, last) = day.windows
    assert window.kept
    assert window.closes is not None
    assert window.used is not None
    assert window.opens.value <= window.used.value <= window.closes.value
    assert last.used is None


def test_bare_metal_is_not_left_overnight():
    """6 h of baring and 3 h that keep the only person away first: 9 h do not fit the day's 8 h 30.

    So the baring, though it could be begun in the evening and go on, is begun and coated on the
    second day.
    """
    paint = sheet("paint")
    works = [
        area("door", layer(paint, acts=(act("test", 180),)), metal=False),
        area("wing", layer(paint, acts=(act("abrade bare", 360),))),
    ]
    day = checked(plan_works(asked(paint), works))
    (bare,) = entries(day, "abrade bare")
    (coat,) = entries(day, "coat", "wing")
    assert bare.day == coat.day
    assert day.day_count.value == 2 * 24 * HOUR


@pytest.mark.parametrize(("life", "mixes"), [(8 * HOUR, 1), (4 * HOUR, 2)])
def test_one_mix_serves_two_areas_while_it_lives(life, mixes):
    """The wing takes colour first, and primer 6 to 7 h after it; the door the other way round.

    To be done in one day both first coats go on in the morning, so that one area takes its colour
    about 6 h after the other: a mix that lives 8 h serves both, one that lives 4 h does not.
    """
    times = (6 * HOUR, 7 * HOUR)
    primer = sheet("primer", times, past="strip")
    colour = sheet("colour", times, pot=life, past="strip")
    works = [
        area("door", layer(primer), layer(colour, over=Follow("primer", keyed=False))),
        area("wing", layer(colour), layer(primer, over=Follow("colour", keyed=False))),
    ]
    day = checked(plan_works(asked(primer, colour), works))
    used = [mix for mix in day.mixes if mix.product == "colour"]
    assert day.day_count.value == 24 * HOUR
    assert len(used) == mixes
    for mix in used:
        served = [one for one in day.entries if one.key in mix.serves]
        assert mix.gone is not None
        assert all(mix.ready.value <= one.start.value for one in served)
        assert all(one.end.value <= mix.gone.value for one in served)


def test_insides_are_finished_and_dry_before_the_outside_is_masked():
    colour = sheet("colour", (5 * HOUR, None))
    works = [
        area("wing", layer(colour, acts=(act("mask", 20),))),
        area("cabin", layer(colour), zone="inside"),
    ]
    day = checked(plan_works(asked(colour), works))
    (inner,), (mask,) = entries(day, "coat", "cabin"), entries(day, "mask", "wing")
    assert mask.start.value >= inner.end.value + 5 * HOUR


def test_nothing_is_rubbed_while_another_coat_is_wet():
    """Two people, two areas: but for the rule one would be rubbed while the other is coated."""
    paint = sheet("paint", flash=15 * MINUTE)
    works = [
        area("door", layer(paint, 2, acts=(act("abrade old", 60),)), metal=False),
        area("wing", layer(paint, 2, acts=(act("abrade old", 60),)), metal=False),
    ]
    day = checked(plan_works(asked(paint, of=job(helpers=1)), works))
    for rub in entries(day, "abrade old"):
        for coat in entries(day, "coat"):
            if rub.area != coat.area:
                apart = (
                    coat.start.value - rub.end.value >= 15 * MINUTE
                    or rub.start.value - coat.end.value >= 15 * MINUTE
                )
                assert apart, (rub.key, coat.key)


def test_only_the_hand_sprays_and_the_helper_helps():
    """Three hours of masking are shared, so that the shop is manned for less time."""
    paint = sheet("paint")
    works = [area(f"part-{n}", layer(paint, acts=(act("mask", 60),))) for n in range(3)]
    alone = checked(plan_works(asked(paint), works))
    helped = checked(plan_works(asked(paint, of=job(helpers=1)), works))
    assert {p for one in entries(helped, "coat") for p in one.people} == {"learner"}
    assert {p for one in helped.entries if one.act == "mask" for p in one.people} == {
        "learner",
        "helper-0",
    }
    assert goal(helped, "manned") < goal(alone, "manned")


def test_finishes_wait_for_daylight():
    hours = Hours(light_from="11:00", light_until="15:00")
    paint = sheet("paint")
    day = checked(plan_works(asked(paint, of=job(hours)), [area("wing", layer(paint))]))
    (coat,) = entries(day, "coat")
    assert at(1, "11:00") <= coat.start.value
    assert coat.end.value <= at(1, "15:00")


def test_a_window_may_lapse_if_keying_is_enough():
    """Open 10 to 12 h after the coat: never while the shop is open (9 h 30, then 14 h 30 of night).

    Keying costs 10 min/m2, and 6 min/m2 of wiping, by work.toml."""
    primer, colour = sheet("primer", (10 * HOUR, 12 * HOUR)), sheet("colour")
    work = area("wing", layer(primer), layer(colour, over=Follow("primer", keyed=False)))
    day = checked(plan_works(asked(primer, colour), [work]))
    (key,) = entries(day, "abrade new")
    assert key.work.value == 10 * MINUTE
    window = day.windows[0]
    assert window.kept
    assert "keyed" in window.lapse
    assert window.price is not None
    assert window.price.value > 0
    assert any("window closes" in note for note in day.notes)


def test_where_no_day_works_it_says_which_demands_clash():
    """The same, but past its window the primer must be stripped: there is no way."""
    primer, colour = sheet("primer", (10 * HOUR, 12 * HOUR), past="strip"), sheet("colour")
    work = area("wing", layer(primer), layer(colour, over=Follow("primer", keyed=False)))
    day = plan_works(asked(primer, colour), [work], 5.0)
    assert day.clash is not None
    assert not day.feasible
    assert day.entries == ()
    told = " ".join(day.clash.cannot)
    assert "primer on wing must open first" in told
    assert "the recoat window of primer on wing closes" in told
    assert "shut at night" in told
    assert day.clash.proven
    assert "Any one of these is enough" in day.clash.way_out


def test_a_coat_too_long_for_any_stretch_is_told():
    """The longest stretch of the day, 13:15 to 17:30, has 255 min; a coat of 5 h fits nowhere."""
    paint = sheet("paint")
    day = plan_works(asked(paint), [area("hull", layer(paint, minutes=300))], 5.0)
    assert day.clash is not None
    assert "coat 1 of paint on hull" in day.clash.text
    assert any("the shop is shut" in one for one in day.clash.cannot)


def test_nothing_to_do_is_no_day():
    day = plan_works(asked(), [])
    assert day.days == ()
    assert day.clash is None
