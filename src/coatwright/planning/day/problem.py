"""The day as a problem for the timetable: people, guns, bays, pots, hours, lags."""

import math
from collections.abc import Mapping, Sequence

from coatwright.engines.timetable.problem import (
    Apart,
    Person,
    Pot,
    Problem,
    Span,
    Task,
    Tool,
)
from coatwright.model.conditions.hours import seconds_of
from coatwright.model.material import Material
from coatwright.planning.day import habits
from coatwright.planning.day.sets import AreaSet, mixed
from coatwright.planning.day.sky import Sky
from coatwright.planning.day.steps import Bout, Maker, Steps, minutes, minutes_within
from coatwright.planning.day.workings import MINUTES_A_DAY, Calendar
from coatwright.planning.day.works import Asked
from coatwright.sentences import say

BAY = "bay"
MIX = "mix"
ALWAYS = MINUTES_A_DAY * 365


def problem_of(
    asked: Asked, sets: Sequence[AreaSet], steps: Steps, maker: Maker, calendar: Calendar
) -> Problem:
    """Everything that is to be scheduled, in minutes from the first midnight."""
    windows = spray_windows(asked, maker.sky, calendar)
    finishes = {one.key: len(one.products) - 1 for one in sets}
    light = daylight(calendar)
    tasks = tuple(
        _task(bout, _both(windows.get(bout.product, ()),
                          light if bout.layer == finishes[bout.set] else ()))
        for bout in steps.bouts
    )  # fmt: skip
    return Problem(
        tasks=tasks,
        people=people_of(asked),
        open=calendar.spans(),
        lags=steps.lags,
        tools=_tools(asked, steps.bouts),
        pots=tuple(pots_of(asked, steps.bouts, maker.sky)),
        aparts=tuple(_dust(sets, steps.bouts, maker)),
        day=MINUTES_A_DAY,
    )


def _task(bout: Bout, windows: tuple[Span, ...]) -> Task:
    sprayed = bout.kind == "spray"
    return Task(
        key=bout.key,
        work=bout.work,
        people=(bout.person,),
        tools=(BAY, *bout.guns) if sprayed else (),
        product=bout.product if sprayed else "",
        split=bout.split,
        windows=windows if sprayed else (),
    )


def people_of(asked: Asked) -> tuple[Person, ...]:
    """Hands, who spray in their own name and mix, and helpers, who do neither."""
    hands = [Person(hand.key, frozenset({hand.key, MIX})) for hand in asked.job.hands]
    known = {hand.key for hand in hands}
    helpers = [Person(h.key) for h in asked.job.workshop.helpers if h.key not in known]
    return (*hands, *helpers)


def titles_of(asked: Asked) -> dict[str, str]:
    """Names of all who work, by key."""
    titles = {one.key: one.title for one in asked.job.workshop.helpers}
    return titles | {one.key: one.title for one in asked.job.hands}


def _tools(asked: Asked, bouts: Sequence[Bout]) -> tuple[Tool, ...]:
    used = sorted({gun for bout in bouts for gun in bout.guns})
    guns = [Tool(key, 1, minutes(habits.GUN_CLEANING)) for key in used]
    return (Tool(BAY, asked.job.workshop.bays), *guns)


def pots_of(asked: Asked, bouts: Sequence[Bout], sky: Sky) -> list[Pot]:
    """One kind of pot for every product that is mixed."""
    found = []
    for key in dict.fromkeys(bout.product for bout in bouts if bout.coat):
        material = asked.library[key]
        if mixed(material):
            coats = tuple((b.key, max(b.paint, 1)) for b in bouts if b.coat and b.product == key)
            life = sky.pot_life(material)
            found.append(
                Pot(
                    key=key,
                    capacity=max(cup_of(asked, material), max(amount for _, amount in coats)),
                    life=ALWAYS if life is None else minutes_within(life),
                    mixing=minutes(habits.MIXING),
                    amounts=coats,
                    stand=minutes(material.induction),
                    people=(MIX,),
                )
            )
    return found


