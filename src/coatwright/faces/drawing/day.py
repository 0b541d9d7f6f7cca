"""The day plan as pictures and rows: for each day a column per person and a row per area."""

from collections.abc import Iterable, Sequence
from datetime import date, datetime, time, timedelta
from typing import Final

from coatwright.faces.drawing.timeline import (
    ENGLISH,
    Block,
    Frame,
    Lane,
    Opening,
    areas_svg,
    describe_lanes,
    people_svg,
)
from coatwright.faces.format import MONTHS, WEEKDAYS, Words
from coatwright.planning.day.plan import Day, DayPlan, Entry
from coatwright.sentences import Said, joined, listed, say

DAY: Final = 86400.0
_HOUR: Final = 3600.0
PAUSE: Final = 300.0
"""Work of one kind with no more than this [s] between is drawn as one block."""


def day_people_svg(name: str, plan: DayPlan, day: Day, words: Words = ENGLISH) -> str:
    """Who does what: a column for each person, time downwards."""
    return people_svg(name, people_lanes(plan, day), frame_of(plan, day), words)


def day_areas_svg(name: str, plan: DayPlan, day: Day, words: Words = ENGLISH) -> str:
    """What happens to each area, and when it may be coated again."""
    return areas_svg(name, area_lanes(plan, day), frame_of(plan, day), words)


def describe_plan_day(plan: DayPlan, day: Day, words: Words = ENGLISH) -> str:
    """The day in sentences, one for each person."""
    return describe_lanes(people_lanes(plan, day), frame_of(plan, day), words)


def frame_of(plan: DayPlan, day: Day) -> Frame:
    """From the opening of the shop, or the first work, to the last: whole hours."""
    begins = day.begins.value if day.begins else day.opens.value
    ends = day.ends.value if day.ends else day.closes.value
    low = min(day.opens.value, begins) // _HOUR * _HOUR
    high = -(-max(ends, low + _HOUR) // _HOUR) * _HOUR
    midnight = f"{plan.start} 00:00" if plan.start else "2000-01-03 00:00"
    return Frame(low, high, midnight)


def people_lanes(plan: DayPlan, day: Day) -> list[Lane]:
    """Everybody who works that day, with coats, work, mixes and rests."""
    entries = [one for one in plan.entries if one.day == day.number and one.kind != "wait"]
    lanes = []
    for person in plan.people:
        mine = [one for one in entries if person.key in one.people]
        blocks = [block for run in _runs(mine) for block in _told(run)]
        if blocks:
            lanes.append(Lane(person.title, tuple(sorted(blocks))))
    return lanes


def _runs(entries: Sequence[Entry]) -> list[list[Entry]]:
    """Entries that follow each other with the same to do: area after area, nothing in between."""
    runs: list[list[Entry]] = []
    for one in sorted(entries, key=lambda entry: entry.start.value):
        last = runs[-1][-1] if runs else None
        if last is not None and _alike(last, one):
            runs[-1].append(one)
        else:
            runs.append([one])
    return runs


def _alike(one: Entry, other: Entry) -> bool:
    same = (one.kind, one.act, one.product, one.coat) == (
        other.kind,
        other.act,
        other.product,
        other.coat,
    )
    whole = not one.parts and not other.parts
    return same and whole and bool(one.area) and other.start.value - one.end.value <= PAUSE


def _told(run: Sequence[Entry]) -> Iterable[Block]:
    """One block for a run of entries, each area named."""
    first = run[0]
    if len(run) == 1:
        return _blocks(first)
    areas = ", ".join(dict.fromkeys(one.area_title for one in run))
    text = joined(": ", (_coat(first) if first.coat else Said(first.act), areas))
    return [Block(first.start.value, run[-1].end.value, text, first.kind)]


def _coat(one: Entry) -> str:
    return say("coat {coat}, {product}", coat=one.coat, product=one.product)


def area_lanes(plan: DayPlan, day: Day) -> list[Lane]:
    """Every area something is done to that day, with its drying and its windows."""
    low, high = (day.number - 1) * DAY, day.number * DAY
    found: dict[str, list[Entry]] = {}
    for one in plan.entries:
        if one.area and one.end.value > low and one.start.value < high:
            found.setdefault(one.area, []).append(one)
    lanes = []
    for area, entries in found.items():
        if all(one.kind == "wait" for one in entries):
            continue
        openings = tuple(
            Opening(window.opens.value, window.closes.value if window.closes else None)
            for window in plan.windows
            if window.area == area and window.opens.value < (window.used or window.opens).value
        )
        blocks = tuple(block for one in entries for block in _blocks(one, short=True))
        lanes.append(Lane(entries[0].area_title, blocks, openings))
    return lanes


def _blocks(one: Entry, short: bool = False) -> Iterable[Block]:
    act = Said(one.act)
    text = act if short else joined(": ", (one.area_title, act)) if one.area else one.text
    if one.kind == "spray" and one.coat and not short:
        text = joined(": ", (one.area_title, _coat(one)))
    parts = one.parts or (one,)
    return [Block(part.start.value, part.end.value, text, one.kind) for part in parts]


def day_list(plan: DayPlan, day: Day) -> list[tuple[str, str, str, str]]:
    """The day as rows: from, to, who, what. Drying is left to the windows."""
    titles = {person.key: person.title for person in plan.people}
    rows: list[tuple[float, float, str, str]] = []
    for one in plan.entries:
        if one.day == day.number and one.kind != "wait":
            text = joined(": ", (one.area_title, one.text)) if one.area else one.text
            rows.append((one.start.value, one.end.value, _names(one.people, titles), text))
    return [(hour(low), hour(high), who, what) for low, high, who, what in sorted(rows)]


def _names(people: Sequence[str], titles: dict[str, str]) -> str:
    return listed(titles.get(key, key) for key in people)


def hour(seconds: float) -> str:
    """A time of the plan as the clock shows it."""
    minutes = round(seconds / 60) % 1440
    return f"{minutes // 60:02d}:{minutes % 60:02d}"


def day_name(plan: DayPlan, day: Day) -> str:
    """The day as a person calls it."""
    if not plan.start:
        return say("Day {number}", number=day.number)
    when = date.fromisoformat(plan.start) + timedelta(days=day.number - 1)
    return say(
        "Day {number}, {weekday} {day} {month}",
        number=day.number,
        weekday=WEEKDAYS[when.weekday()],
        day=when.day,
        month=MONTHS[when.month - 1],
    )


def moment(plan: DayPlan, seconds: float, first: date) -> datetime:
    """A time of the plan on the calendar; first: the date of day 1 if the plan has none."""
    begin = date.fromisoformat(plan.start) if plan.start else first
    return datetime.combine(begin, time()) + timedelta(seconds=round(seconds))
