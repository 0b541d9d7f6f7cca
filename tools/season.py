"""A season of twelve invented jobs: paint and time foretold before and after learning.

Every job takes some areas of the invented demo job, in the painter's hand or the learner's. What is
foretold is what the plan foretells: the stroke recipe of each layer (film model, gun, hand, shape)
and the steps of its route. What then happens is the same recipe, sprayed as it stands, in a shop
whose guns, people, products and steps are not as the class has them; their true parameters are
invented below and hidden from the learning. `python tools/season.py` prints the season.
"""

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from typing import NamedTuple

import numpy as np

from coatwright.actions.workshop import open_bench
from coatwright.engines import learning
from coatwright.engines.learning import CLASSES, Forecast, Observation, Pool
from coatwright.faces.drawing.learned import (
    Foretold,
    SeasonJob,
    Shown,
    belief_svg,
    season_rows,
    season_svg,
)
from coatwright.planning.strokes.spraying import Sprayed, layerings, spray
from coatwright.planning.systems import Chosen, choose

SEED = 12
JOBS = 12
AREAS = (3, 6)
DRAWS = 2000
GAUGED = 0.5
"""Share of the layers whose film is read with a gauge; paint and trigger time of every coat are."""

# The hidden shop: log ratios to the plan, transfer as a shift of its log odds. Invented.
HIDDEN = {
    "flow": {"primer-gun": 0.20, "colour-gun": -0.10, "lacquer-gun": 0.02, "spot-gun": 0.12,
             "epoxy": 0.06, "high-build": -0.07, "acid-etch": 0.04},
    "speed": {"painter": 0.14, "learner": -0.12},
    "transfer": {"primer-gun": -0.35, "colour-gun": 0.15, "spot-gun": -0.20, "painter": 0.08,
                 "learner": -0.22, "epoxy": 0.10, "high-build": -0.12},
    "minutes": {"block": 0.32, "degrease": -0.15, "abrade bare": 0.22, "abrade old": 0.10,
                "abrade new": 0.25, "test": -0.2, "strip": 0.3, "painter": -0.05, "learner": 0.25},
}  # fmt: skip
# From coat to coat and step to step; tails longer (Student, 5 degrees) than the class has them.
NOISE = {"flow": 0.07, "speed": 0.06, "transfer": 0.22, "minutes": 0.25}
TAILS = 5.0
# What all of a job shares: weather, thinner, a tape measure read wrong.
SHARED = {"flow": 0.05, "speed": 0.03, "transfer": 0.10, "minutes": 0.10}


class Coat(NamedTuple):
    """One planned coat (SI): paint through the gun, seconds of trigger and of turns, transfer."""

    keys: dict[str, str]
    paint: float
    trigger: float
    turns: float
    transfer: float
    last: bool


class Step(NamedTuple):
    """One planned step by hand: its act, who does it, seconds."""

    keys: dict[str, str]
    seconds: float


class Planned(NamedTuple):
    """A job as planned."""

    areas: int
    coats: tuple[Coat, ...]
    steps: tuple[Step, ...]


@dataclass(frozen=True)
class Happened:
    """What came of a job: factors on each coat's flow, speed and transfer, on each step's time."""

    flow: tuple[float, ...]
    speed: tuple[float, ...]
    transfer: tuple[float, ...]
    minutes: tuple[float, ...]


@cache
def _bench() -> tuple[object, tuple[Chosen, ...]]:
    bench = open_bench("demo")
    chosen = choose(bench.job, bench.job.areas, bench.shop.adviser, bench.library)
    return bench, chosen


@cache
def _area(area: str, hand: str) -> tuple[tuple[Coat, ...], tuple[Step, ...]]:
    """Coats and steps of one area of the demo in one hand, from the plan's own solver."""
    bench, every = _bench()
    job = bench.job
    chosen = [one for one in every if one.area.key == area]
    who = job.hand(hand)
    sprayed = [spray(one, job, None, who) for one in layerings(chosen) if one.by_gun]
    steps = tuple(
        Step({"painter": hand, "step": step.act}, step.hours.value)
        for one in chosen
        for step in one.route.steps
        if step.act and step.hours.value > 60.0
    )
    return tuple(coat for done in sprayed for coat in _coats(done, hand)), steps


