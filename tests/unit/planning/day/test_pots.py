"""Pots that were really mixed, and a day planned anew from what stands in the shop.

Two areas, two coats of 100 mL each, one cup of 400 mL for all; mixing takes 5 min. What must come
out is reckoned by hand in each test from those figures; the whole day is looked at again by
engines/timetable/checking.py and by the promises of day_floor.
"""

import pytest

from coatwright.engines.timetable.checking import faults
from coatwright.errors import NotFound
from coatwright.planning.day.days import Away, Happening, Stirred, plan_works, replan
from coatwright.planning.day.plan import DayMix, DayPlan, Entry
from day_floor import HOUR, MINUTE, act, area, asked, at, broken, entries, job, layer, sheet

ML = 1e-6


@pytest.fixture(scope="module")
def day() -> DayPlan:
    """Door and wing in one morning, all four coats out of one pot."""
    paint = sheet("paint", flash=15 * MINUTE, pot=4 * HOUR)
    works = [area(key, layer(paint, 2, acts=(act("degrease", 6),))) for key in ("door", "wing")]
    made = plan_works(asked(paint), works)
    assert len(made.mixes) == 1
    return made


def went(day: DayPlan, now: float) -> list[Happening]:
    """All work that was to be done by now, as planned."""
    return [
        Happening(one.key, one.start.value, one.end.value if one.end.value <= now else None)
        for one in day.entries
        if one.people and one.kind != "rest" and one.act != "mix" and one.start.value < now
    ]


def coats(day: DayPlan) -> list[Entry]:
    return entries(day, "coat")


def pot(day: DayPlan, now: float, **more: object) -> Stirred:
    """The pot of the plan, mixed and used as planned."""
    (mix,) = day.mixes
    sprayed = {one.key: None for one in coats(day) if one.start.value < now}
    told = {"start": mix.start.value, "end": mix.end.value, "key": mix.key, "sprayed": sprayed}
    return Stirred(mix.product, **{**told, **more})


def sound(day: DayPlan) -> tuple[DayMix, ...]:
    assert day.clash is None
    assert broken(day) == []
    assert day.workings is not None
    made = day.workings.made
    # What was mixed has happened: at whatever hour, however long it took, and used or not.
    past = tuple(f"the mixing of '{m.pot}' at {m.start}" for m in made.timetable.mixes
                 if m.start < made.now)  # fmt: skip
    facts = ("serves nothing", "but takes 5", "while the shop is shut")
    found = faults(made.problem, made.timetable)
    assert [one for one in found if not (one.startswith(past) and one.endswith(facts))] == []
    return day.mixes


def after(day: DayPlan, number: int) -> float:
    """A minute after the end of a coat, counted from 1."""
    return coats(day)[number - 1].end.value + MINUTE


def test_a_pot_mixed_as_planned_changes_nothing(day):
    now = after(day, 2)
    anew = replan(day, now, [*went(day, now), pot(day, now)])
    assert sound(anew)[0].serves == day.mixes[0].serves
    assert [one.start.value for one in coats(anew)] == [one.start.value for one in coats(day)]
    assert anew.changes == ("Nothing else has to change.",)


def test_a_pot_that_went_off_gets_another(day):
    """After the second coat it is noticed that the pot has gone off: 5 min to mix another."""
    now = after(day, 2)
    gone = pot(day, now, gone=now - MINUTE)
    anew = replan(day, now, [*went(day, now), gone])
    old, new = sound(anew)
    assert old.serves == tuple(one.key for one in coats(day)[:2])
    assert old.gone.value == now - MINUTE
    assert new.serves == tuple(one.key for one in coats(day)[2:])
    assert new.start.value >= now
    assert coats(anew)[2].start.value >= new.end.value
    (told,) = [one for one in anew.changes if "first pot" in one]
    assert "is out of use since" in told
    assert "what it was for gets a pot of its own" in told


