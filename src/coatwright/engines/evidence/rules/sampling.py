"""How many places of a surface must be measured."""

import math
from typing import Final, NamedTuple

from scipy.special import stdtrit

from coatwright.engines.evidence._checks import above
from coatwright.engines.evidence.rules.acceptance import READINGS_OF_A_SPOT, SPOTS
from coatwright.errors import NotConverged, RangeError

AREA: Final = 10.0
"""An area of SSPC-PA 2 [m2]."""
ISO_SPOTS: Final = ((1.0, 5), (3.0, 10), (10.0, 15), (30.0, 20), (100.0, 30))
"""ISO 19840: surface up to [m2], and its least number of readings."""
PSPC_FLAT: Final = 5.0
"""IMO: one reading for each so much flat surface [m2]."""
MOST_SPOTS: Final = 10_000


class Sampling(NamedTuple):
    """What to measure: areas, spots in all of them, readings in all of those [-]."""

    areas: int
    spots: int
    readings: int


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
        tests/published/test_evidence.py.
    """
    above(surface, "a surface [m2]")
    if surface <= 3 * AREA:
        return math.ceil(surface / AREA)
    return 3 + max(0, math.ceil((surface - 100.0) / 100.0))


def pa2_sampling(surface: float) -> Sampling:
    """Areas, spots and readings that SSPC-PA 2 wants of a surface.

    Parameters
    ----------
    surface : float [m2]
        Whole surface, above 0.

    Returns
    -------
    Sampling [-]
        Five spots to the area, three readings to the spot.

    Raises
    ------
    RangeError
        A surface not above zero.

    Source
        sspc-pa-2.
    Checked
        tests/published/test_evidence.py.
    """
    areas = areas_to_measure(surface)
    return Sampling(areas, areas * SPOTS, areas * SPOTS * READINGS_OF_A_SPOT)


def iso19840_sampling(surface: float) -> Sampling:
    """Readings that ISO 19840 wants of a surface at least.

    Parameters
    ----------
    surface : float [m2]
        Whole surface, above 0; one inspection area.

    Returns
    -------
    Sampling [-]
        5 up to 1 m2, 10 up to 3, 15 up to 10, 20 up to 30, 30 up to 100, then 10 more for each
        further 100 m2.

    Raises
    ------
    RangeError
        A surface not above zero.

    Source
        dft-how-many, table 1 (the row up to 1 m2 from memory).
    Checked
        tests/published/test_evidence.py.
    """
    above(surface, "a surface [m2]")
    for most, spots in ISO_SPOTS:
        if surface <= most:
            return Sampling(1, spots, spots)
    spots = ISO_SPOTS[-1][1] + 10 * math.ceil((surface - 100.0) / 100.0)
    return Sampling(1, spots, spots)


def pspc_sampling(surface: float) -> Sampling:
    """Readings that the IMO standard wants of a flat surface.

    Parameters
    ----------
    surface : float [m2]
        Flat surface, above 0, without edges and stiffeners.

    Returns
    -------
    Sampling [-]
        One for each 5 m2.

    Raises
    ------
    RangeError
        A surface not above zero.

    Source
        imo-pspc, annex 3.
    Checked
        tests/published/test_evidence.py.
    """
    spots = math.ceil(above(surface, "a surface [m2]") / PSPC_FLAT)
    return Sampling(1, spots, spots)


def spots_for_mean(share_spread: float, within: float, confidence: float = 0.9) -> int:
    """How many spots tell the mean film of an area closely enough.

    Parameters
    ----------
    share_spread : float [-]
        Standard deviation from spot to spot, gauge error included, as a share of the film.
    within : float [-]
        How far off the mean may be, as a share of the film.
    confidence : float [-]
        How often it shall not be farther off, between 0 and 1.

    Returns
    -------
    int [-]
        Smallest n with t(n - 1) spread / sqrt(n) not above `within`; at least 2.

    Raises
    ------
    RangeError
        A share not above zero, or a confidence outside 0 to 1.
    NotConverged
        More than ten thousand would be needed.

    Validity
        Spots taken at random; an error that all readings share does not average out.
    Source
        student-interval.
    Checked
        tests/unit/engines/evidence/test_sampling.py.
    """
    above(share_spread, "a spread")
    above(within, "an allowed error")
    if not 0 < confidence < 1:
        raise RangeError(f"a confidence of {confidence:g}", instead="it must lie between 0 and 1")
    for spots in range(2, MOST_SPOTS + 1):
        reach = stdtrit(spots - 1, 0.5 + confidence / 2) * share_spread / math.sqrt(spots)
        if reach <= within:
            return spots
    raise NotConverged(f"more than {MOST_SPOTS} spots needed", instead="allow a larger error")