def cup_of(asked: Asked, material: Material) -> int:
    """What one mix may come to [mL]: the cup, or what the scale can weigh."""
    workshop = asked.job.workshop
    densest = max(part.density for part in material.components)
    return math.floor(min(workshop.mixing_cup, workshop.scale.capacity / densest) * 1e6)


def _dust(sets: Sequence[AreaSet], bouts: Sequence[Bout], maker: Maker) -> list[Apart]:
    """Rubbing down apart from every coat of the other sets, with time to settle and to flash."""
    flash = {
        (one.key, index): minutes(max(maker.times(work, index).flash for work in one.works))
        for one in sets
        for index in range(len(one.products))
    }
    return [
        Apart(
            rub.key,
            coat.key,
            minutes(habits.DUST_SETTLES),
            flash[coat.set, coat.layer],
            say(
                "no dust from {set} while {product} on {set2} is wet",
                set=rub.set,
                product=coat.product,
                set2=coat.set,
            ),
        )
        for rub in bouts
        if rub.dusty
        for coat in bouts
        if coat.kind == "spray" and coat.set != rub.set
    ]


def spray_windows(asked: Asked, sky: Sky, calendar: Calendar) -> Mapping[str, tuple[Span, ...]]:
    """For every product the minutes in which go or no-go is not against it; () if always."""
    if asked.outlook is None or sky.day.steady:
        return {}
    found: dict[str, tuple[Span, ...]] = {}
    hours = asked.outlook.hours
    moments = [hour.time.value + sky.offset for hour in hours]
    ends = [*moments[1:], moments[-1] + 3600.0]
    for product in {go.key for hour in hours for go in hour.products}:
        allowed = [
            (moment, end)
            for hour, moment, end in zip(hours, moments, ends, strict=True)
            if any(go.key == product and go.verdict != "no go" for go in hour.products)
        ]
        if len(allowed) < len(hours):
            found[product] = _repeated(allowed, moments[-1], calendar.days)
    return found


def _repeated(allowed: Sequence[tuple[float, float]], last: float, days: int) -> tuple[Span, ...]:
    """Allowed hours as minutes, the table's last 24 hours over again; never empty."""
    spans = [(round(a / habits.TICK), round(b / habits.TICK)) for a, b in allowed]
    tail = [(a, b) for a, b in spans if a * habits.TICK > last - 86400.0]
    for day in range(1, days + 1):
        spans += [(a + day * MINUTES_A_DAY, b + day * MINUTES_A_DAY) for a, b in tail]
    return _joined(spans) or ((0, 1),)


def _joined(spans: Sequence[Span]) -> tuple[Span, ...]:
    found: list[Span] = []
    for low, high in sorted(spans):
        if found and low <= found[-1][1]:
            found[-1] = (found[-1][0], max(high, found[-1][1]))
        else:
            found.append((low, high))
    return tuple(found)


def daylight(calendar: Calendar) -> tuple[Span, ...]:
    """Minutes in which a finish may be sprayed; () if lamps do."""
    hours = calendar.hours
    if hours.light_from is None and hours.light_until is None:
        return ()
    low = round(seconds_of(hours.light_from or hours.opens) / habits.TICK)
    high = round(seconds_of(hours.light_until or hours.closes) / habits.TICK)
    return tuple((low + d * MINUTES_A_DAY, high + d * MINUTES_A_DAY) for d in range(calendar.days))


def _both(one: tuple[Span, ...], other: tuple[Span, ...]) -> tuple[Span, ...]:
    """The spans that lie in both; () stands for always."""
    if not one or not other:
        return one or other
    shared = [(max(a, c), min(b, d)) for a, b in one for c, d in other if max(a, c) < min(b, d)]
    return tuple(sorted(shared)) or ((0, 1),)
