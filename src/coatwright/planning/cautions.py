"""Which cautions a plan must print: by the hazards on its sheets, its steps and the kit."""

import tomllib
from collections.abc import Iterable, Mapping
from functools import cache
from importlib.resources import files
from typing import Any, Literal

from coatwright.model.kit import Workshop
from coatwright.model.material import Material
from coatwright.planning.plan import Caution, Step
from coatwright.sentences import Said

Where = Literal["mixing", "spraying", "rubbing", "stripping", "air", "storing"]


@cache
def _table() -> Mapping[str, Mapping[str, Any]]:
    return tomllib.loads((files("coatwright") / "data" / "cautions.toml").read_text("utf-8"))


def cautions_for(
    materials: Iterable[Material],
    steps: Iterable[Step],
    workshop: Workshop,
    *,
    old_paint: bool = False,
) -> tuple[Caution, ...]:
    """The cautions that products, steps and kit call for, in the order of data/cautions.toml.

    old_paint: some patch still carries paint that will be rubbed, stripped or tested.
    """
    hazards: set[str] = {hazard for material in materials for hazard in material.hazards}
    acts = {step.act for step in steps}
    more = workshop, old_paint
    return tuple(
        caution(key) for key, row in _table().items() if _applies(row, hazards, acts, more)
    )


def caution(key: str) -> Caution:
    """One caution by its key in data/cautions.toml."""
    row = _table()[key]
    return Caution(key, Said(row["hazard"]), row["where"], Said(row["text"]), row["source"])


def _applies(
    row: Mapping[str, Any], hazards: set[str], acts: set[str], more: tuple[Workshop, bool]
) -> bool:
    workshop, old_paint = more
    return (
        bool(row.get("always"))
        or not hazards.isdisjoint(row.get("hazards", ()))
        or not acts.isdisjoint(row.get("steps", ()))
        or (bool(row.get("old_paint")) and old_paint)
        or ("vessel" in row and bar_litres(workshop) > float(row["vessel"]))
    )


def bar_litres(workshop: Workshop) -> float:
    """Cut-out pressure in bar (gauge) x receiver in litres; 0 without a compressor."""
    pump = workshop.compressor
    return pump.cut_out / 1e5 * pump.receiver * 1e3 if pump else 0.0
