"""The plan page, read back: all that must be printed is there, and nothing is fetched or run."""

import re
from dataclasses import replace

import pytest

from coatwright.faces.arranged.contents import Page, anchor, weighed
from coatwright.faces.drawing.ink import luminance
from coatwright.faces.html.page import render
from coatwright.figures import walk
from coatwright.planning.plan import Plan
from page_reader import Reader
from sample_plan import CHOICES, recipe, sample_plan


@pytest.fixture(scope="module")
def plan() -> Plan:
    return sample_plan()


@pytest.fixture(scope="module")
def page(plan: Plan) -> Reader:
    return Reader(render(plan))


def test_nothing_is_fetched_and_nothing_runs(plan: Plan, page: Reader) -> None:
    assert all(link.startswith("#") for link in page.links)
    assert not page.tags["script"] + page.tags["link"] + page.tags["img"] + page.tags["iframe"]
    style = re.search(r"<style>(.*?)</style>", render(plan), re.S)
    assert style
    assert "url(" not in style[1]
    assert "@import" not in style[1]


def test_every_link_leads_somewhere_and_no_id_is_used_twice(page: Reader) -> None:
    assert {link[1:] for link in page.links} <= set(page.ids)
    assert [name for name, count in page.ids.items() if count > 1] == []


def test_headings_never_skip_a_level(page: Reader) -> None:
    assert page.levels[0] == 1
    assert page.levels.count(1) == 1
    steps = [b - a for a, b in zip(page.levels, page.levels[1:], strict=False)]
    assert max(steps) <= 1


def test_every_table_has_headers(page: Reader) -> None:
    assert page.tables
    assert all(table["th"] for table in page.tables)


def test_every_caution_is_printed_in_full(plan: Plan, page: Reader) -> None:
    for caution in plan.cautions:
        assert re.sub(r"\s+", " ", caution.text) in page.text


def test_the_spraying_hazards_stand_where_each_area_is_sprayed(plan: Plan, page: Reader) -> None:
    assert page.text.count("Cautions apply: isocyanate, pressure") == len(plan.areas)


def test_every_finding_says_why_and_what_instead(plan: Plan, page: Reader) -> None:
    for area in plan.areas:
        for patch in area.patches:
            for layer in patch.layers:
                for finding in layer.findings:
                    assert finding.reason in page.text
                    assert finding.failure in page.text
                    assert finding.remedy in page.text
    assert "Experts differ" in page.text


def test_every_figure_of_the_plan_stands_with_its_origin(plan: Plan) -> None:
    made = render(plan)
    missing = [address for address, _ in walk(plan) if f'title="{address}"' not in made]
    not_shown = [one for one in missing if ".alternatives." in one and ".steps." in one]
    assert missing == not_shown


def test_the_invented_notice_and_what_to_do_first(plan: Plan, page: Reader) -> None:
    assert "Invented." in page.text
    assert "Invented." not in Reader(render(replace(plan, invented=False))).text
    first = page.text.index("What to do first", page.text.index("Sources"))
    assert first < page.text.index("Before you spray")
    assert "Runs: 3.1 % of a coat may run" in page.text


def test_what_comes_first_is_what_can_ruin_the_job(plan: Plan) -> None:
    todos = Page.of(plan).first
    assert [todo.place for todo in todos] == [
        "Boot lid, outside, bare steel under paint, history unknown",
        "Boot lid, outside, bare steel under paint, history unknown",
        "Boot lid, outside, high-build",
    ]
    assert todos[1].text == (
        "Against the rules: Epoxy over acid etch; Two-pack over paint of unknown history. "
        "Leave out the etch: epoxy on clean, abraded steel needs none. "
        "Permitted here: etch, high-build, colour."
    )


def test_the_chosen_alternative_is_told_once_and_first() -> None:
    one, two, *rest = CHOICES
    told = weighed(recipe("k", "a", "p", choices=(two, one, replace(one, text="2.0 bar"), *rest)))
    assert told[0].text == "fan half closed, 3 coats, 2.0 bar"
    assert [choice.chosen for choice in told] == [True, False, False, False]


def test_both_unit_systems(plan: Plan) -> None:
    us = Reader(render(plan, "us")).text
    assert " mil" in us
    assert "psi" in us
    assert "µm" not in us


def test_hostile_text_stays_text(plan: Plan) -> None:
    hostile = '<script>alert("x")</script><img src=x onerror=y>\' & {{ 7 * 7 }}'
    area = replace(plan.areas[0], title=hostile, note=hostile)
    made = Reader(
        render(replace(plan, title=hostile, colour=hostile, notes=(hostile,), areas=(area,)))
    )
    assert not made.tags["script"] + made.tags["img"]
    assert made.text.count(hostile) >= 5
    assert "49" not in made.text.split("Words")[0].partition("{{")[2][:12]


def test_an_anchor_is_an_id_whatever_the_key() -> None:
    assert anchor("recipe", "engine bay/high-build 4:1") == "recipe-engine-bay-high-build-4-1"
    assert anchor("", "é") == "part"


def palette(dark: bool) -> dict[str, str]:
    style = render(sample_plan()).split("</style>")[0]
    found = dict(re.findall(r"--(\w+): (#\w{6});", style.split("@media (prefers-color-scheme")[0]))
    if dark:
        found |= dict(
            re.findall(r"--(\w+): (#\w{6});", style.split("scheme: dark)")[1].split("}")[0])
        )
    return found


# WCAG 2.2, success criterion 1.4.6 (enhanced contrast): at least 7:1.
@pytest.mark.parametrize("dark", [False, True])
@pytest.mark.parametrize("ink", ["ink", "quiet", "accent"])
@pytest.mark.parametrize("ground", ["paper", "raised"])
def test_contrast_is_at_least_seven_to_one(dark: bool, ink: str, ground: str) -> None:
    colours = palette(dark)
    light, shade = sorted((luminance(colours[ink]), luminance(colours[ground])), reverse=True)
    assert (light + 0.05) / (shade + 0.05) >= 7.0


def test_relative_luminance() -> None:
    # WCAG 2.2 definition: white 1, black 0, and pure green 0.7152.
    assert luminance("#ffffff") == pytest.approx(1.0)
    assert luminance("#000000") == 0.0
    assert luminance("#00ff00") == pytest.approx(0.7152)
