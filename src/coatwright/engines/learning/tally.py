"""Readings summed up: all that a pooled model needs of them, and sums add."""

from collections.abc import Mapping, Sequence
from typing import NamedTuple

import numpy as np

from coatwright.engines.learning._readings import Floats, design, member, weighed
from coatwright.errors import RangeError

Member = tuple[str, str]


class Observation(NamedTuple):
    """One reading [-], whose it is (a member of every grouping: painter, gun, product ...), and how
    many plain readings it is worth."""

    value: float
    keys: Mapping[str, str]
    worth: float = 1.0


class Tally(NamedTuple):
    """Sums over readings [-]: the members met, products of their columns with each other and with
    the readings (first the column of ones), squares of the readings, how many, log worths."""

    groups: tuple[str, ...]
    members: tuple[Member, ...]
    normal: Floats
    cross: Floats
    square: float
    readings: int
    log_worth: float


def tally(observations: Sequence[Observation], groups: Sequence[str]) -> Tally:
    """Sum up readings.

    Parameters
    ----------
    observations : Sequence[Observation] [-]
        The readings; none gives an empty tally.
    groups : Sequence[str]
        Groupings, in the order of the class prior.

    Returns
    -------
    Tally [-]
        Its size depends on how many members were met, not on how many readings.

    Raises
    ------
    RangeError
        A reading that is not finite, is worth nothing, or lacks a member of a grouping.

    Validity
        Any.

    Source
        derived: the sums of the normal equations.

    Checked
        tests/published/test_learning.py.
    """
    values, worths = weighed([o.value for o in observations], [o.worth for o in observations])
    keys = [one.keys for one in observations]
    members = tuple(sorted({(group, member(one, group)) for one in keys for group in groups}))
    columns = design(keys, groups, members)
    weighted = columns * worths[:, None]
    return Tally(
        tuple(groups),
        members,
        weighted.T @ columns,
        weighted.T @ values,
        float(worths @ values**2),
        len(values),
        float(np.log(worths).sum()),
    )


def together(one: Tally, other: Tally) -> Tally:
    """Two tallies as one: what a shop learned before and what it learned today.

    Parameters
    ----------
    one, other : Tally [-]
        Tallies of different readings in the same groupings.

    Returns
    -------
    Tally [-]
        The tally of all the readings.

    Raises
    ------
    RangeError
        Other groupings.

    Validity
        No reading may stand in both.

    Source
        derived: sums add.
    """
    if one.groups != other.groups:
        raise RangeError(f"readings by {one.groups} and by {other.groups} do not add up")
    members = tuple(sorted({*one.members, *other.members}))
    first, second = (_spread(part, members) for part in (one, other))
    return Tally(
        one.groups,
        members,
        first[0] + second[0],
        first[1] + second[1],
        one.square + other.square,
        one.readings + other.readings,
        one.log_worth + other.log_worth,
    )


def _spread(part: Tally, members: Sequence[Member]) -> tuple[Floats, Floats]:
    """The sums of a tally in the columns of more members."""
    places = [0, *(members.index(member) + 1 for member in part.members)]
    normal, cross = np.zeros((1 + len(members),) * 2), np.zeros(1 + len(members))
    normal[np.ix_(places, places)] = part.normal
    cross[places] = part.cross
    return normal, cross
