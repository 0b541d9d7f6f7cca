"""How soon a phone shows something useful, what it loads for that, and how soon it answers a tap.

A browser of the size of a phone (390 x 844), slowed down: 1.6 Mbit/s down, 0.75 Mbit/s up, 150 ms
there and back for every request, processor 4 times slower than this machine. Cold: nothing kept.
Warm: the page opened again by the same phone. First: first contentful paint. Useful: largest
contentful paint; these pages are text, so it is the heading or the first list. From a tap: until
the frame after the page has changed, on this machine and without the network's slowness, since what
a tap changes on its own phone does not wait for the network.

Seconds of the clock, so what else the machine does is in them: every page is opened several times
and the quickest is told, with the median beside it. The reference in the same run is a page that
holds one sentence.
"""

import argparse
import statistics
import sys
import tempfile
import threading
from collections.abc import Callable
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from typing import Any

from playwright.sync_api import Browser, BrowserContext, Page, sync_playwright

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "tests"))
from coatwright.actions.shop import Shop
from coatwright.record.store.ledger import Record
from web_server import eight, served

JOB = "/jobs/body"
PAGES = (
    "/", JOB, f"{JOB}/day", f"{JOB}/areas", f"{JOB}/areas/front-wings", f"{JOB}/areas/new",
    f"{JOB}/recipes", f"{JOB}/recipes/front-wings-epoxy", f"{JOB}/paint",
    f"{JOB}/mixes/epoxy-mix-1", f"{JOB}/air", f"{JOB}/check",
    f"{JOB}/check/film/front-wings/metal", f"{JOB}/check/defect", f"{JOB}/windows",
    f"{JOB}/money", f"{JOB}/record", f"{JOB}/papers", f"{JOB}/learned", "/shelf", "/learned",
    "/glossary", "/person",
)  # fmt: skip
SLOW = {
    "offline": False, "latency": 150,
    "downloadThroughput": 1.6e6 / 8, "uploadThroughput": 0.75e6 / 8,
}  # fmt: skip
WATCH = """
window.moved = 0; window.largest = 0;
const on = (type, act) =>
  new PerformanceObserver((list) => list.getEntries().forEach(act))
    .observe({ type, buffered: true });
on("layout-shift", (one) => { if (!one.hadRecentInput) moved += one.value; });
on("largest-contentful-paint", (one) => { largest = one.startTime; });
"""
SEEN = """() => ({
  first: performance.getEntriesByName("first-contentful-paint")[0]?.startTime ?? NaN,
  largest, moved,
})"""
TAPPED = """([selector, change]) => new Promise((done) => {
  const began = performance.now(), before = document.querySelector(change)?.outerHTML;
  const look = () => document.querySelector(change)?.outerHTML === before
    ? requestAnimationFrame(look)
    : requestAnimationFrame(() => done(performance.now() - began));
  document.querySelector(selector).click();
  look();
})"""


class OneSentence(BaseHTTPRequestHandler):
    """The reference: a page with nothing to load."""

    def do_GET(self) -> None:
        body = b"<!doctype html><title>One</title><p>One sentence."
        self.send_response(200)
        self.send_header("Content-Type", "text/html")
        self.send_header("Content-Length", str(len(body)))
        self.end_headers()
        self.wfile.write(body)

    def log_message(self, *_: Any) -> None:
        pass


def phone(browser: Browser, address: str) -> BrowserContext:
    """A phone with an empty cache."""
    context = browser.new_context(viewport={"width": 390, "height": 844}, device_scale_factor=2)
    context.add_cookies([{"name": "cw_who", "value": "Anna", "url": address}])
    context.add_init_script(WATCH)
    return context


def opened(context: BrowserContext, url: str, slow: bool = True) -> dict[str, float]:
    """A page opened on a slow phone: when it was seen, what it loaded."""
    page = context.new_page()
    wire = context.new_cdp_session(page)
    wire.send("Network.enable")
    if slow:
        wire.send("Network.emulateNetworkConditions", SLOW)
        wire.send("Emulation.setCPUThrottlingRate", {"rate": 4})
    came: list[float] = []
    wire.on("Network.loadingFinished", lambda told: came.append(told["encodedDataLength"]))
    page.goto(url, wait_until="load")
    page.wait_for_timeout(700)
    page.wait_for_selector(".htmx-request", state="detached")
    found: dict[str, float] = page.evaluate(SEEN)
    page.close()
    return {**found, "bytes": sum(came), "requests": len(came)}


