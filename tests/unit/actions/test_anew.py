"""The live day planned anew from its record: pots that are not as planned, a server that is started
again, and the edges of a day.

The starter job, one door: on the first day epoxy is mixed at 08:00 and two coats of it laid from
08:25 and 08:42 (320 mL, which live 6 h); high-build from 08:45 on the third day; then the colour.
Every day planned anew is looked at by tests/properties/timetable/by_plan.py, which knows the sheets
and the hours of the shop and nothing of how days are made.
"""

import random
from datetime import datetime, timedelta

import pytest

from coatwright.actions import shop as shops
from coatwright.actions.live import following
from coatwright.actions.live.filling import filled
from coatwright.actions.live.tapping import taps_of
from coatwright.actions.shop import Shop
from coatwright.actions.taps import read
from coatwright.engines.timetable import checking
from coatwright.errors import InputError, NotFound
from coatwright.record.events import (
    Away,
    CoatBegun,
    CoatDone,
    Corrected,
    CupWeighed,
    Degreased,
    Mixed,
    MixGone,
    WorkBegun,
    WorkDone,
    new_id,
    said,
)
from coatwright.record.store.ledger import Record
from properties.timetable.by_plan import Case, faults

EIGHT = datetime(2031, 5, 5, 8, 0).astimezone()
ME = "The painter"
DAY = 1440


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    return tmp_path_factory.mktemp("shop")


def opened(folder) -> Record:
    return Record(f"sqlite:///{folder / 'record.db'}", folder / "files")


@pytest.fixture(scope="module")
def shop(folder):
    """One shop for all: its jobs are alike, so they share the plan and the days."""
    with opened(folder) as record:
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


def epoxy(minutes=5.0, grams=0.0, **more):
    """A mix of epoxy as the bench notes it; grams of it at 1.35 kg/L."""
    parts = {"base": grams / 1000} if grams else {}
    told = {"mix": "epoxy-1", "product": "epoxy", "parts": parts, "density": 1350.0, **more}
    return minutes, Mixed(**told)


def mixed(shop, job, mix):
    return note(shop, job, mix[0], mix[1], area="")


def coat(shop, job, minutes, number, product="epoxy", took=2.0):
    """A coat out of the first pot of its product."""
    begun = CoatBegun(product=product, coat=number, mix=f"{product}-1")
    note(shop, job, minutes, begun)
    note(shop, job, minutes + took, CoatDone(product=product, coat=number))


def anew(shop, job, minutes, **more):
    """The day planned anew from a minute after eight of the first day; it must be sound."""
    live = following.plan_anew(shop, job, at(minutes), **more)
    sound(shop, live)
    return live


def case(shop, live) -> Case:
    bench = live.opened.bench
    return Case(live.plan, live.days, bench.job, bench.library)


def sound(shop, live, allowed=()):
    """No fault of what is still to come; what has happened may be as it was."""
    assert live.days.clash is None
    made = live.days.workings.made
    now = made.now * 60.0
    past = {one.key for one in live.days.entries if one.start.value < now}
    found = [one for one in faults(case(shop, live)) if not any(key in one for key in past)]
    past_mixes = {one.key for one in live.days.mixes if one.start.value < now}
    assert [one for one in found if not any(key in one for key in past_mixes)] == []
    tasks = {key for key, slot in made.timetable.slots.items() if slot.start < made.now}
    engine = checking.faults(made.problem, made.timetable)
    mixes = tuple(f"the mixing of '{m.pot}' at {m.start}" for m in made.timetable.mixes
                  if m.start < made.now)  # fmt: skip
    told = [one for one in engine if not any(f"'{key}'" in one for key in tasks)]
    assert [one for one in told if not one.startswith(mixes)] == []


def coats(live, product="epoxy"):
    return [turn for turn in live.turns if turn.entry.coat and turn.entry.product == product]


def pots(live, product="epoxy"):
    return [mix for mix in live.days.mixes if mix.product == product]


