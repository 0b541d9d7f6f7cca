"""Dry gauge and wet comb: what a reading says about the film.

A dry gauge reads everything between its probe and the metal. Its stated limits of error, +-(fixed +
share of the reading), are taken apart: the fixed part is new at each reading, the share is
calibration and the same for all readings of one gauge (assumption). The zero, read on the bare
prepared ground, is off by the same amount for all readings too. So the films of one set of readings
share errors, and averaging many does not remove those.
"""

from typing import Final, NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from coatwright.engines.evidence._checks import listed, not_below
from coatwright.engines.evidence.measured import standard_of_limits
from coatwright.errors import RangeError

PRINCIPLES: Final = ("magnetic", "eddy current")
BASES: Final = ("steel", "galvanised steel", "aluminium", "filler on steel", "plastic")

_SEEN: Final[dict[tuple[str, str], tuple[str, ...]]] = {
    ("magnetic", "steel"): ("paint",),
    ("magnetic", "galvanised steel"): ("zinc", "paint"),
    ("magnetic", "filler on steel"): ("filler", "paint"),
    ("eddy current", "galvanised steel"): ("paint",),
    ("eddy current", "aluminium"): ("paint",),
}


class Gauge(NamedTuple):
    """Stated limits of error of a dry gauge: a fixed part [m] and a share of the reading [-]."""

    fixed: float = 1e-6
    share: float = 0.03


class Ground(NamedTuple):
    """What lies under the paint and is read as film [m]: zero of the metal, filler; their
    spreads."""

    zero: float = 0.0
    zero_spread: float = 0.0
    filler: float = 0.0
    filler_spread: float = 0.0


class Films(NamedTuple):
    """Films at the spots of one set of readings [m], and the covariance of their errors [m2]."""

    films: NDArray[np.float64]
    covariance: NDArray[np.float64]


def gauge_sees(principle: str, base: str) -> tuple[str, ...]:
    """What a dry gauge counts as film over a ground.

    Parameters
    ----------
    principle : str
        How the gauge works, one of PRINCIPLES.
    base : str
        What the paint stands on, one of BASES.

    Returns
    -------
    tuple of str [-]
        What is in the reading, from the metal up; empty where the gauge cannot read.

    Raises
    ------
    RangeError
        A principle or a base that is not listed.

    Validity
        Zinc is seen by an eddy current gauge as metal if it is thick enough for its frequency.
    Source
        gauge-principles; filler and zinc: common practice, no source.
    Checked
        tests/unit/engines/evidence/test_gauge.py.
    """
    for value, known in ((principle, PRINCIPLES), (base, BASES)):
        if value not in known:
            raise RangeError(f"'{value}' is not known", instead=f"one of {', '.join(known)}")
    return _SEEN.get((principle, base), ())


def ground_of(zeros: ArrayLike, gauge: Gauge) -> Ground:
    """Zero of a gauge on the bare prepared ground: smooth, blasted or rubbed.

    Parameters
    ----------
    zeros : (n,) array [m]
        Readings on the ground before it was painted, or on a bare piece prepared alike.
    gauge : Gauge [m, -]
        The gauge's limits of error.

    Returns
    -------
    Ground [m]
        Their mean, and how well it is known.

    Raises
    ------
    RangeError
        No readings.

    Validity
        The gauge was set on smooth metal. With a single reading the ground's own scatter is unknown
        and not in the spread.
    Source
        sspc-pa-2 (readings A on bare prepared metal, B on the film; film = B - A).
    Checked
        tests/unit/engines/evidence/test_gauge.py.
    """
    found = listed(zeros, "zero readings")
    each = standard_of_limits(gauge.fixed) ** 2
    spread = float(found.var(ddof=1)) if found.size > 1 else 0.0
    return Ground(float(found.mean()), float(np.sqrt(max(spread, each) / found.size)))


