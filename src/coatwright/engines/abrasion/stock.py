"""What rubbing down takes off: scratches, flattening a texture, the chance of breaking through."""

import math
from typing import Final

from scipy.special import ndtr

from coatwright.engines.abrasion.grades import grain
from coatwright.errors import RangeError

STEEL: Final = 3.0
"""Hardness of mild steel on the scale where cured two-pack primer is 1; assumption."""
EDGE: Final = 1.5
"""An edge loses about half as much again as the flat (common practice, no source)."""
OVERCUT: Final = 1.2
"""A person rubs about a fifth beyond what is needed, to be sure; assumption."""

LEVELLED: Final = 2.56
"""Standard deviations from the 10 % to the 90 % point of a normal quantity."""

# Ra on steel [um] = 0.0028 (grain [um])^(4/3): fitted here to belt-roughness, within a factor 2.
_FIT: Final = 0.0028
_POWER: Final = 4.0 / 3.0
_UM: Final = 1e-6
RZ_OVER_RA: Final = 4.0


def _hard(hardness: float) -> float:
    if not hardness > 0:
        raise RangeError(f"a hardness of {hardness:g}", instead="it must be above 0")
    return hardness


def scratch(grade: str, hardness: float = 1.0) -> float:
    """Peak-to-valley depth of the scratches a grade leaves.

    Parameters
    ----------
    grade : str
        P-grade of the abrasive.
    hardness : float [-]
        Resistance of the material, 1 for cured two-pack primer, 3 for mild steel.

    Returns
    -------
    float [m]
        Peak to valley (Rz), about four times Ra.

    Raises
    ------
    RangeError
        Not a known grade, or a hardness not above zero.

    Validity
        Dry, flat block, fresh paper. On steel within a factor of 2 of published roughness, to
        which it was fitted; on primer no published values were found, so that the factor 3
        between the two is an assumption.
    Source
        belt-roughness (fit); hardness: assumption, no source.
    Checked
        tests/published/test_abrasion.py.
    """
    steel = RZ_OVER_RA * _FIT * math.pow(grain(grade) / _UM, _POWER) * _UM
    return steel * STEEL / _hard(hardness)


def roughness(grade: str, hardness: float = 1.0) -> float:
    """Mean roughness Ra that a grade leaves.

    Parameters
    ----------
    grade : str
        P-grade of the abrasive.
    hardness : float [-]
        Resistance of the material, 1 for cured two-pack primer, 3 for mild steel.

    Returns
    -------
    float [m]
        Ra, a quarter of scratch().

    Raises
    ------
    RangeError
        Not a known grade, or a hardness not above zero.

    Validity
        As scratch.
    Source
        belt-roughness (fit, factor 2).
    Checked
        tests/published/test_abrasion.py.
    """
    return scratch(grade, hardness) / RZ_OVER_RA


def relief(texture: float, film_spread: float) -> float:
    """What a block must bring level: the sprayed texture and the unevenness of the coats.

    Parameters
    ----------
    texture : float [m]
        Peak to valley of the sprayed texture, 0 or more.
    film_spread : float [m]
        Standard deviation of the dry film from spot to spot, 0 or more.

    Returns
    -------
    float [m]
        texture + 2.56 film_spread: from the 10 % to the 90 % point of a normal film. Give it to
        take_off in place of the texture when a block, not a pad that follows, is used.

    Raises
    ------
    RangeError
        A negative texture or spread.

    Validity
        Film and texture only: a low spot in the metal comes on top.
    Source
        assumption, no source: the lowest tenth is left or filled, not blocked out.
    Checked
        tests/unit/engines/abrasion/test_stock.py.
    """
    if min(texture, film_spread) < 0:
        raise RangeError("a negative texture or spread", instead="each must be 0 or more")
    return texture + LEVELLED * film_spread


def take_off(texture: float, grade_from: str | None, grade: str, hardness: float = 1.0) -> float:
    """Mean film a grade must take off to make a surface flat and free of what was there before.

    Parameters
    ----------
    texture : float [m]
        Peak to valley of the texture to be flattened, 0 if it is flat already.
    grade_from : str or None
        Grade rubbed before, whose scratches must go; None for a surface as sprayed.
    grade : str
        Grade in hand.
    hardness : float [-]
        Resistance of the material, 1 for cured two-pack primer.

    Returns
    -------
    float [m]
        Mean loss of film: half the texture and half the old scratch down to their valleys, half
        the grade's own scratch below that, and a fifth more.

    Raises
    ------
    RangeError
        A negative texture, an unknown grade, or a hardness not above zero.

    Validity
        Even relief; a low spot in the metal needs more. Edges lose EDGE times as much.
    Source
        derived (geometry); overcut and hardness are assumptions, no source. Comes near the film
        budget of common practice: P180 takes about 40 um, P320 and P500 together about 50 um.
    Checked
        tests/published/test_abrasion.py.
    """
    if not texture >= 0:
        raise RangeError(f"a texture of {texture:g} m", instead="it must be 0 or more")
    old = scratch(grade_from, hardness) if grade_from is not None else 0.0
    return OVERCUT * (texture + old + scratch(grade, hardness)) / 2


def break_through(film: float, film_spread: float, take_off: float, take_spread: float) -> float:
    """Chance that rubbing down goes through the film at a spot.

    Parameters
    ----------
    film, take_off : float [m]
        Mean dry film and mean loss.
    film_spread, take_spread : float [m]
        Standard deviation of each from spot to spot.

    Returns
    -------
    float [-]
        0 to 1.

    Raises
    ------
    RangeError
        A negative film, loss or spread.

    Validity
        Film and loss independent and each lognormal, since neither can be negative. A block takes
        less from a low spot than from a high one, so that the chance is on the high side.
    Source
        derived: chance that one lognormal exceeds another.
    Checked
        tests/properties/test_abrasion.py.
    """
    if min(film, film_spread, take_off, take_spread) < 0:
        raise RangeError("a negative film, loss or spread", instead="each must be 0 or more")
    if film == 0 or take_off == 0:
        return 1.0 if film == 0 else 0.0
    film_log, film_variance = _lognormal(film, film_spread)
    take_log, take_variance = _lognormal(take_off, take_spread)
    spread = math.sqrt(film_variance + take_variance)
    if spread == 0:
        return float(take_off >= film)
    return float(ndtr((take_log - film_log) / spread))


def _lognormal(mean: float, deviation: float) -> tuple[float, float]:
    """Mean and variance of the logarithm of a lognormal quantity."""
    variance = math.log1p((deviation / mean) ** 2)
    return math.log(mean) - variance / 2, variance
