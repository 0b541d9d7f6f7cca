"""The days on the page, at the command line, as pictures and as a calendar."""

import re
from dataclasses import replace
from itertools import pairwise
from xml.etree import ElementTree

import pytest
from typer.testing import CliRunner

from coatwright.actions.plans import plan_job
from coatwright.faces.cli.main import app
from coatwright.faces.drawing.day import (
    area_lanes,
    day_areas_svg,
    day_list,
    day_people_svg,
    frame_of,
    hour,
    people_lanes,
)
from coatwright.faces.html.page import render
from coatwright.figures import walk


@pytest.fixture(scope="module")
def made():
    return plan_job("practice", None, None, 1.0)


@pytest.fixture(scope="module")
def demo(planned_demo):
    return planned_demo


def test_every_piece_of_attended_work_is_in_the_rows_and_the_columns(demo):
    day_plan = demo.day
    for day in day_plan.days:
        entries = [e for e in day_plan.entries if e.day == day.number and e.kind != "wait"]
        rows = day_list(day_plan, day)
        assert len(rows) == len(entries)
        assert [low for low, *_ in rows] == sorted(low for low, *_ in rows)
        blocks = [b for lane in people_lanes(day_plan, day) for b in lane.blocks]
        frame = frame_of(day_plan, day)
        for one in entries:
            for part in one.parts or (one,):
                assert frame.low <= part.start.value < part.end.value <= frame.high
                # Drawn alone or in a run of its kind: some block of a person covers it.
                assert any(
                    b.start <= part.start.value and part.end.value <= b.end and b.kind == one.kind
                    for b in blocks
                )


def test_nobody_is_drawn_in_two_places(demo):
    for day in demo.day.days:
        for lane in people_lanes(demo.day, day):
            for one, following in pairwise(lane.blocks):
                assert one.end <= following.start + 1e-6


def test_windows_open_before_they_close(demo):
    lanes = [lane for day in demo.day.days for lane in area_lanes(demo.day, day)]
    openings = [one for lane in lanes for one in lane.openings]
    assert openings
    assert all(one.closes is None or one.opens < one.closes for one in openings)


def test_pictures_are_well_formed(demo):
    for day in demo.day.days:
        if day.begins:
            for svg in (day_people_svg("a", demo.day, day), day_areas_svg("b", demo.day, day)):
                assert ElementTree.fromstring(svg).tag.endswith("svg")


def test_the_page_tells_the_days(made):
    page = render(made)
    assert '<section aria-labelledby="days">' in page
    assert made.day.proof.split(":")[0] in page
    for day in made.day.days:
        assert f"Day {day.number}" in page
    assert "None" not in re.findall(r"<h3>(.*?)</h3>", page)


def test_without_days_the_page_has_none(made):
    assert 'aria-labelledby="days"' not in render(replace(made, day=None))


def test_every_figure_of_the_days_can_be_asked_for(made):
    found = [address for address, _ in walk(made.day, "day")]
    assert "day.day_count" in found
    assert not any("workings" in address for address in found)


def test_the_command_and_its_calendar(tmp_path):
    file = tmp_path / "board.ics"
    done = CliRunner().invoke(
        app,
        ["day", "practice", "--seconds", "1", "--calendar", str(file), "--begins", "2026-06-01"],
    )
    assert done.exit_code == 0, done.output
    assert "Day 1" in done.output
    assert "How good it is" in done.output
    text = file.read_bytes().decode()
    assert text.startswith("BEGIN:VCALENDAR\r\n")
    assert text.count("BEGIN:VEVENT") == text.count("END:VEVENT") > 3
    assert re.search(r"DTSTART:202606\d\dT\d{6}\r\n", text)


def test_a_wrong_date_is_one_sentence():
    done = CliRunner().invoke(app, ["day", "practice", "--begins", "tomorrow"])
    assert done.exit_code != 0
    assert "'tomorrow' is no date; write it as 2026-06-01." in done.output


def test_the_clock():
    assert [hour(s) for s in (8 * 3600, 86400 + 9.5 * 3600, 59)] == ["08:00", "09:30", "00:01"]
