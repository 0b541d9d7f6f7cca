"""What hangs on the wall: a card for each gun, the air card, the sheet of each day."""

from collections.abc import Callable, Iterator, Sequence
from typing import Any, NamedTuple

from coatwright.faces.arranged.contents import Page, capital, recipes_of, sentence
from coatwright.faces.arranged.outlook import air_cautions
from coatwright.faces.drawing.day import day_name, day_people_svg, describe_plan_day, hour
from coatwright.faces.papers.plan.front import cautions, cautions_at
from coatwright.faces.papers.setting import Cell, Told
from coatwright.planning.conditions.air_plan import AirGun
from coatwright.planning.day.plan import Day, DayPlan
from coatwright.planning.plan import Plan, StrokeRecipe
from coatwright.sentences import Said, joined, listed, say


class _Set(NamedTuple):
    """One thing that is set or done: what it is called, and how it is told."""

    title: str
    told: Callable[[StrokeRecipe, Told], Cell | str]


def _sets(told: Told) -> tuple[_Set, ...]:
    run = told.words.value(1.0, "run")
    return (
        _Set(say("at the gun, pulled"), lambda r, t: t.brief(r.pressure)),
        _Set(say("fan, of its opening"), lambda r, t: t.brief(r.fan)),
        _Set(say("fluid"), lambda r, t: t.brief(r.fluid)),
        _Set(say("gun to work"), lambda r, t: t.brief(r.distance)),
        _Set(say("pace, for {run}", run=run), lambda r, t: t.brief(r.pace)),
        _Set(say("stroke to stroke"), lambda r, t: t.brief(r.pitch)),
        _Set(say("overlap"), lambda r, t: t.brief(r.overlap)),
        _Set(say("strokes a coat"), lambda r, t: t.brief(r.strokes)),
        _Set(say("coats"), lambda r, t: t.brief(r.coats)),
    )


def guns(plan: Plan, told: Told) -> dict[str, Any]:
    """A card for each gun: under each product what is the same everywhere, then area by area."""
    ordered = [recipe for area in plan.areas for recipe in recipes_of(plan, area)]
    titles = {recipe.gun: recipe.gun_title for recipe in ordered}
    air = plan.outlook.air_card.guns if plan.outlook and plan.outlook.air_card else ()
    return {
        "cautions": cautions_at(plan, "spraying", "air"),
        "guns": [
            {
                "title": capital(title),
                "air": [row for gun in air if gun.key == key for row in _air_row(gun, told)],
                "products": _products([r for r in ordered if r.gun == key], plan, told),
            }
            for key, title in titles.items()
        ],
    }


def _air_row(gun: AirGun, told: Told) -> list[tuple[str, Any]]:
    return [
        (say("Wall gauge, trigger pulled"), told.brief(gun.wall)),
        (say("Let go, it shows"), told.brief(gun.wall_released)),
        (say("Never below, at the gun"), told.brief(gun.needed)),
    ]


def _products(recipes: Sequence[StrokeRecipe], plan: Plan, told: Told) -> list[dict[str, Any]]:
    page = Page.of(plan)
    return [
        {
            "title": capital(page.products.get(product, product)),
            **_card([one for one in recipes if one.product == product], page, told),
        }
        for product in dict.fromkeys(one.product for one in recipes)
    ]


def _card(recipes: Sequence[StrokeRecipe], page: Page, told: Told) -> dict[str, Any]:
    """What is the same for every area once, in the largest type; the rest area by area."""
    sets = _sets(told)
    cells = {one.title: [one.told(recipe, told) for recipe in recipes] for one in sets}
    same = [title for title, found in cells.items() if all(cell == found[0] for cell in found)]
    apart = [title for title in cells if title not in same]
    nozzles = [told.brief(recipe.nozzle) for recipe in recipes]
    return {
        "same": [(say("nozzle"), nozzles[0]), *((title, cells[title][0]) for title in same)],
        "heads": apart,
        "areas": [
            {
                "title": page.area_titles.get(recipe.area, recipe.area),
                "how": _how(recipe, told),
                "cells": [cells[title][index] for title in apart],
                "advice": [sentence(line) for line in recipe.advice],
                "outside": "" if recipe.within_bounds else sentence(recipe.shortfall),
            }
            for index, recipe in enumerate(recipes)
        ],
    }


