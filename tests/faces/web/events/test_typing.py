"""What somebody is typing stays while other phones tap."""

import json

import httpx
import pytest

from coatwright.record.events import new_id
from web_server import in_hand, served, sprayed_board

pytestmark = [pytest.mark.browser, pytest.mark.slow]

JOB = "/jobs/board"


@pytest.fixture
def shop(tmp_path):
    with sprayed_board(tmp_path) as made:
        yield made


def tapped(shop, address, text):
    """Another phone notes something."""
    tap = {"id": new_id(), "job": "board", "who": "learner", "kind": "note",
           "fields": {"text": text}, "at": shop.clock().isoformat()}  # fmt: skip
    httpx.post(f"{address}{JOB}/taps", data={"tap": json.dumps(tap)}).raise_for_status()


def test_a_form_half_filled_in_is_not_taken_from_under_the_fingers(browser, shop):
    with served(shop) as address, in_hand(browser, address, "painter") as page:
        page.goto(f"{JOB}/money")
        page.get_by_text("Propose extra work").click()
        page.get_by_label("What is to be done?").fill("New captive nuts")
        page.get_by_label("hours", exact=True).fill("1.5")
        with page.expect_response("**/money/stands"):
            tapped(shop, address, "the trap is drained")
        page.wait_for_selector(".htmx-request", state="detached")
        assert page.get_by_label("What is to be done?").input_value() == "New captive nuts"
        assert page.get_by_label("hours", exact=True).input_value() == "1.5"
        assert page.evaluate("document.activeElement.name") == "seconds"

        page.goto(f"{JOB}/record")
        line = page.locator("ol.history > li").first
        line.locator("summary").click()
        line.get_by_label("Why?").fill("written twice")
        with page.expect_response("**/record/history*"):
            tapped(shop, address, "swept")
        page.get_by_text("swept").wait_for()
        why = page.locator("ol.history > li").nth(1).get_by_label("Why?")
        assert why.input_value() == "written twice"


def test_a_form_sent_before_its_script_has_come_keeps_its_words(browser, shop):
    """Without scripts nothing can be kept; but nothing is lost either, and it can be sent again."""
    with served(shop) as address:
        page = browser.new_context(java_script_enabled=False, base_url=address).new_page()
        for where, names, button in (
            ("check", ("air", "humidity"), "Keep the climate"),
            ("air", ("wall, pulled",), "Keep the readings"),
        ):
            page.goto(f"{JOB}/{where}")
            fields = [page.get_by_label(name, exact=True) for name in names]
            for field in fields:
                field.fill("56")
            page.get_by_role("button", name=button).click()
            assert page.url.endswith(f"{JOB}/{where}")
            assert [field.input_value() for field in fields] == ["56"] * len(fields)
        page.context.close()
