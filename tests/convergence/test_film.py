"""Known films on flat, tube, dome and hollow sphere: how fast the error falls with step and size.

An order is the slope of log error over log size, fitted over a range of sizes. Stepping and
sampling are midpoint rules: order 2 where film is smooth, less where the fan ends in a steeper
edge.
"""

import math

import numpy as np
import pytest

from coatwright.engines.spray.deposit import GunPath, deposit
from coatwright.engines.spray.footprint import Fan, across_stroke, density
from coatwright.engines.spray.strokes import Stroke, straight_path, straight_strokes
from coatwright.engines.spray.surfaces import cylinder, flat, spherical_cap

AXIS, FAN_WAY = (0.0, 0.0, -1.0), (0.0, 1.0, 0.0)
ROUND = Fan(0.2, 0.2, 2.0, 2.0, 0.2)
"""A spot with density 2 / (pi a^2) (1 - r^2 / a^2): within r lands 1 - (1 - r^2 / a^2)^2."""


def order(sizes, errors):
    return np.polyfit(np.log(sizes), np.log(errors), 1)[0]


def still(position, axis=AXIS, fan=FAN_WAY):
    """A gun that stays where it is and sprays 1e-6 m3."""
    parts = (np.array([part], dtype=float) for part in (position, axis, fan))
    return GunPath(*parts, np.array([1e-6]), np.ones(1))


def round_share(angle, fan=ROUND):
    """Share of a round fan within an angle of its axis, by hand (see ROUND)."""
    r = min(1.0, fan.distance * math.tan(angle) / (fan.length / 2))
    return 1.0 - (1.0 - r * r) ** fan.along


def stepped(surface, stroke, fan, steps):
    paths = [straight_path(stroke, step) for step in steps]
    return [deposit(surface, path, fan, kernel="double").film for path in paths]


# (1 - v^2)^(along - 1) is summed with an error of order `along` from the fan's two edges; an even
# step leaves up to order 2 at the trigger's ends.
@pytest.mark.parametrize(("along", "least"), [(1.5, 1.4), (2.0, 1.85), (3.0, 2.8)])
def test_step_in_the_middle_of_a_pass(along, least):
    fan = Fan(0.25, 0.08, 2.0, along, 0.2)
    stroke = Stroke((-0.3, 0.0, 0.2), (0.3, 0.0, 0.2), AXIS, FAN_WAY, 0.4, 3e-6)
    line = flat(0.05, 0.2, (211, 9))
    exact = straight_strokes(line, [stroke], fan, kernel="plain").film
    steps = 0.6 / np.array([40, 80, 160, 320, 640, 1280])
    errors = [
        np.abs(film - exact).mean() / exact.max() for film in stepped(line, stroke, fan, steps)
    ]
    assert order(steps, errors) > least
    assert errors[-1] < 2e-4


def test_step_where_the_trigger_is_let_go():
    """A trigger let go over the work is a smooth integral cut short: order 2."""
    fan = Fan(0.25, 0.08, 2.0, 3.0, 0.2)
    stroke = Stroke((-0.3, 0.0, 0.2), (0.0, 0.0, 0.2), AXIS, FAN_WAY, 0.4, 3e-6)
    line = flat(0.05, 0.1, (50, 5))
    exact = straight_strokes(line, [stroke], fan, kernel="plain").film
    steps = 0.3 / np.array([40, 80, 160, 320, 640])
    errors = [
        np.abs(film - exact).max() / exact.max() for film in stepped(line, stroke, fan, steps)
    ]
    assert order(steps, errors) == pytest.approx(2.0, abs=0.1)


COUNTS = np.array([16, 32, 64, 128])
SIZES = 1.0 / (COUNTS + 2.5)


def captured_error(surface, path, fan, share):
    found = deposit(surface, path, fan, kernel="double")
    return abs(found.captured / found.sprayed - share)


def errors_by_size(build, path, fan, share):
    """Root mean square over a few neighbouring counts: how the outline falls between samples,
    and with it the error, changes from one count to the next."""
    return [
        math.sqrt(np.mean([captured_error(build(n + k), path, fan, share) ** 2 for k in range(6)]))
        for n in COUNTS
    ]


def test_large_panel_takes_everything():
    tilted = (0.0, math.sin(0.3), -math.cos(0.3))
    path = still((0.01, -0.07, 0.2), tilted, (1.0, 0.0, 0.0))
    errors = errors_by_size(lambda n: flat(0.5, 0.5, (n, n)), path, ROUND, 1.0)
    assert order(SIZES, errors) == pytest.approx(2.0, abs=0.2)
    assert errors[-1] < 1e-4


