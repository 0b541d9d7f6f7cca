"""Hiding: how thick a colour must lie so that black and white under it look alike.

Kubelka-Munk: a film with scatter S [1/m] and thickness X over a backing Rg reflects

    R = (1 - Rg (a - b coth bSX)) / (a - Rg + b coth bSX)

with a = (1/Rinf + Rinf)/2, b = sqrt(a^2 - 1) and Rinf the reflectance of an infinitely thick film.
"""

import math
from typing import Final

from coatwright.errors import RangeError

HIDES: Final = 0.98
"""Contrast ratio at which a film is said to hide (ISO 6504-1)."""
WHITE: Final = 0.80
BLACK: Final = 0.0


def _reflecting(value: float, name: str) -> float:
    if not 0 <= value <= 1:
        raise RangeError(f"{name} of {value:g}", instead="it must be 0 to 1")
    return value


def reflectance(scatter: float, infinite: float, backing: float) -> float:
    """Reflectance of a film over a backing.

    Parameters
    ----------
    scatter : float [-]
        Scattering power S X of the film, 0 or more.
    infinite : float [-]
        Reflectance of an infinitely thick film of this paint, above 0 and at most 1.
    backing : float [-]
        Reflectance of what lies under it, 0 to 1.

    Returns
    -------
    float [-]
        0 to 1; the backing itself at zero film.

    Raises
    ------
    RangeError
        An input outside its range.

    Validity
        Diffuse light, one colour (Y), no correction for the gloss of the surface.
    Source
        kubelka-munk.
    Checked
        tests/published/test_film.py.
    """
    under, far = _reflecting(backing, "a backing"), _reflecting(infinite, "a reflectance")
    if not scatter >= 0 or far == 0:
        raise RangeError(
            f"a scattering power of {scatter:g} and a full reflectance of {far:g}",
            instead="the first must be 0 or more and the second above 0",
        )
    if scatter == 0:
        return under
    a = (1 / far + far) / 2
    b = math.sqrt(max(0.0, a * a - 1))
    # b coth(b S X) tends to 1 / (S X) for a paint that absorbs nothing.
    pull = b / math.tanh(b * scatter) if b * scatter > 1e-8 else 1 / scatter
    return (1 - under * (a - pull)) / (a - under + pull)


def contrast_ratio(
    scatter: float, infinite: float, black: float = BLACK, white: float = WHITE
) -> float:
    """Reflectance over black divided by reflectance over white.

    Parameters
    ----------
    scatter : float [-]
        Scattering power S X of the film, 0 or more.
    infinite : float [-]
        Reflectance of an infinitely thick film, above 0 and at most 1.
    black, white : float [-]
        Reflectance of the two halves of the card.

    Returns
    -------
    float [-]
        1 hides perfectly.

    Raises
    ------
    RangeError
        An input outside its range.

    Validity
        As reflectance.
    Source
        kubelka-munk; iso-6504-1 (98 % hides).
    Checked
        tests/published/test_film.py.
    """
    return reflectance(scatter, infinite, black) / reflectance(scatter, infinite, white)


def scatter_for(
    infinite: float, contrast: float = HIDES, black: float = BLACK, white: float = WHITE
) -> float:
    """Scattering power a film needs for a wanted contrast ratio.

    Parameters
    ----------
    infinite : float [-]
        Reflectance of an infinitely thick film, above 0 and below 1.
    contrast : float [-]
        Wanted contrast ratio, below 1.
    black, white : float [-]
        Reflectance of the two halves of the card, black below white.

    Returns
    -------
    float [-]
        S X; divide by the paint's S [1/m] for the dry film.

    Raises
    ------
    RangeError
        An input outside its range, or a contrast the bare card already has.

    Validity
        As reflectance. Dark colours need less than white at equal scatter.
    Source
        kubelka-munk, solved for S X (derived).
    Checked
        tests/published/test_film.py.
    """
    if not 0 < infinite < 1 or not 0 < contrast < 1 or not 0 <= black < white <= 1:
        raise RangeError(
            f"no film gives a contrast of {contrast:g} at a full reflectance of {infinite:g}",
            instead="both must lie between 0 and 1 and black must be darker than white",
        )
    if contrast_ratio(0.0, infinite, black, white) >= contrast:
        return 0.0
    a = (1 / infinite + infinite) / 2
    b = math.sqrt(a * a - 1)
    # With c = b coth(b S X) the contrast ratio is a ratio of two quadratics in c, and of the two
    # roots only the larger lies above b, where S X is real.
    square = black - contrast * white
    linear = (1 - black * white) * (1 - contrast)
    rest = (1 - black * a) * (a - white) - contrast * (1 - white * a) * (a - black)
    c = (-linear - math.sqrt(linear**2 - 4 * square * rest)) / (2 * square)
    return math.atanh(b / c) / b


def hiding_film(infinite: float, scattering: float, contrast: float = HIDES) -> float:
    """Dry film that hides black and white.

    Parameters
    ----------
    infinite : float [-]
        Reflectance of an infinitely thick film, above 0 and below 1.
    scattering : float [1/m]
        Scattering coefficient S of the dry paint, above 0.
    contrast : float [-]
        Wanted contrast ratio, below 1.

    Returns
    -------
    float [m]
        Dry film.

    Raises
    ------
    RangeError
        An input outside its range.

    Validity
        As reflectance.
    Source
        kubelka-munk; iso-6504-1.
    Checked
        tests/published/test_film.py.
    """
    if not scattering > 0:
        raise RangeError(f"a scattering of {scattering:g} 1/m", instead="it must be above 0")
    return scatter_for(infinite, contrast) / scattering
