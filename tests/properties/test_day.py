"""Day plans of made-up jobs: whatever is asked, no promise is broken."""

import random

import pytest

from coatwright.engines.timetable.checking import faults
from coatwright.planning.day.days import Happening, plan_works, replan
from coatwright.planning.day.plan import DayPlan
from coatwright.planning.day.works import AreaWork, Follow
from day_floor import HOUR, MINUTE, act, area, asked, broken, job, layer, sheet


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
