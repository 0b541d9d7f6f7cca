"""What ISO 19840 says of the gauge readings of a patch."""

from collections.abc import Iterator
from typing import Final, Literal

import numpy as np

from coatwright.actions.dossier.told import ReadTold, Unmet
from coatwright.engines.evidence.rules.acceptance import Clause, Verdict, iso19840_verdict
from coatwright.figures import Figure
from coatwright.record.state import FilmReading, LaidLayer, PatchState
from coatwright.sentences import say

SOURCE: Final = "paint-record"


def judged(patch: PatchState) -> Iterator[ReadTold]:
    """Every set of gauge readings with its verdict.

    The nominal film is the least that the sheets ask for of the layers read, less what was noted
    as rubbed off before; the greatest allowed is the sum of the sheets' most.
    """
    for index, one in enumerate(patch.gauge, start=1):
        films = np.asarray(one.readings) - one.zero
        wanted, why = wanted_film(patch, one)
        found = iso19840_verdict(films, *wanted) if wanted else None
        yield ReadTold(
            key=str(index),
            at=one.place.at,
            who=one.place.who,
            count=len(one.readings),
            film=Figure(
                float(films.mean()), "film", "measured", SOURCE, "mean of the readings, less zero",
                spread=(float(films.min()), float(films.max())), spread_note="least and most",
            ),
            wanted=Figure(
                wanted[0], "film", "sheet", SOURCE, "least of the sheets, less what was rubbed off"
            ) if wanted else None,
            rule="ISO 19840",
            verdict=_word(found),
            why=found.note if found else why,
            unmet=tuple(_unmet(index, clause) for index, clause in enumerate(found.failed))
            if found else (),
        )  # fmt: skip


def _word(found: Verdict | None) -> Literal["passes", "does not pass", "not judged"]:
    if found is None or not found.covered:
        return "not judged"
    return "passes" if found.passed else "does not pass"


def _unmet(index: int, clause: Clause) -> Unmet:
    purpose = "fraction" if clause.share else "film"
    return Unmet(
        str(index),
        clause.says,
        Figure(clause.found, purpose, "measured", SOURCE),
        Figure(clause.limit, purpose, "formula", "iso-19840"),
    )


def wanted_film(patch: PatchState, one: FilmReading) -> tuple[tuple[float, float] | None, str]:
    """Least and most film of what was read; or why no rule can be asked."""
    layers = patch.layers[: one.layers]
    if not layers:
        return None, say("what lay there then is gone")
    coats = len(layers[-1].coats)
    if one.coats and one.coats < coats:
        return None, say(
            "read after coat {coats} of {coats2}, not yet the whole layer",
            coats=one.coats,
            coats2=coats,
        )
    plans = [layer.coats[-1].planned for layer in layers]
    if any(plan is None or not plan.least or not plan.most for plan in plans):
        return None, say("a layer was laid without a plan, so what its film should be is not known")
    rubbed = sum(_rubbed(layer, one) for layer in layers)
    least = sum(plan.least or 0.0 for plan in plans if plan) - rubbed
    if least <= 0:
        return None, say("more was noted as rubbed off than the sheets ask for")
    return (least, sum(plan.most or 0.0 for plan in plans if plan)), ""


def _rubbed(layer: LaidLayer, one: FilmReading) -> float:
    return sum(rub.took or 0.0 for rub in layer.rubbed if rub.place.at <= one.place.at)
