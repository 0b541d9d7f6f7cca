"""The fold: what follows from events, worked out by hand beside each case."""

from datetime import timedelta

import pytest

from coatwright.record import events
from coatwright.record.fold import fold
from happenings import JOB, PLANNED, Diary, minute


def told(state):
    return [doubt.what for doubt in state.doubts]


def test_nothing_has_happened():
    state = fold(JOB, [])
    assert (state.job, state.events, state.areas, state.doubts) == (JOB, 0, {}, ())
    assert state.patch("roof").standing(minute(0)) == "bare"


def test_coats_of_one_product_are_one_layer_metal_upwards():
    diary = Diary(area="roof", patch="left")
    diary.say(0, events.Stripped(ground="bare-steel"))
    diary.coat(10, "epoxy")
    diary.coat(30, "epoxy", 2)
    diary.coat(120, "primer")
    patch = fold(JOB, diary.events).patch("roof", "left")
    assert patch.ground == "bare-steel"
    assert [(one.product, len(one.coats)) for one in patch.layers] == [("epoxy", 2), ("primer", 1)]
    # Two coats of 30 µm in the same strokes: 60 µm, spreads added; then one more of 30 µm.
    assert patch.layers[0].film[:2] == pytest.approx((60e-6, 8e-6))
    assert patch.film[:2] == pytest.approx((90e-6, (8e-6**2 + 4e-6**2) ** 0.5))


def test_what_is_rubbed_off_is_gone():
    diary = Diary(area="roof")
    diary.coat(0, "primer")
    diary.say(200, events.RubbedDown(grade="P400", product="primer", took=10e-6))
    layer = fold(JOB, diary.events).patch("roof").top
    assert layer.film.mean == pytest.approx(20e-6)
    assert [rub.grade for rub in layer.rubbed] == ["P400"]


def test_a_film_without_a_plan_is_not_known():
    diary = Diary(area="roof")
    diary.coat(0, "primer", planned=None)
    patch = fold(JOB, diary.events).patch("roof")
    assert patch.top.film is None
    assert patch.film is None
    assert patch.standing(minute(500)) == "unknown"


def test_the_window_opens_and_shuts_and_rubbing_opens_it_again():
    diary = Diary(area="roof")
    begun = diary.say(0, events.CoatBegun(product="primer", coat=1, planned=PLANNED))
    assert fold(JOB, [begun]).patch("roof").standing(minute(3)) == "spraying"
    diary.say(5, events.CoatDone(product="primer", coat=1))
    patch = fold(JOB, diary.events).patch("roof")
    # Opens an hour, shuts a day after the last trigger at minute 5; a coat may follow after 10 min.
    assert patch.window.flashed == minute(15)
    assert (patch.window.opens, patch.window.shuts) == (minute(65), minute(5 + 1440))
    assert patch.standing(minute(64)) == "not yet"
    assert patch.standing(minute(65)) == "open"
    assert patch.standing(minute(1446)) == "shut"
    assert patch.age(minute(65)) == 3600.0
    diary.say(1500, events.RubbedDown(grade="P400"))
    assert fold(JOB, diary.events).patch("roof").standing(minute(1501)) == "abraded"


def test_an_event_on_the_whole_area_is_on_every_patch_and_on_those_named_later():
    diary = Diary(area="roof")
    diary.say(0, events.Stripped(ground="steel"), patch="left")
    diary.coat(10, "epoxy")
    diary.say(60, events.BrokeThrough(ground="metal", surface=0.01), patch="right")
    area = fold(JOB, diary.events).area("roof")
    assert set(area.patches) == {"", "left", "right"}
    assert {key: len(one.layers) for key, one in area.patches.items()} == {
        "": 1, "left": 1, "right": 1
    }  # fmt: skip
    assert [len(area.patches[key].top.broke) for key in ("", "left", "right")] == [0, 0, 1]
    assert area.patch("never-named") is area.patches[""]
    assert [patch.patch for patch in area.named] == ["left", "right"]


def test_a_coat_on_an_area_is_not_on_the_patches_that_the_plan_leaves_out():
    diary = Diary(area="roof")
    some = events.Planned(
        dry=5e-5, dry_spread=0.0, surface=1.0, patches=("left", "right"), left_out=("primed",)
    )
    diary.coat(10, "epoxy", planned=some)
    diary.coat(60, "filler")
    diary.say(90, events.FilmRead(method="gauge", readings=(1e-4,)), patch="found-later")
    area = fold(JOB, diary.events).area("roof")
    lies = {one.patch: [layer.product for layer in one.layers] for one in area.named}
    assert lies == {
        "left": ["epoxy", "filler"], "right": ["epoxy", "filler"], "primed": ["filler"],
        "found-later": ["epoxy", "filler"],
    }  # fmt: skip
    assert all(layer.coats[0].done for one in area.named for layer in one.layers)


