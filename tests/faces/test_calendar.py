"""The calendar file obeys RFC 5545: line ends and folding (3.1), text (3.3.11), parts (3.6)."""

from datetime import datetime, timedelta, timezone
from types import SimpleNamespace
from typing import cast

import icalendar
from hypothesis import given
from hypothesis import strategies as st

from coatwright.faces.arranged.calendar import Event, calendar, work_events
from coatwright.planning.day.plan import Entry

MADE = datetime(2026, 5, 3, 20, 0, tzinfo=timezone(timedelta(hours=1)))
START = datetime(2026, 5, 4, 8, 0)
EVENT = Event("bonnet-1", START, START + timedelta(minutes=30), "Bonnet: coat 1; 2.9 bar, pulled")


def unfolded(text: str) -> list[str]:
    """RFC 5545, 3.1: a line break followed by one blank is no line break."""
    return text.replace("\r\n ", "").split("\r\n")


def test_a_calendar_holds_each_event_with_what_it_must_have() -> None:
    lines = unfolded(calendar((EVENT,), "Larkfield", MADE))
    assert lines[0] == "BEGIN:VCALENDAR"
    assert lines[-2:] == ["END:VCALENDAR", ""]
    for must in ("VERSION:2.0", "UID:bonnet-1@coatwright", "DTSTAMP:20260503T190000Z",
                 "DTSTART:20260504T080000", "DTEND:20260504T083000",
                 "SUMMARY:Bonnet: coat 1\\; 2.9 bar\\, pulled"):  # fmt: skip
        assert lines.count(must) == 1


@given(st.text(max_size=300))
def test_any_text_stays_one_property_in_lines_of_75_octets(text: str) -> None:
    made = calendar((EVENT._replace(title=text, text=text),), text, MADE)
    assert all(len(line.encode("utf-8")) <= 75 for line in made.split("\r\n"))
    assert "\n" not in made.replace("\r\n", "")
    names = [line.partition(":")[0] for line in unfolded(made)]
    assert names.count("BEGIN") == names.count("END") == 2
    assert names.count("SUMMARY") == 1


def test_a_title_cannot_write_a_property_of_its_own() -> None:
    odd = EVENT._replace(title="x\r\nATTENDEE:y")
    assert "SUMMARY:x\\nATTENDEE:y" in unfolded(calendar((odd,), "n", MADE))


def work(key: str, kind: str, at: int, **more: object) -> tuple[Entry, datetime, datetime]:
    """An entry of a day plan as the calendar reads it."""
    told = {"area_title": "", "act": "wipe", "text": "Wipe down", "cautions": ()} | more
    entry = cast("Entry", SimpleNamespace(key=key, kind=kind, **told))
    start = START + timedelta(minutes=at)
    return entry, start, start + timedelta(minutes=20)


def test_a_general_reader_of_calendars_reads_back_what_was_written() -> None:
    """icalendar, a general library for RFC 5545, knows nothing of this project."""
    long = "Grüße; Komma, Strich \\ und \n zweite Zeile: " + "ä" * 120
    entries = (
        work("b-2", "spray", 60, area_title="Haube, links", act="coat 1", text=long,
             cautions=("Mask on.",)),
        work("a-1", "work", 0),
        work("idle", "wait", 30),
    )  # fmt: skip
    events = work_events("roadster", entries)
    read = icalendar.Calendar.from_ical(calendar(events, "Larkfield", MADE))
    assert read.errors == []
    assert read.calendar_name == "Larkfield"
    first, second = read.walk("VEVENT")
    assert first.decoded("DTSTART") == START
    assert str(first["SUMMARY"]) == "Wipe down"
    assert str(second["UID"]) == "roadster.b-2@coatwright"
    assert str(second["SUMMARY"]) == "Haube, links: coat 1"
    assert second.decoded("DTEND") - second.decoded("DTSTART") == timedelta(minutes=20)
    assert second.decoded("DTSTAMP") == MADE
    assert str(second["DESCRIPTION"]) == f"{long} Mask on."
    assert second.errors == []
