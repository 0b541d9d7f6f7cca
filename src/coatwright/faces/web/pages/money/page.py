"""Money: estimate, spent, forecast, extra work, answers, bill."""

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response
from starlette.routing import Route

from coatwright.actions import money
from coatwright.actions.floor import owner
from coatwright.errors import CoatwrightError, Infeasible
from coatwright.faces.papers.invoice import Heading, invoice_csv, invoice_json, invoice_pdf
from coatwright.faces.papers.press import Paper
from coatwright.faces.texts import LOCALES
from coatwright.faces.web.answers import along, anybody, kept
from coatwright.faces.web.app import shop_of, tell
from coatwright.faces.web.view import Reader, page


async def show(request: Request) -> Response:
    """The page; its figures come when the plan has been computed."""
    shop, key = shop_of(request), request.path_params["job"]
    job = await run_in_threadpool(shop.open, key)
    known = await run_in_threadpool(shop.planned, key)
    part = await along(stands, request) if known else ""
    return page(request, "money/page.html", job=job, part=part)


async def stands(request: Request) -> Response:
    """How the money stands now."""
    shop, key = shop_of(request), request.path_params["job"]
    opened = await run_in_threadpool(shop.open, key)
    found = await run_in_threadpool(money.account, shop, key)
    plan = await run_in_threadpool(shop.plan, key)
    token = await run_in_threadpool(owner.link, shop, key)
    acts = [line for line in plan.cost.lines if line.quantity is not None]
    return page(
        request, "money/_stands.html", job=None, key=key, found=found, plan=plan, acts=acts,
        state=opened.state, currency=found.currency, token=token,
        address=str(request.base_url) + f"owner/{token}",
    )  # fmt: skip


async def put(request: Request) -> Response:
    """Put the estimate to the owner."""
    shop, key = shop_of(request), request.path_params["job"]
    who = Reader.of(request).name
    event = await run_in_threadpool(money.estimate_put, shop, key, who)
    tell(request, key, event.number, kind=event.body.kind)
    return RedirectResponse(f"/jobs/{key}/money", 303)


async def bill(request: Request) -> Response:
    """The bill as PDF, CSV or JSON; without a yes of the owner, the sentence that says so."""
    shop, key = shop_of(request), request.path_params["job"]
    kind, asked = request.path_params["kind"], request.query_params.get("paper", "a4")
    try:
        found = await run_in_threadpool(money.invoice, shop, key)
    except Infeasible as fault:
        return page(request, "fault.html", status=409, job=None, sentence=fault.sentence)
    job = (await run_in_threadpool(shop.open, key)).bench.job
    locale = LOCALES[Reader.of(request).language]
    today = shop.clock().astimezone().date()
    heading = Heading(
        f"{today:%Y%m%d}-{key}", today, job.title, job.workshop.title, job.owner, locale,
        job.invented,
    )  # fmt: skip
    name = {"Content-Disposition": f'inline; filename="invoice-{key}.{kind}"'}
    if kind == "csv":
        return Response(invoice_csv(found, heading.tongue), media_type="text/csv", headers=name)
    if kind == "json":
        text = invoice_json(found, heading)
        return Response(text, media_type="application/json", headers=name)
    if kind != "pdf":
        raise CoatwrightError(f"there is no bill as {kind}", instead="ask for pdf, csv or json")
    paper: Paper = "us-letter" if asked == "us-letter" else "a4"
    made = await run_in_threadpool(invoice_pdf, found, heading, paper)
    return Response(made, media_type="application/pdf", headers=name)


routes = [
    Route("/jobs/{job}/money", kept(show)),
    Route("/jobs/{job}/money/stands", kept(stands, by=anybody)),
    Route("/jobs/{job}/money/estimate", put, methods=["POST"]),
    Route("/jobs/{job}/money/bill.{kind}", bill),
]
