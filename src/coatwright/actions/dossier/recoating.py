"""For the next painter: what lies on each place, how old it is, what may go over it."""

from collections.abc import Iterator, Mapping
from dataclasses import replace
from datetime import datetime
from typing import Final, NamedTuple

from coatwright.actions.dossier.patches import SOURCE, title_of
from coatwright.actions.dossier.told import Over, Recoat
from coatwright.actions.workshop import Bench
from coatwright.figures import Figure
from coatwright.model.area import Area
from coatwright.model.material import Material
from coatwright.model.substrate import Family, Layer, Patch
from coatwright.planning.advice.context import Context
from coatwright.record.films import films_of
from coatwright.record.state import JobState, LaidLayer, PatchState
from coatwright.sentences import Said, joined, say

OVER: Final = (
    Family.EPOXY, Family.HIGH_BUILD, Family.SEALER, Family.SOLID_2K, Family.BASE_SOLVENT,
    Family.BASE_WATER, Family.CELLULOSE, Family.SYNTHETIC,
)  # fmt: skip
"""Kinds of coating that a next painter may have in mind."""


class _Spot(NamedTuple):
    """A patch as it is now, for the rules."""

    place: str
    area: Area
    patch: Patch
    stack: tuple[str, ...]
    last: datetime


def recoats(state: JobState, bench: Bench, now: datetime) -> tuple[Recoat, ...]:
    """What may go over what is there now, for each different build-up once."""
    found: dict[tuple[tuple[str, ...], tuple[Over, ...]], list[_Spot]] = {}
    for spot in _spots(state, bench, now):
        found.setdefault((spot.stack, tuple(_over(spot, bench))), []).append(spot)
    made = []
    for index, ((stack, over), spots) in enumerate(found.items(), start=1):
        last = max(spot.last for spot in spots)
        age = Figure(
            max((now - last).total_seconds(), 0.0), "days", "measured", SOURCE,
            "since the last coat of the youngest of these places",
        )  # fmt: skip
        places = tuple(dict.fromkeys(spot.place for spot in spots))
        made.append(Recoat(str(index), places, stack, last, age, over))
    return tuple(made)


def _spots(state: JobState, bench: Bench, now: datetime) -> Iterator[_Spot]:
    for area in bench.job.areas:
        for patch in area.patches:
            laid = state.area(area.key).patch(patch.key)
            coat = laid.last_coat
            if coat is None:
                continue
            old = () if laid.stripped else patch.layers
            new = tuple(_layers(laid, bench.library, now, _sound(state, area.key)))
            stack = (
                *(say("old {family}", family=Said(str(layer.family))) for layer in old),
                *(title_of(layer.product, bench.library) for layer in laid.layers),
            )
            now_there = patch.model_copy(
                update={"layers": (*old, *new), "prepared": None, "degreased": False}
            )
            place = area.title if len(area.patches) == 1 else f"{area.title}, {patch.key}"
            yield _Spot(place, area, now_there, stack, coat.last)


def _sound(state: JobState, area: str) -> bool:
    """No defect of the area stands without a repair."""
    return all(one.repairs for one in state.defects if one.place.area in ("", area))


def _layers(
    patch: PatchState, library: Mapping[str, Material], now: datetime, sound: bool
) -> Iterator[Layer]:
    films = films_of(patch).layers
    for layer, film in zip(patch.layers, films, strict=True):
        sheet = library.get(layer.product)
        best = film.found or film.planned
        age = max((now - layer.last.last).total_seconds(), 0.0)
        yield Layer(
            family=sheet.family if sheet else Family.UNKNOWN,
            film=best.mean if best and best.mean > 0 else None,
            age=age,
            cured=age >= sheet.through_dry if sheet and sheet.through_dry else None,
            keyed=_keyed(layer),
            sound=sound,
            product=layer.product if sheet else None,
        )


def _keyed(layer: LaidLayer) -> str | None:
    after = [rub for rub in layer.rubbed if rub.place.at >= layer.last.last]
    return after[-1].grade if after else None


def _over(spot: _Spot, bench: Bench) -> Iterator[Over]:
    context = replace(Context.of(spot.area, bench.job), spot_repair=False)
    for sheet in bench.library.values():
        if sheet.family not in OVER:
            continue
        judged = bench.shop.adviser.judge(sheet, spot.patch, context)
        if judged.verdict == "no":
            text: str = joined("; ", dict.fromkeys(one.title for one in judged.blocking))
        else:
            text = joined("; ", map(Said, judged.needs))
        yield Over(sheet.key, sheet.title, judged.verdict, text)
