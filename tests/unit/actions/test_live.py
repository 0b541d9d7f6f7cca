"""The live day on the starter job, one door: joined with the record, clocks, planned anew.

What is checked stands outside the join itself: the moments of the events, and the waits that the
product sheets of the job state.
"""

from dataclasses import replace
from datetime import datetime, timedelta

import pytest

from coatwright.actions.live import following
from coatwright.actions.live.filling import filled
from coatwright.actions.live.tapping import taps_of, waits_of
from coatwright.actions.live.turns import turns_of
from coatwright.actions.shop import Shop
from coatwright.actions.taps import read, take
from coatwright.record.events import (
    CoatBegun,
    CoatDone,
    Corrected,
    Degreased,
    Mixed,
    WorkBegun,
    WorkDone,
    new_id,
    said,
)
from coatwright.record.store.ledger import Record

EIGHT = datetime(2031, 5, 5, 8, 0).astimezone()
ME = "The painter"


@pytest.fixture(scope="module")
def shop(tmp_path_factory):
    """One shop for all: its jobs are alike, so they share the plan and the days."""
    folder = tmp_path_factory.mktemp("shop")
    with Record(f"sqlite:///{folder / 'record.db'}", folder / "files") as record:
        yield Shop(record, folder, clock=lambda: EIGHT)


@pytest.fixture
def job(shop):
    key = shop.start("Door", ME)
    shop.days(key)
    return key


def at(minutes: float) -> datetime:
    return EIGHT + timedelta(minutes=minutes)


def note(shop, job, minutes, body, area="door"):
    return shop.write(said(job, ME, at(minutes), body, area))


def look(shop, job, minutes):
    live = following.look(shop, job, at(minutes))
    assert live is not None
    return live


def states(live):
    return {turn.entry.key: turn.state for turn in live.turns}


def test_nothing_is_shown_before_the_days_are_arranged(tmp_path):
    with Record(f"sqlite:///{tmp_path / 'record.db'}", tmp_path / "files") as record:
        shop = Shop(record, tmp_path)
        assert following.look(shop, shop.start("Door", ME)) is None


def test_what_is_noted_is_done_under_way_and_next(shop, job):
    live = look(shop, job, 0)
    assert set(states(live).values()) == {"planned"}
    assert live.due("me")[0].entry.act == "mix"
    note(shop, job, 5, Mixed(mix="epoxy-1", product="epoxy", parts={}), area="")
    note(shop, job, 6, WorkBegun(act="degrease", product="epoxy"))
    live = look(shop, job, 7)
    assert states(live)["mix.epoxy-1"] == "done"
    assert states(live)["door.epoxy.degrease.door"] == "begun"
    assert live.due("me")[0].entry.key == "door.epoxy.degrease.door"
    assert live.just_done("me").entry.key == "mix.epoxy-1"
    note(shop, job, 9, Degreased())
    assert look(shop, job, 10).due("me")[0].entry.key == "door.epoxy.coat-1.door"


def test_the_second_time_the_same_work_is_noted_is_the_second_entry(shop, job):
    """The door is wiped down before every layer: one wipe is not all three."""
    note(shop, job, 5, Degreased())
    wiped = [turn.state for turn in look(shop, job, 6).turns if turn.entry.act == "degrease"]
    assert wiped == ["done", "planned", "planned"]
    note(shop, job, 60, Degreased())
    wiped = [turn.state for turn in look(shop, job, 61).turns if turn.entry.act == "degrease"]
    assert wiped == ["done", "done", "planned"]


def two_stir(live):
    """The day with the mix as two: one for whoever has it now, one for Ash, side by side."""
    mix = next(turn.entry for turn in live.turns if turn.entry.act == "mix")
    mine = live.days.people[0]
    pots = [
        replace(mix, key="mix.epoxy-1", mix="epoxy-1", people=(mine.key,)),
        replace(mix, key="mix.epoxy-2", mix="epoxy-2", people=("ash",)),
    ]
    people = (mine, replace(mine, key="ash", title="Ash"))
    return replace(live.days, entries=tuple(pots), people=people, mixes=())


