"""What the shop has learned from its own jobs, and what that makes of a plan."""

from typing import Final

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from coatwright.actions import learned
from coatwright.actions.learned import Taught
from coatwright.faces.drawing.learned.belief import (
    Shown,
    belief_rows,
    belief_svg,
    contradiction_text,
)
from coatwright.faces.web.answers import kept, turn
from coatwright.faces.web.app import shop_of
from coatwright.faces.web.view import page
from coatwright.planning.strokes.foretold import Foretold
from coatwright.sentences import Said, say

WHAT: Final = {
    "flow": say("paint through the gun, against its plan"),
    "transfer": say("share that lands, against its plan"),
    "speed": say("speed of the stroke, against its plan"),
    "minutes": say("time, against its plan"),
    "paint": say("paint of a coat, against its plan"),
}
"""What each parameter is, as the axis of its picture says it."""

USUAL: Final = 0.6
"""The share that lands which shifts are shown from; only the picture's axis rests on it."""


async def show(request: Request) -> Response:
    """Every parameter with readings: before, readings, after."""
    known = await run_in_threadpool(learned.learned_by, shop_of(request))
    rows = [(one, _shown(one)) for one in known.taught if one.readings]
    return page(
        request, "learned/page.html", job=None, rows=rows, known=known, belief_svg=belief_svg,
        belief_rows=belief_rows, contradiction_text=contradiction_text,
    )  # fmt: skip


async def plan(request: Request) -> Response:
    """What a job's recipes will really take in this shop."""
    shop, key = shop_of(request), request.path_params["job"]
    job = await run_in_threadpool(shop.open, key)

    def told() -> tuple[Foretold, ...]:
        return learned.foretold_for(shop, key, learned.learned_by(shop))

    known = "foretold", key, turn(shop, key, whole=True)
    rows = await run_in_threadpool(shop.looks.get, known, told)
    made = await run_in_threadpool(shop.plan, key)
    titles = {area.key: area.title for area in made.areas}
    products = {need.key: need.title for need in made.products}
    return page(
        request, "learned/plan.html", job=job, rows=rows[:-1], whole=rows[-1], plan=made,
        titles=titles, products=products,
    )  # fmt: skip


def _shown(one: Taught) -> Shown:
    what = WHAT[one.parameter]
    title = say("{group} {member}: {what}", group=Said(one.group), member=one.member, what=what)
    share = USUAL if one.parameter == "transfer" else None
    return Shown(title, what, one.before, one.after, one.readings, share)


routes = [
    Route("/learned", kept(show, shop=True)),
    Route("/jobs/{job}/learned", kept(plan, shop=True)),
]
