"""Film from gun steps, held against the model written out sample by sample and step by step."""

import math
import time
from concurrent.futures import ThreadPoolExecutor

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from coatwright.engines.spray import _kernels, _laying, _plain
from coatwright.engines.spray.cells import LANES, Surface, arrange
from coatwright.engines.spray.deposit import GunPath, Screen, deposit
from coatwright.engines.spray.footprint import Fan, density
from coatwright.engines.spray.surfaces import flat
from coatwright.errors import RangeError

# Single precision: about 1e-6 of the most film. Where the profile drops steeply at its edge
# (exponent along below 2) the rounding of the edge's place shows a little more.
TOLERANCE = {"single": 2e-6, "double": 1e-12, "plain": 1e-12}
KERNELS = list(TOLERANCE)
FAN = Fan(0.25, 0.08, 2.3, 1.7, 0.2)


def unit(vectors):
    return vectors / np.linalg.norm(vectors, axis=-1, keepdims=True)


def crumpled(count=3000, seed=1):
    """Samples strewn over a 0.8 m patch with normals every way, so nothing cancels by symmetry."""
    draw = np.random.default_rng(seed)
    positions = draw.uniform([-0.4, -0.4, -0.05], [0.4, 0.4, 0.05], (count, 3))
    normals = unit(draw.normal([0.0, 0.0, 1.0], 1.0, (count, 3)))
    return Surface(positions, normals, draw.uniform(1e-5, 1e-4, count))


def wild_path(count=120, seed=2):
    """Guns here and there, some below the work, pointing and turned every way."""
    draw = np.random.default_rng(seed)
    positions = draw.uniform([-0.4, -0.4, -0.1], [0.4, 0.4, 0.4], (count, 3))
    axes = unit(draw.normal([0.0, 0.0, -1.0], 0.4, (count, 3)))
    fans = unit(np.cross(axes, draw.normal(size=(count, 3))))
    return GunPath(
        positions, axes, fans, draw.uniform(0.0, 5e-6, count), draw.uniform(0.0, 0.1, count)
    )


def written_out(surface, path, fan):
    """rate = flow f(u, v) (d0/z)^2 (-(r.n))/z, straight from the definition, nothing culled."""
    film = np.zeros(len(surface.areas))
    steps = zip(path.positions, path.axes, path.fans, path.flows * path.dwell, strict=True)
    for gun, axis, along, amount in steps:
        r = surface.positions - gun
        z = r @ axis
        ahead = z > 0
        scale = fan.distance / np.where(ahead, z, 1.0)
        u, v = r @ along * scale, r @ np.cross(axis, along) * scale
        facing = np.clip(-(r * surface.normals).sum(axis=1), 0.0, None) / np.where(ahead, z, 1.0)
        film += np.where(ahead, amount * density(fan, u, v) * scale**2 * facing, 0.0)
    return film


@pytest.mark.parametrize("kernel", KERNELS)
@pytest.mark.parametrize(
    ("across", "along"), [(2.3, 1.7), (1.0, 1.0), (1.0, 3.0), (3.0, 1.0), (2.0, 2.0), (6.5, 4.5)]
)
def test_is_the_model(kernel, across, along):
    fan = FAN._replace(across=across, along=along)
    surface, path = crumpled(), wild_path()
    expected = written_out(surface, path, fan)
    assert np.count_nonzero(expected) > 1000
    found = deposit(surface, path, fan, kernel=kernel)
    assert np.abs(found.film - expected).max() <= TOLERANCE[kernel] * expected.max()
    assert found.captured == pytest.approx(expected @ surface.areas, rel=1e-6)
    assert found.sprayed == pytest.approx((path.flows * path.dwell).sum(), rel=1e-14)


def test_the_two_try_the_same_samples_and_leave_out_most():
    """A fan on a 2 m x 1 m panel meets a few per cent of it; both cull alike."""
    panel = flat(2.0, 1.0, (256, 128))
    path = wild_path(40)
    found = [deposit(panel, path, FAN, kernel=kernel).candidates for kernel in KERNELS]
    assert found[0] == found[1] == found[2]
    assert found[0] < 0.1 * 256 * 128 * 40


@pytest.mark.parametrize("kernel", ["single", "double"])
def test_threads_and_parts_change_no_bit(kernel, monkeypatch):
    surface, path = arrange(crumpled(20_000), single=kernel == "single"), wild_path()
    one = deposit(surface, path, FAN, kernel=kernel)
    for threads in (2, 3, 0):
        again = deposit(surface, path, FAN, threads=threads, kernel=kernel)
        assert (again.film == one.film).all()
        assert again[1:] == one[1:]
    for parts in (1, 5):
        monkeypatch.setattr(_laying, "CHUNKS", parts)
        assert (deposit(surface, path, FAN, kernel=kernel).film == one.film).all()


