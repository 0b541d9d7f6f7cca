"""Grades: order, steps, words."""

import pytest

from coatwright.engines import abrasion
from coatwright.errors import RangeError


def test_finer_numbers_have_finer_grain():
    grains = [abrasion.grain(grade) for grade in abrasion.grades()]
    numbers = [abrasion.number(grade) for grade in abrasion.grades()]
    assert grains == sorted(grains, reverse=True)
    assert numbers == sorted(numbers)
    assert len(set(grains)) == len(grains)


def test_unknown_grade():
    with pytest.raises(RangeError) as caught:
        abrasion.grain("P333")
    assert caught.value.what == "'P333' is not a known abrasive grade"
    assert caught.value.instead.startswith("use one of P12, P16, ")


def test_unknown_american_grit():
    with pytest.raises(RangeError) as caught:
        abrasion.p_grade("1000")
    assert caught.value.sentence == (
        "no P-grade is known for the grit number 1000; known are 320, 400, 600; "
        "below about 220 the two scales run together"
    )


# Rubbing ladders of common practice (no source), step by step, and steps that are too wide or back.
@pytest.mark.parametrize(
    "ladder",
    [
        ["P80", "P120", "P180"],
        ["P80", "P180"],
        ["P180", "P320", "P500"],
        ["P240", "P320", "P400", "P600"],
        ["P1200", "P2000", "P3000"],
        ["P1500", "P3000"],
    ],
)
def test_ladders_of_the_trade(ladder):
    assert all(map(abrasion.next_grade_ok, ladder, ladder[1:]))


@pytest.mark.parametrize(
    ("last", "following"),
    [
        ("P80", "P240"),
        ("P220", "P500"),
        ("P180", "P500"),
        ("P320", "P800"),
        ("P320", "P180"),
        ("P320", "P320"),
    ],
)
def test_steps_that_leave_scratches(last, following):
    assert not abrasion.next_grade_ok(last, following)
