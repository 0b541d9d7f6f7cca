"""The film of every layer of a patch: as the plans of its coats foresaw it, and as found since.

Found: the plan's film corrected by weighed cups, wet comb and gauge, each with its own error, all
layers at once (engines.evidence). What was rubbed off comes off at the end; a gauge reading taken
after rubbing is read as if that were still there.
"""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from coatwright.engines.evidence.fusing.layers import Combed, Fused, Gauged, fuse, predicted
from coatwright.engines.evidence.fusing.surprise import NO_SURPRISE, Surprise
from coatwright.engines.evidence.gauge import Gauge, Ground, films_from_gauge
from coatwright.engines.evidence.measured import Measured
from coatwright.engines.evidence.weighing import film_from_paint, one_film, paint_used
from coatwright.errors import RangeError
from coatwright.record.state import Film, FilmReading, LaidCoat, LaidLayer, PatchState
from coatwright.sentences import say

LEVEL_SPREAD: Final = 0.2
"""How far the mean film of a layer may lie from its plan, as a share (assumption)."""
SCATTER_DOUBT: Final = 0.3
"""How far the plan's scatter may be wrong, as the standard deviation of its log (assumption)."""
CAPTURE_SPREAD: Final = 0.12
"""How well the plan knows what share of the paint lands, as a share (assumption)."""
SOLIDS_SPREAD: Final = 0.05
"""How well the solids of a ready mix are known, as a share (assumption)."""
DENSITY_SPREAD: Final = 0.02
"""How well the density of a ready mix is known, as a share (assumption)."""


@dataclass(frozen=True, slots=True)
class LayerFilm:
    """One layer: film as planned and as found [m], what was rubbed off it [m], on what it rests."""

    product: str
    planned: Film | None
    found: Film | None
    rubbed: float
    readings: int


@dataclass(frozen=True, slots=True)
class PatchFilms:
    """Every layer of a patch, metal upwards, the whole of them, and whether readings contradict."""

    layers: tuple[LayerFilm, ...]
    total: Film | None
    surprise: Surprise
    unread: tuple[str, ...] = ()


def films_of(patch: PatchState) -> PatchFilms:
    """The films of a patch. unread says which readings could not be used, and why."""
    layers = patch.layers
    if not layers or any(coat.planned is None for layer in layers for coat in layer.coats):
        bare = tuple(LayerFilm(one.product, one.film, None, _took(one), 0) for one in layers)
        return PatchFilms(bare, None, NO_SURPRISE)
    levels = [_planned(layer) for layer in layers]
    stack = predicted(
        [level.mean for level in levels],
        [LEVEL_SPREAD * level.mean for level in levels],
        [level.spread for level in levels],
        SCATTER_DOUBT,
    )
    unread: list[str] = []
    gauged = [*_weighed(layers, unread), *_gauged(patch, unread)]
    combed = list(_combed(layers))
    done = fuse(stack, gauged, combed)
    counts = [_count(index, gauged, combed) for index in range(len(layers))]
    rows = tuple(
        _row(layer, level, done, index, counts[index])
        for index, (layer, level) in enumerate(zip(layers, levels, strict=True))
    )
    rubbed = sum(row.rubbed for row in rows)
    spread = math.sqrt(max(float(done.stack.covariance.sum()), 0.0))
    total = Film(max(float(done.stack.level.sum()) - rubbed, 0.0), spread, _basis(sum(counts)))
    return PatchFilms(rows, total, done.surprise, tuple(unread))


def _planned(layer: LaidLayer) -> Film:
    """Film of a layer before any rubbing."""
    plans = [coat.planned for coat in layer.coats if coat.planned]
    return Film(sum(p.dry for p in plans), sum(p.dry_spread for p in plans), "planned")


def _row(layer: LaidLayer, level: Film, done: Fused, index: int, count: int) -> LayerFilm:
    took = _took(layer)
    mean = max(float(done.stack.level[index]) - took, 0.0)
    spread = math.sqrt(max(float(done.stack.covariance[index, index]), 0.0))
    planned = Film(max(level.mean - took, 0.0), level.spread, "planned")
    return LayerFilm(layer.product, planned, Film(mean, spread, _basis(count)), took, count)


