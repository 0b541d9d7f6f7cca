"""Between events and the rows they are kept in."""

import json
from collections.abc import Iterable, Iterator, Sequence
from datetime import UTC, datetime, timedelta, timezone
from functools import cache
from typing import Any

from coatwright.record.corrections import Entry
from coatwright.record.events import Corrected, Event, body_reader

START = datetime(1970, 1, 1, tzinfo=UTC)
"""Moments are counted from here."""

_MICROSECOND = timedelta(microseconds=1)

ENTRY = ("id", "at", "at_offset", "who", "area", "patch", "evidence", "plan", "number", "body")
"""Columns that an Entry is read from."""
EVENT = (*ENTRY, "job", "noted")
"""Columns that an Event is read from."""


def row_of(event: Event) -> dict[str, Any]:
    """An event as a row, all but its number and when it was noted."""
    offset = event.at.utcoffset() or timedelta()
    return {
        "id": event.id,
        "job": event.job,
        "at": stamp(event.at),
        "at_offset": round(offset.total_seconds()),
        "who": event.who,
        "area": event.area,
        "patch": event.patch,
        "plan": event.plan,
        "kind": event.body.kind,
        "target": event.body.event if isinstance(event.body, Corrected) else None,
        "evidence": json.dumps(event.evidence),
        "body": event.body.model_dump_json(),
    }


def entries_of(rows: Iterable[Any]) -> Iterator[Entry]:
    """Events as the fold takes them; only their bodies are checked again, the rest is our own."""
    read = body_reader().validate_json
    for id_, at, offset, who, area, patch, evidence, plan, number, body in rows:
        files = () if evidence == "[]" else tuple(json.loads(evidence))
        yield Entry(id_, moment(at, offset), who, read(body), area, patch, files, plan, number)


def events_of(rows: Iterable[Any]) -> Iterator[Event]:
    """Events, whole and checked."""
    for row in rows:
        yield Event(
            id=row.id,
            job=row.job,
            at=moment(row.at, row.at_offset),
            who=row.who,
            area=row.area,
            patch=row.patch,
            plan=row.plan,
            evidence=tuple(json.loads(row.evidence)),
            body=body_reader().validate_json(row.body),
            noted=moment(row.noted),
            number=row.number,
        )


def same(one: Event, other: Event) -> bool:
    """Whether two events say the same, whatever the store added."""
    added = {"number": 0, "noted": None}
    return one.model_copy(update=added) == other.model_copy(update=added)


def stamp(when: datetime) -> int:
    """Microseconds since 1970."""
    return (when - START) // _MICROSECOND


def moment(microseconds: int, offset: int = 0) -> datetime:
    """A moment on a clock so many seconds ahead of universal time."""
    return _epoch(offset) + timedelta(microseconds=microseconds)


@cache
def _epoch(offset: int) -> datetime:
    return START.astimezone(timezone(timedelta(seconds=offset)) if offset else UTC)


def chunks(names: Sequence[str], size: int = 500) -> Iterator[Sequence[str]]:
    """Names in portions that a statement can hold."""
    for start in range(0, len(names), size):
        yield names[start : start + size]
