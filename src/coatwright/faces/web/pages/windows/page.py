"""Windows: every patch coat by coat, what lapses next first, and what a lapse would cost."""

from itertools import groupby

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from coatwright.actions.checking.windows import PatchWindow, windows
from coatwright.faces import drawing
from coatwright.faces.web.answers import anybody, kept
from coatwright.faces.web.app import shop_of
from coatwright.faces.web.view import page


async def show(request: Request) -> Response:
    """The page; its list comes by itself."""
    shop, key = shop_of(request), request.path_params["job"]
    job = await run_in_threadpool(shop.open, key)
    plan = await run_in_threadpool(shop.planned, key)
    return page(request, "windows/page.html", job=job, plan=plan)


async def now(request: Request) -> Response:
    """Every patch as it stands now."""
    shop, key = shop_of(request), request.path_params["job"]
    found = await run_in_threadpool(windows, shop, key)
    plan = await run_in_threadpool(shop.plan, key)
    groups = [(kind, list(rows)) for kind, rows in groupby(found, lambda one: one.standing)]
    return page(
        request, "windows/_now.html", job=None, key=key, groups=groups, now=shop.clock(),
        coats=coats, currency=plan.currency,
    )  # fmt: skip


def coats(one: PatchWindow, described: str) -> str:
    """The coats of a patch as a picture."""
    return drawing.coats_svg([(x.family, x.coats, x.laid) for x in one.layers], described)


routes = [
    Route("/jobs/{job}/windows", kept(show)),
    Route("/jobs/{job}/windows/now", kept(now, clock="moment", by=anybody)),
]
