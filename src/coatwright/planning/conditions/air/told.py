"""Figures of the air, in the units a person reads."""

from collections.abc import Mapping

from coatwright.engines import air
from coatwright.figures import Figure
from coatwright.sentences import say

Inputs = Mapping[str, Figure | str]


def seconds(
    value: float,
    formula: str,
    inputs: Inputs | None = None,
    spread: tuple[float, float] | None = None,
    note: str = "",
) -> Figure:
    """Seconds; an hour stands for an hour or more."""
    most = air.LONG_ENOUGH
    return Figure(
        min(value, most),
        "seconds",
        "formula",
        "receiver-energy",
        formula,
        dict(inputs or {}),
        (min(spread[0], most), min(spread[1], most)) if spread else None,
        "an hour or more" if value >= most else note,
    )


def pressure(value: float, formula: str, source: str, inputs: Inputs | None = None) -> Figure:
    """A gauge pressure [Pa]."""
    return Figure(value, "pressure", "formula", source, formula, dict(inputs or {}))


def share(value: float, formula: str, source: str, inputs: Inputs | None = None) -> Figure:
    """A share."""
    return Figure(value, "fraction", "formula", source, formula, dict(inputs or {}))


def bar(value: float) -> str:
    """A gauge pressure in words."""
    return say("{value:.1f} bar", value=value / 100000.0)


def time(value: float) -> str:
    """Seconds in words."""
    if value >= air.LONG_ENOUGH:
        return say("an hour or more")
    if value >= 120.0:
        return say("{value:.0f} min", value=value / 60)
    return say("{value:.0f} s", value=value)
