"""The live day: one thing to do now, what is next, the clocks that run; kept the same on all."""

import asyncio
from collections.abc import Callable, Hashable, Mapping
from datetime import datetime
from functools import partial
from importlib.resources import files
from typing import Any, Final, NamedTuple

from markupsafe import Markup
from starlette.concurrency import run_in_threadpool
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import HTMLResponse, RedirectResponse, Response
from starlette.routing import Route

from coatwright.actions.floor.faults import not_in_the_days
from coatwright.actions.live import following
from coatwright.actions.live.following import Live
from coatwright.actions.live.tapping import Taps, Wait, taps_of, waits_of
from coatwright.actions.live.turns import Turn
from coatwright.actions.shop import Kept, Shop
from coatwright.faces.web.answers import anybody, kept, turn
from coatwright.faces.web.app import shop_of, tell
from coatwright.faces.web.view import NO_STORE, Reader, page, rendered
from coatwright.planning.plan import StrokeRecipe

LANE: Final = "cw_lane"
"""Cookie: whose work this phone shows."""
MOST: Final = 40
"""Pieces of work sent ahead for when the network is down."""
CARDS: Final = 2000
"""Cards held ready to be shown, over all jobs."""
YEAR: Final = 365 * 24 * 3600

Draw = Callable[[], str]


class Card(NamedTuple):
    """One piece of work as it is shown."""

    turn: Turn
    taps: Taps
    cautions: tuple[str, ...]
    waits: tuple[Wait, ...]
    recipe: StrokeRecipe | None
    bench: str
    first: tuple[Turn, ...]
    opens: datetime | None


class Other(NamedTuple):
    """Somebody else: what they are at, and what comes then."""

    title: str
    now: Turn | None
    then: Turn | None


async def show(request: Request) -> Response:
    """The day of a job; the part that changes comes along if it is known."""
    shop, key = shop_of(request), request.path_params["job"]
    job = await run_in_threadpool(shop.open, key)
    part = await _part(request, shop, key)
    response = page(request, "day/page.html", job=job, part=part)
    if lane := request.query_params.get("lane"):
        response.set_cookie(LANE, lane, max_age=YEAR, samesite="lax")
    return response


async def now(request: Request) -> Response:
    """The part that changes."""
    shop, key = shop_of(request), request.path_params["job"]
    return HTMLResponse(await _part(request, shop, key), headers=NO_STORE)


async def arrange(request: Request) -> Response:
    """Have the days arranged, and then show them."""
    shop, key = shop_of(request), request.path_params["job"]
    await run_in_threadpool(following.arrange, shop, key)
    return await now(request)


async def anew(request: Request) -> Response:
    """Plan the rest of the day anew, and tell everybody."""
    shop, key = shop_of(request), request.path_params["job"]
    await _plan_anew(request, shop, key, Reader.of(request).name)
    return RedirectResponse(f"/jobs/{key}/day", 303)


async def worker(request: Request) -> Response:
    """The service worker, where browsers take one: by https, or on this machine."""
    safe = request.url.scheme == "https" or request.url.hostname in ("localhost", "127.0.0.1")
    if not safe:
        raise HTTPException(404)
    script = files("coatwright.faces.web").joinpath("static", "sw.js").read_text("utf-8")
    script = script.replace("MARK", request.app.state.mark)
    headers = {"Cache-Control": "no-cache"}
    return Response(script, media_type="text/javascript", headers=headers)


async def _part(request: Request, shop: Shop, key: str) -> Markup:
    """The part that changes, as it is set for all who follow the same work at the same moment."""
    live, text = await run_in_threadpool(_set, request, shop, key)
    if live and following.is_late(live) and not shop.replanning.locked():
        # Held on to, lest it be collected before it is done.
        request.app.state.planning = asyncio.create_task(_plan_anew(request, shop, key))
    return text


