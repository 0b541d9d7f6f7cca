"""The cover of the job pack and the areas with their sections."""

from collections.abc import Iterable
from typing import Any

from coatwright.faces.arranged.contents import (
    AreaView,
    Page,
    PatchView,
    by_hazard,
    capital,
    sentence,
    system_title,
)
from coatwright.faces.drawing.section import describe, section_svg
from coatwright.faces.papers.setting import Told
from coatwright.planning.plan import Caution, LayerPlan, Plan
from coatwright.sentences import Said, joined, say

INVENTED = say(
    "Invented. Nobody's job: vehicle, shop, people, prices and product values are made up to show "
    "what a plan looks like. Work only from your own measurements and the data sheets of your own "
    "tins."
)
SHEETS = say(
    "Read the data sheet and the safety sheet of every tin you will really use. Where they differ "
    "from this paper, they are right."
)
_WHERES = {
    "stripping": say("Before you strip or test old paint"),
    "rubbing": say("Before you rub down"),
    "mixing": say("Before you open a tin"),
    "spraying": say("Before you spray"),
    "air": say("Before you open the air"),
    "storing": say("Before you store it or throw it away"),
}


def cover(plan: Plan, told: Told) -> dict[str, Any]:
    """Job, what to do first, every caution, what the plan rests on."""
    page = Page.of(plan)
    return {
        "facts": [
            (say("To paint"), told(plan.surface)),
            (say("Areas"), str(len(plan.areas))),
            (say("Colour"), plan.colour or say("not named")),
            (say("In the hand of"), plan.painter),
            (say("Cost with tax"), told(plan.cost.total)),
        ],
        "first": [{"place": "", "text": SHEETS}]
        + [{"place": todo.place, "text": todo.text} for todo in page.first],
        "cautions": [
            {"title": title, "rows": cautions(page.cautions[where])}
            for where, title in _WHERES.items()
            if page.cautions[where]
        ],
        "notes": [sentence(note) for note in plan.notes],
    }


def cautions(found: Iterable[Caution]) -> list[dict[str, str]]:
    """Hazards with their texts, each text once."""
    once = {one.text: one for one in found}.values()
    return [
        {"hazard": capital(hazard), "text": joined(" ", texts)} for hazard, texts in by_hazard(once)
    ]


def cautions_at(plan: Plan, *wheres: str) -> list[dict[str, str]]:
    """The cautions of those kinds of work."""
    return cautions(one for where in wheres for one in plan.cautions if one.where == where)


def areas(plan: Plan, told: Told) -> dict[str, Any]:
    """Each area and patch: section, system and why, steps, layers, rubbing, what the rules say."""
    page = Page.of(plan)
    return {
        "cautions": cautions_at(plan, "stripping", "rubbing"),
        "areas": [_area(view, page, told) for view in page.areas],
    }


def _area(view: AreaView, page: Page, told: Told) -> dict[str, Any]:
    area, text = view.area, told.words.text
    facts = say(
        "{surface} to paint. Measured as {shape}: the gun runs {run} over a breadth of {breadth}. "
        "{orientation!c}, {access}.",
        surface=text(area.surface),
        shape=Said(area.shape),
        run=text(area.run),
        breadth=text(area.breadth),
        orientation=Said(area.orientation),
        access=Said(area.access),
    )
    return {
        "title": area.title,
        "facts": joined(" ", (facts, sentence(area.note))) if area.note else facts,
        "patches": [_patch(item, page, told) for item in view.patches],
    }


def _patch(item: PatchView, page: Page, told: Told) -> dict[str, Any]:
    patch, words = item.patch, told.words
    system = (
        say("{system!c}, as the job file asks.", system=system_title(patch))
        if patch.chosen_by == "person"
        else say("{system!c}, chosen by the rules.", system=system_title(patch))
    )
    return {
        "title": capital(item.title),
        "share": say(
            "{share} of it, {surface}",
            share=words.brief(patch.share), surface=words.brief(patch.surface),
        ),
        "svg": section_svg(
            item.anchor, patch.ground, patch.section, patch.film_total, words, page.scale
        ),
        "alt": describe(patch.section, words),
        "system": system,
        "summary": sentence(patch.route.summary),
        "trusted": patch.trusted,
        "trust": sentence(patch.trust_reason),
        "steps": [
            {"text": sentence(step.text), "hours": told.brief(step.hours)}
            for step in patch.route.steps
        ],
        "layers": [_layer(layer, told) for layer in patch.layers],
        "rubs": [
            (joined(", ", (layer.title, rub.grade)), told(rub.takes), told(rub.left),
             told.chance(rub.break_through))
            for layer in item.rubbed for rub in layer.rubs
        ],
        "findings": [
            {
                "word": page.severity_word(one),
                "title": say("{title} ({layer})", title=one.title, layer=layer)
                if layer else one.title,
                "text": joined(" ", map(sentence, filter(None, (one.reason, one.failure)))),
                "remedy": sentence(one.remedy),
            }
            for layer, one in item.findings if one.severity != "note"
        ],
    }  # fmt: skip


def _layer(layer: LayerPlan, told: Told) -> tuple[Any, ...]:
    words = told.words
    opens = words.window(layer.recoat_from)
    then = (
        say(
            "after {opens}, until {until}; past that {past}",
            opens=opens,
            until=words.window(layer.recoat_until),
            past=Said(layer.past_window),
        )
        if layer.recoat_until
        else say("after {opens}, no upper limit on its sheet", opens=opens)
    )
    return (
        layer.title,
        told.brief(layer.coats),
        told.brief(layer.wanted),
        told(layer.laid),
        told.brief(layer.flash),
        then,
    )
