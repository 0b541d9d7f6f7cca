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
    """The event with what the plan says of it, and for a coat the mix that was made for it last.

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
    if not body.mix and (mix := _mix(opened, event, body.product)):
        more["mix"] = mix.name
    return event.model_copy(update={"body": body.model_copy(update=more)}) if more else event


def _planned(shop: Shop, opened: Opened, event: Event, body: CoatBegun) -> dict[str, Any]:
    try:
        plan = shop.plan(event.job)
        told = planned_coat(opened.bench, plan, event.area, body.product, event.patch)
    except CoatwrightError:
        return {}
    return {"planned": told}


def _mix(opened: Opened, event: Event, product: str) -> Mix | None:
    """The mix of a product made last before it was begun and not past its pot life."""
    made = [
        mix
        for mix in opened.state.mixes.values()
        if mix.product == product
        and mix.place.at <= event.at
        and (mix.ends is None or mix.ends > event.at)
    ]
    return max(made, key=lambda mix: mix.place.at, default=None)
