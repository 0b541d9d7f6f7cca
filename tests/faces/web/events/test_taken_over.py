"""The work taken over: on the owner's own page, and in the shop on the shop's phone."""

import re

import httpx
import pytest

from coatwright.actions.floor import owner
from coatwright.record.events import DefectSeen
from web_server import in_hand, served, sprayed_board, until

SPOT = ("board", "primed")
JOB = "/jobs/board"


@pytest.fixture
def shop(tmp_path):
    with sprayed_board(tmp_path) as made:
        yield made


@pytest.fixture
def address(shop):
    with served(shop) as found:
        yield found


def text_of(client, path, language="en"):
    answer = client.get(path, headers={"Cookie": f"cw_language={language}"})
    assert answer.status_code == 200
    return " ".join(re.sub(r"<[^>]*>", " ", answer.text).split())


def test_the_owner_takes_it_over_on_their_own_page(shop, address):
    shop.happened("board", "painter", DefectSeen(defect="runs", note="low"), *SPOT)
    page = f"/owner/{owner.link(shop, 'board')}"
    with httpx.Client(base_url=address, follow_redirects=True, timeout=60.0) as client:
        text = text_of(client, page)
        for told in ("Laid in this job, from the metal up", "Board, front", "Every layer of",
                     "Seen, and not yet put right", ": low", "It does not say that the work is "
                     "without fault."):  # fmt: skip
            assert told in text
        assert "Es besagt nicht, dass die Arbeit ohne Fehler ist." in text_of(client, page, "de")
        seen = re.search(r'name="seen" value="(\d+)"', client.get(page).text)[1]
        given = {"name": "the owner", "remarks": "a <run> low", "seen": seen}
        for _ in range(2):
            assert client.post(f"{page}/take-over", data=given).status_code == 200
        assert len(shop.record.events("board", ("taken over",))) == 1
        text = client.get(page).text
        assert "a &lt;run&gt; low" in text
        assert "take-over" not in text
        assert "Taken over" in text_of(client, JOB)
        record = text_of(client, f"{JOB}/record")
        assert record.count("a &lt;run&gt; low") == 2  # how it stands, and the history
        table = client.get(f"{JOB}/record/all.csv").text
        assert "taken over" in table
        assert '"taken over"' in client.get(f"{JOB}/record/all.json").text


def test_a_fault_is_told_on_the_page_and_nothing_is_kept(shop, address):
    page = f"/owner/{owner.link(shop, 'board')}/take-over"
    with httpx.Client(base_url=address, follow_redirects=True, timeout=60.0) as client:
        for given, told in (
            ({"name": " ", "seen": "999"}, "aking it over needs a name"),
            ({"name": "the owner"}, "omething has been noted since this page was opened"),
            ({"name": "the owner", "seen": "x"}, "omething has been noted since"),
        ):
            answer = client.post(page, data={**given, "remarks": "a run low"})
            assert (answer.status_code, told in answer.text) == (422, True)
            assert ">a run low</textarea>" in answer.text
        assert client.post(page[:-1] + "x", data={}).status_code == 404
    assert shop.record.events("board", ("taken over",)) == []


@pytest.mark.browser
@pytest.mark.slow
def test_the_owner_takes_it_over_on_the_phone_of_the_shop_and_it_is_taken_back(
    browser, shop, address
):
    with in_hand(browser, address, "painter") as page:
        page.goto(JOB)
        page.get_by_text("The owner may take it over.").click()
        page.get_by_text("The owner takes it over here, on this phone").click()
        page.get_by_label("Name of the owner").fill("the owner")
        page.get_by_label("What is left to do").fill("a run at the lower edge")
        # Somebody notes something meanwhile: what is being written stays.
        shop.happened("board", "learner", DefectSeen(defect="runs"), *SPOT)
        page.get_by_role("button", name="Take it over").click()
        page.get_by_text("Taken over: the owner").wait_for()
        assert page.locator("#take-over").count() == 0
        (taken,) = shop.open("board").state.handovers
        assert (taken.by, taken.how, taken.remarks) == (
            "the owner", "in the shop", "a run at the lower edge",
        )  # fmt: skip
        line = page.locator(f"#e-{taken.place.event}")
        line.locator("summary").click()
        line.get_by_label("Why?").fill("signed for another job")
        line.get_by_role("button", name="Take it back").click()
        until(lambda: shop.open("board").state.taken_over is None, 20.0)
        page.get_by_text("The owner takes it over here, on this phone").wait_for()
