"""Pages kept as they were sent, as long as nothing they rest on has changed; and their marks.

A page rests on what was asked for and by whom, on the record of its job (or of all jobs), on what
has been computed for it since, and some on the clock. Each of these is part of what a kept page is
found by, so that a phone never sees a page from before somebody's tap. Every page carries the mark
of its content (ETag): a phone that has it already is told so and is sent nothing.
"""

import asyncio
import functools
import gzip
import hashlib
from collections import OrderedDict
from collections.abc import Awaitable, Callable, Hashable
from datetime import datetime
from typing import Final, Literal, NamedTuple

from markupsafe import Markup
from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import Response

from coatwright.actions.shop import Shop
from coatwright.errors import CoatwrightError
from coatwright.faces.web.assets import takes_gzip
from coatwright.faces.web.language import chosen

By = Callable[[Request], Hashable]
Handler = Callable[[Request], Awaitable[Response]]
Clock = Literal["", "day", "moment"]

MOST: Final = 32_000_000
"""Bytes of pages held at most."""
MOMENT: Final = 10.0
"""Seconds for which a page that tells how late it is may be sent again."""
COOKIES: Final = "cw_"
"""How the names of all cookies begin that a page may rest on."""
HEADERS: Final = ("host", "hx-request")
"""Headers that a page may rest on, beside cookies and the languages the browser accepts."""

VARY: Final = "Accept-Encoding, Accept-Language, Cookie, HX-Request"
"""The same, for a phone that keeps pages itself."""

_GONE: Final = ("content-length", "content-encoding", "etag", "vary")


class Page(NamedTuple):
    """A page as it was sent: compressed body, mark of its content, its other headers."""

    packed: bytes
    mark: str
    headers: tuple[tuple[str, str], ...]

    def sent(self, request: Request) -> Response:
        """What who asks is to get: nothing, if they have it already."""
        headers = {**dict(self.headers), "Vary": VARY}
        zipped = takes_gzip(request)
        headers["ETag"] = f'"{self.mark}{"-gz" if zipped else ""}"'
        if _has(request, headers["ETag"]):
            return Response(status_code=304, headers=headers)
        if zipped:
            headers["Content-Encoding"] = "gzip"
            return Response(self.packed, headers=headers)
        return Response(gzip.decompress(self.packed), headers=headers)


class Answers:
    """Pages by what was asked, the newest of each. Only ever used from the event loop's thread."""

    def __init__(self, most: int = MOST) -> None:
        """most: bytes held at most."""
        self._most = most
        self._size = 0
        self._pages: OrderedDict[Hashable, tuple[Hashable, Page]] = OrderedDict()
        self._making: dict[Hashable, asyncio.Task[Page | Response]] = {}
        self.made = 0
        """How many were made anew."""

    async def get(
        self, asked: Hashable, turn: Hashable, make: Callable[[], Awaitable[Response]]
    ) -> Page | Response:
        """The page for what was asked at this turn; made once, however many ask for it at once.

        Without any to keep (a fault, a cookie to be set), the response itself.
        """
        found = self._pages.get(asked)
        if found is not None and found[0] == turn:
            self._pages.move_to_end(asked)
            return found[1]
        making = self._making.get((asked, turn))
        if making is None:
            making = asyncio.create_task(self._make(asked, turn, make))
            self._making[asked, turn] = making
            making.add_done_callback(lambda _: self._making.pop((asked, turn), None))
            return await asyncio.shield(making)
        again = await asyncio.shield(making)
        # What is not kept was made for somebody else: a response can be sent only once.
        return again if isinstance(again, Page) else await make()

    async def _make(
        self, asked: Hashable, turn: Hashable, make: Callable[[], Awaitable[Response]]
    ) -> Page | Response:
        self.made += 1
        response = await make()
        if response.status_code != 200 or "set-cookie" in response.headers:
            return response
        page = _page(response)
        before = self._pages.pop(asked, None)
        self._size += len(page.packed) - (len(before[1].packed) if before else 0)
        self._pages[asked] = turn, page
        while self._size > self._most:
            _, (_, gone) = self._pages.popitem(last=False)
            self._size -= len(gone.packed)
        return page


