"""Films of a patch from plan and readings together, by sums that can be checked on paper."""

import math
from datetime import UTC, datetime, timedelta

import pytest

from coatwright.record.events import (
    CoatBegun,
    CoatDone,
    CupWeighed,
    FilmRead,
    Planned,
    RubbedDown,
    said,
)
from coatwright.record.films import CAPTURE_SPREAD, LEVEL_SPREAD, SOLIDS_SPREAD, films_of
from coatwright.record.fold import fold

NOON = datetime(2026, 5, 4, 12, tzinfo=UTC)
UM = 1e-6
PLAN = Planned(
    dry=30 * UM, dry_spread=3 * UM, wet=75 * UM, surface=2.0, paint=250e-6, capture=0.6,
    solids=0.4, density=1200.0,
)  # fmt: skip


def told(*bodies):
    events = [
        said("car", "painter", NOON + timedelta(hours=i), body, "bonnet", "metal")
        for i, body in enumerate(bodies)
    ]
    return films_of(fold("car", events).patch("bonnet", "metal"))


def coat(product="epoxy", number=1, plan=PLAN):
    return [
        CoatBegun(product=product, coat=number, planned=plan),
        CoatDone(product=product, coat=number),
    ]


def gauge(*microns, zero=0.0):
    return FilmRead(method="gauge", readings=[m * UM for m in microns], zero=zero * UM)


def test_without_readings_it_is_the_plan():
    found = told(*coat(), *coat(number=2))
    (layer,) = found.layers
    assert layer.planned.mean == pytest.approx(60 * UM)
    assert layer.found.mean == pytest.approx(60 * UM)
    assert layer.found.spread == pytest.approx(LEVEL_SPREAD * 60 * UM)
    assert (layer.found.basis, layer.readings) == ("planned", 0)


def test_a_weighed_cup_pulls_the_film_towards_what_was_sprayed():
    # 0.36 kg at 1200 kg/m3 is 0.3 L; x 0.4 solids x 0.6 caught on 2 m2 is 36 um.
    cup = CupWeighed(product="epoxy", coat=1, before=0.86, after=0.5)
    (layer,) = told(*coat(), cup).layers
    cup_share = math.hypot(CAPTURE_SPREAD, SOLIDS_SPREAD, 0.02)
    one, other = (LEVEL_SPREAD * 30) ** -2, (cup_share * 36) ** -2
    assert layer.found.mean == pytest.approx((30 * one + 36 * other) / (one + other) * UM, rel=0.01)
    assert layer.found.spread < LEVEL_SPREAD * 30 * UM
    assert layer.found.basis == "measured"


def test_gauge_readings_of_the_stack_narrow_every_layer_under_them():
    before = told(*coat(), *coat("build", plan=PLAN.model_copy(update={"dry": 100 * UM})))
    after = told(
        *coat(), *coat("build", plan=PLAN.model_copy(update={"dry": 100 * UM})),
        gauge(150, 152, 149, 151, 153, 150, 151),
    )  # fmt: skip
    assert after.total.mean == pytest.approx(150.9 * UM, rel=0.02)
    assert after.total.spread < before.total.spread / 3
    # What is missing goes to the layer that is least well known: the thick one.
    gained = [b.found.mean - a.found.mean for a, b in zip(before.layers, after.layers, strict=True)]
    assert gained[1] / gained[0] == pytest.approx((100 / 30) ** 2, rel=0.05)


def test_the_zero_of_the_prepared_ground_comes_off():
    plain = told(*coat(), gauge(40, 41, 39)).total.mean
    zeroed = told(*coat(), gauge(50, 51, 49, zero=10.0)).total.mean
    assert zeroed == pytest.approx(plain, rel=0.02)


def test_a_comb_says_between_which_teeth():
    # 75 um wet leaves 30 um dry: teeth at 75 and 100 say 30 to 40 um.
    comb = FilmRead(
        method="wet comb", product="epoxy", coat=1, readings=[75 * UM] * 5, steps=[100 * UM] * 5
    )
    (layer,) = told(CoatBegun(product="epoxy", coat=1, planned=PLAN), comb,
                    CoatDone(product="epoxy", coat=1)).layers  # fmt: skip
    assert 30 * UM < layer.found.mean < 40 * UM
    assert layer.readings == 5


def test_what_was_rubbed_off_comes_off_and_a_reading_after_it_knows():
    rub = RubbedDown(grade="P400", product="epoxy", took=8 * UM)
    (layer,) = told(*coat(), rub).layers
    assert layer.found.mean == pytest.approx(22 * UM)
    (layer,) = told(*coat(), rub, gauge(22, 22, 22, 22, 22)).layers
    assert layer.found.mean == pytest.approx(22 * UM, rel=0.03)


def test_readings_far_from_the_plan_are_said_to_contradict_it():
    assert told(*coat(), gauge(90, 92, 91, 93, 90)).surprise.contradicts
    assert not told(*coat(), gauge(30, 31, 29, 33, 28)).surprise.contradicts


def test_a_coat_without_a_plan_has_no_film_found():
    found = told(*coat(plan=None), gauge(30, 31))
    assert found.layers[0].found is None
    assert found.total is None


def test_a_cup_that_grew_heavier_is_not_used_and_said_so():
    found = told(*coat(), CupWeighed(product="epoxy", coat=1, before=0.5, after=0.6))
    assert found.layers[0].found.basis == "planned"
    assert "must have become lighter" in found.unread[0]
