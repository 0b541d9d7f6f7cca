"""The walk round: areas by shape and tape, patches, photographs; and what the plan says of each."""

import re
from collections.abc import Mapping
from typing import Final

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response
from starlette.routing import Route

from coatwright.actions.floor import areas
from coatwright.actions.shop import Opened
from coatwright.errors import InputError
from coatwright.faces import drawing
from coatwright.faces.web.answers import along, anybody, kept
from coatwright.faces.web.app import shop_of, tell
from coatwright.faces.web.pages.areas.pictures import letter, shape_picture
from coatwright.faces.web.view import Reader, page
from coatwright.model.area import Area
from coatwright.model.substrate import Ground

UNITS: Final = {"metric": ("cm", "m2"), "us": ("in", "ft2")}
_BARE: Final = re.compile(r"\s*[0-9]+(?:[.,][0-9]+)?\s*$")
_LENGTHS: Final = {m.name for shape in areas.shapes().values() for m in shape}


async def walk(request: Request) -> Response:
    """Every area with its surface, and the total."""
    job = await run_in_threadpool(shop_of(request).open, request.path_params["job"])
    return page(request, "areas/page.html", job=job, total=_total(job))


async def new(request: Request) -> Response:
    """Choose a shape; then measure it."""
    job = await run_in_threadpool(shop_of(request).open, request.path_params["job"])
    kind = request.query_params.get("shape", "")
    return _form(request, job, kind, {}, None)


async def measure(request: Request) -> Response:
    """What the lengths come to, while they are being typed."""
    given = await _given(request)
    try:
        size = areas.sized(given.get("kind", ""), given)
    except (InputError, ValueError):
        return page(request, "areas/_size.html", job=None, size=None)
    return page(request, "areas/_size.html", job=None, size=size)


async def add(request: Request) -> Response:
    """Add the area; on a fault the form again, with the sentence that says what is wrong."""
    given, shop, key = await _given(request), shop_of(request), request.path_params["job"]
    try:
        area = await run_in_threadpool(areas.add_area, shop, key, _who(request), given)
    except InputError as fault:
        job = await run_in_threadpool(shop.open, key)
        return _form(request, job, given.get("kind", ""), given, None, fault.sentence)
    await _told(request, key)
    return RedirectResponse(f"/jobs/{key}/areas#{area.key}", 303)


async def show(request: Request) -> Response:
    """One area: what it is, its patches, what the plan lays on it and why."""
    shop, key = shop_of(request), request.path_params["job"]
    job = await run_in_threadpool(shop.open, key)
    _, area = areas.find_area(job, request.path_params["area"])
    known = await run_in_threadpool(shop.planned, key)
    part = await along(planned, request) if known else ""
    return page(
        request, "areas/area.html", job=job, area=area, part=part, grounds=list(Ground),
        letter=letter, shape_picture=shape_picture, photos=_photos(job, area),
    )  # fmt: skip


async def planned(request: Request) -> Response:
    """What the plan says of an area; computed now if it has not been."""
    shop, key = shop_of(request), request.path_params["job"]
    plan = await run_in_threadpool(shop.plan, key)
    found = next(a for a in plan.areas if a.key == request.path_params["area"])
    stacks = [patch.section for patch in found.patches]
    recipes = [one for one in plan.recipes.values() if one.area == found.key]
    return page(
        request, "areas/_planned.html", job=None, key=key, found=found, plan=plan,
        currency=plan.currency, drawing=drawing, scale=drawing.section_scale(stacks),
        recipes=recipes,
    )  # fmt: skip


async def again(request: Request) -> Response:
    """Measure an area anew."""
    job = await run_in_threadpool(shop_of(request).open, request.path_params["job"])
    _, area = areas.find_area(job, request.path_params["area"])
    return _form(request, job, request.query_params.get("shape", area.shape.kind), {}, area)


