"""The shop: jobs kept as events, changed one thing at a time, undone, planned once a version."""

import threading
from types import SimpleNamespace

import pytest

from coatwright.actions import shop as shops
from coatwright.actions.shop import Kept, Shop
from coatwright.errors import InputErrors, NotFound
from coatwright.record.events import Arrived, Described, said
from coatwright.record.store.ledger import Record


@pytest.fixture
def shop(tmp_path):
    with Record(f"sqlite:///{tmp_path / 'record.db'}", tmp_path / "files") as record:
        yield Shop(record, tmp_path)


def told(shop, key, what):
    return said(key, "painter", shop.clock(), Described(file="-", what=what))


def test_a_job_is_begun_and_opened_as_it_is_described(shop):
    key = shop.start("Larkfield 1300", "painter", demo=True)
    again = shop.start("Larkfield 1300", "painter", demo=True)
    assert (key, again) == ("larkfield-1300", "larkfield-1300-2")
    assert shop.jobs() == [key, again]
    assert len(shop.open(key).bench.job.areas) == 22
    with pytest.raises(NotFound, match="there is no job 'nothing'"):
        shop.open("nothing")


def test_a_job_begun_from_the_body_is_called_as_it_was_named(shop):
    key = shop.start("A roadster, open", "painter", demo=True)
    assert shop.open(key).bench.job.title == "A roadster, open"


def test_a_description_changed_before_its_turn_is_not_planned(shop, monkeypatch):
    key = shop.start("A roadster", "painter", demo=True)
    planned, first, go_on = [], threading.Event(), threading.Event()

    def built(job, workshop):
        planned.append(job.colour)
        first.set()
        assert go_on.wait(10)
        return SimpleNamespace(plan=job.colour)

    monkeypatch.setattr(shops, "built", built)
    askers = [threading.Thread(target=shop.plan, args=(key,))]
    askers[0].start()
    assert first.wait(10)
    for colour in ("a warm grey", "a cold grey"):
        shop.change(key, ("colour",), colour, told(shop, key, "colour"))
        askers.append(threading.Thread(target=shop.plan, args=(key,)))
        askers[-1].start()
    go_on.set()
    for asker in askers:
        asker.join(10)
    assert planned == ["solid dark green", "a cold grey"]
    assert shop.planned(key) == "a cold grey"


def test_changes_at_once_from_many_hands_are_all_kept(shop):
    key = shop.start("A roadster", "painter", demo=True)
    first = shop.open(key).bench.job.areas[0]

    def add(number):
        area = first.model_copy(update={"key": f"extra-{number}", "title": f"Extra {number}"})
        shop.change(key, ("areas", shops.LAST), area, told(shop, key, f"added {number}"))

    hands = [threading.Thread(target=add, args=(number,)) for number in range(6)]
    for hand in hands:
        hand.start()
    for hand in hands:
        hand.join()
    keys = {area.key for area in shop.open(key).bench.job.areas[22:]}
    assert keys == {f"extra-{number}" for number in range(6)}


def test_a_change_that_leaves_no_job_changes_nothing(shop):
    key = shop.start("A roadster", "painter", demo=True)
    before = shop.open(key).version
    same = shop.open(key).bench.job.areas[0]
    with pytest.raises(InputErrors, match="another area has the key"):
        shop.change(key, ("areas", 22), same, told(shop, key, "twice"))
    assert shop.open(key).version == before
    assert len(shop.record.events(key)) == 1


def test_undo_is_an_event_that_brings_back_what_was(shop):
    key = shop.start("A roadster", "painter", demo=True)
    before = shop.open(key).version
    changed = shop.change(key, ("colour",), "a warm grey", told(shop, key, "colour"))
    assert shop.open(key).bench.job.colour == "a warm grey"
    shop.undo(key, "painter", changed.id)
    assert shop.open(key).version == before
    assert len(shop.record.events(key)) == 3


def test_what_happens_is_kept_under_the_plan_that_counts(shop):
    key = shop.start("A roadster", "painter", demo=True)
    stored = shop.happened(key, "painter", Arrived(condition="dusty"))
    assert stored.plan == shop.open(key).version
    assert shop.open(key).state.arrived.condition == "dusty"


def test_a_plan_is_computed_once_however_many_ask(shop, monkeypatch):
    key = shop.start("A roadster", "painter", demo=True)
    made = []

    def built(*_):
        made.append(1)
        return SimpleNamespace(plan=object())

    monkeypatch.setattr(shops, "built", built)
    assert shop.planned(key) is None
    askers = [threading.Thread(target=shop.plan, args=(key,)) for _ in range(8)]
    for asker in askers:
        asker.start()
    for asker in askers:
        asker.join()
    assert made == [1]
    assert shop.planned(key) is shop.plan(key)
    shop.change(key, ("colour",), "a warm grey", told(shop, key, "colour"))
    assert shop.planned(key) is None


def test_the_oldest_is_let_go():
    kept = Kept[int]()
    for number in range(shops.KEPT + 1):
        kept.get(str(number), lambda number=number: number)
    assert kept.known("0") is None
    assert kept.known("1") == 1


def test_cards_are_made_anew_only_when_something_happened(shop, monkeypatch):
    one = shop.start("A roadster", "painter", demo=True)
    two = shop.start("A saloon", "painter")
    shop.write(said("shelf", "painter", shop.clock(), Arrived(condition="no job at all")))
    assert [card.key for card in shop.cards()] == [two, one]
    assert shop.cards()[1].colour == shop.open(one).bench.job.colour
    made = []
    real = shop.record.state

    def state(key, *until):
        made.append(key)
        return real(key, *until)

    monkeypatch.setattr(shop.record, "state", state)
    assert len(shop.cards()) == 2
    assert made == []
    shop.happened(one, "painter", Arrived(condition="dusty"))
    made.clear()
    assert [card.key for card in shop.cards()] == [one, two]
    assert made == [one]
