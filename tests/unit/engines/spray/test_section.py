"""Film on a cross-section against independent integration and ray casting."""

import math

import numpy as np
import pytest
from scipy.integrate import quad

from coatwright.engines.spray.footprint import Fan, density, pass_profile
from coatwright.engines.spray.section import (
    Strokes,
    Wander,
    along_share,
    cut,
    hand_films,
    missed_share,
    pass_shares,
)

FAN = Fan(0.25, 0.05, 2.5, 2.2, 0.15)
FLAT = np.array([[-0.4, 0.0, 0.4, 0.0, 0.0, 1.0]])


def square_on(x: float, z: float) -> np.ndarray:
    return np.array([[x, z, 0.0, -1.0]])


@pytest.mark.parametrize("distance", [0.12, 0.15, 0.22])
def test_flat_panel_is_the_pass_profile_averaged_over_each_cell(distance: float) -> None:
    """Derived by hand: on a plane the film is the pass profile, scaled with distance."""
    section = cut(FLAT, 0.01)
    found = pass_shares(section, square_on(0.03, distance), FAN)[:, 0]
    scale = distance / FAN.distance
    for index in range(0, len(found), 7):
        left, right = section.cells[index, 0], section.cells[index, 2]
        wanted, _ = quad(
            lambda x: float(pass_profile(FAN, (x - 0.03) / scale)) / scale,
            left,
            right,
            epsabs=1e-13,
            limit=200,
        )
        assert found[index] * 0.01 == pytest.approx(wanted, rel=1e-6, abs=1e-10)


def test_time_stepped_gun_agrees_to_a_millionth() -> None:
    """Independent: the same pass integrated over time from the two-dimensional footprint."""
    section = cut(FLAT, 0.004)
    found = pass_shares(section, square_on(0.0, 0.15), FAN)[:, 0]
    y = np.linspace(-0.03, 0.03, 4001)
    for index in (60, 80, 100, 120, 130):
        x = np.linspace(section.cells[index, 0], section.cells[index, 2], 101)
        film = np.trapezoid([np.trapezoid(density(FAN, u, y), y) for u in x], x) / 0.004
        # tolerance: the trapezoid over the cell, worst in the steep tail of the fan
        assert found[index] == pytest.approx(film, rel=1e-4)
    y = np.linspace(-0.03, 0.03, 40_001)
    middle = np.trapezoid(density(FAN, 0.0, y), y)
    fine = cut(np.array([[-1e-6, 0.0, 1e-6, 0.0, 0.0, 1.0]]), 1.0)
    assert pass_shares(fine, square_on(0.0, 0.15), FAN)[0, 0] == pytest.approx(middle, rel=1e-6)


def cast(gun: np.ndarray, facets: np.ndarray, lips: np.ndarray, rays: int = 20_001) -> np.ndarray:
    """Share of a pass on each facet by casting many rays, written apart from the engine."""
    half = FAN.length / 2
    u = (np.arange(rays) + 0.5) / rays * 2 * half - half
    weight = pass_profile(FAN, u)
    weight /= weight.sum()
    taken = np.zeros(len(facets))
    segments = np.vstack([facets[:, :4], lips])
    for lateral, share in zip(u, weight, strict=True):
        ray = gun[2:] * FAN.distance + np.array([gun[3], -gun[2]]) * lateral
        best, who = math.inf, -1
        for index, (x0, z0, x1, z1) in enumerate(segments):
            matrix = np.array([[ray[0], x0 - x1], [ray[1], z0 - z1]])
            if abs(np.linalg.det(matrix)) < 1e-15:
                continue
            t, s = np.linalg.solve(matrix, np.array([x0 - gun[0], z0 - gun[1]]))
            if t > 1e-9 and 0.0 <= s <= 1.0 and t < best:
                best, who = t, index
        if 0 <= who < len(facets):
            normal = facets[who, 4:6]
            if (gun[:2] - facets[who, :2]) @ normal > 0:
                taken[who] += share
    return taken


CHANNEL = np.array(
    [
        [-0.05, 0.0, -0.05, -0.06, 1.0, 0.0],
        [-0.05, -0.06, 0.05, -0.06, 0.0, 1.0],
        [0.05, -0.06, 0.05, 0.0, -1.0, 0.0],
    ]
)


