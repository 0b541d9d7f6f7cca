"""Air, weather and windows as a person sees them: pictures read back, words, the page."""

import re
import xml.etree.ElementTree as ET
from dataclasses import replace
from itertools import pairwise

import pytest

from coatwright.faces.arranged.outlook import (
    OutlookView,
    air_cautions,
    may_now,
    product_days,
    spot_titles,
)
from coatwright.faces.drawing.trace import alike, pressure_rows, pressure_svg
from coatwright.faces.drawing.weather import day_rows, day_svg, go_svg, merged, spells
from coatwright.faces.drawing.windows import reach, when, windows_svg
from coatwright.faces.format import Words, clock, polish
from coatwright.faces.html.page import render
from page_reader import Reader
from sample_outlook import HOLDS, HOURS, MASK, MEAN, START, WINDOWS, coat, sample_ahead
from sample_plan import fig, sample_plan

SVG = "{http://www.w3.org/2000/svg}"
METRIC = Words()


def texts(root: ET.Element) -> list[str]:
    return [node.text or "" for node in root.iter(f"{SVG}text")]


def curves(root: ET.Element, width: str) -> list[str]:
    found = [node.attrib for node in root.iter(f"{SVG}path")]
    return [one["d"] for one in found if one.get("stroke-width") == width]


def points(data: str) -> list[tuple[float, float]]:
    pairs = re.findall(r"([-\d.]+),([-\d.]+)", data)
    return [(float(x), float(y)) for x, y in pairs]


@pytest.mark.parametrize(
    ("seconds", "text"),
    [(43, "43 s"), (272, "4.5 min"), (3599, "60 min"), (3600, "an hour or more")],
)
def test_how_long_air_holds(seconds: float, text: str) -> None:
    told = METRIC.hold(fig(seconds, "seconds")).replace("\N{NO-BREAK SPACE}", " ")
    assert told == text


def test_a_time_that_was_not_reached_does_not_read_as_one() -> None:
    assert METRIC.window(fig(60 * 86400.0, "hours")) == "60 d or never"
    assert METRIC.window(fig(7 * 86400.0, "hours")).startswith("7")


def test_clock_times_as_a_person_says_them() -> None:
    assert clock("2026-05-04 08:45") == "Mon 4 May 08:45"  # the calendar of 2026
    assert clock("") == ""
    assert polish("2026-05-04 20:00: 12 degC") == "Mon 4 May 20:00: 12\N{NO-BREAK SPACE}°C"


def test_the_trace_falls_as_the_pressure_does_and_breaks_where_the_trigger_is_let_go() -> None:
    root = ET.fromstring(pressure_svg("t", HOLDS[1], METRIC))
    first, second = curves(root, "2.6")
    assert first.count("M") == second.count("M") == 10  # strokes of the sample coat
    falls = [points(one)[-1][1] - points(one)[0][1] for one in (first, second)]
    # both fall from 2.2 bar, to 1.8 and 1.3: on one scale the second falls 0.9 / 0.4 as far
    assert falls[1] / falls[0] == pytest.approx(0.9 / 0.4, rel=0.02)


def test_a_pressure_stands_on_its_axis() -> None:
    root = ET.fromstring(pressure_svg("t", HOLDS[1], METRIC))
    wanted = next(n for n in root.iter(f"{SVG}line") if n.get("stroke-dasharray") == "5 3")
    needed = next(n for n in root.iter(f"{SVG}line") if n.get("stroke-width") == "1.6")
    base = 132.0  # foot of the first panel
    heights = [base - float(n.attrib["y1"]) for n in (wanted, needed)]
    assert heights[0] / heights[1] == pytest.approx(2.2 / 1.5, rel=0.01)
    assert any("lowest 1.3" in text for text in texts(root))


def test_coats_that_read_the_same_are_drawn_once_and_listed_each() -> None:
    assert [len(group) for group in alike(HOLDS[0].coats, METRIC)] == [2]
    assert [len(group) for group in alike((coat(1, 2), coat(2, 1), coat(3, 2)), METRIC)] == [1] * 3
    assert len(pressure_rows(HOLDS[0], METRIC)) == 2


def test_hours_are_told_as_spells_with_one_verdict() -> None:
    found = spells(HOURS, "high-build")
    assert [(one.verdict, one.first, one.last) for one in found] == [
        ("no go", 0, 1), ("go", 2, 3), ("go if", 4, 5), ("no go", 6, 6),
    ]  # fmt: skip
    assert [one.until[-5:] for one in found] == ["08:00", "10:00", "12:00", ""]


def test_what_is_against_a_spell_is_named_in_a_word_or_two() -> None:
    found = [one.against for one in spells(HOURS, "high-build")]
    assert found == [("dew point",), (), ("as it dries",), ("dew point",)]
    first = spells(HOURS, "high-build")[0]
    (one,) = merged([first, first._replace(against=("dew point", "too damp"))])
    assert one.against == ("dew point", "too damp")


def test_spells_that_differ_only_in_reasons_are_drawn_as_one() -> None:
    first = spells(HOURS, "high-build")[0]
    assert merged([first, first._replace(first=2, last=3, until="x")]) == [
        first._replace(last=3, until="x")
    ]


