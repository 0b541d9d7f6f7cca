"""Readings that have been looked at before anything is learned from them."""

from collections.abc import Mapping, Sequence

import numpy as np
import numpy.typing as npt

from coatwright.errors import RangeError

Floats = npt.NDArray[np.float64]


def weighed(data: Sequence[float], worths: Sequence[float] | None) -> tuple[Floats, Floats]:
    """Readings and their worths as arrays; RangeError where one of them cannot be used."""
    values = np.asarray(data, dtype=float)
    weights = np.ones(len(values)) if worths is None else np.asarray(worths, dtype=float)
    if len(weights) != len(values):
        raise RangeError(f"{len(values)} readings with {len(weights)} worths")
    if not np.isfinite(values).all():
        raise RangeError("a reading is not a number", instead="leave it out")
    if not ((weights > 0.0) & np.isfinite(weights)).all():
        raise RangeError("a reading is worth nothing", instead="worths must be above 0")
    return values, weights


def member(keys: Mapping[str, str], group: str) -> str:
    """The member of a grouping that a reading names; RangeError where it names none."""
    if group not in keys:
        named = ", ".join(sorted(keys)) or "nothing"
        raise RangeError(f"a reading names no {group}", instead=f"it names {named}")
    return keys[group]


def design(
    keys: Sequence[Mapping[str, str]], groups: Sequence[str], members: Sequence[tuple[str, str]]
) -> Floats:
    """A row for each reading: 1, then 1 at its members; a member not listed has no column."""
    place = {one: index for index, one in enumerate(members, start=1)}
    columns = np.zeros((len(keys), 1 + len(members)))
    columns[:, 0] = 1.0
    for row, named in enumerate(keys):
        for group in groups:
            column = place.get((group, member(named, group)))
            if column is not None:
                columns[row, column] = 1.0
    return columns
