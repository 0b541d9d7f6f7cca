"""The well-mixed box: closed forms, an independent solver, the mass balance."""

import math

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from coatwright.engines import ventilation
from coatwright.engines.ventilation import Release, Room
from coatwright.errors import RangeError

ROOM = Room(45.0, 6 / 3600, 3.0)


def test_a_steady_release_comes_to_its_steady_state():
    release = Release(0.0, 1e9, 1e-5)
    late = ventilation.concentration([1e6], [release], ROOM)[0]
    assert late == pytest.approx(ventilation.steady(1e-5, ROOM), rel=1e-9)
    assert late == pytest.approx(1e-5 / (45.0 * 6 / 3600 / 3.0), rel=1e-9)


def test_against_an_independent_solver():
    releases = [Release(60.0, 600.0, 2e-5), Release(300.0, 9000.0, 3e-5, 1 / 400)]

    def rate(t, c):
        loose = sum(
            r.rate * math.exp(-r.fading * (t - r.begin)) * (r.begin <= t < r.end) for r in releases
        )
        return loose / 45.0 - ROOM.clearing * c

    clock = np.array([0.0, 100.0, 500.0, 1000.0, 3000.0])
    solved = solve_ivp(rate, (0, 3000), [0.0], t_eval=clock, max_step=2.0, rtol=1e-8, atol=1e-14)
    found = ventilation.concentration(clock, releases, ROOM)
    np.testing.assert_allclose(found, solved.y[0], rtol=2e-3, atol=1e-9)


def test_fading_as_fast_as_the_room_clears():
    """The two exponentials fall together: C = G t exp(-k t) / V."""
    room = Room(10.0, 1 / 300)
    found = ventilation.concentration([300.0], [Release(0.0, 1e9, 1e-5, 1 / 300)], room)[0]
    assert found == pytest.approx(1e-5 * 300 * math.exp(-1) / 10.0, rel=1e-9)
    near = ventilation.concentration([300.0], [Release(0.0, 1e9, 1e-5, 1.0001 / 300)], room)[0]
    assert near == pytest.approx(found, rel=1e-3)


def test_without_air_all_of_it_stays():
    still = Room(20.0, 0.0)
    found = ventilation.concentration([50.0, 500.0], [Release(0.0, 100.0, 2e-5)], still)
    np.testing.assert_allclose(found, [2e-5 * 50 / 20, 2e-5 * 100 / 20])
    assert ventilation.steady(1e-5, still) == math.inf
    assert ventilation.clearing_time(2.0, still) == math.inf
    assert ventilation.steady(0.0, still) == 0.0


def test_clearing_by_hand():
    assert ventilation.clearing_time(1.0, ROOM) == 0.0
    assert ventilation.clearing_time(math.e, Room(1.0, 0.01)) == pytest.approx(100.0)
    assert ventilation.clearing_time(math.e, Room(1.0, 0.01, 4.0)) == pytest.approx(400.0)


@pytest.mark.parametrize(
    "call",
    [
        lambda: ventilation.concentration([0.0], [], Room(0.0, 1.0)),
        lambda: ventilation.concentration([0.0], [], Room(1.0, 1.0, 0.5)),
        lambda: ventilation.concentration([0.0], [Release(0.0, 1.0, -1.0)], ROOM),
        lambda: ventilation.concentration([0.0], [Release(2.0, 1.0, 1.0)], ROOM),
        lambda: ventilation.clearing_time(0.5, ROOM),
        lambda: ventilation.face_air_changes(1.0, 1.0, 0.0),
    ],
)
def test_refused(call):
    with pytest.raises(RangeError):
        call()