def told(live, words) -> list[str]:
    return [one for one in live.days.changes if words in one]


# Pots


def test_a_pot_that_is_gone_is_mixed_anew_for_what_is_left(shop, job):
    """Spilt at 08:30, with one coat laid: the second is laid from a pot mixed after that."""
    mixed(shop, job, epoxy())
    note(shop, job, 10, Degreased())
    coat(shop, job, 25, 1)
    note(shop, job, 30, MixGone(mix="epoxy-1", why="spilt"))
    live = anew(shop, job, 31)
    first, second = pots(live)
    assert first.serves == ("door.epoxy.coat-1.door",)
    assert first.gone.value == live.calendar.seconds(at(30))
    assert second.serves == ("door.epoxy.coat-2.door",)
    assert live.calendar.moment(second.start.value) >= at(31)
    assert told(live, "is out of use since 08:30: what it was for gets a pot of its own")
    # The clock of a pot that is gone does not run on.
    assert not [one for one in live.clocks if one.kind == "pot life" and one.until > at(31)]
    # Mixed again, it serves; planned anew once more nothing changes.
    mixed(shop, job, (36.0, Mixed(mix="epoxy-2", product="epoxy", parts={}, pot_life=21600.0)))
    again = anew(shop, job, 37)
    assert [one.serves for one in pots(again)] == [first.serves, second.serves]
    assert not told(again, "out of use")


def test_less_was_mixed_than_was_asked_for(shop, job):
    """216 g at 1.35 kg/L are 160 mL of the 320 mL: enough for one of two coats alike."""
    mixed(shop, job, epoxy(grams=216.0))
    note(shop, job, 10, Degreased())
    coat(shop, job, 25, 1)
    live = anew(shop, job, 28)
    first, second = pots(live)
    assert first.volume.value == pytest.approx(160e-6)
    assert second.serves == ("door.epoxy.coat-2.door",)
    assert told(live, "The first pot of two-pack epoxy")


def test_a_cup_that_was_weighed_says_what_is_left(shop, job):
    """432 g are 320 mL; the first coat took 351 g, 260 mL: 60 mL are left, too little."""
    mixed(shop, job, epoxy(grams=432.0))
    note(shop, job, 10, Degreased())
    coat(shop, job, 25, 1)
    weighed = CupWeighed(product="epoxy", coat=1, before=0.9, after=0.9 - 0.351)
    note(shop, job, 28, weighed)
    live = anew(shop, job, 29)
    assert len(pots(live)) == 2
    assert told(live, "has only 60 mL left")


def test_a_pot_mixed_the_evening_before_is_gone_in_the_morning(shop, job):
    """Mixed at 16:00, lives 6 h: at eight the next day the coats want another."""
    mixed(shop, job, epoxy(480.0, grams=432.0, pot_life=21600.0))
    live = anew(shop, job, DAY)
    first, second = pots(live)
    assert first.serves == ()
    assert second.serves == ("door.epoxy.coat-1.door", "door.epoxy.coat-2.door")
    assert told(live, "went off at day 1, 21:55: what it was for gets a pot of its own")


def test_a_second_pot_that_no_plan_had_is_used(shop, job):
    """One coat of 160 mL from the first pot, which held no more; another stands ready."""
    mixed(shop, job, epoxy(grams=216.0))
    note(shop, job, 10, Degreased())
    coat(shop, job, 25, 1)
    extra = Mixed(mix="more", product="epoxy", parts={"base": 0.27}, density=1350.0)
    mixed(shop, job, (33.0, extra))
    live = anew(shop, job, 34)
    _, second = pots(live)
    assert second.serves == ("door.epoxy.coat-2.door",)
    assert second.volume.value == pytest.approx(200e-6)
    print(*live.days.changes, sep="\n")
    assert told(live, "no plan had: it is for Coat 2 of two-pack epoxy")


