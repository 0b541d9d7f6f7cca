"""The gun: set-up and strokes for one area and product, tried with sliders, heard as a beat."""

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from coatwright.actions.floor import trials
from coatwright.errors import CoatwrightError
from coatwright.faces import drawing
from coatwright.faces.web.answers import kept
from coatwright.faces.web.app import shop_of
from coatwright.faces.web.view import page


async def show(request: Request) -> Response:
    """The recipe of the plan, with its sliders."""
    shop, key = shop_of(request), request.path_params["job"]
    job = await run_in_threadpool(shop.open, key)
    bench = await run_in_threadpool(trials.bench, shop, key, request.path_params["recipe"])
    return page(
        request, "recipes/page.html", job=job, bench=bench, one=bench.card, drawing=drawing,
        currency=job.bench.job.workshop.currency,
    )  # fmt: skip


async def tried(request: Request) -> Response:
    """What comes out with the sliders where they are."""
    shop, key, name = shop_of(request), request.path_params["job"], request.path_params["recipe"]
    bench = await run_in_threadpool(trials.bench, shop, key, name)
    try:
        after = await run_in_threadpool(trials.tried, shop, key, name, dict(request.query_params))
    except CoatwrightError as fault:
        return page(request, "recipes/_fault.html", job=None, fault=fault.sentence)
    return page(
        request, "recipes/_tried.html", job=None, one=after, drawing=drawing,
        rows=trials.differences(bench.card, after), moved=bool(request.query_params),
    )  # fmt: skip


async def listed(request: Request) -> Response:
    """Every recipe, by product: the way in from the paint."""
    shop, key = shop_of(request), request.path_params["job"]
    job = await run_in_threadpool(shop.open, key)
    plan = await run_in_threadpool(shop.plan, key)
    titles = {area.key: area.title for area in plan.areas}
    return page(request, "recipes/list.html", job=job, plan=plan, titles=titles)


routes = [
    Route("/jobs/{job}/recipes", kept(listed)),
    Route("/jobs/{job}/recipes/{recipe}", kept(show)),
    Route("/jobs/{job}/recipes/{recipe}/tried", tried),
]
