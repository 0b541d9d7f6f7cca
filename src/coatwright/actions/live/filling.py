"""What a phone cannot know of a coat it says was begun: the plan's figures, and the mix."""

from typing import Any

from coatwright.actions.planned import planned_coat
from coatwright.actions.shop import Opened, Shop
from coatwright.errors import CoatwrightError, NotFound
from coatwright.record.events import CoatBegun, Event
from coatwright.record.state import Mix


def filled(shop: Shop, event: Event) -> Event:
    """The event with what the plan says of the coat, and the mix that was made for it last.

    What the tap says itself is left as it is; a coat that no plan has is kept without: what
    happened is never refused.
    """
    body = event.body
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