def test_the_margin_is_drawn_to_scale_with_its_bound() -> None:
    root = ET.fromstring(day_svg("t", HOURS, METRIC))
    metal, margin = curves(root, "2.8")
    ys = [y for _, y in points(margin)]
    assert ys[2] < ys[0]  # 5.9 K stands above 2.9 K
    assert points(metal)[-1][1] < points(metal)[0][1]  # it warms through the day
    bound = next(n for n in root.iter(f"{SVG}line") if n.get("stroke-width") == "1.6"
                 and n.get("stroke-dasharray") is None)  # fmt: skip
    per_kelvin = (ys[0] - ys[2]) / 3.0
    assert ys[0] - float(bound.attrib["y1"]) == pytest.approx(0.1 * per_kelvin, abs=0.15)
    assert len(day_rows(HOURS, METRIC)) == len(HOURS)


def test_go_is_full_go_if_hatched_and_no_go_a_line() -> None:
    root = ET.fromstring(go_svg("t", HOURS))
    bars = [n.attrib for n in root.iter(f"{SVG}rect") if n.get("stroke") and float(n.get("y")) > 20]
    assert [one["fill"] for one in bars] == ["currentColor", "url(#t-if)"]
    widths = {round(float(one["width"]), 1) for one in bars}
    assert len(widths) == 1  # two hours each


def test_a_window_opens_before_it_closes_and_its_best_stands_between() -> None:
    root = ET.fromstring(windows_svg("t", WINDOWS[:1], {}, METRIC, START))
    box = next(n.attrib for n in root.iter(f"{SVG}rect"))
    left, wide = float(box["x"]), float(box["width"])
    best = points(next(n.attrib["d"] for n in root.iter(f"{SVG}path")
                       if n.get("fill") == "currentColor"))[0][0]  # fmt: skip
    # 1, 4 and 16 h: by ratio the best is the middle
    assert best == pytest.approx(left + wide / 2, abs=0.2)


def test_parts_of_the_map_stand_on_one_axis_and_no_mark_writes_over_another() -> None:
    last = reach(WINDOWS)
    parts = [ET.fromstring(windows_svg("t", part, {}, METRIC, START, last))
             for part in (WINDOWS[:1], WINDOWS[1:])]  # fmt: skip
    marks = [
        [(float(n.get("x") or 0), n.text or "") for n in part.iter(f"{SVG}text")
         if n.get("y") == "26"] for part in parts
    ]  # fmt: skip
    assert marks[0] == marks[1]
    assert len(marks[0]) >= 6
    for (left, one), (right, other) in pairwise(marks[0]):
        assert right - left > (len(one) + len(other)) / 2 * 5.5  # 11 units high: about 5.5 wide


def test_a_window_that_never_closes_has_a_tip_and_one_that_is_shut_is_hatched() -> None:
    never = ET.fromstring(windows_svg("t", WINDOWS[-1:], {}, METRIC))
    assert len([n for n in never.iter(f"{SVG}path") if n.get("fill") == "currentColor"]) == 2
    shut = ET.fromstring(windows_svg("t", WINDOWS[1:2], {}, METRIC))
    assert [n.get("fill") for n in shut.iter(f"{SVG}rect")] == ["url(#t-shut)"]
    assert when(WINDOWS[-1], 3, METRIC) == "never"
    assert when(WINDOWS[0], 1, METRIC) == "Mon 4 May 07:00"


def test_pictures_escape_what_a_file_says() -> None:
    odd = replace(WINDOWS[0], title="<b>&")
    assert "<b>" not in windows_svg("t", (odd,), {}, METRIC)


@pytest.fixture(scope="module")
def page() -> Reader:
    return Reader(render(sample_ahead()))


def test_the_page_tells_air_weather_and_windows(page: Reader) -> None:
    for part in ("Set at the wall", "Receivers", "Go or no-go", "Vapour", "The window map"):
        assert part in page.text
    assert "The pressure falls." in page.text
    assert page.text.count("Air while you spray it") == len(HOLDS)
    assert MASK.text in page.text
    assert MEAN in page.text
    assert "2026-05-04" not in page.text


def test_the_page_is_whole_with_an_outlook(page: Reader) -> None:
    assert {link[1:] for link in page.links} <= set(page.ids)
    assert [name for name, count in page.ids.items() if count > 1] == []
    steps = [b - a for a, b in zip(page.levels, page.levels[1:], strict=False)]
    assert max(steps) <= 1
    assert all(table["th"] for table in page.tables)


def test_nothing_is_ever_called_safe(page: Reader) -> None:
    told = re.findall(r"[^.]*\bsafe\b[^.]*\.", page.text)
    assert told == []


def test_a_plan_without_an_outlook_has_a_page_without_it() -> None:
    assert OutlookView.of(sample_plan()) is None
    assert "The window map" not in Reader(render(sample_plan())).text


def test_cautions_on_air_are_told_once() -> None:
    plan = sample_ahead()
    told = [one.text for one in air_cautions(plan)]
    assert MASK.text in told
    assert len(told) == len(set(told))


def test_the_worst_hour_stands_for_vapour_and_no_go_all_day_is_seen() -> None:
    (one,) = product_days(HOURS)
    assert one.speeds == ("standard hardener, slow thinner",)
    assert may_now(HOURS)
    assert not may_now(HOURS[:2])


def test_a_patch_is_named_only_where_there_are_several() -> None:
    titles = spot_titles(sample_plan())
    plan = sample_plan()
    for area in plan.areas:
        for patch in area.patches:
            alone = titles[area.key, patch.key] == area.title
            assert alone == (len(area.patches) == 1)
