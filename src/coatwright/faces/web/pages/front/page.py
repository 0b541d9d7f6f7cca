"""The front of a job: what it is, and the way to everything that can be done with it."""

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from coatwright.actions.checking.windows import windows_of
from coatwright.actions.floor.handover import handing
from coatwright.faces.web.answers import kept
from coatwright.faces.web.app import shop_of
from coatwright.faces.web.view import page


async def show(request: Request) -> Response:
    """The front of a job."""
    shop, key = shop_of(request), request.path_params["job"]
    job = await run_in_threadpool(shop.open, key)
    plan = await run_in_threadpool(shop.planned, key)
    surface, now = sum(area.net() for area in job.bench.job.areas), shop.clock()
    rows = windows_of(plan, job.state, now) if plan else ()
    shutting = (row for row in rows if row.standing in ("shut", "open") and row.shuts)
    coats = [layer for row in rows for layer in row.layers]
    return page(
        request, "front/page.html", job=job, surface=surface, now=now,
        laid=sum(layer.laid for layer in coats), coats=sum(layer.coats for layer in coats),
        shutting=next(shutting, None), handing=handing(job.state, job.bench, plan),
        fresh=not job.state.arrived and not job.state.sprayed(),
    )  # fmt: skip


routes = [Route("/jobs/{job}", kept(show), name="front")]
