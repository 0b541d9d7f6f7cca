"""What the shop's own readings teach, and what that makes of a plan; on the practice board."""

from importlib.resources import files

import pytest

from coatwright.actions.learned import foretold_for, learned_by
from coatwright.actions.planned import planned_coat
from coatwright.actions.shop import Shop
from coatwright.record.events import CoatBegun, CoatDone, CupWeighed
from coatwright.record.store.ledger import Record

TEXT = (files("coatwright") / "data" / "demo" / "practice-board.toml").read_text("utf-8")


@pytest.fixture(scope="module")
def shop(tmp_path_factory):
    folder = tmp_path_factory.mktemp("shop")
    with Record(f"sqlite:///{folder / 'record.db'}", folder / "files") as record:
        made = Shop(record, folder)
        made.take_in("board", TEXT, "painter")
        yield made


def spray(shop, used):
    """Every coat of the first sprayed layer, `used` times the paint that was planned."""
    plan, bench = shop.plan("board"), shop.open("board").bench
    recipe = next(iter(plan.recipes.values()))
    area = next(a for a in plan.areas if a.key == recipe.area)
    patch = next(p for p in area.patches if any(x.product == recipe.product for x in p.layers))
    planned = planned_coat(bench, plan, area.key, recipe.product, patch.key)
    for coat in range(1, round(recipe.coats.value) + 1):
        mass = used * planned.paint * planned.density
        begun = CoatBegun(
            product=recipe.product, coat=coat, planned=planned, gun=recipe.gun, hand=recipe.hand
        )
        for body in (
            begun,
            CoatDone(product=recipe.product, coat=coat, trigger=planned.trigger),
            CupWeighed(product=recipe.product, coat=coat, before=0.5 + mass, after=0.5),
        ):
            shop.happened("board", "painter", body, area.key, patch.key)
    return recipe


def test_a_gun_that_takes_more_is_foretold_to_take_more(shop):
    before = foretold_for(shop, "board", learned_by(shop))
    for row in before[:-1]:
        # Nothing read yet: the plan lies within what the class allows.
        planned = shop.plan("board").recipes[row.key].paint.value
        assert row.paint.spread[0] < planned < row.paint.spread[1]
    recipe = spray(shop, 1.3)
    after = foretold_for(shop, "board", learned_by(shop))
    one, other = (next(r for r in rows if r.key == recipe.key) for rows in (before, after))
    assert one.paint.value < other.paint.value < 1.31 * recipe.paint.value
    width = [row.paint.spread[1] / row.paint.spread[0] for row in (one, other)]
    assert width[1] < width[0]
    known = learned_by(shop)
    assert any(row.parameter == "flow" and row.member == recipe.gun for row in known.taught)
