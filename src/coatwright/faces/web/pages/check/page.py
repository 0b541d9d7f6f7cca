"""Checking the work: film, climate, test card, and what a defect came from."""

from collections.abc import Mapping
from typing import Any

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import HTMLResponse, Response
from starlette.routing import Route

from coatwright.actions import cards
from coatwright.actions.asking.causes import Asked, pathology, why_in
from coatwright.actions.cards.uploaded import card_photographed
from coatwright.actions.checking.climate import climates
from coatwright.actions.checking.films import film_sheet, find_patch
from coatwright.actions.floor.faults import Places, open_faults
from coatwright.actions.shop import Opened
from coatwright.errors import CoatwrightError, NotFound
from coatwright.faces.arranged.evidence import evidence
from coatwright.faces.drawing.card import card_svg
from coatwright.faces.web.answers import anybody, kept
from coatwright.faces.web.app import LARGEST, shop_of, tell
from coatwright.faces.web.pages.check.picture import film_svg
from coatwright.faces.web.view import Reader, page

UNITS: Mapping[str, Mapping[str, str]] = {
    "metric": {"film": "um", "temperature": "degC", "speed": "m/s", "length": "mm"},
    "us": {"film": "mil", "temperature": "degF", "speed": "ft/s", "length": "in"},
}
"""Units that a bare number is taken in."""

WORDS = {"um": "µm", "degC": "°C", "degF": "°F"}


def _units(request: Request) -> dict[str, Any]:
    return {"units": UNITS[Reader.of(request).units], "unit_words": WORDS}


async def show(request: Request) -> Response:
    """What can be checked, and the climate."""
    shop, key = shop_of(request), request.path_params["job"]
    job = await run_in_threadpool(shop.open, key)
    plan = await run_in_threadpool(shop.planned, key)
    return page(
        request, "check/page.html", job=job, found=climates(job.state), titles=_titles(job),
        faults=open_faults(job, plan), key=key, **_units(request),
    )  # fmt: skip


async def climate(request: Request) -> Response:
    """The climate as read last."""
    job = await run_in_threadpool(shop_of(request).open, request.path_params["job"])
    return page(
        request, "check/_climate.html", job=None, found=climates(job.state), titles=_titles(job)
    )


async def film(request: Request) -> Response:
    """The film of a patch: readings to be typed in, and what they say."""
    shop, key = shop_of(request), request.path_params["job"]
    spot = request.path_params["area"], request.path_params["patch"]
    job = await run_in_threadpool(shop.open, key)
    area, _ = await run_in_threadpool(find_patch, shop, key, *spot)
    sheet = await run_in_threadpool(film_sheet, shop, key, *spot)
    return page(
        request, "check/film.html", job=job, area=area, patch=spot[1], sheet=sheet,
        film_svg=film_svg, **_units(request),
    )  # fmt: skip


async def film_part(request: Request) -> Response:
    """What the readings of a patch say, with the rubs of the plan."""
    shop, key = shop_of(request), request.path_params["job"]
    spot = request.path_params["area"], request.path_params["patch"]
    await run_in_threadpool(shop.plan, key)
    sheet = await run_in_threadpool(film_sheet, shop, key, *spot)
    return page(request, "check/_film.html", job=None, sheet=sheet, film_svg=film_svg)


async def card(request: Request) -> Response:
    """A test card: print one, photograph it."""
    return await _card_page(request, None, "")


async def card_read(request: Request) -> Response:
    """What a photographed card says."""
    shop, key = shop_of(request), request.path_params["job"]
    async with request.form(max_part_size=LARGEST) as form:
        photo = form.get("photo")
        data = b"" if photo is None or isinstance(photo, str) else await photo.read()
        distance = str(form.get("distance") or "").strip()
        kind: cards.Kind = "pass" if form.get("kind") == "pass" else "burst"
        gun = str(form.get("gun") or "")
    if distance and distance.replace(".", "").replace(",", "").isdigit():
        distance = f"{distance} {UNITS[Reader.of(request).units]['length']}"
    who = Reader.of(request).name
    try:
        read, event = await run_in_threadpool(
            card_photographed, shop, key, who, data, (kind, gun, distance)
        )
    except CoatwrightError as fault:
        return await _card_page(request, None, fault.sentence)
    tell(request, key, event.number, kind=event.body.kind)
    return await _card_page(request, read, "", event.evidence[-1])


async def _card_page(
    request: Request, read: cards.CardRead | None, fault: str, photo: str = ""
) -> HTMLResponse:
    job = await run_in_threadpool(shop_of(request).open, request.path_params["job"])
    return page(
        request, "check/card.html", status=422 if fault else 200, job=job, read=read, fault=fault,
        photo=photo, guns=job.bench.job.workshop.guns, **_units(request),
    )  # fmt: skip


async def blank(request: Request) -> Response:
    """A card to print, at true size."""
    paper = "Letter" if request.path_params["paper"] == "letter" else "A4"
    return Response(card_svg(cards.card(paper)), media_type="image/svg+xml")


async def defect(request: Request) -> Response:
    """Something is wrong: which defect, where, and what it came from."""
    shop, key = shop_of(request), request.path_params["job"]
    job = await run_in_threadpool(shop.open, key)
    plan = await run_in_threadpool(shop.planned, key)
    found, fault, asked = await run_in_threadpool(_asked, request)
    return page(
        request, "check/defect.html", job=job, found=found, fault=fault, asked=asked,
        known=pathology().defects, evidence=evidence, titles=_titles(job), spots=_spots(job),
        products=job.bench.library, faults=open_faults(job, plan), key=key,
    )  # fmt: skip


def _asked(request: Request) -> tuple[object, str, Mapping[str, str]]:
    """The ranking for what the address asks; or why there is none."""
    given = request.query_params
    asked = {name: given.get(name, "") for name in ("defect", "spot")}
    if not asked["defect"]:
        return None, "", asked
    area, _, patch = asked["spot"].partition("/")
    answers = {
        name.removeprefix("found-"): value == "yes"
        for name, value in given.items()
        if name.startswith("found-") and value in ("yes", "no")
    }
    shop, key = shop_of(request), request.path_params["job"]
    try:
        told = Asked(asked["defect"], area, patch, "", answers)
        return why_in(shop.record, key, told), "", asked
    except NotFound as fault:
        return None, fault.sentence, asked


def _titles(job: Opened) -> Mapping[str, str]:
    return {area.key: area.title for area in job.bench.job.areas}


def _spots(job: Opened) -> Mapping[str, str]:
    """Every patch, by area and patch, with its title."""
    where = Places(job.bench.job)
    return {
        f"{area.key}/{patch.key}": where.named(area.key, patch.key)
        for area in job.bench.job.areas
        for patch in area.patches
    }


routes = [
    Route("/jobs/{job}/check", kept(show)),
    Route("/jobs/{job}/check/climate", kept(climate, by=anybody)),
    Route("/jobs/{job}/check/card", card),
    Route("/jobs/{job}/check/card", card_read, methods=["POST"]),
    Route("/jobs/{job}/check/defect", defect),
    Route("/jobs/{job}/check/film/{area}/{patch}", kept(film)),
    Route("/jobs/{job}/check/film/{area}/{patch}/read", kept(film_part, by=anybody)),
    Route("/test-card-{paper}.svg", blank),
]
