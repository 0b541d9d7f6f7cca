"""What the shop has learned from its own jobs: of each gun, person, product and step."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from coatwright.actions.shop import Shop
from coatwright.engines import learning
from coatwright.engines.learning import CLASSES, Marginal, Observation, Pool
from coatwright.planning.plan import Plan
from coatwright.planning.strokes.foretold import Foretold, foretold
from coatwright.record.lessons import LeftOut, Lesson, Lessons, lessons_of, taught
from coatwright.record.state import JobState
from coatwright.record.store.ledger import Record

DOUBT = 0.001
"""Chance of doubting any of a parameter's readings where all of them are honest."""


@dataclass(frozen=True, slots=True)
class Taught:
    """What is known of one parameter of one member, before and after its readings.

    On the scale of the engine: log ratio to the plan, transfer a shift of its log odds. fits: the
    chance, by the class alone, of a mean as far off as that of the readings.
    """

    parameter: str
    group: str
    member: str
    readings: tuple[float, ...]
    before: Marginal
    after: Marginal
    fits: float


@dataclass(frozen=True, slots=True)
class Doubted:
    """A reading that all the others speak against, by its event; chance of one as far out."""

    parameter: str
    event: str
    chance: float


@dataclass(frozen=True)
class Learned:
    """Everything the record teaches. pools carry it into predictions."""

    pools: Mapping[str, Pool]
    taught: tuple[Taught, ...]
    doubted: tuple[Doubted, ...]
    left_out: tuple[LeftOut, ...]


def learned_in(record: Record) -> Learned:
    """What all jobs in the record of the shop teach."""
    return learned(lessons_of(record.state(job)) for job in record.jobs())


def learned_by(shop: Shop) -> Learned:
    """What all jobs of a shop teach, the minutes of their finished steps among it.

    A job's plan is computed for them only where somebody has noted hours by area.
    """
    return learned(_lessons(shop, key) for key in shop.jobs())


def foretold_for(shop: Shop, key: str, known: Learned) -> tuple[Foretold, ...]:
    """Paint, minutes and film of every recipe of a job as the shop's own readings foretell them."""
    return foretold(shop.plan(key).recipes.values(), known.pools, key)


def _lessons(shop: Shop, key: str) -> Lessons:
    state = shop.record.state(key)
    timed = any(entry.place.area for entry in state.time)
    if not timed or state.described is None:
        return lessons_of(state)
    return lessons_of(state, _finished(shop.plan(key), state))


def _finished(plan: Plan, state: JobState) -> dict[tuple[str, str], float]:
    """Seconds the plan gave each kind of step of an area, where what it prepares for is on."""
    found: dict[tuple[str, str], float] = {}
    for area in plan.areas:
        for patch in area.patches:
            laid = {layer.product for layer in state.patch(area.key, patch.key).layers}
            for step in patch.route.steps:
                if step.before in laid and step.hours.value > 0:
                    spot = area.key, step.act
                    found[spot] = found.get(spot, 0.0) + step.hours.value
    return found


def learned(jobs: Iterable[Lessons]) -> Learned:
    """What the lessons of several jobs teach together. Doubted readings are told, not dropped."""
    every = list(jobs)
    lessons = [lesson for one in every for lesson in one.lessons]
    pools = taught(lessons)
    return Learned(
        pools,
        tuple(row for name in pools for row in _rows(name, pools[name], lessons)),
        tuple(row for name in pools for row in _doubted(name, lessons)),
        tuple(left for one in every for left in one.left_out),
    )


def _rows(parameter: str, pool: Pool, lessons: Iterable[Lesson]) -> Iterator[Taught]:
    own = [one.reading for one in lessons if one.parameter == parameter]
    untaught = learning.pooled([], CLASSES[parameter])
    for group, member in pool.tally.members:
        if group == "job":
            continue
        keys = {group: member}
        seen = [one for one in own if one.keys[group] == member]
        yield Taught(
            parameter,
            group,
            member,
            tuple(one.value for one in seen),
            learning.believed(untaught, keys),
            learning.believed(pool, keys),
            learning.contradiction(untaught, seen),
        )


def _doubted(parameter: str, lessons: Iterable[Lesson]) -> Iterator[Doubted]:
    own = [one for one in lessons if one.parameter == parameter]
    readings: list[Observation] = [one.reading for one in own]
    for place, chance in learning.pool_doubtful(readings, CLASSES[parameter], DOUBT):
        yield Doubted(parameter, own[place].event, chance)
