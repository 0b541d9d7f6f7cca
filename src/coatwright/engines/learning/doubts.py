"""Readings that all the others speak against: found by leaving each one out, exactly."""

from collections.abc import Callable, Sequence

import numpy as np

from coatwright.engines.learning._readings import design, weighed
from coatwright.engines.learning.belief import Belief, Prior, coming, update
from coatwright.engines.learning.marginal import Marginal, log_student, tail
from coatwright.engines.learning.pooled import ClassPrior, Pool, pooled
from coatwright.engines.learning.tally import Observation

Tails = Callable[[list[int]], list[float]]


def doubtful(
    held: Prior | Belief, data: Sequence[float], chance: float = 0.001
) -> tuple[tuple[int, float], ...]:
    """Readings that all the others, and what was held, speak against.

    Parameters
    ----------
    held : Prior | Belief [-]
        What was held before.
    data : Sequence[float] [-]
        The readings.
    chance : float [-]
        Chance of doubting any at all where the model holds.

    Returns
    -------
    tuple[tuple[int, float], ...] [-]
        Place in `data` of each doubtful one, and the chance of one as far out; worst first.

    Raises
    ------
    RangeError
        A reading that is not finite.

    Validity
        One after another: each is held against the rest without those found before it. Two equal
        blunders among few readings can hide each other.

    Source
        deleted-residual, with Bonferroni's bound.

    Checked
        tests/published/test_learning.py.
    """
    values, _ = weighed(data, None)

    def tails(kept: list[int]) -> list[float]:
        return [
            tail(coming(update(held, [values[j] for j in kept if j != i])), values[i]) for i in kept
        ]

    return _worst_first(tails, len(values), chance)


def pool_doubtful(
    observations: Sequence[Observation], prior: ClassPrior, chance: float = 0.001
) -> tuple[tuple[int, float], ...]:
    """Readings of a shop that all its other readings, and the class prior, speak against.

    Parameters
    ----------
    observations : Sequence[Observation] [-]
        The readings.
    prior : ClassPrior [-]
        What is held of the class.
    chance : float [-]
        Chance of doubting any at all where the model holds.

    Returns
    -------
    tuple[tuple[int, float], ...] [-]
        Place in `observations` of each doubtful one, and the chance of one as far out; worst
        first.

    Raises
    ------
    RangeError
        As pooled().

    Validity
        As doubtful(). The only reading of a new painter is held against the class.

    Source
        deleted-residual; partial-pooling.

    Checked
        tests/published/test_learning.py.
    """

    def tails(kept: list[int]) -> list[float]:
        own = [observations[i] for i in kept]
        return [tail(m, o.value) for m, o in zip(left_out(own, prior), own, strict=True)]

    return _worst_first(tails, len(observations), chance)


def _worst_first(tails: Tails, count: int, chance: float) -> tuple[tuple[int, float], ...]:
    kept = list(range(count))
    found: list[tuple[int, float]] = []
    while kept:
        least, worst = min(zip(tails(kept), kept, strict=True))
        if least * count > chance:
            break
        found.append((worst, least))
        kept.remove(worst)
    return tuple(found)


def left_out(observations: Sequence[Observation], prior: ClassPrior) -> tuple[Marginal, ...]:
    """What all the other readings say of each one.

    Parameters
    ----------
    observations : Sequence[Observation] [-]
        The readings.
    prior : ClassPrior [-]
        What is held of the class.

    Returns
    -------
    tuple[Marginal, ...] [-]
        For each reading, what would have been foreseen without it.

    Raises
    ------
    RangeError
        As pooled().

    Validity
        Exact on the nodes that all the readings chose: no model is fitted again.

    Source
        deleted-residual; partial-pooling.

    Checked
        tests/published/test_learning.py.
    """
    if not observations:
        return ()
    pool = pooled(observations, prior)
    columns = design([o.keys for o in observations], pool.tally.groups, pool.tally.members)
    return tuple(
        _without(pool, row, o.value - prior.own.centre, o.worth)
        for row, o in zip(columns, observations, strict=True)
    )


def _without(pool: Pool, row: np.ndarray, value: float, worth: float) -> Marginal:
    """The pool's forecast of one of its own readings with that reading taken out again."""
    kept = 1.0 - worth * np.einsum("i,nij,j->n", row, pool.covariance, row)
    off = (value - pool.effects @ row) / kept
    degrees = pool.degrees - 1.0
    squares = pool.degrees * pool.spreads**2 - worth * off**2 * kept
    scales = np.sqrt(squares / degrees / (worth * kept))
    logs = np.log(pool.weights) + np.log(scales) - log_student(off / scales, degrees)
    weights = np.exp(logs - logs.max())
    centres = value - off + pool.prior.own.centre
    return Marginal(weights / weights.sum(), centres, scales, degrees)
