"""What a shop measures of gun and hand: fluid test, strokes timed, practice board."""

from collections.abc import Callable, Mapping
from typing import Any

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response
from starlette.routing import Route

from coatwright.actions.explain import cite
from coatwright.actions.measuring.boards import board_bench
from coatwright.actions.measuring.fluid import fluid_bench
from coatwright.actions.measuring.hands import keep_hand, planned_with
from coatwright.actions.measuring.strokes import stroke_bench
from coatwright.faces.web.answers import kept
from coatwright.faces.web.app import shop_of, tell
from coatwright.faces.web.pages.measured.picture import board_svg, strokes_svg
from coatwright.faces.web.view import Reader, page

UNITS: Mapping[str, Mapping[str, str]] = {
    "metric": {
        "dose": "mL", "run": "m", "film": "um", "gap": "cm", "mass": "g", "area": "m2",
        "mark": "5", "length": "1", "spacing": "8",
    },
    "us": {
        "dose": "US fl oz", "run": "ft", "film": "mil", "gap": "in", "mass": "g", "area": "ft2",
        "mark": "0.25", "length": "3", "spacing": "3",
    },
}  # fmt: skip
"""Units that a bare number is taken in, and what stands in a field at first."""

WORDS = {"um": "µm", "m2": "m²", "ft2": "ft²", "US fl oz": "fl oz"}


def _about(request: Request) -> dict[str, Any]:
    return {
        "units": UNITS[Reader.of(request).units], "unit_words": WORDS, "cite": cite,
        "strokes_svg": strokes_svg, "board_svg": board_svg,
    }  # fmt: skip


def _shown(template: str, bench: Callable[..., Any], *asked: str) -> Any:
    """A page or a part that shows a bench; asked: what of the address the bench is told."""

    async def show(request: Request) -> Response:
        shop, key = shop_of(request), request.path_params["job"]
        given = [request.query_params.get(name, "") for name in asked]
        job = await run_in_threadpool(shop.open, key)
        found = await run_in_threadpool(bench, shop, key, *given)
        part = template.split("/")[1].startswith("_")
        return page(
            request, template, job=None if part else job, key=key, bench=found, **_about(request)
        )

    return kept(show, shop=True)


async def meaning(request: Request) -> Response:
    """A recipe as planned, and as it comes out in the hand as measured."""
    shop, key = shop_of(request), request.path_params["job"]
    recipe, hand = request.query_params.get("recipe", ""), request.path_params["hand"]
    pair = await run_in_threadpool(planned_with, shop, key, recipe, hand)
    return page(request, "measured/_meaning.html", job=None, key=key, hand=hand, pair=pair)


async def keep(request: Request) -> Response:
    """Plan the job with a hand as measured."""
    shop, key = shop_of(request), request.path_params["job"]
    who, hand = Reader.of(request).name, request.path_params["hand"]
    event = await run_in_threadpool(keep_hand, shop, key, who, hand)
    tell(request, key, event.number, kind=event.body.kind)
    form = await request.form()
    where = "board" if form.get("back") == "board" else "strokes"
    return RedirectResponse(f"/jobs/{key}/check/{where}?hand={hand}#steady", 303)


routes = [
    Route("/jobs/{job}/check/fluid", _shown("measured/fluid.html", fluid_bench, "recipe")),
    Route("/jobs/{job}/check/fluid/read", _shown("measured/_fluid.html", fluid_bench, "recipe")),
    Route(
        "/jobs/{job}/check/strokes",
        _shown("measured/strokes.html", stroke_bench, "recipe", "hand"),
    ),
    Route(
        "/jobs/{job}/check/strokes/read",
        _shown("measured/_strokes.html", stroke_bench, "recipe", "hand"),
    ),
    Route("/jobs/{job}/check/board", _shown("measured/board.html", board_bench, "recipe", "hand")),
    Route(
        "/jobs/{job}/check/board/read",
        _shown("measured/_board.html", board_bench, "recipe", "hand"),
    ),
    Route("/jobs/{job}/check/hand/{hand}/meaning", kept(meaning, shop=True)),
    Route("/jobs/{job}/check/hand/{hand}/keep", keep, methods=["POST"]),
]
