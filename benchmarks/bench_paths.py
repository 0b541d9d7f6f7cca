"""The ten commonest acts on a phone: taps, letters typed, and seconds until the page shows it.

The taps are made by a browser of the size of a phone against the app on this machine, on the
starter's job; so the seconds are the machine's share, not the hand's. The reference in the same run
is the reload of a page that shows nothing but a form.
"""

import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

from playwright.sync_api import Page, sync_playwright

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "tests"))
from coatwright.actions.shop import Shop
from coatwright.record.store.ledger import Record
from web_server import eight, served


class Hand:
    """Counts what a hand does."""

    def __init__(self, page: Page, address: str) -> None:
        self.page, self.address = page, address
        self.taps = self.letters = 0

    def tap(self, selector: str) -> None:
        """One tap."""
        self.taps += 1
        self.page.locator(selector).first.click()

    def type(self, selector: str, text: str) -> None:
        """One tap into a field, and the letters."""
        self.taps += 1
        self.letters += len(text)
        self.page.locator(selector).first.fill(text)

    def see(self, selector: str) -> None:
        """Wait until it is there."""
        self.page.locator(selector).first.wait_for(timeout=30_000)


OPEN = "#now .turn:not([hidden])"


def start(hand: Hand) -> None:
    hand.tap(f"{OPEN} .if-planned button.first")
    hand.see(f"{OPEN}[data-state=begun]")


def done(hand: Hand) -> None:
    key = hand.page.locator(OPEN).get_attribute("data-entry")
    hand.tap(f"{OPEN} .if-begun button.first")
    hand.see(f"#just-done .turn[data-entry='{key}']")


def back(hand: Hand) -> None:
    hand.tap("#just-done [data-undo]")
    hand.see(f"{OPEN}[data-state=begun]")


def area(hand: Hand) -> None:
    hand.tap("a[href$='/areas/new']")
    hand.tap("a[href$='shape=flat']")
    hand.type("#length", "60")
    hand.type("#width", "40")
    hand.type("#title", "Splash panel")
    hand.tap("button.first")
    hand.see("#splash-panel")


def untrusted(hand: Hand) -> None:
    hand.tap("#splash-panel a")
    hand.tap("button[name=trust]")
    hand.see("text=old paint, not trusted")


def climate(hand: Hand) -> None:
    hand.type("input[name=air]", "19")
    hand.type("input[name=metal]", "17.5")
    hand.type("input[name=humidity]", "55")
    hand.tap("form[data-tap='climate read'] button")
    hand.see("text=17.5")


def film(hand: Hand) -> None:
    hand.tap("a[href*='/check/film/']")
    hand.type("textarea[name=readings]", "52; 48; 55")
    hand.tap("form[data-tap='film read'] button.first")
    hand.see("text=52")


def mixed(hand: Hand) -> None:
    hand.tap("a[href*='/mixes/']")
    for button in range(hand.page.locator("[data-poured]").count()):
        hand.taps += 1
        hand.page.locator("[data-poured]").nth(button).click()
    hand.tap("[data-mixed]")
    hand.see("[data-clock]:visible")


def extra(hand: Hand) -> None:
    hand.tap("summary:has-text('Propose extra work')")
    hand.type("#title", "Patch the sill")
    hand.type("#reason", "Rust under the old paint")
    for name, price in (("price_low", "80"), ("price", "120"), ("price_high", "180")):
        hand.type(f"#{name}", price)
    hand.tap("form[data-new-extra] button")
    hand.see("text=Patch the sill")


def hours(hand: Hand) -> None:
    hand.type("form[data-tap='paid time'] input[name=seconds]", "1.5")
    hand.tap("form[data-tap='paid time'] button")
    hand.see("text=1.5 h")


ACTS: tuple[tuple[str, str, Callable[[Hand], None]], ...] = (
    ("begin the next piece of work", "day", start),
    ("end it", "", done),
    ("take the last tap back", "", back),
    ("measure a new area", "areas", area),
    ("mark it as not trusted", "", untrusted),
    ("note air, metal, humidity", "check", climate),
    ("note three gauge readings", "check", film),
    ("mix by the scale", "paint", mixed),
    ("note hours", "money", hours),
    ("propose extra work", "money", extra),
)


def main() -> None:
    with tempfile.TemporaryDirectory() as place, sync_playwright() as play:
        folder = Path(place)
        record = Record(f"sqlite:///{folder / 'record.db'}", folder / "files")
        shop = Shop(record, folder, clock=eight)
        key = shop.start("Door", "me")
        shop.days(key)
        browser = play.chromium.launch(executable_path="/usr/bin/chromium")
        with served(shop) as address:
            context = browser.new_context(viewport={"width": 390, "height": 844})
            context.add_cookies([{"name": "cw_who", "value": "painter", "url": address}])
            page = context.new_page()
            page.goto(f"{address}/person")
            began = time.perf_counter()
            page.reload()
            bare = time.perf_counter() - began
            print(f"{'act':32s} {'taps':>5s} {'letters':>8s} {'seconds':>8s}  to a reload")
            for what, where, act in ACTS:
                if where:
                    page.goto(f"{address}/jobs/{key}/{where}")
                    page.wait_for_load_state("networkidle") if where != "day" else None
                hand = Hand(page, address)
                page.locator(OPEN).first.wait_for() if where == "day" else None
                began = time.perf_counter()
                act(hand)
                took = time.perf_counter() - began
                told = f"{hand.taps:5d} {hand.letters:8d} {took:8.2f}"
                print(f"{what:32s} {told} {took / bare:12.1f}")
        browser.close()


if __name__ == "__main__":
    main()
