"""An iCalendar text (RFC 5545) of what is to be done when, in the reader's local time."""

from collections.abc import Iterable
from datetime import UTC, datetime
from typing import Final, NamedTuple

from coatwright.faces.format import Words
from coatwright.planning.day.plan import Entry
from coatwright.sentences import Said, joined

_WIDEST: Final = 75
_ESCAPED: Final = {"\\": "\\\\", ";": "\\;", ",": "\\,", "\r\n": "\\n", "\n": "\\n", "\r": "\\n"}


class Event(NamedTuple):
    """One piece of work; key names it for good, so that a new file mends the old entry."""

    key: str
    start: datetime
    end: datetime
    title: str
    text: str = ""


def work_events(
    job: str, entries: Iterable[tuple[Entry, datetime, datetime]], words: Words | None = None
) -> tuple[Event, ...]:
    """The work of a day plan, each with its beginning and end, in order of time.

    job: its key, so that two jobs in one calendar do not mend each other's entries. Waits and
    pauses are no work.
    """
    tell = words.tell if words else str
    found = [
        Event(
            f"{job}.{one.key}",
            start,
            end,
            tell(joined(": ", (one.area_title, Said(one.act))) if one.area_title else one.text),
            tell(joined(" ", (one.text, *one.cautions))),
        )
        for one, start, end in entries
        if one.kind in ("work", "spray")
    ]
    return tuple(sorted(found, key=lambda event: (event.start, event.key)))


def calendar(events: Iterable[Event], name: str, made: datetime) -> str:
    """The calendar as text; made is when it was made, with its time zone."""
    stamp = made.astimezone(UTC)
    lines = ["BEGIN:VCALENDAR", "VERSION:2.0", "PRODID:-//coatwright//day plan//EN",
             f"NAME:{_escaped(name)}"]  # fmt: skip
    for one in events:
        lines += [
            "BEGIN:VEVENT", f"UID:{_escaped(one.key)}@coatwright", f"DTSTAMP:{_written(stamp)}Z",
            f"DTSTART:{_written(one.start)}", f"DTEND:{_written(one.end)}",
            f"SUMMARY:{_escaped(one.title)}",
        ]  # fmt: skip
        lines += [f"DESCRIPTION:{_escaped(one.text)}"] if one.text else []
        lines.append("END:VEVENT")
    lines.append("END:VCALENDAR")
    return "".join(f"{part}\r\n" for line in lines for part in _folded(line))


def _written(when: datetime) -> str:
    return when.strftime("%Y%m%dT%H%M%S")


def _escaped(text: str) -> str:
    for letter, written in _ESCAPED.items():
        text = text.replace(letter, written)
    return "".join(letter for letter in text if letter.isprintable())


def _folded(line: str) -> list[str]:
    """A line in parts of at most 75 octets, later ones begun with a blank; no letter is cut."""
    parts, room = [""], _WIDEST
    for letter in line:
        size = len(letter.encode("utf-8"))
        if size > room:
            parts.append(" ")
            room = _WIDEST - 1
        parts[-1] += letter
        room -= size
    return parts