@pytest.mark.parametrize(("x", "tilt"), [(0.0, 0.0), (0.02, -0.5), (-0.06, 0.7)])
def test_channel_shadows_match_ray_casting(x: float, tilt: float) -> None:
    gun = np.array([x, 0.1, math.sin(tilt), -math.cos(tilt)])
    section = cut(CHANNEL, 0.005, CHANNEL[:, :4])
    shares = pass_shares(section, gun[None], FAN)[:, 0] * section.breadths
    per_facet = np.array([shares[section.facets == k].sum() for k in range(3)])
    assert per_facet == pytest.approx(cast(gun, CHANNEL, np.empty((0, 4)), 4001), abs=2e-3)


def test_recess_lips_stop_what_does_not_pass_the_mouth() -> None:
    lips = np.array([[-5.0, 0.15, -0.08, 0.15], [0.08, 0.15, 5.0, 0.15]])
    floor = np.array([[-0.2, 0.0, 0.2, 0.0, 0.0, 1.0]])
    section = cut(floor, 0.005, lips)
    gun = np.array([0.0, 0.18, 0.0, -1.0])
    found = float((pass_shares(section, gun[None], FAN)[:, 0] * section.breadths).sum())
    assert found == pytest.approx(float(cast(gun, floor, lips, 4001).sum()), abs=2e-3)
    # through a mouth 30 mm below the cap the fan is cut at +-0.08/0.03 of its spread: all passes
    near = np.array([0.0, 0.60, 0.0, -1.0])
    cut_off = float((pass_shares(section, near[None], FAN)[:, 0] * section.breadths).sum())
    assert cut_off < found


def test_along_share_is_the_cumulative_profile_averaged_over_cells() -> None:
    """Independent: the pass integrated numerically over time and over each cell."""
    edges = np.linspace(-0.06, 0.1, 33)
    found = along_share(FAN, 0.15, 0.0, edges, (0.0, 0.5))
    v = np.linspace(-0.025, 0.025, 4001)
    profile = density(FAN, 0.0, v)
    profile = profile / np.trapezoid(profile, v)
    for index in range(0, 32, 5):
        y = np.linspace(edges[index], edges[index + 1], 41)
        share = [np.trapezoid(np.where((p - v > 0) & (p - v < 0.5), profile, 0.0), v) for p in y]
        assert found[index] == pytest.approx(np.trapezoid(share, y) / (y[-1] - y[0]), abs=2e-3)
    assert found.max() == pytest.approx(1.0, abs=1e-9)


def test_a_steady_hand_lays_the_nominal_film() -> None:
    section = cut(FLAT, 0.02)
    guns = np.vstack([square_on(x, 0.15) for x in (-0.1, 0.0, 0.1)])
    nominal = pass_shares(section, guns, FAN).sum(axis=1)
    normals = np.random.default_rng(3).standard_normal((4, 4, 4))
    still = hand_films(
        section, Strokes(guns, np.full(3, 0.15)), FAN, Wander(0.0, 0.0, 0.0, 0.0), 0.9, normals
    )
    assert still == pytest.approx(np.tile(nominal, (4, 1)), rel=1e-12, abs=1e-12)


def test_an_unsteady_hand_spreads_the_film_without_losing_the_mean() -> None:
    """The mean speed error is nil by construction, so the mean film keeps E[1/speed] of it."""
    section = cut(FLAT, 0.02)
    guns = np.vstack([square_on(x, 0.15) for x in np.arange(-0.5, 0.51, 0.08)])
    nominal = pass_shares(section, guns, FAN).sum(axis=1)
    normals = np.random.default_rng(5).standard_normal((4000, len(guns) + 1, 4))
    spread = 0.1
    films = hand_films(
        section,
        Strokes(guns, np.full(len(guns), 0.15)),
        FAN,
        Wander(spread, 0.0, 0.0, 0.0),
        0.9,
        normals,
    )
    # E[1/speed] of a log-normal of unit mean and log-spread s is exp(s^2)
    assert films.mean() == pytest.approx(nominal.mean() * math.exp(spread**2), rel=5e-3)
    assert 0.04 < films.std() / films.mean() < 0.11


def test_missed_share_of_a_stroke_on_the_edge_is_half() -> None:
    section = cut(FLAT, 0.01)
    assert missed_share(section, square_on(0.4, 0.15)[0], FAN) == pytest.approx(0.5, abs=1e-9)
