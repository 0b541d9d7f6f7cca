"""Pouring on the scale: cumulative masses in pouring order, rounding, and mending an over-pour."""

import numpy as np
from numpy.typing import ArrayLike

from coatwright.engines.mixing._parts import Float, as_parts, matched
from coatwright.engines.mixing.ratio import ready_density, shares
from coatwright.errors import RangeError


def pour(volume: float, parts: ArrayLike, densities: ArrayLike) -> Float:
    """Cumulative mass on the scale after each component, for a wanted volume.

    Parameters
    ----------
    volume : float [m3]
        Ready-to-spray volume wanted.
    parts : (n,) array [-]
        Parts by volume, in pouring order.
    densities : (n,) array [kg/m3]
        Density of each component.

    Returns
    -------
    (n,) array [kg]
        What the scale shows after each pour, the cup tared to zero once.

    Raises
    ------
    RangeError
        A volume not above zero, or inputs that do not match.

    Validity
        Additive volumes.
    Source
        derived.
    Checked
        tests/published/test_mixing.py.
    """
    if not volume > 0:
        raise RangeError(f"a mix of {volume:g} m3", instead="it must be above 0")
    return np.cumsum(volume * shares(parts) * matched(parts, densities, "density"))


def pour_mass(mass: float, parts: ArrayLike, densities: ArrayLike) -> Float:
    """Cumulative mass on the scale after each component, for a wanted total mass.

    Parameters
    ----------
    mass : float [kg]
        Ready-to-spray mass wanted.
    parts : (n,) array [-]
        Parts by volume, in pouring order.
    densities : (n,) array [kg/m3]
        Density of each component.

    Returns
    -------
    (n,) array [kg]
        What the scale shows after each pour; the last is the mass itself.

    Raises
    ------
    RangeError
        A mass not above zero, or inputs that do not match.

    Validity
        Additive volumes.
    Source
        derived.
    Checked
        tests/properties/test_mixing.py.
    """
    return pour(mass / ready_density(parts, densities), parts, densities)


def on_scale(cumulative: ArrayLike, resolution: float) -> Float:
    """Cumulative masses as a scale of that resolution can show them.

    Parameters
    ----------
    cumulative : (n,) array [kg]
        Exact cumulative masses.
    resolution : float [kg]
        Smallest step of the scale.

    Returns
    -------
    (n,) array [kg]
        Each rounded to the nearest step.

    Raises
    ------
    RangeError
        A resolution not above zero.

    Source
        derived.
    Checked
        tests/properties/test_mixing.py.
    """
    if not resolution > 0:
        raise RangeError(f"a scale resolution of {resolution:g} kg", instead="it must be above 0")
    return np.asarray(np.round(np.asarray(cumulative, dtype=float) / resolution) * resolution)


def ratio_error(cumulative: ArrayLike, parts: ArrayLike, densities: ArrayLike) -> float:
    """Worst relative error of a component's ratio to the first, for what was really poured.

    Parameters
    ----------
    cumulative : (n,) array [kg]
        Readings of the scale after each pour.
    parts : (n,) array [-]
        Parts by volume that were wanted; the first above 0.
    densities : (n,) array [kg/m3]
        Density of each component.

    Returns
    -------
    float [-]
        0.03 means that some component is 3 % off against the base; infinite if the base is
        missing.

    Raises
    ------
    RangeError
        Inputs that do not match, or a first part of zero.

    Source
        derived.
    Checked
        tests/properties/test_mixing.py.
    """
    found = as_parts(parts)
    if found[0] == 0:
        raise RangeError("the first part is 0", instead="pour the base first")
    volume = np.diff(matched(found, cumulative, "cumulative mass"), prepend=0.0) / matched(
        found, densities, "density"
    )
    if volume[0] <= 0:
        return float("inf")
    wanted = found > 0
    ratio = (volume[wanted] / volume[0]) / (found[wanted] / found[0])
    return float(np.abs(ratio - 1.0).max())


def over_pour(in_cup: ArrayLike, parts: ArrayLike, densities: ArrayLike) -> Float:
    """What to add of each component so that a cup with too much of one is in ratio again.

    Parameters
    ----------
    in_cup : (n,) array [kg]
        Mass of each component already in the cup.
    parts : (n,) array [-]
        Parts by volume that are wanted.
    densities : (n,) array [kg/m3]
        Density of each component.

    Returns
    -------
    (n,) array [kg]
        Mass to add of each, none negative and at least one zero: the smallest mix in ratio that
        contains what is in the cup.

    Raises
    ------
    RangeError
        Inputs that do not match, an empty cup, or something in it that is no part of the mix.

    Validity
        Only before the components have begun to react.
    Source
        derived.
    Checked
        tests/properties/test_mixing.py.
    """
    found = as_parts(parts)
    there = matched(found, in_cup, "mass in the cup")
    unit = found * matched(found, densities, "density")
    if ((unit == 0) & (there > 0)).any() or not there.sum() > 0:
        raise RangeError(
            f"a cup with {there.tolist()} kg cannot be brought to the ratio",
            instead="it must hold something, and only what belongs in the mix",
        )
    wanted = unit > 0
    scale = float((there[wanted] / unit[wanted]).max())
    return np.asarray(np.maximum(0.0, scale * unit - there))