def test_an_event_without_an_area_is_for_the_whole_job():
    diary = Diary()
    diary.say(0, events.Stripped(ground="steel"), area="roof")
    diary.coat(10, "epoxy")
    state = fold(JOB, diary.events)
    assert state.patch("roof").top.product == "epoxy"
    assert state.patch("door").top.product == "epoxy"
    assert len(state.coats()) == 1


def test_a_past_moment_shows_what_was_there():
    diary = Diary(area="roof")
    diary.coat(0, "epoxy")
    diary.coat(100, "primer")
    assert len(fold(JOB, diary.events, minute(99)).patch("roof").layers) == 1
    assert len(fold(JOB, diary.events, minute(100)).patch("roof").layers) == 2


def test_stripping_takes_all_off_but_what_was_sprayed_is_remembered():
    diary = Diary(area="roof")
    diary.coat(0, "epoxy")
    diary.say(100, events.Stripped(ground="steel", how="blasting"))
    state = fold(JOB, diary.events)
    assert state.patch("roof").layers == ()
    assert [layer.product for layer in state.patch("roof").gone] == ["epoxy"]
    assert (len(state.coats()), len(state.sprayed())) == (0, 1)


def test_a_coat_carries_its_cup_its_comb_and_its_climate():
    diary = Diary(area="roof")
    diary.say(-60, events.ClimateRead(air=293.0, humidity=0.5), area="")
    diary.say(-10, events.AirRead(where="gun", pressure=2e5, trigger=True, gun="hvlp"))
    diary.coat(0, "epoxy", gun="hvlp")
    diary.say(6, events.FilmRead(method="wet comb", readings=(80e-6, 100e-6)))
    diary.say(7, events.CupWeighed(product="epoxy", coat=1, before=1.2, after=0.7))
    diary.say(30, events.ClimateRead(air=291.0, metal=289.0))
    diary.say(60, events.ClimateRead(air=295.0), area="door")
    diary.say(90, events.ClimateRead(air=296.0), area="")
    diary.say(5 + 1441, events.ClimateRead(air=270.0))
    coat = fold(JOB, diary.events).patch("roof").last_coat
    assert coat.climate.air == 293.0
    assert coat.air.pressure == 2e5
    assert [one.after for one in coat.cup] == [0.7]
    assert coat.comb[0].readings == (80e-6, 100e-6)
    # Read on the roof at 30 min and in the shop at 90 min; the door and the next day do not count.
    assert coat.after.air == (291.0, 296.0, 2)
    assert coat.after.metal == (289.0, 289.0, 1)


def test_climate_after_a_coat_ends_when_the_next_one_covers_it():
    diary = Diary(area="roof")
    diary.coat(0, "epoxy")
    diary.say(20, events.ClimateRead(air=290.0))
    diary.coat(30, "epoxy", 2)
    diary.say(50, events.ClimateRead(air=280.0))
    first, second = fold(JOB, diary.events).coats()
    assert first.after.air == (290.0, 290.0, 1)
    assert second.after.air == (280.0, 280.0, 1)
    assert second.climate.air == 290.0


def test_climate_is_still_told_where_a_coat_lies_open_on_another_patch():
    diary = Diary(area="roof")
    diary.coat(0, "epoxy")
    diary.say(10, events.Degreased(), patch="left")
    diary.say(15, events.CoatBegun(product="epoxy", coat=2), patch="left")
    diary.say(20, events.ClimateRead(air=290.0))
    first = fold(JOB, diary.events).patch("roof", "right").last_coat
    assert first.after.air == (290.0, 290.0, 1)


def test_a_stale_reading_is_not_told_with_a_coat_but_the_first_while_spraying_is():
    diary = Diary(area="roof")
    diary.say(-121, events.ClimateRead(air=280.0))
    diary.say(0, events.CoatBegun(product="epoxy", coat=1, gun="hvlp"))
    diary.say(2, events.ClimateRead(air=290.0))
    diary.say(2, events.AirRead(where="gun", pressure=1.8e5, trigger=True))
    coat = fold(JOB, diary.events).patch("roof").last_coat
    assert coat.climate.air == 290.0
    assert coat.air.pressure == 1.8e5