def reader(request: Request) -> Hashable:
    """Who asks, as far as a page may tell: every cookie of ours, and the language."""
    return _language(request), tuple(
        sorted(one for one in request.cookies.items() if one[0].startswith(COOKIES))
    )


def anybody(request: Request) -> Hashable:
    """For a part that is the same for all who read it in one language and in the same units."""
    return _language(request), request.cookies.get("cw_units", "")


def kept(handler: Handler, *, shop: bool = False, clock: Clock = "", by: By = reader) -> Handler:
    """A page that is sent again until what it rests on changes.

    shop: it rests on all jobs, not on its own alone. clock: it changes with the day, or says how
    late it is ("moment"). by: for whom it is the same.
    """

    @functools.wraps(handler)
    async def answered(request: Request) -> Response:
        answers: Answers = request.app.state.answers
        now = await _turn(request.app.state.shop, request, shop, clock)
        found = await answers.get(_asked(request, by), now, lambda: _made(handler, request))
        return found.sent(request) if isinstance(found, Page) else found

    return answered


async def along(
    part: Handler, request: Request, *, shop: bool = False, clock: Clock = ""
) -> Markup:
    """A part of a page that comes with it, so that nothing moves when it would have come later.

    It is made once for all who read one language and units. Empty where something is wrong with
    it: then it is asked for by itself, and says what.
    """
    answers: Answers = request.app.state.answers
    now = await _turn(request.app.state.shop, request, shop, clock)
    asked = part.__module__, part.__qualname__, _asked(request, anybody)
    try:
        found = await answers.get(asked, now, lambda: part(request))
    except CoatwrightError:
        return Markup()
    body = gzip.decompress(found.packed) if isinstance(found, Page) else bytes(found.body)
    return Markup(body.decode())


async def _made(handler: Handler, request: Request) -> Response:
    """A page of a job may stay on a phone, which asks whether it is still so before it shows it.

    A page without a stream of what happens would not notice when a phone goes back to it.
    """
    response = await handler(request)
    if "job" in request.path_params:
        response.headers["Cache-Control"] = "private, no-cache"
    return response


async def _turn(shop: Shop, request: Request, whole: bool, clock: Clock) -> Hashable:
    """What else a page rests on, at this moment."""
    record, job = shop.record, request.path_params.get("job", "")
    if record.database.sqlite:
        return turn(shop, job, whole, clock)  # microseconds: less than a thread would take
    return await run_in_threadpool(turn, shop, job, whole, clock)


def turn(shop: Shop, job: str, whole: bool = False, clock: Clock = "") -> Hashable:
    """How far the record of a job has come, or of all; what has been computed; and the time."""
    heads = shop.record.heads()
    number = sum(heads.values()) if whole else heads.get(job, 0)
    return number, len(heads), shop.worked[job], _tick(shop.clock(), clock)


def _tick(now: datetime, clock: Clock) -> Hashable:
    if clock == "day":
        return now.astimezone().date()
    return int(now.timestamp() // MOMENT) if clock == "moment" else None


def _asked(request: Request, by: By) -> Hashable:
    """What was asked for, and by whom."""
    told = tuple(request.headers.get(name, "") for name in HEADERS)
    url = request.url
    return url.scheme, url.path, url.query, told, by(request)


def _language(request: Request) -> str:
    return chosen(request.cookies.get("cw_language"), request.headers.get("accept-language", ""))


def _page(response: Response) -> Page:
    body = bytes(response.body)
    headers = [one for one in response.headers.items() if one[0] not in _GONE]
    mark = hashlib.sha256(body).hexdigest()[:20]
    return Page(gzip.compress(body, 6, mtime=0), mark, tuple(headers))


def _has(request: Request, mark: str) -> bool:
    known = request.headers.get("if-none-match", "")
    return mark in [one.strip().removeprefix("W/") for one in known.split(",")]
