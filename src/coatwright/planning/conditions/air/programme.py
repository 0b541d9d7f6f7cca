"""What the trigger does through a coat: strokes, turns, faces, refills of the cup."""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from coatwright.engines import air
from coatwright.planning.conditions.air.supply import cap_of
from coatwright.planning.strokes.spraying import Sprayed

Float = NDArray[np.float64]

NEXT_FACE = 5.0
"""Seconds to the next piece or face (common practice, no source)."""

REFILL = 60.0
"""Seconds to fill a cup that has run empty (common practice, no source)."""

NEXT_AREA = 20.0
"""Seconds to the next area with the hose (common practice, no source)."""

_LEAST = 1e-6


@dataclass(frozen=True, eq=False)
class CoatProgramme:
    """One coat as the trigger sees it.

    pulls gives for every pull of the trigger its phase, face, length of the face's run and stroke;
    fills is how often the cup is filled in between.
    """

    phases: air.Programme
    pulls: NDArray[np.int64]
    fills: int

    @property
    def seconds(self) -> float:
        """The whole of it [s]."""
        return float(self.phases.seconds.sum())

    @property
    def trigger(self) -> float:
        """With the trigger pulled [s]."""
        return float(self.phases.seconds[self.phases.which >= 0].sum())


def coat_programme(done: Sprayed, coat: int) -> CoatProgramme:
    """The programme of one coat of a recipe, counted from 0.

    Face by face; where the painter's reach breaks the strokes, one reach is sprayed from end to end
    before the next. Stroke times are those of the recipe, so that the trigger is pulled as long as
    the recipe says.
    """
    recipe = done.recipe
    speed, flow = recipe.coat_speeds[coat], recipe.coat_flows[coat]
    strokes, reaches = recipe.sample.setting.layout.count, recipe.sections
    pull = recipe.stroke_length / reaches / speed
    share = done.pieces * strokes * reaches
    seconds: list[float] = []
    which: list[int] = []
    pulls: list[tuple[int, int, int, int]] = []
    in_cup, fills = recipe.gun.cup, 0
    for index in range(math.ceil(share - _LEAST)):
        lasts = pull * min(1.0, share - index)
        face, place = divmod(index, strokes * reaches)
        if index > 0:
            rest = recipe.task.hand.turn if place else NEXT_FACE
            if in_cup < flow * lasts:
                rest, in_cup, fills = rest + REFILL, recipe.gun.cup, fills + 1
            seconds.append(rest)
            which.append(-1)
        pulls.append((len(seconds), face, place // strokes, place % strokes))
        seconds.append(lasts)
        which.append(0)
        in_cup -= flow * lasts
    phases = air.programme(seconds, which, [cap_of(recipe.gun)])
    return CoatProgramme(phases, np.array(pulls, dtype=np.int64), fills)


def in_strokes(pull: float, turn: float, total: float, cap: air.Cap) -> air.Programme:
    """Pull and let go, over and over, for a total time [s]."""
    rounds = max(1, round(total / (pull + turn)))
    return air.programme([pull, turn] * rounds, [0, -1] * rounds, [cap])
