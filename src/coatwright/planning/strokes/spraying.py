"""Recipes for every area and product of a job, and what each coat asks of the paint."""

from collections.abc import Callable, Iterable, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from functools import partial

from coatwright.engines import film as films
from coatwright.model.area import Area, Cavity
from coatwright.model.hand import Hand
from coatwright.model.job import Job
from coatwright.model.kit import Gun
from coatwright.model.material import Material
from coatwright.planning.plan import StrokeRecipe
from coatwright.planning.strokes.card import card
from coatwright.planning.strokes.layouts import ways
from coatwright.planning.strokes.ready import ReadyPaint, ready_paint, run_limit
from coatwright.planning.strokes.recipe import Recipe, Task, Wanted, solve
from coatwright.planning.strokes.rubbing import reserve
from coatwright.planning.supplies.quantity import Demand
from coatwright.planning.systems import Chosen

THREADS = 1
"""Each recipe is solved whole by one thread, so that results do not depend on how many there are.
Two were measured 1.3 times slower than one: the kernels are short, and the interpreter lock between
them is fought over."""

FLOW_SPREAD = 0.08
"""Relative standard deviation of what a gun delivers from one fill to the next (assumption)."""

BY_HAND = 60.0
"""Seconds per square metre to wipe, brush or lance a product on (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class Layering:
    """One product on one area: the share of the area that takes it, and whether it is rubbed."""

    area: Area
    material: Material
    share: float
    rubbed: bool
    finish: bool

    @property
    def key(self) -> tuple[str, str]:
        """Area and product."""
        return self.area.key, self.material.key

    @property
    def by_gun(self) -> bool:
        """Whether a spray gun lays it, and can get at the area."""
        return self.material.applied == "gun" and not isinstance(self.area.access, Cavity)

    @property
    def nominal(self) -> float:
        """Dry film wanted [m]: the sheet's least, or what rubbing down asks for."""
        film = self.material.film
        asked = reserve(self.material) if self.rubbed else 0.0
        return min(film.total_max, max(film.total_min, asked))


def layerings(chosen: Iterable[Chosen]) -> tuple[Layering, ...]:
    """Every product of every area once, with the share of its patches that take it."""
    found: dict[tuple[str, str], Layering] = {}
    for one in chosen:
        last = len(one.materials) - 1
        for index, material in enumerate(one.materials):
            key = one.area.key, material.key
            before = found.get(key)
            found[key] = Layering(
                one.area,
                material,
                one.patch.share + (before.share if before else 0.0),
                index < last or (before.rubbed if before else False),
                index == last,
            )
    return tuple(found.values())


def task_for(layering: Layering, job: Job, paint: ReadyPaint, hand: Hand | None = None) -> Task:
    """The recipe solver's task for one product on one area."""
    area, material, film = layering.area, layering.material, layering.material.film
    wanted = Wanted(
        layering.nominal,
        film.total_max,
        film.min,
        film.max,
        film.coats_min,
        film.coats_max + 1,
        film.see_through_first,
    )
    limit = run_limit(material, paint, area.orientation)
    return Task(
        ways(area.shape, area.access),
        material,
        paint,
        limit,
        wanted,
        hand or job.hand(area.hand),
        job.bounds,
        films.mobile_share(material.flash.min, material.flow.set_time),
    )


@dataclass(frozen=True, eq=False)
class Sprayed:
    """A solved layering: the recipe, its card, and how many equal faces of the area it covers."""

    layering: Layering
    recipe: Recipe
    card: StrokeRecipe
    pieces: float


def spray(
    layering: Layering, job: Job, guns: Sequence[Gun] | None = None, hand: Hand | None = None
) -> Sprayed:
    """The recipe of one layering. Raises Infeasible if no gun fits the product's sheet."""
    paint = ready_paint(layering.material, job.workshop.climate.air)
    task = task_for(layering, job, paint, hand)
    recipe, every = solve(task, tuple(guns) if guns is not None else job.workshop.guns)
    faces = layering.area.net() / layering.area.gross()
    told = card(recipe, every, area=layering.area.key, share=layering.share, faces=faces)
    return Sprayed(layering, recipe, told, faces * layering.share)


def spray_all(found: Sequence[Layering], job: Job) -> dict[tuple[str, str], Sprayed]:
    """the recipes of all layerings that a gun lays."""
    todo = [one for one in found if one.by_gun]
    solver: Callable[[Layering], Sprayed] = partial(spray, job=job)
    with ThreadPoolExecutor(THREADS) as pool:
        return {one.key: done for one, done in zip(todo, pool.map(solver, todo), strict=True)}


def demands(
    found: Sequence[Layering], sprayed: dict[tuple[str, str], Sprayed], job: Job
) -> tuple[Demand, ...]:
    """What every coat of every layering asks of the paint."""
    rows: list[Demand] = []
    for one in found:
        done = sprayed.get(one.key)
        rows.extend(_coats(done) if done else [_by_hand(one, job)])
    return tuple(rows)


def _stage(layering: Layering) -> int:
    """Undercoats go on together; colour goes on the insides first, then outside."""
    return 1 if layering.finish and layering.area.zone == "outside" else 0


def _coats(done: Sprayed) -> Iterable[Demand]:
    recipe, layering = done.recipe, done.layering
    own = (FLOW_SPREAD**2 + recipe.task.hand.speed_spread**2 / 2) ** 0.5
    strokes = recipe.sample.setting.layout.count * recipe.stroke_length
    turns = recipe.sample.setting.layout.count * recipe.sections * recipe.task.hand.turn
    for coat, (speed, flow) in enumerate(
        zip(recipe.coat_speeds, recipe.coat_flows, strict=True), start=1
    ):
        volume = flow * strokes / speed * done.pieces
        yield Demand(
            area=layering.area.key,
            product=layering.material.key,
            coat=coat,
            through_gun=volume,
            on_surface=volume * recipe.capture * recipe.transfer,
            seconds=(strokes / speed + turns) * done.pieces,
            own_spread=own,
            shared_spread=recipe.gun.transfer_spread / recipe.gun.transfer,
            gun=recipe.gun,
            stage=_stage(layering),
            title=layering.area.title,
            surface=layering.area.net() * layering.share,
        )


def _by_hand(layering: Layering, job: Job) -> Demand:
    paint = ready_paint(layering.material, job.workshop.climate.air)
    surface = layering.area.net() * layering.share
    volume = surface * layering.material.film.total_min / paint.solids
    return Demand(
        area=layering.area.key,
        product=layering.material.key,
        coat=1,
        through_gun=volume,
        on_surface=volume,
        seconds=surface * BY_HAND,
        own_spread=0.2,
        stage=_stage(layering),
        title=layering.area.title,
        surface=surface,
    )
