"""Published and derived values of engines.spray, one case per value, and laid film against them."""

import math

import numpy as np
import pytest
from scipy.integrate import quad

from coatwright.engines.spray.deposit import deposit
from coatwright.engines.spray.footprint import Fan, density, pass_profile
from coatwright.engines.spray.strokes import (
    Stroke,
    join,
    lap_measured,
    straight_path,
    straight_strokes,
)
from coatwright.engines.spray.surfaces import flat
from published.cases import cases, faults


@pytest.mark.parametrize("case", cases("spray"), ids=str)
def test_published(case):
    assert faults(case) == []


@pytest.mark.parametrize(("spacing", "percent"), [(2.0, 1.02), (2.5, 6.0), (3.0, 15.8)])
def test_ripple_of_gaussian_passes(spacing, percent):
    """lap-identities: sqrt(2) exp(-2 pi^2 sigma^2 / s^2), in percent; tag D."""
    places = np.linspace(-9.0, 9.0, 9001)
    found = lap_measured(places, np.exp(-(places**2) / 2.0), spacing).spread * 100.0
    assert found == pytest.approx(percent, abs=0.05 if spacing > 2.0 else 0.01)
    first = math.sqrt(2.0) * math.exp(-2.0 * math.pi**2 / spacing**2) * 100.0
    assert found == pytest.approx(first, rel=1e-4)


@pytest.mark.parametrize(("across", "along"), [(1.0, 1.0), (1.5, 2.0), (2.3, 1.7), (4.0, 3.0)])
@pytest.mark.parametrize("u", [0.0, 0.03, 0.07, 0.1, 0.118])
def test_density_integrates_to_the_pass(across, along, u):
    """double-beta, D4: the integral across the fan, by SciPy's own quadrature; tag D."""
    fan = Fan(0.24, 0.08, across, along, 0.2)
    half_chord = 0.04 * math.sqrt(1.0 - (u / 0.12) ** 2)
    across_fan = lambda t: float(density(fan, u, half_chord * t)) * half_chord  # noqa: E731
    found, _ = quad(across_fan, -1.0, 1.0, epsabs=1e-13, epsrel=1e-12, limit=200)
    assert found == pytest.approx(float(pass_profile(fan, u)), rel=1e-9)


def _laid(kernel, stepped):
    """Mean film over one pitch in the middle of a panel under 200 mL/min x 0.65, 50 % overlap."""
    fan = Fan(0.25, 0.08, 2.0, 2.0, 0.2)
    flow, speed, pitch = 0.2e-3 / 60 * 0.65, 0.457, 0.125
    strokes = [
        Stroke((-0.3, y, 0.2), (0.3, y, 0.2), (0.0, 0.0, -1.0), (0.0, 1.0, 0.0), speed, flow)
        for y in np.arange(-3, 4) * pitch
    ]
    panel = flat(0.01, pitch, (1, 250))
    if stepped:
        path = join([straight_path(stroke, 0.0005) for stroke in strokes])
        return deposit(panel, path, fan, kernel=kernel).film.mean()
    return straight_strokes(panel, strokes, fan, kernel=kernel).film.mean()


@pytest.mark.parametrize("kernel", ["single", "double", "plain"])
@pytest.mark.parametrize("stepped", [True, False], ids=["steps", "whole"])
def test_mean_film_of_a_coat(kernel, stepped):
    """film-mass-balance: 18.96 um dry at 50 % solids, 37.9 um wet; two decimals, tag D."""
    wet = _laid(kernel, stepped)
    assert wet * 0.5 == pytest.approx(18.96e-6, abs=0.005e-6)
    assert wet == pytest.approx(37.9e-6, abs=0.05e-6)
