"""Rubbing down: near the film budget of common practice, and never more left than laid."""

import pytest

from coatwright.intake.sheets import load_sheets
from coatwright.planning.strokes.rubbing import TAKE_SPREAD, reserve, rubs, steps

SHEETS = load_sheets()


def test_high_build_loses_about_fifty_micrometres_to_p320_and_p500() -> None:
    """Common practice, no source: block P320 and P500 take about 50 um of high-build."""
    taken = sum(step.takes for step in steps(SHEETS["high-build"]))
    assert taken == pytest.approx(50e-6, rel=0.2)


def test_the_finer_grade_takes_out_the_scratch_of_the_coarser() -> None:
    first, second = steps(SHEETS["high-build"])
    assert (first.grade, second.grade) == ("P320", "P500")
    assert "P320" in second.reason
    assert second.takes < first.takes


def test_an_even_coat_needs_less_blocking() -> None:
    material = SHEETS["high-build"]
    even, uneven = (sum(s.takes for s in steps(material, spread)) for spread in (5e-6, 30e-6))
    assert even < uneven


def test_what_is_left_is_what_was_laid_less_what_was_taken() -> None:
    found = rubs(SHEETS["high-build"], 110e-6, 12e-6)
    assert found[-1].left.value == pytest.approx(
        110e-6 - sum(rub.takes.value for rub in found), abs=1e-12
    )
    assert found[0].break_through.value <= found[-1].break_through.value <= 0.01
    low, high = found[0].takes.spread or (0.0, 0.0)
    assert high - low == pytest.approx(2 * 1.28 * TAKE_SPREAD * found[0].takes.value)


def test_a_thin_coat_breaks_through() -> None:
    assert rubs(SHEETS["high-build"], 50e-6, 10e-6)[-1].break_through.value > 0.2


def test_layers_that_are_not_rubbed_need_no_reserve() -> None:
    assert reserve(SHEETS["solid-two-pack"]) == 0.0
    assert steps(SHEETS["epoxy"]) == ()
    assert reserve(SHEETS["high-build"]) > SHEETS["high-build"].film.min
