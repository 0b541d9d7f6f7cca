"""Days of the invented jobs: no fault at the engine's level, nor held against plan and sheets."""

import random
from dataclasses import replace

import pytest

from coatwright.actions.plans import plan_job
from coatwright.actions.workshop import open_bench
from coatwright.engines.timetable import checking
from coatwright.figures import Figure
from coatwright.planning.day.days import Happening, replan
from coatwright.planning.day.plan import DayPlan
from properties.news import drawn_news
from properties.timetable.by_plan import Case, faults

MINUTE, HOUR = 60.0, 3600.0


def planned(job: str, seconds: float, weather: str | None = None) -> Case:
    bench = open_bench(job)
    plan = plan_job(job, weather=weather, day_seconds=seconds)
    assert plan.day is not None
    return Case(plan, plan.day, bench.job, bench.library)


def sound(case: Case) -> None:
    assert case.day.workings is not None
    made = case.day.workings.made
    assert checking.faults(made.problem, made.timetable) == ()
    assert checking.measure(made.problem, made.timetable)[:4] == made.outcome.measure[:4]
    assert faults(case) == []


@pytest.fixture(scope="module")
def board() -> Case:
    return planned("practice", 4.0)


@pytest.fixture(scope="module")
def cold_morning(tmp_path_factory: pytest.TempPathFactory) -> Case:
    """Two days, cold and damp until eleven, then fair."""
    rows = ["time, air [degC], humidity [%]"]
    for hour in range(48):
        fair = 11 <= hour % 24 < 20
        air, damp = (19, 50) if fair else (5, 96)
        rows.append(f"2026-05-{4 + hour // 24:02d} {hour % 24:02d}:00, {air}, {damp}")
    file = tmp_path_factory.mktemp("weather") / "cold.csv"
    file.write_text("\n".join(rows))
    return planned("practice", 4.0, str(file))


def test_the_practice_board(board):
    sound(board)
    assert {entry.act for entry in board.day.entries} >= {"degrease", "mix", "coat", "clean gun"}


def test_a_cold_morning_is_waited_out(board, cold_morning):
    sound(cold_morning)
    sprays = [e.start.value for e in cold_morning.day.entries if e.kind == "spray"]
    assert min(sprays) >= 11 * 3600.0
    assert min(e.start.value for e in board.day.entries if e.kind == "spray") < 11 * 3600.0


@pytest.fixture(scope="module")
def demo(planned_demo) -> Case:
    bench = open_bench("demo")
    return Case(planned_demo, planned_demo.day, bench.job, bench.library)


@pytest.mark.slow
def test_the_demo(demo):
    sound(demo)
    assert len({entry.area for entry in demo.day.entries if entry.area}) == len(demo.plan.areas)


@pytest.mark.slow
@pytest.mark.parametrize("hour", [10.5, 14.25, 34.0, 60.0, 86.0, 130.0])
def test_the_demo_planned_anew(demo, hour):
    """A coat that took 8 min longer, or is not done yet: the rest of the days is sound."""
    now = hour * HOUR
    last = [e for e in demo.day.entries if e.kind == "spray" and e.start.value < now][-1]
    late = last.end.value + 8 * MINUTE
    happened = Happening(last.key, last.start.value, late if late < now else None)
    anew = replan(demo.day, now, (happened,))
    assert anew.clash is None
    assert anew.changes != ()
    found = faults(replace(demo, day=anew))
    # What ran into a rest, or made dust beside the coat that took longer, has happened already.
    went = tuple(entry.key for entry in anew.entries if entry.start.value < now)
    past = [
        one for one in found if one.startswith(went) and one.endswith(("still wet", "in a rest"))
    ]
    assert [one for one in found if one not in past] == []
    begun = last.start.value
    before = {e.key: e.start.value for e in demo.day.entries if e.end.value <= begun and e.people}
    after = {e.key: e.start.value for e in anew.entries}
    assert {key: after.get(key) for key in before} == before


@pytest.mark.slow
@pytest.mark.parametrize("seed", [1, 2, 3])
def test_the_demo_planned_anew_from_pots_that_are_not_as_planned(demo, seed):
    """Random news on one of its days; nothing that is still to come breaks a promise."""
    draw = random.Random(seed)
    now = draw.choice([11.0, 15.0, 35.0, 61.0]) * HOUR
    news, away = drawn_news(demo.day, now, draw)
    anew = replan(demo.day, now, news, away=away)
    assert anew.clash is None
    past = {entry.key for entry in anew.entries if entry.start.value < now}
    past |= {mix.key for mix in anew.mixes if mix.start.value < now}
    found = faults(replace(demo, day=anew))
    assert [one for one in found if not any(key in one for key in past)] == []
    made = anew.workings.made
    assert made.timetable.slots.keys() == {task.key for task in made.problem.tasks}


# What the second checker is worth: the board's day with one thing wrong at a time


def by(figure: Figure, seconds: float) -> Figure:
    return replace(figure, value=figure.value + seconds)


def entry_of(day: DayPlan, act: str, coat: int = 0):
    return next(e for e in day.entries if (e.act, e.coat) == (act, coat))