def test_a_mix_taken_back_is_to_be_mixed(shop, job):
    mix = mixed(shop, job, epoxy())
    anew(shop, job, 6)
    shop.write(said(job, ME, at(7), Corrected(event=mix.id, why="not that tin")))
    (only,) = pots(anew(shop, job, 8))
    assert only.start.value >= 8 * 3600.0 + 8 * 60.0


def test_a_mix_nobody_made_cannot_be_gone(shop, job):
    with pytest.raises(NotFound, match="no mix 'epoxy-9'"):
        following.mix_is_gone(shop, job, ME, "epoxy-9")


def test_a_pot_gone_by_one_tap(shop, job):
    mixed(shop, job, epoxy(0.0))
    live = following.mix_is_gone(shop, job, ME, "epoxy-1", "gelled")
    assert shop.record.state(job).mixes["epoxy-1"].gone == EIGHT
    assert len(pots(live)) == 2
    following.mix_is_gone(shop, job, ME, "epoxy-1")
    kinds = [one.body.kind for one in shop.record.events(job)]
    assert kinds.count("mix gone") == 1


@pytest.mark.slow
def test_tapped_as_planned_every_pot_of_the_demo_gives_what_it_was_to(shop, monkeypatch):
    """Six hours of the invented body, 22 areas, with several pots of epoxy standing at once."""
    monkeypatch.setattr(shops, "DAY_SECONDS", 2.0)
    job = shop.start("Body", ME, demo=True)
    shop.days(job)
    before = following.look(shop, job, at(0))
    noon = at(6 * 60)
    for turn in before.turns:
        if turn.start < noon and turn.entry.day == 1:
            taps = taps_of(before, turn, turn.entry.people[0])
            for tap, when in ((taps.begun, turn.start), (taps.done, turn.end)):
                sent = {"id": new_id(), "job": job, "who": ME, "kind": tap.kind,
                        "fields": tap.fields, "area": turn.entry.area}  # fmt: skip
                event = read(sent, when).model_copy(update={"at": when})
                shop.write(filled(shop, event))
    after = anew(shop, job, 6 * 60 + 1)
    assert not [one for one in after.days.changes if "pot of" in one]
    served = {mix.key: set(mix.serves) for mix in before.days.mixes if mix.start.value < 14 * 3600}
    assert len(served) > 4
    assert {mix.key: set(mix.serves) for mix in after.days.mixes if mix.key in served} == served


# Kept in the record


def entries(live):
    return live.days.entries, live.days.changes, live.days.windows, live.days.goals


def test_a_server_started_again_has_the_same_day_to_the_minute(folder, shop, job):
    mixed(shop, job, epoxy())
    note(shop, job, 10, Degreased())
    coat(shop, job, 50, 1)
    before = anew(shop, job, 55, who="Ann")
    with opened(folder) as record:
        again = Shop(record, folder, clock=lambda: at(56))
        assert following.look(again, job) is None  # its plan has not been computed yet
        following.arrange(again, job)
        after = following.look(again, job)
        assert entries(after) == entries(before)
        assert after.planned_anew == before.planned_anew == at(55)
        assert [turn.state for turn in after.turns] == [turn.state for turn in before.turns]
        # It goes on from there, and the first shop sees what the other planned.
        note(again, job, 57, WorkBegun(act="mask"))
        note(again, job, 58, MixGone(mix="epoxy-1"))
        later = following.plan_anew(again, job, at(60))
        assert entries(following.look(shop, job, at(60))) == entries(later)
    (last,) = [one for one in shop.record.events(job) if one.body.kind == "days arranged"][-1:]
    assert last.body.changes == later.days.changes
    assert last.body.since == later.calendar.seconds(at(60))
    assert (last.body.date, last.body.day) == ("2031-05-05", 1)


def test_days_nobody_planned_anew_are_the_same_too(folder, shop, job):
    before = following.look(shop, job, at(0))
    with opened(folder) as record:
        again = Shop(record, folder, clock=lambda: at(1))
        assert again.days(job) == before.days
        assert again.arrangement(job).event


