"""Acceptance of gauge readings: every clause with its figures, bounds, refusals."""

import pytest

from coatwright.engines import evidence
from coatwright.errors import RangeError

UM = 1e-6


def failed(verdict):
    return [clause.says for clause in verdict.failed]


def test_every_clause_of_pa2():
    low = evidence.pa2_verdict([50 * UM] * 5, 80 * UM, 120 * UM)
    assert not low.passed
    assert failed(low) == [
        "the mean is at least the minimum",
        "every spot is at least 80 % of the minimum",
    ]
    high = evidence.pa2_verdict([150 * UM] * 5, 80 * UM, 120 * UM)
    assert failed(high) == [
        "the mean is at most the maximum",
        "every spot is at most 120 % of the maximum",
    ]
    assert evidence.pa2_verdict([80 * UM] * 4 + [64 * UM] + [120 * UM], 80 * UM, 120 * UM).passed


def test_every_clause_of_iso_19840():
    assert failed(evidence.iso19840_verdict([90 * UM, 401 * UM], 120 * UM)) == [
        "every reading is at least 80 % of the nominal film",
        "fewer than 20 % of the readings are below the nominal film",
        "no reading is above the maximum",
    ]
    assert failed(evidence.iso19840_verdict([110 * UM] * 3, 120 * UM)) == [
        "the mean is at least the nominal film",
        "fewer than 20 % of the readings are below the nominal film",
    ]
    assert failed(evidence.iso19840_verdict([130 * UM], 120 * UM, 125 * UM)) == [
        "no reading is above the maximum"
    ]
    assert evidence.iso19840_verdict([40 * UM], 40 * UM).passed


def test_every_clause_of_the_90_10_rule():
    assert failed(evidence.pspc_verdict([280 * UM, 330 * UM], 320 * UM)) == [
        "at most 10 % of the readings are below the nominal film",
        "every reading is at least 90 % of the nominal film",
    ]
    assert evidence.pspc_verdict([320 * UM], 320 * UM).passed


def test_a_clause_carries_its_figures():
    """Two of three low readings: 2/3 against 20 %, lowest 100 against 96 um."""
    verdict = evidence.iso19840_verdict([100 * UM, 110 * UM, 180 * UM], 120 * UM)
    mean, single, share, most = verdict.clauses
    assert (mean.found, mean.limit) == pytest.approx((130 * UM, 120 * UM))
    assert (single.found, single.limit) == pytest.approx((100 * UM, 96 * UM))
    assert (share.found, share.limit, share.share) == pytest.approx((2 / 3, 0.2, True))
    assert (most.found, most.limit) == pytest.approx((180 * UM, 360 * UM))
    assert (verdict.rule, verdict.source, verdict.covered) == ("ISO 19840", "iso-19840", True)


def test_a_thin_film_is_not_covered_and_not_passed():
    verdict = evidence.iso19840_verdict([12 * UM], 10 * UM)
    assert (verdict.covered, verdict.passed, verdict.clauses) == (False, False, ())
    assert verdict.note == "does not speak of nominal films below 40 um; this one is 10 um"


@pytest.mark.parametrize(
    ("use", "sentence"),
    [
        (
            lambda: evidence.spot_limits(2.0, 1.0),
            "a specified film of 2 to 1 m; the minimum must be above 0 and at most the maximum",
        ),
        (
            lambda: evidence.pa2_verdict([1.0] * 4, 1.0, 2.0),
            "4 spots; at least 5 in one row are needed",
        ),
        (
            lambda: evidence.spot_means([[1.0, 1.0, 1.0], [1.0, 2.0]]),
            "2 readings of a spot; at least 3 in one row are needed",
        ),
        (
            lambda: evidence.iso19840_verdict([], 60 * UM),
            "0 readings; at least 1 in one row are needed",
        ),
        (
            lambda: evidence.iso19840_verdict([60 * UM], 0.0),
            "a nominal film of 0; it must be above 0",
        ),
        (
            lambda: evidence.pspc_verdict([float("nan")], 60 * UM),
            "readings that are no numbers; leave them out",
        ),
    ],
)
def test_refused(use, sentence):
    with pytest.raises(RangeError) as caught:
        use()
    assert caught.value.sentence == sentence


def test_a_spot_is_the_mean_of_its_readings():
    found = evidence.spot_means(
        [[70 * UM, 80 * UM, 90 * UM], [100 * UM, 100 * UM, 102 * UM, 98 * UM]]
    )
    assert found == pytest.approx([80 * UM, 100 * UM])


def test_one_low_reading_is_allowed_down_to_80_percent():
    """0.8 x 120 = 96 um."""
    rest = [130 * UM] * 99
    assert evidence.iso19840_verdict([96 * UM, *rest], 120 * UM).passed
    assert not evidence.iso19840_verdict([95.9 * UM, *rest], 120 * UM).passed


def test_the_maximum_itself_is_allowed():
    assert evidence.iso19840_verdict([360 * UM], 120 * UM).passed
    assert not evidence.iso19840_verdict([361 * UM], 120 * UM).passed


def test_the_mean_may_lie_on_either_bound():
    assert evidence.pa2_verdict([120 * UM] * 5, 80 * UM, 120 * UM).passed
    assert evidence.pa2_verdict([80 * UM] * 5, 80 * UM, 120 * UM).passed
    assert not evidence.pa2_verdict([120.1 * UM] * 5, 80 * UM, 120 * UM).passed
    assert not evidence.pa2_verdict([79.9 * UM] * 5, 80 * UM, 120 * UM).passed
