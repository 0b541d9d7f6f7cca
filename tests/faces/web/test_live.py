"""The live day in a browser: two phones, the network cut and back, keyboard alone, both lights.

The app is served by uvicorn in a thread, as `coatwright serve` does it. The job is the starter's
one door; the shop's clock stands at eight, so that nothing is late.
"""

from contextlib import contextmanager
from functools import partial

import pytest
from axe_playwright_python.sync_playwright import Axe

import web_server
from coatwright.actions.shop import Shop
from coatwright.record.store.ledger import Record
from web_server import eight, served

pytestmark = pytest.mark.browser

PHONE, DESK = (390, 844), (1280, 900)
RULES = {"runOnly": ["wcag2a", "wcag2aa", "wcag21aa", "wcag22aa", "best-practice"]}


@pytest.fixture(scope="module")
def shop(tmp_path_factory):
    folder = tmp_path_factory.mktemp("shop")
    with Record(f"sqlite:///{folder / 'record.db'}", folder / "files") as record:
        yield Shop(record, folder, clock=eight)


@pytest.fixture(scope="module")
def address(shop):
    with served(shop) as found:
        yield found


@pytest.fixture
def job(shop):
    key = shop.start("Door", "me")
    shop.days(key)
    return key


@contextmanager
def phone(browser, address, job, who="Anna", size=PHONE, **more):
    """A phone that somebody holds, with the live day open; a fault in the console fails."""
    wide, tall = size
    context = browser.new_context(
        viewport={"width": wide, "height": tall}, reduced_motion="reduce", **more
    )
    if who:
        context.add_cookies([{"name": "cw_who", "value": who, "url": address}])
    page = context.new_page()
    page.faults = []
    page.on("pageerror", lambda fault: page.faults.append(str(fault)))
    page.goto(f"{address}/jobs/{job}/day")
    page.wait_for_selector("body[data-line=up]")
    try:
        yield page
        assert page.faults == []
    finally:
        context.close()


def happened(shop, job):
    """What was noted, without the arranging of the days."""
    kinds = [one.body.kind for one in shop.record.events(job)]
    return [kind for kind in kinds if kind != "days arranged"]


until = partial(web_server.until, seconds=30.0)
TOLD = 30_000
"""Milliseconds within which a phone hears of another's tap: by asking again it takes a minute."""


def now(page):
    return page.locator("#now .turn:not([hidden])")


def to_do(page):
    return now(page).locator(".to-do").inner_text()


def set_anew(page):
    """The part of the page that lives is asked for once more, and has been set anew."""
    page.evaluate(
        "document.querySelector('#now').dataset.old = '';"
        "document.body.dispatchEvent(new CustomEvent('happened'))"
    )
    page.wait_for_selector("#now:not([data-old])")


def test_one_tap_starts_and_one_ends_and_another_phone_sees_it(browser, address, shop, job):
    with phone(browser, address, job) as one, phone(browser, address, job, "Ben") as two:
        until(lambda: "two-pack epoxy" in to_do(one))
        now(one).get_by_role("button", name="Start").click()
        two.wait_for_selector("#now .turn[data-state=begun]:not([hidden])", timeout=TOLD)
        now(one).get_by_role("button", name="Done", exact=True).click()
        until(lambda: "egrease" in to_do(one))
        two.wait_for_selector("#just-done .turn[data-entry='mix.epoxy-1']", timeout=TOLD)
        until(lambda: "egrease" in to_do(two))
        two.wait_for_selector("#clocks [data-clock='pot life epoxy']", timeout=TOLD)
    assert happened(shop, job) == ["described", "work begun", "mixed"]


def test_cut_off_three_taps_count_at_once_and_arrive_once_each(browser, address, shop, job):
    with phone(browser, address, job) as page:
        page.context.set_offline(True)
        now(page).get_by_role("button", name="Done already").click()
        until(lambda: "egrease" in to_do(page))
        now(page).get_by_role("button", name="Done already").click()
        until(lambda: "Coat 1" in to_do(page))
        now(page).get_by_role("button", name="Start").click()
        sign = page.locator("[data-undelivered]")
        until(lambda: sign.inner_text().split()[0] == "3")
        assert now(page).get_attribute("data-state") == "begun"
        assert happened(shop, job) == ["described"]
        page.context.set_offline(False)
        until(lambda: len(happened(shop, job)) == 4, seconds=60)
        until(lambda: not sign.is_visible())
        page.reload()  # which delivers again what may be left
        page.wait_for_selector("body[data-line=up]")
        set_anew(page)
        assert happened(shop, job) == ["described", "mixed", "degreased", "coat begun"]
        assert len({one.id for one in shop.record.events(job)}) == 5  # the days, and these
        assert now(page).get_attribute("data-state") == "begun"
    begun = shop.record.events(job)[-1].body
    assert begun.planned is not None
    assert begun.mix == "epoxy-1"


def test_a_part_that_does_not_know_of_a_tap_yet_does_not_unmake_it(browser, address, shop, job):
    with phone(browser, address, job, service_workers="block") as page:
        place = f"{address}/jobs/{job}/day/now"
        old = page.request.get(place).text()
        asked = []

        def late(route):
            asked.append(1)
            route.fulfill(body=old, content_type="text/html")

        page.route("**/day/now", late)
        now(page).get_by_role("button", name="Start").click()
        until(lambda: page.wait_for_timeout(50) or (asked and len(happened(shop, job)) == 2))
        set_anew(page)
        assert now(page).get_attribute("data-state") == "begun"
        page.unroute("**/day/now")
        page.evaluate("document.body.dispatchEvent(new CustomEvent('happened'))")
        until(lambda: "begun" in now(page).locator(".quiet").first.inner_text())


