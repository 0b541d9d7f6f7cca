"""Signs of film: what the comb, the gauge and the weighed cup say was laid."""

import math
from collections.abc import Iterable, Sequence
from statistics import fmean, stdev
from typing import NamedTuple

from coatwright.record.diagnosis.signs import Measured, Missing, Outcome, Reader, place
from coatwright.record.diagnosis.story import Coat, Gauged, Layer, Story
from coatwright.record.events import FilmRead

CUP = 0.08
"""Spread of a film by the weighed cup: capture, and what stays in the gun (assumption)."""
COMB = 0.05
"""Spread of a comb from one place to the mean of a coat, beside its teeth (assumption)."""
LEAN = 0.7
"""A coat below this share of the wet film planned is lean (common practice, no source)."""
EDGES = 0.6
"""Share of a layer's film that edges have: 30 to 50 % thinner (common practice, no source)."""


class Film(NamedTuple):
    """A film and its standard deviation [m]."""

    value: float
    spread: float


def joined(films: Iterable[Film]) -> Film | None:
    """Several findings of one film, weighted by the inverse of their variance."""
    kept = [film for film in films if film.spread > 0.0]
    if not kept:
        return None
    weights = [film.spread**-2 for film in kept]
    mean = sum(w * film.value for w, film in zip(weights, kept, strict=True)) / sum(weights)
    return Film(mean, sum(weights) ** -0.5)


def combed(said: FilmRead) -> Film:
    """Mean wet film of a set of comb readings: between the last tooth wetted and the next."""
    steps = said.steps or said.readings
    middles = [(low + high) / 2 for low, high in zip(said.readings, steps, strict=False)]
    mean = fmean(middles)
    tooth = fmean(high - low for low, high in zip(said.readings, steps, strict=False))
    return Film(mean, math.hypot(tooth / math.sqrt(12.0 * len(middles)), COMB * mean))


def weighed(coat: Coat) -> Film | None:
    """Mean wet film of a coat from the weight that left the cup."""
    planned, cup = coat.said.planned, coat.cup
    if cup is None or planned is None or not (planned.paint and planned.density and planned.wet):
        return None
    share = (cup.before - cup.after) / planned.density / planned.paint
    return Film(share * planned.wet, CUP * abs(share) * planned.wet + 1e-9)


def wet(coat: Coat) -> Film | None:
    """Mean wet film of a coat by all the evidence there is."""
    cup = weighed(coat)
    return joined([*map(combed, coat.combs), *([cup] if cup else [])])


def share_laid(layer: Layer) -> Film | None:
    """What was laid of the layer, as a share of the plan; None without evidence."""
    found = [
        (film, coat.said.planned.wet)
        for coat in layer.coats
        if (film := wet(coat)) and coat.said.planned and coat.said.planned.wet
    ]
    if not found:
        return None
    planned = sum(one for _, one in found)
    # Capture and the comb's reader are the same in every coat, so their errors do not cancel.
    spread = sum(film.spread for film, _ in found) / planned
    return Film(sum(film.value for film, _ in found) / planned, spread)


def gauged(reading: Gauged) -> Film:
    """All the film there is by a set of gauge readings."""
    said = reading.said
    mean = fmean(said.readings) - said.zero
    several = len(said.readings) > 1
    scatter = stdev(said.readings) / math.sqrt(len(said.readings)) if several else 0.15 * mean
    return Film(mean, math.hypot(scatter, said.error, said.error_share * mean))


def dry(story: Story, index: int) -> Film | None:
    """Dry film of a layer by all the evidence there is."""
    layer = story.layers[index]
    laid = share_laid(layer)
    planned = sum(coat.said.planned.dry for coat in layer.coats if coat.said.planned)
    by_coats = Film(laid.value * planned, laid.spread * planned) if laid and planned else None
    by_gauge = _between(story, index)
    return joined(film for film in (by_coats, by_gauge) if film)


def _between(story: Story, index: int) -> Film | None:
    """A layer as the difference of two gaugings, with what was rubbed off between them."""
    layer = story.layers[index]
    if not layer.gauged:
        return None
    after = gauged(layer.gauged[0])
    if index == 0:
        return after if story.stripped else None
    if not story.layers[index - 1].gauged:
        return None
    under = gauged(story.layers[index - 1].gauged[-1])
    took = [rub.said.took for rub in layer.before.rubbed]
    if any(one is None for one in took) and len(took) > 1:
        return None
    lost = sum(one or 0.0 for one in took)
    return Film(after.value - under.value + lost, math.hypot(after.spread, under.spread))


def wet_over_run(story: Story, index: int) -> Outcome:
    """Wet film of the wettest coat, against what would run."""
    found = [
        one
        for coat in story.layers[index].coats
        if (one := _coat(coat, coat.said.planned.run_limit if coat.said.planned else None))
    ]
    return max(found, key=_over) if found else Missing.NOT_RECORDED


