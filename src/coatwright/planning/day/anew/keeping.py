"""A day plan as plain data that can be put away, and the same day plan made of it again.

What follows from the job is not put away but made again: only what a search decided, or what
happened, is. If the job no longer asks for the same work, nothing is made of it.
"""

import hashlib
import json
from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any, Final

from coatwright.engines.timetable.problem import (
    Lag,
    Measure,
    Mix,
    Outcome,
    Problem,
    Slot,
    Timetable,
)
from coatwright.planning.day.cleaning import GOES_ON
from coatwright.planning.day.days import ready, told
from coatwright.planning.day.plan import DayClash, DayPlan
from coatwright.planning.day.problem import people_of, problem_of
from coatwright.planning.day.steps import Steps, steps_of
from coatwright.planning.day.workings import Calendar, Workings
from coatwright.planning.day.works import Asked, area_works
from coatwright.planning.plan import Caution
from coatwright.sentences import apart, together

FORMAT: Final = "coatwright days"
VERSION: Final = 1

Data = dict[str, Any]


def put_away(day: DayPlan) -> Data | None:
    """A day plan as plain data; None if there are no days in it."""
    if day.workings is None:
        return None
    made = day.workings.made
    outcome, lags = made.outcome, made.problem.lags
    moved = [
        [place, lag.least, lag.most]
        for place, (lag, planned) in enumerate(zip(lags, made.steps.lags, strict=True))
        if (lag.least, lag.most) != (planned.least, planned.most)
    ]
    return {
        "format": FORMAT,
        "version": VERSION,
        "of": _mark(made.steps),
        "days": made.calendar.days,
        "shut": [list(span) for span in made.calendar.shut],
        "idle": list(made.calendar.idle),
        "away": {p.key: [list(span) for span in p.away] for p in made.problem.people if p.away},
        "lapsing": sorted(map(list, made.maker.lapsing)),
        "cleaning": {bout.key: bout.cleaning for bout in made.steps.bouts if bout.cleaning},
        "together": [[g.before, g.after, g.most] for g in made.steps.lags if g.name == GOES_ON],
        "lags": moved,
        "slots": {
            key: [*slot[:2], list(slot.people)] for key, slot in made.timetable.slots.items()
        },
        "mixes": [mix._asdict() for mix in made.timetable.mixes],
        "measure": outcome.measure._asdict(),
        "values": list(outcome.values),
        "bounds": list(outcome.bounds),
        "stopped": outcome.stopped,
        "done": sorted(made.done),
        "begun": sorted(made.begun),
        "now": made.now,
        "anew": any(goal.key == "moved" for goal in day.goals),
        "changes": [apart(text) for text in day.changes],
        "clash": _clash_written(day.clash),
    }


def as_text(kept: Data) -> bytes:
    """The data as JSON: the same data gives the same bytes."""
    return json.dumps(kept, ensure_ascii=False, sort_keys=True, separators=(",", ":")).encode()


def brought_back(
    asked: Asked, kept: Mapping[str, Any], cautions: tuple[Caution, ...] = ()
) -> DayPlan | None:
    """The day plan that was put away; None if the job asks for other work by now."""
    if kept.get("format") != FORMAT or kept.get("version") != VERSION:
        return None
    maker, sets = ready(asked, area_works(asked))
    maker = replace(maker, lapsing=frozenset((one, product) for one, product in kept["lapsing"]))
    steps = _steps(steps_of(sets, maker), kept)
    if not steps.bouts or _mark(steps) != kept["of"]:
        return None
    shut = tuple((a, b) for a, b in kept["shut"])
    idle = tuple(kept.get("idle", ()))
    calendar = Calendar(asked.job.workshop.hours, asked.first, kept["days"], shut, idle)
    problem = problem_of(asked, sets, steps, maker, calendar)
    made = Workings(
        asked, calendar, maker.sky, maker, sets, steps, _as_it_was(asked, problem, kept),
        _outcome(kept), frozenset(kept["done"]), frozenset(kept["begun"]), kept["now"],
    )  # fmt: skip
    changes = tuple(together(text) for text in kept["changes"])
    day = told(made, cautions, changes, kept["anew"])
    return replace(day, clash=_clash_read(kept["clash"])) if kept["clash"] else day


def _mark(steps: Steps) -> str:
    """Tells work apart that is not the same, to the minute and the millilitre."""
    bouts = [(bout.key, bout.work, bout.paint) for bout in steps.bouts]
    lags = [(lag.before, lag.after, lag.least, lag.most) for lag in steps.lags]
    return hashlib.sha256(repr((bouts, lags)).encode()).hexdigest()


def _steps(steps: Steps, kept: Mapping[str, Any]) -> Steps:
    """The steps with the cleanings of guns that were decided on."""
    cleaning = kept["cleaning"]
    bouts = tuple(replace(bout, cleaning=cleaning.get(bout.key, 0)) for bout in steps.bouts)
    together = tuple(
        Lag(before, after, 0, most, "end", "start", GOES_ON)
        for before, after, most in kept["together"]
    )
    return replace(steps, bouts=bouts, lags=(*steps.lags, *together))


def _as_it_was(asked: Asked, problem: Problem, kept: Mapping[str, Any]) -> Problem:
    """The problem with absences, and lags as the day had them."""
    lags = list(problem.lags)
    for place, least, most in kept["lags"]:
        lags[place] = replace(lags[place], least=least, most=most)
    away = kept["away"]
    people = tuple(
        replace(person, away=tuple((a, b) for a, b in away.get(person.key, ())))
        for person in people_of(asked)
    )
    return replace(problem, lags=tuple(lags), people=people)


def _outcome(kept: Mapping[str, Any]) -> Outcome:
    slots = {key: Slot(a, b, tuple(who)) for key, (a, b, who) in kept["slots"].items()}
    slots = dict(sorted(slots.items(), key=lambda row: (row[1].start, row[0])))
    mixes = tuple(
        Mix(**{**one, "serves": tuple(one["serves"]), "people": tuple(one["people"])})
        for one in kept["mixes"]
    )
    return Outcome(
        Timetable(slots, mixes),
        Measure(**kept["measure"]),
        tuple(kept["values"]),
        tuple(kept["bounds"]),
        kept["stopped"],
    )


def _clash_written(clash: DayClash | None) -> Data | None:
    if clash is None:
        return None
    return {
        "text": apart(clash.text),
        "cannot": [apart(one) for one in clash.cannot],
        "proven": clash.proven,
        "way_out": apart(clash.way_out),
        "give_up": [apart(one) for one in clash.give_up],
    }


def _clash_read(kept: Mapping[str, Any]) -> DayClash:
    return DayClash(
        together(kept["text"]),
        _texts(kept["cannot"]),
        kept["proven"],
        together(kept["way_out"]),
        _texts(kept["give_up"]),
    )


def _texts(kept: Sequence[Any]) -> tuple[str, ...]:
    return tuple(together(one) for one in kept)
