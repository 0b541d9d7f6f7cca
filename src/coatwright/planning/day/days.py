"""From a computed plan to days of work, and anew from any moment of them."""

import math
import time
from collections.abc import Sequence
from dataclasses import replace
from datetime import date
from typing import NamedTuple

from coatwright.engines.timetable.arranging import (
    DAYS_MOVES_MIXES,
    Budget,
    arrange,
    feasible,
    rearrange,
)
from coatwright.engines.timetable.clashes import Clash, Demand, clash
from coatwright.engines.timetable.problem import (
    DAYS_WAITING_MIXES,
    Goal,
    Lag,
    Measure,
    Outcome,
    Problem,
    Timetable,
)
from coatwright.errors import NotConverged
from coatwright.figures import Figure
from coatwright.planning.conditions.lapses import Bill
from coatwright.planning.day import habits
from coatwright.planning.day.anew.away import (
    Away,
    told_of_absences,
    with_absences,
    with_idle_days,
)
from coatwright.planning.day.anew.easing import dried, eased, instead
from coatwright.planning.day.anew.past import (
    Happening,
    News,
    past,
    told_of,
    was,
    with_what_follows,
)
from coatwright.planning.day.anew.pots import Stirred
from coatwright.planning.day.cleaning import as_before, cleaned, free_of_pairs, spared
from coatwright.planning.day.plan import DayClash, DayPlan
from coatwright.planning.day.problem import problem_of, spray_windows, titles_of
from coatwright.planning.day.sets import AreaSet, area_sets, room_of
from coatwright.planning.day.sky import Sky
from coatwright.planning.day.steps import Bout, Maker, Steps, steps_of, until_dry
from coatwright.planning.day.stirring import stirred
from coatwright.planning.day.told import clashing, summing
from coatwright.planning.day.told.changes import changes
from coatwright.planning.day.told.pots import told_of_pots
from coatwright.planning.day.told.telling import SOURCE, Teller, clock, length
from coatwright.planning.day.told.windows import day_windows
from coatwright.planning.day.workings import MINUTES_A_DAY, Calendar, Kept, Workings
from coatwright.planning.day.works import AreaWork, Asked, area_works
from coatwright.planning.plan import Caution
from coatwright.sentences import joined, say

FIRST = 0.6
"""Share of the time for a plan that cleans every gun; the rest goes to one without what it shows to
be needless."""

GOAL = (*DAYS_WAITING_MIXES, Measure(end=1))
"""Fewest days, then the least time at the shop, then fewest mixes, then done soonest."""

EFFORT = 0.25
"""Solver's effort for each second: on a machine that is not busy it ends the search before the
clock does, so that the same question gets the same answer (measured on two cores)."""

__all__ = ["Away", "Happening", "Stirred", "plan_days", "plan_works", "ready", "replan", "told"]

ROUNDS = 5
"""How often a plan is gone over for guns that want cleaning."""

PATIENCE = 8.0
"""How many times the seconds are spent before it is said that no plan was found."""

LEAST_SHARE = 0.25
"""A try to plan anew has at least this share of the time, however much went to those before it."""

SPARE_DAYS = 4
"""Days looked at beyond those that the rest of a plan takes."""

LONGEST_DAYS = 60
"""Days beyond which no plan is sought."""


class Ask(NamedTuple):
    """A question put to the timetable, and all it was made from."""

    asked: Asked
    sky: Sky
    maker: Maker
    sets: tuple[AreaSet, ...]
    steps: Steps
    calendar: Calendar
    problem: Problem


def plan_days(
    asked: Asked, budget_seconds: float = 10.0, cautions: tuple[Caution, ...] = ()
) -> DayPlan:
    """Days of work for a job: fewest days, then least time at the shop, then fewest mixes.

    budget_seconds [s] is what the search may take; a plan stands after a fraction of it and is
    made better until then. Where no plan exists the answer says why (DayPlan.clash).
    """
    return plan_works(asked, area_works(asked), budget_seconds, cautions)


def plan_works(
    asked: Asked,
    works: Sequence[AreaWork],
    budget_seconds: float = 10.0,
    cautions: tuple[Caution, ...] = (),
) -> DayPlan:
    """The same for work that is already known, area by area."""
    maker, sets = ready(asked, works)
    ask = _ask(asked, maker.sky, maker, sets)
    if not ask.steps.bouts:
        return _nothing(asked, cautions)
    made, trouble = _arranged(ask, _budget(budget_seconds * FIRST, GOAL))
    if made is None:
        return _refused(ask, trouble, cautions)
    return _told(_sparing(made, _budget(budget_seconds * (1.0 - FIRST), GOAL)), cautions)


