"""Who is looking, and telling them at once: server-sent events, one stream for each page open."""

import asyncio
import json
from collections.abc import AsyncIterator, Mapping
from contextlib import suppress
from typing import Final

QUIET: Final = 15.0
"""Seconds after which a stream says that it is still there, so that a dead one is noticed."""
WAITING: Final = 256
"""Messages that may wait for one page; a slower one is told to fetch everything again."""


class Hub:
    """Streams by job. Only ever used from the event loop's own thread."""

    def __init__(self) -> None:
        self._streams: dict[str, set[asyncio.Queue[str]]] = {}

    def tell(self, job: str, said: Mapping[str, object]) -> None:
        """Tell every page that is open on a job."""
        text = _message(said)
        for queue in self._streams.get(job, ()):
            if queue.full():
                while not queue.empty():
                    queue.get_nowait()
                queue.put_nowait(_message({"again": True}))
            else:
                queue.put_nowait(text)

    def watching(self, job: str) -> int:
        """How many pages are open on a job."""
        return len(self._streams.get(job, ()))

    async def stream(self, job: str, number: int) -> AsyncIterator[str]:
        """What happens in a job from now on, as the body of an event stream.

        number: the place in the record up to which the page knows; it is told back at once, so that
        the page sees whether it has missed anything.
        """
        queue: asyncio.Queue[str] = asyncio.Queue(WAITING)
        self._streams.setdefault(job, set()).add(queue)
        try:
            yield "retry: 1000\n\n" + _message({"number": number})
            while True:
                try:
                    yield await asyncio.wait_for(queue.get(), QUIET)
                except TimeoutError:
                    yield ": still here\n\n"
        finally:
            self._streams[job].discard(queue)
            if not self._streams[job]:
                with suppress(KeyError):
                    del self._streams[job]


def _message(said: Mapping[str, object]) -> str:
    number = f"id: {said['number']}\n" if "number" in said else ""
    return f"{number}data: {json.dumps(said, separators=(',', ':'))}\n\n"
