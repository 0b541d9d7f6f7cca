"""Straight strokes: whole against their steps, and both against the closed form of a flat panel."""

import math

import numpy as np
import pytest

from coatwright.engines.spray.cells import Surface
from coatwright.engines.spray.deposit import deposit
from coatwright.engines.spray.footprint import Fan, cumulative, pass_profile
from coatwright.engines.spray.strokes import (
    Stroke,
    best_overlap,
    join,
    lap,
    lap_measured,
    straight_path,
    straight_strokes,
    triggered,
)
from coatwright.engines.spray.surfaces import flat
from coatwright.errors import RangeError

KERNELS = ["single", "double", "plain"]
TOLERANCE = {"single": 2e-6, "double": 1e-9, "plain": 1e-12}
FAN = Fan(0.25, 0.08, 2.3, 2.5, 0.2)
FLOW, SPEED = 3e-6, 0.4
STROKE = Stroke((-0.3, 0.0, 0.2), (0.3, 0.0, 0.2), (0.0, 0.0, -1.0), (0.0, 1.0, 0.0), SPEED, FLOW)
LEAN = 0.4
LEANING = STROKE._replace(
    start=(0.2, 0.1, 0.25),
    end=(-0.1, 0.1, 0.25),
    axis=(0.0, math.sin(LEAN), -math.cos(LEAN)),
    fan=(0.0, -math.cos(LEAN), -math.sin(LEAN)),
)


def crumpled(count=2000):
    """Samples with normals every way: many turn their back while the gun passes."""
    draw = np.random.default_rng(5)
    positions = draw.uniform([-0.4, -0.3, -0.05], [0.4, 0.3, 0.05], (count, 3))
    normals = draw.normal([0.0, 0.0, 0.5], 1.0, (count, 3))
    normals /= np.linalg.norm(normals, axis=1, keepdims=True)
    return Surface(positions, normals, draw.uniform(1e-5, 1e-4, count))


def panel_film(positions, height):
    """Closed form on a flat panel: the pass profile times the share of the fan that went by."""
    x, y = positions[:, 0], positions[:, 1]
    scale = FAN.distance / height
    profile = np.asarray(pass_profile(FAN, y * scale)) * scale
    chord = (
        FAN.width / 2 / scale * np.sqrt(np.clip(1 - (2 * y * scale / FAN.length) ** 2, 1e-30, 1))
    )
    went_by = cumulative(FAN.along, (x + 0.3) / chord) - cumulative(FAN.along, (x - 0.3) / chord)
    return FLOW / SPEED * profile * went_by


@pytest.mark.parametrize("kernel", KERNELS)
@pytest.mark.parametrize("height", [0.2, 0.15, 0.3])
def test_whole_on_a_flat_panel(kernel, height):
    panel = flat(0.8, 0.4, (81, 61))
    stroke = STROKE._replace(start=(-0.3, 0.0, height), end=(0.3, 0.0, height))
    expected = panel_film(panel.positions, height)
    found = straight_strokes(panel, [stroke], FAN, kernel=kernel)
    assert np.abs(found.film - expected).max() <= TOLERANCE[kernel] * expected.max()
    assert found.sprayed == pytest.approx(FLOW * 0.6 / SPEED, rel=1e-12)


def test_fine_steps_on_a_flat_panel():
    """Stepping and closed form agree to 1e-6 relative, in the middle and at the ends."""
    panel = flat(0.8, 0.4, (81, 61))
    expected = panel_film(panel.positions, 0.2)
    found = deposit(panel, straight_path(STROKE, 2e-5), FAN, threads=2, kernel="double").film
    assert np.abs(found - expected).max() <= 1e-6 * expected.max()
    middle = np.abs(panel.positions[:, 0]) < 0.25
    well_inside = middle & (np.abs(panel.positions[:, 1]) < 0.11)
    assert found[well_inside] == pytest.approx(expected[well_inside], rel=1e-6)
    along = FLOW / SPEED * np.asarray(pass_profile(FAN, panel.positions[middle, 1]))
    assert expected[middle] == pytest.approx(along, rel=1e-12)


