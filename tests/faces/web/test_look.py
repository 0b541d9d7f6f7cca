"""Every page in a real browser, phone and desk, light and dark: axe, size of targets, width."""

import re
from importlib.resources import files

import pytest
from axe_playwright_python.sync_playwright import Axe

from coatwright.actions.floor import owner
from coatwright.faces import drawing
from coatwright.record.events import (
    AirRead,
    BrokeThrough,
    ClimateRead,
    DefectSeen,
    FilmRead,
    Found,
    Note,
    TakenOver,
)
from web_server import served, sprayed_board

pytestmark = [pytest.mark.browser, pytest.mark.slow]

SPOT = ("board", "primed")
JOB = "/jobs/board"
SIZES = {"phone": (390, 844), "desk": (1280, 900)}
TARGET = 48.0
"""Least height of what is tapped, in pixels of the page."""

PAGES = (
    "/", "/person", "/glossary", JOB,
    *(f"{JOB}/{name}" for name in (
        "day", "day/otherwise", "areas", "areas/board", "areas/new", "windows", "recipes", "paint",
        "air", "check", "check/card", "check/film/board/primed", "check/fluid",
        "check/strokes", "check/board", "happened",
        "check/defect?defect=solvent-pop&spot=board/primed", "money", "record", "papers",
    )),
    "/owner/",
)  # fmt: skip

BLOCK = re.compile(r"@media([^{]*)\{((?:[^{}]*\{[^{}]*\})*)\s*\}")
"""What a rule of the style sheets asks for, and the rules that hold then."""

SMALL = """[...document.querySelectorAll('a, button, input, select, textarea, summary')]
    .filter(e => !e.classList.contains('skip') && e.type !== 'hidden')
    .map(e => [e.outerHTML.slice(0, 90), (e.closest('label.tick') ?? e).getBoundingClientRect()])
    .filter(([, box]) => box.width > 0 && box.height < %s - 0.5)
    .map(([text, box]) => `${Math.round(box.height)} ${text}`)"""


@pytest.fixture(scope="module")
def shop(tmp_path_factory):
    with sprayed_board(tmp_path_factory.mktemp("shop")) as shop:
        for body in (
            FilmRead(method="gauge", readings=tuple(n * 1e-6 for n in range(52, 82, 2))),
            ClimateRead(air=292.15, metal=287.15, humidity=0.7),
            AirRead(where="wall", pressure=3.0e5, trigger=True, gun="colour-gun"),
            AirRead(where="gun", pressure=2.0e5, trigger=True, gun="colour-gun"),
            Note(text="a note"),
            TakenOver(by="the owner", remarks="a run"),
            DefectSeen(defect="runs"),
            BrokeThrough(),
            Found(what="not steel", ground="aluminium"),
        ):
            shop.happened("board", "painter", body, *SPOT)
        yield shop


@pytest.fixture(scope="module")
def address(shop):
    with served(shop) as found:
        yield found


@pytest.fixture(scope="module")
def token(shop):
    """The private part of the address of the owner's page."""
    return owner.link(shop, "board")


# Each size and each light once: that no two of them meet is held by the test below.
@pytest.fixture(params=[("phone", "light"), ("desk", "dark")], ids=str)
def context(request, browser):
    size, light = request.param
    wide, tall = SIZES[size]
    made = browser.new_context(
        viewport={"width": wide, "height": tall}, color_scheme=light, reduced_motion="reduce",
        bypass_csp=True,
    )  # fmt: skip
    yield made
    made.close()


@pytest.mark.parametrize("path", PAGES)
def test_axe_finds_nothing_targets_are_large_and_nothing_sticks_out(context, address, token, path):
    page = context.new_page()
    faults = []
    page.on("pageerror", lambda fault: faults.append(str(fault)))
    page.goto(address + (f"/owner/{token}" if path == "/owner/" else path))
    page.wait_for_function("!document.querySelector('[role=status]')?.textContent.includes('…')")
    page.wait_for_function("!document.querySelector('.htmx-request')")
    page.evaluate("document.querySelectorAll('details').forEach(one => one.open = true)")
    assert page.evaluate("document.documentElement.scrollWidth - innerWidth") <= 0
    assert page.evaluate(SMALL % TARGET) == []
    found = Axe().run(page).response["violations"]
    assert [(one["id"], [node["html"][:90] for node in one["nodes"]]) for one in found] == []
    assert faults == []
    page.close()


def test_no_rule_for_a_width_sets_a_colour_and_none_for_a_light_a_size():
    """So what is right at one width in the dark is right at the other."""
    static = files("coatwright.faces.web") / "static" / "css"
    texts = [one.read_text("utf-8") for one in static.iterdir()] + [drawing.look()]
    blocks = [block for text in texts for block in BLOCK.findall(re.sub(r"/\*.*?\*/", "", text))]
    wide = [rules for asked, rules in blocks if "width" in asked]
    light = [rules for asked, rules in blocks if "color-scheme" in asked]
    assert wide
    assert light
    assert [rules for rules in wide if "color" in rules or "background" in rules] == []
    for rules in light:
        named = re.findall(r"([\w-]+):\s*([^;{}]+);", rules)
        assert named
        assert all(name.startswith("--") and value.startswith("#") for name, value in named)