def test_gauge_readings_say_how_much_lay_there():
    diary = Diary(area="roof")
    diary.coat(0, "epoxy")
    diary.coat(60, "epoxy", 2)
    diary.say(900, events.FilmRead(method="gauge", readings=(61e-6,)))
    reading = fold(JOB, diary.events).patch("roof").gauge[0]
    assert (reading.layers, reading.coats) == (1, 2)


def test_a_mix_is_of_no_use_once_it_is_gone():
    diary = Diary()
    diary.say(0, events.Mixed(mix="m1", product="epoxy", parts={"base": 0.4}, pot_life=3600))
    diary.say(20, events.MixGone(mix="m1", why="spilt"))
    gone = diary.events[-1]
    diary.say(40, events.MixGone(mix="m1"))
    assert fold(JOB, diary.events).mixes["m1"].ends == minute(20)
    diary.say(50, events.Corrected(event=gone.id, why="another pot"))
    assert fold(JOB, diary.events).mixes["m1"].ends == minute(40)
    diary.say(61, events.Mixed(mix="m2", product="epoxy", parts={}, pot_life=3600))
    diary.say(200, events.MixGone(mix="m2"))
    assert fold(JOB, diary.events).mixes["m2"].ends == minute(121)


def test_a_mix_that_was_never_made_cannot_be_gone():
    diary = Diary()
    diary.say(0, events.MixGone(mix="m9"))
    assert [one.what for one in fold(JOB, diary.events).doubts] == [
        "mix m9 is gone and was never mixed"
    ]


def test_work_is_taken_over_once_and_what_comes_later_is_told_with_it():
    diary = Diary(area="roof")
    diary.say(0, events.Finished(note="the number plate"))
    diary.say(10, events.TakenOver(by="Ash", how="in the shop", remarks="a run"))
    diary.say(11, events.TakenOver(by="Rowan"))
    diary.say(12, events.PaidTime(act="rubbing", seconds=60.0))
    state = fold(JOB, diary.events)
    assert state.finished.note == "the number plate"
    assert [(one.by, one.remarks, one.since) for one in state.handovers] == [("Ash", "a run", ())]
    assert [one.what for one in state.doubts] == [
        "taken over by Rowan: Ash had taken it over as it stands"
    ]
    diary.coat(20, "epoxy")
    state = fold(JOB, diary.events)
    assert [one.kind for one in state.taken_over.since] == ["coat begun", "coat done"]
    diary.say(60, events.TakenOver(by="Ash"))
    state = fold(JOB, diary.events)
    assert (state.taken_over.by, state.taken_over.since) == ("Ash", ())
    diary.say(70, events.Corrected(event=diary.events[-1].id, why="not yet"))
    assert fold(JOB, diary.events).taken_over.remarks == "a run"


def test_a_mix_ends_with_its_pot_life():
    diary = Diary()
    diary.say(0, events.Mixed(mix="m1", product="epoxy", parts={"base": 0.4}, pot_life=3600))
    mix = fold(JOB, diary.events).mixes["m1"]
    assert mix.ends == minute(60)
    assert mix.mass == 0.4


def test_stock_is_bought_less_poured_until_it_is_counted():
    diary = Diary()
    lots = {"base": "L7"}
    diary.say(0, events.Mixed(mix="m1", product="epoxy", parts={"base": 0.6}, lots=lots))
    bought = events.Bought(
        product="epoxy", component="base", volume=1e-3, packs=2, lot="L7", density=1200, price=80
    )
    diary.say(10, bought)
    line = fold(JOB, diary.events).stock[0]
    # 0.6 kg at 1200 kg/m3 is half a litre of the two; what was poured first is not forgotten.
    assert (line.poured, line.left) == pytest.approx((0.5e-3, 1.5e-3))
    diary.say(20, events.Counted(product="epoxy", component="base", lot="L7", volume=1e-3))
    diary.say(30, events.Mixed(mix="m2", product="epoxy", parts={"base": 0.12}, lots=lots))
    line = fold(JOB, diary.events).stock[0]
    assert line.left == pytest.approx(0.9e-3)
    assert line.counted == minute(20)


def test_stock_of_unknown_density_stays_a_mass():
    diary = Diary()
    diary.say(0, events.Mixed(mix="m1", product="epoxy", parts={"base": 0.6}))
    line = fold(JOB, diary.events).stock[0]
    assert (line.poured_unweighed, line.poured, line.left) == (0.6, 0.0, 0.0)


def extra(price=100.0):
    return events.ExtraProposed(
        extra="sill", title="a sill", reason="rust", price_low=80, price=price, price_high=200
    )


