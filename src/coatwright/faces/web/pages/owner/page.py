"""The owner's page: a private link, no account; what is asked, yes or no with a name."""

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response
from starlette.routing import Route

from coatwright.actions.floor import owner
from coatwright.errors import InputError
from coatwright.faces.web.app import shop_of, tell
from coatwright.faces.web.view import page


async def show(request: Request) -> Response:
    """What the owner is asked."""
    return await _page(request, "")


async def answer(request: Request) -> Response:
    """Keep a yes or a no, with the name it was given by."""
    shop, token = shop_of(request), request.path_params["token"]
    form = await request.form()
    extra, yes = str(form.get("extra") or ""), form.get("answer") == "yes"
    try:
        event = await run_in_threadpool(
            owner.answered, shop, token, extra, yes, str(form.get("name") or "")
        )
    except InputError as fault:
        return await _page(request, fault.sentence)
    tell(request, event.job, event.number, kind=event.body.kind)
    return RedirectResponse(f"/owner/{token}", 303)


async def _page(request: Request, fault: str) -> Response:
    view = await run_in_threadpool(
        owner.owners_view, shop_of(request), request.path_params["token"]
    )
    asked = [one for one in (view.estimate, *view.extras) if one is not None]
    return page(
        request, "owner/page.html", status=422 if fault else 200, job=None, view=view, asked=asked,
        fault=fault, currency=view.account.currency,
    )  # fmt: skip


routes = [
    Route("/owner/{token}", show),
    Route("/owner/{token}", answer, methods=["POST"]),
]
