"""Viscosity of two liquids mixed: a paint and its thinner.

The Refutas rule turns each kinematic viscosity into an index that adds up by share:

    index = 14.534 ln ln(nu + 0.8) + 10.975,   nu in mm2/s

It was made for oils. Between paint and thinner it is an estimate, so the result is a starting dose
of thinner to be checked in the cup, never a promise.
"""

import math
from typing import Final

from coatwright.errors import RangeError

_MM2: Final = 1e-6
_SCALE: Final = 14.534
_SHIFT: Final = 10.975
_OFFSET: Final = 0.8
THINNEST: Final = 0.2001e-6
"""Least kinematic viscosity the index is defined for [m2/s]."""


def blend_index(viscosity: float) -> float:
    """Refutas index of one liquid, the quantity that adds up by share.

    Parameters
    ----------
    viscosity : float [m2/s]
        Kinematic viscosity, above 0.2 mm2/s.

    Returns
    -------
    float [-]
        Index; larger is thicker.

    Raises
    ------
    RangeError
        At or below 0.2 mm2/s.

    Validity
        Miscible liquids that do not react; all viscosities at one temperature.
    Source
        refutas-maples.
    Checked
        tests/published/test_rheology.py.
    """
    if not viscosity >= THINNEST:
        raise RangeError(
            f"a kinematic viscosity of {viscosity / _MM2:g} mm2/s has no blending index",
            instead="it must be above 0.2 mm2/s",
        )
    return _SCALE * math.log(math.log(viscosity / _MM2 + _OFFSET)) + _SHIFT


def _from_index(index: float) -> float:
    return (math.exp(math.exp((index - _SHIFT) / _SCALE)) - _OFFSET) * _MM2


def blend(viscosity_a: float, viscosity_b: float, share_b: float) -> float:
    """Kinematic viscosity of a blend of two liquids.

    Parameters
    ----------
    viscosity_a, viscosity_b : float [m2/s]
        Kinematic viscosity of each, above 0.2 mm2/s, at one temperature.
    share_b : float [-]
        Volume share of b in the blend, 0 to 1.

    Returns
    -------
    float [m2/s]
        Between the two, monotone in share_b.

    Raises
    ------
    RangeError
        A viscosity at or below 0.2 mm2/s, or a share outside 0 to 1.

    Validity
        Made for oils by mass; used here by volume for paint and thinner. Expect +/-30 % of the
        thinner dose; the cup decides.
    Source
        refutas-maples.
    Checked
        tests/published/test_rheology.py.
    """
    _check_share(share_b, "share_b")
    return _from_index(
        (1 - share_b) * blend_index(viscosity_a) + share_b * blend_index(viscosity_b)
    )


def share_for(target: float, viscosity_a: float, viscosity_b: float) -> float:
    """Volume share of b that brings a blend of a and b to a wanted viscosity.

    Parameters
    ----------
    target : float [m2/s]
        Wanted kinematic viscosity of the blend.
    viscosity_a, viscosity_b : float [m2/s]
        Kinematic viscosity of paint and thinner, at the same temperature as the target.

    Returns
    -------
    float [-]
        Share of b in the blend, 0 to 1; the exact inverse of blend.

    Raises
    ------
    RangeError
        The target does not lie between the two (paint already thinner than wanted, say).

    Validity
        As blend.
    Source
        refutas-maples, solved for the share (derived).
    Checked
        tests/published/test_rheology.py.
    """
    low, high = sorted((viscosity_a, viscosity_b))
    if not low <= target <= high:
        raise RangeError(
            f"no blend of {viscosity_a / _MM2:.4g} and {viscosity_b / _MM2:.4g} mm2/s "
            f"has {target / _MM2:.4g} mm2/s",
            instead=f"it must lie between {low / _MM2:.4g} and {high / _MM2:.4g} mm2/s",
        )
    start, end = blend_index(viscosity_a), blend_index(viscosity_b)
    if start == end:
        return 0.0
    return min(1.0, max(0.0, (blend_index(target) - start) / (end - start)))


def without(viscosity: float, viscosity_b: float, share_b: float) -> float:
    """Kinematic viscosity left when b has gone out of a blend, as solvent does in flight.

    Parameters
    ----------
    viscosity : float [m2/s]
        The blend as sprayed.
    viscosity_b : float [m2/s]
        What left, e.g. thinner.
    share_b : float [-]
        Volume share of the blend that left, 0 up to but not including 1.

    Returns
    -------
    float [m2/s]
        Thicker than the blend where b is thinner; the exact inverse of blend for viscosity_a.

    Raises
    ------
    RangeError
        A viscosity at or below 0.2 mm2/s, or a share outside 0 to below 1.

    Validity
        As blend; grows beyond bounds as share_b nears the whole solvent of the mix.
    Source
        refutas-maples, solved for the first liquid (derived).
    Checked
        tests/properties/test_rheology.py.
    """
    _check_share(share_b, "share_b", open_end=True)
    left = (blend_index(viscosity) - share_b * blend_index(viscosity_b)) / (1 - share_b)
    if left > _THICKEST:
        raise RangeError(
            "so much of the blend has gone that nothing liquid is left",
            instead="lose a smaller share",
        )
    return _from_index(left)


_THICKEST: Final = _SCALE * math.log(math.log(1e12)) + _SHIFT


def _check_share(share: float, name: str, *, open_end: bool = False) -> None:
    if not 0.0 <= share <= 1.0 or (open_end and share == 1.0):
        raise RangeError(
            f"{name} is {share:g}",
            instead="it must be 0 up to below 1" if open_end else "it must be 0 to 1",
        )
