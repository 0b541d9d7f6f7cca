"""Plan a job, or ask about a part of it."""

from collections.abc import Mapping
from dataclasses import replace
from importlib.resources import files
from pathlib import Path
from typing import Literal

from coatwright import units
from coatwright.actions.workshop import Bench, open_bench, open_shop
from coatwright.errors import InputError, NotFound
from coatwright.intake.jobfile import starter
from coatwright.intake.weather import load_weather
from coatwright.model.area import Area
from coatwright.model.job import Job
from coatwright.model.kit import Workshop
from coatwright.model.material import Material
from coatwright.model.substrate import Patch
from coatwright.planning.advice.context import Context
from coatwright.planning.advice.routes import May
from coatwright.planning.build import areas_of, built
from coatwright.planning.cautions import cautions_for as cautions
from coatwright.planning.plan import Caution, Finding, Plan, Route, StrokeRecipe
from coatwright.planning.strokes.spraying import Layering, layerings, spray
from coatwright.planning.supplies.mixsheet import MixSheet, mix_sheet
from coatwright.planning.systems import choose, price_of, routes_on
from coatwright.sentences import joined, say

Where = Literal["mixing", "spraying", "rubbing", "stripping", "air", "storing"]


def start_job(title: str, demo: bool = False) -> str:
    """The text of a new job file: a small starter, or a copy of the invented demo."""
    if demo:
        return (files("coatwright") / "data" / "demo" / "larkfield.toml").read_text("utf-8")
    return starter(title)


def check_job(job: str) -> tuple[Finding, ...]:
    """What the rules say of the systems a job file chose; faults of the file itself are raised.

    The layer of each finding names the area, the patch and the product.
    """
    bench = open_bench(job)
    chosen = choose(bench.job, bench.job.areas, bench.shop.adviser, bench.library)
    return tuple(
        replace(
            finding,
            layer=f"{one.area.title}, {one.patch.key}, {bench.library[finding.layer].title}",
        )
        for one in chosen
        if one.by_person
        for finding in one.route.findings
        if finding.severity != "note"
    )


def plan_job(
    job: str,
    area: str | None = None,
    weather: str | None = None,
    day_seconds: float | None = None,
) -> Plan:
    """The whole plan of a job, or of one of its areas, on a day given as a table of weather.

    day_seconds [s]: how long its days of work may be searched for; None leaves them out.
    """
    bench = open_bench(job)
    readings = load_weather(Path(weather)) if weather is not None else None
    made = built(bench.job, bench.shop, area, readings)
    if day_seconds is None:
        return made.plan
    from coatwright.planning.day.days import plan_days  # loads the solver

    return replace(made.plan, day=plan_days(made.asked, day_seconds, made.plan.cautions))


def routes_for(job: str, area: str, patch: str | None = None) -> tuple[Route, ...]:
    """Systems for a patch, best first, with those that are not possible and why."""
    bench = open_bench(job)
    where = areas_of(bench.job, area)[0]
    spot = _patch(where, patch)
    found = routes_on(bench.job, where, spot, bench.shop.adviser, bench.library)
    if spot.system is None:
        return found
    own = choose(
        bench.job,
        (where.model_copy(update={"patches": (spot,)}),),
        bench.shop.adviser,
        bench.library,
    )
    return (own[0].route, *own[0].alternatives)


def recipes_for(
    job: str,
    area: str,
    product: str | None = None,
    hand: str | None = None,
    gun: str | None = None,
) -> tuple[StrokeRecipe, ...]:
    """Stroke recipes of an area: all its sprayed products or one, in any hand, with any gun."""
    bench = open_bench(job)
    where = areas_of(bench.job, area)[0]
    who = _hand(bench.job, hand or where.hand)
    guns = _guns(bench.job.workshop, gun)
    return tuple(spray(one, bench.job, guns, who).card for one in _sprayed(bench, where, product))


def _sprayed(bench: Bench, area: Area, product: str | None) -> list[Layering]:
    chosen = choose(bench.job, (area,), bench.shop.adviser, bench.library)
    found = [one for one in layerings(chosen) if one.by_gun]
    if product is None:
        return found
    own = [one for one in found if one.material.key == product]
    return own or [Layering(area, bench.library[product], 1.0, False, area.zone == "outside")]