def test_only_a_yes_after_the_question_counts():
    diary = Diary()
    diary.say(0, events.Approved(extra="sill", by="Ash"))
    diary.say(10, extra())
    assert fold(JOB, diary.events).extras["sill"].status == "proposed"
    assert told(fold(JOB, diary.events)) == ["an answer to extra work sill, which was not put yet"]
    diary.say(20, events.Approved(extra="sill", by="Ash", price_most=120))
    assert fold(JOB, diary.events).extras["sill"].status == "approved"
    diary.say(30, events.Refused(extra="sill", by="Ash"))
    assert fold(JOB, diary.events).extras["sill"].status == "refused"


def test_extra_work_put_again_needs_a_new_yes():
    diary = Diary()
    diary.say(0, extra())
    diary.say(10, events.Approved(extra="sill", by="Ash"))
    diary.say(20, extra(price=150))
    state = fold(JOB, diary.events)
    assert state.extras["sill"].status == "proposed"
    assert told(state) == ["extra work sill was put again; it needs a new answer"]


def test_time_and_money_add_up():
    diary = Diary()
    diary.say(0, events.PaidTime(act="rubbing", seconds=1800))
    diary.say(10, events.PaidTime(act="masking", seconds=600))
    diary.say(20, events.Received(amount=250, what="deposit"))
    state = fold(JOB, diary.events)
    assert (state.paid(), state.received()) == (2400, 250)


def test_a_repair_belongs_to_its_defect():
    diary = Diary(area="roof")
    diary.coat(0, "clear")
    seen = diary.say(60, events.DefectSeen(defect="run", product="clear"))
    diary.say(90, events.Repaired(defect=seen.id, how="cut flat and polished"))
    defect = fold(JOB, diary.events).defects[0]
    assert defect.layers == 1
    assert [repair.how for repair in defect.repairs] == ["cut flat and polished"]


@pytest.mark.parametrize(
    ("bodies", "words"),
    [
        (
            [events.CoatDone(product="epoxy", coat=1)],
            "coat 1 of epoxy was done but never begun",
        ),
        (
            [events.CoatBegun(product="epoxy", coat=1), events.CoatBegun(product="epoxy", coat=1)],
            "coat 1 of epoxy was begun already",
        ),
        (
            [
                events.CoatBegun(product="epoxy", coat=1),
                events.CoatDone(product="epoxy", coat=1),
                events.CoatDone(product="epoxy", coat=1),
            ],
            "coat 1 of epoxy was done already",
        ),
        (
            [events.CoatBegun(product="epoxy", coat=1), events.CoatBegun(product="clear", coat=1)],
            "a coat was begun before the one under it was done",
        ),
        (
            [events.CoatBegun(product="epoxy", coat=2)],
            "coat 2 of epoxy has no coat before it",
        ),
        (
            [
                events.CoatBegun(product="epoxy", coat=1),
                events.CoatDone(product="epoxy", coat=1),
                events.CoatBegun(product="epoxy", coat=3),
            ],
            "coat 3 of epoxy follows coat 1",
        ),
        (
            [events.CoatBegun(product="epoxy", coat=1, mix="m9")],
            "mix m9 was never mixed",
        ),
        (
            [events.CupWeighed(product="epoxy", coat=1, before=1, after=0.5)],
            "a cup was weighed for coat 1 of epoxy: none such",
        ),
        (
            [
                events.CoatBegun(product="epoxy", coat=1),
                events.CupWeighed(product="epoxy", coat=1, before=0.5, after=1),
            ],
            "the cup weighed more after the coat than before",
        ),
        (
            [events.FilmRead(method="wet comb", readings=(1e-4,))],
            "a comb was read where no such coat lies",
        ),
        ([events.RubbedDown(grade="P80", product="epoxy")], "epoxy was rubbed where none lies"),
        (
            [events.CoatBegun(product="epoxy", coat=1), events.BrokeThrough(ground="filler")],
            "filler shows, but it does not lie under epoxy",
        ),
        (
            [
                events.CoatBegun(product="epoxy", coat=1),
                events.RubbedDown(grade="P80", product="clear"),
            ],
            "clear was rubbed, but epoxy lies on top",
        ),
        (
            [events.Mixed(mix="m", product="epoxy", parts={})] * 2,
            "a mix m was made before; this one is kept under another name",
        ),
        (
            [events.Repaired(defect="nothing", how="wished")],
            "a repair of a defect that nobody had reported",
        ),
        ([events.Photographed()], "a photograph without a picture"),
        (
            [events.Corrected(event="no-such-event", why="wrong")],
            "corrects an event that is not in the record",
        ),
    ],
)
def test_what_does_not_fit_is_kept_and_told(bodies, words):
    diary = Diary(area="roof")
    for number, body in enumerate(bodies):
        diary.say(number, body)
    state = fold(JOB, diary.events)
    assert told(state) == [words]
    assert state.doubts[0].place.event == diary.events[-1].id