def moved(day: DayPlan, act: str, coat: int, seconds: float) -> DayPlan:
    one = entry_of(day, act, coat)
    other = replace(one, start=by(one.start, seconds), end=by(one.end, seconds))
    return replace(day, entries=tuple(other if e is one else e for e in day.entries))


def changed(day: DayPlan, act: str, coat: int, **values: object) -> DayPlan:
    one = entry_of(day, act, coat)
    other = replace(one, **values)
    return replace(day, entries=tuple(other if e is one else e for e in day.entries))


def left_out(day: DayPlan, act: str, coat: int = 0) -> DayPlan:
    one = entry_of(day, act, coat)
    return replace(day, entries=tuple(e for e in day.entries if e is not one))


def mixed(day: DayPlan, **seconds: float) -> DayPlan:
    (mix,) = day.mixes
    times = {name: by(getattr(mix, name), shift) for name, shift in seconds.items()}
    return replace(day, mixes=(replace(mix, **times),))


def window(day: DayPlan, **seconds: float) -> DayPlan:
    (one,) = day.windows
    times = {name: by(getattr(one, name), shift) for name, shift in seconds.items()}
    return replace(day, windows=(replace(one, **times),))


WRONG = {
    "a coat too soon": (lambda day: moved(day, "coat", 2, -2 * MINUTE), "the sheet says"),
    "a coat left out": (lambda day: left_out(day, "coat", 3), "gets coats [1, 2]"),
    "in the night": (lambda day: moved(day, "coat", 3, 14 * HOUR), "outside the hours"),
    "in a rest": (lambda day: moved(day, "coat", 3, 1.8 * HOUR), "in a rest"),
    "gone off": (lambda day: moved(day, "coat", 3, 3 * HOUR), "has gone off"),
    "not mixed yet": (lambda day: moved(day, "coat", 1, -4 * MINUTE), "is ready"),
    "no mix": (lambda day: changed(day, "coat", 1, mix=""), "is sprayed from no mix"),
    "a mix of two minds": (lambda day: mixed(day, gone=HOUR), "kept beyond its pot life"),
    "nobody": (lambda day: changed(day, "degrease", 0, people=()), "nobody does"),
    "a stranger": (lambda day: changed(day, "degrease", 0, people=("guest",)), "nobody knows"),
    "two places": (lambda day: moved(day, "degrease", 0, 8 * MINUTE), "learner is at"),
    "in two hands": (lambda day: moved(day, "clean gun", 0, -1 * MINUTE), "in two hands"),
    "left dirty": (lambda day: left_out(day, "clean gun"), "is left with solid-two-pack in it"),
    "two paints in a gun": (
        lambda day: changed(day, "coat", 2, product="epoxy"),
        "still holds solid-two-pack",
    ),
    "too quick": (
        lambda day: changed(day, "degrease", 0, work=by(entry_of(day, "degrease").work, MINUTE)),
        "is given",
    ),
    "a window that opens early": (lambda day: window(day, opens=-15 * HOUR), "opens after"),
    "a window that closes late": (lambda day: window(day, closes=400 * HOUR), "closes after"),
    "a window of another coat": (lambda day: window(day, laid=HOUR), "says its layer is laid"),
}


@pytest.mark.parametrize(("wrong", "told"), WRONG.values(), ids=list(WRONG))
def test_what_is_wrong_is_named(board, wrong, told):
    found = faults(replace(board, day=wrong(board.day)))
    assert any(told in fault for fault in found), found


def test_spraying_against_the_weather_is_named(cold_morning):
    early = moved(cold_morning.day, "coat", 1, -2 * HOUR)
    found = faults(replace(cold_morning, day=early))
    assert any("is against the weather" in fault for fault in found), found


def shifted(case: Case, key: str, to: float) -> list[str]:
    """Faults when the entry of that key begins at another time."""
    one = next(e for e in case.day.entries if e.key == key)
    by_so_much = to - one.start.value
    other = replace(
        one,
        start=by(one.start, by_so_much),
        end=by(one.end, by_so_much),
        day=int(to // 86400) + 1,
        parts=(),
    )
    entries = tuple(other if e is one else e for e in case.day.entries)
    return faults(replace(case, day=replace(case.day, entries=entries)))


@pytest.mark.slow
def test_what_is_wrong_with_many_layers_is_named(demo):
    """A layer too soon, one too late, dust beside wet paint, metal bared the day before."""
    door = demo.coats("doors", "high-build")[0]
    laid = demo.coats("doors", "epoxy")[-1]
    soon = shifted(demo, door.key, laid.end.value + 10 * MINUTE)
    assert any("too soon" in fault and "doors" in fault for fault in soon)
    last = demo.coats("bonnet", "aluminium-pretreatment")[-1]
    first = demo.coats("bonnet", "epoxy")[0]
    late = shifted(demo, first.key, last.end.value + 12 * HOUR)
    assert any("too late and not keyed" in fault for fault in late)
    rub = next(e for e in demo.day.entries if e.act == "block")
    dusty = shifted(demo, rub.key, first.start.value)
    assert any(f"{rub.key} raises dust" in fault for fault in dusty)
    bared = next(e for e in demo.day.entries if e.act == "abrade bare")
    overnight = shifted(demo, bared.key, bared.start.value - 24 * HOUR)
    assert any("bared on day" in fault for fault in overnight)
