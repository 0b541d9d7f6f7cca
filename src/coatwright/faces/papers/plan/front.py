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

INVENTED = (
    "Invented. Nobody's job: vehicle, shop, people, prices and product values are made up to show "
    "what a plan looks like. Work only from your own measurements and the data sheets of your own "
    "tins."
)
SHEETS = (
    "Read the data sheet and the safety sheet of every tin you will really use. Where they differ "
    "from this paper, they are right."
)
_WHERES = {
    "stripping": "Before you strip or test old paint",
    "rubbing": "Before you rub down",
    "mixing": "Before you open a tin",
    "spraying": "Before you spray",
    "air": "Before you open the air",
    "storing": "Before you store it or throw it away",
}


def cover(plan: Plan, told: Told) -> dict[str, Any]:
    """Job, what to do first, every caution, what the plan rests on."""
    page = Page.of(plan)
    return {
        "facts": [
            ("To paint", told(plan.surface)),
            ("Areas", str(len(plan.areas))),
            ("Colour", plan.colour or "not named"),
            ("In the hand of", plan.painter),
            ("Cost with tax", told(plan.cost.total)),
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
        {"hazard": capital(hazard), "text": " ".join(texts)} for hazard, texts in by_hazard(once)
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
    facts = (
        f"{text(area.surface)} to paint. Measured as {area.shape}: the gun runs {text(area.run)} "
        f"over a breadth of {text(area.breadth)}. {capital(area.orientation)}, {area.access}."
    )
    return {
        "title": area.title,
        "facts": facts + (f" {sentence(area.note)}" if area.note else ""),
        "patches": [_patch(item, page, told) for item in view.patches],
    }


def _patch(item: PatchView, page: Page, told: Told) -> dict[str, Any]:
    patch, words = item.patch, told.words
    asked = "as the job file asks" if patch.chosen_by == "person" else "chosen by the rules"
    return {
        "title": capital(item.title),
        "share": f"{words.brief(patch.share)} of it, {words.brief(patch.surface)}",
        "svg": section_svg(
            item.anchor, patch.ground, patch.section, patch.film_total, words, page.scale
        ),
        "alt": describe(patch.section, words),
        "system": f"{capital(system_title(patch))}, {asked}.",
        "summary": sentence(patch.route.summary),
        "trusted": patch.trusted,
        "trust": sentence(patch.trust_reason),
        "steps": [
            {"text": sentence(step.text), "hours": told.brief(step.hours)}
            for step in patch.route.steps
        ],
        "layers": [_layer(layer, told) for layer in patch.layers],
        "rubs": [
            (f"{layer.title}, {rub.grade}", told(rub.takes), told(rub.left),
             told.chance(rub.break_through))
            for layer in item.rubbed for rub in layer.rubs
        ],
        "findings": [
            {
                "word": page.severity_word(one),
                "title": one.title + (f" ({layer})" if layer else ""),
                "text": " ".join(map(sentence, filter(None, (one.reason, one.failure)))),
                "remedy": sentence(one.remedy),
            }
            for layer, one in item.findings if one.severity != "note"
        ],
    }  # fmt: skip


def _layer(layer: LayerPlan, told: Told) -> tuple[Any, ...]:
    words = told.words
    until = (
        f", until {words.window(layer.recoat_until)}; past that {layer.past_window}"
        if layer.recoat_until
        else ", no upper limit on its sheet"
    )
    return (
        layer.title,
        told.brief(layer.coats),
        told.brief(layer.wanted),
        told(layer.laid),
        told.brief(layer.flash),
        f"after {words.window(layer.recoat_from)}{until}",
    )
