"""Solvent as vapour: its volume, its mass in air, and how near it comes to burning or harm."""

from collections.abc import Sequence

from coatwright.engines.constants import ATMOSPHERE, GAS
from coatwright.errors import RangeError

ROOM = 293.15
"""Temperature limits in mg/m3 hold for [K]: 20 degC in Europe; 25 degC in the United States."""


def molar_volume(temperature: float = ROOM, pressure: float = ATMOSPHERE) -> float:
    """Volume of a mole of any vapour in air.

    Parameters
    ----------
    temperature : float [K]
        Of the air.
    pressure : float [Pa]
        Of the air.

    Returns
    -------
    float [m3/mol]
        Ideal gas.

    Source
        ideal-gas.
    Checked
        tests/published/test_ventilation.py.
    """
    return GAS * temperature / pressure


def vapour_volume(
    liquid: float, density: float, molar_mass: float, temperature: float = ROOM
) -> float:
    """Volume of the vapour that a volume of solvent becomes.

    Parameters
    ----------
    liquid : float [m3]
        Solvent, 0 or more.
    density : float [kg/m3]
        Of the liquid.
    molar_mass : float [kg/mol]
        Of the solvent.
    temperature : float [K]
        Of the air.

    Returns
    -------
    float [m3]
        As pure vapour at one atmosphere.

    Raises
    ------
    RangeError
        Less than nothing of it.

    Source
        ideal-gas.
    Checked
        tests/published/test_ventilation.py.
    """
    if not (liquid >= 0 and molar_mass > 0):
        raise RangeError("less than no solvent", instead="give a volume of 0 or more")
    return liquid * density / molar_mass * molar_volume(temperature)


def mass_in_air(share: float, molar_mass: float, temperature: float = ROOM) -> float:
    """Mass of vapour in a volume of air (ppm to mg/m3, in SI).

    Parameters
    ----------
    share : float [-]
        Of the air by volume; 1 ppm is 1e-6.
    molar_mass : float [kg/mol]
        Of the vapour.
    temperature : float [K]
        Of the air.

    Returns
    -------
    float [kg/m3]
        Ideal gas at one atmosphere.

    Source
        ideal-gas.
    Checked
        tests/published/test_ventilation.py.
    """
    return share * molar_mass / molar_volume(temperature)


def saturation(pressure: float, total: float = ATMOSPHERE) -> float:
    """Share of the air that a vapour can come to over its liquid.

    Parameters
    ----------
    pressure : float [Pa]
        Vapour pressure of the liquid.
    total : float [Pa]
        Pressure of the air.

    Returns
    -------
    float [-]
        By volume, at most 1.

    Source
        ideal-gas.
    Checked
        tests/published/test_ventilation.py.
    """
    return min(pressure / total, 1.0)


def blend_limit(shares: Sequence[float], limits: Sequence[float]) -> float:
    """Lower flammable limit of a blend of vapours.

    Parameters
    ----------
    shares : sequence of float [-]
        Of each vapour in the blend by volume, summing to 1.
    limits : sequence of float [-]
        Lower limit of each in air.

    Returns
    -------
    float [-]
        Le Chatelier: 1 / sum(share / limit).

    Raises
    ------
    RangeError
        Lists of different length, shares that do not sum to 1, or a limit not above 0.

    Validity
        Good for vapours of one kind; fans, heat and mist change the limit.
    Source
        le-chatelier.
    Checked
        tests/published/test_ventilation.py.
    """
    if len(shares) != len(limits) or abs(sum(shares) - 1.0) > 1e-6 or min(limits) <= 0:
        raise RangeError(
            "a blend whose shares and limits do not fit",
            instead="give one limit above 0 for each share, and shares that sum to 1",
        )
    return 1.0 / sum(share / limit for share, limit in zip(shares, limits, strict=True))


def additive_index(shares: Sequence[float], limits: Sequence[float]) -> float:
    """How much of the limits for breathing a mixture of vapours uses up.

    Parameters
    ----------
    shares : sequence of float [-]
        Of each vapour in the air by volume.
    limits : sequence of float [-]
        Exposure limit of each.

    Returns
    -------
    float [-]
        Sum of share / limit; above 1 the mixture is over its limit.

    Raises
    ------
    RangeError
        Lists of different length or a limit not above 0.

    Validity
        For vapours that act on the body alike, the usual assumption for paint solvents.
    Source
        additive-exposure.
    Checked
        tests/unit/engines/ventilation/test_vapour.py.
    """
    if len(shares) != len(limits) or (limits and min(limits) <= 0):
        raise RangeError(
            "vapours and limits do not fit", instead="give one limit above 0 for each vapour"
        )
    return sum(share / limit for share, limit in zip(shares, limits, strict=True))


def dilution_air(vapour: float, limit: float, fraction: float = 0.25) -> float:
    """Fresh air that keeps a volume of vapour at a fraction of its lower flammable limit.

    Parameters
    ----------
    vapour : float [m3]
        Let loose, as pure vapour.
    limit : float [-]
        Lower flammable limit.
    fraction : float [-]
        Of that limit not to be passed, above 0 and at most 1.

    Returns
    -------
    float [m3]
        vapour x (1 - limit) / (limit x fraction).

    Raises
    ------
    RangeError
        A limit or fraction outside 0 to 1.

    Validity
        Spread evenly over the time it evaporates; the form of 29 CFR 1910.94 is from memory.
    Source
        osha-dilution.
    Checked
        tests/published/test_ventilation.py.
    """
    if not (0 < limit < 1 and 0 < fraction <= 1 and vapour >= 0):
        raise RangeError(
            f"a limit of {limit:g} at a fraction of {fraction:g}",
            instead="both must lie between 0 and 1",
        )
    return vapour * (1.0 - limit) / (limit * fraction)
