"""What one area asks for: its layers in order, and the preparation before each."""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date

from coatwright.model.area import Area, Cavity, Recess
from coatwright.model.conditions.weather import Readings
from coatwright.model.job import Job
from coatwright.model.material import Material
from coatwright.model.work import Work
from coatwright.planning.advice.stack import KIND_OF, METALS
from coatwright.planning.day import habits
from coatwright.planning.plan import AreaPlan, LayerPlan, Outlook, PatchPlan, ProductNeed
from coatwright.planning.strokes.spraying import Sprayed
from coatwright.planning.supplies.quantity import Demand
from coatwright.sentences import joined, say


@dataclass(frozen=True)
class Asked:
    """What a day is planned from: the job and what the plan has found so far.

    idle: days, counted from 0, on which nobody works, where there is no date to tell weekdays by.
    """

    job: Job
    areas: tuple[AreaPlan, ...]
    sprayed: Mapping[tuple[str, str], Sprayed]
    demands: Sequence[Demand]
    needs: Sequence[ProductNeed]
    library: Mapping[str, Material]
    work: Work
    outlook: Outlook | None = None
    readings: Readings | None = None
    idle: tuple[int, ...] = ()

    @property
    def first(self) -> date | None:
        """The date of the first day, if the readings give one."""
        return self.readings.start.date() if self.readings else None


@dataclass(frozen=True)
class ActWork:
    """One act of preparation on one area: working time [s], and what passes after it [s]."""

    act: str
    text: str
    patches: tuple[str, ...]
    seconds: float
    wait: float = 0.0


@dataclass(frozen=True)
class CoatWork:
    """One coat on one area: time at it [s], paint [m3] with its share of losses."""

    seconds: float
    paint: float


@dataclass(frozen=True)
class Follow:
    """What a layer goes over on some patch: product below, whether that is rubbed down first, and
    what the rules wait for ("dry": through-dry, "metal": as long as primed metal is to stand)."""

    below: str
    keyed: bool
    waits: str = ""


@dataclass(frozen=True)
class LayerWork:
    """One product on one area: coats, dry film of a coat and of all [m], and its preparation.

    follows: what it goes over, on one patch or another.
    """

    material: Material
    coats: tuple[CoatWork, ...]
    coat_film: float
    film: float
    gun: str
    acts: tuple[ActWork, ...]
    follows: tuple[Follow, ...] = ()


@dataclass(frozen=True)
class AreaWork:
    """All work of one area, layer by layer."""

    area: Area
    surface: float
    hand: str
    metal: bool
    layers: tuple[LayerWork, ...]

    @property
    def chain(self) -> tuple[str, ...]:
        """Its products in order."""
        return tuple(layer.material.key for layer in self.layers)

    @property
    def pocket(self) -> bool:
        """Whether it lies at the bottom of a recess."""
        return isinstance(self.area.access, Recess)


def area_works(asked: Asked) -> tuple[AreaWork, ...]:
    """The work of every area that gets any."""
    areas = {area.key: area for area in asked.job.areas}
    scale = _scales(asked)
    found = (_area(plan, areas[plan.key], asked, scale) for plan in asked.areas)
    return tuple(one for one in found if one.layers)


def _scales(asked: Asked) -> dict[str, float]:
    """Paint to be mixed for each unit that goes through the gun, by product."""
    through: dict[str, float] = {}
    for one in asked.demands:
        through[one.product] = through.get(one.product, 0.0) + one.through_gun
    return {need.key: need.volume.value / through[need.key] for need in asked.needs}


def _area(plan: AreaPlan, area: Area, asked: Asked, scale: Mapping[str, float]) -> AreaWork:
    order = merged([[layer.product for layer in patch.layers] for patch in plan.patches])
    layers = [_layer(product, (plan, area), asked, scale) for product in order]
    metal = any(patch.ground in METALS and not _covered(area, patch) for patch in plan.patches)
    if layers:
        layers[0] = _wiped(layers[0], area, asked.work)
    if layers and len(asked.areas) > 1 and area.zone in ("outside", "inside"):
        layers[-1] = _masked(layers[-1], area)
    hand = area.hand or asked.job.painter
    return AreaWork(area, area.net(), hand, metal, tuple(layers))


def _covered(area: Area, patch: PatchPlan) -> bool:
    own = next(one for one in area.patches if one.key == patch.key)
    return bool(own.layers) and not patch.route.stripped


def merged(chains: Sequence[Sequence[str]]) -> list[str]:
    """All products of several chains in one order that keeps the order of each."""
    waiting = [list(chain) for chain in chains]
    order: list[str] = []
    while any(waiting):
        heads = [chain[0] for chain in waiting if chain]
        free = [h for h in heads if not any(h in chain[1:] for chain in waiting)]
        first = (free or heads)[0]
        order.append(first)
        waiting = [[p for p in chain if p != first] for chain in waiting]
    return order


