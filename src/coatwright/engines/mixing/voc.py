"""Volatile organic compounds of a mix ready to spray, as the EU and the US count them.

EU: all organics boiling up to 250 degC count; water is subtracted from the volume (but not for the
preparatory products of category a). US: exempt compounds count neither as mass nor as volume.
Mass that reacts while drying is not counted: give each component's VOC without it.
"""

from typing import Final, NamedTuple

import numpy as np
from numpy.typing import ArrayLike

from coatwright.engines.mixing._parts import Float, as_parts, matched
from coatwright.errors import RangeError

WATER: Final = 998.2
"""Density of water at 20 degC [kg/m3]."""


class Exempt(NamedTuple):
    """Exempt compounds of each component: mass per volume of it [kg/m3], and their density."""

    mass: ArrayLike
    density: float


def ready_voc_eu(
    parts: ArrayLike,
    voc: ArrayLike,
    water: ArrayLike,
    densities: ArrayLike,
    *,
    less_water: bool = True,
) -> float:
    """VOC of the mix ready for use, as Directive 2004/42/EC counts it.

    Parameters
    ----------
    parts : (n,) array [-]
        Parts by volume, thinner included.
    voc : (n,) array [kg/m3]
        Volatile organics per volume of each component, without what reacts.
    water : (n,) array [kg/m3]
        Water per volume of each component.
    densities : (n,) array [kg/m3]
        Density of each component; organics and water may not exceed it.
    less_water : bool
        False for category a (preparatory products), where water stays in the volume.

    Returns
    -------
    float [kg/m3]
        The same number as g/L.

    Raises
    ------
    RangeError
        Inputs that do not match, or more volatiles than there is component.

    Validity
        Additive volumes.
    Source
        2004-42-ec, annex II B with its footnote on water.
    Checked
        tests/published/test_mixing.py.
    """
    found = _volatiles(parts, voc, water, densities)
    volume = found.volume - (found.water / WATER if less_water else 0.0)
    return found.organic / _some(volume)


def ready_voc_us(
    parts: ArrayLike,
    voc: ArrayLike,
    water: ArrayLike,
    densities: ArrayLike,
    exempt: Exempt | None = None,
) -> float:
    """VOC of the mix less water and less exempt compounds, as 40 CFR 59 subpart B counts it.

    Parameters
    ----------
    parts : (n,) array [-]
        Parts by volume, thinner included.
    voc : (n,) array [kg/m3]
        All volatile organics per volume of each component, the exempt ones included.
    water : (n,) array [kg/m3]
        Water per volume of each component.
    densities : (n,) array [kg/m3]
        Density of each component.
    exempt : Exempt or None
        Exempt compounds per volume of each component [kg/m3], and their density [kg/m3].

    Returns
    -------
    float [kg/m3]
        (Wv - Ww - Wec) / (V - Vw - Vec); the same number as g/L.

    Raises
    ------
    RangeError
        Inputs that do not match, more volatiles than component, or more exempt than volatile.

    Validity
        Additive volumes.
    Source
        40-cfr-59-b, 59.104(a)(1).
    Checked
        tests/published/test_mixing.py.
    """
    found = _volatiles(parts, voc, water, densities)
    organic, volume = found.organic, found.volume - found.water / WATER
    if exempt is not None:
        left_out = float(as_parts(parts) @ matched(parts, exempt.mass, "exempt compounds"))
        if left_out > organic * (1 + 1e-12):
            raise RangeError(
                "more exempt compounds than volatile organics",
                instead="the exempt ones must be included in voc",
            )
        organic, volume = max(0.0, organic - left_out), volume - left_out / exempt.density
    return organic / _some(volume)


def voc_of_weights(
    density: float,
    nonvolatile: float,
    water: float,
    water_density: float = WATER,
    *,
    less_water: bool = True,
) -> float:
    """VOC of one liquid from what a balance and an oven say of it.

    Parameters
    ----------
    density, water_density : float [kg/m3]
        Of the liquid and of water.
    nonvolatile, water : float [-]
        Mass shares.
    less_water : bool
        True: per volume less water; False: per volume as it is.

    Returns
    -------
    float [kg/m3]
        The same number as g/L.

    Raises
    ------
    RangeError
        Shares that add up to more than 1, or a liquid that is all water.

    Validity
        No exempt compounds.
    Source
        iso-11890-2 (form from memory; the same algebra in paintcenter-mar04).
    Checked
        tests/published/test_mixing.py.
    """
    organic = 1.0 - nonvolatile - water
    if min(nonvolatile, water, organic) < -1e-12:
        raise RangeError(
            f"mass shares of {nonvolatile:g} solids and {water:g} water",
            instead="each must be 0 or more and together at most 1",
        )
    volume = 1.0 - (density * water / water_density if less_water else 0.0)
    return density * max(0.0, organic) / _some(volume)


class _Volatiles(NamedTuple):
    volume: float
    organic: float
    water: float


def _volatiles(
    parts: ArrayLike, voc: ArrayLike, water: ArrayLike, densities: ArrayLike
) -> _Volatiles:
    found = as_parts(parts)
    organic = matched(found, voc, "voc")
    wet = matched(found, water, "water")
    _check_mass(organic + wet, matched(found, densities, "density"))
    return _Volatiles(float(found.sum()), float(found @ organic), float(found @ wet))


def _check_mass(volatile: Float, densities: Float) -> None:
    if (volatile > densities * (1 + 1e-9)).any():
        worst = int(np.argmax(volatile - densities))
        raise RangeError(
            f"part {worst + 1} holds {volatile[worst]:g} kg/m3 of volatiles "
            f"in {densities[worst]:g} kg/m3",
            instead="VOC and water together must not exceed the density",
        )


def _some(volume: float) -> float:
    if not volume > 0:
        raise RangeError("nothing but water is left to refer the VOC to", instead="check the water")
    return volume
