"""What a page weighs and whether it stays where it is, in a real browser, phone and desk.

Bytes are those that came over the wire with everything the page loads, the cache empty. The layout
shift is the browser's own measure (Layout Instability, W3C draft report: the sum over all shifts
that no tap brought about; below 0.1 is commonly called good, here less than a tenth of that).
"""

import pytest

from coatwright.actions import shop as shops
from coatwright.actions.shop import Shop
from coatwright.record.events import AirRead, ClimateRead, FilmRead
from coatwright.record.store.ledger import Record
from web_server import eight, served, until

pytestmark = [pytest.mark.browser, pytest.mark.slow]

SIZES = {"phone": (390, 844), "desk": (1280, 900)}
HEAVIEST = 250_000
"""Bytes that a page may weigh with all it loads."""
STILL = 0.01

JOB = "/jobs/body"
PAGES = (
    "/", "/person", "/glossary", "/shelf", "/learned", JOB,
    *(f"{JOB}/{name}" for name in (
        "day", "areas", "areas/front-wings", "areas/new", "areas/new?shape=flat", "recipes",
        "recipes/front-wings-epoxy", "paint", "mixes/epoxy-mix-1", "mixes/epoxy-mix-1/label",
        "air", "check", "check/card", "check/film/front-wings/metal", "check/defect", "windows",
        "money", "record", "papers", "learned",
    )),
)  # fmt: skip

WAITS = ".htmx-request, [hx-trigger^=load] > [role=status]:only-child"
ENDLESS = "/live"
"""The stream of what happens, which goes on as long as the page is open."""
DRAWN = "new Promise((drawn) => requestAnimationFrame(() => setTimeout(drawn, 0)))"
WATCH = """
window.moved = [];
new PerformanceObserver((list) => {
  const said = (node) => (node?.outerHTML ?? node?.textContent ?? "").slice(0, 60);
  for (const one of list.getEntries())
    if (!one.hadRecentInput) moved.push([one.value, ...one.sources.map((s) => said(s.node))]);
}).observe({ type: "layout-shift", buffered: true });
"""


@pytest.fixture(scope="module")
def address(tmp_path_factory):
    """The whole invented body, planned and its days arranged."""
    folder = tmp_path_factory.mktemp("shop")
    with Record(f"sqlite:///{folder / 'record.db'}", folder / "files") as record:
        shop = Shop(record, folder, eight)
        shop.start("Body", "painter", demo=True)
        with pytest.MonkeyPatch.context() as patch:
            patch.setattr(shops, "DAY_SECONDS", 1.0)  # any days will do
            shop.days("body")
        gun = shop.open("body").bench.job.workshop.guns[0].key
        for body in (
            FilmRead(method="gauge", readings=tuple(n * 1e-6 for n in range(52, 82, 2))),
            ClimateRead(air=292.15, metal=287.15, humidity=0.7),
            AirRead(where="wall", pressure=3.0e5, trigger=True, gun=gun),
            AirRead(where="gun", pressure=2.0e5, trigger=True, gun=gun),
        ):
            shop.happened("body", "painter", body, "front-wings", "metal")
        with served(shop) as found:
            yield found


def at_rest(page):
    """Wait until all that the page asked for is there, and has been drawn."""
    page.wait_for_selector(WAITS, state="detached")
    until(lambda: page.wait_for_timeout(20) or not page.under_way(), 60.0)
    for _ in range(3):
        page.evaluate(DRAWN)


@pytest.fixture
def opened(browser, address, request):
    """A page opened with an empty cache; and what came over the wire, by address."""
    made = []

    def opened(path, size):
        wide, tall = SIZES[size]
        context = browser.new_context(viewport={"width": wide, "height": tall})
        context.add_cookies([{"name": "cw_who", "value": "Anna", "url": address}])
        context.add_init_script(WATCH)
        made.append(context)
        page, names, came, ended = context.new_page(), {}, {}, set()
        wire = context.new_cdp_session(page)
        wire.send("Network.enable")
        wire.on(
            "Network.requestWillBeSent",
            lambda e: names.setdefault(e["requestId"], e["request"]["url"]),
        )
        wire.on("Network.loadingFinished", lambda e: came.__setitem__(
            names.get(e["requestId"], e["requestId"]), e["encodedDataLength"]))  # fmt: skip
        for end in ("Network.loadingFinished", "Network.loadingFailed"):
            wire.on(end, lambda e: ended.add(e["requestId"]))
        page.under_way = lambda: {
            name for one, name in names.items() if one not in ended and not name.endswith(ENDLESS)
        }
        page.goto(address + path, wait_until="load")
        at_rest(page)
        return page, came

    yield opened
    for context in made:
        context.close()


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("path", PAGES)
def test_a_page_is_light_and_nothing_on_it_moves(opened, path, size):
    page, came = opened(path, size)
    assert any("htmx" in name for name in came)  # everything was counted, scripts and all
    assert 5_000 < sum(came.values()) < HEAVIEST, came
    moved = page.evaluate("moved")
    assert sum(one[0] for one in moved) < STILL, moved


def test_the_second_page_of_a_job_loads_no_script_and_no_style_again(opened, address):
    page, came = opened(JOB, "phone")
    came.clear()
    page.goto(f"{address}{JOB}/areas", wait_until="load")
    at_rest(page)
    again = {name: size for name, size in came.items() if "/static/" in name}
    assert any("htmx" in name for name in again)
    assert set(again.values()) == {0}, again


def test_when_another_phone_taps_nothing_moves_but_what_it_changed(opened, address):
    page, _ = opened(f"{JOB}/areas/front-wings", "phone")
    other, _ = opened(f"{JOB}/check", "phone")
    other.get_by_label("air", exact=True).fill("19")
    other.get_by_label("humidity").fill("61")
    with page.expect_response("**/planned"):
        other.get_by_role("button", name="Keep the climate").click()
    at_rest(page)
    assert sum(one[0] for one in page.evaluate("moved")) < STILL


def test_a_page_gone_back_to_is_not_older_than_the_record(opened, address):
    page, _ = opened(f"{JOB}/areas", "phone")
    page.goto(f"{address}{JOB}/areas/bonnet")
    page.locator("button[name=trust]").first.click()
    page.wait_for_selector("text=old paint, not trusted")
    while not page.url.endswith("/areas"):
        page.go_back()
    page.wait_for_selector("#bonnet >> text=old paint, not trusted")