@pytest.mark.parametrize("first", ["Ash", ME])
def test_two_who_stir_the_same_paint_at_once_have_each_their_own(shop, job, first):
    days = two_stir(look(shop, job, 0))
    second = ME if first == "Ash" else "Ash"
    work = WorkBegun(act="mix", product="epoxy")
    events = [
        said(job, first, at(0), work),
        said(job, second, at(1), work),
        said(job, first, at(5), Mixed(mix="a", product="epoxy", parts={})),
    ]

    def told(upto):
        _, turns = turns_of(days, events[:upto], at(6))
        return {turn.entry.people[0]: turn.state for turn in turns}

    key = {"Ash": "ash", ME: days.people[0].key}
    assert told(1) == {key[first]: "begun", key[second]: "planned"}
    assert told(2) == {key[first]: "begun", key[second]: "begun"}
    assert told(3) == {key[first]: "done", key[second]: "begun"}


def test_a_mix_is_not_called_what_another_is_called_already(shop, job):
    """A pot was made under the name that the days have for the one still to come."""
    note(shop, job, 5, Mixed(mix="epoxy-2", product="epoxy", parts={}), area="")
    live = look(shop, job, 6)
    days = two_stir(live)
    _, turns = turns_of(days, shop.record.events(job), at(6))
    live = replace(live, days=days, turns=turns)
    made, left = sorted(turns, key=lambda turn: turn.state)
    assert (made.state, left.state, left.entry.mix) == ("done", "planned", "epoxy-2")
    called = taps_of(live, left, ME).done.fields["mix"]
    note(shop, job, 9, Mixed(mix=called, product="epoxy", parts={}), area="")
    state = shop.record.state(job)
    assert set(state.mixes) == {"epoxy-2", called}
    assert state.doubts == ()


def test_a_tap_taken_back_is_planned_again(shop, job):
    begun = note(shop, job, 20, CoatBegun(product="epoxy", coat=1))
    done = note(shop, job, 23, CoatDone(product="epoxy", coat=1))
    assert states(look(shop, job, 24))["door.epoxy.coat-1.door"] == "done"
    shop.write(said(job, ME, at(25), Corrected(event=done.id, why="taken back")))
    assert states(look(shop, job, 26))["door.epoxy.coat-1.door"] == "begun"
    shop.write(said(job, ME, at(27), Corrected(event=begun.id, why="taken back")))
    assert states(look(shop, job, 28))["door.epoxy.coat-1.door"] == "planned"


def test_paint_that_is_sprayed_was_mixed(shop, job):
    note(shop, job, 20, CoatBegun(product="epoxy", coat=1))
    assert states(look(shop, job, 21))["mix.epoxy-1"] == "done"


def spray(shop, job, minutes, coat):
    """A coat by a tap, as a phone sends it: without the figures of the plan."""
    fields = {"product": "epoxy", "coat": coat, "hand": "me"}
    tap = {"id": new_id(), "job": job, "who": ME, "kind": "coat begun", "area": "door",
           "fields": fields, "at": at(minutes).isoformat()}  # fmt: skip
    event = read(tap, at(minutes)).model_copy(update={"at": at(minutes)})
    shop.write(filled(shop, event))
    note(shop, job, minutes + 3, CoatDone(product="epoxy", coat=coat))


def test_the_figures_of_the_plan_come_with_a_coat(shop, job):
    note(shop, job, 5, Mixed(mix="epoxy-1", product="epoxy", parts={}, pot_life=7200.0), area="")
    spray(shop, job, 20, 1)
    coat = shop.record.state(job).patch("door").last_coat
    layer = shop.plan(job).areas[0].patches[0].layers[0]
    assert coat.planned.dry * layer.coats.value == pytest.approx(layer.laid.value)
    assert coat.planned.flash == layer.flash.value
    assert coat.planned.paint > 0
    assert coat.mix == "epoxy-1"


def test_of_two_pots_a_coat_takes_the_one_the_days_have_for_it(shop, job):
    """Two pots of epoxy stand there; the days lay both coats from the first."""
    for minutes, name in ((5, "epoxy-1"), (8, "other")):
        mixed = Mixed(mix=name, product="epoxy", parts={}, pot_life=7200.0)
        note(shop, job, minutes, mixed, area="")
    spray(shop, job, 20, 1)
    assert shop.record.state(job).patch("door").last_coat.mix == "epoxy-1"
    # Past its pot life it is no longer the one.
    spray(shop, job, 126, 2)
    assert shop.record.state(job).patch("door").last_coat.mix == "other"


