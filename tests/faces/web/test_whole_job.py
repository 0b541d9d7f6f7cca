"""A whole job by taps only: from an empty store to a signed-off record, the network cut midway.

Two phones of the shop and the owner's own. All invented.
"""

from functools import partial

import pytest
from playwright.sync_api import TimeoutError

import web_server
from coatwright.actions.shop import Shop
from coatwright.record.store.ledger import Record
from web_server import eight, served

pytestmark = [pytest.mark.browser, pytest.mark.slow]

PHONE = {"width": 390, "height": 844}


@pytest.fixture
def shop(tmp_path):
    with Record(f"sqlite:///{tmp_path / 'record.db'}", tmp_path / "files") as record:
        yield Shop(record, tmp_path, clock=eight)


until = partial(web_server.until, seconds=60.0)


def phone(browser, address, faults):
    page = browser.new_context(viewport=PHONE, reduced_motion="reduce").new_page()
    page.set_default_timeout(60_000)
    page.on("pageerror", lambda fault: faults.append(str(fault)))
    page.goto(address)
    return page


def say_who(page, name):
    page.get_by_role("link", name="Who?").click()
    page.get_by_label("Who holds it?").fill(name)
    page.get_by_role("button", name="Keep").click()


def measured(page):
    """Walk round: a flat panel by the tape, in a few taps."""
    page.get_by_role("link", name="Measure another area").click()
    page.locator("a[href$='shape=flat']").click()
    page.locator("#length").fill("60")
    page.locator("#width").fill("40")
    page.get_by_text("0.24", exact=False).first.wait_for()
    page.get_by_label("What is it called?").fill("Splash panel")
    page.get_by_role("button", name="Add it").click()
    page.get_by_text("Splash panel").wait_for()


def agreed(page, browser, faults):
    """The estimate is put to the owner, who says yes on a page of their own."""
    page.get_by_role("link", name="Money", exact=True).click()
    page.get_by_role("button", name="Put the estimate to the owner").click()
    link = page.locator("a[href^='/owner/']")
    link.wait_for()
    owner = phone(browser, link.inner_text(), faults)
    owner.get_by_label("Your name").fill("the owner")
    owner.get_by_role("button", name="Yes, do it").click()
    owner.get_by_text("You said yes").wait_for()
    page.get_by_text("the owner,", exact=False).first.wait_for()
    owner.context.close()


def open_turn(page):
    return page.locator("#now .turn:not([hidden])")


def stands(page):
    """The piece of work that stands open, and how: ("", "") if none does."""
    asked = "(t => t ? [t.dataset.entry, t.dataset.state] : ['', ''])"
    return page.evaluate(f"{asked}(document.querySelector('#now .turn:not([hidden])'))")


def tapped(page, key, name):
    """One tap; False if the plan was made anew under the finger and another piece stands there."""
    turn = page.locator(f"#now .turn[data-entry='{key}']")
    try:
        turn.get_by_role("button", name=name, exact=True).click(timeout=5000)
    except TimeoutError:
        return False
    return True


def worked(page, turns, other=None):
    """So many pieces of work, one after another, each begun and done by a tap."""
    finished = 0
    while finished < turns:
        until(lambda: stands(page)[0] or page.get_by_text("All is done.").count() > 0)
        key, state = stands(page)
        if not key:  # for a moment, while the page is set anew, nothing stands there either
            if page.get_by_text("All is done.").count() > 0:
                return
            continue
        if state == "planned" and not tapped(page, key, "Start"):
            continue
        if state != "begun":
            until(lambda key=key: stands(page) != [key, "planned"])
        if stands(page)[0] != key or not tapped(page, key, "Done"):
            continue
        until(lambda key=key: stands(page)[0] != key)
        finished += 1
        if other is not None:
            seen = f"#just-done .turn[data-entry='{key}']"
            other.wait_for_selector(seen, state="attached", timeout=60_000)


def test_from_an_empty_store_to_a_signed_off_record(browser, shop):
    faults: list[str] = []
    with served(shop) as address:
        one = phone(browser, address, faults)
        say_who(one, "painter")
        one.get_by_label("What is it?").fill("A practice door")
        one.get_by_role("button", name="Begin").click()
        one.get_by_role("heading", name="A practice door").wait_for()
        one.get_by_role("link", name="Areas", exact=True).last.click()
        measured(one)
        key = shop.jobs()[0]
        shop.days(key)  # computed once here, so that the test does not wait for it on a page
        agreed(one, browser, faults)

        one.get_by_role("link", name="Now", exact=True).last.click()
        open_turn(one).wait_for()
        two = phone(browser, f"{address}/person?back=/jobs/{key}/day", faults)
        two.get_by_label("Who holds it?").fill("learner")
        two.get_by_role("button", name="Keep").click()
        two.wait_for_selector("body[data-line=up]")
        worked(one, 3, two)

        one.context.set_offline(True)
        before = len(shop.record.events(key))
        worked(one, 2)
        assert len(shop.record.events(key)) == before
        assert one.locator("[data-undelivered]").is_visible()
        one.context.set_offline(False)
        until(lambda: not one.locator("[data-undelivered]").is_visible())
        worked(one, 80)

        state = shop.open(key).state
        planned = {(a.key, p.key): [layer.product for layer in p.layers]
                   for a in shop.plan(key).areas for p in a.patches}  # fmt: skip
        for (area, patch), products in planned.items():
            assert [layer.product for layer in state.patch(area, patch).layers] == products
        ids = [event.id for event in shop.record.events(key)]
        assert len(ids) == len(set(ids))

        one.get_by_role("link", name="Record", exact=True).last.click()
        one.get_by_text("Splash panel").first.wait_for()
        one.goto(f"{address}/jobs/{key}/check")
        one.locator("a[href*='/check/film/']").first.click()
        one.locator("textarea[name=readings], input[name=readings]").first.fill("118; 121; 125")
        one.get_by_role("button", name="Keep the readings").first.click()
        until(lambda: "film read" in [e.body.kind for e in shop.record.events(key)])
        dossier = one.request.get(f"{address}/jobs/{key}/record/all.pdf", timeout=90_000)
        assert dossier.body().startswith(b"%PDF")
        bill = one.request.get(f"{address}/jobs/{key}/money/bill.pdf")
        assert bill.status == 200
        assert bill.body().startswith(b"%PDF")
        assert shop.open(key).state.extras["estimate"].decisions[-1].by == "the owner"
    assert faults == []
