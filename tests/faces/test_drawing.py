"""The drawings, read back from their SVG: to scale, nothing overlapping, nothing unescaped."""

import re
import xml.etree.ElementTree as ET
from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from coatwright.faces.drawing import (
    choices_svg,
    profile_rows,
    profile_svg,
    risk_svg,
    section_rows,
    section_scale,
    section_svg,
)
from coatwright.faces.drawing.ink import family_colour, family_pattern, luminance, viridis
from coatwright.faces.drawing.svg import spread_apart, step_for, ticks, wrap
from coatwright.faces.format import Words
from coatwright.model.substrate import Family
from coatwright.planning.plan import SectionBand
from sample_plan import (
    CHOICES,
    OLD_SECTION,
    STEEL_SECTION,
    bands,
    fig,
    film,
    profile,
    recipe,
)

SVG = "{http://www.w3.org/2000/svg}"
METRIC = Words()
SCALE = 1e-6


def section(stack: tuple[SectionBand, ...], words: Words = METRIC) -> ET.Element:
    return ET.fromstring(section_svg("t", "bare steel", stack, film(171, 140, 205), words, SCALE))


def texts(root: ET.Element) -> list[str]:
    return [node.text or "" for node in root.iter(f"{SVG}text")]


def boxes(root: ET.Element, **wanted: str) -> list[dict[str, str]]:
    found = [node.attrib for node in root.iter(f"{SVG}rect")]
    return [box for box in found if all(box.get(key) == value for key, value in wanted.items())]


def test_bands_stand_to_scale_on_one_another() -> None:
    root = section(STEEL_SECTION)
    # laid less rubbed: 8, 130 - 36, 20, 55 - 6 um at 1 um a unit
    drawn = [box for box in boxes(root) if box["fill"].startswith("#")]
    assert [float(box["height"]) for box in drawn] == pytest.approx([8, 94, 20, 49], abs=0.11)
    feet = [float(box["y"]) + float(box["height"]) for box in drawn]
    tops = [float(box["y"]) for box in drawn]
    assert feet[1:] == pytest.approx(tops[:-1], abs=0.11)


def test_each_rubbing_loss_is_hatched_where_it_stood() -> None:
    root = section(STEEL_SECTION)
    hatched = [box for box in boxes(root, fill="url(#t-off)") if float(box["width"]) == 20]
    assert [float(box["height"]) for box in hatched] == pytest.approx([36, 6], abs=0.11)
    high_build = next(
        box for box in boxes(root) if box["fill"] == family_colour("two-pack high-build primer")
    )
    foot = float(hatched[0]["y"]) + float(hatched[0]["height"])
    assert foot == pytest.approx(float(high_build["y"]), abs=0.11)


def test_losses_that_share_a_height_stand_side_by_side() -> None:
    root = section(bands(("a", "a", "epoxy primer", 100, 60), ("b", "b", "sealer", 60, 40)))
    lanes = {box["x"] for box in boxes(root, fill="url(#t-off)") if float(box["width"]) == 20}
    assert len(lanes) == 2


def test_a_film_of_ten_um_gets_its_label_and_a_leader() -> None:
    root = section(STEEL_SECTION)
    assert "acid etch primer" in texts(root)
    leaders = list(root.iter(f"{SVG}polyline"))
    assert len(leaders) == len(STEEL_SECTION) + 1  # one for the metal


def test_labels_never_overlap() -> None:
    thin = bands(
        *((f"l{i}", f"layer number {i} with a long name", "sealer", 3, 0) for i in range(9))
    )
    root = section(thin)
    labels = [node for node in root.iter(f"{SVG}text") if float(node.attrib["x"]) > 200]
    heights = sorted(float(node.attrib["y"]) for node in labels)
    assert min(b - a for a, b in pairwise(heights)) >= 12.0
    assert max(heights) <= float(root.attrib["viewBox"].split()[3])
    assert min(heights) > 20.0  # clear of the line that gives the total


def test_the_ruler_reads_true_in_both_systems() -> None:
    # 1 mil = 25.4 um, so at 1 um a unit two mil lie 50.8 units above the metal
    for words, value, height in ((METRIC, "100", 100.0), (Words("us"), "4", 101.6)):
        root = section(STEEL_SECTION, words)
        marks = {
            n.text: float(n.attrib["y"]) for n in root.iter(f"{SVG}text") if n.attrib["x"] == "37"
        }
        assert marks["0"] - marks[value] == pytest.approx(height, abs=0.11)