def ready(asked: Asked, works: Sequence[AreaWork]) -> tuple[Maker, tuple[AreaSet, ...]]:
    """What the steps of a job are made with, and its areas in sets."""
    sky = Sky.over(asked)
    maker = Maker(asked.job, sky, Bill(asked.work, asked.job.workshop.rates.hour.amount))
    room = room_of(asked.job.workshop, {k: sky.pot_life(m) for k, m in asked.library.items()})
    return maker, area_sets(works, room)


def _budget(seconds: float, goal: Goal) -> Budget:
    return Budget(seconds, EFFORT * seconds, goal)


def _ask(asked: Asked, sky: Sky, maker: Maker, sets: tuple[AreaSet, ...], days: int = 0) -> Ask:
    steps = steps_of(sets, maker)
    hours = asked.job.workshop.hours
    first = asked.first
    days = days or _horizon(asked, steps, Calendar(hours, first, 7))
    calendar = Calendar(hours, first, days, idle=asked.idle)
    problem = problem_of(asked, sets, steps, maker, calendar)
    return Ask(asked, sky, maker, sets, steps, calendar, problem)


def _horizon(asked: Asked, steps: Steps, week: Calendar) -> int:
    """Days that are surely enough if any are: the longest chain and the work, with room."""
    reached: dict[str, int] = {}
    works = {bout.key: bout.work for bout in steps.bouts}
    for _ in range(len(steps.lags)):
        changed = False
        for lag in steps.lags:
            before = reached.get(lag.before, 0)
            left = before + (works[lag.before] if lag.leaves == "end" else 0)
            moment = left + (lag.least or 0)
            if moment > reached.get(lag.after, 0):
                reached[lag.after], changed = moment, True
        if not changed:
            break
    chain = max((at + works[key] for key, at in reached.items()), default=0)
    opened = sum(b - a for a, b in week.spans()) / 7
    people = len(asked.job.hands) + len(asked.job.workshop.helpers)
    days = chain / MINUTES_A_DAY + sum(works.values()) / max(opened * people, 1.0)
    return min(math.ceil(1.5 * days) + 4, LONGEST_DAYS)


def _arranged(ask: Ask, budget: Budget) -> tuple[Workings | None, Clash | str]:
    """The best plan; where none exists one with windows let close, or the clash."""
    try:
        return _made(ask, arrange(ask.problem, budget)), ""
    except NotConverged as fault:
        if not _impossible(fault):
            return None, fault.what
    wider = _ask(ask.asked, ask.sky, ask.maker, ask.sets, LONGEST_DAYS)
    longer = feasible(wider.problem, budget.seconds / 3)
    if longer:
        return _made(wider, arrange(wider.problem, budget)), ""
    try:
        found = clash(ask.problem, budget.seconds / 2, feasible)
    except NotConverged as fault:
        return None, fault.what
    if longer is False:  # proven for as many days as are looked at: days are not what is short
        found = replace(found, demands=tuple(d for d in found.demands if d.kind != "horizon"))
    lapsing = _lapsing(ask, found.give_up or ())
    if not lapsing - ask.maker.lapsing:
        return None, found
    maker = replace(ask.maker, lapsing=ask.maker.lapsing | lapsing)
    again, trouble = _arranged(_ask(ask.asked, ask.sky, maker, ask.sets), budget)
    return again, trouble if again is None else found


def _impossible(fault: NotConverged) -> bool:
    return fault.what.startswith("no timetable exists")


def _lapsing(ask: Ask, give_up: Sequence[Demand]) -> frozenset[tuple[str, str]]:
    """Layers, by set and product, whose windows those lags are."""
    bouts = {bout.key: bout for bout in ask.steps.bouts}
    return frozenset((bouts[one.keys[0]].set, bouts[one.keys[0]].product) for one in give_up)


def _sparing(made: Workings, budget: Budget) -> Workings:
    """The plan again without needless cleaning of guns, and with what it wants, from what it is.

    Half of the time goes to the first of it; what is wanting then is added as often as need be.
    """
    seconds = budget.seconds / 2
    steps = cleaned(spared(made.steps, made.timetable), made.timetable)
    for _ in range(ROUNDS):
        if steps is made.steps:
            break
        problem = problem_of(made.asked, made.sets, steps, made.maker, made.calendar)
        try:
            outcome = arrange(problem, _budget(seconds, budget.goal), start=made.timetable)
        except NotConverged:
            steps = cleaned(made.steps, made.timetable)
        else:
            made = replace(made, steps=steps, problem=problem, outcome=outcome)
            steps = cleaned(steps, made.timetable)
        seconds = budget.seconds / 2 / (ROUNDS - 1)
    return made


