"""What a mix is, from its parts by volume: density, solids, parts by mass.

Volumes are taken as additive: two-pack paints shrink a little on mixing, well under 1 %.
"""

import numpy as np
from numpy.typing import ArrayLike

from coatwright.engines.mixing._parts import Float, as_parts, matched
from coatwright.errors import RangeError


def shares(parts: ArrayLike) -> Float:
    """Volume share of each component in the mix.

    Parameters
    ----------
    parts : (n,) array [-]
        Parts by volume.

    Returns
    -------
    (n,) array [-]
        Shares that add up to 1.

    Raises
    ------
    RangeError
        A negative or missing part, or nothing to mix.

    Source
        derived.
    Checked
        property only.
    """
    found = as_parts(parts)
    return np.asarray(found / found.sum())


def thinned(parts: ArrayLike, share: float) -> Float:
    """Parts with thinner added, as a share of everything mixed so far.

    Parameters
    ----------
    parts : (n,) array [-]
        Parts by volume without thinner.
    share : float [-]
        Thinner by volume on the unthinned mix, 0 or more (0.1 is "plus 10 %").

    Returns
    -------
    (n + 1,) array [-]
        The parts, thinner last.

    Raises
    ------
    RangeError
        A negative share, or parts that cannot be mixed.

    Source
        common practice, no source: sheets give thinner as a percentage on the mixed paint.
    Checked
        tests/published/test_mixing.py.
    """
    found = as_parts(parts)
    if not share >= 0:
        raise RangeError(f"a thinner share of {share:g}", instead="it must be 0 or more")
    return np.append(found, share * found.sum())


def mass_parts(parts: ArrayLike, densities: ArrayLike) -> Float:
    """Parts by mass of a mix given by volume.

    Parameters
    ----------
    parts : (n,) array [-]
        Parts by volume.
    densities : (n,) array [kg/m3]
        Density of each component.

    Returns
    -------
    (n,) array [-]
        Parts by mass, scaled so that they add up like the parts by volume.

    Raises
    ------
    RangeError
        Parts and values that do not match, or a negative one.

    Source
        derived.
    Checked
        tests/published/test_mixing.py.
    """
    found = as_parts(parts)
    mass = found * matched(found, densities, "density")
    return np.asarray(mass * found.sum() / mass.sum())


def volume_parts(mass: ArrayLike, densities: ArrayLike) -> Float:
    """Parts by volume of a mix given by mass; the inverse of mass_parts.

    Parameters
    ----------
    mass : (n,) array [-]
        Parts by mass.
    densities : (n,) array [kg/m3]
        Density of each component, above 0.

    Returns
    -------
    (n,) array [-]
        Parts by volume, scaled so that they add up like the parts by mass.

    Raises
    ------
    RangeError
        Parts and values that do not match, or a negative one.

    Source
        derived.
    Checked
        tests/properties/test_mixing.py.
    """
    found = as_parts(mass)
    volume = found / matched(found, densities, "density")
    return np.asarray(volume * found.sum() / volume.sum())


def ready_density(parts: ArrayLike, densities: ArrayLike) -> float:
    """Density of the mix ready to spray.

    Parameters
    ----------
    parts : (n,) array [-]
        Parts by volume, thinner included.
    densities : (n,) array [kg/m3]
        Density of each component.

    Returns
    -------
    float [kg/m3]
        Density of the mix.

    Raises
    ------
    RangeError
        Parts and values that do not match, or a negative one.

    Validity
        Additive volumes.
    Source
        derived.
    Checked
        tests/published/test_mixing.py.
    """
    return float(shares(parts) @ matched(parts, densities, "density"))


def ready_solids(parts: ArrayLike, volume_solids: ArrayLike) -> float:
    """Volume solids of the mix ready to spray.

    Parameters
    ----------
    parts : (n,) array [-]
        Parts by volume, thinner included.
    volume_solids : (n,) array [-]
        Volume solids of each component, 0 to 1 (thinner 0).

    Returns
    -------
    float [-]
        Share of the mix's volume that stays on the panel.

    Raises
    ------
    RangeError
        Parts and values that do not match, a negative one, or solids above 1.

    Validity
        Additive volumes.
    Source
        derived.
    Checked
        tests/published/test_mixing.py.
    """
    solids = matched(parts, volume_solids, "volume solids")
    if (solids > 1).any():
        raise RangeError(f"volume solids of {solids.max():g}", instead="it must be 0 to 1")
    return float(shares(parts) @ solids)
