"""Runs: when a wet film on a wall moves too far before it sets.

The wet film is a Bingham liquid on a slope: it is at rest while its weight stays below the yield
stress, that is up to a film h0 = yield / (rho g sin slope). Above that its surface moves at

    v = rho g sin(slope) (h - h0)^2 / (2 eta)

and as solvent leaves eta grows as eta0 exp(t / set_time), so that in all it slides

    slide = rho g sin(slope) (h - h0)^2 set_time / (2 eta0).

The film that slides the allowed way is the sag limit. Loss of film as solvent leaves is left out,
which makes the limit too low rather than too high.
"""

import math
from typing import Final, TypeVar

import numpy as np
from numpy.typing import ArrayLike, NDArray

from coatwright.engines.constants import GRAVITY
from coatwright.engines.film._checks import above, not_below
from coatwright.errors import RangeError

Number = TypeVar("Number", float, NDArray[np.float64])

WALL: Final = math.pi / 2
SLIDE: Final = 5e-3
"""Slide allowed before a run shows [m]; assumption: 500 um/s, the critical speed of the anti-sag
index, kept up for 10 s."""
CRITICAL_SPEED: Final = 5e-4
"""Surface speed at which the anti-sag index is read [m/s]."""


def _weight(density: float, slope: float) -> float:
    """Weight of the film along the slope, per volume [N/m3]."""
    if not 0 <= slope <= math.pi:
        raise RangeError(f"a slope of {slope:g} rad", instead="it must be 0 to pi")
    return above(density, "a density") * GRAVITY * math.sin(slope)


def yield_limit(density: float, yield_stress: float, slope: float = WALL) -> float:
    """Thickest film that the yield stress alone holds on a slope.

    Parameters
    ----------
    density : float [kg/m3]
        Wet paint.
    yield_stress : float [Pa]
        0 or more.
    slope : float [rad]
        0 a floor, pi/2 a wall.

    Returns
    -------
    float [m]
        yield / (rho g sin slope); infinite on a floor.

    Raises
    ------
    RangeError
        Density, yield stress or slope outside their range.

    Source
        bingham-film.
    Checked
        tests/published/test_film.py.
    """
    stress, weight = not_below(yield_stress, "a yield stress"), _weight(density, slope)
    if weight <= density * GRAVITY * 1e-12:
        return math.inf
    return stress / weight


def sag_speed(
    density: float, viscosity: float, film: Number, yield_stress: float = 0.0, slope: float = WALL
) -> Number:
    """Speed of the surface of a wet film on a slope.

    Parameters
    ----------
    density : float [kg/m3]
        Wet paint.
    viscosity : float [Pa s]
        Of the paint on the wall, above 0 (plastic viscosity if there is a yield stress).
    film : float or array [m]
        Wet film.
    yield_stress : float [Pa]
        0 or more.
    slope : float [rad]
        pi/2 is a wall.

    Returns
    -------
    float or array [m/s]
        rho g sin(slope) (h - h0)^2 / (2 eta), 0 while the yield stress holds.

    Raises
    ------
    RangeError
        An input outside its range.

    Validity
        Thin even film, inertia and surface tension negligible.
    Source
        film-drainage; bingham-film.
    Checked
        tests/published/test_film.py.
    """
    moving = _moving(density, film, yield_stress, slope)
    return _weight(density, slope) * moving**2 / (2 * above(viscosity, "a viscosity"))


def _moving(density: float, film: Number, yield_stress: float, slope: float) -> Number:
    """The sheared part of the film, between the wall and the plug [m]."""
    held = yield_limit(density, yield_stress, slope)
    over = film - held if math.isfinite(held) else 0.0 * film
    if isinstance(over, np.ndarray):
        return np.maximum(over, 0.0)
    return max(over, 0.0)


def drainage(
    density: float, viscosity: float, film: Number, yield_stress: float = 0.0, slope: float = WALL
) -> Number:
    """Volume that flows down a slope per width and time.

    Parameters
    ----------
    density : float [kg/m3]
        Wet paint.
    viscosity : float [Pa s]
        Above 0.
    film : float or array [m]
        Wet film.
    yield_stress : float [Pa]
        0 or more.
    slope : float [rad]
        pi/2 is a wall.

    Returns
    -------
    float or array [m2/s]
        rho g sin(slope) (h - h0)^2 (2 h + h0) / (6 eta); rho g h^3 / (3 eta) with no yield stress.

    Raises
    ------
    RangeError
        An input outside its range.

    Validity
        As sag_speed.
    Source
        film-drainage; bingham-film (velocity integrated over the film, derived).
    Checked
        tests/published/test_film.py.
    """
    moving = _moving(density, film, yield_stress, slope)
    mean = moving**2 * (3 * film - moving)
    return _weight(density, slope) * mean / (6 * above(viscosity, "a viscosity"))


def slide(
    density: float,
    viscosity: float,
    film: Number,
    set_time: float,
    yield_stress: float = 0.0,
    slope: float = WALL,
) -> Number:
    """How far the surface of a wet film slides in all before it sets.

    Parameters
    ----------
    density : float [kg/m3]
        Wet paint.
    viscosity : float [Pa s]
        On landing, above 0; it then grows as exp(t / set_time).
    film : float or array [m]
        Wet film.
    set_time : float [s]
        Time in which the viscosity grows by e, above 0.
    yield_stress : float [Pa]
        0 or more.
    slope : float [rad]
        pi/2 is a wall.

    Returns
    -------
    float or array [m]
        Surface speed on landing times set_time.

    Raises
    ------
    RangeError
        An input outside its range.

    Validity
        As sag_speed, with a constant film and yield stress.
    Source
        bingham-film, integrated over time (derived).
    Checked
        tests/properties/test_film.py.
    """
    speed = sag_speed(density, viscosity, film, yield_stress, slope)
    return speed * above(set_time, "a set time")


