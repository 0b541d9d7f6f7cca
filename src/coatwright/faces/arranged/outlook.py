"""What air and weather put on the page: selection and order only, no arithmetic."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from coatwright.errors import NotFound
from coatwright.faces.drawing.weather import Spell, spells
from coatwright.planning.conditions.air_plan import AirHold
from coatwright.planning.conditions.window_plan import Go, Hour, Vapour, Window
from coatwright.planning.plan import Caution, Outlook, Plan
from coatwright.sentences import Said, joined, say

AT_FIRST = 12
"""So many windows stand open on the page; the rest fold away."""


@dataclass(frozen=True, slots=True)
class ProductDay:
    """What the hours say of one product: spells with one verdict, the choice of speeds, vapour.

    vapour is that of the worst hour; go that of the first.
    """

    go: Go
    spells: tuple[Spell, ...]
    vapour: Vapour
    speeds: tuple[str, ...]
    address: str


@dataclass(frozen=True, slots=True)
class OutlookView:
    """The outlook arranged for reading."""

    outlook: Outlook
    holds: Mapping[tuple[str, str], AirHold]
    falling: tuple[AirHold, ...]
    cautions: tuple[Caution, ...]
    first: tuple[Window, ...]
    rest: tuple[Window, ...]
    products: tuple[ProductDay, ...]
    vapour_cautions: tuple[str, ...]

    @staticmethod
    def of(plan: Plan) -> "OutlookView | None":
        """The view of a plan's outlook, if it has one."""
        outlook = plan.outlook
        if outlook is None:
            return None
        windows = outlook.windows.windows
        products = tuple(product_days(outlook.hours))
        return OutlookView(
            outlook=outlook,
            holds={(hold.area, hold.product): hold for hold in outlook.air},
            falling=tuple(hold for hold in outlook.air if not hold.steady),
            cautions=air_cautions(plan),
            first=windows[:AT_FIRST],
            rest=windows[AT_FIRST:],
            products=products,
            vapour_cautions=vapour_cautions(products),
        )


def outlook_of(plan: Plan) -> Outlook:
    """The outlook of a plan; NotFound if it has none."""
    if plan.outlook is None:
        raise NotFound("this plan says nothing of air and weather")
    return plan.outlook


def air_cautions(plan: Plan) -> tuple[Caution, ...]:
    """Every caution on compressed air once: the job's, then those of the air card."""
    card = plan.outlook.air_card if plan.outlook else None
    found = [one for one in plan.cautions if one.where == "air"]
    found += card.cautions if card else ()
    return tuple({one.text: one for one in found}.values())


def product_days(hours: Sequence[Hour]) -> Iterator[ProductDay]:
    """Each product of the hours with its spells."""
    for go in hours[0].products if hours else ():
        every = [(hour, one) for hour in hours for one in hour.products if one.key == go.key]
        hour, worst = max(every, key=lambda item: item[1].vapour.peak.value)
        yield ProductDay(
            go,
            tuple(spells(hours, go.key)),
            worst.vapour,
            tuple(dict.fromkeys(text for _, one in every if (text := speeds(one)))),
            f"outlook.hours.{hour.key}.products.{go.key}.vapour",
        )


def speeds(go: Go) -> str:
    """Which hardener and thinner suit the hour, in words; "" for a product with neither."""
    told: list[str] = []
    if go.hardener:
        told.append(say("{speed} hardener", speed=Said(go.hardener)))
    if go.thinner:
        told.append(say("{speed} thinner", speed=Said(go.thinner)))
    return joined(", ", told)


def vapour_cautions(products: Sequence[ProductDay]) -> tuple[str, ...]:
    """What every computed vapour figure must be read with, each sentence once."""
    return tuple(dict.fromkeys(text for one in products for text in one.vapour.cautions))


def may_now(hours: Sequence[Hour]) -> bool:
    """Whether any product may be sprayed at any hour, with or without an if."""
    return any(go.verdict != "no go" for hour in hours for go in hour.products)


def hold_titles(plan: Plan) -> dict[str, str]:
    """What each air hold is of, in words: area and product."""
    areas = {area.key: area.title for area in plan.areas}
    layers = (layer for area in plan.areas for patch in area.patches for layer in patch.layers)
    products = {layer.product: layer.title for layer in layers}
    return {
        hold.key: joined(
            ", ",
            (areas.get(hold.area, hold.area), products.get(hold.product, hold.product)),
        )
        for hold in (plan.outlook.air if plan.outlook else ())
    }


def spot_titles(plan: Plan) -> dict[tuple[str, str], str]:
    """What each area and patch is called: the area alone where it has but one patch."""
    return {
        (area.key, patch.key): area.title
        if len(area.patches) == 1
        else f"{area.title}, {patch.key.replace('-', ' ')}"
        for area in plan.areas
        for patch in area.patches
    }
