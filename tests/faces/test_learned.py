"""Pictures of what was learned, read back from their SVG."""

import math
import xml.etree.ElementTree as ET

import pytest

from coatwright.engines import learning
from coatwright.engines.learning import Observation
from coatwright.faces.drawing.learned import (
    Foretold,
    SeasonJob,
    Shown,
    belief_rows,
    belief_svg,
    contradiction_text,
    describe_season,
    season_rows,
    season_svg,
)

SVG = "{http://www.w3.org/2000/svg}"
PRIOR = learning.prior(0.0, 0.1, 0.08, 6.0)
DATA = (0.10, 0.18, 0.12)
AFTER = learning.update(PRIOR, DATA)
FLOW = Shown(
    "Flow & speed",
    "flow over the plan's",
    learning.centre_of(PRIOR),
    learning.centre_of(AFTER),
    DATA,
)
POOL = learning.pooled(
    [Observation(x, {"painter": "a", "gun": "b", "product": "c", "job": "d"}) for x in (0.3, 0.4)],
    learning.CLASSES["transfer"],
)
TRANSFER = Shown(
    "Transfer",
    "share of the paint that stays",
    learning.believed(learning.pooled([], learning.CLASSES["transfer"]), {}),
    learning.believed(POOL, {"painter": "a", "gun": "b", "product": "c"}),
    (0.3, 0.4),
    0.6,
)


def root(svg: str) -> ET.Element:
    return ET.fromstring(svg)


def texts(svg: str) -> list[str]:
    return [node.text or "" for node in root(svg).iter(f"{SVG}text")]


def test_rows_are_the_intervals_as_percentages():
    low, high = learning.interval(FLOW.after)
    (before, *_), (after, least, _, most) = belief_rows(FLOW)
    assert (before, after) == ("class", "after 3 readings")
    assert [least, most] == [f"{100 * math.exp(end):.0f}\N{NO-BREAK SPACE}%" for end in (low, high)]


def test_transfer_is_drawn_as_a_share():
    _, (_, least, middle, most) = belief_rows(TRANSFER)
    shares = [float(text.split("\N{NO-BREAK SPACE}")[0]) for text in (least, middle, most)]
    assert shares == sorted(shares)
    assert 60.0 < shares[1] < 70.0
    ticks = [float(t) for t in texts(belief_svg("t", TRANSFER)) if t.replace(".", "").isdigit()]
    assert 0.0 < min(ticks) < 60.0 < max(ticks) < 100.0


@pytest.mark.parametrize("shown", [FLOW, TRANSFER], ids=["flow", "transfer"])
def test_a_mark_for_every_reading_in_its_place(shown):
    svg = belief_svg("t", shown)
    rug = [
        float(node.attrib["x1"])
        for node in root(svg).iter(f"{SVG}line")
        if node.attrib["y1"] == "153" and node.attrib["x1"] == node.attrib["x2"]
    ]
    assert len(rug) == len(shown.readings)
    assert sorted(rug) == [x for _, x in sorted(zip(shown.readings, rug, strict=True))]
    assert all(16.0 <= x <= 344.0 for x in rug)


def test_title_is_escaped_and_described():
    svg = belief_svg("t", FLOW)
    assert "Flow &amp; speed" in svg
    described = root(svg).find(f"{SVG}desc")
    assert described is not None
    assert "80 % intervals" in (described.text or "")


@pytest.mark.parametrize(
    ("chance", "part"),
    [(0.4, "fit"), (0.03, "one time in 33"), (0.001, "one time in 1,000"), (0.0, "more than")],
)
def test_contradiction_is_worded(chance, part):
    assert part in contradiction_text(chance)


def job(number: int, wrong: float) -> SeasonJob:
    one = Foretold(1.0 + wrong, 0.5, 1.5, 1.0 + wrong / 2, 0.99, 1.01, 1.0)
    return SeasonJob(number, 3, 10, one, one, one, one)


SEASON = (job(1, 0.5), job(2, 0.2), job(3, -0.1), job(4, 0.001))


def test_season_rows_count_errors_without_the_first_job():
    rows = season_rows(SEASON)
    assert rows[0][3:5] == ("+50 %", "+25 %")
    assert rows[2][3:5] == ("-10 %", "-5 %")
    assert rows[3][3] == "0 %"
    assert rows[-2][3:5] == ("10 %", "5 %")
    assert rows[-1][3] == "3 of 3"
    assert "10 % out by the class alone, 5 %" in describe_season(SEASON)


def test_season_is_drawn_with_two_marks_a_job_and_panel():
    svg = season_svg("t", SEASON)
    marks = list(root(svg).iter(f"{SVG}circle"))
    assert len(marks) == 4 * 2 * len(SEASON) + 2
    height = float(root(svg).attrib["viewBox"].split()[3])
    assert all(0.0 < float(mark.attrib["cy"]) < height for mark in marks)
    assert "All hours: steps by hand and gun" in texts(svg)
