"""Viscosity of two liquids mixed: a paint and its thinner.

Two rules made for oils turn each kinematic viscosity nu [mm2/s] into an index that adds up by
share, by volume (Chevron) or by mass (Refutas):

    by volume   index = ln nu / ln(1000 nu)
    by mass     index = 14.534 ln ln(nu + 0.8) + 10.975

Between a paint and its thinner either is an estimate: the dose it gives is where to begin, and the
cup decides. Where the two differ, the difference is the least spread to be shown.
"""

import math
from typing import Final

from coatwright.errors import RangeError

_MM2: Final = 1e-6
_CHEVRON: Final = math.log(1000.0)
_SCALE: Final = 14.534
_SHIFT: Final = 10.975
_OFFSET: Final = 0.8
_NOISE: Final = 1e-9
THINNEST: Final = 0.01e-6
"""Least kinematic viscosity taken for a blend by volume [m2/s]."""
THINNEST_BY_MASS: Final = 0.2001e-6
"""Least kinematic viscosity the index by mass is defined for [m2/s]."""
THICKEST: Final = 1.0
"""Kinematic viscosity above which nothing is called liquid here [m2/s]."""


def blend_index(viscosity: float) -> float:
    """Index of one liquid that adds up by volume (Chevron).

    Parameters
    ----------
    viscosity : float [m2/s]
        Kinematic viscosity, 0.01 mm2/s to 1 m2/s.

    Returns
    -------
    float [-]
        Below 1; larger is thicker.

    Raises
    ------
    RangeError
        Outside 0.01 mm2/s to 1 m2/s.

    Validity
        Miscible liquids that do not react, all at one temperature.
    Source
        chevron-blend.
    Checked
        tests/properties/test_rheology.py.
    """
    _check_liquid(viscosity, THINNEST)
    log = math.log(viscosity / _MM2)
    return log / (log + _CHEVRON)


def blend(viscosity_a: float, viscosity_b: float, share_b: float) -> float:
    """Kinematic viscosity of a blend of two liquids, by volume.

    Parameters
    ----------
    viscosity_a, viscosity_b : float [m2/s]
        Kinematic viscosity of each at one temperature, 0.01 mm2/s to 1 m2/s.
    share_b : float [-]
        Volume share of b in the blend, 0 to 1.

    Returns
    -------
    float [m2/s]
        Between the two, monotone in share_b.

    Raises
    ------
    RangeError
        A viscosity or a share outside its range.

    Validity
        Made for oils. For paint and thinner no published values were found: expect the dose of
        thinner within about 30 %.
    Source
        chevron-blend.
    Checked
        tests/properties/test_rheology.py.
    """
    _check_share(share_b)
    index = (1 - share_b) * blend_index(viscosity_a) + share_b * blend_index(viscosity_b)
    return _from_index(index)


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
        A viscosity outside its range, or a target that does not lie between the two (a paint that
        is thinner than wanted already, say).

    Validity
        As blend.
    Source
        chevron-blend, solved for the share (derived).
    Checked
        tests/properties/test_rheology.py.
    """
    low, high = sorted((viscosity_a, viscosity_b))
    if not low * (1 - _NOISE) <= target <= high * (1 + _NOISE):
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
        The blend, as sprayed.
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
        A viscosity or share outside its range, or so much gone that nothing liquid is left.

    Validity
        As blend; grows beyond bounds as share_b nears the whole solvent of the mix.
    Source
        chevron-blend, solved for the first liquid (derived).
    Checked
        tests/properties/test_rheology.py.
    """
    _check_share(share_b)
    index = blend_index(viscosity) - share_b * blend_index(viscosity_b)
    if index >= (1 - share_b) * blend_index(THICKEST):
        raise RangeError(
            f"without {share_b:.0%} of it nothing liquid is left of the blend",
            instead="a smaller share must leave",
        )
    return _from_index(index / (1 - share_b))


def blend_by_mass(viscosity_a: float, viscosity_b: float, mass_share_b: float) -> float:
    """Kinematic viscosity of a blend of two liquids, by mass (Refutas).

    Parameters
    ----------
    viscosity_a, viscosity_b : float [m2/s]
        Kinematic viscosity of each at one temperature, above 0.2 mm2/s.
    mass_share_b : float [-]
        Mass share of b in the blend, 0 to 1.

    Returns
    -------
    float [m2/s]
        Between the two, monotone in mass_share_b.

    Raises
    ------
    RangeError
        A viscosity or a share outside its range.

    Validity
        Made for oils; a second opinion beside blend.
    Source
        refutas-maples.
    Checked
        tests/published/test_rheology.py.
    """
    _check_share(mass_share_b)
    first, second = blend_index_by_mass(viscosity_a), blend_index_by_mass(viscosity_b)
    index = (1 - mass_share_b) * first + mass_share_b * second
    return (math.exp(math.exp((index - _SHIFT) / _SCALE)) - _OFFSET) * _MM2


def blend_index_by_mass(viscosity: float) -> float:
    """Index of one liquid that adds up by mass (Refutas).

    Parameters
    ----------
    viscosity : float [m2/s]
        Kinematic viscosity, above 0.2 mm2/s to 1 m2/s.

    Returns
    -------
    float [-]
        Larger is thicker.

    Raises
    ------
    RangeError
        Outside 0.2 mm2/s to 1 m2/s.

    Validity
        As blend_by_mass.
    Source
        refutas-maples.
    Checked
        tests/published/test_rheology.py.
    """
    _check_liquid(viscosity, THINNEST_BY_MASS)
    return _SCALE * math.log(math.log(viscosity / _MM2 + _OFFSET)) + _SHIFT


def _from_index(index: float) -> float:
    return math.exp(_CHEVRON * index / (1 - index)) * _MM2


def _check_liquid(viscosity: float, thinnest: float) -> None:
    if not thinnest <= viscosity <= THICKEST:
        raise RangeError(
            f"a kinematic viscosity of {viscosity / _MM2:g} mm2/s cannot be blended",
            instead=f"it must be {thinnest / _MM2:.4g} mm2/s to {THICKEST:g} m2/s",
        )


def _check_share(share: float) -> None:
    if not 0.0 <= share <= 1.0:
        raise RangeError(f"a share of {share:g} in a blend", instead="it must be 0 to 1")