def _took(layer: LaidLayer) -> float:
    return sum(rub.took or 0.0 for rub in layer.rubbed)


def _basis(count: int) -> str:
    return "measured" if count else "planned"


def _count(index: int, gauged: Sequence[Gauged], combed: Sequence[Combed]) -> int:
    """How many readings say something of a layer."""
    counts = [len(one.films.films) for one in gauged if one.through[index] > 0]
    counts += [len(np.atleast_2d(one.intervals)) for one in combed if one.through[index] > 0]
    return sum(counts)


def _share(layer: LaidLayer, coats: int) -> float:
    """Share of a layer that its first coats make."""
    dry = [coat.planned.dry if coat.planned else 0.0 for coat in layer.coats]
    return sum(dry[:coats]) / sum(dry)


def _alone(layers: Sequence[LaidLayer], index: int, coat: int) -> list[float]:
    through = [0.0] * len(layers)
    through[index] = _share(layers[index], coat + 1) - _share(layers[index], coat)
    return through


def _weighed(layers: Sequence[LaidLayer], unread: list[str]) -> Iterator[Gauged]:
    for index, layer in enumerate(layers):
        for number, coat in enumerate(layer.coats):
            film = _film_of_cup(coat, unread)
            if film is not None:
                yield Gauged(one_film(film), _alone(layers, index, number), whole=True)


def _film_of_cup(coat: LaidCoat, unread: list[str]) -> Measured | None:
    plan = coat.planned
    if not coat.cup or plan is None:
        return None
    if plan.density is None or plan.capture is None or plan.solids is None:
        unread.append(
            say(
                "cup of coat {number}, {product}: its plan names no density",
                number=coat.number,
                product=coat.product,
            )
        )
        return None
    try:
        used = [
            paint_used(cup.before, cup.after, cup.scale, _about(plan.density, DENSITY_SPREAD))
            for cup in coat.cup
        ]
        paint = Measured(
            sum(one.mean for one in used), math.hypot(*(one.spread for one in used), 0.0)
        )
        solids = _about(plan.solids, SOLIDS_SPREAD)
        return film_from_paint(paint, solids, _about(plan.capture, CAPTURE_SPREAD), plan.surface)
    except RangeError as fault:
        unread.append(
            say(
                "cup of coat {number}, {product}: {sentence}",
                number=coat.number,
                product=coat.product,
                sentence=fault.sentence,
            )
        )
        return None


def _about(value: float, share: float) -> Measured:
    return Measured(value, value * share)


def _combed(layers: Sequence[LaidLayer]) -> Iterator[Combed]:
    for index, layer in enumerate(layers):
        for number, coat in enumerate(layer.coats):
            plan = coat.planned
            if plan is None or not plan.wet:
                continue
            for comb in coat.comb:
                tops = comb.steps or (math.inf,) * len(comb.readings)
                wet = np.column_stack([comb.readings, tops])
                through = _alone(layers, index, number)
                yield Combed(wet * (plan.dry / plan.wet), through, SOLIDS_SPREAD)


def _gauged(patch: PatchState, unread: list[str]) -> Iterator[Gauged]:
    for one in patch.gauge:
        if not 0 < one.layers <= len(patch.layers):
            at = f"{one.place.at:%Y-%m-%d %H:%M}"
            unread.append(say("gauge at {at}: what lay there then is gone", at=at))
            continue
        through = [1.0] * (one.layers - 1) + [0.0] * (len(patch.layers) - one.layers + 1)
        top = patch.layers[one.layers - 1]
        through[one.layers - 1] = _share(top, one.coats) if one.coats else 1.0
        gauge = Gauge(one.error, one.error_share)
        readings = np.asarray(one.readings) + _rubbed_before(patch, one)
        yield Gauged(films_from_gauge(readings, gauge, Ground(zero=one.zero)), through)


def _rubbed_before(patch: PatchState, reading: FilmReading) -> float:
    return sum(
        rub.took or 0.0
        for layer in patch.layers[: reading.layers]
        for rub in layer.rubbed
        if rub.place.at <= reading.place.at
    )
