"""What may be billed: only what the owner said yes to. Amounts worked out by hand; all invented."""

from datetime import UTC, datetime, timedelta

import pytest

from coatwright.errors import Infeasible
from coatwright.record.account import ESTIMATE, Line, Terms, bill
from coatwright.record.events import (
    Approved,
    Corrected,
    ExtraProposed,
    PaidTime,
    Received,
    Refused,
    said,
)
from coatwright.record.fold import fold

TERMS = Terms("GBP", 36.0 / 3600, 0.2, {"block": "Blocking"})
PAINT = Line("paint", "paint", 1.0, "sum", 500.0)
NOON = datetime(2026, 5, 4, 12, tzinfo=UTC)


def story(*bodies, who="painter"):
    return [said("job", who, NOON + timedelta(hours=i), body) for i, body in enumerate(bodies)]


def propose(name=ESTIMATE, price=1200.0, high=1500.0):
    return ExtraProposed(
        extra=name, title=name, reason="r", price_low=0.8 * price, price=price, price_high=high
    )


def yes(name=ESTIMATE, most=None):
    return Approved(extra=name, by="the owner", how="by telephone", price_most=most)


def hours(count, act="block", extra=""):
    return PaidTime(act=act, seconds=3600.0 * count, extra=extra)


def billed(*bodies):
    return bill(fold("job", story(*bodies)), [PAINT], TERMS)


def test_nothing_without_a_yes():
    for bodies in ((), (propose(),), (propose(), Refused(extra=ESTIMATE, by="the owner"))):
        with pytest.raises(Infeasible, match="no yes of the owner to the estimate"):
            billed(*bodies, hours(10))


def test_hours_paint_tax_and_what_was_received():
    found = billed(propose(), yes(), hours(10), hours(5), Received(amount=300.0))
    assert [(line.title, line.net) for line in found.lines] == [
        ("Blocking", pytest.approx(15 * 36.0)),
        ("paint", 500.0),
    ]
    assert found.net == pytest.approx(1040.0)
    assert found.tax == pytest.approx(208.0)
    assert found.total == pytest.approx(1248.0)
    assert found.due == pytest.approx(948.0)
    assert found.unbilled == ()


def test_never_more_than_was_agreed():
    found = billed(propose(), yes(most=1100.0), hours(15))
    assert found.total == pytest.approx(1100.0)
    (above,) = found.unbilled
    assert above.amount == pytest.approx(148.0)
    assert above.why == "more than the 1100.00 GBP that the owner agreed to"


def test_without_a_limit_the_top_of_the_range_holds():
    found = billed(propose(high=1200.0), yes(), hours(15))
    assert found.total == pytest.approx(1200.0)


def test_extra_work_is_billed_at_the_price_agreed_and_only_with_a_yes():
    extras = propose("sill", 240.0, 300.0), propose("floor", 600.0), propose("door", 120.0)
    answers = yes("sill"), Refused(extra="floor", by="the owner")
    found = billed(propose(), yes(), *extras, *answers, hours(3, extra="sill"), hours(2))
    assert [line.key for line in found.lines] == ["block", "paint", "sill"]
    assert found.lines[-1].net == pytest.approx(200.0)
    assert {row.key: row.why for row in found.unbilled} == {
        "floor": "the owner said no",
        "door": "no answer is recorded yet",
    }
    assert [agreed.decision.by for agreed in found.agreed] == ["the owner", "the owner"]


def test_a_yes_up_to_less_than_the_price_holds():
    found = billed(propose(), yes(), propose("sill", 240.0), yes("sill", most=180.0))
    assert found.lines[-1].net == pytest.approx(150.0)


def test_a_yes_taken_back_by_a_correction_bills_nothing():
    events = story(propose(), yes(), propose("sill", 240.0), yes("sill"))
    struck = said(
        "job", "painter", NOON + timedelta(hours=9), Corrected(event=events[-1].id, why="misheard")
    )
    found = bill(fold("job", [*events, struck]), [PAINT], TERMS)
    assert [line.key for line in found.lines] == ["paint"]
    assert found.unbilled[0].key == "sill"


def test_time_on_work_nobody_proposed_is_told_and_not_billed():
    found = billed(propose(), yes(), hours(2, extra="hinge"))
    assert [line.key for line in found.lines] == ["paint"]
    assert found.unbilled[0].amount == pytest.approx(2 * 36 * 1.2)
    assert found.unbilled[0].why == "it was never put to the owner"


def test_a_dearer_proposal_needs_a_new_yes():
    found = billed(propose(), yes(), propose("sill", 240.0), yes("sill"), propose("sill", 480.0))
    assert [line.key for line in found.lines] == ["paint"]
    assert found.unbilled[0].amount == pytest.approx(480.0)
