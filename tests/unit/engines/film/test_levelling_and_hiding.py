"""Levelling and hiding: what is refused."""

import math

import pytest

from coatwright.engines import film
from coatwright.errors import RangeError


@pytest.mark.parametrize(
    ("at", "name"),
    [(0, "a viscosity"), (1, "a wavelength"), (2, "a surface tension"), (3, "a film")],
)
def test_levelling_needs_all(at, name):
    inputs = [0.2, 2e-3, 0.03, 5e-5]
    inputs[at] = 0.0
    with pytest.raises(RangeError) as caught:
        film.levelling_time(*inputs)
    assert caught.value.sentence == f"{name} of 0; it must be above 0"


def test_texture_left():
    assert film.texture_left(1e-5, 10.0, 10.0) == pytest.approx(1e-5 / math.e)
    assert film.texture_left(1e-5, 10.0, 0.0) == 1e-5
    with pytest.raises(RangeError) as caught:
        film.texture_left(1e-5, 0.0, 10.0)
    assert caught.value.sentence == (
        "a levelling time of 0 s and a set time of 10 s; "
        "the first must be above 0 and the second 0 or more"
    )


@pytest.mark.parametrize(
    ("use", "sentence"),
    [
        (lambda: film.reflectance(1.0, 0.5, 1.2), "a backing of 1.2; it must be 0 to 1"),
        (lambda: film.reflectance(1.0, -0.5, 0.5), "a reflectance of -0.5; it must be 0 to 1"),
        (
            lambda: film.reflectance(-1.0, 0.5, 0.5),
            "a scattering power of -1 and a full reflectance of 0.5; "
            "the first must be 0 or more and the second above 0",
        ),
        (
            lambda: film.scatter_for(1.0),
            "no film gives a contrast of 0.98 at a full reflectance of 1; "
            "both must lie between 0 and 1 and black must be darker than white",
        ),
        (
            lambda: film.scatter_for(0.5, 0.98, 0.8, 0.8),
            "no film gives a contrast of 0.98 at a full reflectance of 0.5; "
            "both must lie between 0 and 1 and black must be darker than white",
        ),
        (lambda: film.hiding_film(0.5, 0.0), "a scattering of 0 1/m; it must be above 0"),
    ],
)
def test_refused(use, sentence):
    with pytest.raises(RangeError) as caught:
        use()
    assert caught.value.sentence == sentence


def test_a_card_that_hides_by_itself_needs_no_paint():
    assert film.scatter_for(0.5, 0.5, 0.4, 0.8) == 0.0


def test_hiding_film_by_hand():
    """Scattering power 2.872 (published case) at 100 per mm is 28.7 um."""
    assert film.hiding_film(0.5, 1e5) == pytest.approx(28.72e-6, rel=1e-3)


def test_no_paint_shows_the_backing():
    assert film.reflectance(0.0, 0.5, 0.3) == 0.3


def test_a_white_card_may_be_perfectly_white():
    assert film.scatter_for(0.5, 0.98, 0.0, 1.0) > film.scatter_for(0.5)
    with pytest.raises(RangeError):
        film.scatter_for(0.5, 0.98, 0.0, 1.01)
