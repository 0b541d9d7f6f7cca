"""Shapes against closed forms worked by hand, and the facets a gun sees against both."""

import math
from itertools import pairwise

import pytest
from pydantic import ValidationError

from coatwright.model import shape

FLAT = shape.Flat(length=1.2, width=0.5)
STRIP = shape.Strip(length=1.1, width=0.08)
CHANNEL = shape.Channel(length=2.0, width=0.1, depth=0.05)
BOX = shape.BoxSection(length=1.5, width=0.08, height=0.1)
TUBE = shape.Tube(length=2.0, diameter=0.025)
CURVED = shape.CurvedPanel(length=2.0, width=0.8, rise=0.2)
DOME = shape.Dome(diameter=0.6, rise=0.1)
RING = shape.ApertureRing(width=0.9, height=0.6, corner=0.1, breadth=0.12)
ALL = (FLAT, STRIP, CHANNEL, BOX, TUBE, CURVED, DOME, RING)


@pytest.mark.parametrize(("measured", "surface"), [
    (FLAT, 0.6),  # 1.2 x 0.5
    (STRIP, 0.088),  # 1.1 x 0.08
    (CHANNEL, 0.4),  # 2 x (0.1 + 2 x 0.05)
    (BOX, 0.54),  # 1.5 x 2 x (0.08 + 0.1)
    (TUBE, 0.05 * math.pi),  # pi x 0.025 x 2
    # chord 0.8, rise 0.2: R = (0.16 + 0.04)/0.4 = 0.5, so sin(half angle) = 0.4/0.5 and the arc is
    # 2 R asin(0.8); length 2
    (CURVED, 2 * math.asin(0.8)),
    (DOME, 0.1 * math.pi),  # pi (0.09 + 0.01)
    # perimeter 2 (0.9 + 0.6) - 8 x 0.1 + 2 pi x 0.1; breadth 0.12
    (RING, 0.12 * (2.2 + 0.2 * math.pi)),
])  # fmt: skip
def test_surface_by_hand(measured, surface):
    assert measured.area() == pytest.approx(surface, rel=1e-12)


@pytest.mark.parametrize(("measured", "run"), [
    (FLAT, 1.2), (STRIP, 1.1), (CHANNEL, 2.0), (BOX, 1.5), (TUBE, 2.0), (CURVED, 2.0), (DOME, 0.6),
    (RING, 2.2 + 0.2 * math.pi),
])  # fmt: skip
def test_length_that_the_gun_runs(measured, run):
    assert measured.run() == pytest.approx(run, rel=1e-12)


def test_a_full_half_round():
    half = shape.CurvedPanel(length=1.0, width=0.6, rise=0.3)
    assert half.radius == pytest.approx(0.3)
    assert half.area() == pytest.approx(math.pi * 0.3)


def test_a_hemisphere_and_more_than_one():
    assert shape.Dome(diameter=0.4, rise=0.2).area() == pytest.approx(2 * math.pi * 0.04)
    # A cap of height h on a sphere of radius R has the area 2 pi R h.
    high = shape.Dome(diameter=0.4, rise=0.3)
    assert high.area() == pytest.approx(2 * math.pi * high.radius * 0.3)


def test_a_ring_round_a_square_and_a_circle():
    assert shape.ApertureRing(width=1, height=1, breadth=0.1).run() == pytest.approx(4)
    circle = shape.ApertureRing(width=1, height=1, corner=0.5, breadth=0.1)
    assert circle.run() == pytest.approx(math.pi)


def test_a_corner_that_does_not_fit():
    with pytest.raises(
        ValidationError, match=r"a corner of radius 0\.4 m does not fit the opening"
    ):
        shape.ApertureRing(width=1, height=0.7, corner=0.4, breadth=0.1)


@pytest.mark.parametrize("measured", ALL, ids=lambda measured: measured.kind)
def test_facets_form_a_chain_and_face_away_from_the_metal(measured):
    facets = measured.section()
    for one, following in pairwise(facets):
        assert (one.x1, one.z1) == pytest.approx((following.x0, following.z0), abs=1e-12)
    for facet in facets:
        across = (facet.x1 - facet.x0) * facet.nx + (facet.z1 - facet.z0) * facet.nz
        assert across == pytest.approx(0, abs=1e-12)
        assert math.hypot(facet.nx, facet.nz) == pytest.approx(1)


@pytest.mark.parametrize("measured", [BOX, TUBE], ids=lambda measured: measured.kind)
def test_closed_sections_close_and_face_outwards(measured):
    facets = measured.section()
    end = (facets[-1].x1, facets[-1].z1)
    assert end == pytest.approx((facets[0].x0, facets[0].z0), abs=1e-12)
    for facet in facets:
        middle = ((facet.x0 + facet.x1) / 2, (facet.z0 + facet.z1) / 2)
        assert middle[0] * facet.nx + middle[1] * facet.nz > 0


@pytest.mark.parametrize("measured", [CURVED, DOME], ids=lambda measured: measured.kind)
def test_bent_sections_rise_to_the_painter_in_their_middle(measured):
    facets = measured.section()
    assert sum(facet.nz for facet in facets) > 0
    tops = [max(facet.z0, facet.z1) for facet in facets]
    # The polygon is blown up so that its breadth is exact; with 48 facets by well under a percent.
    assert max(tops) == pytest.approx(0, abs=0.002 * measured.radius)
    assert facets[0].x0 == pytest.approx(-facets[-1].x1)
    wide = abs(facets[0].x0)
    assert wide == pytest.approx((measured.run() if measured is DOME else 0.8) / 2, rel=0.002)


def test_walls_of_a_channel_face_each_other():
    left, base, right = CHANNEL.section()
    assert (left.nx, base.nz, right.nx) == (1, 1, -1)
    assert left.x0 < right.x0
    assert base.z0 == -0.05
