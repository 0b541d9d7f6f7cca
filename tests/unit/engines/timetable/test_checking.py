"""The checker against a timetable made by hand: it passes, and each promise broken is named."""

from dataclasses import replace

import pytest

from coatwright.engines.timetable.checking import faults, measure
from coatwright.engines.timetable.problem import (
    Apart,
    Hold,
    Lag,
    Measure,
    Mix,
    Person,
    Pot,
    Problem,
    Slot,
    Task,
    Timetable,
    Tool,
)

# Two days of 100 ticks, open 10-40 and 50-90: an invented job of two doors and a roof.
OPEN = ((10, 40), (50, 90), (110, 140), (150, 190))
PROBLEM = Problem(
    day=100,
    open=OPEN,
    people=(
        Person("painter", frozenset({"spray"}), away=((40, 52), (130, 135))),
        Person("boss", frozenset({"spray"})),
        Person("helper", frozenset({"mask"})),
    ),
    tasks=(
        Task("left.mask", 10, ("mask",), split=True),
        Task("left.prime", 8, ("spray",), ("gun", "booth"), "primer", windows=((12, 30), (60, 80))),
        Task("left.coat", 5, ("spray", ""), ("gun", "booth"), "colour", latest=125),
        Task("right.prime", 6, ("spray",), ("gun",), "primer", earliest=10),
        Task("right.coat", 5, ("spray",), ("gun",), "colour"),
        Task("roof.rub", 40, split=True, windows=((20, 120),)),
    ),
    lags=(
        Lag("left.mask", "left.prime", name="masked before paint"),
        Lag("left.prime", "left.coat", least=30, most=80, name="recoat"),
        Lag("left.mask", "roof.rub", least=None, most=30, leaves="start", reaches="start"),
        Lag("left.coat", "right.coat", least=8, leaves="start", reaches="end", name="lap"),
    ),
    tools=(Tool("gun", 1, 4), Tool("booth")),
    pots=(
        Pot("primer", 10, 40, 3, (("left.prime", 5), ("right.prime", 5)), 2),
        Pot("colour", 7, 30, 2, (("left.coat", 5), ("right.coat", 5)), 0, ("spray",)),
    ),
    aparts=(Apart("roof.rub", "right.prime", after_other=2, name="dust"),),
    holds=(Hold("booth", ("left.prime", "left.coat"), "left in the booth"),),
)
SLOTS = {
    "left.mask": Slot(10, 20, ("helper",)),
    "left.prime": Slot(20, 28, ("painter",)),
    "right.prime": Slot(28, 34, ("painter",)),
    "roof.rub": Slot(36, 86, ("helper",)),
    "left.coat": Slot(80, 85, ("painter", "boss")),
    "right.coat": Slot(85, 90, ("painter",)),
}
MIXES = (
    Mix("primer", 12, 15, ("left.prime", "right.prime"), ("painter",)),
    Mix("colour", 60, 62, ("left.coat",), ("boss",)),
    Mix("colour", 62, 64, ("right.coat",), ("painter",)),
)
TIMETABLE = Timetable(SLOTS, MIXES)


def with_slots(**changed):
    moved = {key.replace("_", "."): slot for key, slot in changed.items()}
    return Timetable(SLOTS | moved, MIXES)


def with_mixes(*mixes):
    return Timetable(SLOTS, mixes)


def without(key):
    return Timetable({k: s for k, s in SLOTS.items() if k != key}, MIXES)


