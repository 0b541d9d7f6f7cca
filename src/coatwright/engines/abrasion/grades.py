"""Abrasive grades: the grain behind a P number, and which may follow which."""

from typing import Final

from coatwright.errors import RangeError

_UM: Final = 1e-6

# Median grain [um]. P12-P120: grit-sizes-table; P150-P2500: grit-comparison-chart (whole um);
# P3000: grit-guide.
_GRAINS: Final[dict[str, float]] = {
    "P12": 1815, "P16": 1324, "P20": 1000, "P24": 764, "P30": 642, "P36": 538, "P40": 425,
    "P50": 336, "P60": 269, "P80": 201, "P100": 162, "P120": 125, "P150": 100, "P180": 82,
    "P220": 68, "P240": 60, "P280": 52, "P320": 46, "P360": 40, "P400": 35, "P500": 30,
    "P600": 26, "P800": 22, "P1000": 18, "P1200": 15, "P1500": 13, "P2000": 10, "P2500": 8,
    "P3000": 6.5,
}  # fmt: skip

_CAMI: Final = {"320": "P400", "400": "P800", "600": "P1200"}

LARGEST_STEP: Final = 2.25
"""Next grit number at most about double the last; 80 to 180 is still used on filler."""


def grades() -> tuple[str, ...]:
    """Every known P-grade, coarsest first.

    Returns
    -------
    tuple of str
        "P12" to "P3000".

    Source
        iso-6344 by way of grit-sizes-table and grit-comparison-chart.
    Checked
        tests/published/test_abrasion.py.
    """
    return tuple(_GRAINS)


def grain(grade: str) -> float:
    """Median grain of a P-grade.

    Parameters
    ----------
    grade : str
        One of grades(), e.g. "P320".

    Returns
    -------
    float [m]
        Median grain diameter.

    Raises
    ------
    RangeError
        Not a known P-grade.

    Validity
        Whole micrometres as the tables print them; sources differ by up to 1 um from P220 on.
    Source
        grit-sizes-table (P12-P120), grit-comparison-chart (P150-P2500), grit-guide (P3000).
    Checked
        tests/published/test_abrasion.py.
    """
    if grade not in _GRAINS:
        raise RangeError(
            f"'{grade}' is not a known abrasive grade", instead=f"use one of {', '.join(_GRAINS)}"
        )
    return _GRAINS[grade] * _UM


def number(grade: str) -> int:
    """The number of a P-grade, by which steps between grades are judged.

    Parameters
    ----------
    grade : str
        One of grades().

    Returns
    -------
    int [-]
        320 for "P320".

    Raises
    ------
    RangeError
        Not a known P-grade.

    Source
        iso-6344.
    Checked
        property only.
    """
    grain(grade)
    return int(grade[1:])


def p_grade(cami: str) -> str:
    """The P-grade that cuts like an American (CAMI) grit number.

    Parameters
    ----------
    cami : str
        "320", "400" or "600".

    Returns
    -------
    str
        The P-grade.

    Raises
    ------
    RangeError
        A grit number whose equal was not found in a source.

    Validity
        Only the three pairs that the source prints: the two scales part above about 220.
    Source
        grit-comparison-chart.
    Checked
        tests/published/test_abrasion.py.
    """
    if cami not in _CAMI:
        raise RangeError(
            f"no P-grade is known for the grit number {cami}",
            instead=f"known are {', '.join(_CAMI)}; below about 220 the two scales run together",
        )
    return _CAMI[cami]


def next_grade_ok(last: str, following: str) -> bool:
    """Whether one grade may follow another without leaving scratches that show later.

    Parameters
    ----------
    last, following : str
        P-grades.

    Returns
    -------
    bool
        True if the following is finer and its number at most about double (2.25 times).

    Raises
    ------
    RangeError
        Not a known P-grade.

    Source
        common practice, no source: next grit number at most about double the last.
    Checked
        tests/published/test_abrasion.py.
    """
    return number(last) < number(following) <= LARGEST_STEP * number(last)