def _layer(
    product: str, place: tuple[AreaPlan, Area], asked: Asked, scale: Mapping[str, float]
) -> LayerWork:
    plan, area = place
    patches = [p for p in plan.patches if any(one.product == product for one in p.layers)]
    planned = [_find(patch, product) for patch in patches]
    done = asked.sprayed.get((plan.key, product))
    coats = tuple(
        CoatWork(_coat_seconds(one, asked), one.through_gun * scale.get(product, 1.0))
        for one in sorted(asked.demands, key=lambda d: d.coat)
        if (one.area, one.product) == (plan.key, product)
    )
    film = max(layer.laid.value for layer in planned)
    return LayerWork(
        material=asked.library[product],
        coats=coats,
        coat_film=film / max(len(coats), 1),
        film=film,
        gun=done.recipe.gun.key if done else "",
        acts=_acts(product, patches, asked.work),
        follows=_follows(product, plan, area, asked.job, asked.library),
    )


def _find(patch: PatchPlan, product: str) -> LayerPlan:
    return next(layer for layer in patch.layers if layer.product == product)


def _coat_seconds(one: Demand, asked: Asked) -> float:
    """Trigger and turns, refills of the gun, rests that the air needs, and getting there [s]."""
    refills = math.ceil(one.through_gun / one.gun.cup) - 1 if one.gun else 0
    holds = asked.outlook.air if asked.outlook else ()
    rests = sum(
        section.rest_before.value
        for hold in holds
        if (hold.area, hold.product) == (one.area, one.product)
        for section in hold.sections
    )
    return one.seconds + refills * habits.REFILL + rests + habits.MOVING


def _acts(product: str, patches: Sequence[PatchPlan], work: Work) -> tuple[ActWork, ...]:
    """Acts of all patches before a product, alike ones together, in the order of the routes."""
    rows = [[s for s in p.route.steps if s.before == product] for p in patches]
    order = merged([list(dict.fromkeys(s.act for s in row)) for row in rows])
    found = []
    for act in order:
        if act == "wait":
            continue
        mine = [
            (patch.key, step)
            for patch, row in zip(patches, rows, strict=True)
            for step in row
            if step.act == act
        ]
        seconds = sum(step.hours.value for _, step in mine)
        text = joined("; ", dict.fromkeys(step.text for _, step in mine))
        keys = tuple(dict.fromkeys(key for key, _ in mine))
        wait = max(work.acts[act].wait, 0.0)  # type: ignore[index]
        if act == "block":
            surface = sum(p.surface.value for p in patches if p.key in keys)
            guide = ActWork(
                "guide coat", say("dust on a guide coat"), keys, habits.GUIDE_COAT * surface
            )
            found.append(guide)
        found.append(ActWork(act, text, keys, seconds, wait))
    return tuple(found)


def _follows(
    product: str, plan: AreaPlan, area: Area, job: Job, library: Mapping[str, Material]
) -> tuple[Follow, ...]:
    """What the product goes over on each patch, each kind once.

    A patch that takes no part in the layer between is rubbed down with those that do.
    """
    found: list[Follow] = []
    order = merged([[layer.product for layer in patch.layers] for patch in plan.patches])
    for patch in plan.patches:
        chain = [layer.product for layer in patch.layers]
        if product in chain[1:]:
            below = chain[chain.index(product) - 1]
            acts = {step.act for step in patch.route.steps if step.before == product}
            beside = order[order.index(product) - 1] != below
            keyed = bool(acts & habits.KEYING) or beside
            waits = "dry" if "wait" in acts and not keyed else ""
            if not waits and job.metal_waits and _first_primer(below, patch, area, library):
                waits = "metal"
            found.append(Follow(below, keyed, waits))
    return tuple(dict.fromkeys(found))


def _first_primer(
    product: str, patch: PatchPlan, area: Area, library: Mapping[str, Material]
) -> bool:
    """Whether a product is the first primer on bare metal: the one that has to wait."""
    if patch.ground not in METALS or _covered(area, patch):
        return False
    kinds = [(one.product, KIND_OF[library[one.product].family]) for one in patch.layers]
    primers = [key for key, kind in kinds if kind in ("etch", "primer")]
    return primers[:1] == [product]


def _wiped(layer: LayerWork, area: Area, work: Work) -> LayerWork:
    """The first layer, wiped down on the day if no route asks for it: it came degreased."""
    if any(act.act == "degrease" for act in layer.acts) or isinstance(area.access, Cavity):
        return layer
    known = work.acts["degrease"]
    seconds = habits.WIPE_SHARE * known.per_m2 * area.net()
    wipe = ActWork("degrease", say("wipe down once more: it has stood"), (), seconds)
    return _with(layer, (*layer.acts, wipe))


def _masked(layer: LayerWork, area: Area) -> LayerWork:
    """The finish, with masking before the last wipe."""
    seconds = habits.MASK_FIXED + habits.MASK_PER_M2 * area.net()
    mask = ActWork("mask", say("mask with soft edges round what is painted"), (), seconds)
    acts = list(layer.acts)
    at = next((i for i, one in enumerate(acts) if one.act == "degrease"), len(acts))
    return _with(layer, (*acts[:at], mask, *acts[at:]))


def _with(layer: LayerWork, acts: tuple[ActWork, ...]) -> LayerWork:
    return replace(layer, acts=acts)
