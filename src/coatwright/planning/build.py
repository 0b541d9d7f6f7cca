"""From a job to its Plan: systems, recipes, rubbing, paint, money and cautions, in that order."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from coatwright.errors import NotFound
from coatwright.figures import Figure
from coatwright.model.area import Area
from coatwright.model.conditions.weather import Readings
from coatwright.model.job import Job
from coatwright.model.material import Material
from coatwright.planning.advice.routes import Adviser
from coatwright.planning.cautions import cautions_for
from coatwright.planning.day.works import Asked
from coatwright.planning.outlook import outlook
from coatwright.planning.plan import (
    AreaPlan,
    LayerPlan,
    PatchPlan,
    Plan,
    SectionBand,
)
from coatwright.planning.strokes.rubbing import rubs
from coatwright.planning.strokes.spraying import Layering, Sprayed, demands, layerings, spray_all
from coatwright.planning.supplies.batching import product_needs
from coatwright.planning.supplies.buying import Work as Sundries
from coatwright.planning.supplies.buying import buying_list, consumables_for
from coatwright.planning.supplies.cost import cost_of
from coatwright.planning.supplies.hours import bill_of
from coatwright.planning.systems import Chosen, choose
from coatwright.sentences import say

TAPE = 0.02
"""Relative error of a surface measured with a tape (assumption)."""

Recipes = Mapping[tuple[str, str], Sprayed]


@dataclass(frozen=True)
class Shop:
    """What a plan is made with, beside the job: product sheets and the rules."""

    library: Mapping[str, Material]
    adviser: Adviser
    notes: tuple[str, ...] = ()


def areas_of(job: Job, only: str | None = None) -> tuple[Area, ...]:
    """All areas of the job, or the one of that key."""
    if only is None:
        return job.areas
    found = tuple(area for area in job.areas if area.key == only)
    if not found:
        keys = ", ".join(area.key for area in job.areas)
        raise NotFound(f"there is no area '{only}' in this job", instead=f"its areas are {keys}")
    return found


@dataclass(frozen=True)
class Built:
    """A plan, and what its day would be planned from."""

    plan: Plan
    asked: Asked


def build(job: Job, shop: Shop, only: str | None = None, readings: Readings | None = None) -> Plan:
    """The whole plan of a job, or of one area of it, on a day of those readings of the weather.

    Its day is not planned; for that see built(). Raises as built() does.
    """
    return built(job, shop, only, readings).plan


def built(job: Job, shop: Shop, only: str | None = None, readings: Readings | None = None) -> Built:
    """The whole plan of a job, with all that planning.day.days.plan_days wants to know.

    Raises NotFound for an unknown area or product, Infeasible where the rules leave no way or no
    gun fits, RangeError where a formula does not hold.
    """
    areas = areas_of(job, only)
    chosen = choose(job, areas, shop.adviser, shop.library)
    found = layerings(chosen)
    sprayed = spray_all(found, job)
    wants = demands(found, sprayed, job)
    needs = product_needs(wants, shop.library, job.workshop)
    purchases = buying_list(needs, shop.library, job.workshop)
    sundries = consumables_for(_sundries(chosen), wants, needs, shop.library, job.workshop)
    materials = {material.key: material for one in chosen for material in one.materials}
    bill = bill_of(chosen, wants, {need.key: len(need.batches) for need in needs}, materials)
    steps = [step for one in chosen for step in one.route.steps]
    old = any(one.patch.layers for one in chosen)
    plans = tuple(_area(area, chosen, sprayed, found) for area in areas)
    look = outlook(job, plans, sprayed, materials, shop.adviser, readings)
    plan = Plan(
        title=job.title,
        invented=job.invented or job.workshop.invented,
        currency=job.workshop.currency,
        painter=job.hand().title,
        colour=job.colour,
        surface=_sum("area", [_surface(area) for area in areas], "shop-geometry"),
        areas=plans,
        recipes={done.card.key: done.card for done in sprayed.values()},
        products=needs,
        purchases=purchases,
        consumables=sundries,
        cost=cost_of(purchases, sundries, bill, needs, job.workshop),
        cautions=cautions_for(materials.values(), steps, job.workshop, old_paint=old),
        notes=shop.notes + _notes(chosen, sprayed),
        outlook=look,
    )
    work = shop.adviser.work
    return Built(plan, Asked(job, plans, sprayed, wants, needs, materials, work, look, readings))


def _surface(area: Area) -> Figure:
    value = area.net()
    return Figure(
        value,
        "area",
        "entered",
        "shop-geometry",
        "faces x (one face of the shape - holes)",
        {
            "shape": area.shape.kind,
            "one face": f"{area.gross():.3f} m2",
            "holes in it": f"{area.holes:.3f} m2",
            "faces": str(area.faces()),
        },
        (value * (1 - 1.28 * TAPE), value * (1 + 1.28 * TAPE)),
        "tape measure",
    )


def _sum(purpose: str, parts: Sequence[Figure], source: str) -> Figure:
    total = sum(part.value for part in parts)
    low = sum(part.spread[0] if part.spread else part.value for part in parts)
    high = sum(part.spread[1] if part.spread else part.value for part in parts)
    return Figure(total, purpose, "formula", source, "sum of its parts", spread=(low, high))


def _area(
    area: Area, chosen: Sequence[Chosen], sprayed: Recipes, found: Sequence[Layering]
) -> AreaPlan:
    section = sum(facet.breadth for facet in area.shape.section())
    own = [one for one in found if one.area.key == area.key]
    return AreaPlan(
        key=area.key,
        title=area.title,
        shape=area.shape.kind,
        orientation=area.orientation,
        access=area.access.kind,
        surface=_surface(area),
        run=Figure(area.shape.run(), "run", "entered", "job file"),
        breadth=Figure(section, "length", "formula", "shop-geometry", "developed section"),
        patches=tuple(_patch(one, sprayed, own) for one in chosen if one.area.key == area.key),
        note=area.note,
    )


def _patch(one: Chosen, sprayed: Recipes, own: Sequence[Layering]) -> PatchPlan:
    nominal = {layering.material.key: layering.nominal for layering in own}
    last = len(one.materials) - 1
    layers = tuple(
        _layer(
            one,
            material,
            sprayed.get((one.area.key, material.key)),
            nominal[material.key],
            index < last,
        )
        for index, material in enumerate(one.materials)
    )
    section = _old_bands(one) + tuple(_band(layer) for layer in layers)
    left = sum(band.laid.value - band.rubbed.value for band in section)
    surface = Figure(one.surface, "area", "formula", "shop-geometry", "surface x share")
    return PatchPlan(
        key=one.patch.key,
        ground=str(one.patch.ground),
        share=Figure(one.patch.share, "fraction", "entered", "job file"),
        surface=surface,
        trusted=one.trusted,
        trust_reason=one.trust_reason,
        chosen_by="person" if one.by_person else "rules",
        route=one.route,
        alternatives=one.alternatives,
        layers=layers,
        section=section,
        film_total=Figure(
            left, "film", "formula", "stroke-recipe", "sum of the layers left after rubbing"
        ),
    )


def _layer(
    one: Chosen, material: Material, done: Sprayed | None, nominal: float, followed: bool
) -> LayerPlan:
    sheet = f"sheet:{material.key}"
    laid = done.card.dry_total if done else Figure(nominal, "film", "sheet", sheet)
    spread = _film_spread(done) if done else 0.0
    recoat = material.recoat
    asked = "most of the sheet's least film and what rubbing down needs"
    return LayerPlan(
        key=material.key,
        product=material.key,
        title=material.title,
        family=str(material.family),
        coats=done.card.coats if done else Figure(1, "count", "sheet", sheet),
        wanted=Figure(nominal, "film", "sheet", sheet, asked if followed else ""),
        laid=laid,
        flash=Figure(material.flash.min, "time", "sheet", sheet, spread=_span(material)),
        recoat_from=Figure(recoat.min, "hours", "sheet", sheet, spread_note="at 20 degC"),
        recoat_until=(
            Figure(recoat.max, "hours", "sheet", sheet, spread_note="at 20 degC")
            if recoat.max is not None
            else None
        ),
        past_window=recoat.past,
        recipe=done.card.key if done else "",
        rubs=rubs(material, laid.value, spread) if followed else (),
        findings=one.findings(material.key),
    )


def _span(material: Material) -> tuple[float, float] | None:
    flash = material.flash
    return (flash.min, flash.max) if flash.max is not None else None


def _film_spread(done: Sprayed) -> float:
    """Standard deviation of the layer's film over spots and draws [m]."""
    recipe = done.recipe
    films = recipe.sample.laid(recipe.shares)
    return float(np.std(films)) * recipe.gain * recipe.task.paint.solids * recipe.coats


