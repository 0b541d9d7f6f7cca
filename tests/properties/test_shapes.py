"""Geometry of any shape against numerical integration that shares no formula with the model."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad
from scipy.optimize import brentq

from coatwright.model.shape import ApertureRing, CurvedPanel, Dome
from strategies import shapes

LENGTHS = st.floats(0.01, 10.0)


def circle_through(chord: float, rise: float) -> float:
    """Radius of the circle through both ends of a chord and the top of its rise, by bisection."""
    return float(
        brentq(
            lambda r: (chord / 2) ** 2 + (r - rise) ** 2 - r**2, rise / 2, 1e6 * chord, xtol=1e-15
        )
    )


def slope(x: float, radius: float) -> float:
    """dz/dx of the circle z = sqrt(R^2 - x^2)."""
    return -x / math.sqrt(radius**2 - x**2)


# Below a half circle the arc is the graph of a function, and can be integrated along x.
RISES = st.floats(0.01, 0.48)


@given(length=LENGTHS, width=LENGTHS, share=RISES)
def test_arc_of_a_curved_panel_is_its_integral(length, width, share):
    panel = CurvedPanel(length=length, width=width, rise=share * width)
    radius = circle_through(width, panel.rise)
    arc, error = quad(lambda x: math.hypot(1, slope(x, radius)), -width / 2, width / 2, limit=200)
    assert panel.area() == pytest.approx(length * arc, rel=1e-7, abs=10 * error)


@given(diameter=LENGTHS, share=RISES)
def test_cap_of_a_dome_is_its_surface_of_revolution(diameter, share):
    dome = Dome(diameter=diameter, rise=share * diameter)
    radius = circle_through(diameter, dome.rise)
    surface, error = quad(
        lambda x: 2 * math.pi * x * math.hypot(1, slope(x, radius)), 0, diameter / 2, limit=200
    )
    assert dome.area() == pytest.approx(surface, rel=1e-7, abs=10 * error)


@given(width=LENGTHS, height=LENGTHS, share=st.floats(0, 1), breadth=LENGTHS)
def test_ring_is_the_length_of_its_outline(width, height, share, breadth):
    corner = share * min(width, height) / 2
    ring = ApertureRing(width=width, height=height, corner=corner, breadth=breadth)
    assert ring.run() == pytest.approx(outline(width, height, corner), rel=1e-6)


def outline(width: float, height: float, corner: float) -> float:
    """Length of a rounded rectangle drawn as points, 400 to a corner (error below 1e-6)."""
    turn = np.linspace(0, math.pi / 2, 401)
    points = [
        (
            sx * (width / 2 - corner) + corner * np.cos(turn + quarter * math.pi / 2),
            sy * (height / 2 - corner) + corner * np.sin(turn + quarter * math.pi / 2),
        )
        for quarter, (sx, sy) in enumerate(((1, 1), (-1, 1), (-1, -1), (1, -1)))
    ]
    x, y = (np.concatenate([part[axis] for part in points]) for axis in (0, 1))
    return float(np.hypot(np.diff(x, append=x[0]), np.diff(y, append=y[0])).sum())


@given(measured=shapes())
def test_facets_hold_the_whole_surface(measured):
    breadth = sum(facet.breadth for facet in measured.section())
    if measured.kind == "dome":  # strokes run over a cap, whose breadth shrinks to its ends
        arc = (
            2 * measured.radius * math.atan2(measured.diameter / 2, measured.radius - measured.rise)
        )
        assert breadth == pytest.approx(arc, rel=1e-6)
    else:
        assert measured.run() * breadth == pytest.approx(measured.area(), rel=1e-9)


@given(measured=shapes(), factor=st.floats(1.1, 3))
def test_twice_the_size_is_four_times_the_surface(measured, factor):
    lengths = {name: value for name, value in measured if isinstance(value, float)}
    grown = type(measured)(**{name: value * factor for name, value in lengths.items()})
    assert grown.area() == pytest.approx(factor**2 * measured.area(), rel=1e-9)
