"""What stands where on the page: selection and order only, no arithmetic."""

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from coatwright.actions.explain import Citation, cite
from coatwright.faces.arranged.outlook import air_cautions
from coatwright.faces.drawing import section_scale
from coatwright.figures import walk
from coatwright.planning.plan import (
    AreaPlan,
    Caution,
    Choice,
    Finding,
    LayerPlan,
    PatchPlan,
    Plan,
    StrokeRecipe,
)
from coatwright.sentences import Said, joined, listed, say

SEVERITIES = ("ruin", "fault", "caution", "note")
SEVERITY_WORDS = {
    "ruin": say("Ruins the job"),
    "fault": say("Fault"),
    "caution": say("Take care"),
    "note": say("Note"),
}
SEVERITY_SIGNS = {"ruin": "✕", "fault": "▲", "caution": "△", "note": "·"}


@dataclass(frozen=True, slots=True)
class Todo:
    """One thing to do first: a sentence, where it belongs, and the anchor of the full story."""

    place: str
    text: str
    anchor: str


@dataclass(frozen=True, slots=True)
class PatchView:
    """A patch with its anchor and its address among the figures."""

    patch: PatchPlan
    title: str
    anchor: str
    address: str
    findings: tuple[tuple[str, Finding], ...]
    rubbed: tuple[LayerPlan, ...]


@dataclass(frozen=True, slots=True)
class RecipeView:
    """A recipe with its anchor and address."""

    recipe: StrokeRecipe
    title: str
    anchor: str
    address: str


@dataclass(frozen=True, slots=True)
class AreaView:
    """An area with its patches and its recipes."""

    area: AreaPlan
    anchor: str
    patches: tuple[PatchView, ...]
    recipes: tuple[RecipeView, ...]


@dataclass(frozen=True, slots=True)
class Page:
    """The plan arranged for reading from top to bottom."""

    areas: tuple[AreaView, ...]
    first: tuple[Todo, ...]
    cautions: Mapping[str, tuple[Caution, ...]]
    citations: tuple[Citation, ...]
    numbers: Mapping[str, int]
    area_titles: Mapping[str, str]
    products: Mapping[str, str]
    scale: float

    @staticmethod
    def anchor(*parts: str) -> str:
        """An id for a heading."""
        return anchor(*parts)

    @staticmethod
    def severity_word(finding: Finding) -> str:
        """How bad it is, in a word or two."""
        return SEVERITY_WORDS[finding.severity]

    @staticmethod
    def severity_sign(finding: Finding) -> str:
        """A mark that does not rely on colour."""
        return SEVERITY_SIGNS[finding.severity]

    @staticmethod
    def of(plan: Plan) -> "Page":
        """The page of a plan."""
        patches = [patch for area in plan.areas for patch in area.patches]
        citations = _citations(plan)
        return Page(
            areas=tuple(_area(plan, area) for area in plan.areas),
            first=tuple(_first(plan)),
            cautions=_cautions(plan),
            citations=citations,
            numbers={one.key: number for number, one in enumerate(citations, start=1)},
            area_titles={area.key: area.title for area in plan.areas},
            products=product_titles(plan),
            scale=section_scale([patch.section for patch in patches]),
        )


def anchor(*parts: str) -> str:
    """An id for a heading: letters, digits and hyphens."""
    return re.sub(r"[^a-z0-9]+", "-", "-".join(parts).casefold()).strip("-") or "part"


def capital(text: str) -> str:
    """The text with a capital first letter, the rest left alone ("GRP" stays "GRP")."""
    if isinstance(text, Said):
        return say("{text!c}", text=text)
    return text[:1].upper() + text[1:]


def sentence(text: str) -> str:
    """The text as a sentence: a capital at its head, a stop at its end."""
    if isinstance(text, Said) and text:
        return capital(text) + ("" if text[-1] in ".!?" else ".")
    text = text.strip()
    return capital(text) + ("" if not text or text[-1] in ".!?" else ".")


def ground_title(patch: PatchPlan) -> str:
    """What the patch is made of, and what already lies on it."""
    old = [band.title.removeprefix("old").lstrip(": ") for band in patch.section if band.old]
    ground = Said(patch.ground)
    return say("{ground} under {old}", ground=ground, old=listed(map(Said, old))) if old else ground


def system_title(patch: PatchPlan) -> str:
    """The system of a patch by its name, or by its layers if a person chose it."""
    if patch.chosen_by == "person" and patch.layers:
        return joined(", ", (layer.title for layer in patch.layers))
    return patch.route.title


def by_hazard(cautions: Iterable[Caution]) -> list[tuple[str, list[str]]]:
    """The texts of the cautions under each hazard once, in the order they come."""
    found: dict[str, list[str]] = {}
    for caution in cautions:
        found.setdefault(caution.hazard, []).append(caution.text)
    return list(found.items())


def weighed(recipe: StrokeRecipe) -> tuple[Choice, ...]:
    """The alternatives, with all that describe the chosen recipe told as one and put first."""
    chosen = [choice for choice in recipe.choices if choice.chosen]
    others = tuple(choice for choice in recipe.choices if not choice.chosen)
    if not chosen:
        return others
    text = joined(", ", (choice.text for choice in chosen))
    return (replace(chosen[0], text=text), *others)