async def change(request: Request) -> Response:
    """Keep an area as it was measured anew."""
    given, shop, key = await _given(request), shop_of(request), request.path_params["job"]
    name = request.path_params["area"]
    try:
        await run_in_threadpool(areas.change_area, shop, key, _who(request), name, given)
    except InputError as fault:
        job = await run_in_threadpool(shop.open, key)
        before = areas.find_area(job, name)[1]
        return _form(request, job, given.get("kind", ""), given, before, fault.sentence)
    await _told(request, key)
    return RedirectResponse(f"/jobs/{key}/areas/{name}", 303)


async def remove(request: Request) -> Response:
    """Take an area out."""
    shop, key = shop_of(request), request.path_params["job"]
    name = request.path_params["area"]
    await run_in_threadpool(areas.remove_area, shop, key, _who(request), name)
    await _told(request, key)
    return RedirectResponse(f"/jobs/{key}/areas", 303)


async def patch(request: Request) -> Response:
    """Say anew what a patch is, or tell a new one apart."""
    given, shop, key = await _given(request), shop_of(request), request.path_params["job"]
    spot = request.path_params["area"], given.get("patch", "")
    await run_in_threadpool(areas.change_patch, shop, key, _who(request), spot, given)
    await _told(request, key)
    return RedirectResponse(f"/jobs/{key}/areas/{spot[0]}", 303)


def _form(
    request: Request,
    job: Opened,
    kind: str,
    given: Mapping[str, str],
    before: Area | None,
    fault: str = "",
) -> Response:
    known = areas.shapes()
    units = UNITS[Reader.of(request).units]
    written = {**_written(before), **given} if before else given
    return page(
        request, "areas/measure.html", status=422 if fault else 200, job=job, kind=kind,
        shapes=known, measures=known.get(kind, ()), letter=letter, shape_picture=shape_picture,
        given=written, before=before, fault=fault, units=units, grounds=list(Ground), size=None,
    )  # fmt: skip


def _written(area: Area) -> dict[str, str]:
    """What a form shows of an area that is there already."""
    found = area.model_dump(mode="json")
    lengths = {name: str(text) for name, text in found["shape"].items() if name != "kind"}
    plain = {name: str(found[name]) for name in ("title", "count", "zone", "orientation", "finish")}
    return {**lengths, **plain, "both_sides": "yes" if area.both_sides else ""}


def _total(job: Opened) -> float:
    return sum(area.net() for area in job.bench.job.areas)


def _photos(job: Opened, area: Area) -> list[tuple[str, str]]:
    return [
        (sha256, photo.caption)
        for photo in job.state.photos
        if photo.place.area == area.key
        for sha256 in photo.place.evidence
    ]


async def _given(request: Request) -> dict[str, str]:
    """The form as plain texts; a length written without its unit gets that of the reader."""
    length, surface = UNITS[Reader.of(request).units]
    form = await request.form()
    given = {name: str(value).strip() for name, value in form.items()}
    for name, text in given.items():
        unit = length if name in _LENGTHS else surface if name == "holes" else ""
        if unit and _BARE.match(text):
            given[name] = f"{text} {unit}"
    return given


def _who(request: Request) -> str:
    return Reader.of(request).name


async def _told(request: Request, key: str) -> None:
    """Every other page learns that the job has changed."""
    state = await run_in_threadpool(shop_of(request).record.state, key)
    tell(request, key, state.number, kind="described")


routes = [
    Route("/jobs/{job}/areas", kept(walk)),
    Route("/jobs/{job}/areas", add, methods=["POST"]),
    Route("/jobs/{job}/areas/new", kept(new)),
    Route("/jobs/{job}/areas/size", measure, methods=["POST"]),
    Route("/jobs/{job}/areas/{area}", kept(show)),
    Route("/jobs/{job}/areas/{area}/planned", kept(planned, by=anybody)),
    Route("/jobs/{job}/areas/{area}/measure", kept(again)),
    Route("/jobs/{job}/areas/{area}/measure", change, methods=["POST"]),
    Route("/jobs/{job}/areas/{area}/remove", remove, methods=["POST"]),
    Route("/jobs/{job}/areas/{area}/patch", patch, methods=["POST"]),
]
