"""Whether gauge readings of dry film pass: SSPC-PA 2, ISO 19840 and the 90/10 rule of IMO."""

from collections.abc import Sequence
from typing import Final, NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from coatwright.engines.evidence._checks import above, listed
from coatwright.errors import RangeError

THINNEST_NOMINAL: Final = 40e-6
"""ISO 19840 does not speak of nominal dry films below this [m]."""
USUAL_MOST: Final = 3.0
"""Greatest film in nominal films where ISO 19840 is given no maximum."""
SPOTS: Final = 5
READINGS_OF_A_SPOT: Final = 3
_SLACK: Final = 1e-9


class Clause(NamedTuple):
    """One demand of a rule: what it says, what was found [m, -] and the bound it names [m, -]."""

    says: str
    passed: bool
    found: float
    limit: float
    share: bool = False


class Verdict(NamedTuple):
    """What a rule says of a set of readings: every clause with its figures [m, -].

    covered is False where the rule does not speak of such a film; passed is then False as well,
    because nothing was proved, and note says why.
    """

    rule: str
    source: str
    covered: bool
    passed: bool
    clauses: tuple[Clause, ...]
    note: str = ""

    @property
    def failed(self) -> tuple[Clause, ...]:
        """The clauses that did not pass."""
        return tuple(clause for clause in self.clauses if not clause.passed)


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
        tests/published/test_evidence.py.
    """
    if not 0 < minimum <= maximum:
        raise RangeError(
            f"a specified film of {minimum:g} to {maximum:g} m",
            instead="the minimum must be above 0 and at most the maximum",
        )
    return 0.8 * minimum, 1.2 * maximum


def spot_means(readings: Sequence[ArrayLike]) -> NDArray[np.float64]:
    """Spots, each the mean of the readings in its circle of 4 cm.

    Parameters
    ----------
    readings : sequence of (n,) arrays [m]
        The readings of each spot, at least three.

    Returns
    -------
    (spots,) array [m]
        One mean for each spot.

    Raises
    ------
    RangeError
        A spot of fewer than three readings.

    Source
        sspc-pa-2.
    Checked
        tests/unit/engines/evidence/test_acceptance.py.
    """
    return np.array(
        [listed(spot, "readings of a spot", READINGS_OF_A_SPOT).mean() for spot in readings]
    )


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
    Verdict [m, -]
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
        tests/published/test_evidence.py.
    """
    found = listed(spots, "spots", SPOTS)
    low, high = spot_limits(minimum, maximum)
    clauses = (
        _at_least("the mean is at least the minimum", found.mean(), minimum),
        _at_most("the mean is at most the maximum", found.mean(), maximum),
        _at_least("every spot is at least 80 % of the minimum", found.min(), low),
        _at_most("every spot is at most 120 % of the maximum", found.max(), high),
    )
    return _verdict("SSPC-PA 2", "sspc-pa-2", clauses)


def iso19840_verdict(readings: ArrayLike, nominal: float, maximum: float | None = None) -> Verdict:
    """Whether readings of dry film pass ISO 19840.

    Parameters
    ----------
    readings : (n,) array [m]
        Single readings, corrected for the ground they stand on.
    nominal : float [m]
        Nominal dry film.
    maximum : float or None [m]
        Specified maximum; three times the nominal if not given.

    Returns
    -------
    Verdict [m, -]
        Mean at least nominal; each reading at least 80 % of it; fewer than 20 % of the readings
        between 80 and 100 %; none above the maximum. Below a nominal film of 40 um (an etch primer
        or a basecoat, for instance) it is not covered.

    Raises
    ------
    RangeError
        No readings, or a nominal film not above zero.

    Validity
        Smooth or corrected readings: the correction for a blasted surface is not applied here.
    Source
        iso-19840.
    Checked
        tests/published/test_evidence.py.
    """
    found = listed(readings, "readings")
    if above(nominal, "a nominal film") < THINNEST_NOMINAL * (1 - _SLACK):
        note = f"does not speak of nominal films below 40 um; this one is {nominal * 1e6:g} um"
        return Verdict("ISO 19840", "iso-19840", False, False, (), note)
    most = USUAL_MOST * nominal if maximum is None else maximum
    low = float((found < nominal * (1 - _SLACK)).mean())
    clauses = (
        _at_least("the mean is at least the nominal film", found.mean(), nominal),
        _at_least("every reading is at least 80 % of the nominal film", found.min(), 0.8 * nominal),
        Clause(
            "fewer than 20 % of the readings are below the nominal film",
            low < 0.2 * (1 - _SLACK),
            low,
            0.2,
            share=True,
        ),
        _at_most("no reading is above the maximum", found.max(), most),
    )
    return _verdict("ISO 19840", "iso-19840", clauses)


def pspc_verdict(readings: ArrayLike, nominal: float) -> Verdict:
    """Whether readings pass the 90/10 rule of IMO for ballast tanks.

    Parameters
    ----------
    readings : (n,) array [m]
        Single readings.
    nominal : float [m]
        Nominal dry film, above 0.

    Returns
    -------
    Verdict [m, -]
        At most 10 % of the readings below the nominal film, none below 90 % of it.

    Raises
    ------
    RangeError
        No readings, or a nominal film not above zero.

    Validity
        Written for ballast tanks of ships; elsewhere a stricter rule than ISO 19840 to agree on.
    Source
        imo-pspc.
    Checked
        tests/published/test_evidence.py.
    """
    found = listed(readings, "readings")
    low = float((found < above(nominal, "a nominal film") * (1 - _SLACK)).mean())
    clauses = (
        Clause(
            "at most 10 % of the readings are below the nominal film",
            low <= 0.1 * (1 + _SLACK),
            low,
            0.1,
            share=True,
        ),
        _at_least("every reading is at least 90 % of the nominal film", found.min(), 0.9 * nominal),
    )
    return _verdict("IMO 90/10", "imo-pspc", clauses)


def _at_least(says: str, found: float, limit: float) -> Clause:
    return Clause(says, bool(found >= limit * (1 - _SLACK)), float(found), limit)


def _at_most(says: str, found: float, limit: float) -> Clause:
    return Clause(says, bool(found <= limit * (1 + _SLACK)), float(found), limit)


def _verdict(rule: str, source: str, clauses: tuple[Clause, ...]) -> Verdict:
    return Verdict(rule, source, True, all(clause.passed for clause in clauses), clauses)