def test_other_threads_run_on_while_film_is_laid(monkeypatch):
    """A kernel that kept the interpreter's lock would stop this loop for nearly all of it."""
    monkeypatch.setattr(_laying, "CHUNKS", 1)
    cells, path = arrange(flat(1.0, 1.0, (512, 256))), wild_path(20_000)
    deposit(cells, wild_path(2), FAN)
    with ThreadPoolExecutor(1) as pool:
        mine, every = time.thread_time(), time.process_time()
        laid = pool.submit(deposit, cells, path, FAN)
        while not laid.done():
            pass
        mine, every = time.thread_time() - mine, time.process_time() - every
    # Time of the processor, not of the clock: half of it each, however busy the machine is.
    assert mine > 0.2 * every


def test_arranged_once_is_the_same():
    surface, path = crumpled(), wild_path()
    cells = arrange(surface)
    assert (deposit(cells, path, FAN).film == deposit(surface, path, FAN).film).all()
    double = deposit(cells, path, FAN, kernel="double").film
    assert (double == deposit(surface, path, FAN, kernel="double").film).all()


@pytest.mark.parametrize("count", [1, LANES - 1, LANES, 2 * 32 * LANES + 1])
def test_any_number_of_samples(count):
    surface, path = crumpled(count), wild_path()
    cells = arrange(surface)
    assert sorted(set(cells.slots.ravel())) == list(range(count))
    expected = written_out(surface, path, FAN)
    found = deposit(surface, path, FAN, kernel="double").film
    assert found == pytest.approx(expected, rel=1e-9, abs=1e-12 * expected.max())


def test_a_path_that_never_sprays():
    path = wild_path(3)
    silent = GunPath(path.positions, path.axes, path.fans, np.zeros(3), path.dwell)
    for kernel in KERNELS:
        found = deposit(crumpled(), silent, FAN, kernel=kernel)
        assert (found.film == 0.0).all()
        assert found.sprayed == found.captured == found.candidates == 0


angles = st.floats(-math.pi, math.pi)


@settings(max_examples=20)
@given(angles, angles, st.tuples(*[st.floats(-3.0, 3.0)] * 3), st.floats(0.1, 10.0))
def test_moved_and_turned_together_and_stronger(yaw, pitch, move, factor):
    c, s, d, e = math.cos(yaw), math.sin(yaw), math.cos(pitch), math.sin(pitch)
    turn = np.array([[c, -s, 0], [s, c, 0], [0, 0, 1]]) @ [[1, 0, 0], [0, d, -e], [0, e, d]]
    surface, path = crumpled(500), wild_path(30)
    turned = Surface(surface.positions @ turn.T + move, surface.normals @ turn.T, surface.areas)
    along = GunPath(
        path.positions @ turn.T + move,
        path.axes @ turn.T,
        path.fans @ turn.T,
        path.flows * factor,
        path.dwell,
    )
    first = deposit(surface, path, FAN, kernel="double")
    second = deposit(turned, along, FAN, kernel="double")
    # At the very edge of the fan (1 - t)^0.7 turns a rounding of 1e-15 into 1e-10.
    assert np.abs(second.film / factor - first.film).max() <= 1e-9 * first.film.max()


def one_step(height=0.2):
    """A gun above the origin pointing down, fan along x, 1e-6 m3 in all."""
    return GunPath(
        np.array([[0.0, 0.0, height]]),
        np.array([[0.0, 0.0, -1.0]]),
        np.array([[1.0, 0.0, 0.0]]),
        np.array([1e-6]),
        np.array([1.0]),
    )


def at(x, y, z, normal=(0.0, 0.0, 1.0)):
    return Surface(np.array([[x, y, z]]), np.array([normal]), np.array([1e-6]))


@pytest.mark.parametrize("kernel", KERNELS)
def test_by_hand(kernel):
    """An even fan of pi 0.1 0.05 m2 at 0.2 m: 1e-6 / 0.015708 = 63.66 um at its plane.

    Twice as far it is spread over four times the area; on a face leaning 60 degrees over half.
    """
    even = Fan(0.2, 0.1, 1.0, 1.0, 0.2)

    def film(*place):
        return deposit(at(*place), one_step(), even, kernel=kernel).film[0]

    middle = 63.6619772e-6
    assert film(0.0, 0.0, 0.0) == pytest.approx(middle, rel=1e-6)
    assert film(0.09, 0.0, 0.0) == pytest.approx(middle, rel=1e-6)
    assert film(0.101, 0.0, 0.0) == 0.0
    assert film(0.0, 0.051, 0.0) == 0.0
    assert film(0.18, 0.0, -0.2) == pytest.approx(middle / 4, rel=1e-6)
    leaning = (0.0, math.sin(math.pi / 3), 0.5)
    assert film(0.0, 0.0, 0.0, leaning) == pytest.approx(middle / 2, rel=1e-6)
    assert film(0.0, 0.0, 0.0, (0.0, 0.0, -1.0)) == 0.0
    assert film(0.0, 0.0, 0.0, (0.0, 1.0, 0.0)) == 0.0
    assert film(0.0, 0.0, 0.4) == 0.0


MOUTH = Screen((0.0, 0.0, 0.1), (0.0, 0.0, 1.0), (1.0, 0.0, 0.0), 0.02, 0.01)


