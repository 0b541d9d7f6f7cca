"""The fan back from its photograph: even fans, fans with a fault, and their errors."""

from functools import cache

import numpy as np
import pytest

from card_photos import Shot, Truth, drawn_at_random, replace, taken
from coatwright.engines.card.measure import measure
from coatwright.engines.card.rectify import decode, rectify
from coatwright.errors import RangeError

EVEN = Truth()


@cache
def measured(truth, shot=Shot(), seed=1):  # noqa: B008 - frozen
    sheet = rectify(decode(np.frombuffer(taken(truth, shot, seed), np.uint8)))
    return measure(sheet, truth.kind)


def within(value, truth, share):
    return abs(value.value / truth - 1.0) < share


@pytest.mark.parametrize(
    "seed", [0, *(pytest.param(n, marks=pytest.mark.slow) for n in range(1, 64))]
)
def test_length_and_width_of_a_burst_to_three_parts_in_a_hundred(seed):
    """Issue: errors under 3 % on length and width; truth made by tests/card_photos.py."""
    truth, shot = drawn_at_random(seed)
    found = measured(truth, shot, seed)
    assert within(found.length, truth.length * 1e-3, 0.03)
    assert within(found.width, truth.width * 1e-3, 0.03)
    assert found.across.value == pytest.approx(truth.across, abs=0.3)
    assert found.along.value == pytest.approx(truth.along, abs=0.3)
    assert found.x.value * 1e3 == pytest.approx(truth.x, abs=1.0)
    assert found.y.value * 1e3 == pytest.approx(truth.y, abs=0.5)
    assert np.degrees(found.tilt.value) == pytest.approx(truth.tilt, abs=0.3)


@pytest.mark.parametrize(
    "seed", [0, *(pytest.param(n, marks=pytest.mark.slow) for n in range(1, 12))]
)
def test_length_of_a_pass(seed):
    truth, shot = drawn_at_random(seed, "pass")
    found = measured(replace(truth, tilt=0.0), shot, seed)
    assert within(found.length, truth.length * 1e-3, 0.03)
    assert found.width is None
    assert found.along is None
    assert found.across.value == pytest.approx(truth.across, abs=0.3)


def test_an_even_fan_shows_no_fault():
    found = measured(EVEN)
    assert found.top.value == pytest.approx(1.0, abs=0.05)
    assert found.side.value == pytest.approx(1.0, abs=0.05)
    assert abs(found.bow.value) < 0.02
    assert found.dip.value < 0.0
    assert found.spots.value < 8.0
    assert found.residual < 0.03
    # A fan of 2.5 across leaves (1 - t^2)^2 in a pass. Its integral is t - 2 t^3/3 + t^5/5: the
    # mean from 1/2 to 3/4 is 0.3732, from 0 to 1/4 0.9591.
    assert found.ends.value == pytest.approx(0.3732 / 0.9591, abs=0.03)


@pytest.mark.slow
def test_a_slope_along_it_makes_one_end_heavier():
    # exp(0.6 t) on (1 - t^2)^2: right over left of the middle, by a midpoint sum, 1.456.
    found = measured(replace(EVEN, ends=0.6))
    assert 1.0 / found.top.value == pytest.approx(1.456, abs=0.04)


@pytest.mark.slow
def test_a_slope_across_it_makes_one_side_heavier():
    # exp(0.5 s) on (1 - s^2)^1.5, likewise: 1.405.
    found = measured(replace(EVEN, side=0.5))
    assert 1.0 / found.side.value == pytest.approx(1.405, abs=0.04)
    assert within(found.width, 0.052, 0.03)


def test_a_bent_fan():
    """Ends 14 mm aside of a fan 52 mm wide: 14/52."""
    assert measured(replace(EVEN, bow=14.0)).bow.value == pytest.approx(14 / 52, abs=0.02)


def test_a_split_fan():
    found = measured(replace(EVEN, split=0.6))
    assert found.dip.value > 0.15
    assert found.ends.value > 0.75


@pytest.mark.slow
def test_heavy_middle_and_heavy_ends():
    assert measured(replace(EVEN, across=5.5)).ends.value < 0.18
    assert measured(replace(EVEN, across=1.0)).ends.value > 0.75


def test_specks_are_counted_and_do_not_move_the_fan():
    """60 specks over an oblong 220 by 73 mm; those within the ellipse of the fan count."""
    found = measured(replace(EVEN, spatter=60))
    assert found.spots.value > 20.0
    assert within(found.length, 0.220, 0.03)
    assert within(found.width, 0.052, 0.03)


@pytest.mark.slow
def test_a_full_burst_is_still_measured_and_says_that_it_hides():
    found = measured(replace(EVEN, peak=9.0))
    assert found.hidden > 0.25
    assert within(found.length, 0.220, 0.03)


@pytest.mark.slow
def test_without_a_dab_the_errors_grow_but_the_fan_is_found():
    found = measured(EVEN, Shot(dab=False))
    assert within(found.length, 0.220, 0.03)
    assert within(found.width, 0.052, 0.03)


@pytest.mark.slow
def test_two_markers_may_be_hidden():
    assert within(measured(EVEN, Shot(covered=(0, 4))).length, 0.220, 0.03)


@pytest.mark.slow
def test_errors_are_of_the_size_of_the_misses():
    """Of the four even photographs above no miss is more than four of its standard errors."""
    for seed in range(4):
        truth, shot = drawn_at_random(seed)
        found = measured(truth, shot, seed)
        for one, true in ((found.length, truth.length), (found.width, truth.width)):
            assert abs(one.value - true * 1e-3) < 4.0 * one.error
            assert one.error < 0.05 * one.value


@pytest.mark.parametrize(
    ("truth", "shot", "sentence"),
    [
        (replace(EVEN, peak=0.0), Shot(), "there is hardly any paint on the card"),
        (replace(EVEN, x=100.0), Shot(), "of the fan lies beyond the page"),
    ],
)
def test_no_fan_is_refused(truth, shot, sentence):
    with pytest.raises(RangeError, match=sentence):
        measured(truth, shot)


def test_another_kind_is_refused():
    with pytest.raises(RangeError, match=r"^'blob' is no kind of test card; use burst or pass$"):
        measure(None, "blob")
