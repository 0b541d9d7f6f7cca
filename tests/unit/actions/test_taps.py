"""Taps: units read, sent twice kept once, the same thing done on two phones settled and shown."""

from datetime import UTC, datetime, timedelta

import pytest

from coatwright.actions.shop import Shop
from coatwright.actions.taps import read, take
from coatwright.errors import InputError
from coatwright.record.events import new_id
from coatwright.record.store.ledger import Record


@pytest.fixture
def shop(tmp_path):
    with Record(f"sqlite:///{tmp_path / 'record.db'}", tmp_path / "files") as record:
        yield Shop(record, tmp_path)


def tap(kind, who="painter", seen=0, **fields):
    return {
        "id": new_id(), "job": "car", "who": who, "kind": kind, "area": "bonnet", "seen": seen,
        "at": datetime.now(UTC).isoformat(), "fields": fields,
    }  # fmt: skip


@pytest.mark.parametrize(
    ("kind", "fields"),
    [
        ("days arranged", {}),
        ("described", {"file": "title = 'x'"}),
        ("corrected", {"event": "e" * 8, "why": "x", "body": {"kind": "days arranged"}}),
    ],
)
def test_what_only_the_app_writes_is_refused_in_a_sentence(shop, kind, fields):
    job = shop.start("A door", "painter")
    before = len(shop.record.events(job))
    tap = {"id": new_id(), "job": job, "who": "painter", "kind": kind, "fields": fields}
    with pytest.raises(InputError) as refused:
        take(shop, {**tap, "at": shop.clock().isoformat()})
    named = "described" if kind == "described" else "days arranged"
    assert refused.value.sentence == (
        f"'{named}' is written by the app alone, not by a tap; change an area, or plan the rest "
        "anew"
    )
    assert len(shop.record.events(job)) == before


def test_quantities_are_read_with_their_units():
    body = read(tap("cup weighed", product="epoxy", coat=1, before="812.4 g", after="0.61 kg")).body
    assert (body.before, body.after) == pytest.approx((0.8124, 0.61))
    climate = {"air": {"text": "64", "unit": "degF"}, "humidity": {"text": "55", "unit": "%"}}
    body = read(tap("climate read", **climate)).body
    # 64 F is (64 - 32) / 1.8 = 17.8 C.
    assert (body.air, body.humidity) == pytest.approx((290.928, 0.55), abs=1e-3)


def test_several_readings_in_one_line():
    given = {"text": "52; 48, 61\n55", "unit": "um"}
    body = read(tap("film read", method="gauge", readings=given)).body
    assert body.readings == pytest.approx((52e-6, 48e-6, 61e-6, 55e-6))
    body = read(tap("film read", method="gauge", readings="2.1 mil, 2.4 mil")).body
    assert body.readings == pytest.approx((2.1 * 25.4e-6, 2.4 * 25.4e-6))


@pytest.mark.parametrize(
    ("kind", "fields", "words"),
    [
        ("cup weighed", {"product": "e", "coat": 1, "before": "5 bar", "after": "1 g"}, "bar"),
        (
            "cup weighed",
            {"product": "e", "coat": 1, "before": "5 g; 6 g", "after": "1 g"},
            "one value",
        ),
        ("coat done", {"product": "e", "coat": 0}, "it must be at least 1"),
        ("dance", {}, "dance"),
        ("note", {}, "'text' is missing"),
    ],
)
def test_what_cannot_be_read_is_one_sentence(kind, fields, words):
    with pytest.raises(InputError) as caught:
        read(tap(kind, **fields))
    assert words in caught.value.sentence
    assert "\n" not in caught.value.sentence


def test_a_phone_with_a_wrong_clock_gets_ours():
    now = datetime(2026, 5, 4, 12, tzinfo=UTC)
    given = tap("note", text="x")
    for at in (now + timedelta(hours=3), now - timedelta(days=300)):
        assert read({**given, "at": at.isoformat()}, now).at == now
    late = now - timedelta(hours=6)
    assert read({**given, "at": late.isoformat()}, now).at == late


def test_the_clock_of_the_shop_decides_what_a_right_time_is(tmp_path):
    now = datetime(2026, 5, 4, 12, tzinfo=UTC)
    with Record(f"sqlite:///{tmp_path / 'record.db'}", tmp_path / "files") as record:
        shop = Shop(record, tmp_path, clock=lambda: now)
        soon = {**tap("note", text="x"), "at": (now - timedelta(hours=1)).isoformat()}
        assert take(shop, soon).event.at == now - timedelta(hours=1)
        assert take(shop, tap("note", text="y") | {"at": "2027-01-01T00:00:00Z"}).event.at == now


def test_sent_twice_is_kept_once(shop):
    given = tap("coat begun", product="epoxy", coat=1)
    first, second = take(shop, given), take(shop, given)
    assert first.event == second.event
    assert second.settled == ""
    assert len(shop.record.events("car")) == 1


def test_the_same_coat_begun_on_two_phones_is_settled_and_nothing_lost(shop):
    take(shop, tap("coat begun", product="epoxy", coat=1))
    other = take(shop, tap("coat begun", who="learner", product="epoxy", coat=1))
    assert other.settled.startswith("painter had noted this at ")
    assert other.event.body.kind == "note"
    assert "learner noted 'coat begun' too" in other.event.body.text
    assert len(shop.record.events("car")) == 2


def test_a_second_coat_after_seeing_the_first_is_no_clash(shop):
    first = take(shop, tap("coat begun", product="epoxy", coat=1))
    again = take(shop, tap("coat begun", product="epoxy", coat=1, seen=first.event.number))
    assert again.settled == ""
    assert again.event.body.kind == "coat begun"


def test_what_was_taken_back_clashes_with_nothing(shop):
    first = take(shop, tap("coat begun", product="epoxy", coat=1))
    shop.undo("car", "painter", first.event.id)
    assert take(shop, tap("coat begun", product="epoxy", coat=1)).settled == ""


def test_a_photo_is_kept_as_evidence(shop):
    kept = take(shop, tap("photographed", caption="sill"), b"\xff\xd8 picture", "sill.jpg").event
    assert shop.record.attachment(kept.evidence[0]) == b"\xff\xd8 picture"
