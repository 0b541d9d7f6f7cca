"""Serving the app in the shop: where the record lies, the certificate, the addresses for phones."""

import gc
import threading
from collections.abc import Iterator, Sequence
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from pathlib import Path
from typing import Final

import uvicorn

from coatwright.actions.record import open_record
from coatwright.actions.shop import Shop
from coatwright.errors import CoatwrightError, InputError
from coatwright.faces.web.app import create_app
from coatwright.faces.web.certificate import addresses, certificate
from coatwright.settings import Settings, load

EVERYWHERE: Final = ("0.0.0.0", "::")
DEMO: Final = "Larkfield 1300 (invented)"


@dataclass(frozen=True)
class Place:
    """Where it is served."""

    host: str = "127.0.0.1"
    port: int = 8321
    https: bool = False

    @property
    def names(self) -> list[str]:
        """Names and addresses it is reached by."""
        return addresses() if self.host in EVERYWHERE else [self.host]

    @property
    def urls(self) -> list[str]:
        """Addresses to open, the one for this machine first."""
        scheme = "https" if self.https else "http"
        return [f"{scheme}://{name}:{self.port}/" for name in self.names]


def settings_for(folder: Path | None, demo: bool) -> Settings:
    """Where the record lies: in the folder given, in one apart for the demo, else as set."""
    set_up = load()
    if folder is None and not demo:
        return set_up
    place = (folder or set_up.record / "demo").expanduser().absolute()
    return Settings(place, f"sqlite:///{place / 'record.db'}", set_up.who)


@contextmanager
def shop_in(settings: Settings, demo: bool) -> Iterator[Shop]:
    """The shop whose record lies there; with the invented demo job, if it has no job yet."""
    with open_record(settings) as record:
        shop = Shop(record, settings.record)
        if demo and not shop.jobs():
            shop.start(DEMO, settings.who or "The painter", demo=True)
        yield shop


def serve(shop: Shop, place: Place) -> None:
    """Serve until it is stopped. Raises InputError if nobody may listen there."""
    made = certificate(shop.folder / "certificate", place.names) if place.https else None
    app = create_app(shop, made.authority if made else None)
    config = uvicorn.Config(
        app,
        host=place.host,
        port=place.port,
        log_level="warning",
        timeout_graceful_shutdown=2,
        ssl_certfile=made.chain if made else None,
        ssl_keyfile=made.key if made else None,
    )
    try:
        with _read_ahead(shop):
            uvicorn.Server(config).run()
    except SystemExit as fault:
        raise InputError(
            f"nothing can be served at {place.host}, port {place.port}",
            instead="choose another port with --port, or stop what listens there",
        ) from fault


@contextmanager
def _read_ahead(shop: Shop) -> Iterator[None]:
    """Meanwhile read every job once, so that whoever first asks for all of them need not wait."""
    over = threading.Event()

    def read() -> None:
        with suppress(CoatwrightError):
            for card in shop.cards():
                if over.wait(0.02):  # those who ask meanwhile come first
                    return
                shop.record.state(card.key)
        # What has been read stays: looking through it for garbage would only hold up answers.
        gc.collect()
        gc.freeze()

    reader = threading.Thread(target=read, daemon=True)
    reader.start()
    try:
        yield
    finally:
        over.set()
        reader.join()


def told(place: Place) -> Sequence[str]:
    """What to say when it begins, line by line."""
    lines = [f"Open {place.urls[0]}"]
    lines += [f"  phones in the shop: {url}" for url in place.urls if _for_phones(url)]
    if place.https:
        lines.append(f"  how a phone comes to trust this workshop: {place.urls[-1]}trust")
    elif place.host not in EVERYWHERE:
        lines.append("  only this machine reaches it; --host 0.0.0.0 lets the shop's phones in")
    return lines


def _for_phones(url: str) -> bool:
    return not any(name in url for name in ("//localhost", "//127."))