def _set(request: Request, shop: Shop, key: str) -> tuple[Live | None, Markup]:
    parts: Kept[Any] = request.app.state.parts
    when = key, turn(shop, key, clock="moment")
    live: Live | None = parts.get(when, lambda: (following.look(shop, key),))[0]
    lane = _lane(request, live.people) if live else ""
    reader = Reader.of(request)

    def text() -> str:
        told = _told(live, lane) if live else {"live": None}
        held = partial(_held, request.app.state.cards, (key, reader.language, reader.units))
        return rendered(request, "day/_now.html", job=None, key=key, held=held, **told)

    return live, Markup(parts.get((*when, lane, reader.language, reader.units), text))


def _held(
    cards: dict[Hashable, tuple[Card, str]], to: Hashable, card: Card, shown: bool, caller: Draw
) -> str:
    """A card as it was set last, unless anything of it has changed."""
    name = to, card.turn.entry.key, shown
    found = cards.get(name)
    if found is None or found[0] != card:
        if len(cards) > CARDS:
            cards.clear()
        found = cards[name] = card, caller()
    return found[1]


def _by_lane(request: Request) -> Hashable:
    """Everybody who follows the same work sees the same."""
    shop, key = shop_of(request), request.path_params["job"]
    parts: Kept[Any] = request.app.state.parts

    def people() -> tuple[Mapping[str, str]]:
        arranged = shop.arrangement(key)
        return ({one.key: one.title for one in arranged.days.people} if arranged else {},)

    known = parts.get(("people", key, turn(shop, key)), people)
    return anybody(request), _lane(request, known[0])


async def _plan_anew(request: Request, shop: Shop, key: str, who: str = following.ITSELF) -> None:
    live = await run_in_threadpool(partial(following.plan_anew, shop, key, who=who))
    if live is not None:
        tell(request, key, live.opened.state.number, again=True)


def _lane(request: Request, people: Mapping[str, str]) -> str:
    """Whose work is shown: as chosen, or by the name of who holds the phone."""
    for wanted in (request.query_params.get("lane"), request.cookies.get(LANE)):
        if wanted and wanted in people:
            return wanted
    who = Reader.of(request).who.casefold()
    named = (key for key, title in people.items() if who in (key.casefold(), title.casefold()))
    return next(named, next(iter(people), ""))


def _told(live: Live, lane: str) -> dict[str, Any]:
    due = live.due(lane)
    today = [turn for turn in due if turn.entry.day <= live.today or turn.begun]
    cards = [_card(live, turn, lane) for turn in (today or due)[:MOST]]
    last = live.just_done(lane)
    others = [_other(live, key) for key in live.people if key != lane]
    found = not_in_the_days(live.opened, live.plan)
    return {
        "live": live, "unplanned": found, "lane": lane, "cards": cards, "for_today": bool(today),
        "last": _card(live, last, lane) if last else None, "others": others,
    }  # fmt: skip


def _card(live: Live, turn: Turn, person: str) -> Card:
    entry = turn.entry
    recipe = next(
        (one for one in live.plan.recipes.values()
         if entry.kind == "spray" and (one.area, one.product) == (entry.area, entry.product)),
        None,
    )  # fmt: skip
    bench = entry.mix if entry.act == "mix" else ""
    taps = taps_of(live, turn, person)
    return Card(
        turn, taps, live.cautions(turn), waits_of(live, turn), recipe, bench,
        live.before(turn), live.waits_until(turn),
    )  # fmt: skip


def _other(live: Live, person: str) -> Other:
    due = live.due(person)
    return Other(live.people[person], *(*due[:2], None, None)[:2])


routes = [
    Route("/jobs/{job}/day", kept(show, clock="moment")),
    Route("/jobs/{job}/day/now", kept(now, clock="moment", by=_by_lane)),
    Route("/jobs/{job}/day/arranged", arrange),
    Route("/jobs/{job}/day/anew", anew, methods=["POST"]),
    Route("/sw.js", worker),
]