def _coats(done: Sprayed, hand: str) -> Iterator[Coat]:
    recipe = done.recipe
    layout = recipe.sample.setting.layout
    strokes = layout.count * recipe.stroke_length * done.pieces
    turns = layout.count * recipe.sections * recipe.task.hand.turn * done.pieces
    keys = {"painter": hand, "gun": recipe.gun.key, "product": done.layering.material.key}
    pairs = list(zip(recipe.coat_speeds, recipe.coat_flows, strict=True))
    for index, (speed, flow) in enumerate(pairs, start=1):
        trigger = strokes / speed
        last = index == len(pairs)
        yield Coat(keys, flow * trigger, trigger, turns, recipe.transfer, last)


def planned(number: int, rng: np.random.Generator) -> Planned:
    """One invented job: a few areas, two in three in the painter's hand."""
    _, every = _bench()
    keys = sorted({one.area.key for one in every if _solves(one.area.key)})
    picked = rng.choice(keys, size=int(rng.integers(AREAS[0], AREAS[1] + 1)), replace=False)
    coats: list[Coat] = []
    steps: list[Step] = []
    for area in picked.tolist():
        hand = "painter" if rng.random() < 2 / 3 else "learner"
        own = _area(area, hand)
        coats += own[0]
        steps += own[1]
    job = {"job": f"job {number}"}
    return Planned(
        len(picked),
        tuple(coat._replace(keys=coat.keys | job) for coat in coats),
        tuple(step._replace(keys=step.keys | job) for step in steps),
    )


@cache
def _solves(area: str) -> bool:
    return all(len(_area(area, hand)[0]) > 0 for hand in HIDDEN["speed"])


def happened(job: Planned, rng: np.random.Generator) -> Happened:
    """The hidden truth and its noise."""

    def truths(name: str, rows: Sequence[Mapping[str, str]]) -> tuple[float, ...]:
        own = [sum(HIDDEN[name].get(key, 0.0) for key in keys.values()) for keys in rows]
        noise = rng.standard_t(TAILS, len(rows)) * NOISE[name] / math.sqrt(TAILS / (TAILS - 2.0))
        return tuple((np.array(own) + noise + rng.normal(0.0, SHARED[name])).tolist())

    coats, steps = [coat.keys for coat in job.coats], [step.keys for step in job.steps]
    return Happened(
        truths("flow", coats),
        truths("speed", coats),
        truths("transfer", coats),
        truths("minutes", steps),
    )


Readings = dict[str, list[Observation]]


def readings(job: Planned, came: Happened, rng: np.random.Generator) -> Readings:
    """What the shop measures of a job: cup and stopwatch of every coat, gauge of some layers,
    clock of every step."""
    found: Readings = {name: [] for name in NOISE}
    rows = zip(job.coats, came.flow, came.speed, came.transfer, strict=True)
    for coat, flow, speed, transfer in rows:
        found["flow"].append(Observation(flow, coat.keys))
        found["speed"].append(Observation(speed, coat.keys))
        if coat.last and rng.random() < GAUGED:
            found["transfer"].append(Observation(transfer, coat.keys))
    for step, minutes in zip(job.steps, came.minutes, strict=True):
        found["minutes"].append(Observation(minutes, step.keys))
    return found


class Outcome(NamedTuple):
    """Paint [m3], seconds of spraying and of everything, mean film over the film planned."""

    paint: float
    spraying: float
    hours: float
    film: float


def outcome(job: Planned, came: Happened) -> Outcome:
    """What a job really took."""
    flow, speed, shift = (np.array([row]) for row in (came.flow, came.speed, came.transfer))
    shares = [coat.transfer for coat in job.coats]
    factors = learning.carried(flow, shift, speed, shares)
    spraying = float(factors.trigger[0] @ [c.trigger for c in job.coats]) + _turns(job)
    steps = sum(s.seconds * math.exp(m) for s, m in zip(job.steps, came.minutes, strict=True))
    paint = np.array([coat.paint for coat in job.coats])
    film = float(factors.film[0] @ paint / paint.sum())
    return Outcome(float(factors.paint[0] @ paint), spraying, spraying + steps, film)


