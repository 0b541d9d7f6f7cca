"""The plan page in a real browser: fits phone and desk, fetches nothing, reports no error."""

from pathlib import Path

import pytest

from coatwright.faces.html.page import render
from sample_outlook import sample_ahead

pytestmark = pytest.mark.browser

SIZES = {"phone": (390, 844), "desk": (1280, 900)}


@pytest.fixture(scope="module")
def file(tmp_path_factory: pytest.TempPathFactory) -> str:
    made: Path = tmp_path_factory.mktemp("page") / "plan.html"
    title = "Larkfield 1300 with a title so long that it must wrap on a phone (invented)"
    made.write_text(render(sample_ahead(title)), encoding="utf-8")
    return made.as_uri()


@pytest.fixture(params=[(size, scheme) for size in SIZES for scheme in ("light", "dark")])
def page(request: pytest.FixtureRequest, browser, file: str):
    size, scheme = request.param
    wide, tall = SIZES[size]
    context = browser.new_context(
        viewport={"width": wide, "height": tall}, color_scheme=scheme, reduced_motion="reduce"
    )
    opened = context.new_page()
    opened.told, opened.asked = [], []
    opened.on("console", lambda message: opened.told.append(message.text))
    opened.on("pageerror", lambda fault: opened.told.append(str(fault)))
    opened.on("request", lambda asked: opened.asked.append(asked.url))
    opened.goto(file)
    yield opened
    context.close()


def open_all(page) -> None:
    page.evaluate("document.querySelectorAll('details').forEach(d => d.open = true)")


def overflow(page) -> int:
    return page.evaluate("document.documentElement.scrollWidth - innerWidth")


def test_nothing_scrolls_sideways_even_with_all_details_open(page) -> None:
    assert overflow(page) <= 0
    open_all(page)
    assert overflow(page) <= 0


def test_it_asks_for_nothing_but_itself_and_complains_of_nothing(page, file: str) -> None:
    assert page.asked == [file]
    assert page.told == []


def test_the_headings_are_there_to_be_jumped_to(page) -> None:
    names = page.get_by_role("heading", level=2).all_inner_texts()
    wanted = ["What to do first", "Areas", "Paint and mixing", "What to buy", "What it costs"]
    assert [name for name in names if name in wanted] == wanted
    assert page.get_by_role("navigation", name="Contents").is_visible()


def test_every_picture_has_a_name_and_stays_inside_the_page(page) -> None:
    open_all(page)
    pictures = page.get_by_role("img")
    assert pictures.count() >= 10
    for box in (pictures.nth(i).bounding_box() for i in range(pictures.count())):
        assert box["x"] >= 0
        assert box["x"] + box["width"] <= page.viewport_size["width"] + 1


def test_text_in_pictures_is_big_enough_to_read(page) -> None:
    open_all(page)
    sizes = page.evaluate(
        """[...document.querySelectorAll('svg text')].map(
            t => parseFloat(t.getAttribute('font-size')) * t.ownerSVGElement.getScreenCTM().a)"""
    )
    assert min(sizes) >= 10.5


def test_no_text_of_a_picture_is_cut_off(page) -> None:
    open_all(page)
    cut = page.evaluate(
        """[...document.querySelectorAll('svg text')].filter(t => {
            const a = t.getBoundingClientRect(), b = t.ownerSVGElement.getBoundingClientRect();
            return a.left < b.left - 1 || a.right > b.right + 1 || a.top < b.top - 1;
        }).map(t => t.textContent)"""
    )
    assert cut == []


def test_the_keyboard_reaches_the_plan_and_shows_where_it_is(page) -> None:
    page.keyboard.press("Tab")
    focused = "document.activeElement"
    assert page.evaluate(f"{focused}.textContent") == "Skip to the plan"
    page.keyboard.press("Tab")
    outline = page.evaluate(f"parseFloat(getComputedStyle({focused}).outlineWidth)")
    assert outline >= 2


def test_touch_targets_of_details_are_large(page) -> None:
    open_all(page)
    heights = page.evaluate(
        "[...document.querySelectorAll('summary')].map(s => s.getBoundingClientRect().height)"
    )
    assert min(heights) >= 24  # WCAG 2.2, success criterion 2.5.8


def test_on_paper_the_contents_go_and_the_plan_stays(page) -> None:
    page.emulate_media(media="print")
    assert not page.get_by_role("navigation").is_visible()
    recipe = page.locator("details.recipe").first
    assert not recipe.is_visible()
    recipe.evaluate("one => one.open = true")
    assert recipe.get_by_text("Set the gun").is_visible()
    assert page.evaluate("getComputedStyle(document.body).backgroundColor") == "rgb(255, 255, 255)"
