"""What a day plan comes to: its days, people, goals and what is proven of them."""

from collections.abc import Iterable, Sequence

from coatwright.engines.timetable.problem import Span
from coatwright.figures import Figure
from coatwright.planning.cautions import cautions_for
from coatwright.planning.day.habits import TICK
from coatwright.planning.day.plan import Day, DayGoal, DayPerson, Entry, Stretch
from coatwright.planning.day.problem import titles_of
from coatwright.planning.day.told.clashing import act_told
from coatwright.planning.day.told.telling import SOURCE, clock, length, open_parts
from coatwright.planning.day.workings import MINUTES_A_DAY, Calendar, Workings
from coatwright.planning.plan import Caution
from coatwright.sentences import joined, say

GOALS = (
    ("days", say("days until all is laid"), "days"),
    (
        "manned",
        say("hours from the first to the last work of every day, all days together"),
        "hours",
    ),
    ("mixes", "mixes", "count"),
    ("end", say("time from the first midnight until all is laid"), "hours"),
)
"""What is made small, in this order: key, title, purpose."""

REARRANGED = (
    ("days", say("days until all is laid"), "days"),
    ("moved", say("how far everything moves, added up"), "hours"),
    ("mixes", "mixes", "count"),
)
"""The same when a day is planned anew once it has begun."""


