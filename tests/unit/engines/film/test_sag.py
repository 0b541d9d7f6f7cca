"""Runs and drops: limits, words, arrays."""

import math

import numpy as np
import pytest

from coatwright.engines import film
from coatwright.engines.film.sag import SLIDE
from coatwright.errors import RangeError

ABOVE = "it must be above 0"
BELOW = "it must be 0 or more"


@pytest.mark.parametrize(
    ("use", "sentence"),
    [
        (lambda: film.sag_speed(0.0, 1.0, 1e-4), f"a density of 0; {ABOVE}"),
        (lambda: film.sag_speed(1e3, 0.0, 1e-4), f"a viscosity of 0; {ABOVE}"),
        (lambda: film.sag_speed(1e3, 1.0, 1e-4, -1.0), f"a yield stress of -1; {BELOW}"),
        (lambda: film.sag_speed(1e3, 1.0, 1e-4, 0.0, 4.0), "a slope of 4 rad; it must be 0 to pi"),
        (lambda: film.slide(1e3, 1.0, 1e-4, 0.0), f"a set time of 0; {ABOVE}"),
        (lambda: film.sag_limit(1e3, 1.0, 0.0, 10.0, -1.0), f"a slide of -1; {BELOW}"),
        (lambda: film.anti_sag_index(1e3, 0.0, 1.0), f"a consistency of 0; {ABOVE}"),
        (lambda: film.anti_sag_index(1e3, 1.0, 0.0), f"a flow index of 0; {ABOVE}"),
        (lambda: film.anti_sag_index(1e3, 1.0, 1.0, 0.0, -1.0), f"a speed of -1; {BELOW}"),
        (lambda: film.hang_rate(1e3, 1.0, 0.0, 1e-4), f"a surface tension of 0; {ABOVE}"),
        (lambda: film.hang_limit(1e3, 1.0, 0.03, 10.0, -1.0), f"a growth of -1; {BELOW}"),
        (lambda: film.mobile_share(-1.0, 10.0), f"a flash-off of -1; {BELOW}"),
        (
            lambda: film.slide_while_drying(1e4, 0.0, [0, 1], [1.0, 0.0], [1e-4, 1e-4]),
            f"a viscosity of 0; {ABOVE}",
        ),
    ],
)
def test_refused(use, sentence):
    with pytest.raises(RangeError) as caught:
        use()
    assert caught.value.sentence == sentence


@pytest.mark.parametrize("times", [[0.0, 0.0], [0.0, 1.0, 2.0]])
def test_histories_must_go_together(times):
    with pytest.raises(RangeError) as caught:
        film.slide_while_drying(1e4, 0.0, times, [1.0, 1.0], [1e-4, 1e-4])
    assert caught.value.sentence == (
        "the times, viscosities and films do not go together; "
        "give equally many of each, at increasing times"
    )


def test_nothing_runs_on_a_floor():
    assert film.yield_limit(1200.0, 0.0, 0.0) == math.inf
    assert film.sag_limit(1200.0, 0.2, 0.0, 10.0, SLIDE, 0.0) == math.inf
    assert film.sag_speed(1200.0, 0.2, 5e-4, 0.0, 0.0) == 0.0


def test_arrays_pass_through():
    films = np.array([0.0, 5e-5, 1e-4])
    speeds = film.sag_speed(1200.0, 0.2, films, 0.5)
    assert speeds == pytest.approx([film.sag_speed(1200.0, 0.2, h, 0.5) for h in films])
    assert film.drainage(1200.0, 0.2, films)[2] > 0


def test_the_allowed_slide_is_the_critical_speed_for_ten_seconds():
    """5 mm is 500 um/s times 10 s."""
    limit = film.sag_limit(1200.0, 1.0, 0.0, 10.0)
    assert limit == pytest.approx(film.anti_sag_index(1200.0, 1.0, 1.0))


def test_a_coat_that_has_flashed_moves_less():
    assert film.mobile_share(0.0, 15.0) == 1.0
    assert film.mobile_share(15.0, 15.0) == pytest.approx(math.exp(-1))


def test_ceiling_ripple_is_about_fifteen_millimetres():
    """2 pi sqrt(2 sigma / (rho g)) for 28 mN/m and 1.1 kg/L: 14.3 mm by hand; the rate given for
    the fastest ripple is the rate of that wavelength, h^3 (rho g k^2 - sigma k^4) / (3 eta)."""
    weight, tension, eta, h = 1100.0 * 9.80665, 0.028, 0.2, 2e-4
    k = 2 * math.pi / 14.3e-3
    rate = h**3 * (weight * k**2 - tension * k**4) / (3 * eta)
    assert film.hang_rate(1100.0, eta, tension, h) == pytest.approx(rate, rel=1e-3)
