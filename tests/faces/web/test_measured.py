"""Measuring gun and hand on a phone: watch, pad and grid tapped in a browser, answers on the page.

The watch is driven by the page's own clock, moved by the test, so that nothing waits.
"""

import json

import pytest

from coatwright.record.events import FluidCaught
from web_server import in_hand, served, sprayed_board, until

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
    with in_hand(browser, address, "Anna") as opened:
        yield opened


def recipe(shop):
    return next(iter(shop.plan("board").recipes.values()))


STRIKE = """([place, at]) => {
    const struck = new PointerEvent('pointerdown', {bubbles: true, cancelable: true, button: 0});
    Object.defineProperty(struck, 'timeStamp', {value: at});
    document.querySelector(place).dispatchEvent(struck);
}"""
"""A finger comes down at a moment of the page's own clock [ms]."""


def strike(page, place, seconds):
    page.evaluate(STRIKE, [place, seconds * 1000.0])


def test_a_fluid_test_by_watch_and_cup_says_what_to_turn(page, shop):
    card = recipe(shop)
    page.goto(f"{JOB}/check/fluid")
    assert page.get_by_role("heading", name="Before the first trigger").is_visible()
    volume = 0.8 * card.fluid.value * 15e6
    for run in (1, 2, 3):
        row = f".runs li:nth-child({run})"
        strike(page, f"{row} [data-watch]", 1.0)
        strike(page, f"{row} [data-watch]", 16.0)
        assert page.locator(f"{row} [data-seconds]").input_value() == "15.00"
        page.locator(f"{row} [data-volume]").fill(f"{volume:.1f}".replace(".", ","))
    page.get_by_label("from one mark of the cup").fill("1")
    page.get_by_role("button", name="Keep the fluid test").click()
    page.get_by_role("heading", name="Less than the recipe wants").wait_for()
    catch = f"15 s give {card.fluid.value * 15e6:.1f} mL"
    told = page.get_by_text("Turn the fluid screw out until").inner_text()
    assert catch in told.replace("\N{NO-BREAK SPACE}", " ")
    found = shop.open("board").state.fluid[-1]
    assert found.said.seconds == pytest.approx((15.0,) * 3)
    assert found.said.volumes == pytest.approx([volume * 1e-6] * 3, rel=2e-3)
    assert found.said.expected == pytest.approx(card.fluid.value)
    assert found.place.who == "Anna"


def test_a_test_is_taken_back_by_one_tap(page, shop):
    said = FluidCaught(gun="colour-gun", volumes=(30e-6,), seconds=(15.0,))
    event = shop.happened("board", "Anna", said)
    page.goto(f"{JOB}/check/fluid")
    back = page.locator(f"button[data-fields*='{event.id}']")
    back.click()
    back.wait_for(state="detached")
    assert event.id not in [one.place.event for one in shop.open("board").state.fluid]
    assert shop.open("board").state.amendments[-1].why == "taken back"


def test_strokes_are_timed_with_the_network_down_and_delivered_once(page, shop):
    page.goto(f"{JOB}/check/strokes")
    page.context.set_offline(True)
    at, times = 1.0, (2.0, 2.2, 1.9, 2.1, 2.05)
    for time in times:
        strike(page, "[data-pad]", at)
        assert page.locator("[data-pad]").get_attribute("aria-pressed") == "true"
        strike(page, "[data-pad]", at + time)
        at += time + 1.5
    assert "5 strokes, 2.05 s for a metre" in page.locator("[data-so-far]").inner_text()
    page.get_by_role("button", name="Keep the strokes").click()
    page.get_by_text("1 not delivered yet").wait_for()
    assert shop.open("board").state.strokes == ()
    page.context.set_offline(False)
    until(lambda: shop.open("board").state.strokes, 20)
    (found,) = shop.open("board").state.strokes  # by no other test
    assert found.said.seconds == pytest.approx(times, abs=2e-3)
    assert (found.said.hand, found.said.length) == ("learner", 1.0)
    assert found.said.expected == pytest.approx(recipe(shop).speed.value)
    page.get_by_role("img", name="5 strokes, speed of each").wait_for()