def test_the_film_is_counted_from_the_ground_it_stands_on() -> None:
    svg = section_svg("t", "GRP", STEEL_SECTION, film(171, 140, 205), METRIC, SCALE)
    said = [text.replace("\N{NO-BREAK SPACE}", " ") for text in texts(ET.fromstring(svg))]
    assert "171 µm (140–205) over GRP" in said


def test_old_layers_are_marked_in_words_and_pattern() -> None:
    root = section(OLD_SECTION)
    assert any(text.startswith("old: paint") for text in texts(root))
    assert boxes(root, fill=family_colour("unknown paint", old=True))


def test_an_empty_section_is_still_a_picture() -> None:
    assert "bare steel" in texts(section(()))


def test_the_section_as_a_table_runs_top_first() -> None:
    rows = section_rows(STEEL_SECTION, METRIC)
    assert [row[0] for row in rows] == [band.title for band in reversed(STEEL_SECTION)]
    assert rows[-1][2] == "nothing"


def test_one_scale_fits_the_tallest_of_all_stacks() -> None:
    scale = section_scale([STEEL_SECTION, OLD_SECTION], height=230.0)
    assert 300e-6 / scale <= 230.0 < 2.0 * 300e-6 / scale


@pytest.mark.parametrize("family", [member.value for member in Family])
def test_every_family_of_the_model_has_a_look_of_its_own(family: str) -> None:
    usual = (family_colour("no such family"), family_pattern("no such family"))
    if family != "unknown paint":
        assert (family_colour(family), family_pattern(family)) != usual


def test_no_two_families_look_alike() -> None:
    looks = [
        (family_colour(m.value), family_pattern(m.value))
        for m in Family
        if m.value != "unknown paint"
    ]
    assert len(set(looks)) == len(looks)


def test_colours_grow_lighter_so_that_black_and_white_keeps_their_order() -> None:
    shades = [luminance(viridis(step / 20)) for step in range(21)]
    assert shades == sorted(shades)


def test_the_profile_marks_where_it_is_light_and_where_it_runs() -> None:
    low = ET.fromstring(profile_svg("t", profile(110, 0.64, walls=True), METRIC))
    assert "open bar: may be light" in texts(low)
    assert {"left wall", "base", "right wall"} <= set(texts(low))
    wet = replace(profile(110, 0.64), run_limit=100e-6)
    assert "full bar: may run" in texts(ET.fromstring(profile_svg("t", wet, METRIC)))


def test_a_profile_within_its_limits_carries_no_marks() -> None:
    made = profile(110, 0.64)
    calm = replace(made, low=np.full_like(made.low, 100e-6), wanted_low=94e-6, run_limit=np.inf)
    shown = texts(ET.fromstring(profile_svg("t", calm, METRIC)))
    assert not [text for text in shown if "bar: may" in text]
    assert "run limit: none here" in shown


def test_the_mean_line_is_drawn_to_the_scale_of_its_axis() -> None:
    made = profile(110, 0.64)
    flat = replace(
        made, low=made.low * 0 + 50e-6, mean=made.mean * 0 + 100e-6, high=made.high * 0 + 150e-6
    )
    root = ET.fromstring(profile_svg("t", flat, METRIC))
    axis = [n for n in root.iter(f"{SVG}text") if n.attrib["x"] == "39" and n.text == "100"]
    height = float(axis[0].attrib["y"]) - 4  # the first "100" belongs to the upper panel
    line = next(n for n in root.iter(f"{SVG}path") if n.attrib.get("class") == "mean")
    assert {round(float(y)) for y in re.findall(r",([\d.]+)", line.attrib["d"])} == {round(height)}


def test_strokes_outside_the_work_are_not_drawn() -> None:
    made = replace(profile(50, 0.64), strokes=np.array([-0.1, 0.2, 0.9]))
    root = ET.fromstring(profile_svg("t", made, METRIC))
    heads = [n for n in root.iter(f"{SVG}path") if n.attrib.get("fill") == "currentColor"]
    assert len(heads) == 1


