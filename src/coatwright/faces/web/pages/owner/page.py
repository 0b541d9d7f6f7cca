"""The owner's page: a private link, no account; what is asked, yes or no, the work taken over."""

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response
from starlette.routing import Route

from coatwright.actions.floor import handover, owner
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


async def take_over(request: Request) -> Response:
    """Keep that the owner takes the work over, by name, with what they remark."""
    shop, token = shop_of(request), request.path_params["token"]
    form = await request.form()
    name, remarks = str(form.get("name") or ""), str(form.get("remarks") or "")
    seen = str(form.get("seen") or "")
    try:
        event = await run_in_threadpool(
            handover.take_over, shop, token, name, remarks, int(seen) if seen.isdecimal() else 0
        )
    except InputError as fault:
        return await _page(request, fault.sentence, name, remarks)
    tell(request, event.job, event.number, kind=event.body.kind)
    return RedirectResponse(f"/owner/{token}#handover", 303)


async def _page(request: Request, fault: str, name: str = "", remarks: str = "") -> Response:
    """The page; with a fault, what was written in the form stands there still."""
    shop = shop_of(request)
    view = await run_in_threadpool(owner.owners_view, shop, request.path_params["token"])
    handing = await run_in_threadpool(handover.handing_of, shop, view.key)
    asked = [one for one in (view.estimate, *view.extras) if one is not None]
    return page(
        request, "owner/page.html", status=422 if fault else 200, job=None, view=view, asked=asked,
        fault=fault, currency=view.account.currency, handing=handing,
        token=request.path_params["token"], name=name, remarks=remarks,
    )  # fmt: skip


routes = [
    Route("/owner/{token}", show),
    Route("/owner/{token}", answer, methods=["POST"]),
    Route("/owner/{token}/take-over", take_over, methods=["POST"]),
]
