"""From a reading to the chance that its bound was broken, and what that chance is worth."""

import math
from datetime import UTC, datetime

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from coatwright.model.defect import SignSheet
from coatwright.record.diagnosis.evidence import often, ratio
from coatwright.record.diagnosis.signs import SURE, Measured, Told, probability

AT = datetime(2026, 5, 4, 9, 0, tzinfo=UTC)


def sign(**more):
    fields = {
        "key": "flash", "title": "flash-off kept", "broken": "cut short", "kept": "kept",
        "purpose": "time", "side": "below", "bound": "10 min", "bound_from": "the sheet",
        "usual": 0.05, "do": "Ask.", "source": "common practice, no source",
    }  # fmt: skip
    return SignSheet.model_validate({**fields, **more})


def read(value, spread=0.0, bound=None, excess=None):
    return Measured(value, bound, spread, AT, "lacquer, coat 2", excess)


@pytest.mark.parametrize("sigmas", [-1.5, -0.5, 0.0, 0.5, 1.0, 1.9])
def test_the_chance_is_the_normal_distribution(sigmas):
    """Against scipy.stats.norm, an independent library."""
    got = probability(sign(), read(600.0 - sigmas * 60.0, 60.0))
    assert got == pytest.approx(stats.norm.cdf(sigmas), abs=1e-12)


def test_spreads_add_as_variances():
    """3 min of the reading and 4 min of the bound make 5 min: 5 min short is one of them."""
    got = probability(sign(soft="4 min"), read(300.0, 180.0))
    assert got == pytest.approx(stats.norm.cdf(1.0), abs=1e-12)
    by_share = probability(sign(soft_share=0.4), read(300.0, 180.0))
    assert by_share == pytest.approx(stats.norm.cdf(1.0), abs=1e-12)


def test_the_softness_of_a_temperature_is_a_difference():
    warm = sign(purpose="temperature", side="above", bound="32 degC", soft="2 degC")
    assert warm.softness == pytest.approx(2.0)
    assert probability(warm, read(273.15 + 34.0)) == pytest.approx(stats.norm.cdf(1.0), abs=1e-9)


def test_no_reading_is_surer_than_that():
    assert probability(sign(), read(0.0, 1.0)) == SURE
    assert probability(sign(), read(1e6, 1.0)) == pytest.approx(1.0 - SURE)
    assert probability(sign(), read(599.0)) == SURE


def test_a_bound_of_the_record_goes_before_that_of_the_sign():
    assert probability(sign(), read(400.0, 1.0, bound=300.0)) == pytest.approx(1.0 - SURE)


def test_a_thing_told_is_as_sure_as_the_record():
    assert probability(sign(), Told(True, AT, "x", 0.9)) == 0.9
    assert probability(sign(), Told(False, AT, "x", 0.9)) == pytest.approx(0.1)


def test_what_a_reading_is_worth():
    """By hand: (0.9 x 0.8 + 0.1 x 0.2) / (0.1 x 0.8 + 0.9 x 0.2) = 0.74 / 0.26."""
    assert ratio(0.8, 0.9, 0.1) == pytest.approx(math.log(0.74 / 0.26))


def test_nothing_recorded_and_just_at_the_bound_say_nothing():
    assert ratio(None, 0.9, 0.1) == 0.0
    assert ratio(0.5, 0.9, 0.1) == pytest.approx(0.0, abs=1e-15)


@given(st.floats(0.0, 0.5), st.floats(0.01, 0.98), st.floats(0.001, 0.999))
def test_a_bound_that_was_kept_never_speaks_for_a_cause(chance, usual, part):
    expects = usual + part * (0.99 - usual)
    assert ratio(chance, expects, usual) <= 1e-12


def test_the_worst_of_several_layers():
    """By hand, three layers: 1 - 0.9 x 0.9 x 0.9; 1 - 0.2 x 0.9 x 0.9."""
    expects, usual = often(0.8, 0.1, 3)
    assert usual == pytest.approx(0.271)
    assert expects == pytest.approx(0.838)
    assert often(0.8, 0.1, 1) == pytest.approx((0.8, 0.1))