def test_a_patch_without_its_area_is_told():
    diary = Diary()
    diary.say(0, events.Degreased(), area="", patch="left")
    assert told(fold(JOB, diary.events)) == ["patch left is named without its area"]


def test_a_coat_done_but_never_begun_still_lies_there():
    diary = Diary(area="roof")
    diary.say(0, events.CoatDone(product="epoxy", coat=1, dry_spray=True))
    coat = fold(JOB, diary.events).patch("roof").last_coat
    assert (coat.begun, coat.done, coat.dry_spray) == (None, minute(0), True)


class TestCorrections:
    def test_another_body_at_another_time_and_place(self):
        diary = Diary(area="roof")
        wrong = diary.say(0, events.CoatBegun(product="epoxy", coat=1))
        right = events.CoatBegun(product="primer", coat=1)
        diary.say(
            50, events.Corrected(event=wrong.id, why="wrong tin", body=right, at=minute(3),
            area="door")
        )  # fmt: skip
        state = fold(JOB, diary.events)
        assert state.patch("roof").layers == ()
        coat = state.patch("door").last_coat
        assert (coat.product, coat.begun, coat.event) == ("primer", minute(3), wrong.id)
        assert state.amendments[0].counts

    def test_struck_out(self):
        diary = Diary(area="roof")
        wrong = diary.say(0, events.CoatBegun(product="epoxy", coat=1))
        diary.say(9, events.Corrected(event=wrong.id, why="it was the door"))
        state = fold(JOB, diary.events)
        assert state.events == 0
        assert state.amendments[0].struck

    def test_of_a_correction_with_a_body_takes_its_place(self):
        diary = Diary(area="roof")
        wrong = diary.say(0, events.Note(text="first"))
        better = diary.say(
            9, events.Corrected(event=wrong.id, why="a", body=events.Note(text="second"),
            at=minute(5))
        )  # fmt: skip
        diary.say(12, events.Corrected(event=better.id, why="b", body=events.Note(text="third")))
        state = fold(JOB, diary.events)
        assert [(note.text, note.place.at) for note in state.notes] == [("third", minute(5))]

    def test_of_a_correction_without_a_body_takes_it_back(self):
        diary = Diary()
        wrong = diary.say(0, events.Note(text="first"))
        one = diary.say(9, events.Corrected(event=wrong.id, why="a", body=events.Note(text="two")))
        two = diary.say(10, events.Corrected(event=wrong.id, why="b"))
        assert fold(JOB, diary.events).notes == ()
        diary.say(11, events.Corrected(event=two.id, why="it did happen"))
        assert [note.text for note in fold(JOB, diary.events).notes] == ["two"]
        diary.say(12, events.Corrected(event=one.id, why="as it first stood"))
        assert [note.text for note in fold(JOB, diary.events).notes] == ["first"]

    def test_that_only_name_each_other_change_nothing(self):
        diary = Diary()
        diary.say(0, events.Note(text="stands"))
        diary.say(1, events.Corrected(event="event-000003", why="a"))
        diary.say(2, events.Corrected(event="event-000002", why="b"))
        state = fold(JOB, diary.events)
        assert [note.text for note in state.notes] == ["stands"]
        assert told(state) == ["is one of several corrections that only name each other"] * 2

    def test_a_thousand_deep(self):
        diary = Diary()
        wrong = diary.say(0, events.Note(text="0"))
        for number in range(1, 1001):
            body = events.Note(text=str(number))
            wrong = diary.say(number, events.Corrected(event=wrong.id, why="again", body=body))
        assert [note.text for note in fold(JOB, diary.events).notes] == ["1000"]

    def test_made_later_counts_for_an_earlier_moment(self):
        diary = Diary(area="roof")
        wrong = diary.coat(0, "epoxy")
        diary.say(500, events.Corrected(event=wrong.id, why="never sprayed"))
        assert fold(JOB, diary.events, minute(1)).patch("roof").layers == ()


def test_moments_in_another_time_zone_are_the_same_moments():
    diary = Diary(area="roof")
    diary.coat(0, "epoxy")
    from datetime import timezone

    zone = timezone(timedelta(hours=2))
    moved = [one.model_copy(update={"at": one.at.astimezone(zone)}) for one in diary.events]
    assert fold(JOB, moved) == fold(JOB, diary.events)