BREACHES = {
    "forgotten": (without("roof.rub"), "'roof.rub' is not in the timetable"),
    "unasked": (with_slots(wing=Slot(70, 75)), "'wing' is in the timetable but not a task"),
    "too short": (
        with_slots(right_coat=Slot(85, 89, ("painter",))),
        "'right.coat' from 85 to 89 has 4 open ticks for a work of 5",
    ),
    "too short though split": (
        with_slots(roof_rub=Slot(36, 85, ("helper",))),
        "'roof.rub' from 36 to 85 has 39 open ticks for a work of 40",
    ),
    "split": (
        with_slots(right_prime=Slot(36, 52, ("painter",))),
        "'right.prime' from 36 to 52 lasts 16 without a break, not 6",
    ),
    "shut": (
        with_slots(right_coat=Slot(88, 93, ("painter",))),
        "'right.coat' from 88 to 93 ends while the shop is shut",
    ),
    "starts shut": (
        with_slots(left_mask=Slot(9, 20, ("helper",))),
        "'left.mask' from 9 to 20 starts while the shop is shut",
    ),
    "too late": (
        with_slots(left_coat=Slot(122, 127, ("painter", "boss"))),
        "'left.coat' ends at 127, after 125",
    ),
    "outside its window": (
        with_slots(left_prime=Slot(24, 32, ("painter",))),
        "'left.prime' runs from 24 to 32, outside its windows ((12, 30), (60, 80))",
    ),
    "outside its window though split": (
        with_slots(roof_rub=Slot(80, 190, ("helper",))),
        "'roof.rub' runs from 110 to 140, outside its windows ((20, 120),)",
    ),
    "nobody": (with_slots(left_coat=Slot(80, 85, ("boss",))), "'left.coat' takes 2 people and is"),
    "twice the same": (
        with_slots(left_coat=Slot(80, 85, ("boss", "boss"))),
        "'left.coat' is given twice to the same person: boss, boss",
    ),
    "a stranger": (
        with_slots(right_coat=Slot(85, 90, ("guest",))),
        "'right.coat' is given to 'guest', whom nobody knows",
    ),
    "unskilled": (
        with_slots(right_coat=Slot(85, 90, ("helper",))),
        "'right.coat' takes the skills ('spray',), which helper do not have",
    ),
    "away": (
        with_slots(right_prime=Slot(50, 56, ("painter",))),
        "'right.prime' needs 'painter', who is away from 50 to 52",
    ),
    "two places": (
        with_slots(right_coat=Slot(84, 89, ("painter",))),
        "'painter' is at 'left.coat' from 80 to 85 and at 'right.coat' from 84 to 89",
    ),
    "mixing while spraying": (
        with_mixes(MIXES[0]._replace(start=22, end=25), *MIXES[1:]),
        "'painter' is at 'left.prime' from 20 to 28 and at the mixing of 'primer' at 22 from 22",
    ),
    "one gun for two": (
        with_slots(right_coat=Slot(84, 89, ("painter",))),
        "'right.coat' from 84 to 89 finds no 'gun' free and clean",
    ),
    "gun not cleaned": (
        with_slots(left_prime=Slot(70, 78, ("painter",))),
        "'left.coat' from 80 to 85 finds no 'gun' free and clean "
        "(there are 1, cleaning takes 4): 'left.prime' 70 to 78",
    ),
    "too soon": (
        with_slots(left_coat=Slot(54, 59, ("painter", "boss"))),
        "recoat: the start of 'left.coat' at 54 comes 26 after the end of 'left.prime' at 28, "
        "at least 30",
    ),
    "recoat lapsed": (
        with_slots(left_coat=Slot(112, 117, ("painter", "boss"))),
        "recoat: the start of 'left.coat' at 112 comes 84 after the end of 'left.prime' at 28, "
        "at most 80",
    ),
    "from start to start": (
        with_slots(roof_rub=Slot(60, 120, ("helper",))),
        "the start of 'roof.rub' at 60 comes 50 after the start of 'left.mask' at 10, at most 30",
    ),
    "not apart": (
        with_slots(roof_rub=Slot(35, 85, ("helper",))),
        "dust: 'roof.rub' from 35 to 85 and 'right.prime' from 28 to 34 are not apart",
    ),
    "not served": (with_mixes(*MIXES[:2]), "'right.coat' takes 'colour' from 0 mixes"),
    "served twice": (
        with_mixes(*MIXES, Mix("primer", 64, 67, ("left.prime",), ("boss",))),
        "'left.prime' takes 'primer' from 2 mixes",
    ),
    "overfull": (
        with_mixes(MIXES[0], Mix("colour", 62, 64, ("left.coat", "right.coat"), ("boss",))),
        "the mixing of 'colour' at 62 gives 10 to left.coat, right.coat, and holds 7",
    ),
    "not stood": (
        with_mixes(MIXES[0]._replace(start=16, end=19), *MIXES[1:]),
        "'left.prime' starts at 20, before the mixing of 'primer' at 16 has stood 2",
    ),
    "gone off": (
        with_mixes(MIXES[0], MIXES[1]._replace(start=53, end=55), MIXES[2]),
        "'left.coat' ends at 85, after the mixing of 'colour' at 53 has lived its 30",
    ),
    "mixed in haste": (
        with_mixes(MIXES[0]._replace(end=14), *MIXES[1:]),
        "the mixing of 'primer' at 12 ends at 14, but takes 3",
    ),
    "mixed while shut": (
        with_mixes(MIXES[0]._replace(start=8, end=11), *MIXES[1:]),
        "the mixing of 'primer' at 8 runs to 11 while the shop is shut",
    ),
    "mixed by the unskilled": (
        with_mixes(*MIXES[:2], MIXES[2]._replace(people=("helper",))),
        "the mixing of 'colour' at 62 takes the skills ('spray',), which helper do not have",
    ),
    "mixed for nothing": (
        with_mixes(*MIXES, Mix("primer", 70, 73, (), ("boss",))),
        "the mixing of 'primer' at 70 serves nothing",
    ),
    "the wrong paint": (
        with_mixes(MIXES[0], MIXES[1]._replace(serves=("left.coat", "roof.rub")), MIXES[2]),
        "the mixing of 'colour' at 60 serves 'roof.rub', which takes none of it",
    ),
    "no such paint": (
        with_mixes(*MIXES, Mix("lacquer", 70, 73, ("roof.rub",), ("boss",))),
        "the mixing of 'lacquer' at 70 is of no pot of the problem",
    ),
    "out of order": (
        with_mixes(MIXES[1], MIXES[0], MIXES[2]),
        "the mixing of 'primer' at 12 stands after the mixing of 'colour' at 60",
    ),
}


