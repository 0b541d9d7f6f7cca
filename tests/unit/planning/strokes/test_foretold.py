"""Recipes with what was learned put to them."""

import math

import pytest

from coatwright.engines import learning
from coatwright.engines.learning import CLASSES, Observation
from coatwright.planning.strokes.foretold import LEARNED, foretold
from sample_plan import recipe

OWN = recipe("roof", "roof", "epoxy")
UNTAUGHT = {name: learning.pooled([], CLASSES[name]) for name in LEARNED}


def taught(**values: float) -> dict[str, learning.Pool]:
    """Pools after forty steady readings of each parameter, on ten jobs, by this recipe's own."""
    own = OWN
    keys = {"painter": own.hand, "gun": own.gun, "product": own.product}
    pools = dict(UNTAUGHT)
    for name, value in values.items():
        seen = [Observation(value, keys | {"job": str(i % 10)}) for i in range(40)]
        pools[name] = learning.pooled(seen, CLASSES[name])
    return pools


def test_untaught_the_plan_stands_and_the_spread_is_wide():
    own = OWN
    one, whole = foretold([own], UNTAUGHT, "next")
    assert one.paint.value == pytest.approx(own.paint.value, rel=0.02)
    assert one.film is not None
    assert one.film.value == pytest.approx(own.dry_total.value, rel=0.05)
    assert one.paint.basis == "assumed"
    low, high = one.paint.spread
    assert high / low > 1.3
    assert (whole.key, whole.film) == ("job", None)
    assert whole.paint.value == one.paint.value


def test_a_fast_hand_uses_less_paint_lays_less_and_is_done_sooner():
    own = OWN
    one, _ = foretold([own], taught(speed=math.log(1.2), flow=0.0), "next")
    assert one.paint.value == pytest.approx(own.paint.value / 1.2, rel=0.03)
    turns = own.spray_minutes.value - own.trigger_time.value
    assert one.minutes.value == pytest.approx(own.trigger_time.value / 1.2 + turns, rel=0.03)
    assert one.film is not None
    assert one.film.value < 0.9 * own.dry_total.value
    assert one.paint.basis == "measured"


def test_learning_narrows_the_spread():
    own = OWN
    [before, _], [after, _] = (
        foretold([own], pools, "next") for pools in (UNTAUGHT, taught(speed=0.0, flow=0.0))
    )
    widths = [row.paint.spread[1] - row.paint.spread[0] for row in (before, after)]
    assert widths[1] < 0.6 * widths[0]


def test_recipes_of_one_gun_do_not_even_out():
    own = OWN
    *parts, whole = foretold([own] * 6, UNTAUGHT, "next")
    share = [
        (row.paint.spread[1] - row.paint.spread[0]) / row.paint.value for row in (parts[0], whole)
    ]
    assert share[1] > 0.8 * share[0]
    assert whole.paint.value == pytest.approx(6 * own.paint.value, rel=0.02)


def test_no_recipes_no_forecast():
    assert foretold([], UNTAUGHT, "next") == ()
