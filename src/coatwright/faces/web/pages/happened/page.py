"""Something happened: few large targets, one for each kind, a photograph with each."""

from collections.abc import Mapping
from typing import Final

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from coatwright.actions.checking.history import history
from coatwright.actions.floor import faults
from coatwright.actions.shop import Opened
from coatwright.faces.web.answers import along, anybody, kept
from coatwright.faces.web.app import shop_of
from coatwright.faces.web.view import Reader, page

UNITS: Final[Mapping[str, tuple[str, str]]] = {"metric": ("m2", "cm2"), "us": ("ft2", "in2")}
"""Units of a surface and of a spot that a bare number is taken in."""
WORDS: Final = {"m2": "m²", "cm2": "cm²", "ft2": "ft²", "in2": "in²"}
LAST: Final = 3
"""How many of the last events the page shows."""


async def show(request: Request) -> Response:
    """What may have happened; spot: where, by the keys of area and patch; what: opened at once."""
    shop, key = shop_of(request), request.path_params["job"]
    job = await run_in_threadpool(shop.open, key)
    spot, what = _spot(job, request.query_params.get("spot", "")), request.query_params.get("what")
    surface, small = UNITS[Reader.of(request).units]
    return page(
        request, "happened/page.html", job=job, spots=spots(job), spot=spot, what=what,
        grounds=faults.grounds(), shows=_shows(job, spot), surface=surface, small=small,
        unit_words=WORDS, old_paint=faults.warning("old-lead", "dust"),
        stripping=faults.warning("old-lead", "stripper"), dust=faults.warning("dust"),
        lasts=await along(last, request), opens=await along(unmended, request),
    )  # fmt: skip


async def last(request: Request) -> Response:
    """What was noted last."""
    shop, key = shop_of(request), request.path_params["job"]
    found = await run_in_threadpool(history, shop, key, most=LAST)
    return page(request, "happened/_last.html", job=None, key=key, found=found)


async def unmended(request: Request) -> Response:
    """What stands open, each with how it was put right."""
    shop, key = shop_of(request), request.path_params["job"]
    job = await run_in_threadpool(shop.open, key)
    plan = await run_in_threadpool(shop.planned, key)
    return page(
        request, "happened/_open.html", job=None, faults=faults.open_faults(job, plan), key=key
    )


async def shows(request: Request) -> Response:
    """What may show at a place."""
    shop, key = shop_of(request), request.path_params["job"]
    job = await run_in_threadpool(shop.open, key)
    found = _shows(job, request.query_params.get("_spot", ""))
    return page(request, "happened/_shows.html", job=None, shows=found)


def _spot(job: Opened, asked: str) -> str:
    """The place asked for, as the page names it: of an area with one patch, that patch."""
    known = spots(job)
    alone = [one for one in known if one.split("/")[0] == asked.split("/")[0]]
    return alone[0] if len(alone) == 1 else asked if asked in known else ""


def _shows(job: Opened, spot: str) -> Mapping[str, str]:
    area, _, patch = spot.partition("/")
    return faults.may_show(job, area, patch)


def spots(job: Opened) -> dict[str, str]:
    """Every place by "area/patch"; an area of several patches as a whole too."""
    where = faults.Places(job.bench.job)
    return {
        f"{area.key}/{patch}": where.named(area.key, patch)
        for area in job.bench.job.areas
        for patch in ([""] if len(area.patches) > 1 else []) + [one.key for one in area.patches]
    }


routes = [
    Route("/jobs/{job}/happened", kept(show)),
    Route("/jobs/{job}/happened/last", kept(last, by=anybody)),
    Route("/jobs/{job}/happened/open", kept(unmended, by=anybody)),
    Route("/jobs/{job}/happened/shows", kept(shows, by=anybody)),
]