def _hand(job: Job, key: str | None):  # type: ignore[no-untyped-def]
    keys = [hand.key for hand in job.hands]
    if key is not None and key not in keys:
        raise NotFound(
            say("there is no hand '{key}' in this job", key=key),
            instead=say("it has {keys}", keys=joined(", ", keys)),
        )
    return job.hand(key)


def _guns(workshop: Workshop, key: str | None):  # type: ignore[no-untyped-def]
    if key is None:
        return workshop.guns
    found = tuple(gun for gun in workshop.guns if gun.key == key)
    if not found:
        keys = ", ".join(gun.key for gun in workshop.guns)
        raise NotFound(
            say("there is no gun '{key}' in this workshop", key=key),
            instead=say("it has {keys}", keys=keys),
        )
    return found


def _patch(area: Area, key: str | None) -> Patch:
    keys = ", ".join(patch.key for patch in area.patches)
    if key is None and len(area.patches) == 1:
        return area.patches[0]
    if key is None:
        raise NotFound(
            say("'{area}' has several patches", area=area.key),
            instead=say("name one of {keys}", keys=keys),
        )
    found = [patch for patch in area.patches if patch.key == key]
    if not found:
        raise NotFound(
            say("there is no patch '{key}' in '{area}'", key=key, area=area.key),
            instead=say("it has {keys}", keys=keys),
        )
    return found[0]


def may(job: str, area: str, product: str, patch: str | None = None) -> May:
    """May this product go on that spot, and the cheapest legal way to having it there."""
    bench = open_bench(job)
    where = areas_of(bench.job, area)[0]
    spot = _patch(where, patch)
    price = price_of(bench.job, where, spot, bench.shop.adviser)
    context = Context.of(where, bench.job)
    return bench.shop.adviser.may(bench.library[product], spot, context, price)


def mix(job: str | None, product: str, amount: str) -> MixSheet:
    """How to mix an amount ("600 mL", "450 g") of a product in this shop today."""
    library, found = open_shop(job)
    workshop = found.workshop if found else _plain_workshop()
    material = library[product]
    try:
        return mix_sheet(material, workshop, volume=units.parse(amount, "volume"))
    except InputError as fault:
        if "unit of mass" not in fault.what:
            raise
    return mix_sheet(material, workshop, mass=units.parse(amount, "mass"))


def _plain_workshop() -> Workshop:
    """The demo's workshop at its own scale and cup, air at 20 degC: for a mix without a job."""
    workshop = open_bench("demo").job.workshop
    climate = workshop.climate.model_copy(update={"air": 293.15})
    return workshop.model_copy(update={"climate": climate})


def product_cautions(job: str | None, product: str) -> tuple[Caution, ...]:
    """What to mind when mixing a product."""
    library, found = open_shop(job)
    workshop = found.workshop if found else _plain_workshop()
    told = cautions([library[product]], (), workshop)
    return tuple(caution for caution in told if caution.where == "mixing")


def cautions_for(job: str, area: str, where: Where) -> tuple[Caution, ...]:
    """What to mind at one kind of work on an area."""
    bench = open_bench(job)
    chosen = choose(bench.job, areas_of(bench.job, area), bench.shop.adviser, bench.library)
    materials = {m.key: m for one in chosen for m in one.materials}
    steps = [step for one in chosen for step in one.route.steps]
    old = any(one.patch.layers for one in chosen)
    told = cautions(materials.values(), steps, bench.job.workshop, old_paint=old)
    return tuple(caution for caution in told if caution.where == where)


def sheets(job: str | None = None) -> Mapping[str, Material]:
    """Every product sheet, the shop's own included."""
    return open_shop(job)[0]


def sheet(product: str, job: str | None = None) -> Material:
    """One product sheet."""
    return open_shop(job)[0][product]


def sheet_text(product: str, job: str | None = None) -> str:
    """A product sheet as the TOML file it came from, to copy and fill in."""
    sheet(product, job)
    return (files("coatwright") / "data" / "products" / f"{product}.toml").read_text("utf-8")