def sag_limit(
    density: float,
    viscosity: float,
    yield_stress: float,
    set_time: float,
    slide: float = SLIDE,
    slope: float = WALL,
) -> float:
    """Thickest wet film that does not run on a wall.

    Parameters
    ----------
    density : float [kg/m3]
        Wet paint.
    viscosity : float [Pa s]
        On landing, above 0; it then grows as exp(t / set_time).
    yield_stress : float [Pa]
        0 or more.
    set_time : float [s]
        Time in which the viscosity grows by e, above 0.
    slide : float [m]
        Way the surface may slide before it is called a run.
    slope : float [rad]
        pi/2 is a wall.

    Returns
    -------
    float [m]
        h0 + sqrt(2 eta slide / (rho g sin(slope) set_time)); infinite on a floor.

    Raises
    ------
    RangeError
        An input outside its range.

    Validity
        As sag_speed. The allowed slide of 5 mm is an assumption: the anti-sag index's critical
        speed of 500 um/s kept up for 10 s gives the same.
    Source
        bingham-film, integrated over time (derived); wang-asi for the critical speed.
    Checked
        tests/published/test_film.py.
    """
    held = yield_limit(density, yield_stress, slope)
    eta, time = above(viscosity, "a viscosity"), above(set_time, "a set time")
    if not math.isfinite(held):
        return math.inf
    return held + math.sqrt(
        2 * eta * not_below(slide, "a slide") / (_weight(density, slope) * time)
    )


def slide_while_drying(
    weight: float, yield_stress: float, times: ArrayLike, viscosities: ArrayLike, films: ArrayLike
) -> NDArray[np.float64]:
    """Slide of the surface up to each moment, for any history of viscosity and film.

    Parameters
    ----------
    weight : float [N/m3]
        Density times gravity times the sine of the slope, above 0.
    yield_stress : float [Pa]
        0 or more, constant.
    times : (n,) array [s]
        Increasing.
    viscosities : (n,) array [Pa s]
        At those times.
    films : (n,) array [m]
        Wet film at those times.

    Returns
    -------
    (n,) array [m]
        Trapezoid sums of the surface speed, 0 first.

    Raises
    ------
    RangeError
        Arrays that do not match, times that do not increase, or a viscosity not above 0.

    Validity
        As sag_speed; error of second order in the time step.
    Source
        bingham-film.
    Checked
        tests/properties/test_film.py.
    """
    time, eta, film = (np.asarray(values, dtype=float) for values in (times, viscosities, films))
    if not (time.shape == eta.shape == film.shape) or (np.diff(time) <= 0).any():
        raise RangeError(
            "the times, viscosities and films do not go together",
            instead="give equally many of each, at increasing times",
        )
    if not (eta > 0).all():
        raise RangeError(f"a viscosity of {eta.min():g}", instead="it must be above 0")
    moving = np.maximum(
        film - not_below(yield_stress, "a yield stress") / above(weight, "a weight"), 0.0
    )
    speed = weight * moving**2 / (2 * eta)
    steps = np.diff(time) * (speed[1:] + speed[:-1]) / 2
    return np.concatenate([[0.0], np.cumsum(steps)])


def anti_sag_index(
    density: float,
    consistency: float,
    index: float,
    yield_stress: float = 0.0,
    speed: float = CRITICAL_SPEED,
) -> float:
    """Film at which the surface of a Herschel-Bulkley paint on a wall moves at a critical speed.

    Parameters
    ----------
    density : float [kg/m3]
        Wet paint.
    consistency : float [Pa s]
        K of the flow curve tau = yield + K (shear rate)^index, above 0 (Pa s to the power index).
    index : float [-]
        Flow index, above 0; 1 is Bingham, below 1 thins under shear.
    yield_stress : float [Pa]
        0 or more.
    speed : float [m/s]
        Critical surface speed.

    Returns
    -------
    float [m]
        Thickest stripe that does not sag (ASTM D4400 reads it in mils).

    Raises
    ------
    RangeError
        An input outside its range.

    Validity
        As sag_speed; a paint that does not thicken with time.
    Source
        wang-asi.
    Checked
        tests/published/test_film.py.
    """
    weight, power = _weight(density, WALL), above(index, "a flow index")
    pull = math.pow(weight / above(consistency, "a consistency"), 1 / power)
    per_film = not_below(speed, "a speed") * (power + 1) / (power * pull)
    sheared = math.pow(per_film, power / (power + 1))
    return sheared + not_below(yield_stress, "a yield stress") / weight


def mobile_share(flash: float, set_time: float) -> float:
    """Share of an earlier coat that still moves when the next one lands on it.

    Parameters
    ----------
    flash : float [s]
        Time since the earlier coat, 0 or more.
    set_time : float [s]
        Time in which its viscosity grows by e, above 0.

    Returns
    -------
    float [-]
        exp(-flash / set_time): how fluid it is against a fresh coat.

    Raises
    ------
    RangeError
        A negative flash or no set time.

    Validity
        Assumption: the earlier coat counts by its fluidity.
    Source
        assumption, no source.
    Checked
        property only.
    """
    return math.exp(-not_below(flash, "a flash-off") / above(set_time, "a set time"))
