"""Litres of a product: film maths, losses, and how errors add up."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import lognorm

from coatwright.errors import RangeError
from coatwright.planning.supplies.quantity import (
    Demand,
    area_figures,
    band,
    need_figures,
    needs_of,
    volume_for_film,
)
from paint import gun

ML = 1e-6
LITRE = 1e-3
GUN = gun()


def demand(area: str, millilitres: float, coat: int = 1, **more: object) -> Demand:
    usual: dict[str, object] = {
        "area": area, "product": "colour", "coat": coat, "through_gun": millilitres * ML,
        "on_surface": 0.5 * millilitres * ML, "seconds": millilitres, "gun": GUN,
    }  # fmt: skip
    return Demand(**(usual | more))  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("surface", "microns", "solids", "transfer", "litres", "off"),
    [
        # Film maths of the trade notes, from the formulae of `wet-film-formulae`: a small car's
        # outside at three transfer efficiencies, given to one decimal.
        (11.0, 55.0, 0.40, 0.50, 3.0, 0.05),
        (11.0, 55.0, 0.40, 0.30, 5.0, 0.05),
        (11.0, 55.0, 0.40, 0.65, 2.3, 0.05),
        # Practical coverage L = A x DFT / (10 VS TE), worked out from the formula by hand.
        (18.0, 60.0, 0.45, 0.65, 3.69, 0.005),
        (18.0, 60.0, 0.45, 0.30, 8.00, 0.005),
    ],
)
def test_volume_for_a_film(
    surface: float, microns: float, solids: float, transfer: float, litres: float, off: float
) -> None:
    found = volume_for_film(surface, microns * 1e-6, solids, transfer)
    assert found / LITRE == pytest.approx(litres, abs=off)


def test_transfer_alone_moves_the_order_more_than_twofold() -> None:
    # Film maths of the trade notes: from 0.65 to 0.30, 2.2 times.
    volumes = [volume_for_film(11.0, 55e-6, 0.40, transfer) for transfer in (0.30, 0.65)]
    assert volumes[0] / volumes[1] == pytest.approx(2.2, abs=0.05)


@pytest.mark.parametrize(("solids", "transfer"), [(0.0, 0.5), (1.1, 0.5), (0.4, 0.0)])
def test_shares_out_of_range_are_refused(solids: float, transfer: float) -> None:
    with pytest.raises(RangeError, match="shares above 0 and at most 1"):
        volume_for_film(1.0, 5e-5, solids, transfer)


def test_losses_and_test_cards_come_once_a_session() -> None:
    # Coat 1: 500 + 300 mL + a card of 5 s x 3 mL/s = 815 mL, two cups of 600; coat 2: 100 + 15 mL,
    # one cup. Three fills of 40 mL are lost, two cards of 15 mL sprayed.
    rows = [demand("a", 500), demand("b", 300), demand("a", 100, coat=2)]
    (need,) = needs_of(rows)
    assert [session.fills for session in need.sessions] == [2, 1]
    assert need.losses == pytest.approx(120 * ML)
    assert need.test_cards == pytest.approx(30 * ML)
    assert need.on_surface == pytest.approx(450 * ML)
    assert need.overspray == pytest.approx(450 * ML)
    assert need.mean == pytest.approx(1050 * ML)


def test_the_test_card_is_poured_too() -> None:
    # 590 mL fit a cup of 600, but not with 15 mL for the card.
    (need,) = needs_of([demand("a", 590)])
    assert need.sessions[0].fills == 2
    (exact,) = needs_of([demand("a", 585)])
    assert exact.sessions[0].fills == 1


def test_brush_wipe_and_lance_leave_nothing_in_a_gun() -> None:
    (need,) = needs_of([demand("a", 200, gun=None)])
    assert (need.losses, need.test_cards) == (0.0, 0.0)
    assert need.mean == pytest.approx(200 * ML)


def test_own_errors_average_out() -> None:
    # Four areas of 250 mL at 10 %: 4 x 25 mL would be 100, in quadrature it is 50 mL.
    rows = [demand(name, 250, own_spread=0.1, gun=gun(residue=0.0)) for name in "abcd"]
    (need,) = needs_of(rows)
    assert need.spread == pytest.approx(50 * ML)


def test_the_guns_error_does_not_average_out() -> None:
    rows = [demand(name, 250, shared_spread=0.1, gun=gun(residue=0.0)) for name in "abcd"]
    (need,) = needs_of(rows)
    assert need.spread == pytest.approx(100 * ML)


def test_two_guns_err_apart() -> None:
    first, second = gun("one", residue=0.0), gun("two", residue=0.0)
    rows = [
        demand("a", 300, shared_spread=0.1, gun=first),
        demand("b", 400, shared_spread=0.1, gun=second),
    ]
    (need,) = needs_of(rows)
    # 30 and 40 mL at right angles.
    assert need.spread == pytest.approx(50 * ML)


def test_losses_have_a_spread_of_their_own() -> None:
    (need,) = needs_of([demand("a", 100)])
    assert need.spread == pytest.approx(0.3 * 40 * ML)


@given(st.floats(1e-6, 1e-1), st.floats(0.001, 0.8))
def test_the_band_is_log_normal(mean: float, relative: float) -> None:
    low, high = band(mean, relative * mean)
    width = math.sqrt(math.log1p(relative**2))
    law = lognorm(width, scale=mean / math.exp(width**2 / 2))
    assert law.mean() == pytest.approx(mean)
    assert law.std() == pytest.approx(relative * mean)
    assert (low, high) == pytest.approx(tuple(law.ppf([0.1, 0.9])))


def test_no_spread_gives_no_band() -> None:
    assert band(1e-3, 0.0) == (1e-3, 1e-3)
    assert band(0.0, 1e-3) == (0.0, 0.0)


ROWS = st.lists(
    st.tuples(st.sampled_from("abc"), st.integers(1, 3), st.floats(0.1, 3000), st.integers(0, 1)),
    min_size=1,
    max_size=12,
)


@given(ROWS)
def test_what_areas_take_adds_up_to_the_need(rows: list[tuple[str, int, float, int]]) -> None:
    demands = [
        demand(area, millilitres, coat=coat, stage=stage, own_spread=0.1, shared_spread=0.1)
        for area, coat, millilitres, stage in rows
    ]
    (need,) = needs_of(demands)
    figures = need_figures(need)
    parts = ("on_surface", "overspray", "gun_losses", "test_cards")
    assert sum(figures[name].value for name in parts) == pytest.approx(figures["volume"].value)
    areas = area_figures(need)
    assert sum(figure.value for figure in areas.values()) == pytest.approx(need.mean)
    assert figures["volume"].value + figures["reserve"].value == pytest.approx(need.band[1])


def test_order_is_stage_then_coat_then_the_walk() -> None:
    rows = [
        demand("roof", 10, coat=2, stage=1),
        demand("bay", 10, coat=2),
        demand("door", 10),
        demand("bay", 10),
        demand("roof", 10, stage=1),
    ]
    (need,) = needs_of(rows)
    found = [(d.area, d.coat) for d in need.demands]
    assert found == [("door", 1), ("bay", 1), ("bay", 2), ("roof", 1), ("roof", 2)]


def test_each_product_has_its_own_need() -> None:
    needs = needs_of([demand("a", 10, product="etch"), demand("a", 20), demand("b", 5)])
    assert [(need.product, round(need.on_surface / ML, 6)) for need in needs] == [
        ("etch", 5.0),
        ("colour", 12.5),
    ]


def test_figures_say_where_they_come_from() -> None:
    (need,) = needs_of([demand("a", 500, own_spread=0.1, shared_spread=0.13)])
    figures = need_figures(need)
    volume = figures["volume"]
    assert volume.formula == "on the surface + overspray + left in cup and gun + test cards"
    assert volume.spread == need.band
    assert set(volume.inputs) >= {"on_surface", "overspray", "gun_losses", "test_cards"}
    assert all(figure.source for figure in figures.values())


@pytest.mark.parametrize(
    ("change", "words"),
    [
        (
            {"on_surface": 2e-4},
            "a, colour: 200 of 100 mL stay on the surface; no more can stay than leaves the gun",
        ),
        (
            {"coat": 0},
            "a, colour: a time, a spread or a coat number is negative; times and spreads start at "
            "0, coats at 1",
        ),
    ],
)
def test_impossible_demands_are_refused(change: dict[str, object], words: str) -> None:
    with pytest.raises(RangeError) as caught:
        demand("a", 100, **change)
    assert caught.value.sentence == words
