"""Drops: when a wet film under a ceiling gathers before it sets.

Gravity pulls a ripple of wavenumber k downwards, surface tension flattens it:

    growth rate = h^3 (rho g k^2 - sigma k^4) / (3 eta)

The fastest ripple has k^2 = rho g / (2 sigma), a wavelength of some 15 mm in paint.
"""

import math
from typing import Final

from coatwright.engines.constants import GRAVITY
from coatwright.engines.film._checks import above, not_below

GROWTH: Final = math.log(10.0)
"""E-folds a ripple under a ceiling may grow before drops hang; assumption: tenfold."""


def hang_rate(density: float, viscosity: float, surface_tension: float, film: float) -> float:
    """Growth rate of the fastest ripple in a film under a ceiling.

    Parameters
    ----------
    density : float [kg/m3]
        Wet paint.
    viscosity : float [Pa s]
        Above 0.
    surface_tension : float [N/m]
        Above 0.
    film : float [m]
        Wet film.

    Returns
    -------
    float [1/s]
        (rho g)^2 h^3 / (12 eta sigma), at the wavelength 2 pi sqrt(2 sigma / (rho g)).

    Raises
    ------
    RangeError
        An input outside its range.

    Validity
        Small ripples in a thin Newtonian film (lubrication).
    Source
        rayleigh-taylor-film: maximum over k of h^3 (rho g k^2 - sigma k^4) / (3 eta) (derived).
    Checked
        tests/properties/test_film.py.
    """
    pull = above(density, "a density") * GRAVITY
    slow = 12 * above(viscosity, "a viscosity") * above(surface_tension, "a surface tension")
    return pull**2 * film**3 / slow


def hang_limit(
    density: float,
    viscosity: float,
    surface_tension: float,
    set_time: float,
    growth: float = GROWTH,
) -> float:
    """Thickest wet film that does not gather into drops under a ceiling.

    Parameters
    ----------
    density : float [kg/m3]
        Wet paint.
    viscosity : float [Pa s]
        On landing, above 0; it then grows as exp(t / set_time).
    surface_tension : float [N/m]
        Above 0.
    set_time : float [s]
        Time in which the viscosity grows by e, above 0.
    growth : float [-]
        E-folds a ripple may grow before the film sets.

    Returns
    -------
    float [m]
        (12 eta sigma growth / ((rho g)^2 set_time))^(1/3).

    Raises
    ------
    RangeError
        An input outside its range.

    Validity
        As hang_rate; a yield stress would hold more, so the limit is on the low side. The allowed
        growth (tenfold) is an assumption.
    Source
        rayleigh-taylor-film, integrated over time (derived).
    Checked
        tests/properties/test_film.py.
    """
    rate_of_unit_film = hang_rate(density, viscosity, surface_tension, 1.0)
    folds = not_below(growth, "a growth")
    return math.cbrt(folds / (rate_of_unit_film * above(set_time, "a set time")))