def _made(ask: Ask, outcome: Outcome) -> Workings:
    return Workings(
        ask.asked, ask.calendar, ask.sky, ask.maker, ask.sets, ask.steps, ask.problem, outcome
    )


def _told(
    made: Workings, cautions: tuple[Caution, ...], changed: tuple[str, ...] = (), anew: bool = False
) -> DayPlan:
    goal = DAYS_MOVES_MIXES if anew else GOAL
    made = replace(made, outcome=stirred(made.problem, made.outcome, goal, made.now))
    return told(made, cautions, changed, anew)


def told(
    made: Workings, cautions: tuple[Caution, ...], changed: tuple[str, ...] = (), anew: bool = False
) -> DayPlan:
    """Days of work as a person reads them, of a timetable that is arranged; changed: sentences.

    anew: it was arranged anew once the days had begun.
    """
    teller = Teller(made)
    entries = teller.entries()
    goals = summing.goals_of(made, anew)
    days = summing.days_of(made, entries)
    waiting = sum(day.waiting.value for day in days)
    last = max(one.end.value for one in entries if one.people)
    return DayPlan(
        title=made.asked.job.title,
        start=_iso(made.calendar.first),
        days=days,
        people=summing.people_of(made, entries),
        entries=entries,
        mixes=teller.mixes(),
        windows=day_windows(made),
        day_count=Figure(len(days) * 86400.0, "days", "formula", SOURCE, "to the last work"),
        waiting=Figure(waiting, "hours", "formula", SOURCE,
                       "sum over days of open hours between first and last work with nobody at "
                       "work"),
        mix_count=Figure(len(made.timetable.mixes), "count", "formula", SOURCE),
        ends=clock(last / habits.TICK),
        goals=goals,
        proven=all(goal.proven for goal in goals),
        proof=summing.proof_of(made, goals),
        rules=habits.RULES,
        notes=_notes(made),
        cautions=cautions,
        changes=changed,
        workings=Kept(made),
    )  # fmt: skip


def _iso(first: date | None) -> str:
    return first.isoformat() if first else ""


def _notes(made: Workings) -> tuple[str, ...]:
    """What the plan takes for granted, or lets lapse."""
    found = [say("{text}.", text=one.text) for one in made.steps.lapsed]
    if made.calendar.first is None:
        found.append(
            say(
                "There is no date: every day counts as a working day, and the shop's "
                "usual climate holds day and night. A table of weather gives both."
            )
        )
    elif not made.sky.day.steady:
        found.append(say("Days past the end of the weather table are taken to be like its last."))
    if any(len(one.works) > 1 for one in made.sets):
        found.append(
            say(
                "Areas alike in their layers are done one after another as a set, as "
                "long as a coat of all of them fits one mix."
            )
        )
    if any("isocyanate" in sheet.hazards for sheet in made.asked.library.values()):
        found.append(
            say(
                "Work beside the spraying of isocyanates, and rests soon after it, are "
                "planned as if there were another room for them; where there is none, "
                "they wait."
            )
        )
    return (*found, *_hours_notes(made), *_gun_notes(made))


def _hours_notes(made: Workings) -> list[str]:
    windows = spray_windows(made.asked, made.sky, made.calendar)
    titles = [made.asked.library[key].title for key in windows if key in made.asked.library]
    if not titles:
        return []
    return [
        say(
            "Weather keeps these from being sprayed at some hours: {titles}.",
            titles=joined(", ", sorted(titles)),
        )
    ]


def _gun_notes(made: Workings) -> list[str]:
    """Coats after which a gun changes product with nobody told off to clean it, only time left."""
    after = cleaned(made.steps, made.timetable).bouts
    titles = {one.key: one.title for one in made.sets}
    return [
        say(
            "Clean {guns} after coat {coat} of {library} on {titles}: it takes "
            "another product next, and 10 min are left for it.",
            guns=joined(" and ", one.guns),
            coat=one.coat,
            library=made.asked.library[one.product].title,
            titles=titles[one.set],
        )
        for one, known in zip(after, made.steps.bouts, strict=True)
        if one.cleaning and not known.cleaning
    ]


