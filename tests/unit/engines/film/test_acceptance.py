"""Acceptance of gauge readings: reasons and refusals."""

import pytest

from coatwright.engines import film
from coatwright.errors import RangeError

UM = 1e-6


def test_every_reason_of_pa2():
    low = film.pa2_verdict([50 * UM] * 5, 80 * UM, 120 * UM)
    assert low == (
        False,
        ("the mean is below the minimum", "a spot is below 80 % of the minimum"),
    )
    high = film.pa2_verdict([150 * UM] * 5, 80 * UM, 120 * UM)
    assert high.reasons == (
        "the mean is above the maximum",
        "a spot is above 120 % of the maximum",
    )
    assert film.pa2_verdict([80 * UM] * 4 + [64 * UM] + [120 * UM], 80 * UM, 120 * UM).passed


def test_every_reason_of_iso_19840():
    assert film.iso19840_verdict([90 * UM, 401 * UM], 120 * UM).reasons == (
        "a reading is below 80 % of the nominal film",
        "20 % or more of the readings are below the nominal film",
        "a reading is above the maximum",
    )
    assert film.iso19840_verdict([110 * UM] * 3, 120 * UM).reasons == (
        "the mean is below the nominal film",
        "20 % or more of the readings are below the nominal film",
    )
    assert film.iso19840_verdict([130 * UM], 120 * UM, 125 * UM).reasons == (
        "a reading is above the maximum",
    )
    assert film.iso19840_verdict([40 * UM], 40 * UM).passed


@pytest.mark.parametrize(
    ("use", "sentence"),
    [
        (
            lambda: film.spot_limits(2.0, 1.0),
            "a specified film of 2 to 1 m; the minimum must be above 0 and at most the maximum",
        ),
        (lambda: film.areas_to_measure(0.0), "a surface of 0 m2; it must be above 0"),
        (
            lambda: film.pa2_verdict([1.0] * 4, 1.0, 2.0),
            "4 spots make no area; measure at least five",
        ),
        (
            lambda: film.iso19840_verdict([8 * UM], 10 * UM),
            "1 readings for a nominal film of 10 um are not covered; "
            "ISO 19840 needs readings and a nominal film of at least 40 um",
        ),
        (
            lambda: film.iso19840_verdict([], 60 * UM),
            "0 readings for a nominal film of 60 um are not covered; "
            "ISO 19840 needs readings and a nominal film of at least 40 um",
        ),
    ],
)
def test_refused(use, sentence):
    with pytest.raises(RangeError) as caught:
        use()
    assert caught.value.sentence == sentence


@pytest.mark.parametrize(
    ("surface", "areas"),
    [(5.0, 1), (10.0, 1), (10.1, 2), (30.0, 3), (99.0, 3), (100.1, 4), (200.0, 4), (201.0, 5)],
)
def test_areas(surface, areas):
    assert film.areas_to_measure(surface) == areas


def test_one_low_reading_is_allowed_down_to_80_percent():
    """0.8 x 120 = 96 um."""
    rest = [130 * UM] * 99
    assert film.iso19840_verdict([96 * UM, *rest], 120 * UM).passed
    assert not film.iso19840_verdict([95.9 * UM, *rest], 120 * UM).passed


def test_the_maximum_itself_is_allowed():
    assert film.iso19840_verdict([360 * UM], 120 * UM).passed
    assert not film.iso19840_verdict([361 * UM], 120 * UM).passed


def test_the_mean_may_lie_on_either_bound():
    assert film.pa2_verdict([120 * UM] * 5, 80 * UM, 120 * UM).passed
    assert film.pa2_verdict([80 * UM] * 5, 80 * UM, 120 * UM).passed
    assert not film.pa2_verdict([120.1 * UM] * 5, 80 * UM, 120 * UM).passed
    assert not film.pa2_verdict([79.9 * UM] * 5, 80 * UM, 120 * UM).passed