@pytest.mark.parametrize("kernel", KERNELS)
@pytest.mark.parametrize("facing", [1.0, -1.0])
def test_a_mouth_half_way_lets_twice_its_size_through(kernel, facing):
    """Mouth 40 x 20 mm at half the depth: by similar triangles 80 x 40 mm is lit, nothing else."""
    panel = flat(0.3, 0.2, (300, 200))
    screen = MOUTH._replace(normal=(0.0, 0.0, facing))
    fan = FAN._replace(length=0.2, width=0.16)
    free = deposit(panel, one_step(), fan, kernel=kernel).film
    behind = deposit(panel, one_step(), fan, [screen], kernel=kernel).film
    x, y = np.abs(panel.positions[:, :2].T)
    lit = (x < 0.04) & (y < 0.02)
    assert np.abs(behind[lit] - free[lit]).max() <= 1e-6 * free.max()
    assert (behind[~lit] == 0.0).all()
    assert free[~lit].max() > 0.0
    plate = deposit(panel, one_step(), fan, [screen._replace(mouth=False)], kernel=kernel).film
    assert np.abs(behind + plate - free).max() <= 1e-6 * free.max()


@pytest.mark.parametrize("kernel", KERNELS)
def test_a_screen_stops_nothing_before_it_or_beside_the_gun(kernel):
    """Work in front of the mouth's plane, and a mouth behind the gun, see no screen."""
    panel = flat(0.3, 0.2, (60, 40))
    free = deposit(panel, one_step(), FAN, kernel=kernel).film
    for height in (-0.05, 0.25):
        away = MOUTH._replace(centre=(0.0, 0.0, height))
        assert (deposit(panel, one_step(), FAN, [away], kernel=kernel).film == free).all()


def test_screens_alike_in_all():
    surface, path = crumpled(), wild_path()
    tilted = (0.0, math.sin(0.3), math.cos(0.3))
    screens = [
        MOUTH._replace(normal=tilted, half_along=0.2, half_across=0.1),
        Screen((0.1, 0.0, 0.15), (1.0, 0.0, 0.0), (0.0, 1.0, 0.0), 0.1, 0.05, mouth=False),
    ]
    films = {k: deposit(surface, path, FAN, screens, kernel=k).film for k in KERNELS}
    free = deposit(surface, path, FAN, kernel="double").film
    assert 0.05 < films["double"].sum() / free.sum() < 0.95
    for kernel in KERNELS:
        worst = np.abs(films[kernel] - films["double"]).max()
        assert worst <= TOLERANCE[kernel] * free.max()


def test_kernel_and_twin_have_one_signature():
    parameters = _plain.deposit.__code__.co_varnames[:6]
    assert _kernels.deposit.py_func.__code__.co_varnames[:6] == parameters


GOOD = {
    "positions": np.zeros((1, 3)),
    "axes": np.array([[0.0, 0.0, 1.0]]),
    "fans": np.array([[1.0, 0.0, 0.0]]),
    "flows": np.ones(1),
    "dwell": np.ones(1),
}


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"axes": np.array([[0.0, 0.0, 2.0]])}, "is not of length 1"),
        ({"fans": np.array([[0.6, 0.0, 0.8]])}, "not square to each other"),
        ({"flows": -np.ones(1)}, "a flow or a dwell is below 0; paint and time only add up"),
        ({"dwell": np.ones(2)}, "give m positions, axes and fans of 3 components"),
        ({"positions": np.zeros((2, 3))}, "has parts of shapes"),
    ],
)
def test_a_path_that_makes_no_sense_is_refused(change, words):
    GunPath(**GOOD)
    with pytest.raises(RangeError, match=words):
        GunPath(**(GOOD | change))


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"across": 0.9}, "exponents 0.9 and 1.7; lengths are above 0 and exponents 1 or more"),
        ({"along": 0.5}, "exponents 2.3 and 0.5"),
        ({"length": 0.0}, "fan 0 x 0.08 m at 0.2 m"),
        ({"distance": -0.2}, "at -0.2 m"),
    ],
)
def test_a_fan_that_makes_no_sense_is_refused(change, words):
    with pytest.raises(RangeError, match=words):
        deposit(crumpled(10), one_step(), FAN._replace(**change))


def test_a_screen_that_makes_no_sense_is_refused():
    for change, words in (
        ({"half_along": 0.0}, "a screen has no size; half sizes are above 0"),
        ({"along": (0.0, 0.6, 0.8)}, "not square to each other"),
    ):
        with pytest.raises(RangeError, match=words):
            deposit(crumpled(10), one_step(), FAN, [MOUTH._replace(**change)])


def test_a_surface_that_makes_no_sense_is_refused():
    ones = np.ones(2)
    with pytest.raises(RangeError, match="a normal has length 2; normals are unit vectors"):
        Surface(np.zeros((2, 3)), np.array([[0, 0, 1.0], [0, 2.0, 0]]), ones)
    with pytest.raises(RangeError, match="a surface of 2 areas has positions"):
        Surface(np.zeros((3, 3)), np.zeros((2, 3)), ones)
    with pytest.raises(RangeError, match="n at least 1"):
        Surface(np.zeros((0, 3)), np.zeros((0, 3)), np.zeros(0))