def wet_thin(story: Story, index: int) -> Outcome:
    """Wet film of the leanest coat, against seven tenths of the plan."""
    found = [
        one
        for coat in story.layers[index].coats
        if coat.said.planned
        and coat.said.planned.wet
        and (one := _coat(coat, LEAN * coat.said.planned.wet))
    ]
    return min(found, key=_over) if found else Missing.NOT_RECORDED


def _coat(coat: Coat, bound: float | None) -> Measured | None:
    film = wet(coat)
    if film is None or bound is None:
        return None
    where = place(coat.said.product, coat.said.coat)
    return Measured(film.value, bound, film.spread, coat.ended, where)


def _over(one: Measured) -> float:
    return one.value / one.bound if one.bound else one.value


def layer_over_most(story: Story, index: int) -> Outcome:
    """Dry film of the layer, against its sheet's most."""
    return _layer(story, index, "most")


def layer_under_least(story: Story, index: int) -> Outcome:
    """Dry film of the layer, against its sheet's least."""
    return _layer(story, index, "least")


def _layer(story: Story, index: int, limit: str) -> Outcome:
    layer, film = story.layers[index], dry(story, index)
    bound = getattr(layer.planned, limit, None)
    if film is None or bound is None:
        return Missing.NOT_RECORDED
    return Measured(film.value, bound, film.spread, layer.ended, place(layer.product))


def film_uneven(story: Story, index: int) -> Outcome:
    """Spread of the film from spot to spot, as a share of it: by gauge, else by comb."""
    layer = story.layers[index]
    sets = [one.said.readings for one in layer.gauged if len(one.said.readings) >= 4]
    if not sets:
        sets = [one.readings for coat in layer.coats for one in coat.combs]
    freedom = sum(len(one) - 1 for one in sets)
    if freedom < 3:
        return Missing.NOT_RECORDED
    value = math.sqrt(sum(_scatter(one) for one in sets) / freedom)
    spread = math.hypot(value / math.sqrt(2.0 * freedom), 0.02)
    return Measured(value, None, spread, layer.ended, place(layer.product))


def _scatter(readings: Sequence[float]) -> float:
    mean = fmean(readings)
    return sum((one / mean - 1.0) ** 2 for one in readings) if mean > 0.0 else 0.0


def stack_thick(story: Story, index: int) -> Outcome:
    """All the film there is, by the last gauge; else all layers added up, on stripped metal."""
    readings = [one for layer in story.layers[index:] for one in layer.gauged]
    layer = story.layers[index]
    if readings:
        film = gauged(readings[-1])
        return Measured(film.value, None, film.spread, readings[-1].at, place(layer.product))
    films = [dry(story, number) for number in range(len(story.layers))]
    kept = [film for film in films if film]
    if not story.stripped or len(kept) < len(films):
        return Missing.NOT_RECORDED
    took = sum(rub.said.took or 0.0 for one in story.layers for rub in one.before.rubbed)
    total = sum(film.value for film in kept) - took
    spread = math.hypot(*(film.spread for film in kept), 0.3 * took)
    return Measured(total, None, spread, layer.ended, place(layer.product))


def cut_deep(story: Story, index: int) -> Outcome:
    """Film rubbed off the layer, against what its edges have."""
    layer = story.layers[index]
    rubbed = [one for one in story.prepared(index).rubbed if one.said.took is not None]
    if not rubbed:
        return Missing.NOT_RECORDED
    took = sum(one.said.took or 0.0 for one in rubbed)
    planned = sum(coat.said.planned.dry for coat in layer.coats if coat.said.planned)
    film = dry(story, index) or (Film(planned, 0.2 * planned) if planned else None)
    if film is None:
        return Missing.NOT_RECORDED
    spread = math.hypot(0.15 * took, EDGES * film.spread)
    return Measured(took, EDGES * film.value, spread, rubbed[-1].at, place(layer.product))


def film_differs(story: Story, index: int) -> Outcome:
    """Film of the layer against the same product on other areas, as a share."""
    layer = story.layers[index]
    own = share_laid(layer)
    same = [one for many in story.others.values() for one in many if one.product == layer.product]
    if not same:
        return Missing.NEVER_AROSE
    theirs = [film for one in same if (film := share_laid(one))]
    if own is None or not theirs:
        return Missing.NOT_RECORDED
    other = max(theirs, key=lambda film: abs(film.value - own.value))
    mean = (own.value + other.value) / 2
    spread = math.hypot(own.spread, other.spread) / mean
    value = abs(own.value - other.value) / mean
    return Measured(value, None, spread, layer.ended, place(layer.product))


READERS: dict[str, Reader] = {
    "wet-over-run": wet_over_run,
    "wet-thin": wet_thin,
    "layer-over-most": layer_over_most,
    "layer-under-least": layer_under_least,
    "film-uneven": film_uneven,
    "stack-thick": stack_thick,
    "cut-deep": cut_deep,
    "film-differs": film_differs,
}