def _turns(job: Planned) -> float:
    return sum(coat.turns for coat in job.coats)


def foretold(job: Planned, pools: Mapping[str, Pool], seed: int) -> tuple[Forecast, ...]:
    """Paint, spraying, all hours and mean film of a job, from what is known."""
    coats, shares = [coat.keys for coat in job.coats], [coat.transfer for coat in job.coats]
    names = ("flow", "transfer", "speed")
    drawn = (learning.draws(pools[n], coats, DRAWS, seed + i) for i, n in enumerate(names))
    factors = learning.carried(*drawn, shares)
    paint = np.array([coat.paint for coat in job.coats])
    steps = learning.draws(pools["minutes"], [s.keys for s in job.steps], DRAWS, seed + 3)
    spraying = [*(coat.trigger for coat in job.coats), _turns(job)]
    sprayed = np.hstack([factors.trigger, np.ones((DRAWS, 1))])
    by_hand = [step.seconds for step in job.steps]
    return (
        learning.total(paint.tolist(), factors.paint),
        learning.total(spraying, sprayed),
        learning.total([*spraying, *by_hand], np.hstack([sprayed, np.exp(steps)])),
        learning.total((paint / paint.sum()).tolist(), factors.film),
    )


@cache
def season(seed: int = SEED) -> tuple[SeasonJob, ...]:
    """Twelve jobs, each foretold by the class alone and by what the jobs before it taught."""
    rng = np.random.default_rng(seed)
    untaught = {name: learning.pooled([], CLASSES[name]) for name in NOISE}
    seen: Readings = {name: [] for name in NOISE}
    found = []
    for number in range(1, JOBS + 1):
        job = planned(number, rng)
        came = happened(job, rng)
        pools = {name: learning.pooled(seen[name], CLASSES[name]) for name in NOISE}
        plain, taught = foretold(job, untaught, number), foretold(job, pools, number)
        pairs = zip(plain, taught, outcome(job, came), strict=True)
        parts = [
            Foretold(a.middle, a.low, a.high, b.middle, b.low, b.high, c) for (a, b, c) in pairs
        ]
        found.append(SeasonJob(number, job.areas, len(job.coats), *parts))
        for name, more in readings(job, came, rng).items():
            seen[name] += more
    return tuple(found)


QUANTITIES = ("paint", "gun time", "hours", "film")
HEAD = (
    "job",
    "areas",
    "coats",
    *(f"{q} {when}" for q in QUANTITIES for when in ("before", "after")),
)


def table() -> str:
    """Errors of every job's forecast, before and after learning."""
    lines = [HEAD, ("---",) * len(HEAD), *season_rows(season())]
    return "".join(f"| {' | '.join(line)} |\n" for line in lines)


def alone(svg: str) -> str:
    """A picture that stands alone: with its own paper, ink and letters."""
    style = 'style="background:#fffdf8;color:#1a1a1a" font-family="sans-serif"'
    return svg.replace("<svg ", f"<svg {style} ", 1) + "\n"


def drawing() -> str:
    """The season as a picture."""
    return alone(season_svg("season", season()))


def readings_of_gun(gun: str = "primer-gun") -> Shown:
    """What the season teaches of one gun's fluid flow, with any product on any job."""
    rng, seen = np.random.default_rng(SEED), []
    for number in range(1, JOBS + 1):
        job = planned(number, rng)
        seen += readings(job, happened(job, rng), rng)["flow"]
    pool, keys = learning.pooled(seen, CLASSES["flow"]), {"gun": gun}
    own = [one.value for one in seen if one.keys["gun"] == gun]
    return Shown(
        "Fluid flow of the primer gun",
        "flow over what the plan reckons with",
        learning.believed(learning.pooled([], CLASSES["flow"]), keys),
        learning.believed(pool, keys),
        own,
    )


def belief() -> str:
    """Prior, readings and posterior of one gun as a picture."""
    return alone(belief_svg("belief", readings_of_gun()))


if __name__ == "__main__":
    print(table())
