"""Air: what to set at the wall, what holds and how long, gauges typed in and the line fitted."""

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response
from starlette.routing import Route

from coatwright.actions.checking.gauges import air_bench, keep_gauges
from coatwright.faces import drawing
from coatwright.faces.arranged.outlook import hold_titles
from coatwright.faces.web.answers import anybody, kept
from coatwright.faces.web.app import shop_of, tell
from coatwright.faces.web.pages.air.picture import line_svg
from coatwright.faces.web.view import Reader, page

UNITS = {"metric": "bar", "us": "psi"}


async def show(request: Request) -> Response:
    """What to set and what holds, for every gun."""
    shop, key = shop_of(request), request.path_params["job"]
    job = await run_in_threadpool(shop.open, key)
    gun = request.query_params.get("gun", "")
    bench = await run_in_threadpool(air_bench, shop, key, gun)
    return page(
        request, "air/page.html", job=job, bench=bench, line_svg=line_svg,
        guns={one.key: one.title for one in job.bench.job.workshop.guns},
        unit=UNITS[Reader.of(request).units],
    )  # fmt: skip


async def read(request: Request) -> Response:
    """What the gauges say of the line to a gun."""
    shop, key = shop_of(request), request.path_params["job"]
    job = await run_in_threadpool(shop.open, key)
    gun = request.query_params.get("gun", "")
    bench = await run_in_threadpool(air_bench, shop, key, gun)
    return page(
        request, "air/_line.html", job=None, key=key, bench=bench, line_svg=line_svg,
        guns={one.key: one.title for one in job.bench.job.workshop.guns},
    )  # fmt: skip


async def holds(request: Request) -> Response:
    """Every recipe: whether the pressure holds, drawn second by second."""
    shop, key = shop_of(request), request.path_params["job"]
    plan = await run_in_threadpool(shop.plan, key)
    return page(
        request, "air/_holds.html", job=None, key=key, plan=plan, drawing=drawing,
        titles=hold_titles(plan), holds=plan.outlook.air if plan.outlook else (),
    )  # fmt: skip


async def keep(request: Request) -> Response:
    """Let the readings count in the plan."""
    shop, key = shop_of(request), request.path_params["job"]
    who = Reader.of(request).name
    event = await run_in_threadpool(keep_gauges, shop, key, who)
    tell(request, key, event.number, kind=event.body.kind)
    return RedirectResponse(f"/jobs/{key}/air#line", 303)


routes = [
    Route("/jobs/{job}/air", kept(show)),
    Route("/jobs/{job}/air/line", kept(read, by=anybody)),
    Route("/jobs/{job}/air/holds", kept(holds, by=anybody)),
    Route("/jobs/{job}/air/keep", keep, methods=["POST"]),
]