def test_a_coat_of_what_no_plan_has_is_kept_without(shop, job):
    tap = {"id": new_id(), "job": job, "who": ME, "kind": "coat begun", "area": "roof",
           "fields": {"product": "tar", "coat": 1}, "at": "now"}  # fmt: skip
    assert take(shop, tap).event.body.planned is None


def test_clocks_end_at_the_last_trigger_plus_what_the_sheet_says(shop, job):
    note(shop, job, 5, Mixed(mix="epoxy-1", product="epoxy", parts={}, pot_life=7200.0), area="")
    spray(shop, job, 20, 1)
    sheet = shop.open(job).bench.library["epoxy"]
    clocks = {one.kind: one for one in look(shop, job, 24).clocks}
    assert clocks["flash"].until == at(23) + timedelta(seconds=sheet.flash.min)
    assert clocks["flash"].areas == ("Door, outer skin",)
    assert clocks["pot life"].until == at(5 + 120)
    spray(shop, job, 45, 2)
    clocks = {one.kind: one for one in look(shop, job, 49).clocks}
    assert "flash" not in clocks
    planned = shop.record.state(job).patch("door").last_coat.planned
    assert clocks["opens"].until == at(48) + timedelta(seconds=planned.recoat_from)


def test_late_it_is_planned_anew_and_says_what_changed(shop, job):
    note(shop, job, 5, Mixed(mix="epoxy-1", product="epoxy", parts={}), area="")
    note(shop, job, 10, Degreased())
    live = look(shop, job, 60)
    assert live.behind == (at(60) - live.due("me")[0].start).total_seconds()
    assert following.is_late(live)
    anew = following.plan_anew(shop, job, at(60))
    assert anew.days.feasible
    assert all(turn.start >= at(60) for turn in anew.turns if turn.state == "planned")
    done = {turn.entry.key for turn in anew.turns if turn.state == "done"}
    assert done == {"mix.epoxy-1", "door.epoxy.degrease.door"}
    assert any("later" in sentence for sentence in anew.days.changes)
    assert anew.planned_anew == at(60)
    assert not following.is_late(anew)
    assert look(shop, job, 61).days is anew.days


def test_a_mix_that_was_not_made_waits_with_its_coats(shop, job):
    anew = following.plan_anew(shop, job, at(10))
    mix = next(turn for turn in anew.turns if turn.entry.key == "mix.epoxy-1")
    assert mix.start >= at(10)


def test_the_next_morning_goes_on_where_it_was_left(shop, job):
    """Nothing was to be done on the day between: the plan lets epoxy stand for two days."""
    note(shop, job, 5, Degreased())
    live = look(shop, job, 3 * 1440)
    assert live.today == 1
    spray(shop, job, 20, 1)
    spray(shop, job, 45, 2)
    shop.write(said(job, ME, at(60), WorkDone(act="clean gun", product="epoxy")))
    assert look(shop, job, 1440).today == 2
    assert look(shop, job, 2 * 1440).today == 3
    assert look(shop, job, 5 * 1440).today == 3


def test_every_piece_of_work_can_be_tapped(shop, job):
    """The fields that the page sends make an event, and that event is taken for that work."""
    for number in range(len(look(shop, job, 0).turns)):
        turn = look(shop, job, number).turns[number]
        for state, tap in zip(
            ("begun", "done"), taps_of(look(shop, job, 0), turn, "me"), strict=True
        ):
            sent = {"id": new_id(), "job": job, "who": ME, "kind": tap.kind, "fields": tap.fields,
                    "area": turn.entry.area, "patch": turn.entry.patch}  # fmt: skip
            event = read(sent, at(number)).model_copy(update={"at": at(number)})
            shop.write(event)
            assert states(look(shop, job, number))[turn.entry.key] == state


def test_the_clocks_of_a_phone_without_network_are_those_of_the_plan(shop, job):
    live = look(shop, job, 0)
    coat = next(turn for turn in live.turns if turn.entry.coat == 1)
    assert [(one.kind, one.seconds) for one in waits_of(live, coat)] == [
        ("flash", shop.open(job).bench.library["epoxy"].flash.min)
    ]