def test_a_sound_timetable_has_no_faults():
    assert faults(PROBLEM, TIMETABLE) == ()


@pytest.mark.parametrize(("timetable", "told"), BREACHES.values(), ids=list(BREACHES))
def test_every_breach_is_named(timetable, told):
    assert any(told in fault for fault in faults(PROBLEM, timetable)), faults(PROBLEM, timetable)


def test_too_early():
    tasks = tuple(replace(task, earliest=29) for task in PROBLEM.tasks)
    told = faults(replace(PROBLEM, tasks=tasks), TIMETABLE)
    assert "'right.prime' starts at 28, before 29" in told


def test_nobody_else_comes_into_a_booth_that_is_held():
    tasks = (*PROBLEM.tasks, Task("lid.coat", 5, tools=("booth",)))
    problem = replace(PROBLEM, tasks=tasks)
    inside = Timetable(SLOTS | {"lid.coat": Slot(55, 60, ("boss",))}, MIXES)
    outside = Timetable(SLOTS | {"lid.coat": Slot(85, 90, ("boss",))}, MIXES)
    assert faults(problem, outside) == ()
    (told,) = faults(problem, inside)
    assert told.startswith("'lid.coat' from 55 to 60 finds no 'booth' free and clean")
    assert "'left.prime' and 'left.coat' 20 to 85" in told


def uses(count, *tasks):
    """Tasks (start, product) of 10 ticks with `count` guns that take 5 to clean."""
    keys = [f"task {n}" for n in range(len(tasks))]
    problem = Problem(
        tuple(
            Task(key, 10, (), ("gun",), product)
            for key, (_, product) in zip(keys, tasks, strict=True)
        ),
        people=(),
        open=((0, 1000),),
        tools=(Tool("gun", count, 5),),
    )
    slots = {k: Slot(start, start + 10) for k, (start, _) in zip(keys, tasks, strict=True)}
    return faults(problem, Timetable(slots))


def test_two_guns_are_told_off_as_well_as_can_be():
    # Whichever gun the work without paint takes, one of the two would find the other unclean.
    assert uses(2, (0, "a"), (1, "b"), (11, ""), (12, "b")) == ()
    assert uses(2, (0, "a"), (1, "b"), (11, ""), (12, "a")) == ()
    assert len(uses(2, (0, "a"), (1, "b"), (11, "c"), (30, "c"))) == 1
    assert len(uses(2, (0, "a"), (5, "a"), (9, "a"))) == 1
    assert uses(2, (0, "a"), (5, "a"), (10, "a")) == ()


def test_nothing_in_a_tool_cleans_nothing():
    assert len(uses(1, (0, "a"), (10, ""), (22, "b"))) == 0
    assert len(uses(1, (0, "a"), (14, "b"))) == 1
    tasks = (
        Task("a", 10, (), ("gun",), "a"),
        Task("b", 10, (), ("gun",), "b"),
        Task("", 1, (), ("gun",)),
    )
    problem = Problem(tasks, (), ((0, 99),), tools=(Tool("gun", 1, 5),))
    slots = {"a": Slot(0, 10), "": Slot(10, 11), "b": Slot(14, 24)}
    assert len(faults(problem, Timetable(slots))) == 1


def test_two_products_in_one_hold():
    tasks = (Task("a", 10, (), ("gun",), "a"), Task("b", 10, (), ("gun",), "b"))
    problem = Problem(
        tasks, (), ((0, 99),), tools=(Tool("gun", 1, 5),), holds=(Hold("gun", ("a", "b")),)
    )
    assert len(faults(problem, Timetable({"a": Slot(0, 10), "b": Slot(14, 24)}))) == 1
    assert faults(problem, Timetable({"a": Slot(0, 10), "b": Slot(15, 25)})) == ()


def test_skills_are_shared_out_in_any_order():
    people = (Person("both", frozenset({"spray", "mask"})), Person("one", frozenset({"mask"})))
    problem = Problem((Task("coat", 5, ("mask", "spray")),), people, ((0, 99),))
    assert faults(problem, Timetable({"coat": Slot(0, 5, ("both", "one"))})) == ()


def test_measure_counts_days_manned_time_and_mixes():
    # Day one from the masking at 10 to the last coat at 90, and nothing after.
    assert measure(PROBLEM, TIMETABLE) == Measure(days=1, manned=80, end=90, mixes=3)
    late = with_slots(right_coat=Slot(150, 155, ("painter",)))
    assert measure(PROBLEM, late) == Measure(days=2, manned=76 + 5, end=155, mixes=3)


def test_what_is_laid_down_overnight_is_manned_on_both_days():
    problem = Problem((Task("rub", 20, (), split=True),), (), OPEN, day=100)
    assert measure(problem, Timetable({"rub": Slot(80, 120)})) == Measure(2, 10 + 10, 120, 0)