def work_spans(entries: Iterable[Entry], day: int | None = None) -> list[Span]:
    """Attended stretches [min] of all or of one day."""
    found = []
    for one in entries:
        if one.people and one.kind in ("work", "spray"):
            parts = one.parts or (Stretch(one.start, one.end),)
            found += [(_minute(part.start), _minute(part.end)) for part in parts]
    if day is None:
        return found
    return [span for span in found if span[0] // MINUTES_A_DAY + 1 == day]


def _minute(figure: Figure) -> int:
    return round(figure.value / TICK)


def covered(spans: Sequence[Span]) -> int:
    """Minutes in which at least one of the spans runs [min]."""
    total, until = 0, -1
    for low, high in sorted(spans):
        total += max(high - max(low, until), 0)
        until = max(until, high)
    return total


def idle(calendar: Calendar, spans: Sequence[Span]) -> int:
    """Open minutes between the first and the last work of a day in which nobody works [min]."""
    if not spans:
        return 0
    low, high = min(a for a, _ in spans), max(b for _, b in spans)
    opened = sum(b - a for a, b in open_parts(calendar.spans(), low, high))
    return opened - covered(spans)


def days_of(made: Workings, entries: Sequence[Entry]) -> tuple[Day, ...]:
    """Every day to the last on which something is done."""
    last = max((one.day for one in entries if one.people), default=0)
    return tuple(_day(made, entries, number) for number in range(1, last + 1))


def _day(made: Workings, entries: Sequence[Entry], number: int) -> Day:
    mine = [one for one in entries if one.day == number]
    spans = work_spans(entries, number)
    calendar, at = made.calendar, (number - 1) * MINUTES_A_DAY
    on = calendar.date(number - 1)
    mixes = sum(one.act == "mix" for one in mine)
    work = sum(one.work.value * len(one.people) for one in mine)
    breaks = tuple(Stretch(one.start, one.end) for one in mine if one.kind == "rest")
    return Day(
        key=f"day-{number}",
        number=number,
        date=on.isoformat() if on else "",
        title=f"Day {number}" + (f", {on:%A} {on.day} {on:%B}" if on else ""),
        opens=clock(at + calendar.opens, "hours of the shop"),
        closes=clock(at + calendar.closes, "hours of the shop"),
        begins=clock(min(a for a, _ in spans)) if spans else None,
        ends=clock(max(b for _, b in spans)) if spans else None,
        work=Figure(work, "hours", "formula", SOURCE, "sum over people of their work"),
        waiting=length(idle(calendar, spans), "open hours between first and last work with nobody "
                       "at work"),
        mixes=Figure(mixes, "count", "formula", SOURCE),
        breaks=breaks,
        summary=_summary(made, mine, number),
        cautions=_cautions(made, mine),
    )  # fmt: skip


def _summary(made: Workings, mine: Sequence[Entry], number: int) -> str:
    """The day in one sentence."""
    if not any(one.people for one in mine):
        shut = not made.calendar.works(number - 1)
        return say("The shop is closed; it dries.") if shut else say("Nothing is done: it dries.")
    laid = list(dict.fromkeys(one.product for one in mine if one.act == "coat"))
    titles = [made.asked.library[key].title for key in laid]
    areas = len({one.area for one in mine if one.act == "coat"})
    if not titles:
        acts = [act_told(act) for act in dict.fromkeys(one.act for one in mine if one.people)]
        return say("No coat: {acts}.", acts=_listed(acts))
    listed = _listed(titles)
    if areas == 1:
        return say("{listed!c} on 1 area.", listed=listed)
    return say("{listed!c} on {areas} areas.", listed=listed, areas=areas)


def _listed(words: Sequence[str]) -> str:
    return (
        words[0]
        if len(words) == 1
        else say("{words} and {words2}", words=joined(", ", words[:-1]), words2=words[-1])
    )


def _cautions(made: Workings, mine: Sequence[Entry]) -> tuple[Caution, ...]:
    """What the products of a day call for, where they are met."""
    asked = made.asked
    keys = {one.product for one in mine if one.people and one.product}
    acts = {one.act for one in mine if one.people}
    places = {"mixing", "spraying", "air", "storing"} if acts & {"coat", "mix"} else {"storing"}
    if any(act.startswith(("abrade", "block")) for act in acts):
        places |= {"rubbing"}
    if any(act.startswith("strip") for act in acts):
        places |= {"stripping"}
    steps = [step for area in asked.areas for patch in area.patches for step in patch.route.steps]
    steps = [step for step in steps if step.act in acts]
    old = any(patch.layers for area in asked.job.areas for patch in area.patches)
    every = cautions_for([asked.library[key] for key in sorted(keys)], steps, asked.job.workshop,
                         old_paint=old and bool(steps))  # fmt: skip
    return tuple(one for one in every if one.where in places)


def people_of(made: Workings, entries: Sequence[Entry]) -> tuple[DayPerson, ...]:
    """Everybody with their hours."""
    titles = titles_of(made.asked)
    present = sum(
        b - a
        for day in {one.day for one in entries if one.people}
        for a, b in made.calendar.spans()
        if a // MINUTES_A_DAY + 1 == day
    )
    found = []
    for person in made.problem.people:
        mine = sum(one.work.value for one in entries if person.key in one.people)
        work = Figure(mine, "hours", "formula", SOURCE, "sum of the work")
        share = mine / (present * TICK) if present else 0.0
        busy = Figure(share, "fraction", "formula", SOURCE,
                      "work / open hours of the days of work", {"work": work})  # fmt: skip
        found.append(DayPerson(person.key, titles[person.key], work, busy))
    return tuple(found)


def goals_of(made: Workings, moved: bool = False) -> tuple[DayGoal, ...]:
    """What was made small, with the least it could be."""
    outcome = made.outcome
    rows = zip(REARRANGED if moved else GOALS, outcome.values, outcome.bounds, strict=True)
    found = []
    for stage, ((key, title, purpose), value, bound) in enumerate(rows):
        scale = {"days": 86400.0, "hours": TICK, "count": 1.0}[purpose]
        found.append(
            DayGoal(
                key=key,
                title=title,
                value=Figure(value * scale, purpose, "formula", SOURCE, "as arranged"),
                bound=Figure(bound * scale, purpose, "formula", SOURCE,
                             "no arrangement of these sets that is as good in what comes before "
                             "can be below this"),
                gap=Figure(outcome.gap(stage), "fraction", "formula", SOURCE,
                           "(value - bound) / value"),
                proven=value == bound,
            )
        )  # fmt: skip
    return tuple(found)


def proof_of(made: Workings, goals: Sequence[DayGoal]) -> str:
    """One sentence on what is proven, and of what."""
    alone = all(len(one.works) == 1 for one in made.sets)
    sets = say("that keeps these rules") if alone else (
        say("that does these sets of areas in one go and keeps these rules")
    )  # fmt: skip
    if all(goal.proven for goal in goals):
        return say("Proven: no plan {sets} is better.", sets=sets)
    proven = [goal.title for goal in goals if goal.proven]
    rest = [
        say(
            "{goal} may lie up to {gap:.0%} above the least there is",
            goal=goal.title,
            gap=goal.gap.value,
        )
        for goal in goals
        if not goal.proven
    ]
    head = (
        say("Proven least, for any plan {sets}: {proven}. ", sets=sets, proven=_listed(proven))
        if proven
        else ""
    )
    return say("{head}Not proven in the time allowed: {rest}.", head=head, rest=joined("; ", rest))