def test_the_cup_is_weighed_and_the_last_tap_is_taken_back(browser, address, shop, job):
    with phone(browser, address, job) as page:
        for then in ("egrease", "Coat 1"):
            now(page).get_by_role("button", name="Done already").click()
            until(lambda wanted=then: wanted in to_do(page))
        now(page).get_by_role("button", name="Start").click()
        page.wait_for_selector("#now .turn[data-state=begun]:not([hidden])")
        now(page).get_by_label("Gun with cup, before").fill("812.4")
        until(lambda: "coat begun" in happened(shop, job))
        set_anew(page)  # what was typed is still there
        assert now(page).get_by_label("Gun with cup, before").input_value() == "812.4"
        now(page).get_by_role("button", name="Done", exact=True).click()
        done = page.locator("#just-done")
        done.get_by_label("and after").fill("604,1")
        done.get_by_role("button", name="Weighed").click()
        until(lambda: "cup weighed" in happened(shop, job))
        cup = shop.record.state(job).patch("door").last_coat.cup[0]
        assert (cup.before, cup.after) == pytest.approx((0.8124, 0.6041))
        page.wait_for_selector("#clocks [data-clock='flash epoxy']")
        done.get_by_role("button", name="back").click()
        until(lambda: shop.record.state(job).patch("door").last_coat.done is None)
        assert now(page).get_attribute("data-state") == "begun"


def test_who_holds_the_phone_is_asked_first(browser, address, shop, job):
    with phone(browser, address, job, who="") as page:
        assert page.locator("#live").is_hidden()
        page.get_by_role("button", name="Me").click()
        page.wait_for_selector("#live:visible")
        now(page).get_by_role("button", name="Start").click()
        until(lambda: len(happened(shop, job)) == 2)
    assert shop.record.events(job)[-1].who == "Me"


def test_two_at_once_are_settled_and_told(browser, address, shop, job):
    """Ben's phone is cut off while Anna notes the same: hers counts, and his phone says so."""
    with phone(browser, address, job) as anna, phone(browser, address, job, "Ben") as ben:
        ben.context.set_offline(True)
        now(ben).get_by_role("button", name="Start").click()
        now(anna).get_by_role("button", name="Start").click()
        until(lambda: happened(shop, job).count("work begun") == 1)
        ben.context.set_offline(False)
        until(lambda: ben.locator("[data-told]").is_visible(), seconds=60)
        assert "Anna had noted this" in ben.locator("[data-told]").inner_text()
    assert happened(shop, job) == ["described", "work begun", "note"]


def test_by_keyboard_alone(browser, address, shop, job):
    with phone(browser, address, job) as page:
        for wanted in ("Start", "Done"):
            for _ in range(30):
                page.keyboard.press("Tab")
                held = page.evaluate("document.activeElement.textContent.trim()")
                if held == wanted:
                    break
            page.keyboard.press("Enter")
        # What is next has the focus, so that it is read out.
        until(lambda: page.evaluate("document.activeElement.matches('#now .to-do')"))
        until(lambda: happened(shop, job) == ["described", "work begun", "mixed"])


@pytest.mark.parametrize(("size", "scheme"), [(PHONE, "dark"), (DESK, "light")])
def test_nothing_to_object_to(browser, address, job, size, scheme):
    with phone(browser, address, job, size=size, color_scheme=scheme) as page:
        for place in (f"/jobs/{job}/day", "/trust"):
            page.goto(f"{address}{place}")
            page.wait_for_load_state("load")
            found = Axe().run(page, options=RULES)
            assert [(one["id"], one["nodes"]) for one in found.response["violations"]] == []
            assert page.evaluate("document.documentElement.scrollWidth - innerWidth") <= 0
            small = page.evaluate(
                "[...document.querySelectorAll('button, main .button, nav a')]"
                ".filter(b => b.offsetParent && b.getBoundingClientRect().height < 48)"
                ".map(b => b.textContent)"
            )
            assert small == []


def test_the_service_worker_keeps_the_day_but_never_a_tap(browser, address, job):
    with phone(browser, address, job) as page:
        page.evaluate("navigator.serviceWorker.ready.then(() => true)")
        page.reload()
        page.wait_for_selector("body[data-line=up]")
        page.context.set_offline(True)
        page.reload()
        until(lambda: "two-pack epoxy" in to_do(page))
        now(page).get_by_role("button", name="Start").click()
        until(lambda: page.locator("[data-undelivered]").inner_text().startswith("1"))
        page.reload()
        # Kept over the reload: still begun, still not delivered.
        page.wait_for_selector("#now .turn[data-state=begun]:not([hidden])")
        kept = page.evaluate(
            "caches.keys().then(async (names) => (await Promise.all(names.map(async (name) =>"
            " (await (await caches.open(name)).keys()).map((ask) => new URL(ask.url).pathname))))"
            ".flat())"
        )
        assert f"/jobs/{job}/day" in kept
        assert not any("taps" in path and not path.startswith("/static/") for path in kept)
        page.context.set_offline(False)
