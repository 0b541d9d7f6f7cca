"""Film readings of a patch: every spot against its limits, what the rules say, what is in hand."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import datetime
from typing import Final, Literal

import numpy as np

from coatwright.actions.dossier.acceptance import wanted_film
from coatwright.actions.dossier.patches import Library, film_figure, patch_told, title_of
from coatwright.actions.dossier.told import PatchTold
from coatwright.actions.moments import zoned
from coatwright.actions.shop import Shop
from coatwright.engines import abrasion
from coatwright.engines.evidence.rules.acceptance import (
    READINGS_OF_A_SPOT,
    SPOTS,
    Verdict,
    iso19840_verdict,
    pa2_verdict,
    spot_means,
)
from coatwright.errors import NotFound
from coatwright.figures import Figure
from coatwright.model.area import Area
from coatwright.planning.plan import LayerPlan, PatchPlan, Rub
from coatwright.record.films import LayerFilm, films_of
from coatwright.record.state import FilmReading, PatchState
from coatwright.sentences import Said, say

SOURCE: Final = "paint-record"
_TENTHS: Final = 2 * 1.2815515655446004
"""Standard deviations between the 10 and 90 % points of a normal distribution."""

Lies = Literal["too little", "light", "within", "too much", "not judged"]


@dataclass(frozen=True, slots=True)
class Spot:
    """One reading, in the order read; upto: the next tooth of a comb, not wetted."""

    number: int
    film: Figure
    upto: Figure | None
    lies: Lies


@dataclass(frozen=True, slots=True)
class ClauseTold:
    """One demand of a rule with its figures."""

    says: str
    passed: bool
    found: Figure
    limit: Figure


@dataclass(frozen=True, slots=True)
class RuleTold:
    """What one rule says; why: in words, why it was not asked."""

    rule: str
    source: str
    verdict: Literal["passes", "does not pass", "not judged"]
    clauses: tuple[ClauseTold, ...]
    why: str = ""


@dataclass(frozen=True, slots=True)
class Reading:
    """One set of readings: by gauge through all that lies there, or of one wet coat by comb."""

    key: str
    event: str
    at: datetime
    who: str
    method: str
    title: str
    mean: Figure
    least: Figure | None
    most: Figure | None
    spots: tuple[Spot, ...]
    rules: tuple[RuleTold, ...]
    why: str = ""


@dataclass(frozen=True, slots=True)
class Reserve:
    """What may still be rubbed off the top layer, and the chance of breaking through by grade.

    rubs: grade, what it takes, chance by the plan, chance by the film as found.
    """

    title: str
    film: Figure
    least: Figure | None
    above: Figure | None
    rubs: tuple[tuple[str, Figure, Figure, Figure], ...]


@dataclass(frozen=True, slots=True)
class FilmSheet:
    """All about the film of one patch. product, coat: what was sprayed last. surface in m2."""

    area: str
    title: str
    surface: float
    told: PatchTold
    readings: tuple[Reading, ...]
    reserve: Reserve | None
    product: str
    coat: int
    unread: tuple[str, ...]


def find_patch(shop: Shop, key: str, area: str, patch: str) -> tuple[Area, str]:
    """An area of the job and the key of one of its patches. Raises NotFound."""
    for one in shop.open(key).bench.job.areas:
        if one.key == area and any(known.key == patch for known in one.patches):
            return one, patch
    raise NotFound(
        say("there is no patch '{patch}' of '{area}' in this job", patch=patch, area=area)
    )


def film_sheet(shop: Shop, key: str, area: str, patch: str) -> FilmSheet:
    """The film of a patch as read; with what the plan says of rubbing, if it has been computed."""
    found, _ = find_patch(shop, key, area, patch)
    opened = shop.open(key)
    state = zoned(replace(opened.state.patch(area, patch), area=area, patch=patch), None)
    plan, library = shop.planned(key), opened.bench.library
    planned = next(
        (one for whole in (plan.areas if plan else ()) if whole.key == area
         for one in whole.patches if one.key == patch), None,
    )  # fmt: skip
    readings = [*_gauged(state, found.net()), *_combed(state)]
    coat = state.last_coat
    return FilmSheet(
        area, found.title, found.net(), patch_told(state, planned, library),
        tuple(sorted(readings, key=lambda one: one.at, reverse=True)),
        _reserve(state, planned, library),
        coat.product if coat else "", coat.number if coat else 0, films_of(state).unread,
    )  # fmt: skip


def _gauged(state: PatchState, surface: float) -> Iterator[Reading]:
    for number, one in enumerate(state.gauge):
        films = np.asarray(one.readings) - one.zero
        wanted, why = wanted_film(state, one)
        least, most = wanted or (None, None)
        yield Reading(
            key=f"g{number}", event=one.place.event, at=one.place.at.astimezone(),
            who=one.place.who, method="gauge",
            title=say("all layers together"), mean=_measured(float(films.mean())),
            least=_sheet(least), most=_sheet(most),
            spots=tuple(
                Spot(n, _measured(float(film)), None, _lies(float(film), least, most))
                for n, film in enumerate(films, start=1)
            ),
            rules=tuple(_rules(films, wanted, surface)), why=why,
        )  # fmt: skip


def _lies(film: float, least: float | None, most: float | None) -> Lies:
    """As ISO 19840 tells readings apart: below 80 % of what is wanted, below it, or above most."""
    if least is None or most is None:
        return "not judged"
    if film < 0.8 * least:
        return "too little"
    if film < least:
        return "light"
    return "too much" if film > most else "within"


def _rules(
    films: np.ndarray[tuple[int], np.dtype[np.float64]],
    wanted: tuple[float, float] | None,
    surface: float,
) -> Iterator[RuleTold]:
    if wanted is None:
        return
    yield _told(iso19840_verdict(films, *wanted))
    need = SPOTS * READINGS_OF_A_SPOT
    if len(films) < need or len(films) % READINGS_OF_A_SPOT:
        why = say(
            "wants at least {spots} spots of {readings} readings, spot by spot",
            spots=SPOTS,
            readings=READINGS_OF_A_SPOT,
        )
        yield RuleTold("SSPC-PA 2", "sspc-pa-2", "not judged", (), why)
        return
    spots = spot_means(np.split(films, len(films) // READINGS_OF_A_SPOT))
    told = _told(pa2_verdict(spots, *wanted))
    if surface > 10.0:
        told = replace(told, why=say("read so for one area of 10 m2; this one is larger"))
    yield told


def _told(found: Verdict) -> RuleTold:
    word: Literal["passes", "does not pass", "not judged"] = "not judged"
    if found.covered:
        word = "passes" if found.passed else "does not pass"
    clauses = tuple(
        ClauseTold(
            Said(one.says), one.passed,
            Figure(one.found, "fraction" if one.share else "film", "measured", SOURCE),
            Figure(one.limit, "fraction" if one.share else "film", "formula", found.source),
        )
        for one in found.clauses
    )  # fmt: skip
    return RuleTold(found.rule, found.source, word, clauses, found.note)


def _combed(state: PatchState) -> Iterator[Reading]:
    for coat in state.coats():
        plan = coat.planned
        least = plan.wet * 0.8 if plan and plan.wet else None
        most = plan.run_limit if plan else None
        for number, one in enumerate(coat.comb):
            yield Reading(
                key=f"c{coat.product}-{coat.number}-{number}", event=one.place.event,
                at=one.place.at.astimezone(),
                who=one.place.who, method="wet comb",
                title=say("coat {number}, {product}", number=coat.number, product=coat.product),
                mean=_measured(float(np.mean(one.readings))),
                least=Figure(plan.wet, "film", "formula", SOURCE) if plan and plan.wet else None,
                most=Figure(most, "film", "formula", SOURCE, "wet film that would run")
                if most else None,
                spots=tuple(_comb_spots(one, least, most)), rules=(),
                why="" if plan else say("the coat was laid without a plan"),
            )  # fmt: skip


def _comb_spots(one: FilmReading, least: float | None, most: float | None) -> Iterator[Spot]:
    """A spot is light below 80 % of the wet film planned (assumption); too much: it may run."""
    for number, wetted in enumerate(one.readings):
        upto = one.steps[number] if number < len(one.steps) else None
        lies: Lies = "within" if least is not None else "not judged"
        if least is not None and (upto or wetted) < least:
            lies = "light"
        if most is not None and wetted > most:
            lies = "too much"
        yield Spot(number + 1, _measured(wetted), _measured(upto) if upto else None, lies)


def _reserve(state: PatchState, planned: PatchPlan | None, library: Library) -> Reserve | None:
    films = films_of(state).layers
    if not films:
        return None
    top, layer = films[-1], state.layers[-1]
    best = top.found or top.planned
    if best is None:
        return None
    plan = layer.last.planned
    least = plan.least if plan else None
    told: LayerPlan | None = next(
        (one for one in (planned.layers if planned else ()) if one.product == top.product), None
    )
    return Reserve(
        title_of(top.product, library),
        film_figure(best), _sheet(least),
        Figure(best.mean - least, "film", "formula", SOURCE, "film as found less the sheet's least")
        if least else None,
        tuple(_rub(one, top) for one in (told.rubs if told else ())),
    )  # fmt: skip


def _rub(rub: Rub, top: LayerFilm) -> tuple[str, Figure, Figure, Figure]:
    best = top.found or top.planned
    assert best is not None
    low, high = rub.takes.spread or (rub.takes.value, rub.takes.value)
    scatter = top.planned.spread if top.planned else best.spread
    chance = abrasion.break_through(
        max(best.mean, 0.0), float(np.hypot(best.spread, scatter)), rub.takes.value,
        max((high - low) / _TENTHS, 0.0),
    )  # fmt: skip
    made = Figure(chance, "fraction", "formula", "derived", "film as found, loss as planned")
    return rub.grade, rub.takes, rub.break_through, made


def _measured(value: float) -> Figure:
    return Figure(value, "film", "measured", SOURCE)


def _sheet(value: float | None) -> Figure | None:
    return None if value is None else Figure(value, "film", "sheet", SOURCE)