@pytest.mark.parametrize("kernel", KERNELS)
@pytest.mark.parametrize(("across", "along"), [(2.3, 1.7), (1.0, 1.0), (1.0, 3.0), (4.0, 2.0)])
def test_whole_is_the_limit_of_steps(kernel, across, along):
    """Samples turned every way, a gun leaning across its stroke; only what faces it gets film."""
    fan = FAN._replace(across=across, along=along, distance=0.27)
    surface, strokes = crumpled(), [STROKE, LEANING]
    whole = straight_strokes(surface, strokes, fan, kernel=kernel).film
    fine = join([straight_path(stroke, 1e-4) for stroke in strokes])
    steps = deposit(surface, fine, fan, kernel="double").film
    # An even fan (1, 1) ends in a cliff: a step more or less of 1e-4 m in a chord of 0.08 m.
    assert np.abs(whole - steps).mean() <= (1e-3 if along == 1.0 else 1e-5) * steps.max()
    exact = straight_strokes(surface, strokes, fan, kernel="plain").film
    assert np.abs(whole - exact).max() <= TOLERANCE[kernel] * exact.max()


@pytest.mark.parametrize("kernel", KERNELS)
@pytest.mark.parametrize("way", [(1.0, 0.0), (-1.0, 0.0), (0.0, 1.0), (0.0, -1.0)])
@pytest.mark.parametrize("sprayed", [1, 3, 20])
def test_a_block_is_visited_for_its_last_sample(kernel, way, sprayed):
    """One block of samples in a line, only its near end under the fan: culling must not lose it."""
    edge = np.abs(way) @ [0.3 + FAN.width / 2, FAN.length / 2]
    away = edge + (np.arange(64) - sprayed + 0.5) * 0.001
    positions = np.column_stack([away * way[0], away * way[1], np.zeros(64)])
    line = Surface(positions, np.tile([0.0, 0.0, 1.0], (64, 1)), np.ones(64))
    expected = panel_film(positions, 0.2)
    assert np.count_nonzero(expected > 1e-30) == sprayed
    for film in (
        straight_strokes(line, [STROKE], FAN, kernel=kernel).film,
        deposit(line, straight_path(STROKE, 1e-4), FAN, kernel=kernel).film,
    ):
        assert np.count_nonzero(film) == sprayed
        assert film == pytest.approx(expected, rel=2e-2, abs=1e-2 * expected.max())


def test_some_samples_turn_their_back_midway():
    """The cut is at work: without it these samples would lose film to negative rates."""
    surface = crumpled()
    r = surface.positions[:, None] - [STROKE.start, STROKE.end]
    facing = -(r * surface.normals[:, None]).sum(axis=2)
    turning = facing[:, 0] * facing[:, 1] < 0
    film = straight_strokes(surface, [STROKE], FAN).film
    assert np.count_nonzero(film[turning]) > 50
    assert film.min() >= 0.0


def test_whole_does_less_and_threads_change_no_bit():
    panel = flat(0.8, 0.4, (256, 128))
    strokes = [STROKE, LEANING]
    one = straight_strokes(panel, strokes, FAN)
    assert (straight_strokes(panel, strokes, FAN, threads=2).film == one.film).all()
    stepped = deposit(panel, join([straight_path(s, 0.005) for s in strokes]), FAN)
    assert stepped.candidates > 10 * one.candidates


def test_order_and_direction_of_strokes_do_not_count():
    surface = crumpled()
    back = STROKE._replace(start=STROKE.end, end=STROKE.start)
    there = straight_strokes(surface, [STROKE, LEANING], FAN, kernel="double").film
    again = straight_strokes(surface, [LEANING, back], FAN, kernel="double").film
    assert again == pytest.approx(there, rel=1e-9, abs=1e-12 * there.max())


def test_steps_share_out_the_stroke():
    path = straight_path(STROKE, 0.07)
    assert len(path.flows) == 9  # 0.6 / 0.07 = 8.6
    assert path.flows @ path.dwell == pytest.approx(FLOW * 0.6 / SPEED, rel=1e-12)
    assert path.positions[:, 0] == pytest.approx(-0.3 + (np.arange(9) + 0.5) * 0.6 / 9)
    assert len(straight_path(STROKE, 0.06).flows) == 10
    assert len(straight_path(STROKE, 5.0).flows) == 1


