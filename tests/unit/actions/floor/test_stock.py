"""Tins bought and counted for the shop itself. All invented."""

from datetime import date

import pytest

from coatwright.actions.floor.stock import bought, components, counted, shelf_today
from coatwright.actions.shop import Shop
from coatwright.errors import InputError
from coatwright.record.store.ledger import Record

TIN = {"tin": "epoxy epoxy-base", "volume": "1", "lot": "A1", "expiry": "2027-03-31", "packs": "2"}
TODAY = date(2026, 6, 1)


@pytest.fixture
def shop(tmp_path):
    with Record(f"sqlite:///{tmp_path / 'record.db'}", tmp_path / "files") as record:
        yield Shop(record, tmp_path)


def test_bought_counted_and_thrown_away(shop):
    assert "epoxy epoxy-base" in components()
    bought(shop, "painter", {**TIN, "price": "60"})
    ((row, past),) = shelf_today(shop, TODAY)
    assert (row.left, row.price, past) == (pytest.approx(2e-3), 60.0, False)
    assert shelf_today(shop, date(2027, 4, 1))[0][1]
    counted(shop, "painter", {**TIN, "volume": "350 mL"})
    assert shelf_today(shop, TODAY)[0][0].left == pytest.approx(0.35e-3)
    counted(shop, "painter", {**TIN, "volume": "0"})
    assert shelf_today(shop, TODAY) == []
    assert shop.cards() == []  # the shop itself is no job


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"tin": "paint paint"}, "no such tin"),
        ({"volume": "much"}, "much"),
        ({"expiry": "soon"}, "'soon' is no date"),
        ({"packs": "0"}, "greater than or equal to 1"),
        ({"price": "dear"}, "a number cannot be read"),
    ],
)
def test_what_is_wrong_is_one_sentence(shop, change, words):
    with pytest.raises(InputError) as caught:
        bought(shop, "painter", {**TIN, **change})
    assert words in caught.value.sentence
    assert shop.record.events("shop") == []
