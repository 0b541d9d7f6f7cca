"""Money of a job from plan and record together, on the invented practice board."""

from datetime import date, timedelta
from importlib.resources import files

import pytest

from coatwright.actions import money
from coatwright.actions.shop import Shop
from coatwright.errors import Infeasible
from coatwright.record.events import (
    Approved,
    Bought,
    CoatBegun,
    CoatDone,
    Event,
    ExtraProposed,
    Mixed,
    PaidTime,
    Received,
    said,
)
from coatwright.record.store.ledger import Record

TEXT = (files("coatwright") / "data" / "demo" / "practice-board.toml").read_text("utf-8")


@pytest.fixture(scope="module")
def board(tmp_path_factory):
    """One plan for all: kept in the shop of the module, copied by nobody."""
    folder = tmp_path_factory.mktemp("shop")
    with Record(f"sqlite:///{folder / 'record.db'}", folder / "files") as record:
        yield Shop(record, folder)


@pytest.fixture
def key(board, request):
    name = request.node.name.replace("_", "-")[:60]
    board.take_in(name, TEXT, "painter")
    return name


def note(shop, key, body, area="", patch="") -> Event:
    return shop.happened(key, "painter", body, area, patch)


def test_before_work_begins_the_forecast_is_the_estimate(board, key):
    found = money.account(board, key)
    plan = board.plan(key)
    assert found.estimate == plan.cost.total
    # Its middle is the middle of the estimate's own distribution, drawn the other way round.
    assert found.forecast.value == pytest.approx(plan.cost.half.value, rel=0.03)
    assert found.spent.value == 0
    assert "No yes of the owner" in found.warning


def test_hours_and_packs_are_spent_with_tax(board, key):
    note(board, key, PaidTime(act="spraying", seconds=1800.0))
    pack = Bought(product="epoxy", component="epoxy-base", volume=1e-3, price=40.0, lot="L1")
    note(board, key, pack)
    workshop = board.open(key).bench.job.workshop
    found = money.account(board, key)
    expected = (0.5 * workshop.rates.hour.amount + 40.0) * (1 + workshop.rates.tax)
    assert found.spent.value == pytest.approx(expected)


def test_slow_work_moves_the_forecast_up(board, key):
    before = money.account(board, key)
    longest = max(before.kinds, key=lambda kind: kind.estimate.value)
    note(board, key, PaidTime(act=longest.key, seconds=3 * longest.estimate.value))
    after = money.account(board, key)
    assert after.forecast.value > before.forecast.value
    kind = next(kind for kind in after.kinds if kind.key == longest.key)
    assert kind.ahead.value > 3 * longest.estimate.value


def test_coats_done_count_as_shares_of_the_spraying(board, key):
    plan = board.plan(key)
    patch = plan.areas[0].patches[0]
    layer = patch.layers[0]
    spot = plan.areas[0].key, patch.key
    assert money.shares_done(plan, board.open(key).state)["spraying"] == 0
    note(board, key, CoatBegun(product=layer.product, coat=1), *spot)
    note(board, key, CoatDone(product=layer.product, coat=1), *spot)
    coats = sum(
        round(one.coats.value) * p.surface.value
        for area in plan.areas
        for p in area.patches
        for one in p.layers
    )
    share = money.shares_done(plan, board.open(key).state)["spraying"]
    assert share == pytest.approx(patch.surface.value / coats)


def test_estimate_answer_extra_and_invoice(board, key):
    with pytest.raises(Infeasible, match="no yes of the owner"):
        money.invoice(board, key)
    money.estimate_put(board, key, "painter")
    money.answer(board, key, "estimate", True, "the owner", "in person")
    extra = ExtraProposed(
        extra="sill", title="a new sill", reason="rust", price_low=80, price=100, price_high=130
    )
    note(board, key, extra)
    assert money.account(board, key).asked.value == 100.0
    before = money.invoice(board, key).total
    note(board, key, Approved(extra="sill", by="the owner", how="by telephone"))
    note(board, key, Received(amount=50.0))
    after = money.invoice(board, key)
    assert after.total == pytest.approx(before + 100.0)
    assert after.due == pytest.approx(after.total - 50.0)
    found = money.account(board, key)
    assert found.received.value == 50.0
    assert found.warning == ""


def test_the_owner_is_to_be_told_when_it_grows_past_what_was_agreed(board, key):
    money.estimate_put(board, key, "painter")
    note(board, key, Approved(extra="estimate", by="the owner", price_most=10.0))
    assert "more than was agreed: tell the owner now" in money.account(board, key).warning


def test_the_shelf_of_all_jobs_shortens_the_list(board, key):
    today = date(2026, 5, 4)
    (first, *_) = money.to_buy(board, key, today)
    held = first.need.spread[1]
    component = next(
        c
        for product in board.plan(key).products
        for c in board.open(key).bench.library[product.key].components
        if first.key.endswith(c.key)
    )
    product = next(
        p.key for p in board.plan(key).products
        if component in board.open(key).bench.library[p.key].components
    )  # fmt: skip
    pack = Bought(
        product=product, component=component.key, volume=held * 1.01, lot="S1",
        expiry="2026-12-31", density=component.density,
    )  # fmt: skip
    stored = said("shelf-" + key[:20], "painter", board.clock(), pack)
    board.write(stored)
    again = next(p for p in money.to_buy(board, key, today) if p.key == first.key)
    assert dict(again.packs) == {}
    late = money.to_buy(board, key, today + timedelta(days=400))
    assert dict(next(p for p in late if p.key == first.key).packs) == dict(first.packs)
    assert any(row.tin.lot == "S1" for row in money.on_shelf(board))
    mixed = Mixed(mix="m", product=product, parts={component.key: 0.05}, lots={component.key: "S1"})
    note(board, key, mixed)
    (row,) = [row for row in money.on_shelf(board) if row.tin.lot == "S1"]
    assert row.left == pytest.approx(held * 1.01 - 0.05 / component.density)
