"""Day plans of made-up jobs: whatever is asked, no promise is broken."""

import random
from functools import cache

import pytest

from coatwright.engines.timetable.checking import faults
from coatwright.engines.timetable.clashes import only
from coatwright.engines.timetable.problem import Mix, Timetable
from coatwright.planning.day.days import Happening, plan_works, replan
from coatwright.planning.day.plan import DayPlan
from coatwright.planning.day.works import AreaWork, Follow
from day_floor import HOUR, MINUTE, act, area, asked, broken, job, layer, sheet
from properties.news import drawn_news


def drawn(seed: int) -> DayPlan:
    """A job of two to nine areas, each primed and coloured, some bare, some rubbed between."""
    draw = random.Random(seed)
    opens = draw.choice([0.5, 3.0, 16.0])
    primer = sheet(
        "primer", (opens * HOUR, draw.choice([24.0, 72.0]) * HOUR),
        draw.choice([5, 15]) * MINUTE, draw.choice([None, 0.75, 6.0]) and 6 * HOUR,
    )  # fmt: skip
    colour = sheet("colour", (16 * HOUR, None), 5 * MINUTE, draw.choice([1.0, 2.0]) * HOUR)
    works: list[AreaWork] = []
    for number in range(draw.randint(2, 9)):
        keyed = draw.random() < 0.5
        first = [act("abrade bare", draw.randint(5, 90))] if draw.random() < 0.5 else []
        first.append(act("degrease", draw.randint(2, 20)))
        between = [act("block", draw.randint(5, 120))] if keyed else []
        between.append(act("degrease", draw.randint(2, 20)))
        works.append(
            area(
                f"part-{number}",
                layer(primer, draw.randint(1, 2), draw.randint(2, 12), tuple(first)),
                layer(colour, draw.randint(1, 3), draw.randint(2, 12), tuple(between),
                      Follow("primer", keyed)),
                zone=draw.choice(["outside", "inside"]),
            )
        )  # fmt: skip
    return plan_works(asked(primer, colour, of=job(helpers=draw.randint(0, 1))), works, 1.5)


@pytest.mark.parametrize("seed", range(8))
def test_no_promise_is_broken(seed):
    day = drawn(seed)
    assert day.clash is None
    assert day.workings is not None
    made = day.workings.made
    assert faults(made.problem, made.timetable) == ()
    assert broken(day) == []


@pytest.mark.parametrize("seed", range(4))
def test_no_promise_is_broken_when_a_coat_ran_late(seed):
    """Some coat ends half an hour late and the day goes on from there."""
    day = drawn(seed)
    coats = [one for one in day.entries if one.act == "coat"]
    late = random.Random(seed).choice(coats)
    now = late.end.value + 30 * MINUTE
    anew = replan(day, now, [Happening(late.key, late.start.value, now)])
    if anew.clash is None:
        dead = any("past its pot life" in sentence for sentence in anew.changes)
        assert [one for one in broken(anew) if not (dead and "does not live" in one)] == []
        before = {one.key: one.start.value for one in day.entries if one.people}
        after = {one.key: one.start.value for one in anew.entries if one.people}
        past = {key for key, start in before.items() if start < late.start.value}
        assert {key: after[key] for key in past if key in after} == {
            key: before[key] for key in past if key in after
        }


@cache
def day_of(seed: int) -> DayPlan:
    return drawn(seed)


@pytest.mark.parametrize("seed", range(36))
def test_no_promise_is_broken_whatever_became_of_the_pots(seed):
    """Random news at a random moment of four random jobs; what is still to come is sound.

    Faults that lie in what has happened are those of the past alone, as it is told.
    """
    day, draw = day_of(seed % 4), random.Random(seed)
    ends = max(one.end.value for one in day.entries if one.people)
    now = draw.uniform(8.2 * HOUR, ends)
    news, away = drawn_news(day, now, draw)
    anew = replan(day, now, news, away=away)
    if anew.clash is not None:
        assert anew.clash.proven
        return
    made = anew.workings.made
    slots = {key: slot for key, slot in made.timetable.slots.items() if slot.start < made.now}
    mixes = tuple(
        mix._replace(serves=tuple(key for key in mix.serves if key in slots))
        for mix in made.timetable.mixes
        if mix.start < made.now
    )
    known = set(faults(only(made.problem, set(slots)), Timetable(slots, mixes)))
    new = set(faults(made.problem, made.timetable)) - known
    over = {f"'{key}'" for key in slots}
    assert [one for one in new if not (_past(one, over, made) or _fact(one, mixes))] == []
    assert replan(anew, now, news, away=away).workings.made.timetable.slots.keys() == (
        made.timetable.slots.keys()
    )


def _past(fault: str, past: set[str], made) -> bool:
    """Whether a fault is only about work that has been begun."""
    named = {f"'{task.key}'" for task in made.problem.tasks if f"'{task.key}'" in fault}
    return bool(named) and named <= past


def _fact(fault: str, mixes: tuple[Mix, ...]) -> bool:
    """Whether it only says how a pot was mixed that stands there: by whom, when, for nothing."""
    pots = tuple(f"the mixing of '{mix.pot}' at {mix.start}" for mix in mixes)
    facts = ("serves nothing", "is given 0", "but takes 5", "while the shop is shut")
    return fault.startswith(pots) and fault.endswith(facts)
