"""Not as planned: a pot is gone, somebody leaves, the shop closes early; then planned anew."""

from collections.abc import Callable
from datetime import datetime
from typing import NamedTuple

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response
from starlette.routing import Route

from coatwright.actions.live import following
from coatwright.actions.live.following import Hours, Live
from coatwright.actions.record import moment
from coatwright.actions.shop import Shop
from coatwright.errors import InputError, NotFound
from coatwright.faces.web.app import shop_of, tell
from coatwright.faces.web.view import Reader, page


class Pot(NamedTuple):
    """A pot that stands in the shop: its name, what is in it, when it was mixed, until when."""

    name: str
    title: str
    mixed: datetime
    until: datetime | None


async def show(request: Request) -> Response:
    """What stands in the shop and who is there, each with what may happen to it."""
    return await _page(request, "")


async def note(request: Request) -> Response:
    """Note what has happened, have the rest planned anew, and go back to the day."""
    shop, key = shop_of(request), request.path_params["job"]
    form = await request.form()
    given = {name: str(value) for name, value in form.items()}
    who = Reader.of(request).name
    try:
        live = await run_in_threadpool(_done, shop, key, who, given)
    except (InputError, NotFound) as fault:
        return await _page(request, fault.sentence)
    if live is not None:
        tell(request, key, live.opened.state.number, again=True)
    return RedirectResponse(f"/jobs/{key}/day", 303)


def _done(shop: Shop, key: str, who: str, given: dict[str, str]) -> Live | None:
    acts: dict[str, Callable[[], Live | None]] = {
        "gone": lambda: following.mix_is_gone(shop, key, who, given.get("mix", "")),
        "leave": lambda: following.leave(
            shop, key, who, given.get("person", ""),
            Hours(_moment(shop, given, "since"), _moment(shop, given, "until")),
        ),
        "back": lambda: following.come_back(shop, key, who, given.get("event", "")),
    }  # fmt: skip
    act = acts.get(given.get("act", ""), lambda: following.plan_anew(shop, key, who=who))
    return act()


def _moment(shop: Shop, given: dict[str, str], name: str) -> datetime | None:
    text = given.get(name, "").strip()
    return moment(text, shop.clock()) if text else None


async def _page(request: Request, fault: str) -> Response:
    shop, key = shop_of(request), request.path_params["job"]
    job = await run_in_threadpool(shop.open, key)
    live = await run_in_threadpool(following.look, shop, key)
    return page(
        request, "otherwise/page.html", status=422 if fault else 200, job=job, live=live,
        pots=_pots(live) if live else (), fault=fault,
    )  # fmt: skip


def _pots(live: Live) -> tuple[Pot, ...]:
    """What has been mixed and is alive, by the clocks, the newest first."""
    library = live.opened.bench.library
    found = [
        Pot(mix.name, library[mix.product].title if mix.product in library else mix.product,
            mix.place.at.astimezone(), mix.ends.astimezone() if mix.ends else None)
        for mix in live.opened.state.mixes.values()
        if mix.gone is None and (mix.ends is None or mix.ends > live.now)
    ]  # fmt: skip
    return tuple(sorted(found, key=lambda pot: pot.mixed, reverse=True))


routes = [
    Route("/jobs/{job}/day/otherwise", show),
    Route("/jobs/{job}/day/otherwise", note, methods=["POST"]),
]
