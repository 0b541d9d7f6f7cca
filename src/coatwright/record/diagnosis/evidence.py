"""What the record says of each sign, and how much that speaks for or against a cause."""

import math
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Literal

from coatwright.figures import Figure
from coatwright.model.defect import SignSheet, Where
from coatwright.record.diagnosis import films, ground, gun, mixes, times, weather
from coatwright.record.diagnosis.signs import (
    BROKEN,
    KEPT,
    SURE,
    Measured,
    Missing,
    Outcome,
    Reader,
    Told,
    bound_of,
    first_missing,
    probability,
)
from coatwright.record.diagnosis.story import Story

READERS: Mapping[str, Reader] = {
    **times.READERS,
    **films.READERS,
    **gun.READERS,
    **mixes.READERS,
    **weather.READERS,
    **ground.READERS,
}
"""How each sign of data/defects is read; one that is not here is never on record."""

State = Literal["broken", "unsure", "kept", "does not arise", "not recorded"]

_RECORD = "the job's record"
_TENTH = 1.2815515655446004  # 10 and 90 % points of the normal distribution


@dataclass(frozen=True, slots=True)
class Evidence:
    """What the record says of one sign: value, bound, when, where, and the chance it was broken.

    chance is None where nothing was recorded. count says among how many layers the worst was
    looked for. said and bound_said stand for value and bound where those have no unit.
    """

    sign: SignSheet
    where: Where
    state: State
    count: int
    chance: float | None = None
    value: Figure | None = None
    bound: Figure | None = None
    said: str = ""
    bound_said: str = ""
    at: datetime | None = None
    place: str = ""

    @property
    def words(self) -> str:
        """What it says, broken or kept."""
        return self.sign.broken if self.state in ("broken", "unsure") else self.sign.kept


def ratio(chance: float | None, expects: float, usual: float) -> float:
    """Logarithm of how much more likely the reading is where the cause is to blame than where not.

    chance is how likely the bound was broken by the reading alone; None or one half says nothing.
    """
    if chance is None:
        return 0.0
    kept = 1.0 - chance
    blamed = expects * chance + (1.0 - expects) * kept
    return math.log(blamed / (usual * chance + (1.0 - usual) * kept))


def often(expects: float, usual: float, count: int) -> tuple[float, float]:
    """The chances that the worst of several layers is broken: to blame, and not to blame."""
    others = (1.0 - usual) ** max(count - 1, 0)
    return 1.0 - (1.0 - expects) * others, 1.0 - (1.0 - usual) * others


class Examiner:
    """Looks signs up in a story, each once."""

    def __init__(self, story: Story, index: int) -> None:
        self.story, self.index = story, index
        self._seen: dict[tuple[str, int], Outcome] = {}

    def examine(self, sign: SignSheet, where: Where) -> Evidence:
        """The worst that the record shows of a sign in the layers a cause looks at."""
        layers = self._layers(where)
        outcomes = [self._read(sign.key, index) for index in layers]
        found = [(probability(sign, one), one) for one in outcomes if not isinstance(one, Missing)]
        if not found:
            missing = first_missing(outcomes)
            chance = None if missing is Missing.NOT_RECORDED else 1.0 - SURE
            return Evidence(sign, where, missing.value, max(len(layers), 1), chance)
        chance, worst = max(found, key=lambda one: one[0])
        return _evidence(sign, where, chance, worst, len(found))

    def _layers(self, where: Where) -> list[int]:
        scopes = {
            "layer": [self.index],
            "beneath": [self.index - 1] if self.index else [],
            "below": list(range(self.index)),
            "any": list(range(self.index + 1)),
            "ground": [0],
        }
        return scopes[where]

    def _read(self, key: str, index: int) -> Outcome:
        if (key, index) not in self._seen:
            reader = READERS.get(key)
            outcome = reader(self.story, index) if reader else Missing.NOT_RECORDED
            self._seen[key, index] = outcome
        return self._seen[key, index]


def _evidence(
    sign: SignSheet, where: Where, chance: float, outcome: Measured | Told, count: int
) -> Evidence:
    state: State = "broken" if chance >= BROKEN else "kept" if chance <= KEPT else "unsure"
    if isinstance(outcome, Told):
        return Evidence(sign, where, state, count, chance, at=outcome.at, place=outcome.place)
    spread = _spread(outcome, sign.purpose) if outcome.spread else None
    value = Figure(outcome.value, sign.purpose, "measured", _RECORD, spread=spread)
    bound = Figure(bound_of(sign, outcome), sign.purpose, "sheet", sign.source, sign.bound_from)
    return Evidence(
        sign, where, state, count, chance, value, bound,
        outcome.said, outcome.bound_said, outcome.at, outcome.place,
    )  # fmt: skip


def _spread(outcome: Measured, purpose: str) -> tuple[float, float]:
    """10 and 90 % points; what cannot be negative stops at nothing."""
    reach = _TENTH * outcome.spread
    low = outcome.value - reach
    signed = outcome.value < 0.0 or purpose.startswith("temperature")
    return (low if signed else max(0.0, low)), outcome.value + reach
