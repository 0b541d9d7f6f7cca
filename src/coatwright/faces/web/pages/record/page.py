"""The record: what lies on every patch, history with search and undo, what to take away."""

import csv
import io
from datetime import UTC, datetime

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response
from starlette.routing import Route

from coatwright.actions.checking.history import Line, history, undo
from coatwright.actions.checking.patches import lies
from coatwright.actions.dossier import dossier
from coatwright.actions.floor import handover, owner
from coatwright.actions.record import archive_of, moment
from coatwright.errors import InputError
from coatwright.faces import drawing
from coatwright.faces.format import Words
from coatwright.faces.papers.press import Paper
from coatwright.faces.papers.record import record_pdf
from coatwright.faces.papers.tables import cell
from coatwright.faces.web.answers import along, anybody, kept
from coatwright.faces.web.app import shop_of, tell
from coatwright.faces.web.view import Reader, page
from coatwright.figures import Figure


async def show(request: Request) -> Response:
    """The record, now or at a moment gone by."""
    shop, key = shop_of(request), request.path_params["job"]
    until, fault = _until(request)
    job = await run_in_threadpool(shop.open, key)
    token = await run_in_threadpool(owner.link, shop, key)
    lying = await along(now, request, clock="moment")
    lines = await along(happened, request, clock="moment")
    handed = await along(handing_over, request, clock="moment")
    photos = [(sha256, photo) for photo in job.state.photos for sha256 in photo.place.evidence]
    return page(
        request, "record/page.html", job=job, token=token, fault=fault, photos=photos[::-1],
        lying=lying, lines=lines, handed=handed,
        until=until.isoformat() if until else "", at=request.query_params.get("at", ""),
    )  # fmt: skip


async def now(request: Request) -> Response:
    """What lies on every patch."""
    shop, key = shop_of(request), request.path_params["job"]
    until, _ = _until(request)
    found = await run_in_threadpool(lies, shop, key, None, until)
    stacks = [one.told.found for one in found.patches if one.told.found]
    return page(
        request, "record/_now.html", job=None, found=found, drawing=drawing, past=until is not None,
        scale=drawing.section_scale(stacks, 150.0),
    )  # fmt: skip


async def handing_over(request: Request) -> Response:
    """What is taken over, or was; and how."""
    shop, key = shop_of(request), request.path_params["job"]
    until, _ = _until(request)
    found = await run_in_threadpool(handover.handing_of, shop, key, until)
    token = await run_in_threadpool(owner.link, shop, key)
    return page(
        request, "record/_handover.html", job=None, handing=found, token=token,
        past=until is not None, here=str(handover.SHOP),
    )  # fmt: skip


async def happened(request: Request) -> Response:
    """The history, those lines that hold what is searched for."""
    shop, key = shop_of(request), request.path_params["job"]
    until, _ = _until(request)
    asked = request.query_params
    search, skip = asked.get("search", ""), int(asked.get("skip") or 0)
    found = await run_in_threadpool(history, shop, key, search, until, skip)
    return page(
        request, "record/_history.html", job=None, key=key, found=found, search=search, skip=skip,
        until=until.isoformat() if until else "", Figure=Figure,
    )  # fmt: skip


async def take_back(request: Request) -> Response:
    """Take an event back, with a reason."""
    shop, key = shop_of(request), request.path_params["job"]
    form = await request.form()
    who = Reader.of(request).name
    event = await run_in_threadpool(
        undo, shop, key, who, request.path_params["event"], str(form.get("why", ""))
    )
    tell(request, key, event.number, kind=event.body.kind)
    return RedirectResponse(f"/jobs/{key}/record#history", 303)


async def take_away(request: Request) -> Response:
    """The whole record as an archive, as a table, as JSON, or as the paper for the owner."""
    shop, key = shop_of(request), request.path_params["job"]
    kind = request.path_params["kind"]
    if kind == "zip":
        return _file(key, kind, await run_in_threadpool(archive_of, shop.record, key))
    if kind == "json":
        events = await run_in_threadpool(shop.record.events, key)
        text = "[" + ",\n".join(event.model_dump_json() for event in events) + "]"
        return _file(key, kind, text.encode())
    if kind == "csv":
        return _file(key, kind, (await run_in_threadpool(_table, request, key)).encode())
    asked: Paper = "us-letter" if request.query_params.get("paper") == "us-letter" else "a4"
    zone = datetime.now().astimezone().tzinfo or UTC
    told = await run_in_threadpool(dossier, shop, key, zone)
    words = Reader.of(request).words(told.currency)
    address = str(request.url_for("record", job=key))
    made = await run_in_threadpool(
        record_pdf, told, words, asked, address, shop.record.attachment
    )  # fmt: skip
    return _file(key, "pdf", made)


def _table(request: Request, key: str) -> str:
    words = Words(Reader.of(request).units, shop_of(request).open(key).bench.job.workshop.currency)
    found = history(shop_of(request), key, most=None)
    heads = ("number", "moment", "who", "what", "where", "said", "taken back")
    written = io.StringIO()
    table = csv.writer(written)
    table.writerow(heads)
    table.writerows(_row(line, words) for line in found.lines)
    return written.getvalue()


def _row(line: Line, words: Words) -> tuple[str, ...]:
    said = "; ".join(
        f"{one.name}: "
        + ", ".join(words.brief(x) if isinstance(x, Figure) else x for x in one.said)
        for one in line.details
    )
    at = line.at.astimezone().isoformat(timespec="seconds")
    told = (line.who, line.kind, line.place, said, line.struck)
    return str(line.number), at, *map(cell, told)


def _file(key: str, kind: str, data: bytes) -> Response:
    kinds = {"zip": "application/zip", "json": "application/json", "csv": "text/csv"}
    name = f'attachment; filename="record-{key}.{kind}"'
    return Response(
        data, media_type=kinds.get(kind, "application/pdf"), headers={"Content-Disposition": name}
    )


def _until(request: Request) -> tuple[datetime | None, str]:
    """The moment asked for, or why it is none."""
    text = request.query_params.get("at", "").strip()
    if not text:
        return None, ""
    try:
        return moment(text, shop_of(request).clock()), ""
    except InputError as fault:
        return None, fault.sentence


routes = [
    Route("/jobs/{job}/record", kept(show, clock="moment"), name="record"),
    Route("/jobs/{job}/record/now", kept(now, clock="moment", by=anybody)),
    Route("/jobs/{job}/record/handover", kept(handing_over, clock="moment", by=anybody)),
    Route("/jobs/{job}/record/history", kept(happened, clock="moment", by=anybody)),
    Route("/jobs/{job}/record/undo/{event}", take_back, methods=["POST"]),
    Route("/jobs/{job}/record/all.{kind:str}", take_away),
]
