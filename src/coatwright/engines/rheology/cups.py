"""Flow cups: efflux seconds to kinematic viscosity and back.

Every cup is one curve, nu = slope (t - dead) - brake / t with nu in mm2/s and t in s: the ISO and
DIN cups have no dead time, the Ford and Zahn cups no braking term.
"""

import math
from typing import Final, NamedTuple

from coatwright.errors import RangeError

_MM2: Final = 1e-6


class Curve(NamedTuple):
    """nu [mm2/s] = slope (t - dead) - brake / t, valid for shortest <= t <= longest [s]."""

    slope: float
    dead: float
    brake: float
    shortest: float
    longest: float
    source: str


CURVES: Final[dict[str, Curve]] = {
    "ISO 3": Curve(0.443, 0.0, 200.0, 30.0, 100.0, "iso-2431"),
    "ISO 4": Curve(1.37, 0.0, 200.0, 30.0, 100.0, "iso-2431"),
    "ISO 5": Curve(3.28, 0.0, 220.0, 30.0, 100.0, "iso-2431"),
    "ISO 6": Curve(6.90, 0.0, 570.0, 30.0, 100.0, "iso-2431"),
    "DIN 4": Curve(4.57, 0.0, 452.0, 25.0, 150.0, "din-53211"),
    "Ford 3": Curve(2.31, 6.58, 0.0, 20.0, 100.0, "astm-d1200"),
    "Ford 4": Curve(3.85, 4.49, 0.0, 20.0, 100.0, "astm-d1200"),
    "Zahn 1": Curve(1.1, 29.0, 0.0, 35.0, 80.0, "astm-d4212"),
    "Zahn 2": Curve(3.5, 14.0, 0.0, 20.0, 80.0, "astm-d4212"),
    "Zahn 3": Curve(11.7, 7.5, 0.0, 20.0, 80.0, "astm-d4212"),
    "Zahn 4": Curve(14.8, 5.0, 0.0, 20.0, 80.0, "astm-d4212"),
    "Zahn 5": Curve(23.0, 0.0, 0.0, 20.0, 80.0, "astm-d4212"),
}
CUPS: Final = tuple(CURVES)


def _curve(cup: str) -> Curve:
    if cup not in CURVES:
        raise RangeError(
            f"'{cup}' is not a known flow cup", instead=f"use one of {', '.join(CUPS)}"
        )
    return CURVES[cup]


def _least_seconds(curve: Curve) -> float:
    """Where the curve crosses zero viscosity: no liquid runs out faster."""
    half = curve.dead / 2
    return half + math.sqrt(half**2 + curve.brake / curve.slope)


def kinematic_viscosity(cup: str, seconds: float) -> float:
    """Kinematic viscosity of a paint that takes `seconds` to run out of a flow cup.

    Parameters
    ----------
    cup : str
        One of CUPS, e.g. "DIN 4".
    seconds : float [s]
        Efflux time to the first break of the stream.

    Returns
    -------
    float [m2/s]
        Kinematic viscosity at the temperature the paint had in the cup.

    Raises
    ------
    RangeError
        Unknown cup, or a time at which the curve gives no viscosity at all.

    Validity
        Newtonian liquids, times between cup_range(cup); outside it the curve is extrapolated and
        `within` is False (16-20 s in a DIN 4, usual on paint sheets, lies below its 25 s). Zahn
        cups are not made to a uniform specification: +/-10 % between cups at best.
    Source
        iso-2431, din-53211, astm-d1200, astm-d4212.
    Checked
        tests/published/test_rheology.py.
    """
    curve = _curve(cup)
    least = _least_seconds(curve)
    if not seconds > least:
        raise RangeError(
            f"{seconds:g} s in a {cup} cup means no viscosity at all",
            instead=f"the curve of this cup begins at {least:.1f} s; use a cup with a smaller hole",
        )
    return (curve.slope * (seconds - curve.dead) - curve.brake / seconds) * _MM2


def cup_seconds(cup: str, viscosity: float) -> float:
    """Seconds a paint of that kinematic viscosity takes to run out of a flow cup.

    Parameters
    ----------
    cup : str
        One of CUPS.
    viscosity : float [m2/s]
        Kinematic viscosity, > 0.

    Returns
    -------
    float [s]
        Efflux time; the exact inverse of kinematic_viscosity.

    Raises
    ------
    RangeError
        Unknown cup or a viscosity that is not above zero.

    Validity
        As kinematic_viscosity; ask `within` whether the time is inside the cup's range.
    Source
        iso-2431, din-53211, astm-d1200, astm-d4212, solved for t (derived).
    Checked
        tests/published/test_rheology.py.
    """
    curve = _curve(cup)
    if not viscosity > 0:
        raise RangeError(
            f"a kinematic viscosity of {viscosity:g} m2/s runs out of no cup",
            instead="it must be above 0",
        )
    middle = (viscosity / _MM2 + curve.slope * curve.dead) / (2 * curve.slope)
    return middle + math.sqrt(middle**2 + curve.brake / curve.slope)


def cup_range(cup: str) -> tuple[float, float]:
    """Shortest and longest efflux time for which a cup's curve was made.

    Parameters
    ----------
    cup : str
        One of CUPS.

    Returns
    -------
    (float, float) [s]
        Shortest and longest valid time.

    Raises
    ------
    RangeError
        Unknown cup.

    Source
        iso-2431, din-53211, astm-d1200, astm-d4212.
    Checked
        tests/published/test_rheology.py.
    """
    curve = _curve(cup)
    return curve.shortest, curve.longest


def within(cup: str, seconds: float) -> bool:
    """Whether a time lies in the range for which a cup's curve was made.

    Parameters
    ----------
    cup : str
        One of CUPS.
    seconds : float [s]
        Efflux time.

    Returns
    -------
    bool
        False: the viscosity is an extrapolation and a person must be told.

    Raises
    ------
    RangeError
        Unknown cup.

    Source
        iso-2431, din-53211, astm-d1200, astm-d4212.
    Checked
        tests/published/test_rheology.py.
    """
    shortest, longest = cup_range(cup)
    return shortest <= seconds <= longest