def _nothing(asked: Asked, cautions: tuple[Caution, ...]) -> DayPlan:
    """Nothing is to be laid: no days."""
    return _empty(asked, cautions, None, say("Nothing is to be done."))


def _refused(ask: Ask, trouble: Clash | str, cautions: tuple[Caution, ...]) -> DayPlan:
    """No plan, and why."""
    if isinstance(trouble, Clash):
        found = clashing.told(trouble, ask.steps, ask.sets)
    else:
        found = DayClash(say("No day was found: {trouble}.", trouble=trouble), (), False,
                         say("Allow more seconds, or plan fewer areas at a time."))  # fmt: skip
    return _empty(ask.asked, cautions, found, found.text)


def _empty(
    asked: Asked, cautions: tuple[Caution, ...], trouble: DayClash | None, proof: str
) -> DayPlan:
    none = Figure(0.0, "count", "formula", SOURCE)
    first = asked.first
    return DayPlan(
        title=asked.job.title,
        start=_iso(first),
        days=(),
        people=(),
        entries=(),
        mixes=(),
        windows=(),
        day_count=Figure(0.0, "days", "formula", SOURCE),
        waiting=length(0.0, "nothing is done"),
        mix_count=none,
        ends=None,
        goals=(),
        proven=False,
        proof=proof,
        clash=trouble,
        rules=habits.RULES,
        cautions=cautions,
    )


def replan(
    day: DayPlan,
    now: float,
    happened: Sequence[News] = (),
    budget_seconds: float = 1.3,
    away: Sequence[Away] | None = None,
    idle: tuple[int, ...] | None = None,
) -> DayPlan:
    """The rest of a day plan anew from a moment [s from the first midnight], with least change.

    What was to begin before now and is not named in happened is taken to have gone as planned,
    unless its people were still at something named. A mix told of gives what is left in it while it
    lives; whatever it can no longer serve gets another. away: all who are away at times, None as
    known before; idle: the same of days on which nobody works. The search ends when the budget is
    spent; telling what it found comes to that. The new plan says in sentences what changed; where
    the past leaves no way its clash says so.
    """
    if day.workings is None:
        return day
    before = day.workings.made
    made = before if idle is None else with_idle_days(before, idle)
    made = made if away is None else with_absences(made, away)
    moment = math.ceil(now / habits.TICK - 1e-9)
    made = _long_enough(made, moment)
    news = with_what_follows(made, told_of(made, happened), moment)
    went, origins = was(made, moment, news, happened)
    ask = _once_more(made, went, moment)
    done, begun = past(went, moment, news)
    if not (news or happened) and made is before and ask.maker is made.maker:
        same = replace(made, done=done, begun=begun, now=moment)
        return _told(same, day.cautions, changes(made, same, moment), anew=made.now > 0)
    try:
        ask, outcome = _found((ask, went, moment), budget_seconds)
    except NotConverged as fault:
        return _stuck(day, fault)
    anew = replace(_made(ask, outcome), done=done, begun=begun, now=moment)
    changed = (
        *instead(ask.steps, _as_it_went(ask, went), anew.timetable),
        *told_of_absences(before, anew, moment, titles_of(made.asked)),
        *told_of_pots(before, anew, moment, origins),
    )
    return _told(anew, day.cautions, (*changed, *changes(before, anew, moment, changed)), anew=True)


def _found(asked: tuple[Ask, Timetable, int], seconds: float) -> tuple[Ask, Outcome]:
    """The rest arranged anew; where nothing was found and nothing is proven, with more time."""
    try:
        return _rearranged(asked, seconds)
    except NotConverged as fault:
        if _impossible(fault):
            raise
    return _rearranged(asked, PATIENCE * seconds)


def _stuck(day: DayPlan, fault: NotConverged) -> DayPlan:
    """The day as it was, with the reason for which there is no way on."""
    proven = _impossible(fault)
    head = (
        say("From now on no plan keeps every promise: {what}.", what=fault.what)
        if proven
        else say("No plan was found from now on: {what}.", what=fault.what)
    )
    way_out = say("Plan the rest afresh, with what has lapsed keyed or laid again.")
    trouble = DayClash(head, (), proven, way_out)
    return replace(day, clash=trouble, changes=(trouble.text,))


