"""Whether gauge readings of dry film pass, by SSPC-PA 2 and by ISO 19840."""

import math
from typing import Final, NamedTuple

import numpy as np
from numpy.typing import ArrayLike

from coatwright.errors import RangeError

TEN_SQUARE_METRES: Final = 10.0
THINNEST_NOMINAL: Final = 40e-6
"""ISO 19840 does not speak of nominal dry films below this [m]."""


class Verdict(NamedTuple):
    """Whether the readings pass, and every reason why not."""

    passed: bool
    reasons: tuple[str, ...]


def spot_limits(minimum: float, maximum: float) -> tuple[float, float]:
    """What a single spot may read when the mean must lie in a range.

    Parameters
    ----------
    minimum, maximum : float [m]
        Specified dry film.

    Returns
    -------
    (float, float) [m]
        80 % of the minimum and 120 % of the maximum.

    Raises
    ------
    RangeError
        A minimum above the maximum, or not above zero.

    Source
        sspc-pa-2.
    Checked
        tests/published/test_film.py.
    """
    if not 0 < minimum <= maximum:
        raise RangeError(
            f"a specified film of {minimum:g} to {maximum:g} m",
            instead="the minimum must be above 0 and at most the maximum",
        )
    return 0.8 * minimum, 1.2 * maximum


def areas_to_measure(surface: float) -> int:
    """How many areas of 10 m2 must be measured on a surface.

    Parameters
    ----------
    surface : float [m2]
        Whole surface, above 0.

    Returns
    -------
    int [-]
        Every 10 m2 below 30 m2, three up to 100 m2, one more per further 100 m2.

    Raises
    ------
    RangeError
        A surface not above zero.

    Source
        sspc-pa-2.
    Checked
        tests/published/test_film.py.
    """
    if not surface > 0:
        raise RangeError(f"a surface of {surface:g} m2", instead="it must be above 0")
    if surface <= 3 * TEN_SQUARE_METRES:
        return math.ceil(surface / TEN_SQUARE_METRES)
    return 3 + max(0, math.ceil((surface - 100.0) / 100.0))


def pa2_verdict(spots: ArrayLike, minimum: float, maximum: float) -> Verdict:
    """Whether the spots of one area of 10 m2 pass SSPC-PA 2.

    Parameters
    ----------
    spots : (n,) array [m]
        Each the mean of at least three readings in a circle of 4 cm; five spots make an area.
    minimum, maximum : float [m]
        Specified dry film.

    Returns
    -------
    Verdict [-]
        The mean must lie in the range, each spot between 80 % of the minimum and 120 % of the
        maximum.

    Raises
    ------
    RangeError
        Fewer than five spots, or a range that is none.

    Validity
        The basic rule; the restriction levels of later editions are not in it.
    Source
        sspc-pa-2.
    Checked
        tests/published/test_film.py.
    """
    found = np.asarray(spots, dtype=float)
    if found.size < 5:
        raise RangeError(f"{found.size} spots make no area", instead="measure at least five")
    low, high = spot_limits(minimum, maximum)
    slack = 1e-9 * maximum
    faults = {
        "the mean is below the minimum": found.mean() < minimum - slack,
        "the mean is above the maximum": found.mean() > maximum + slack,
        "a spot is below 80 % of the minimum": found.min() < low - slack,
        "a spot is above 120 % of the maximum": found.max() > high + slack,
    }
    return _verdict(faults)


def iso19840_verdict(readings: ArrayLike, nominal: float, maximum: float | None = None) -> Verdict:
    """Whether readings of dry film pass ISO 19840.

    Parameters
    ----------
    readings : (n,) array [m]
        Single readings.
    nominal : float [m]
        Nominal dry film, at least 40 um.
    maximum : float or None [m]
        Specified maximum; three times the nominal if not given.

    Returns
    -------
    Verdict [-]
        Mean at least nominal; each reading at least 80 % of it; fewer than 20 % of the readings
        between 80 and 100 %; none above the maximum.

    Raises
    ------
    RangeError
        No readings, or a nominal film below 40 um, which the standard does not cover (an etch
        primer or a basecoat, for instance).

    Validity
        Smooth or corrected readings: the correction for a blasted surface is not applied here.
    Source
        iso-19840.
    Checked
        tests/published/test_film.py.
    """
    found = np.asarray(readings, dtype=float)
    if found.size == 0 or not nominal >= THINNEST_NOMINAL * (1 - 1e-9):
        raise RangeError(
            f"{found.size} readings for a nominal film of {nominal * 1e6:g} um are not covered",
            instead="ISO 19840 needs readings and a nominal film of at least 40 um",
        )
    slack = 1e-9 * nominal
    top = 3 * nominal if maximum is None else maximum
    low = int((found < nominal - slack).sum())
    faults = {
        "the mean is below the nominal film": found.mean() < nominal - slack,
        "a reading is below 80 % of the nominal film": found.min() < 0.8 * nominal - slack,
        "20 % or more of the readings are below the nominal film": 5 * low >= found.size,
        "a reading is above the maximum": found.max() > top + slack,
    }
    return _verdict(faults)


def _verdict(faults: dict[str, object]) -> Verdict:
    reasons = tuple(reason for reason, found in faults.items() if found)
    return Verdict(not reasons, reasons)