def recipe_anchor(recipe: StrokeRecipe) -> str:
    """The id of a recipe."""
    return anchor("recipe", recipe.key)


def _area(plan: Plan, area: AreaPlan) -> AreaView:
    titles = product_titles(plan)
    return AreaView(
        area,
        anchor("area", area.key),
        tuple(_patch(area, patch) for patch in area.patches),
        tuple(
            RecipeView(
                recipe,
                titles.get(recipe.product, recipe.product),
                recipe_anchor(recipe),
                f"recipes.{recipe.key}",
            )
            for recipe in recipes_of(plan, area)
        ),
    )


def recipes_of(plan: Plan, area: AreaPlan) -> list[StrokeRecipe]:
    """The recipes of an area in the order in which its layers go on."""
    layers = [(layer.product, place) for patch in area.patches
              for place, layer in enumerate(patch.layers)]  # fmt: skip
    last = dict(sorted(layers, key=lambda item: item[1]))
    own = (recipe for recipe in plan.recipes.values() if recipe.area == area.key)
    return sorted(own, key=lambda recipe: last.get(recipe.product, len(layers)))


def product_titles(plan: Plan) -> dict[str, str]:
    """What each product of the plan is called."""
    layers = (layer for area in plan.areas for patch in area.patches for layer in patch.layers)
    return {layer.product: layer.title for layer in layers}


def _patch(area: AreaPlan, patch: PatchPlan) -> PatchView:
    return PatchView(
        patch, ground_title(patch), anchor("patch", area.key, patch.key),
        f"areas.{area.key}.patches.{patch.key}",
        _ranked(patch),
        tuple(layer for layer in patch.layers if layer.rubs),
    )  # fmt: skip


def _ranked(patch: PatchPlan) -> tuple[tuple[str, Finding], ...]:
    """The findings of a patch, the worst first."""
    return tuple(sorted(_findings(patch), key=lambda item: SEVERITIES.index(item[1].severity)))


def _findings(patch: PatchPlan) -> Iterator[tuple[str, Finding]]:
    """Every finding of the chosen route and its layers once, with the layer it speaks of."""
    seen: set[tuple[str, str]] = set()
    titles = {layer.key: layer.title for layer in patch.layers}
    titles |= {layer.product: layer.title for layer in patch.layers}
    every = (*patch.route.findings, *(one for layer in patch.layers for one in layer.findings))
    for finding in every:
        if (finding.rule, finding.layer) not in seen:
            seen.add((finding.rule, finding.layer))
            yield titles.get(finding.layer, finding.layer), finding


def _first(plan: Plan) -> Iterator[Todo]:
    """Untrusted ground, what ruins or spoils a layer, and recipes that miss their bounds."""
    for area in plan.areas:
        for patch in area.patches:
            place = joined(", ", (area.title, ground_title(patch)))
            spot = anchor("patch", area.key, patch.key)
            if not patch.trusted:
                yield Todo(place, _trust(patch), spot)
            grave = [one for _, one in _ranked(patch) if one.severity in ("ruin", "fault")]
            if grave:
                yield Todo(place, _against(patch, grave), spot)
    for recipe in plan.recipes.values():
        if not recipe.within_bounds:
            title = next((a.title for a in plan.areas if a.key == recipe.area), recipe.area)
            text = sentence(recipe.shortfall)
            yield Todo(joined(", ", (title, recipe.product)), text, recipe_anchor(recipe))


def _trust(patch: PatchPlan) -> str:
    texts = [patch.trust_reason, *(step.text for step in patch.route.steps[:2])]
    return joined(" ", map(sentence, texts))


def _against(patch: PatchPlan, grave: Sequence[Finding]) -> str:
    """What is wrong, the worst first, how to mend that, and a permitted system if there is one."""
    titles = joined("; ", dict.fromkeys(finding.title for finding in grave))
    other = next((route for route in patch.alternatives if route.possible), None)
    texts: list[str] = [say("Against the rules: {titles}", titles=titles), grave[0].remedy]
    if patch.chosen_by == "person" and other is not None:
        texts.append(say("Permitted here: {route}", route=other.title))
    return joined(" ", map(sentence, texts))


def _cautions(plan: Plan) -> dict[str, tuple[Caution, ...]]:
    wheres = ("mixing", "spraying", "rubbing", "stripping", "air", "storing")
    return {where: tuple(one for one in plan.cautions if one.where == where) for where in wheres}


def _citations(plan: Plan) -> tuple[Citation, ...]:
    keys = {figure.source for _, figure in walk(plan)}
    keys |= {finding.source for area in plan.areas for patch in area.patches
             for _, finding in _findings(patch)}  # fmt: skip
    keys |= {caution.source for caution in (*plan.cautions, *air_cautions(plan))}
    return tuple(sorted((cite(key) for key in keys), key=lambda one: (one.kind, one.text)))