def test_a_planning_that_is_taken_back_never_was(shop, job):
    before = following.look(shop, job, at(0))
    anew(shop, job, 90)
    event = shop.record.events(job)[-1]
    assert event.body.kind == "days arranged"
    assert following.look(shop, job, at(91)).days != before.days
    shop.undo(job, ME, event.id)
    assert following.look(shop, job, at(91)).days == before.days


def test_a_job_that_is_described_anew_has_days_of_its_own(shop, job):
    anew(shop, job, 90)
    event = next(one for one in shop.record.events(job) if one.body.kind == "described")
    changed = event.body.file.replace('title = "Door"', 'title = "Back door"', 1)
    assert changed != event.body.file
    body = event.body.model_copy(update={"file": changed, "what": "renamed"})
    shop.write(said(job, ME, at(91), body))
    assert shop.arrangement(job) is None
    shop.days(job)
    assert following.look(shop, job, at(92)).planned_anew is None


def test_days_whose_file_is_gone_are_arranged_afresh(folder, shop, job):
    anew(shop, job, 90)
    sha = shop.record.events(job)[-1].evidence[0]
    with opened(folder) as record:
        again = Shop(record, folder, clock=lambda: at(91))
        again.plan(job)
        path = next((folder / "files").rglob(f"*{sha[4:]}*"))
        text = path.read_bytes()
        path.chmod(0o600)
        path.unlink()
        assert again.arrangement(job) is None
        assert again.days(job).feasible
        path.write_bytes(text)


# The edges of a day


def test_before_the_first_work_nothing_moves(shop, job):
    before = following.look(shop, job, at(0)).days
    live = anew(shop, job, -60)
    starts = {one.key: one.start.value for one in before.entries if one.people}
    assert {one.key: one.start.value for one in live.days.entries if one.people} == starts


def test_in_the_night_it_goes_on_in_the_morning(shop, job):
    mixed(shop, job, epoxy())
    note(shop, job, 10, Degreased())
    coat(shop, job, 25, 1)
    coat(shop, job, 45, 2)
    live = anew(shop, job, 18 * 60)  # two in the morning; the gun was never noted as cleaned
    left = [
        turn for turn in live.turns if turn.state == "planned" and turn.entry.act != "clean gun"
    ]
    assert min(turn.start for turn in left) >= at(DAY)
    assert coats(live, "high-build")[0].start == coats(following.look(shop, job, at(0)),
                                                       "high-build")[0].start  # fmt: skip


def test_paint_dries_from_the_last_trigger_not_from_when_the_gun_was_clean(shop, job):
    """The gun is cleaned three hours late: the next layer may go on when it could before."""
    mixed(shop, job, epoxy())
    note(shop, job, 10, Degreased())
    coat(shop, job, 25, 1)
    coat(shop, job, 45, 2)
    opens = next(one for one in following.look(shop, job, at(50)).days.windows).opens.value
    note(shop, job, 240, WorkDone(act="clean gun", product="epoxy"), area="")
    live = anew(shop, job, 241)
    assert live.days.windows[0].opens.value == pytest.approx(opens + 60.0 * 3, abs=181.0)


def test_in_a_rest_nothing_is_begun_before_it_is_over(shop, job):
    """The rest is from 10:15 to 10:30."""
    live = anew(shop, job, 140)
    assert min(turn.start for turn in live.turns) == at(150)


def test_after_the_last_work_there_is_nothing_to_plan(shop, job):
    live = following.look(shop, job, at(0))
    for turn in live.turns:
        entry, begun = turn.entry, (turn.start - EIGHT).total_seconds() / 60
        took = entry.work.value / 60
        if entry.act == "mix":
            body = Mixed(mix=entry.mix, product=entry.product, parts={})
            note(shop, job, begun + took, body, area="")
        elif entry.coat:
            coat(shop, job, begun, entry.coat, entry.product, took)
        elif entry.act == "degrease":
            note(shop, job, begun + took, Degreased())
        else:
            body = WorkDone(act=entry.act, product=entry.product)
            note(shop, job, begun + took, body, area=entry.area)
    after = anew(shop, job, 9 * DAY)
    assert {turn.state for turn in after.turns} == {"done"}
    assert after.due("me") == ()


