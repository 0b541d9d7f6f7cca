"""The work taken over: when it may be, by whom, once, withdrawn, and what came after it."""

from importlib.resources import files

import pytest

from coatwright.actions.floor import handover, owner
from coatwright.actions.shop import Shop
from coatwright.errors import InputError
from coatwright.record.events import DefectSeen, Finished, Note, Repaired, TakenOver
from coatwright.record.store.ledger import Record
from web_server import sprayed_board

TEXT = (files("coatwright") / "data" / "demo" / "practice-board.toml").read_text("utf-8")
SPOT = ("board", "primed")


@pytest.fixture(scope="module")
def painted(tmp_path_factory):
    """A shop whose board has every planned layer on, and the record as it was then."""
    with sprayed_board(tmp_path_factory.mktemp("shop")) as shop:
        yield shop


@pytest.fixture
def shop(painted):
    """The same, every event of the tests before taken back."""
    before = {event.id for event in painted.record.events("board")}
    yield painted
    struck = {one.body.event for one in painted.record.events("board", ("corrected",))}
    for event in painted.record.events("board"):
        if event.id not in before | struck and event.body.kind != "corrected":
            painted.undo("board", "painter", event.id)


def taken(shop, name="the owner", remarks="", seen=10**9):
    return handover.take_over(shop, owner.link(shop, "board"), name, remarks, seen)


def test_what_lies_there_is_told_once_for_all_its_places(shop):
    found = handover.handing_of(shop, "board")
    title = shop.open("board").bench.library["solid-two-pack"].title
    assert [(one.layers, one.places) for one in found.lies] == [((title,), ("Board, front",))]
    assert (found.complete, found.asked, found.missing, found.taken) == (True, True, (), None)


def test_taken_over_with_name_and_remarks_through_the_page(shop):
    event = taken(shop, "  the owner ", " a run at the lower edge ")
    assert event.body == TakenOver(
        by="the owner", how="through the owner's page", remarks="a run at the lower edge"
    )
    found = handover.handing_of(shop, "board")
    assert (found.taken.by, found.taken.remarks) == ("the owner", "a run at the lower edge")
    assert not found.asked
    assert found.since == ()


def test_sent_twice_it_counts_once(shop):
    first, again = taken(shop), taken(shop)
    assert first.id == again.id
    assert [one.place.event for one in shop.open("board").state.handovers] == [first.id]
    assert shop.open("board").state.doubts == ()


def test_withdrawn_it_may_be_taken_over_again(shop):
    shop.undo("board", "painter", taken(shop).id, "signed for the wrong job")
    assert shop.open("board").state.taken_over is None
    assert handover.handing_of(shop, "board").asked
    assert taken(shop, "another owner").body.by == "another owner"


def test_what_happens_after_it_is_told_and_it_may_be_taken_over_anew(shop):
    taken(shop)
    shop.happened("board", "painter", Note(text="a word"), *SPOT)
    assert handover.handing_of(shop, "board").since == ()
    seen = shop.happened("board", "painter", DefectSeen(defect="runs", note="low"), *SPOT)
    shop.happened("board", "painter", Repaired(defect=seen.id, how="cut flat"), *SPOT)
    found = handover.handing_of(shop, "board")
    assert [(one.what, one.where, one.who) for one in found.since] == [
        ("defect seen", "Board, front", "painter"), ("repaired", "Board, front", "painter"),
    ]  # fmt: skip
    assert found.asked
    taken(shop, "the owner", "well")
    state = shop.open("board").state
    assert [one.remarks for one in state.handovers] == ["", "well"]
    assert handover.handing_of(shop, "board").since == ()


def test_nobody_takes_over_what_they_have_not_seen(shop):
    seen = shop.open("board").state.number
    shop.happened("board", "painter", DefectSeen(defect="runs"), *SPOT)
    with pytest.raises(InputError, match="something has been noted since this page was opened"):
        taken(shop, seen=seen)
    assert taken(shop, seen=shop.open("board").state.number).body.kind == "taken over"


def test_money_and_notes_in_between_are_no_reason_to_look_again(shop):
    seen = shop.open("board").state.number
    shop.happened("board", "painter", Note(text="rain"))
    assert taken(shop, seen=seen).body.kind == "taken over"


def test_without_a_name_nothing_is_taken_over(shop):
    with pytest.raises(InputError, match="taking it over needs a name"):
        taken(shop, "   ")


def test_open_defects_are_named_until_they_are_put_right(shop):
    seen = shop.happened("board", "painter", DefectSeen(defect="runs", note="left edge"), *SPOT)
    (one,) = handover.handing_of(shop, "board").defects
    assert (one.event, one.where) == (seen.id, "Board, front")
    assert one.what.endswith(": left edge")
    shop.happened("board", "painter", Repaired(defect=seen.id, how="cut flat"), *SPOT)
    assert handover.handing_of(shop, "board").defects == ()


def test_unfinished_work_is_taken_over_only_if_the_shop_puts_it_so(tmp_path):
    with Record(f"sqlite:///{tmp_path / 'record.db'}", tmp_path / "files") as record:
        shop = Shop(record, tmp_path)
        shop.take_in("board", TEXT, "painter")
        with pytest.raises(InputError, match="the work is not finished"):
            taken(shop)
        found = handover.handing_of(shop, "board")
        assert (found.lies, found.missing, found.asked) == ((), ("Board, front",), False)
        shop.happened("board", "painter", Finished(note="the colour"))
        assert handover.handing_of(shop, "board").asked
        assert taken(shop).body.by == "the owner"
