"""What recipes will really take in this shop: the plan's figures with what was learned put to them.

The recipes stay as they are; sprayed as they stand they take flow / speed of the paint foretold and
lay flow x transfer / speed of the film. What is not learned yet comes from the class and is wide.
Transfer is learned as the share of the paint that lands, capture included, as a gauge and a scale
see it.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from coatwright.engines import learning
from coatwright.engines.learning import Carried, Forecast, Pool
from coatwright.figures import Figure
from coatwright.planning.plan import StrokeRecipe

LEARNED: Final = ("flow", "transfer", "speed")
"""The parameters that a recipe's paint, film and time rest on."""

DRAWS: Final = 4000

_FORMULAS: Final = {
    "paint": "planned paint x flow / speed, each as learned",
    "minutes": "planned trigger time / speed as learned, and the turns",
    "film": "planned film x flow x transfer / speed, each as learned",
}


@dataclass(frozen=True, slots=True)
class Foretold:
    """Paint and minutes of one recipe, or of a whole job (key "job"), and the mean film."""

    key: str
    paint: Figure
    minutes: Figure
    film: Figure | None


def foretold(
    recipes: Iterable[StrokeRecipe], pools: Mapping[str, Pool], job: str
) -> tuple[Foretold, ...]:
    """Each recipe with what was learned, and last the whole job.

    The job's spread is not the sum of its parts': coats by one hand with one gun go wrong together.
    """
    planned = tuple(recipes)
    if not planned:
        return ()
    coats = [round(one.coats.value) for one in planned]
    factors = _factors(planned, coats, pools, job)
    known = any(pools[name].tally.readings for name in LEARNED)
    ends = np.cumsum(coats).tolist()
    parts = [slice(end - count, end) for end, count in zip(ends, coats, strict=True)]
    rows = [
        _row(one.key, [one], [_cut(factors, part)], known)
        for one, part in zip(planned, parts, strict=True)
    ]
    whole = _row("job", planned, [_cut(factors, part) for part in parts], known)
    return (*rows, replace(whole, film=None))


def _factors(
    planned: Sequence[StrokeRecipe], coats: Sequence[int], pools: Mapping[str, Pool], job: str
) -> Carried:
    """Draws for every coat of every recipe, together."""
    each = [one for one, count in zip(planned, coats, strict=True) for _ in range(count)]
    cells = [
        {"painter": one.hand, "gun": one.gun, "product": one.product, "job": job} for one in each
    ]
    flow, transfer, speed = (
        learning.draws(pools[name], cells, DRAWS, seed) for seed, name in enumerate(LEARNED, 1)
    )
    landed = [one.transfer.value * one.capture.value for one in each]
    return learning.carried(flow, transfer, speed, landed)


def _cut(factors: Carried, part: slice) -> Carried:
    return Carried(*(draws[:, part] for draws in factors))


def _row(
    key: str, recipes: Sequence[StrokeRecipe], factors: Sequence[Carried], known: bool
) -> Foretold:
    pairs = list(zip(recipes, factors, strict=True))
    paint = sum(one.paint.value * part.paint.mean(axis=1) for one, part in pairs)
    turns = sum(one.spray_minutes.value - one.trigger_time.value for one, _ in pairs)
    trigger = sum(one.trigger_time.value * part.trigger.mean(axis=1) for one, part in pairs)
    film = recipes[0].dry_total.value * factors[0].film.mean(axis=1)
    return Foretold(
        key,
        _figure("paint", "volume", _summed(paint), known),
        _figure("minutes", "time", _summed(trigger + turns), known),
        _figure("film", "film", _summed(film), known),
    )


def _summed(drawn: np.ndarray) -> Forecast:
    return learning.total([1.0], np.asarray(drawn)[:, None])


def _figure(what: str, purpose: str, forecast: Forecast, known: bool) -> Figure:
    return Figure(
        forecast.middle,
        purpose,
        "measured" if known else "assumed",
        "film-mass-balance" if known else "learning-classes",
        _FORMULAS[what],
        spread=(forecast.low, forecast.high),
    )