def _how(recipe: StrokeRecipe, told: Told) -> str:
    words = told.words
    return say(
        "Strokes {direction}, {spray_in}, {overrun} past each end. Wet coat {wet}, all coats dry "
        "{dry}.",
        direction=Said(recipe.direction),
        spray_in=recipe.spray_in,
        overrun=words.brief(recipe.overrun),
        wet=words.brief(recipe.wet_coat),
        dry=words.text(recipe.dry_total),
    )


def air(plan: Plan, told: Told) -> dict[str, Any]:
    """What to set at the wall, how long it holds, when to drain."""
    card = plan.outlook.air_card if plan.outlook else None
    if card is None:
        return {"summary": say("This plan says nothing of the air."), "guns": [], "cautions": [],
                "advice": [], "falling": [], "water": [], "lines": []}  # fmt: skip
    holds = plan.outlook.air if plan.outlook else ()
    titles = Page.of(plan)
    return {
        "cautions": cautions(air_cautions(plan)),
        "summary": sentence(card.summary),
        "guns": [
            (capital(gun.title), told.brief(gun.wall), told.brief(gun.wall_released),
             told.brief(gun.wanted), told.brief(gun.needed))
            for gun in card.guns
        ],
        "lines": [
            (capital(gun.title), told.brief(gun.air_used), told.hold(gun.holds),
             told.hold(gun.strokes), told.hold(gun.rest), told.hold(gun.with_mask))
            for gun in card.guns
        ],
        "advice": [
            joined(": ", (capital(gun.title), sentence(gun.best))) for gun in card.guns if gun.best
        ],
        "falling": [
            say(
                "{area}, {product}: {summary}",
                area=titles.area_titles.get(hold.area, hold.area),
                product=titles.products.get(hold.product, hold.product),
                summary=sentence(hold.summary),
            )
            for hold in holds
            if not hold.steady
        ],
        "water": [*card.water.advice],
        "drain": told.brief(card.water.drain_trap),
    }  # fmt: skip


def days(plan: Plan, told: Told) -> dict[str, Any]:
    """A sheet for each day: who does what, in order, with a box to tick; the mixes of the day."""
    day_plan = plan.day
    if day_plan is None:
        return {"text": say("The days of work were not arranged for this plan."), "days": []}
    if day_plan.clash is not None:
        lines = [day_plan.clash.text, *day_plan.clash.cannot, day_plan.clash.way_out]
        return {"text": joined(" ", map(sentence, lines)), "days": []}
    return {
        "text": sentence(day_plan.proof),
        "cautions": cautions(day_plan.cautions),
        "days": [_day(day_plan, day, told) for day in day_plan.days],
    }


def _day(day_plan: DayPlan, day: Day, told: Told) -> dict[str, Any]:
    drawn = day_people_svg(f"day-{day.number}", day_plan, day, told.words) if day.begins else ""
    return {
        "title": day_name(day_plan, day),
        "summary": sentence(day.summary),
        "svg": drawn,
        "alt": describe_plan_day(day_plan, day, told.words) or day.summary,
        "cautions": cautions(day.cautions),
        "rows": list(_rows(day_plan, day)),
    }


def _rows(day_plan: DayPlan, day: Day) -> Iterator[dict[str, Any]]:
    """The day in order. Beside each work what the day's box does not say already, told once."""
    titles = {person.key: person.title for person in day_plan.people}
    boxed = [caution.text for caution in day.cautions]
    before: list[str] = []
    mine = (one for one in day_plan.entries if one.day == day.number and one.kind != "wait")
    for one in sorted(mine, key=lambda entry: (entry.start.value, entry.end.value)):
        own = [text for text in one.cautions if not any(full.startswith(text) for full in boxed)]
        yield {
            "from": hour(one.start.value),
            "to": hour(one.end.value),
            "who": listed(titles.get(key, key) for key in one.people),
            "place": one.area_title,
            "what": capital(one.text),
            "cautions": [] if own == before else own,
        }
        before = own
