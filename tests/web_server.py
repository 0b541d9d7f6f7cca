"""The web app served by uvicorn in a thread, as `coatwright serve` does it, for browser tests."""

import socket
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager

import uvicorn

from coatwright.actions.shop import Shop
from coatwright.faces.web.app import create_app


@contextmanager
def served(shop: Shop) -> Iterator[str]:
    """The address of a shop that is being served."""
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    config = uvicorn.Config(
        create_app(shop), host="127.0.0.1", port=port, log_level="critical",
        timeout_graceful_shutdown=1,
    )  # fmt: skip
    server = uvicorn.Server(config)
    running = threading.Thread(target=server.run, daemon=True)
    running.start()
    while not server.started:
        time.sleep(0.02)
    try:
        yield f"http://127.0.0.1:{port}"
    finally:
        server.should_exit = True
        running.join(5)