def test_before_the_first_trigger_of_the_day_the_air_is_spoken_of(shop, job):
    live = look(shop, job, 0)
    first, second = [turn for turn in live.turns if turn.entry.coat][:2]
    assert any("Drain it daily" in text for text in live.cautions(first))
    assert not any("Drain it daily" in text for text in live.cautions(second))


def test_of_two_phones_one_counts_and_one_person_may_do_it_again(shop, job):
    def tap(who):
        return {"id": new_id(), "job": job, "who": who, "kind": "work done", "area": "door",
                "fields": {"act": "mask"}, "seen": 1}  # fmt: skip

    assert take(shop, tap("Anna")).settled == ""
    assert "Anna had noted this" in take(shop, tap("Ben")).settled
    assert take(shop, tap("Anna")).settled == ""


def test_what_comes_first_and_what_is_not_ready_is_said(shop, job):
    def coat(live, number):
        return next(turn for turn in live.turns if turn.entry.coat == number)

    live = look(shop, job, 0)
    assert [one.entry.act for one in live.before(coat(live, 1))] == ["mix", "degrease"]
    assert live.waits_until(coat(live, 1)) is None
    spray(shop, job, 20, 1)
    live = look(shop, job, 24)
    flash = shop.open(job).bench.library["epoxy"].flash.min
    assert live.waits_until(coat(live, 2)) == at(23) + timedelta(seconds=flash)
    assert look(shop, job, 23 + flash / 60 + 1).waits_until(coat(live, 2)) is None


def test_put_off_in_the_evening_it_begins_in_the_morning(shop, job):
    evening, morning = 12 * 60, 24 * 60
    anew = following.plan_anew(shop, job, at(evening))
    assert anew.due("me")[0].start == at(morning)
    assert not following.is_late(anew)
    live = look(shop, job, morning)
    assert live.due("me")[0].start == at(morning)
    assert live.today == live.due("me")[0].entry.day
    # Another job described in the same words has days of its own.
    assert look(shop, shop.start("Door", ME), 0).due("me")[0].start == at(0)
    # A day on which nothing is done is not counted: it begins the morning after.
    assert look(shop, job, 2 * morning).due("me")[0].start == at(2 * morning)


# The starter's door takes a day and the day after the next; 9 May 2031 is a Friday, and its shop is
# closed on Sundays.

FRIDAY = datetime(2031, 5, 9, 8, 0).astimezone()
SUNDAY = FRIDAY.date() + timedelta(days=2)


def shop_at(folder, record, now):
    shop = Shop(record, folder, clock=lambda: now)
    job = shop.start("Door", ME)
    shop.days(job)
    return shop, job


def worked_dates(live):
    return {turn.start.date() for turn in live.turns if turn.entry.people and turn.state != "done"}


@pytest.fixture
def record(tmp_path):
    with Record(f"sqlite:///{tmp_path / 'record.db'}", tmp_path / "files") as opened:
        yield opened


def test_nobody_works_on_the_day_of_rest(tmp_path, record):
    live = following.look(*shop_at(tmp_path, record, FRIDAY))
    assert worked_dates(live) == {FRIDAY.date(), SUNDAY + timedelta(days=1)}


def test_arranged_after_closing_time_it_begins_on_the_next_day_that_is_worked(tmp_path, record):
    live = following.look(*shop_at(tmp_path, record, FRIDAY + timedelta(days=1, hours=11)))
    assert min(worked_dates(live)) == SUNDAY + timedelta(days=1)
    assert not following.is_late(live)
    assert live.days.changes == ()


def test_days_gone_by_unused_do_not_bring_work_to_a_day_of_rest(tmp_path, record):
    """Arranged on a Monday, looked at again on the Friday, with its second day on the Sunday."""
    shop, job = shop_at(tmp_path, record, EIGHT)
    assert not following.look(shop, job).falls_on_a_rest
    live = following.look(shop, job, FRIDAY)
    assert SUNDAY in worked_dates(live)
    assert following.is_late(live)
    anew = following.plan_anew(shop, job, FRIDAY)
    assert not following.is_late(anew)
    assert worked_dates(anew) == {FRIDAY.date(), SUNDAY + timedelta(days=1)}