def test_the_profile_as_a_table_runs_from_edge_to_edge() -> None:
    rows = profile_rows(profile(110, 0.64), METRIC)
    assert len(rows) == 9
    assert rows[-1][0].startswith("640")


def test_risk_shows_bounds_and_never_says_nought() -> None:
    safe = recipe("k", "a", "p", run_chance=fig(0.0, "fraction"), run_bound=fig(0.02, "fraction"))
    shown = [
        text.replace("\N{NO-BREAK SPACE}", " ")
        for text in texts(ET.fromstring(risk_svg("t", safe, METRIC)))
    ]
    assert "under 0.1 %" in shown
    assert "bound 2 %" in shown


def test_the_chosen_alternative_is_marked_by_shape() -> None:
    root = ET.fromstring(choices_svg("t", CHOICES, METRIC))
    assert len(list(root.iter(f"{SVG}circle"))) == len(CHOICES) - 1
    assert {"1", "2", "3", "4"} <= set(texts(root))


def test_numbers_of_alternatives_that_lie_close_keep_apart() -> None:
    crowd = tuple(replace(CHOICES[0], key=str(i), chosen=False) for i in range(4))
    root = ET.fromstring(choices_svg("t", crowd, METRIC))
    spots = [
        (n.attrib["x"], n.attrib["y"])
        for n in root.iter(f"{SVG}text")
        if n.text in {"1", "2", "3", "4"}
        and n.attrib.get("text-anchor") == "middle"
        and n.attrib["font-size"] == "12"
    ]
    assert len(set(spots)) == 4


HOSTILE = '</text><script>alert("x")</script>&"\''


@pytest.mark.parametrize(
    "svg",
    [
        section_svg("t", HOSTILE, bands(("k", HOSTILE, "sealer", 20, 4)), film(16), METRIC, SCALE),
        profile_svg("t", replace(profile(50, 0.6), facets=((HOSTILE, 0.0, 0.6),)), METRIC),
        choices_svg("t", (replace(CHOICES[0], text=HOSTILE),), METRIC),
    ],
)
def test_text_never_becomes_markup(svg: str) -> None:
    names = {node.tag.removeprefix(SVG) for node in ET.fromstring(svg).iter()}
    assert "script" not in names


def test_every_picture_is_named_and_described() -> None:
    for svg in (
        section_svg("t", "steel", STEEL_SECTION, film(9), METRIC),
        profile_svg("t", profile(9, 1), METRIC),
        choices_svg("t", CHOICES, METRIC),
        risk_svg("t", recipe("k", "a", "p"), METRIC),
    ):
        root = ET.fromstring(svg)
        ids = {node.attrib.get("id") for node in root.iter()}
        assert set(root.attrib["aria-labelledby"].split()) <= ids
        assert root.attrib["role"] == "img"


@given(st.lists(st.tuples(st.floats(0, 400), st.floats(5, 30)), min_size=1, max_size=12))
def test_labels_spread_apart_keep_order_and_stay_inside(rows: list[tuple[float, float]]) -> None:
    wanted = sorted(place for place, _ in rows)
    heights = [height for _, height in rows]
    centres = spread_apart(wanted, heights, 0.0, 400.0)
    for (a, tall), (b, taller) in zip(
        zip(centres, heights, strict=True),
        list(zip(centres, heights, strict=True))[1:],
        strict=False,
    ):
        assert b - taller / 2 >= a + tall / 2 - 1e-9
    assert centres[0] - heights[0] / 2 >= -1e-9
    assert centres[-1] + heights[-1] / 2 <= 400.0 + 1e-9


def test_labels_with_room_stay_where_they_want_to_be() -> None:
    assert spread_apart([50.0, 150.0], [20.0, 20.0], 0.0, 400.0) == [50.0, 150.0]


@given(st.floats(1e-6, 1e6), st.integers(1, 20))
def test_steps_are_round_and_few(span: float, most: int) -> None:
    step = step_for(span, most)
    assert span / step <= most * (1 + 1e-6)
    assert float(f"{step:.0e}") == pytest.approx(step)
    assert len(ticks(span, most)) <= most + 1


def test_wrapping_leaves_no_scrap_alone_on_a_line() -> None:
    assert wrap("two-pack solid colour 2:1", 24) == ["two-pack solid", "colour 2:1"]
    assert wrap("x" * 60, 10) == ["x" * 13 + "…"]
