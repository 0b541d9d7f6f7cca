"""The day's pictures, read back: to scale, cut to the day, windows open and closed."""

import xml.etree.ElementTree as ET

import pytest

from coatwright.faces.drawing.timeline import (
    Block,
    Frame,
    Lane,
    Opening,
    areas_svg,
    describe_lanes,
    people_svg,
)

SVG = "{http://www.w3.org/2000/svg}"
HOUR = 3600.0
DAY = Frame(0.0, 8 * HOUR, "2026-05-04 08:00")
PAINTER = Lane(
    "The painter",
    (
        Block(0.0, HOUR, "degrease the bonnet", "work"),
        Block(HOUR, 1.5 * HOUR, "coat 1", "spray"),
        Block(4 * HOUR, 4.5 * HOUR, "eat", "rest"),
        Block(7.5 * HOUR, 9 * HOUR, "mask <the> tub", "work"),
    ),
)
BONNET = Lane(
    "Bonnet",
    (Block(HOUR, 1.5 * HOUR, "coat 1", "spray"), Block(1.5 * HOUR, 2 * HOUR, "flash", "wait")),
    (Opening(2 * HOUR, 5 * HOUR), Opening(6 * HOUR, None), Opening(9 * HOUR, 10 * HOUR)),
)


def drawn(text: str, kind: str) -> list[dict[str, str]]:
    return [node.attrib for node in ET.fromstring(text).iter(f"{SVG}{kind}")]


def words(text: str) -> list[str]:
    return [node.text or "" for node in ET.fromstring(text).iter(f"{SVG}text")]


def test_a_person_reads_down_the_day_to_scale() -> None:
    svg = people_svg("t", [PAINTER], DAY)
    boxes = drawn(svg, "rect")
    heights = [float(box["height"]) for box in boxes]
    # 60, 30, 30 min, and the half hour of the last that still falls into this day
    assert [h / heights[0] for h in heights] == pytest.approx([1.0, 0.5, 0.5, 0.5], abs=0.01)
    assert [float(box["y"]) for box in boxes] == sorted(float(box["y"]) for box in boxes)
    assert words(svg)[:2] == ["08:00", "09:00"]
    assert "degrease the bonnet" in " ".join(words(svg))
    assert "<the>" not in svg


def test_people_stand_side_by_side_and_share_the_width() -> None:
    svg = people_svg("t", [PAINTER, PAINTER._replace(title="The learner")], DAY)
    lefts = {box["x"] for box in drawn(svg, "rect")}
    assert len(lefts) == 2
    assert {"The painter", "The learner"} <= set(words(svg))


def test_kinds_differ_without_colour() -> None:
    boxes = drawn(people_svg("t", [PAINTER], DAY), "rect")
    looks = {(box["fill"], box.get("stroke-dasharray")) for box in boxes}
    assert len(looks) == 3


def test_an_area_shows_its_windows_open_and_closed() -> None:
    lines = drawn(areas_svg("t", [BONNET], DAY), "line")
    in_row = [line for line in lines if float(line["y1"]) > 60]
    windows = [line for line in in_row if line.get("stroke-width") == "3.2"]
    ends = [line for line in in_row if line.get("stroke-width") == "2.4"]
    wide = [float(line["x2"]) - float(line["x1"]) for line in windows]
    # three hours, and two of the one that stays open; tomorrow's is not drawn
    assert wide[0] / wide[1] == pytest.approx(1.5, abs=0.02)
    assert (len(windows), len(ends)) == (2, 1)
    assert ends[0]["x1"] == windows[0]["x2"]


def test_hours_fall_on_the_clock_and_without_a_date_on_the_start() -> None:
    odd = Frame(0.0, 2 * HOUR, "2026-05-04 07:30")
    assert [odd.clock(when) for when in odd.hours()] == ["08:00", "09:00"]
    bare = Frame(0.0, 2 * HOUR)
    assert [bare.clock(when) for when in bare.hours()] == ["0:00", "1:00", "2:00"]


def test_lanes_are_told_in_words() -> None:
    assert describe_lanes([BONNET], DAY) == "Bonnet: 1 piece of work, 09:00 to 09:30."
    assert describe_lanes([Lane("x", ())], DAY) == "Nothing is done."