def test_a_stroke_that_was_none_is_left_out_and_two_are_too_few(page):
    page.goto(f"{JOB}/check/strokes")
    keep = page.get_by_role("button", name="Keep the strokes")
    for start in (1.0, 5.0, 9.0):
        strike(page, "[data-pad]", start)
        strike(page, "[data-pad]", start + 2.0)
    assert keep.is_enabled()
    page.get_by_role("button", name="The last one was none").click()
    assert keep.is_disabled()
    assert page.locator("[data-times] li").count() == 2


def test_the_pad_works_by_keyboard_alone(page):
    page.goto(f"{JOB}/check/strokes")
    page.locator("[data-pad]").focus()
    page.keyboard.press("Space")
    assert page.locator("[data-pad]").get_attribute("aria-pressed") == "true"
    page.keyboard.press("Enter")
    assert page.locator("[data-times] li").count() == 1


def test_the_beat_runs_beside_the_pad(page):
    page.goto(f"{JOB}/check/strokes")
    beat = page.get_by_role("button", name="Hear the pace")
    beat.click()
    page.get_by_role("button", name="Stop the beat").wait_for()
    strike(page, "[data-pad]", 1.0)
    assert page.locator("[data-pad]").get_attribute("aria-pressed") == "true"


def test_a_board_typed_in_is_drawn_and_the_job_planned_with_the_hand(page, shop):
    page.goto(f"{JOB}/check/board")
    page.get_by_label("rows", exact=True).select_option("4")
    fields = page.locator("[data-grid] input")
    assert fields.count() == 12
    for place in range(12):
        fields.nth(place).fill(str(50 + (place // 3) * 6 + place % 3))
        fields.nth(place).press("Enter")
    page.get_by_role("button", name="Keep the board").click()
    page.get_by_role("img", name="4 rows of 3 readings").wait_for()
    (found,) = shop.open("board").state.gauged  # by no other test
    assert found.said.columns == 3
    assert found.said.readings[0] == pytest.approx(50e-6)
    assert found.said.readings[-1] == pytest.approx(70e-6)
    page.locator("#meaning table").wait_for(timeout=60_000)
    before = shop.open("board").bench.job.hand("learner").speed_spread
    page.get_by_role("button", name="Plan the job with this hand as measured").click()
    page.get_by_text("The job is planned with this hand as measured.").wait_for(timeout=60_000)
    hand = shop.open("board").bench.job.hand("learner")
    assert hand.speed_spread != before
    assert hand.source.startswith("measured: ")
    assert "20 % was held before" in hand.source


def test_a_gap_in_the_grid_is_told_and_nothing_sent(page, shop):
    page.goto(f"{JOB}/check/board")
    page.locator("[data-grid] input").first.fill("60")
    page.get_by_role("button", name="Keep the board").click()
    page.get_by_text("Fill every field of the grid").wait_for()
    assert 60e-6 not in [one.said.readings[0] for one in shop.open("board").state.gauged]


def test_boards_weighed_are_kept_with_their_film(page, shop):
    page.goto(f"{JOB}/check/board")
    page.get_by_text("Weighed instead of gauged").click()
    for label, value in (("bare", "2000"), ("coated and dry", "2015"), ("coated side", "0.54")):
        page.get_by_label(label, exact=True).fill(value)
    page.get_by_role("button", name="Keep the weights").click()
    page.get_by_text("Boards weighed").wait_for()
    (found,) = shop.open("board").state.weighed
    assert (found.said.before, found.said.after) == pytest.approx((2.0, 2.015))
    assert found.said.surface == pytest.approx(0.54)
    assert found.said.scale == pytest.approx(1e-4)


def test_what_cannot_be_read_is_told_in_a_sentence(page, address):
    tap = {"id": "x" * 12, "job": "board", "who": "Anna", "kind": "fluid caught",
           "fields": {"gun": "g", "volumes": {"text": "30", "unit": "mL"},
                      "seconds": {"text": "5; 6", "unit": "s"}}}  # fmt: skip
    answer = page.request.post(f"{address}{JOB}/taps", form={"tap": json.dumps(tap)})
    assert answer.status == 422
    assert "one time for each volume" in answer.json()["fault"]
