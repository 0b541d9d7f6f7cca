"""Something happened: noted by few taps where a person looks for it, and told where it matters."""

from dataclasses import replace

import httpx
import pytest

from coatwright.actions.live import following
from coatwright.planning.day.plan import DayClash
from coatwright.record.events import (
    BrokeThrough,
    DaysArranged,
    DefectSeen,
    Found,
    said,
)
from web_server import eight, in_hand, served, sprayed_board, until

SPOT = ("board", "primed")
JOB = "/jobs/board"


@pytest.fixture(scope="module")
def shop(tmp_path_factory):
    """One shop for all: a board with its three coats on and its days arranged."""
    with sprayed_board(tmp_path_factory.mktemp("shop"), eight) as made:
        following.arrange(made, "board")
        yield made


@pytest.fixture(scope="module")
def address(shop):
    with served(shop) as found:
        yield found


@pytest.fixture(autouse=True)
def as_before(shop):
    """What a test noted is taken back, so that the next finds the board as it was."""
    before = shop.open("board").state.number
    yield
    for event in reversed(shop.record.events("board", after=before)):
        if event.body.kind not in ("corrected", "days arranged"):
            shop.undo("board", "painter", event.id)


def told(address, path):
    with httpx.Client(base_url=address, follow_redirects=True, timeout=60.0) as client:
        answer = client.get(path)
        assert answer.status_code == 200
        return answer.text


def test_the_live_day_says_what_is_not_in_it_until_it_is_put_right(shop, address):
    assert "The days do not have this in them" not in told(address, f"{JOB}/day")
    shop.happened("board", "painter", BrokeThrough(), *SPOT)
    day = told(address, f"{JOB}/day")
    assert "The days do not have this in them" in day
    assert "rubbed through to the old paint" in day
    assert "Note that it is put right" in day
    open_now = told(address, f"{JOB}/happened/open")
    assert "again on those spots" in open_now
    assert told(address, f"{JOB}/check").count("It is put right") == 1
    assert "Not everything that was planned is on" in told(address, f"{JOB}/record/handover")


def test_another_ground_than_the_plan_has_leads_to_the_area(shop, address):
    shop.happened("board", "painter", Found(what="not steel", ground="aluminium"), *SPOT)
    day = told(address, f"{JOB}/day")
    assert "the plan is for bare steel" in day
    assert f'href="{JOB}/areas/board">Change the area' in day
    assert "Note that it is put right" not in day


def test_where_a_plan_clashes_the_rest_can_be_planned_afresh(shop, address):
    live = following.look(shop, "board")
    clash = DayClash("From now on no plan keeps every promise.", (), True, "Plan it afresh.")
    stuck = replace(live.days, clash=clash)
    moment = said("board", "painter", shop.clock(), DaysArranged())
    shop.keep_days(shop.open("board"), stuck, moment)
    day = told(address, f"{JOB}/day")
    assert "no plan keeps every promise" in day
    part = day.split("no plan keeps every promise")[1].split("</section>")[0]
    assert f'action="{JOB}/day/anew"' in part
    assert f'href="{JOB}/day/otherwise"' in part
    with httpx.Client(base_url=address, follow_redirects=True, timeout=60.0) as client:
        assert "no plan keeps every promise" not in client.post(f"{JOB}/day/anew").text


class Thumb:
    """Taps counted; a choice from a list is two, and a field is one before it is written in."""

    def __init__(self, page):
        self.page, self.taps = page, 0

    def tap(self, one):
        self.taps += 1
        one.click()

    def choose(self, one, value):
        self.taps += 2
        one.select_option(value)

    def write(self, one, text):
        self.tap(one)
        one.fill(text)

    def front(self):
        self.taps = 0
        self.page.goto(JOB)


@pytest.mark.browser
@pytest.mark.slow
def test_each_is_noted_by_few_taps_from_the_front_of_the_job(browser, shop, address):
    seen = shop.happened("board", "painter", DefectSeen(defect="runs"), *SPOT)
    with in_hand(browser, address, "painter") as page:
        thumb, taken = Thumb(page), {}
        before: dict[str, list[object]] = {}
        for event in shop.record.events("board"):
            before.setdefault(event.body.kind, []).append(event)

        def opened(kind=""):
            thumb.front()
            thumb.tap(page.get_by_role("link", name="Something happened"))
            if kind:
                thumb.tap(page.locator(f"#{kind} > summary"))
            return page.locator(f"#{kind}") if kind else page

        def noted(kind):
            known = len(before.get(kind, ()))
            until(lambda: shop.record.events("board", (kind,))[known:], 20.0)
            taken[kind] = thumb.taps
            return shop.record.events("board", (kind,))[-1]

        thumb.front()
        assert page.get_by_text("The vehicle has arrived").count() == 0  # paint is on already
        form = opened("broke")
        thumb.choose(form.get_by_label("Where"), "board/primed")
        page.locator("#broke-ground option[value='']").wait_for(state="attached")
        form.get_by_label("How much of it?").fill("4")
        thumb.tap(form.get_by_role("button", name="Note it: rubbed through"))
        broke = noted("broke through")
        assert (broke.body.ground, broke.area, broke.patch) == ("metal", *SPOT)
        assert broke.body.surface == pytest.approx(4e-4)

        form = opened("found")
        thumb.choose(form.get_by_label("Where"), "board/primed")
        thumb.write(form.get_by_label("What is it?"), "old filler")
        thumb.tap(form.get_by_role("button", name="Note it: found"))
        assert noted("found").body.what == "old filler"

        form = opened("note")
        thumb.write(form.get_by_label("In words"), "the tape came off hard")
        thumb.tap(form.get_by_role("button", name="Keep the note"))
        kept = noted("note")
        assert (kept.body.text, kept.area) == ("the tape came off hard", "")

        opened()
        thumb.tap(page.locator(f"#fault-{seen.id} > summary"))
        form = page.locator(f"#fault-{seen.id}")
        thumb.write(form.get_by_label("How was it put right?"), "cut flat and polished")
        thumb.tap(form.get_by_role("button", name="It is put right"))
        mended = noted("repaired")
        assert (mended.body.defect, mended.body.how) == (seen.id, "cut flat and polished")
        page.locator(f"#fault-{seen.id}").wait_for(state="detached")
        assert not shop.open("board").state.defects[0].open

        form = opened("stripped")
        thumb.choose(form.get_by_label("Where"), "board/primed")
        thumb.tap(form.get_by_role("button", name="Note it: stripped"))
        assert noted("stripped").body.ground == "bare steel"
        assert shop.open("board").state.patch(*SPOT).layers == ()

    assert taken == {
        "broke through": 5, "found": 6, "note": 4, "repaired": 4, "stripped": 5,
    }  # fmt: skip


@pytest.mark.browser
@pytest.mark.slow
def test_the_vehicle_arrives_by_three_taps_and_is_not_asked_for_again(browser, shop, address):
    key = shop.start("A car", "painter")
    with in_hand(browser, address, "painter") as page:
        page.goto(f"/jobs/{key}")
        page.get_by_text("The vehicle has arrived").click()
        field = page.get_by_label("How does it stand there?")
        field.click()
        field.fill("dry, complete, sills rusty")
        page.get_by_role("button", name="It has arrived").click()
        until(lambda: shop.open(key).state.arrived, 20.0)
        page.goto(f"/jobs/{key}")
        assert page.get_by_text("The vehicle has arrived").count() == 0
        page.goto(f"/jobs/{key}/happened")
        assert page.get_by_text("The vehicle has arrived").count() == 0
