"""The jobs of the shop: the list, with search, and beginning one."""

from typing import Final

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response
from starlette.routing import Route

from coatwright.actions.shop import JobCard, Shop
from coatwright.faces.web.answers import kept
from coatwright.faces.web.app import shop_of
from coatwright.faces.web.view import Reader, page

SHOWN: Final = 40
"""Jobs in the list; the others are found by name."""


async def show(request: Request) -> Response:
    """The list, or the part of it that a search finds."""
    wanted = request.query_params.get("find", "").strip().lower()
    rows = await run_in_threadpool(_rows, shop_of(request), wanted)
    part = "jobs/_list.html" if request.headers.get("hx-request") else "jobs/page.html"
    more = max(len(rows) - SHOWN, 0)
    return page(request, part, job=None, rows=rows[:SHOWN], more=more, wanted=wanted)


async def begin(request: Request) -> Response:
    """Begin a job from its title, and go to it."""
    form = await request.form()
    title = str(form.get("title") or "").strip() or "A job"
    demo = form.get("from") == "demo"
    who = Reader.of(request).name
    key = await run_in_threadpool(shop_of(request).start, title, who, demo)
    return RedirectResponse(f"/jobs/{key}", 303)


def _rows(shop: Shop, wanted: str) -> list[JobCard]:
    return [card for card in shop.cards() if wanted in f"{card.key} {card.title}".lower()]


routes = [
    Route("/", kept(show, shop=True)),
    Route("/jobs", begin, methods=["POST"]),
]