def films_from_gauge(readings: ArrayLike, gauge: Gauge, ground: Ground | None = None) -> Films:
    """Films that dry gauge readings mean, with the errors they share.

    Parameters
    ----------
    readings : (n,) array [m]
        As the gauge shows them.
    gauge : Gauge [m, -]
        Its limits of error.
    ground : Ground or None [m]
        Zero of the prepared metal, filler; none: smooth metal the gauge was set on.

    Returns
    -------
    Films [m, m2]
        Readings less zero and filler; each with the fixed error of its own, all with the
        calibration and the ground in common.

    Raises
    ------
    RangeError
        No readings or a negative error.

    Validity
        Filler reads as paint: without its depth at the spot give a filler_spread as large as what
        may be there, or do not use the reading.
    Source
        sspc-pa-2 (subtraction of the zero); gum-type-b (limits to standard deviation). That the
        fixed part is each reading's own and the share common is an assumption.
    Checked
        tests/unit/engines/evidence/test_gauge.py, against simulation.
    """
    found, under = listed(readings, "readings"), ground or Ground()
    over_metal = found - under.zero
    shared = under.zero_spread**2 + under.filler_spread**2
    return Films(over_metal - under.filler, _covariance(over_metal, gauge, 1) + shared)


def layer_by_difference(readings: ArrayLike, before: ArrayLike, gauge: Gauge) -> Films:
    """A layer alone: readings over it less the readings of the same spots before it was laid.

    Parameters
    ----------
    readings : (n,) array [m]
        Now.
    before : (n,) array [m]
        At the same spots by the same gauge, after the last rubbing and before this layer.
    gauge : Gauge [m, -]
        Its limits of error.

    Returns
    -------
    Films [m, m2]
        Differences; ground, filler and old layers drop out, the fixed error counts twice.

    Raises
    ------
    RangeError
        Not as many readings before as now.

    Source
        derived: variance of a difference.
    Checked
        tests/unit/engines/evidence/test_gauge.py, against simulation.
    """
    now, then = listed(readings, "readings"), listed(before, "readings before")
    if now.size != then.size:
        raise RangeError(
            f"{now.size} readings and {then.size} before", instead="read the same spots both times"
        )
    return Films(now - then, _covariance(now - then, gauge, 2))


def comb_intervals(wetted: ArrayLike, teeth: ArrayLike) -> NDArray[np.float64]:
    """Between which two teeth each wet film lies.

    Parameters
    ----------
    wetted : (n,) array [m]
        The highest tooth that came out wet at each place; 0 if none did.
    teeth : (m,) array [m]
        The gaps marked on the comb.

    Returns
    -------
    (n, 2) array [m]
        The wetted tooth and the next one above it; infinity above the last.

    Raises
    ------
    RangeError
        No teeth, or a tooth that the comb does not have.

    Source
        finishing-guidebook-2012: the film lies between the highest coated notch and the next.
    Checked
        tests/published/test_evidence.py.
    """
    marks = np.unique(np.append(listed(teeth, "teeth"), 0.0))
    low = listed(wetted, "readings")
    at = np.searchsorted(marks, low * (1 - 1e-9))
    if (at >= marks.size).any() or not np.allclose(marks[at], low, rtol=1e-6, atol=0):
        raise RangeError("a tooth that the comb does not have", instead="give one of its teeth")
    return np.column_stack([marks[at], np.append(marks, np.inf)[at + 1]])


def dry_intervals(intervals: ArrayLike, solids: float) -> NDArray[np.float64]:
    """Dry films that wet ones read by a comb leave.

    Parameters
    ----------
    intervals : (n, 2) array [m]
        Between which wet films each place lies.
    solids : float [-]
        Volume solids of what lies there as it is read, above 0 and at most 1.

    Returns
    -------
    (n, 2) array [m]
        Wet times solids.

    Raises
    ------
    RangeError
        Solids outside 0 to 1.

    Validity
        Read within seconds: solvent that leaves first makes the film thinner than the comb's.
    Source
        wft-dft.
    Checked
        tests/published/test_evidence.py.
    """
    if not 0 < solids <= 1:
        raise RangeError(f"volume solids of {solids:g}", instead="it must be above 0 and at most 1")
    return np.asarray(intervals, dtype=float).reshape(-1, 2) * solids


def _covariance(films: NDArray[np.float64], gauge: Gauge, times: int) -> NDArray[np.float64]:
    each = standard_of_limits(gauge.fixed) ** 2 * times
    share = standard_of_limits(not_below(gauge.share, "a share of error"))
    return np.eye(films.size) * each + np.outer(films, films) * share**2
