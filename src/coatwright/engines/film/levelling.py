"""Levelling: how fast surface tension pulls a ripple in a wet film flat."""

import math

from coatwright.errors import RangeError


def levelling_time(
    viscosity: float, wavelength: float, surface_tension: float, film: float
) -> float:
    """Time in which a ripple in a wet film sinks to 1/e of its height.

    Parameters
    ----------
    viscosity : float [Pa s]
        Wet paint, above 0.
    wavelength : float [m]
        From crest to crest, above 0.
    surface_tension : float [N/m]
        Above 0.
    film : float [m]
        Mean wet film, above 0.

    Returns
    -------
    float [s]
        3 eta (wavelength / 2 pi)^4 / (sigma h^3).

    Raises
    ------
    RangeError
        An input that is not above zero.

    Validity
        Newtonian film, ripple low against the film, wavelength long against it; a yield stress
        leaves some of it for ever.
    Source
        orchard-1962.
    Checked
        tests/published/test_film.py.
    """
    named = {
        "a viscosity": viscosity,
        "a wavelength": wavelength,
        "a surface tension": surface_tension,
        "a film": film,
    }
    for name, value in named.items():
        if not value > 0:
            raise RangeError(f"{name} of {value:g}", instead="it must be above 0")
    return 3 * viscosity * (wavelength / (2 * math.pi)) ** 4 / (surface_tension * film**3)


def half_life(viscosity: float, wavelength: float, surface_tension: float, film: float) -> float:
    """Time in which a ripple in a wet film sinks to half its height.

    Parameters
    ----------
    viscosity : float [Pa s]
        Wet paint, above 0.
    wavelength : float [m]
        From crest to crest, above 0.
    surface_tension : float [N/m]
        Above 0.
    film : float [m]
        Mean wet film, above 0.

    Returns
    -------
    float [s]
        levelling_time times ln 2.

    Raises
    ------
    RangeError
        An input that is not above zero.

    Validity
        As levelling_time.
    Source
        orchard-1962.
    Checked
        tests/published/test_film.py.
    """
    return math.log(2) * levelling_time(viscosity, wavelength, surface_tension, film)


def texture_left(texture: float, levelling: float, set_time: float) -> float:
    """Height of a ripple that is left when the film has set.

    Parameters
    ----------
    texture : float [m]
        Height when the coat has landed.
    levelling : float [s]
        levelling_time on landing, above 0.
    set_time : float [s]
        Time in which the viscosity grows by e, 0 or more.

    Returns
    -------
    float [m]
        texture exp(-set_time / levelling).

    Raises
    ------
    RangeError
        A levelling time not above zero or a negative set time.

    Validity
        As levelling_time; viscosity grows as exp(t / set_time), the film keeps its thickness.
    Source
        orchard-1962, integrated over time (derived).
    Checked
        tests/properties/test_film.py.
    """
    if not levelling > 0 or not set_time >= 0:
        raise RangeError(
            f"a levelling time of {levelling:g} s and a set time of {set_time:g} s",
            instead="the first must be above 0 and the second 0 or more",
        )
    return texture * math.exp(-set_time / levelling)
