"""Film readings: every spot against its limits, rules clause by clause, what may be rubbed off."""

import math
from importlib.resources import files

import pytest
from scipy import stats

from coatwright.actions.checking.films import _rub, film_sheet
from coatwright.actions.shop import Shop
from coatwright.actions.taps import take
from coatwright.errors import NotFound
from coatwright.figures import Figure
from coatwright.planning.plan import Rub
from coatwright.record.events import FilmRead, new_id
from coatwright.record.films import LayerFilm
from coatwright.record.state import Film
from coatwright.record.store.ledger import Record

TEXT = (files("coatwright") / "data" / "demo" / "practice-board.toml").read_text("utf-8")
SPOT = ("board", "primed")
PRODUCT = "solid-two-pack"


def tapped(shop, kind, **fields):
    tap = {
        "id": new_id(), "job": "board", "who": "painter", "kind": kind, "fields": fields,
        "area": "board", "patch": "primed", "at": shop.clock().isoformat(), "seen": 10**9,
    }  # fmt: skip
    return take(shop, tap).event


@pytest.fixture(scope="module")
def shop(tmp_path_factory):
    """The board with its three coats on, each as planned."""
    folder = tmp_path_factory.mktemp("shop")
    with Record(f"sqlite:///{folder / 'record.db'}", folder / "files") as record:
        made = Shop(record, folder)
        made.take_in("board", TEXT, "painter")
        made.plan("board")
        for coat in (1, 2, 3):
            tapped(made, "coat begun", product=PRODUCT, coat=coat, gun="colour-gun")
            tapped(made, "coat done", product=PRODUCT, coat=coat)
        yield made


@pytest.fixture
def least(shop):
    patch = shop.open("board").state.patch(*SPOT)
    return patch.layers[-1].last.planned.least


def gauged(shop, *films):
    event = shop.happened("board", "painter", FilmRead(method="gauge", readings=films), *SPOT)
    sheet = film_sheet(shop, "board", *SPOT)
    found = next(one for one in sheet.readings if one.event == event.id)
    shop.undo("board", "painter", event.id)
    return found


def test_a_patch_that_is_not_there_is_said(shop):
    with pytest.raises(NotFound, match="bonnet"):
        film_sheet(shop, "board", "bonnet", "whole")


def test_an_even_film_passes_both_rules(shop, least):
    found = gauged(shop, *[1.1 * least] * 15)
    assert [(rule.rule, rule.verdict) for rule in found.rules] == [
        ("ISO 19840", "passes"),
        ("SSPC-PA 2", "passes"),
    ]
    assert {spot.lies for spot in found.spots} == {"within"}


def test_one_reading_under_80_per_cent_fails_iso_19840_and_says_which_clause(shop, least):
    """ISO 19840: every single reading at least 80 % of the nominal film (source iso-19840).

    SSPC-PA 2 judges means of three (source sspc-pa-2): the same reading does not fail it.
    """
    films = [1.1 * least] * 15
    films[4] = 0.79 * least
    found = gauged(shop, *films)
    iso, pa2 = found.rules
    failed = [clause for clause in iso.clauses if not clause.passed]
    assert (iso.verdict, len(failed)) == ("does not pass", 1)
    assert failed[0].found.value == pytest.approx(0.79 * least)
    assert failed[0].limit.value == pytest.approx(0.8 * least)
    assert pa2.verdict == "passes"
    assert found.spots[4].lies == "too little"


def test_light_and_too_much_are_told_apart(shop, least):
    most = gauged(shop, least).most.value
    found = gauged(shop, 0.9 * least, 1.01 * most, least)
    assert [spot.lies for spot in found.spots] == ["light", "too much", "within"]


def test_few_readings_are_not_judged_by_spots(shop, least):
    found = gauged(shop, least, least, least)
    assert (found.rules[1].verdict, found.rules[1].clauses) == ("not judged", ())
    assert "5 spots of 3" in found.rules[1].why


def test_comb_readings_stand_against_the_wet_film_planned(shop):
    coat = shop.open("board").state.patch(*SPOT).layers[-1].coats[2]
    wet, run = coat.planned.wet, coat.planned.run_limit
    event = shop.happened(
        "board", "painter",
        FilmRead(method="wet comb", product=PRODUCT, coat=3, readings=(wet, 0.5 * wet, 1.1 * run),
                 steps=(1.2 * wet, 0.6 * wet, 1.3 * run)), *SPOT,
    )  # fmt: skip
    found = next(one for one in film_sheet(shop, "board", *SPOT).readings if one.event == event.id)
    shop.undo("board", "painter", event.id)
    assert [spot.lies for spot in found.spots] == ["within", "light", "too much"]
    assert found.least.value == pytest.approx(wet)
    assert found.rules == ()


def test_reserve_is_the_film_found_less_the_sheets_least(shop, least):
    found = film_sheet(shop, "board", *SPOT).reserve
    assert found.above.value == pytest.approx(found.film.value - least)


def test_chance_of_breaking_through_against_a_draw_of_lognormals():
    """Film and loss lognormal and independent: the share of draws in which the loss is more."""

    def share(value):
        return Figure(value, "fraction", "formula", "")

    takes = Figure(30e-6, "film", "formula", "", spread=(20e-6, 40e-6))
    rub = Rub("P320", "P320", takes, takes, share(0.0), "")
    film = LayerFilm(PRODUCT, Film(60e-6, 12e-6, "planned"), Film(50e-6, 5e-6, "measured"), 0.0, 9)
    _, _, _, chance = _rub(rub, film)
    draws = 400_000

    def lognormal(mean, deviation, seed):
        shape = math.sqrt(math.log1p((deviation / mean) ** 2))
        scale = mean / (1 + (deviation / mean) ** 2) ** 0.5
        return stats.lognorm.rvs(shape, scale=scale, size=draws, random_state=seed)

    films = lognormal(50e-6, 13e-6, 1)  # 5 from place to place of the mean, 12 from spot to spot
    losses = lognormal(30e-6, 20e-6 / 2.5631, 2)
    assert chance.value == pytest.approx((losses > films).mean(), abs=3e-3)
