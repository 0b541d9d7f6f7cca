"""Sampled surfaces have the area, the place and the normals of the ideal shape."""

import math

import numpy as np
import pytest

from coatwright.engines.spray.surfaces import channel, cylinder, flat, spherical_cap
from coatwright.errors import RangeError


def test_flat():
    panel = flat(0.6, 0.4, (3, 2))
    assert panel.areas.sum() == pytest.approx(0.24)
    assert panel.positions[:2] == pytest.approx(np.array([[-0.2, -0.1, 0.0], [-0.2, 0.1, 0.0]]))
    assert panel.positions.mean(axis=0) == pytest.approx([0.0, 0.0, 0.0])
    assert (panel.normals == [0.0, 0.0, 1.0]).all()


@pytest.mark.parametrize(("inside", "sign"), [(False, 1.0), (True, -1.0)])
def test_cylinder(inside, sign):
    tube = cylinder(0.05, 2.0, 2 * math.pi, (40, 64), inside)
    assert tube.areas.sum() == pytest.approx(2 * math.pi * 0.05 * 2.0)
    x, y, z = tube.positions.T
    assert np.hypot(x, y) == pytest.approx(np.full(len(z), 0.05))
    assert (z.min(), z.max()) == pytest.approx((0.025, 1.975))
    assert tube.normals[:, 2] == pytest.approx(np.zeros(len(z)))
    assert sign * 0.05 * tube.normals[:, 0] == pytest.approx(x)
    half = cylinder(0.05, 2.0, math.pi, (40, 64))
    assert half.positions[:, 1].min() > 0.0


@pytest.mark.parametrize(("inside", "sign"), [(False, 1.0), (True, -1.0)])
def test_spherical_cap(inside, sign):
    """Area 2 pi R^2 (1 - cos), for any number of rings."""
    cap = spherical_cap(0.3, 0.7, (7, 30), inside)
    assert cap.areas.sum() == pytest.approx(2 * math.pi * 0.09 * (1 - math.cos(0.7)), rel=1e-12)
    assert cap.positions == pytest.approx(sign * 0.3 * cap.normals)
    assert cap.positions[:, 2].min() > 0.3 * math.cos(0.7)


def test_channel():
    """Base and two walls facing each other, mouth at z = 0."""
    trough = channel(1.0, 0.2, 0.1, 0.01)
    assert trough.areas.sum() == pytest.approx(1.0 * (0.2 + 2 * 0.1))
    assert trough.areas.max() <= 1e-4 * (1 + 1e-9)
    x, y, z = trough.positions.T
    assert (x.min(), x.max()) == pytest.approx((-0.495, 0.495))
    base = trough.normals[:, 2] == 1.0
    assert z[base] == pytest.approx(np.full(base.sum(), -0.1))
    assert (z[~base].min(), z[~base].max()) == pytest.approx((-0.095, -0.005))
    assert y[~base] == pytest.approx(-0.1 * trough.normals[~base, 1])


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (lambda: flat(0.0, 1.0, (2, 2)), "2 samples over 0; a surface has size and samples"),
        (lambda: flat(1.0, 1.0, (2, 0)), "0 samples over 1"),
        (lambda: cylinder(0.1, -1.0, 1.0, (2, 2)), "2 samples over -1"),
        (lambda: spherical_cap(0.1, 0.0, (2, 2)), "2 samples over 0"),
        (lambda: channel(1.0, 0.2, 0.1, 0.0), "patches of 0 m; a patch has a size"),
    ],
)
def test_no_size_is_refused(call, words):
    with pytest.raises(RangeError, match=words):
        call()
