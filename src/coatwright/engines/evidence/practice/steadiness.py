"""A hand's steadiness from all that was measured of it: strokes timed, boards gauged or weighed.

The plan takes a hand's speed as log-normal with one spread, half of whose variance a whole coat has
in common, while the other half is new at each stroke. Each measurement shows a part of it, from
which follows the whole; together with what was held of the hand before they are summed by their
degrees of freedom, as variances of a normal are.
"""

from collections.abc import Sequence
from typing import Final, NamedTuple

from coatwright.engines.evidence._checks import above, not_below
from coatwright.engines.evidence.practice.board import HandFound
from coatwright.engines.evidence.timing import Range, Uneven, true_spread

COMMON: Final = 0.5
"""Share of the variance of a hand's speed that a whole coat has in common; hand-sampling."""


class Seen(NamedTuple):
    """A hand's whole spread of speed as a share [-], and the degrees of freedom behind it [-]."""

    spread: float
    freedom: float


class Steadiness(NamedTuple):
    """A hand's whole spread of speed as a share, with the bounds that hold in four cases of five
    [-], and the degrees of freedom behind it [-]."""

    spread: Range
    freedom: float


def seen_in_strokes(found: Uneven) -> tuple[Seen, ...]:
    """What timed strokes show of a hand's whole spread.

    Parameters
    ----------
    found : Uneven [-]
        From stroke to stroke, and common to a set.

    Returns
    -------
    tuple of Seen [-]
        One from the strokes and, if there were several sets, one from the sets.

    Validity
        Half of the variance common to a coat, as the plan has it.
    Source
        derived, from hand-sampling.
    Checked
        tests/unit/engines/evidence/hands/test_steadiness.py, against simulation.
    """
    seen = [Seen(found.stroke.value / (1 - COMMON) ** 0.5, found.freedom)]
    if found.common is not None:
        seen.append(Seen(found.common.value / COMMON**0.5, found.sets_freedom))
    return tuple(seen)


def seen_in_board(found: HandFound, coats: int = 1) -> Seen:
    """What the film of one gauged board shows of a hand's whole spread.

    Parameters
    ----------
    found : HandFound [-]
        From its rows; what its whole coat has in common cannot be seen on one board.
    coats : int [-]
        Coats on it, each in the same strokes: their unevenness averages out. At least 1.

    Returns
    -------
    Seen [-]
        The whole spread.

    Raises
    ------
    RangeError
        No coats.

    Validity
        Half of the variance common to a coat, as the plan has it; coats alike in film.
    Source
        derived, from hand-sampling.
    Checked
        tests/unit/engines/evidence/hands/test_steadiness.py, against simulation.
    """
    one_coat = found.speed.value * above(coats, "coats") ** 0.5
    return Seen(one_coat / (1 - COMMON) ** 0.5, found.freedom)


def seen_in_weights(spread: float, boards: int, strokes: int) -> Seen:
    """What several weighed boards show of a hand's whole spread.

    Parameters
    ----------
    spread : float [-]
        From hand_from_weights, which lays all of it to the strokes.
    boards : int [-]
        How many were weighed, above 1.
    strokes : int [-]
        Strokes over each board.

    Returns
    -------
    Seen [-]
        The whole spread: a board's mean varies by what its coat has in common, and by the rest over
        the root of its strokes.

    Raises
    ------
    RangeError
        A negative spread, no strokes or a single board.

    Validity
        Half of the variance common to a coat, as the plan has it; one coat on each board.
    Source
        derived, from hand-sampling.
    Checked
        tests/unit/engines/evidence/hands/test_steadiness.py, against simulation.
    """
    of_means = not_below(spread, "a spread") ** 2 / above(strokes, "strokes")
    share = COMMON + (1 - COMMON) / strokes
    return Seen((of_means / share) ** 0.5, above(boards - 1, "boards beyond the first"))


def steadiness(before: Seen, evidence: Sequence[Seen]) -> Steadiness:
    """A hand's spread of speed after all that was measured of it.

    Parameters
    ----------
    before : Seen [-]
        What was held of the hand, and how many measurements that is worth; above 0.
    evidence : sequence of Seen [-]
        What each measurement shows; none leaves what was held.

    Returns
    -------
    Steadiness [-]
        The root of the mean variance, weighed by degrees of freedom.

    Raises
    ------
    RangeError
        A spread below zero, or no degrees of freedom before.

    Validity
        Speeds log-normal, measurements independent of each other. Conjugate for strokes timed
        without error; where an error was taken out of the variance it holds to first order.
    Source
        normal-inverse-gamma, the mean being of no interest; variance-interval.
    Checked
        tests/unit/engines/evidence/hands/test_steadiness.py, against simulation.
    """
    above(before.freedom, "degrees of freedom held before")
    every = (before, *evidence)
    freedom = sum(not_below(one.freedom, "degrees of freedom") for one in every)
    squares = sum(not_below(one.spread, "a spread") ** 2 * one.freedom for one in every)
    return Steadiness(true_spread(squares / freedom, freedom, 0.0), freedom)