@pytest.mark.parametrize(("lead", "lag"), [(0.1, 0.05), (-0.1, 0.0), (0.0, -0.2)])
def test_trigger_before_the_start_and_after_the_end(lead, lag):
    pulled = triggered(STROKE, lead, lag)
    assert pulled.start == pytest.approx((-0.3 - lead, 0.0, 0.2))
    assert pulled.end == pytest.approx((0.3 + lag, 0.0, 0.2))
    path = straight_path(STROKE, 0.01, lead, lag)
    assert path.flows @ path.dwell == pytest.approx(FLOW * (0.6 + lead + lag) / SPEED, rel=1e-12)
    piece = path.positions[1, 0] - path.positions[0, 0]
    assert path.positions[0, 0] - piece / 2 == pytest.approx(-0.3 - lead)
    assert path.positions[-1, 0] + piece / 2 == pytest.approx(0.3 + lag)


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (lambda: straight_path(STROKE, 0.0), "steps of 0 m; a step is above 0"),
        (lambda: straight_path(STROKE._replace(speed=0.0), 0.1), "at 0 m/s; length and speed"),
        (lambda: triggered(STROKE, -0.4, -0.2), "lead -0.4 m, lag -0.2 m, never sprays"),
        (lambda: triggered(STROKE._replace(end=STROKE.start), 0, 0), "a stroke of 0 m"),
        (lambda: lap(1.5, 1.0), "an overlap of 1; an overlap is 0 to below 1"),
        (lambda: lap(1.5, -0.1), "an overlap of -0.1"),
    ],
)
def test_what_makes_no_sense_is_refused(call, words):
    with pytest.raises(RangeError, match=words):
        call()


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"end": (0.3, 0.0, 0.25)}, "leans along its stroke"),
        ({"end": (0.3, 0.1, 0.2)}, "its fan does not lie square to it"),
        ({"fan": (0.0, 0.8, 0.6)}, "not square to each other"),
        ({"flow": -1e-6}, "a flow is below 0"),
    ],
)
def test_whole_strokes_refuse_what_has_no_closed_form(change, words):
    with pytest.raises(RangeError, match=words):
        straight_strokes(crumpled(), [STROKE._replace(**change)], FAN)


def test_laps_by_hand():
    """Two even passes 1 m broad: no overlap, no ripple; half over each other, twice the film."""
    places, heights = np.array([0.0, 1e-12, 1.0, 1.0 + 1e-12]), np.array([0.0, 3.0, 3.0, 0.0])
    for pitch, mean in ((1.0, 1.0), (0.5, 2.0), (2.0, 0.5)):
        found = lap_measured(places, heights, pitch)
        assert found.mean == pytest.approx(mean, rel=1e-9)
        assert found.variance == pytest.approx(0.25 if pitch == 2.0 else 0.0, abs=1e-9)
    assert lap_measured(places + 7.3, heights, 0.7) == pytest.approx(
        lap_measured(places, heights, 0.7), rel=2e-2
    )


@pytest.mark.parametrize("across", [1.5, 2.0, 2.5, 3.0, 3.5])
def test_best_overlap_is_better_than_its_neighbours(across):
    best = best_overlap(across)
    even = lap(across, best).spread
    assert min(lap(across, best - 0.002).spread, lap(across, best + 0.002).spread) > even


def test_lap_is_the_film_of_strokes():
    """The same ripple comes out of whole strokes laid on a panel."""
    fan, overlap = FAN._replace(across=2.0), 0.4
    pitch = fan.length * (1 - overlap)
    strokes = [
        STROKE._replace(start=(-0.3, y, 0.2), end=(0.3, y, 0.2)) for y in np.arange(-3, 4) * pitch
    ]
    film = straight_strokes(flat(0.001, pitch, (1, 500)), strokes, fan, kernel="double").film
    assert film.std() / film.mean() == pytest.approx(lap(2.0, overlap).spread, rel=1e-3)
    peak = FLOW / SPEED * float(pass_profile(fan, 0.0))
    assert film.mean() / peak == pytest.approx(lap(2.0, overlap).mean, rel=1e-5)