def test_a_pot_past_its_life_is_said_to_have_gone_off(day):
    """It lives four hours; five hours on the rest has not been sprayed."""
    now = after(day, 2) + 5 * HOUR
    done = [one for one in went(day, after(day, 2)) if one.end]
    late = [Happening(one.key, None) for one in coats(day)[2:]]
    anew = replan(day, now, [*done, *late, pot(day, after(day, 2))])
    old, new = sound(anew)
    off = old.start.value + 4 * HOUR
    clock = f"{int(off // HOUR):02d}:{int(off % HOUR // MINUTE):02d}"
    assert any(f"The first pot of paint went off at {clock}: what it was for" in one
               for one in anew.changes)  # fmt: skip
    assert new.start.value >= now


def test_too_little_was_mixed(day):
    """300 mL were mixed for four coats of 100 mL: the last gets a pot of its own."""
    now = after(day, 2)
    anew = replan(day, now, [*went(day, now), pot(day, now, volume=300 * ML)])
    old, new = sound(anew)
    assert old.volume.value == pytest.approx(300 * ML)
    assert (len(old.serves), len(new.serves)) == (3, 1)
    assert any("The first pot of paint is empty" in one or "has only" in one
               for one in anew.changes)  # fmt: skip


def test_a_coat_that_took_more_than_planned_leaves_less(day):
    """The first took 170 mL, the second as planned: 130 of 400 mL are left, enough for one."""
    now = after(day, 2)
    took = {coats(day)[0].key: 170 * ML, coats(day)[1].key: None}
    anew = replan(day, now, [*went(day, now), pot(day, now, sprayed=took)])
    old, new = sound(anew)
    assert (len(old.serves), len(new.serves)) == (3, 1)


def test_what_is_weighed_is_reckoned_to_ten_millilitres(day):
    """A scale that says 104 mL does not make a new pot."""
    now = after(day, 2)
    took = {coats(day)[0].key: 104 * ML, coats(day)[1].key: 104 * ML}
    anew = replan(day, now, [*went(day, now), pot(day, now, sprayed=took)])
    assert len(sound(anew)) == 1


def test_a_pot_mixed_an_hour_early_dies_an_hour_early(day):
    """Mixed 3 h before the plan had it, it is gone an hour after the first coat was to begin."""
    start = day.mixes[0].start.value
    now = after(day, 1)
    anew = replan(day, now, [*went(day, now), pot(day, now, start=start - 3.4 * HOUR,
                                                  end=start - 3.3 * HOUR)])  # fmt: skip
    mixes = sound(anew)
    assert mixes[0].gone.value == start - 3.4 * HOUR + 4 * HOUR
    assert len(mixes) == 2
    assert any("goes off at" in one for one in anew.changes)


def test_a_pot_mixed_late_puts_off_what_it_is_for(day):
    """Forty minutes late: nothing is sprayed before it is ready."""
    late = day.mixes[0].end.value + 40 * MINUTE
    now = late + MINUTE
    done = [one for one in went(day, now) if not any(one.key == coat.key for coat in coats(day))]
    missed = [Happening(one.key, None) for one in coats(day) if one.start.value < now]
    own = pot(day, 0.0, start=late - 5 * MINUTE, end=late)
    anew = replan(day, now, [*done, *missed, own])
    assert len(sound(anew)) == 1
    assert coats(anew)[0].start.value >= late
    assert anew.mixes[0].start.value == late - 5 * MINUTE


def test_a_pot_that_was_not_mixed_is_still_to_be_mixed(day):
    now = day.mixes[0].end.value + 10 * MINUTE
    wiped = [one for one in went(day, now) if "degrease" in one.key and one.end]
    missed = [Happening(one.key, None) for one in coats(day)]
    anew = replan(day, now, [*wiped, *missed, Happening(f"mix.{day.mixes[0].key}", None)])
    (mix,) = sound(anew)
    assert mix.start.value >= now
    assert any(one.startswith("No paint was mixed at") for one in anew.changes)