def _long_enough(made: Workings, now: int) -> Workings:
    """The question with as many days ahead as its work may take, if days have gone by unused."""
    left = [slot for slot in made.timetable.slots.values() if slot.end > made.now]
    if not left:
        return made
    low, high = min(slot.start for slot in left), max(slot.end for slot in left)
    wanted = now // MINUTES_A_DAY + (high - low) // MINUTES_A_DAY + SPARE_DAYS
    if wanted <= made.calendar.days:
        return made
    calendar = replace(made.calendar, days=wanted)
    problem = problem_of(made.asked, made.sets, made.steps, made.maker, calendar)
    problem = replace(problem, people=made.problem.people)
    return replace(made, calendar=calendar, problem=problem)


def _once_more(made: Workings, went: Timetable, now: int) -> Ask:
    """The question of a plan again, with what has lapsed by now keyed, and lags as it went."""
    ask = Ask(made.asked, made.sky, made.maker, made.sets, made.steps, made.calendar, made.problem)
    late = _late(ask, went, now)
    if late:
        maker = replace(made.maker, lapsing=made.maker.lapsing | late)
        steps = as_before(steps_of(made.sets, maker), made.steps)
        problem = problem_of(made.asked, made.sets, steps, maker, made.calendar)
        problem = replace(problem, people=made.problem.people)
        ask = ask._replace(maker=maker, steps=steps, problem=problem)
    return ask._replace(problem=replace(ask.problem, lags=_as_it_went(ask, went)))


def _rearranged(asked: tuple[Ask, Timetable, int], seconds: float) -> tuple[Ask, Outcome]:
    """The rest arranged anew, habits that it can no longer keep given up one kind after another.

    asked: the question, what went until now, and now. All tries together take these seconds, or
    little more.
    """
    (ask, went, now), until = asked, time.monotonic() + seconds
    budget = _budget(seconds, DAYS_MOVES_MIXES)

    def arranged(problem: Problem, share: float = 1.0) -> Outcome:
        left = max(until - time.monotonic(), budget.seconds * LEAST_SHARE)
        return rearrange(problem, went, now, replace(budget, seconds=left * share))

    try:
        return ask, arranged(ask.problem)
    except NotConverged:
        ask = ask._replace(steps=free_of_pairs(ask.steps))
        ask = ask._replace(problem=replace(ask.problem, lags=_as_it_went(ask, went)))
    try:
        return ask, arranged(ask.problem)
    except NotConverged:
        lags = eased(ask.steps, ask.problem.lags, went, now)
        outcome = arranged(replace(ask.problem, lags=lags), 0.5)

    def opens(before: Bout, after: Bout) -> int:
        return until_dry(ask.sets, ask.maker, before, after)

    dry = dried(ask.steps, lags, outcome.timetable, opens)
    problem = replace(ask.problem, lags=dry)
    return ask._replace(problem=problem), arranged(problem)


def _as_it_went(ask: Ask, went: Timetable) -> tuple[Lag, ...]:
    """The lags, those from a coat that took longer or shorter than planned moved by that much."""
    over = {
        bout.key: (_took(bout, went), len(bout.pieces) == 1)
        for bout in ask.steps.bouts
        if bout.coat and bout.key in went.slots
    }
    return tuple(
        _moved(lag, *over[lag.before]) if lag.leaves == "start" and lag.before in over else lag
        for lag in ask.steps.lags
    )


def _took(bout: Bout, went: Timetable) -> int:
    """Minutes by which a coat took longer than planned."""
    slot = went.slots[bout.key]
    return slot.end - slot.start - bout.work


def _moved(lag: Lag, over: int, alone: bool) -> Lag:
    """A lag from a coat that took longer; of several areas any may have been the late one."""
    late, soon = (over, over) if alone else (max(over, 0), min(over, 0))
    least = None if lag.least is None else lag.least + late
    return replace(lag, least=least, most=None if lag.most is None else lag.most + soon)


def _late(ask: Ask, went: Timetable, now: int) -> frozenset[tuple[str, str]]:
    """Layers laid before now whose window has closed with the next layer not begun."""
    bouts = {bout.key: bout for bout in ask.steps.bouts}
    found = set()
    for lag in ask.problem.lags:
        if lag.price > 0 and lag.most is not None:
            before, after = went.slots[lag.before], went.slots[lag.after]
            left = before.start if lag.leaves == "start" else before.end
            if before.start < now <= after.start and left + lag.most < now:
                found.add((bouts[lag.before].set, bouts[lag.before].product))
    return frozenset(found)
