"""A sign as the record shows it: how likely it is that its bound was really broken."""

import math
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from datetime import datetime
from enum import Enum

from coatwright.model.defect import SignSheet
from coatwright.record.diagnosis.story import Story
from coatwright.sentences import say

SURE = 0.98
"""No record is surer than this of a bound kept or broken."""

BROKEN, KEPT = 0.8, 0.5
"""From here on a bound counts as broken; below here as kept."""


class Missing(Enum):
    """Why there is nothing to measure."""

    NOT_RECORDED = "not recorded"
    NEVER_AROSE = "does not arise"


@dataclass(frozen=True, slots=True)
class Measured:
    """One quantity of the record, its bound and its standard deviation, in SI.

    bound None: that of the sign's own sheet. excess is by how much the bound is broken, where
    that is not simply value against bound. said and bound_said are words for what has no unit.
    """

    value: float
    bound: float | None
    spread: float
    at: datetime
    place: str
    excess: float | None = None
    said: str = ""
    bound_said: str = ""


@dataclass(frozen=True, slots=True)
class Told:
    """A thing that was so or not; sure is how far the record can be believed."""

    yes: bool
    at: datetime
    place: str
    sure: float = SURE


Outcome = Measured | Told | Missing
Reader = Callable[[Story, int], Outcome]
"""Reads one sign of the layer with that index from a story."""


def probability(sheet: SignSheet, outcome: Measured | Told) -> float:
    """How likely the bound was really broken, given how sharp the reading and the bound are.

    A normal distribution about the value, its variance the sum of those of the reading and of the
    bound. A value just at its bound gives one half; no reading gives more than SURE either way.
    """
    if isinstance(outcome, Told):
        return outcome.sure if outcome.yes else 1.0 - outcome.sure
    bound = bound_of(sheet, outcome)
    excess = outcome.excess
    if excess is None:
        excess = outcome.value - bound if sheet.side == "above" else bound - outcome.value
    spread = math.hypot(outcome.spread, sheet.softness, sheet.soft_share * abs(bound))
    if spread == 0.0:
        share = 0.5 if excess == 0.0 else float(excess > 0.0)
    else:
        share = 0.5 * (1.0 + math.erf(excess / spread / math.sqrt(2.0)))
    return min(SURE, max(1.0 - SURE, share))


def bound_of(sheet: SignSheet, outcome: Measured) -> float:
    """The bound: that of the record, or of the sign's own sheet."""
    if outcome.bound is not None:
        return outcome.bound
    return sheet.limit if sheet.limit is not None else outcome.value


def first_missing(outcomes: Iterable[Outcome]) -> Missing:
    """Of several that could not be measured: not recorded, if that is so of any."""
    return Missing.NOT_RECORDED if Missing.NOT_RECORDED in list(outcomes) else Missing.NEVER_AROSE


def place(product: str, coat: int = 0) -> str:
    """Where in the stack: the product, and which coat of it."""
    return say("{product}, coat {coat}", product=product, coat=coat) if coat else product
