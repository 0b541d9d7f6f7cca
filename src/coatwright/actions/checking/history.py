"""What happened to a job, newest first: each event in words and figures, searched, taken back."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any, Final

from coatwright.actions.shop import Shop
from coatwright.actions.taps import DIMENSIONS
from coatwright.errors import InputError
from coatwright.figures import Figure
from coatwright.record.corrections import standing
from coatwright.record.events import Corrected, DaysArranged, Described, Event
from coatwright.sentences import together

SOURCE: Final = "paint-record"

SHOWN: Final = 40
"""How many events are shown at once."""

_PURPOSES: Final = {"length": "film", "time": "time"}
_OTHERS: Final = {
    ("coat begun", "distance"): "length", ("mixed", "cup_seconds"): "seconds",
    ("fluid caught", "volumes"): "dose", ("fluid caught", "seconds"): "seconds",
    ("strokes timed", "seconds"): "seconds", ("strokes timed", "length"): "run",
    ("board read", "spacing"): "length", ("board read", "fan"): "length",
    ("board read", "pitch"): "length",
}  # fmt: skip
_MASSES: Final = ("parts", "wanted")
_SILENT: Final = frozenset((
    "kind", "file", "planned", "error", "error_share", "scale", "density", "event", "body", "mark",
    "timing", "exponent",
))  # fmt: skip

_OWN_CLOCK: Final = {("days arranged", name) for name in ("since", "date", "day")}
"""What is told by the clock of the days, and says nothing beside the moment of the event."""
_LONG: Final = ("days arranged", "changes")
"""Of this only the first is shown; all of it is in the archive."""
_TOLD: Final = ("days arranged", "told")
"""The same with what it is made of: shown in place of it where the record has it."""


@dataclass(frozen=True, slots=True)
class Detail:
    """One thing an event says: its name, and words or figures."""

    name: str
    said: tuple[str | Figure, ...]


@dataclass(frozen=True, slots=True)
class Line:
    """One event. struck: why it no longer counts, "" if it does; undone: what it took back."""

    id: str
    number: int
    at: datetime
    who: str
    kind: str
    place: str
    details: tuple[Detail, ...]
    photos: tuple[str, ...]
    struck: str = ""
    undone: str = ""


@dataclass(frozen=True, slots=True)
class History:
    """The lines found, newest first; more: how many older ones were found beside them."""

    lines: tuple[Line, ...]
    more: int
    found: int


def history(
    shop: Shop,
    key: str,
    search: str = "",
    until: datetime | None = None,
    skip: int = 0,
    most: int | None = SHOWN,
) -> History:
    """What happened to a job, newest first: every word of the search is in each line."""
    events = shop.record.events(key)
    titles = {area.key: area.title for area in shop.open(key).bench.job.areas}
    struck = {
        one.target: one.why or "taken back" for one in standing(events).amendments if one.counts
    }
    known = {event.id: event for event in events}
    shown = [event for event in events if until is None or event.at <= until]
    shown.sort(key=lambda one: (one.at, one.number), reverse=True)
    if wanted := search.casefold().split():
        shown = [one for one in shown if _holds(_line(one, titles, struck, known), wanted)]
    end = len(shown) if most is None else skip + most
    lines = tuple(_line(event, titles, struck, known) for event in shown[skip:end])
    return History(lines, max(len(shown) - end, 0), len(shown))


def undo(shop: Shop, key: str, who: str, event: str, why: str) -> Event:
    """Take an event back for a reason. Raises InputError without one, NotFound if there is none.

    The only description of a job cannot be taken back: no job would be left.
    """
    if not why.strip():
        raise InputError("no reason is given", field="why", instead="say why it is taken back")
    wrong = shop.record.event(event)
    if wrong.job != key:
        raise InputError("this event belongs to another job", field="event")
    if isinstance(wrong.body, Described) and len(_described(shop, key)) < 2:
        raise InputError(
            "without this there would be no job", instead="change its areas, or leave it"
        )
    return shop.undo(key, who, event, why.strip()[:200])


def _described(shop: Shop, key: str) -> list[str]:
    """Descriptions of the job that count."""
    events = shop.record.events(key, ("described", "corrected"))
    return [one.id for one in standing(events).events if isinstance(one.body, Described)]


def _line(
    event: Event,
    titles: Mapping[str, str],
    struck: Mapping[str, str],
    known: Mapping[str, Event],
) -> Line:
    place = titles.get(event.area, event.area) + (f", {event.patch}" if event.patch else "")
    body = event.body
    undone = ""
    if isinstance(body, Corrected) and body.event in known:
        undone = known[body.event].body.kind
    return Line(
        event.id, event.number, event.at, event.who, body.kind, place,
        tuple(_details(body.kind, dict(body))),
        () if isinstance(body, DaysArranged) else event.evidence,
        struck.get(event.id, ""), undone,
    )  # fmt: skip


def _details(kind: str, fields: Mapping[str, Any]) -> Iterator[Detail]:
    for name, value in fields.items():
        if name in _SILENT or (kind, name) in _OWN_CLOCK or value in (None, "", (), {}, 0, False):
            continue
        if (kind, name) == _TOLD:
            continue
        shown = value[:1] if (kind, name) == _LONG else value
        if (kind, name) == _LONG and fields.get("told"):
            shown = (together(fields["told"][0].model_dump()),)
        yield Detail(name.replace("_", " "), tuple(_said(kind, name, shown)))


def _said(kind: str, name: str, value: Any) -> Iterator[str | Figure]:
    purpose = _purpose(kind, name)
    if isinstance(value, Mapping):
        for part, held in value.items():
            yield part
            yield Figure(held, "mass", "measured", SOURCE) if name in _MASSES else str(held)
    elif isinstance(value, datetime):
        yield value.astimezone().strftime("%Y-%m-%d %H:%M")
    elif isinstance(value, tuple):
        yield from (Figure(one, purpose, "measured", SOURCE) if purpose else one for one in value)
    elif purpose and isinstance(value, int | float):
        yield Figure(float(value), purpose, "measured", SOURCE)
    else:
        yield "yes" if value is True else f"{value:g}" if isinstance(value, float) else str(value)


def _purpose(kind: str, name: str) -> str:
    dimension = DIMENSIONS.get(kind, {}).get(name, "")
    return _OTHERS.get((kind, name)) or _PURPOSES.get(dimension, dimension)


def _holds(line: Line, wanted: list[str]) -> bool:
    said = [one for detail in line.details for one in detail.said if isinstance(one, str)]
    text = " ".join([line.kind, line.who, line.place, line.undone, line.struck, *said]).casefold()
    return all(word in text for word in wanted)