def test_work_past_closing_time_is_finished_and_the_rest_waits_for_the_morning(shop, job):
    """Wiped down at 17:20, the first coat begun at 17:29, done at 17:45: the shop shut at 17:30.

    The second may not follow before the flash-off is over, so it dries and is laid another day.
    """
    mixed(shop, job, epoxy(9 * 60.0))
    note(shop, job, 560, Degreased())
    begun = CoatBegun(product="epoxy", coat=1, mix="epoxy-1")
    note(shop, job, 569, begun)
    live = anew(shop, job, 575)
    assert coats(live)[0].state == "begun"
    note(shop, job, 585, CoatDone(product="epoxy", coat=1))
    live = anew(shop, job, 586)
    first, second = coats(live)
    assert first.state == "done"
    assert second.start >= at(DAY)
    assert told(live, "no longer goes on in one session")


def test_work_that_was_never_begun_is_done(shop, job):
    note(shop, job, 20, Degreased())
    live = anew(shop, job, 21)
    wiped = next(turn for turn in live.turns if turn.entry.act == "degrease")
    assert wiped.state == "done"
    assert wiped.entry.end.value == live.calendar.seconds(at(20))
    assert wiped.entry.state == "done"


def test_work_taken_back_after_a_replanning_is_to_be_done_again(shop, job):
    mixed(shop, job, epoxy())
    wiped = note(shop, job, 10, Degreased())
    live = anew(shop, job, 12)
    assert {one.entry.state for one in live.turns if one.entry.key.endswith("degrease.door")
            and one.done} == {"done"}  # fmt: skip
    shop.write(said(job, ME, at(13), Corrected(event=wiped.id, why="the wrong door")))
    live = anew(shop, job, 14)
    first = next(turn for turn in live.turns if turn.entry.act == "degrease")
    assert (first.state, first.entry.state) == ("planned", "planned")
    assert first.start >= at(14)
    assert coats(live)[0].start >= first.end


def test_days_on_which_nothing_was_done_count_for_the_paint(shop, job):
    """Laid on Monday; nobody comes until Saturday: the epoxy's window, about 72 h, has shut."""
    mixed(shop, job, epoxy())
    note(shop, job, 10, Degreased())
    coat(shop, job, 25, 1)
    coat(shop, job, 45, 2)
    note(shop, job, 60, WorkDone(act="clean gun", product="epoxy"), area="")
    live = anew(shop, job, 5 * DAY)
    key = [turn for turn in live.turns if turn.entry.act == "abrade new"]
    assert key
    assert key[0].start >= at(5 * DAY)
    assert live.today == 6
    assert told(live, "keyed")
    assert coats(live, "high-build")[0].start >= key[0].end


# Who is there


def test_a_shop_that_closes_at_once_goes_on_in_the_morning(shop, job):
    live = following.leave(shop, job, ME)
    sound(shop, live)
    assert min(turn.start for turn in live.turns) >= at(DAY)
    assert told(live, "The shop is closed from day 1, 08:00 to day 2, 00:00")
    (gone,) = live.absent
    back = following.come_back(shop, job, ME, gone.event)
    sound(shop, back)
    assert back.absent == ()
    assert min(turn.start for turn in back.turns) < at(60)
    assert told(back, "later") == []


def test_the_painter_is_back_at_one(shop, job):
    """The only one who sprays is away until 13:00: no coat before that, on that day."""
    live = following.leave(shop, job, ME, "me", following.Hours(until=at(300)))
    sound(shop, live)
    assert all(turn.start >= at(300) for turn in live.turns)
    assert told(live, "is away from day 1, 08:00 to day 1, 13:00")


