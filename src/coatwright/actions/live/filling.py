"""What a phone cannot know of what it says: the plan's figures, and the mix of a coat."""

from typing import Any

from coatwright.actions.measuring.foreseen import foreseen
from coatwright.actions.planned import planned_coat
from coatwright.actions.shop import Opened, Shop
from coatwright.errors import CoatwrightError, NotFound
from coatwright.record.events import (
    BoardRead,
    BoardWeighed,
    CoatBegun,
    Event,
    FluidCaught,
    StrokesTimed,
)
from coatwright.record.state import Mix


def filled(shop: Shop, event: Event) -> Event:
    """The event with what the plan says of it, and for a coat the mix it takes its paint from.

    What the tap says itself is left as it is; what no plan has is kept without: what happened is
    never refused.
    """
    body = event.body
    if isinstance(body, FluidCaught | StrokesTimed | BoardRead | BoardWeighed):
        more = foreseen(shop, event.job, event.area, body)
        return event.model_copy(update={"body": body.model_copy(update=more)})
    if not isinstance(body, CoatBegun):
        return event
    try:
        opened = shop.open(event.job)
    except NotFound:
        return event
    more = {} if body.planned else _planned(shop, opened, event, body)
    if not body.mix and (mix := _mix(shop, opened, event, body)):
        more["mix"] = mix.name
    return event.model_copy(update={"body": body.model_copy(update=more)}) if more else event


def _planned(shop: Shop, opened: Opened, event: Event, body: CoatBegun) -> dict[str, Any]:
    try:
        plan = shop.plan(event.job)
        told = planned_coat(opened.bench, plan, event.area, body.product, event.patch)
    except CoatwrightError:
        return {}
    return {"planned": told}


def _mix(shop: Shop, opened: Opened, event: Event, body: CoatBegun) -> Mix | None:
    """The mix that the days have for this coat; else the one of its product made last.

    Made before it was begun, and not past its pot life.
    """
    of_product = sorted(
        (mix for mix in opened.state.mixes.values() if mix.product == body.product),
        key=lambda mix: mix.place.at,
    )
    place = _place(shop, event, body)
    planned = of_product[place : place + 1] if place is not None else []
    for mix in (*planned, *reversed(of_product)):
        if mix.place.at <= event.at and (mix.ends is None or mix.ends > event.at):
            return mix
    return None


def _place(shop: Shop, event: Event, body: CoatBegun) -> int | None:
    """Which mix of its product, counted from 0, the days have for a coat; None if they do not say.

    The first one that is noted is the first one of the days, the second the second.
    """
    arranged = shop.arrangement(event.job)
    if arranged is None:
        return None
    coat = event.area, body.product, body.coat
    key = next(
        (one.mix for one in arranged.days.entries
         if one.coat and (one.area, one.product, one.coat) == coat),
        "",
    )  # fmt: skip
    mixes = [one for one in arranged.days.mixes if one.product == body.product]
    mixes.sort(key=lambda one: one.start.value)
    return next((number for number, one in enumerate(mixes) if one.key == key), None)
