"""Demands in plain words."""

import pytest

from coatwright.engines.timetable.clashes import KINDS, Clash, Demand, Widening
from coatwright.planning.day.sets import AreaSet
from coatwright.planning.day.steps import Bout, Piece, Steps
from coatwright.planning.day.told.clashing import Names, moment, time_told, told
from day_floor import area, layer, sheet

SETS = (AreaSet("wing", (area("wing", layer(sheet("paint"))),)),)
COAT = Bout(
    "wing.paint.coat-1", "wing", "coat", "spray", "paint", (Piece("wing", "wing", 10, ""),), 1
)
WIPE = Bout("wing.paint.degrease", "wing", "degrease", "work", "paint", COAT.pieces)
STEPS = Steps((COAT, WIPE), ())
KEYS = {
    "count": ("colour-gun",), "cleaning": ("colour-gun",), "away": ("learner",),
    "life": ("paint",), "capacity": ("paint",), "horizon": (), "shut": (), "hands": ("learner",),
    "most": (WIPE.key, COAT.key), "least": (WIPE.key, COAT.key), "apart": (WIPE.key, COAT.key),
}  # fmt: skip


@pytest.mark.parametrize("kind", KINDS)
def test_every_kind_of_demand_has_words_without_keys(kind):
    demand = Demand(kind, KEYS.get(kind, (COAT.key,)), 0, 90)
    words = Names(STEPS, SETS).demand(demand)
    assert "wing.paint" not in words
    assert len(words.split()) > 3


def test_a_named_demand_says_its_bound():
    names = Names(STEPS, SETS)
    lag = Demand("most", (WIPE.key, COAT.key), 0, 240, "the recoat window of paint closes", 7)
    assert names.demand(lag) == "the recoat window of paint closes (at most 4 h)"
    order = Demand("least", (WIPE.key, COAT.key), 0, 0, "after")
    assert names.demand(order) == "coat 1 of paint on wing comes after degrease on wing"


def test_the_way_out_names_the_cheapest_and_each_that_is_enough():
    lag = Demand("most", (WIPE.key, COAT.key), 0, 240, "the recoat window closes", 7)
    night = Demand("shut", (), 0)
    found = told(
        Clash((COAT.key,), (lag, night), True, (lag,), 7, True, (Widening(night, 90),)), STEPS, SETS
    )
    assert found.text == "No day works. These cannot all be done: coat 1 of paint on wing."
    assert found.way_out.startswith("Any one of these is enough. Cheapest: let it lapse and key it")
    assert "stay open 90 min longer every evening" in found.way_out
    assert found.price is not None
    assert found.price.value == 7.0
    assert found.proven


def test_without_a_way_out_it_says_so():
    night = Demand("shut", (), 0)
    found = told(Clash((COAT.key,), (night,), False, None, 0, False, ()), STEPS, SETS)
    assert found.way_out.startswith("No single change")
    assert found.price is None
    assert not found.proven


def test_times_in_words():
    assert [time_told(n) for n in (90, 120, 150)] == ["90 min", "2 h", "2.5 h"]
    assert moment(1440 + 8 * 60 + 5) == "day 2, 08:05"