def test_a_shop_that_closes_at_a_given_time_is_shut_from_then_on(shop, job):
    """It would shut between the two coats of epoxy: nothing runs over 08:35."""
    hours = following.Hours(since=at(35))
    live = following.leave(shop, job, ME, hours=hours)
    sound(shop, live)
    assert all(turn.end <= at(35) or turn.start >= at(DAY) for turn in live.turns)
    with pytest.raises(InputError, match="back before they leave"):
        following.leave(shop, job, ME, hours=following.Hours(at(60), at(50)))


def test_nobody_who_is_not_there_can_leave(shop, job):
    with pytest.raises(NotFound, match="nobody here is called 'guest'"):
        following.leave(shop, job, ME, "guest")


def test_an_absence_of_somebody_long_gone_is_passed_over(shop, job):
    note(shop, job, 0, Away(person="apprentice"), area="")
    assert anew(shop, job, 5).days.feasible


# Whatever happens


def drawn(shop, job, seed):
    """News of a day drawn by chance: pots of any size, at any time, coats late or not, taken back.

    The hour at which it is planned anew.
    """
    draw = random.Random(seed)
    clock = draw.uniform(0, 30)
    for number in range(draw.randint(0, 2)):
        mix = f"epoxy-{number + 1}"
        body = Mixed(mix=mix, product="epoxy", density=1350.0,
                     parts={"base": draw.uniform(0.1, 0.5)} if draw.random() < 0.7 else {},
                     pot_life=draw.choice([None, 3600.0, 21600.0]))  # fmt: skip
        mixed(shop, job, (clock, body))
        clock += draw.uniform(0, 20)
        if draw.random() < 0.3:
            note(shop, job, clock, MixGone(mix=mix))
    if draw.random() < 0.8:
        event = note(shop, job, clock + 5, Degreased())
        if draw.random() < 0.2:
            shop.write(said(job, ME, at(clock + 6), Corrected(event=event.id, why="no")))
    clock += draw.uniform(10, 60)
    mix = draw.choice(["", "epoxy-1"])
    for number in range(1, draw.randint(0, 2) + 1):
        note(shop, job, clock, CoatBegun(product="epoxy", coat=number, mix=mix))
        clock += draw.uniform(1, 30)
        if draw.random() < 0.8:
            note(shop, job, clock, CoatDone(product="epoxy", coat=number))
            if draw.random() < 0.5:
                after = 0.9 - draw.uniform(0.1, 0.4)
                note(shop, job, clock, CupWeighed(product="epoxy", coat=number, before=0.9,
                                                  after=after))  # fmt: skip
        clock += draw.uniform(10, 60)
    if draw.random() < 0.3:
        person = draw.choice(["", "me"])
        note(shop, job, clock, Away(person=person), area="")
    return clock + draw.choice([0.0, 1.0, 45.0, 600.0, DAY, 4 * DAY])


@pytest.mark.parametrize("seed", range(30))
def test_whatever_happened_the_rest_is_sound(shop, job, seed):
    minutes = drawn(shop, job, seed)
    live = following.plan_anew(shop, job, at(minutes))
    if live.days.clash is not None:
        assert live.days.clash.proven
        return
    sound(shop, live)
    left = [turn for turn in live.turns if turn.state == "planned"]
    assert all(turn.start >= at(minutes) - timedelta(minutes=1) or turn.entry.act == "clean gun"
               for turn in left)  # fmt: skip
    # Nothing new has happened a minute later: nothing moves by more than what is late by then, and
    # a rest of 45 min that it may run into.
    again = anew(shop, job, minutes + 1)
    starts = {turn.entry.key: turn.start for turn in again.turns}
    by = {turn.entry.key: (starts[turn.entry.key] - turn.start).total_seconds() / 60
          for turn in left}  # fmt: skip
    assert {key: minutes for key, minutes in by.items() if not 0 <= minutes <= 47} == {}
