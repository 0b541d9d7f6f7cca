"""A scale: paint laid from a cup weighed twice, the film it means, transfer efficiency.

Spreads are carried by first order: relative variances of factors add (the errors being
independent).
"""

import math

import numpy as np

from coatwright.engines.evidence._checks import above, not_below
from coatwright.engines.evidence.gauge import Films
from coatwright.engines.evidence.measured import Measured, product, standard_of_limits
from coatwright.errors import RangeError


def paint_used(
    before: float,
    after: float,
    resolution: float,
    density: Measured,
    lost: Measured | None = None,
) -> Measured:
    """Paint that a coat took, from the gun with its cup weighed before and after.

    Parameters
    ----------
    before, after : float [kg]
        Gun with full cup, and with what is left.
    resolution : float [kg]
        Smallest step of the scale.
    density : Measured [kg/m3]
        Ready paint.
    lost : Measured or None [m3]
        Sprayed beside the work: test card, clearing the gun, a spill.

    Returns
    -------
    Measured [m3]
        Paint sprayed at the work.

    Raises
    ------
    RangeError
        A cup that grew heavier, a density not above zero, or more lost than used.

    Validity
        Gun and cup wiped, same hose: only the rounding of both readings is in the scale's error.
    Source
        gum-type-b (rounding to half a step either way); uncertainty-product.
    Checked
        tests/unit/engines/evidence/test_weighing.py, against simulation.
    """
    if not before > after:
        raise RangeError(
            f"a cup of {before:g} kg before and {after:g} kg after",
            instead="it must have become lighter",
        )
    rounding = math.sqrt(2) * standard_of_limits(not_below(resolution, "a step of the scale") / 2)
    above(density.mean, "a density")
    through = product((Measured(before - after, rounding),), (density,))
    beside = lost or Measured(0.0, 0.0)
    left = above(through.mean - beside.mean, "paint left for the work [m3]")
    return Measured(left, math.hypot(through.spread, beside.spread))


def film_from_paint(
    paint: Measured, solids: Measured, capture: Measured, surface: float
) -> Measured:
    """Mean dry film that the paint of a coat means over its area.

    Parameters
    ----------
    paint : Measured [m3]
        Sprayed at the work.
    solids : Measured [-]
        Volume solids, ready to spray.
    capture : Measured [-]
        Share of the paint that lands on this area, from the model or learned.
    surface : float [m2]
        The area, above 0.

    Returns
    -------
    Measured [m]
        Mean over the area; how the film varies over it the scale cannot tell.

    Raises
    ------
    RangeError
        Anything not above zero.

    Source
        coverage-10vs, solved for the film; uncertainty-product.
    Checked
        tests/unit/engines/evidence/test_weighing.py, against simulation.
    """
    for one, name in ((paint, "paint"), (solids, "volume solids"), (capture, "a capture")):
        above(one.mean, name)
    return product((paint, solids, capture), (Measured(above(surface, "a surface [m2]"), 0.0),))


def one_film(film: Measured) -> Films:
    """A film known otherwise than by a gauge, in the form that `fuse` takes.

    Parameters
    ----------
    film : Measured [m]
        Mean film of an area, from a weighed cup for instance.

    Returns
    -------
    Films [m, m2]
        One film and its variance; give it as Gauged(..., whole=True).

    Source
        derived.
    Checked
        tests/unit/engines/evidence/test_weighing.py.
    """
    return Films(np.array([film.mean]), np.array([[film.spread**2]]))


def film_from_weight(
    before: float, after: float, resolution: float, density: Measured, surface: float
) -> Measured:
    """Mean dry film of a board weighed bare and coated.

    Parameters
    ----------
    before, after : float [kg]
        The board bare and clean, and with its film dried through.
    resolution : float [kg]
        Smallest step of the scale.
    density : Measured [kg/m3]
        Dry film, not wet paint.
    surface : float [m2]
        Coated side, above 0.

    Returns
    -------
    Measured [m]
        Mean over the board.

    Raises
    ------
    RangeError
        A board that did not grow heavier, or a density or surface not above zero.

    Source
        derived: mass over density and surface; uncertainty-product.
    Checked
        tests/unit/engines/evidence/test_weighing.py.
    """
    gained = above(after - before, "a gain of the board [kg]")
    rounding = math.sqrt(2) * standard_of_limits(not_below(resolution, "a step of the scale") / 2)
    above(density.mean, "a density")
    area = Measured(above(surface, "a surface [m2]"), 0.0)
    return product((Measured(gained, rounding),), (density, area))


def transfer_found(film: Measured, surface: float, paint: Measured, solids: Measured) -> Measured:
    """Transfer efficiency that a measured film and a weighed use of paint mean.

    Parameters
    ----------
    film : Measured [m]
        Mean dry film found.
    surface : float [m2]
        Area it lies on, above 0.
    paint : Measured [m3]
        Sprayed at it.
    solids : Measured [-]
        Volume solids, ready to spray.

    Returns
    -------
    Measured [-]
        Film times surface over paint times solids; above 1 means that a measurement is wrong.

    Raises
    ------
    RangeError
        Anything not above zero.

    Source
        astm-d5286 (volume of solids deposited over volume sprayed); uncertainty-product.
    Checked
        tests/published/test_evidence.py and, for the spread,
        tests/unit/engines/evidence/test_weighing.py.
    """
    for one, name in ((paint, "paint"), (solids, "volume solids"), (film, "a film")):
        above(one.mean, name)
    area = Measured(above(surface, "a surface [m2]"), 0.0)
    return product((film, area), (paint, solids))
