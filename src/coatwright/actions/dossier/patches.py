"""A patch as planned and as found, side by side."""

from collections.abc import Iterator, Mapping, Sequence
from typing import Final

from coatwright.actions.dossier.acceptance import judged
from coatwright.actions.dossier.told import BreakTold, CoatTold, LayerTold, PatchTold, RubTold
from coatwright.figures import Figure
from coatwright.model.material import Material
from coatwright.planning.plan import PatchPlan, SectionBand
from coatwright.record.films import LayerFilm, PatchFilms, films_of
from coatwright.record.state import Broken, Film, FilmReading, LaidCoat, PatchState, Rubbing
from coatwright.sentences import Said, joined, listed, say

SOURCE: Final = "paint-record"
_TENTH: Final = 1.2815515655446004
"""Standard deviations from the mean of a normal distribution to its 10 and 90 % points."""

Library = Mapping[str, Material]


def patch_told(patch: PatchState, planned: PatchPlan | None, library: Library) -> PatchTold:
    """A patch with both sections; planned None for one that only the record knows."""
    films = films_of(patch)
    old = tuple(band for band in planned.section if band.old) if planned else ()
    kept = () if patch.stripped else old
    found, missing = _found(films, kept, library)
    return PatchTold(
        key=patch.patch or "whole",
        title=_title(patch, planned),
        ground=patch.ground or (planned.ground if planned else say("ground not noted")),
        surface=planned.surface if planned else None,
        planned=planned.section if planned else (),
        planned_total=planned.film_total if planned else None,
        found=found,
        found_total=_total(found, films) if found else None,
        missing=missing,
        layers=tuple(_layers(patch, films, library)),
        readings=tuple(judged(patch)),
    )


def _title(patch: PatchState, planned: PatchPlan | None) -> str:
    bands = planned.section if planned else ()
    old = [Said(band.title.removeprefix("old").lstrip(": ")) for band in bands if band.old]
    known = patch.ground or (planned.ground if planned else "")
    ground = Said(known) if known else patch.patch or say("the whole area")
    under = say(" under {old}", old=listed(old)) if old and not patch.stripped else ""
    return joined("", (ground, under))


def _found(
    films: PatchFilms, old: Sequence[SectionBand], library: Library
) -> tuple[tuple[SectionBand, ...], str]:
    """The bands as found, or why there are none."""
    if not films.layers:
        return (), say("Nothing of ours lies on it by the record.")
    bands = [_band(index, film, library) for index, film in enumerate(films.layers)]
    unknown = [film.product for film in films.layers if _best(film) is None]
    if unknown:
        names = joined(", ", dict.fromkeys(title_of(key, library) for key in unknown))
        return (
            (),
            say(
                "Not drawn: {names} was laid without a plan and without readings to tell its film.",
                names=names,
            ),
        )
    return (*old, *(band for band in bands if band is not None)), ""


def _best(film: LayerFilm) -> Film | None:
    return film.found or film.planned


def _band(index: int, film: LayerFilm, library: Library) -> SectionBand | None:
    best = _best(film)
    if best is None:
        return None
    sheet = library.get(film.product)
    laid = best._replace(mean=best.mean + film.rubbed)
    return SectionBand(
        key=f"{index}-{film.product}",
        title=title_of(film.product, library),
        family=sheet.family.value if sheet else "",
        laid=film_figure(laid),
        rubbed=Figure(film.rubbed, "film", "entered", SOURCE, "noted as rubbed off"),
    )


def title_of(product: str, library: Library) -> str:
    """What a product is called; its key if no sheet knows it."""
    return library[product].title if product in library else product


def ground_of(ground: str, library: Library) -> str:
    """What came to light under a layer: the metal, old paint (""), or what a product is called."""
    if not ground:
        return say("what lay there before")
    return library[ground].title if ground in library else Said(ground)


def _total(bands: Sequence[SectionBand], films: PatchFilms) -> Figure:
    height = sum(band.laid.value - band.rubbed.value for band in bands)
    if films.total is None:
        return Figure(height, "film", "formula", SOURCE, "sum of the films of its layers")
    return film_figure(films.total._replace(mean=height))


def film_figure(film: Film) -> Figure:
    """A film with its 10 and 90 % points."""
    measured = film.basis == "measured"
    reach = _TENTH * film.spread
    return Figure(
        film.mean,
        "film",
        "measured" if measured else "formula",
        SOURCE,
        "plan, weighed cups, comb and gauge together" if measured else "as its coats were planned",
        spread=(max(film.mean - reach, 0.0), film.mean + reach),
        spread_note="10 and 90 % points",
    )


def _layers(patch: PatchState, films: PatchFilms, library: Library) -> Iterator[LayerTold]:
    for index, (layer, film) in enumerate(zip(patch.layers, films.layers, strict=True)):
        yield LayerTold(
            key=f"{index}-{layer.product}",
            title=title_of(layer.product, library),
            coats=tuple(_coat(coat) for coat in layer.coats),
            hard=layer.last.after_last(layer.last.planned.cured) if layer.last.planned else None,
            planned=film_figure(film.planned) if film.planned else None,
            found=film_figure(film.found) if film.found and film.readings else None,
            readings=film.readings,
            rubbed=tuple(_rubbing(one) for one in layer.rubbed),
            broke=tuple(_broken(one, library) for one in layer.broke),
        )


def _coat(coat: LaidCoat) -> CoatTold:
    climate = coat.climate
    used = sum(cup.before - cup.after for cup in coat.cup)
    return CoatTold(
        key=str(coat.number),
        number=coat.number,
        at=coat.begun or coat.last,
        who=coat.who,
        mix=coat.mix,
        gun=coat.gun,
        air=_read(climate.air if climate else None, "temperature"),
        metal=_read(climate.metal if climate else None, "temperature"),
        humidity=_read(climate.humidity if climate else None, "fraction"),
        wet=_wet(coat.comb),
        used=_read(used, "mass") if coat.cup else None,
        note=joined(", ", filter(None, (say("felt dry") if coat.dry_spray else "", coat.note))),
    )


def _read(value: float | None, purpose: str) -> Figure | None:
    return None if value is None else Figure(value, purpose, "measured", SOURCE)


def _wet(combs: Sequence[FilmReading]) -> Figure | None:
    read = [value for comb in combs for value in comb.readings]
    if not read:
        return None
    return Figure(
        sum(read) / len(read), "film", "measured", SOURCE, "mean of the comb's readings",
        spread=(min(read), max(read)), spread_note="least and most",
    )  # fmt: skip


def _rubbing(one: Rubbing) -> RubTold:
    grade = one.grade
    how: list[str] = [
        say("{grade}, wet", grade=grade) if one.wet else say("{grade}, dry", grade=grade)
    ]
    how += [say("guide coat")] if one.guide_coat else []
    took = _read(one.took, "film")
    return RubTold(one.place.event, one.place.at, one.place.who, joined(", ", how), took)


def _broken(one: Broken, library: Library) -> BreakTold:
    size = _read(one.surface, "area") if one.surface else None
    ground = ground_of(one.ground, library)
    return BreakTold(one.place.event, one.place.at, one.place.who, ground, size)