def test_strip_narrower_than_the_fan():
    """A pass along a strip 80 mm wide lands on it what the pass profile holds within 80 mm."""
    fan = Fan(0.25, 0.08, 2.0, 2.0, 0.2)
    stroke = Stroke((-0.5, 0.0, 0.2), (0.5, 0.0, 0.2), AXIS, FAN_WAY, 0.4, 3e-6)
    share = float(across_stroke(fan, 0.04) - across_stroke(fan, -0.04))
    counts = COUNTS // 4
    errors = []
    for n in counts:
        strip = flat(1.2, 0.08, (2000, n))
        found = straight_strokes(strip, [stroke], fan, kernel="plain")
        errors.append(abs(found.captured / found.sprayed - share))
    assert order(1.0 / counts, errors) == pytest.approx(2.0, abs=0.1)


def test_tube_takes_what_it_shades():
    """A tube of radius 30 mm, 0.2 m away, is seen under asin(0.03 / 0.2) either side of the axis.

    It takes the pass profile within 0.2 m tan of that angle, whatever its curve.
    """
    fan = Fan(0.25, 0.08, 2.0, 2.0, 0.2)
    path = still((0.0, 0.2, 0.15), (0.0, -1.0, 0.0), (1.0, 0.0, 0.0))
    edge = 0.2 * math.tan(math.asin(0.03 / 0.2))
    share = float(across_stroke(fan, edge) - across_stroke(fan, -edge))
    errors = errors_by_size(
        lambda n: cylinder(0.03, 0.3, 2 * math.pi, (3 * n, n)), path, fan, share
    )
    assert order(SIZES, errors) == pytest.approx(2.0, abs=0.2)
    assert errors[-1] < 1e-4


def test_dome_takes_what_it_shades():
    """A ball of radius 50 mm, 0.2 m from the gun: the round fan within asin(0.05 / 0.2)."""
    share = round_share(math.asin(0.05 / 0.2))
    assert 0.4 < share < 0.6
    path = still((0.0, 0.0, 0.2))
    errors = errors_by_size(lambda n: spherical_cap(0.05, math.pi / 2, (n, 24)), path, ROUND, share)
    assert order(SIZES, errors) == pytest.approx(2.0, abs=0.2)
    assert errors[-1] < 1e-4


@pytest.mark.parametrize("kernel", ["single", "double", "plain"])
def test_hollow_sphere_round_the_gun(kernel):
    """From the centre every ray falls square on the wall: film = flow f (d0/z)^2 R/z with
    z = R cos. A cap takes the round fan within its angle.
    """
    bowl = spherical_cap(0.3, 0.4, (400, 60), inside=True)
    found = deposit(bowl, still((0.0, 0.0, 0.0), (0.0, 0.0, 1.0)), ROUND, kernel=kernel)
    x, y, z = bowl.positions.T
    flux = density(ROUND, y / z * ROUND.distance, x / z * ROUND.distance)
    expected = 1e-6 * flux * (ROUND.distance / z) ** 2 * (0.3 / z)
    assert np.abs(found.film - expected).max() <= (2e-6 if kernel == "single" else 1e-12) * (
        expected.max()
    )
    assert found.captured / found.sprayed == pytest.approx(round_share(0.4), abs=2e-5)
    assert round_share(0.4) < 0.98


def test_hollow_sphere_by_size():
    share = round_share(0.4)
    path = still((0.0, 0.0, 0.0), (0.0, 0.0, 1.0))
    errors = errors_by_size(
        lambda n: spherical_cap(0.3, 0.4, (n, 8), inside=True), path, ROUND, share
    )
    assert order(SIZES, errors) == pytest.approx(2.0, abs=0.2)


def test_farther_away_the_same_paint_spreads_over_more():
    """Peak as 1 / distance^2, breadth as distance, all of it caught (geometry of a cone)."""
    panel = flat(1.2, 1.2, (400, 400))
    found = {d: deposit(panel, still((0.0, 0.0, d)), ROUND, kernel="double") for d in (0.2, 0.4)}
    peaks = {d: one.film.max() for d, one in found.items()}
    assert peaks[0.2] / peaks[0.4] == pytest.approx(4.0, rel=1e-3)
    wide = {d: np.abs(panel.positions[one.film > 0.0, 0]).max() for d, one in found.items()}
    assert wide[0.4] / wide[0.2] == pytest.approx(2.0, rel=0.03)
    assert all(one.captured == pytest.approx(1e-6, rel=1e-3) for one in found.values())
