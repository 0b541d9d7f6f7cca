"""The application: every page's routes, the taps, the live stream, and what is served as it is."""

import importlib
import json
from collections.abc import Awaitable, Callable, Iterator
from pathlib import Path
from typing import Any, Final

from starlette.applications import Starlette
from starlette.concurrency import run_in_threadpool
from starlette.middleware import Middleware
from starlette.middleware.gzip import GZipMiddleware
from starlette.requests import Request
from starlette.responses import JSONResponse, Response, StreamingResponse
from starlette.routing import BaseRoute, Route

from coatwright.actions.shop import Kept, Shop
from coatwright.actions.taps import take
from coatwright.errors import CoatwrightError, InputError
from coatwright.faces.web.answers import Answers
from coatwright.faces.web.assets import give, mark
from coatwright.faces.web.errors import handlers
from coatwright.faces.web.hub import Hub
from coatwright.faces.web.view import Reader
from coatwright.sentences import say

PAGES: Final = (
    "jobs", "front", "person", "areas", "recipes", "paint", "money", "owner",
    "learned", "shelf", "record", "papers", "glossary", "day", "trust", "air", "check",
    "windows", "measured", "otherwise", "happened",
)  # fmt: skip
"""Every page that is: a folder of pages/, whose page.py lists its routes."""

LARGEST: Final = 25_000_000
"""Largest photograph that is taken [bytes]."""

PARTS: Final = 128
"""Parts of pages held ready that several readers share."""

_HEADERS: Final = {
    "X-Content-Type-Options": "nosniff",
    "Referrer-Policy": "same-origin",
    "Content-Security-Policy": (
        "default-src 'self'; img-src 'self' data: blob:; style-src 'self' 'unsafe-inline'; "
        "frame-ancestors 'none'; base-uri 'none'; form-action 'self'"
    ),
}


def create_app(shop: Shop, https: Path | None = None) -> Starlette:
    """The web app of a shop. https: the authority's certificate, if it is served by https."""
    app = Starlette(
        routes=[
            *_pages(),
            Route("/jobs/{job}/taps", _taps, methods=["POST"]),
            Route("/jobs/{job}/live", _live),
            Route("/files/{sha256}", _file),
            Route("/static/{path:path}", give),
        ],
        exception_handlers=handlers(),
        middleware=[Middleware(_Headers), Middleware(GZipMiddleware, minimum_size=700)],
    )
    app.state.shop = shop
    app.state.hub = Hub()
    app.state.answers = Answers()
    app.state.parts = Kept[Any](PARTS)
    app.state.cards = {}
    app.state.https = https
    app.state.mark = mark()
    return app


def shop_of(request: Request) -> Shop:
    """The shop that a request is about."""
    shop: Shop = request.app.state.shop
    return shop


def tell(request: Request, job: str, number: int, **said: object) -> None:
    """Tell every page open on a job that something has happened."""
    hub: Hub = request.app.state.hub
    hub.tell(job, {"number": number, **said})


def _pages() -> Iterator[BaseRoute]:
    for name in PAGES:
        yield from importlib.import_module(f"coatwright.faces.web.pages.{name}.page").routes


async def _taps(request: Request) -> Response:
    """One tap: kept once, told to everybody; what is wrong with it in one sentence."""
    async with request.form(max_part_size=LARGEST) as form:
        photo = form.get("photo")
        data = b"" if photo is None or isinstance(photo, str) else await photo.read()
        name = "" if photo is None or isinstance(photo, str) else (photo.filename or "")
        said = form.get("tap")
    try:
        tap = json.loads(said if isinstance(said, str) else "")
    except ValueError:
        return _refused(request, say("this tap cannot be read; tap again"), 400)
    if not isinstance(tap, dict) or tap.get("job") != request.path_params["job"]:
        return _refused(request, say("this tap belongs to another job"), 400)
    try:
        taken = await run_in_threadpool(take, shop_of(request), tap, data, name)
    except InputError as fault:
        return _refused(request, fault.sentence, 422)
    except CoatwrightError as fault:
        return _refused(request, fault.sentence, 409)
    event = taken.event
    tell(request, event.job, event.number, kind=event.body.kind, area=event.area, who=event.who)
    settled = Reader.of(request).words().tell(taken.settled)
    return JSONResponse({"number": event.number, "id": event.id, "settled": settled})


def _refused(request: Request, fault: str, status: int) -> Response:
    return JSONResponse({"fault": Reader.of(request).words().tell(fault)}, status)


async def _live(request: Request) -> Response:
    job = request.path_params["job"]
    state = await run_in_threadpool(shop_of(request).record.state, job)
    hub: Hub = request.app.state.hub
    headers = {"Cache-Control": "no-store", "X-Accel-Buffering": "no"}
    return StreamingResponse(
        hub.stream(job, state.number), media_type="text/event-stream", headers=headers
    )


async def _file(request: Request) -> Response:
    sha256 = request.path_params["sha256"]
    data = await run_in_threadpool(shop_of(request).record.attachment, sha256)
    kind = "image/png" if data[:4] == b"\x89PNG" else "image/jpeg"
    if data[:3] != b"\xff\xd8\xff" and kind == "image/jpeg":
        kind = "application/octet-stream"
    return Response(data, media_type=kind, headers={"Cache-Control": "private, max-age=31536000"})


Send = Callable[[dict[str, object]], Awaitable[None]]


class _Headers:
    """Puts the same protective headers on every answer, without buffering any."""

    def __init__(self, app: Callable[..., Awaitable[None]]) -> None:
        self.app = app

    async def __call__(self, scope: dict[str, object], receive: object, send: Send) -> None:
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return

        async def sent(message: dict[str, object]) -> None:
            if message["type"] == "http.response.start":
                headers = list(message.get("headers", ()))  # type: ignore[call-overload]
                headers += [(name.encode(), value.encode()) for name, value in _HEADERS.items()]
                message = {**message, "headers": headers}
            await send(message)

        await self.app(scope, receive, sent)
