"""The front of a job: what it is, and the way to everything that can be done with it."""

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from coatwright.faces.web.app import shop_of
from coatwright.faces.web.view import page


async def show(request: Request) -> Response:
    """The front of a job."""
    job = await run_in_threadpool(shop_of(request).open, request.path_params["job"])
    surface = sum(area.net() for area in job.bench.job.areas)
    return page(request, "front/page.html", job=job, surface=surface)


routes = [Route("/jobs/{job}", show, name="front")]