def _old_bands(one: Chosen) -> tuple[SectionBand, ...]:
    if one.route.stripped:
        return ()
    nothing = Figure(0.0, "film", "assumed", "assumption", "not rubbed away")
    return tuple(
        SectionBand(
            key=f"old-{index + 1}",
            title=f"old: {layer.family}",
            family=str(layer.family),
            laid=_old_film(layer.film),
            rubbed=nothing,
            old=True,
        )
        for index, layer in enumerate(one.patch.layers)
    )


def _old_film(film: float | None) -> Figure:
    if film is not None:
        return Figure(film, "film", "measured", "job file")
    return Figure(
        120e-6,
        "film",
        "assumed",
        "assumption",
        "never gauged: taken as 120 um",
        spread=(60e-6, 300e-6),
    )


def _band(layer: LayerPlan) -> SectionBand:
    taken = sum(rub.takes.value for rub in layer.rubs)
    rubbed = Figure(
        taken,
        "film",
        "formula",
        "belt-roughness",
        "sum of what the grades take",
        {rub.grade: rub.takes for rub in layer.rubs},
    )
    return SectionBand(layer.key, layer.title, layer.family, layer.laid, rubbed)


def _sundries(chosen: Sequence[Chosen]) -> Sundries:
    cleaned, stripped, rubbed = 0.0, 0.0, dict[str, float]()
    for one in chosen:
        for step in one.route.steps:
            if step.act == "degrease":
                cleaned += one.surface
            if step.act in ("strip", "strip thin"):
                stripped += one.surface
            if step.grade:
                rubbed[step.grade] = rubbed.get(step.grade, 0.0) + one.surface
    return Sundries(sum(one.surface for one in chosen), cleaned, rubbed, stripped)


def _notes(chosen: Sequence[Chosen], sprayed: Recipes) -> tuple[str, ...]:
    wrong = [
        say(
            "{area}, {patch}: the system that was chosen is against the rules. {summary}",
            area=one.area.title,
            patch=one.patch.key,
            summary=one.route.summary,
        )
        for one in chosen
        if not one.route.possible
    ]
    doubted = [
        say(
            "{area}, {patch}: {trust_reason}.",
            area=one.area.title,
            patch=one.patch.key,
            trust_reason=one.trust_reason,
        )
        for one in chosen
        if not one.trusted
    ]
    short = [
        say(
            "{area}, {material}: no set-up keeps every bound ({shortfall}).",
            area=done.layering.area.title,
            material=done.layering.material.title,
            shortfall=done.recipe.shortfall,
        )
        for done in sprayed.values()
        if not done.recipe.feasible
    ]
    return tuple(wrong + doubted + short)
