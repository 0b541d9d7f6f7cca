"""The calendar file obeys RFC 5545: line ends and folding (3.1), text (3.3.11), parts (3.6)."""

from datetime import datetime, timedelta, timezone

from hypothesis import given
from hypothesis import strategies as st

from coatwright.faces.cli.outlook.calendar import Event, calendar

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
