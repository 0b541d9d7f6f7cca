"""The hours of a job: by kind of work, by stage at which the owner can look, and in the booth."""

from collections.abc import Mapping, Sequence
from typing import Final

from coatwright.figures import Figure
from coatwright.model.material import Material
from coatwright.model.substrate import Family
from coatwright.planning.supplies.cost import Bill, Labour, Stage
from coatwright.planning.supplies.quantity import Demand
from coatwright.planning.systems import Chosen
from coatwright.sentences import Said, say

MIXING: Final = 300.0
"""Seconds to weigh, stir and strain one mix (common practice, no source)."""

SPRAYING_SPREAD: Final = (0.85, 1.4)
"""10 and 90 % points of time at the gun, as shares: waiting on a gun that plays up (assumption)."""
MIXING_SPREAD: Final = (0.6, 2.0)
"""10 and 90 % points of time at the scale, as shares (assumption)."""

STAGES: Final = {
    "primed": say("every area prepared and in its first primer"),
    "built": say("built up, blocked and ready for colour"),
    "coloured": say("colour and lacquer on, protected, ready to hand over"),
}

_BUILD: Final = {Family.HIGH_BUILD, Family.SPRAY_POLYESTER, Family.SEALER}
_GROUND: Final = {
    Family.ETCH,
    Family.EPOXY,
    Family.METAL_PRETREATMENT,
    Family.GRP_PRETREATMENT,
    Family.PLASTIC_PROMOTER,
    Family.RUST_CONVERTER,
    Family.FILLER,
    Family.SEAM_SEALER,
}

Seconds = tuple[float, float, float]
"""10 % point, likely, 90 % point [s]."""


def stage_of(family: Family) -> str:
    """The stage in which a product of that family goes on."""
    if family in _GROUND:
        return "primed"
    return "built" if family in _BUILD else "coloured"


def bill_of(
    chosen: Sequence[Chosen],
    wants: Sequence[Demand],
    mixes: Mapping[str, int],
    materials: Mapping[str, Material],
) -> Bill:
    """All hours of the job. mixes: how many of each product."""
    rows = [*_steps(chosen, materials), *_sprayed(wants, materials), *_mixed(mixes, materials)]
    return Bill(_by_kind(rows), _by_stage(rows), _booth(wants, materials))


class _Row:
    """Some hours of one kind of work in one stage."""

    __slots__ = ("act", "figure", "stage")

    def __init__(self, act: str, stage: str, figure: Figure) -> None:
        self.act, self.stage, self.figure = act, stage, figure


def _steps(chosen: Sequence[Chosen], materials: Mapping[str, Material]) -> list[_Row]:
    rows = []
    for one in chosen:
        last = stage_of(one.materials[-1].family) if one.materials else "coloured"
        for step in one.route.steps:
            ahead = materials.get(step.before)
            stage = stage_of(ahead.family) if ahead else last
            if stage == "coloured" and step.grade:
                stage = "built"  # what is blocked for colour is part of being ready for it
            rows.append(_Row(step.act or step.key, stage, step.hours))
    return rows


def _sprayed(wants: Sequence[Demand], materials: Mapping[str, Material]) -> list[_Row]:
    return [
        _Row(
            "spraying",
            stage_of(materials[product].family),
            _time(
                sum(want.seconds for want in wants if want.product == product),
                SPRAYING_SPREAD,
                "formula",
                "stroke-recipe",
                "trigger time and turns of every coat",
            ),
        )
        for product in dict.fromkeys(want.product for want in wants)
    ]


def _mixed(mixes: Mapping[str, int], materials: Mapping[str, Material]) -> list[_Row]:
    source, words = "common practice, no source", "mixes x 5 min"
    return [
        _Row(
            "mixing",
            stage_of(materials[product].family),
            _time(count * MIXING, MIXING_SPREAD, "assumed", source, words),
        )
        for product, count in mixes.items()
    ]


def _time(
    seconds: float, spread: tuple[float, float], basis: str, source: str, words: str
) -> Figure:
    ends = (seconds * spread[0], seconds * spread[1])
    return Figure(seconds, "hours", basis, source, words, spread=ends)  # type: ignore[arg-type]


def _by_kind(rows: Sequence[_Row]) -> tuple[Labour, ...]:
    kinds = dict.fromkeys([say("spraying"), say("mixing"), *(Said(row.act) for row in rows)])
    return tuple(
        Labour(kind.replace(" ", "-"), kind, _sum([r.figure for r in rows if r.act == kind]))
        for kind in kinds
    )


def _by_stage(rows: Sequence[_Row]) -> tuple[Stage, ...]:
    return tuple(
        Stage(key, title, _sum([row.figure for row in rows if row.stage == key]))
        for key, title in STAGES.items()
        if any(row.stage == key and row.figure.value > 0 for row in rows)
    )


def _booth(wants: Sequence[Demand], materials: Mapping[str, Material]) -> Figure:
    """Time it is taken: every coat, and the flash-off after the last area of each."""
    coats = dict.fromkeys((want.product, want.stage, want.coat) for want in wants if want.gun)
    flashing = sum(materials[product].flash.min for product, _, _ in coats)
    spraying = sum(want.seconds for want in wants if want.gun)
    return Figure(
        spraying + flashing,
        "hours",
        "formula",
        "stroke-recipe",
        "time at the gun + a flash-off after each coat of each product and stage",
        spread=(
            spraying * SPRAYING_SPREAD[0] + flashing,
            (spraying + flashing) * SPRAYING_SPREAD[1],
        ),
    )


def _sum(parts: Sequence[Figure]) -> Figure:
    ends = [part.spread or (part.value, part.value) for part in parts]
    first = parts[0] if parts else Figure(0.0, "hours", "formula", "cost-range")
    return Figure(
        sum(part.value for part in parts),
        "hours",
        first.basis,
        first.source,
        first.formula or "sum of its parts",
        spread=(sum(low for low, _ in ends), sum(high for _, high in ends)),
    )
