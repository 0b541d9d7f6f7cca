"""The shelf of the shop: tins that came, what was counted, what is past its date."""

from collections.abc import Mapping
from datetime import date
from typing import Final

from pydantic import ValidationError

from coatwright import units
from coatwright.actions.money import on_shelf
from coatwright.actions.shop import Shop
from coatwright.actions.workshop import open_shop
from coatwright.errors import InputError
from coatwright.record.events import Bought, Counted, Event, said
from coatwright.record.shelf import OnShelf
from coatwright.sentences import say

SHOP: Final = "shop"
"""The job that tins are bought for when they are bought for no job."""


def components() -> dict[str, str]:
    """Every tin that a product sheet names: "product component" and what it is called."""
    library, _ = open_shop()
    return {
        f"{material.key} {component.key}": say(
            "{component} ({material})", component=component.title, material=material.title
        )
        for material in library.values()
        for component in material.components
    }


def bought(shop: Shop, who: str, given: Mapping[str, str]) -> Event:
    """Put tins on the shelf. Raises InputError with one sentence."""
    product, component = _tin(given)
    density = _density(product, component)
    try:
        body = Bought(
            product=product, component=component, volume=_volume(given),
            packs=int(given.get("packs") or 1), price=float(given.get("price") or 0),
            lot=given.get("lot", "").strip(), expiry=_date(given.get("expiry", "")),
            density=density,
        )  # fmt: skip
    except (ValueError, ValidationError) as wrong:
        raise _told(wrong) from None
    return shop.write(said(SHOP, who, shop.clock(), body))


def counted(shop: Shop, who: str, given: Mapping[str, str]) -> Event:
    """Say what is really left of one batch number; nothing: it was thrown away."""
    product, component = _tin(given)
    lot = given.get("lot", "").strip()
    volume = _volume(given) if given.get("volume", "").strip() not in ("", "0") else 0.0
    body = Counted(product=product, component=component, lot=lot, volume=volume)
    return shop.write(said(SHOP, who, shop.clock(), body))


def shelf_today(shop: Shop, today: date) -> list[tuple[OnShelf, bool]]:
    """Every tin with something in it, and whether it is past its date."""
    return [(row, row.expired(today)) for row in on_shelf(shop) if row.left > 0 or row.doubt]


def _tin(given: Mapping[str, str]) -> tuple[str, str]:
    product, _, component = given.get("tin", "").partition(" ")
    if f"{product} {component}" not in components():
        raise InputError(say("there is no such tin on any product sheet"), field="tin")
    return product, component


def _density(product: str, component: str) -> float:
    library, _ = open_shop()
    return next(c.density for c in library[product].components if c.key == component)


def _volume(given: Mapping[str, str]) -> float:
    text = given.get("volume", "").strip()
    bare = text.replace(",", ".").replace(".", "", 1).isdigit()
    return units.parse(
        f"{text.replace(',', '.')} {given.get('unit', 'L')}" if bare else text, "volume"
    )


def _date(text: str) -> str:
    if not text.strip():
        return ""
    try:
        return date.fromisoformat(text.strip()).isoformat()
    except ValueError:
        raise InputError(
            say("'{text}' is no date", text=text),
            field="expiry",
            instead=say("write it as 2027-03-31"),
        ) from None


def _told(wrong: Exception) -> InputError:
    if isinstance(wrong, InputError):
        return wrong
    if isinstance(wrong, ValidationError):
        first = wrong.errors()[0]
        return InputError(str(first["msg"]), field=str(first["loc"][-1]))
    return InputError(say("a number cannot be read"), instead=say("write plain numbers"))