def screens(browser: Browser, address: str, pages: tuple[str, ...], times: int) -> None:
    """A table of pages."""
    print(
        f"{'':38s} {'cold: first':>12s} {'useful':>12s} {'kB':>6s} {'asked':>5s}"
        f" {'warm: first':>13s} {'kB':>5s} {'asked':>5s} {'moved':>7s}"
    )
    for path in pages:
        cold, warm = [], []
        for _ in range(times):
            context = phone(browser, address)
            cold.append(opened(context, address + path))
            warm.append(opened(context, address + path))
            context.close()

        def told(rows: list[dict[str, float]], name: str) -> str:
            taken = [row[name] for row in rows]
            return f"{min(taken):5.0f} ({statistics.median(taken):4.0f})"

        moved = max(row["moved"] for row in cold + warm)
        print(
            f"{path:38s} {told(cold, 'first'):>12s} {told(cold, 'largest'):>12s}"
            f" {cold[0]['bytes'] / 1e3:6.1f} {cold[0]['requests']:5.0f}"
            f" {told(warm, 'first'):>13s} {warm[0]['bytes'] / 1e3:5.1f} {warm[0]['requests']:5.0f}"
            f" {moved:7.4f}",
            flush=True,
        )


OPEN = "#now .turn:not([hidden])"


def tapped(page: Page, selector: str, change: str) -> float:
    """Milliseconds from a tap until the frame after something has changed."""
    taken: float = page.evaluate(TAPPED, [selector, change])
    page.wait_for_timeout(400)
    return taken


def acts(page: Page, address: str) -> dict[str, Callable[[], float]]:
    """The interactions of a day, each to be made several times."""

    def begin() -> float:
        return tapped(page, f"{OPEN} .if-planned button.first", OPEN)

    def end() -> float:
        return tapped(page, f"{OPEN} .if-begun button.first", OPEN)

    def slide() -> float:
        page.goto(f"{address}{JOB}/recipes/front-wings-epoxy")
        page.wait_for_timeout(300)
        move = """([selector, change]) => new Promise((done) => {
          const at = document.querySelector(selector), began = performance.now();
          const before = document.querySelector(change).innerHTML;
          at.value = Number(at.value) + 3 * Number(at.step);
          at.dispatchEvent(new Event("input", { bubbles: true }));
          at.dispatchEvent(new Event("change", { bubbles: true }));
          const look = () => document.querySelector(change).innerHTML === before
            ? requestAnimationFrame(look)
            : requestAnimationFrame(() => done(performance.now() - began));
          look();
        })"""
        return float(page.evaluate(move, ["input[type=range]", "#tried"]))

    def pour() -> float:
        page.goto(f"{address}{JOB}/mixes/epoxy-mix-1")
        page.wait_for_timeout(300)
        return tapped(page, "[data-poured]", "main ol")

    def climate() -> float:
        page.goto(f"{address}{JOB}/check")
        page.wait_for_selector("body[data-line=up]")
        page.get_by_label("air", exact=True).fill("19.5")
        page.get_by_label("humidity").fill(str(40 + len(page.content()) % 30))
        return tapped(page, "form[data-tap='climate read'] button.first", "[aria-live] ")

    def day() -> None:
        if not page.url.endswith("/day"):
            page.goto(f"{address}{JOB}/day")
            page.wait_for_selector("body[data-line=up]")

    def on_the_day(act: Callable[[], float]) -> Callable[[], float]:
        def done() -> float:
            day()
            return act()

        return done

    return {
        "begin": on_the_day(begin), "done": on_the_day(end), "a slider": slide,
        "a pour ticked": pour, "climate noted, and told by the machine": climate,
    }  # fmt: skip


def main() -> None:
    reads = argparse.ArgumentParser()
    reads.add_argument("--times", type=int, default=5)
    times = reads.parse_args().times
    plain = ThreadingHTTPServer(("127.0.0.1", 0), OneSentence)
    threading.Thread(target=plain.serve_forever, daemon=True).start()
    with (
        tempfile.TemporaryDirectory() as place,
        Record(f"sqlite:///{place}/record.db", Path(place) / "files") as record,
        sync_playwright() as driver,
    ):
        shop = Shop(record, Path(place), clock=eight)
        shop.start("Body", "painter", demo=True)
        shop.days("body")
        with served(shop) as address:
            browser = driver.chromium.launch(
                executable_path="/usr/bin/chromium", args=["--no-sandbox"]
            )
            for path in PAGES:  # what is computed once is not the screen's
                context = phone(browser, address)
                opened(context, address + path, slow=False)
                context.close()
            print("ms, the quickest of", times, "(median)")
            screens(browser, f"http://127.0.0.1:{plain.server_port}", ("/",), times)
            screens(browser, address, PAGES, times)
            page = phone(browser, address).new_page()
            print("\nms from a tap until the page shows it")
            for name, act in acts(page, address).items():
                taken = [act() for _ in range(1 if name in ("begin", "done") else times)]
                print(f"{name:40s} {min(taken):6.0f} ({statistics.median(taken):4.0f})")
            browser.close()
    plain.shutdown()


if __name__ == "__main__":
    main()
