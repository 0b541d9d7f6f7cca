"""The shelf: tins by batch number and use-by date."""

from typing import Final

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response
from starlette.routing import Route

from coatwright.actions.floor import stock
from coatwright.errors import InputError
from coatwright.faces.web.answers import kept
from coatwright.faces.web.app import shop_of
from coatwright.faces.web.view import Reader, page

UNITS: Final = {"metric": "L", "us": "US qt"}
"""Unit that a bare number is taken in."""


async def show(request: Request) -> Response:
    """What stands there, what spoils first at the top."""
    return await _page(request, "")


async def keep(request: Request) -> Response:
    """Put tins on it, or say what is really left."""
    form = await request.form()
    given = {name: str(value) for name, value in form.items()}
    given["unit"] = UNITS[Reader.of(request).units]
    act = stock.counted if given.get("act") == "counted" else stock.bought
    who = Reader.of(request).name
    try:
        await run_in_threadpool(act, shop_of(request), who, given)
    except InputError as fault:
        return await _page(request, fault.sentence)
    return RedirectResponse("/shelf", 303)


async def _page(request: Request, fault: str) -> Response:
    shop = shop_of(request)
    today = shop.clock().astimezone().date()
    rows = await run_in_threadpool(stock.shelf_today, shop, today)
    tins = await run_in_threadpool(stock.components)
    return page(
        request, "shelf/page.html", status=422 if fault else 200, job=None, rows=rows, tins=tins,
        fault=fault, unit=UNITS[Reader.of(request).units],
    )  # fmt: skip


routes = [
    Route("/shelf", kept(show, shop=True, clock="day")),
    Route("/shelf", keep, methods=["POST"]),
]
