"""The web app served by uvicorn in a thread, and what its tests share."""

import socket
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import UTC, datetime, timedelta
from importlib.resources import files
from pathlib import Path

import uvicorn
from playwright.sync_api import Browser, Page
from starlette.applications import Starlette

from coatwright.actions.shop import Shop
from coatwright.actions.taps import take
from coatwright.faces.web.app import create_app
from coatwright.record.events import new_id
from coatwright.record.store.ledger import Record


@contextmanager
def running(app: Starlette, **tls: Path) -> Iterator[int]:
    """The port of this machine that an app is served at."""
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    config = uvicorn.Config(
        app, host="127.0.0.1", port=port, log_level="critical", timeout_graceful_shutdown=1, **tls
    )
    server = uvicorn.Server(config)
    thread = threading.Thread(target=server.run, daemon=True)
    thread.start()
    while not server.started:
        time.sleep(0.02)
    try:
        yield port
    finally:
        server.should_exit = True
        thread.join(5)


@contextmanager
def served(shop: Shop) -> Iterator[str]:
    """The address of a shop that is being served."""
    with running(create_app(shop)) as port:
        yield f"http://127.0.0.1:{port}"


def eight() -> datetime:
    """A clock that stands at eight, so that nothing is late: the last eight o'clock that has been,
    for what a screen taps later than that is taken to be tapped at eight."""
    now = datetime.now().astimezone()
    found = now.replace(hour=8, minute=0, second=0, microsecond=0)
    return found if found < now else found - timedelta(days=1)


def until(asked: Callable[[], object], seconds: float) -> None:
    """Wait until something is so."""
    ends = time.monotonic() + seconds
    while time.monotonic() < ends:
        if asked():
            return
        time.sleep(0.05)
    raise AssertionError("it did not come about")


def with_sprayed_board(shop: Shop) -> None:
    """The invented practice board as a planned job "board", three coats of colour on it."""
    text = (files("coatwright") / "data" / "demo" / "practice-board.toml").read_text("utf-8")
    shop.take_in("board", text, "painter")
    shop.plan("board")
    for coat in (1, 2, 3):
        for kind in ("coat begun", "coat done"):
            take(shop, {
                "id": new_id(), "job": "board", "who": "painter", "kind": kind,
                "fields": {"product": "solid-two-pack", "coat": coat}, "area": "board",
                "patch": "primed", "at": shop.clock().isoformat(), "seen": 10**9,
            })  # fmt: skip


@contextmanager
def sprayed_board(
    folder: Path, clock: Callable[[], datetime] = lambda: datetime.now(UTC)
) -> Iterator[Shop]:
    """A shop in a folder of its own with that board."""
    with Record(f"sqlite:///{folder / 'record.db'}", folder / "files") as record:
        made = Shop(record, folder, clock)
        with_sprayed_board(made)
        yield made


@contextmanager
def in_hand(browser: Browser, address: str, who: str) -> Iterator[Page]:
    """A page on the phone of somebody; a fault of a script on it fails."""
    context = browser.new_context(viewport={"width": 390, "height": 844}, base_url=address)
    context.add_cookies([{"name": "cw_who", "value": who, "url": address}])
    page, faults = context.new_page(), []
    page.on("pageerror", lambda fault: faults.append(str(fault)))
    yield page
    assert faults == []
    context.close()
