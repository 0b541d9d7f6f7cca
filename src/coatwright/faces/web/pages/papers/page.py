"""Papers of a job, A4 and Letter; and all of it as files for other programs."""

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from coatwright.actions.shop import Shop
from coatwright.faces.papers.pack import PACK, PARTS, pack_pdf
from coatwright.faces.papers.press import Paper
from coatwright.faces.web.answers import kept
from coatwright.faces.web.app import shop_of
from coatwright.faces.web.pages.papers.taking import Asked, take, whole_plan
from coatwright.faces.web.view import Reader, page


async def show(request: Request) -> Response:
    """What can be printed."""
    job = await run_in_threadpool(shop_of(request).open, request.path_params["job"])
    return page(request, "papers/page.html", job=job, parts=PARTS, pack=PACK)


async def printed(request: Request) -> Response:
    """One paper, or the pack, as PDF."""
    shop, key, which = shop_of(request), request.path_params["job"], request.path_params["which"]
    paper: Paper = "us-letter" if request.query_params.get("paper") == "us-letter" else "a4"
    with_days = which in (PACK, "days")
    plan = await run_in_threadpool(whole_plan if with_days else Shop.plan, shop, key)
    words = Reader.of(request).words(plan.currency)
    address = str(request.url_for("front", job=key))
    made = await run_in_threadpool(pack_pdf, plan, words, paper, which, address)
    name = {"Content-Disposition": f'inline; filename="{key}-{which}.pdf"'}
    return Response(made, media_type="application/pdf", headers=name)


async def taken(request: Request) -> Response:
    """A file of the job for another program."""
    shop, key, name = shop_of(request), request.path_params["job"], request.path_params["name"]
    asked = Asked(shop, key, Reader.of(request))
    made = await run_in_threadpool(take, asked, name)
    named = {"Content-Disposition": f'attachment; filename="{made.name}"'}
    return Response(made.data, headers={"Content-Type": made.kind, **named})


routes = [
    Route("/jobs/{job}/papers", kept(show)),
    Route("/jobs/{job}/papers/{which}.pdf", printed),
    Route("/jobs/{job}/take/{name}", taken),
]