def test_an_extra_pot_serves_when_the_first_is_empty(day):
    """200 mL in the first, 250 mL in another that nobody had planned: no third is needed."""
    now = after(day, 2) + 6 * MINUTE
    done = [one for one in went(day, after(day, 2)) if one.end]
    missed = [Happening(one.key, None) for one in coats(day)[2:]]
    extra = Stirred("paint", now - 6 * MINUTE, now - MINUTE, volume=250 * ML, people=("learner",))
    first = pot(day, after(day, 2), volume=200 * ML)
    anew = replan(day, now, [*done, *missed, first, extra])
    _, second = sound(anew)
    assert second.serves == tuple(one.key for one in coats(day)[2:])
    assert second.volume.value == pytest.approx(250 * ML)
    assert any("second pot of paint was mixed" in one and "no plan had" in one
               for one in anew.changes)  # fmt: skip
    again = replan(anew, now, [*done, *_as_known(anew)])
    assert len(sound(again)) == 2
    assert not any("no plan had" in one for one in again.changes)


def _as_known(day: DayPlan) -> list[Stirred]:
    """The pots of a plan as they stand."""
    first = {one.key: None for one in coats(day)[:2]}
    return [
        Stirred(mix.product, mix.start.value, mix.end.value, mix.key, mix.volume.value,
                first if number == 0 else {})
        for number, mix in enumerate(day.mixes)
    ]  # fmt: skip


def test_an_extra_pot_for_nothing_is_said_to_be_for_nothing(day):
    now = after(day, 4)
    extra = Stirred("paint", now - 6 * MINUTE, now - MINUTE, volume=250 * ML)
    anew = replan(day, now, [*went(day, now), pot(day, now), extra])
    assert anew.mixes[1].serves == ()
    assert any("nothing is left to do with it" in one for one in anew.changes)


def test_a_mix_that_no_plan_can_have_is_refused(day):
    now = after(day, 1)
    with pytest.raises(NotFound, match="no mix of 'tar'"):
        replan(day, now, [Stirred("tar", now - 60.0, now)])
    with pytest.raises(NotFound, match="no mix 'paint-9'"):
        replan(day, now, [Stirred("paint", now - 60.0, now, "paint-9")])


# Who is there


def test_a_shop_that_closes_early_goes_on_in_the_morning(day):
    """After the first coat nobody is there: the rest is done from 08:00 on the second day."""
    now = coats(day)[0].end.value
    anew = replan(day, now, went(day, now), away=[Away("", now, at(2, "00:00"))])
    sound(anew)
    left = [one for one in anew.entries if one.people and one.state == "planned"]
    assert min(one.start.value for one in left) >= at(2, "08:00")
    assert any(one.startswith("The shop is closed from day 1, 08:") for one in anew.changes)
    back = replan(anew, now, went(day, now), away=[])
    assert min(one.start.value for one in back.entries
               if one.people and one.state == "planned") < at(1, "12:00")  # fmt: skip


def test_a_helper_who_is_away_does_nothing():
    """Two can wipe down; without the helper the learner does it all, after 08:30."""
    paint = sheet("paint", flash=15 * MINUTE)
    works = [area(f"door-{n}", layer(paint, acts=(act("degrease", 60),))) for n in range(3)]
    day = plan_works(asked(paint, of=job(helpers=1)), works)
    assert any("helper-0" in one.people for one in day.entries if one.act == "degrease")
    missed = [Happening(one.key, None) for one in day.entries if one.people]
    away = [Away("helper-0", at(1, "08:30"), at(2, "00:00"))]
    anew = replan(day, at(1, "08:30"), missed, away=away)
    sound(anew)
    today = [one for one in anew.entries if one.day == 1 and one.kind in ("work", "spray")]
    assert today
    assert not any("helper-0" in one.people for one in today)
    assert any(one.startswith("A helper is away from day 1, 08:30") for one in anew.changes)


def test_nobody_knows_a_stranger(day):
    with pytest.raises(NotFound, match="nobody here is called 'guest'"):
        replan(day, at(1, "09:00"), away=[Away("guest", 0.0, HOUR)])
