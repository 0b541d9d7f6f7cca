"""Checking by hand on a phone: readings typed in are answered on the page, without loading it."""

import pytest

from card_photos import Shot, Truth, taken
from web_server import in_hand, served, sprayed_board

pytestmark = pytest.mark.browser

JOB = "/jobs/board"


@pytest.fixture(scope="module")
def shop(tmp_path_factory):
    with sprayed_board(tmp_path_factory.mktemp("shop")) as made:
        yield made


@pytest.fixture(scope="module")
def address(shop):
    with served(shop) as found:
        yield found


@pytest.fixture
def page(browser, address):
    with in_hand(browser, address, "painter") as opened:
        yield opened


def test_gauge_readings_typed_in_are_drawn_and_judged(page, shop):
    page.goto(f"{JOB}/check/film/board/primed")
    page.get_by_label("What the gauge shows").fill("61; 58; 60\n7; 62")
    page.get_by_role("button", name="Keep the readings").click()
    page.get_by_role("heading", name="ISO 19840: does not pass").wait_for()
    assert page.get_by_role("img", name="5 readings by gauge").is_visible()
    (read,) = shop.open("board").state.patch("board", "primed").gauge
    assert read.readings == pytest.approx([61e-6, 58e-6, 60e-6, 7e-6, 62e-6])
    assert read.place.who == "painter"


def test_two_gauges_typed_in_are_put_together_and_the_line_fitted(page, shop):
    page.goto(f"{JOB}/air")
    page.get_by_label("wall, pulled").fill("3.0")
    page.get_by_label("gun, pulled").fill("2.0")
    page.get_by_label("wall, released").fill("3,3")
    page.get_by_label("Receiver", exact=True).fill("7.5")
    page.get_by_role("button", name="Keep the readings").click()
    page.get_by_text("the line as fitted").wait_for()
    page.get_by_role("button", name="Let the readings count in the plan").click()
    page.get_by_text("The plan reckons with these readings.").wait_for()
    (kept,) = shop.open("board").bench.job.workshop.hose.gauges
    assert (kept.wall, kept.at_gun, kept.released) == pytest.approx((3.0e5, 2.0e5, 3.3e5))
    read = {one.body.where: one.body.pressure for one in shop.record.events("board", ("air read",))}
    assert read["receiver"] == pytest.approx(7.5e5)


def test_climate_typed_in_near_the_dew_point_is_cautioned(page):
    page.goto(f"{JOB}/check")
    for label, value in (("air", "20"), ("metal", "15"), ("humidity", "70")):
        page.get_by_label(label, exact=True).fill(value)
    page.get_by_role("button", name="Keep the climate").click()
    page.get_by_text("above the dew point: common practice").wait_for()


def test_a_card_from_the_camera_is_read(page):
    photo = taken(Truth(length=230.0, width=54.0, across=2.4, along=2.2), Shot(), 1)
    page.goto(f"{JOB}/check/card")
    page.get_by_label("Photograph of the whole card").set_input_files(
        {"name": "card.jpg", "mimeType": "image/jpeg", "buffer": photo}
    )
    page.get_by_role("button", name="Read the card").click()
    page.get_by_role("heading", name="The fan is even").wait_for()


def test_a_cause_is_asked_answered_and_the_defect_kept(page, shop):
    page.goto(f"{JOB}/check/defect")
    page.get_by_label("Defect").select_option("solvent-pop")
    page.get_by_role("button", name="Why?").click()
    page.get_by_role("heading", name="Causes, the likeliest first").wait_for()
    before = page.locator(".how-likely").all_inner_texts()
    page.get_by_role("radio", name="Yes").first.check()
    page.get_by_role("button", name="Rank the causes anew").click()
    page.wait_for_url("**found-**")
    assert page.locator(".how-likely").all_inner_texts() != before
    page.get_by_label("What does it look like?").fill("small craters")
    with page.expect_response("**/taps") as kept:
        page.get_by_role("button", name="Keep the defect").click()
    assert kept.value.ok
    assert shop.open("board").state.defects[-1].note == "small craters"


def test_the_history_is_searched_and_an_event_taken_back_by_keyboard(page, shop):
    page.goto(f"{JOB}/record")
    page.get_by_label("Find: who, what, where").fill("coat done")
    page.get_by_text("3 events").wait_for()
    page.locator(".history summary").first.press("Enter")
    page.get_by_label("Why?").first.fill("the third was never sprayed")
    page.get_by_label("Why?").first.press("Enter")
    page.wait_for_load_state()
    page.get_by_text("the third was never sprayed").first.wait_for()
    (told,) = shop.open("board").state.amendments
    assert told.why == "the third was never sprayed"
