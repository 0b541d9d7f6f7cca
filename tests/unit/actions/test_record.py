"""What a person notes, and what is then on each patch and due by the plan."""

from dataclasses import replace
from datetime import timedelta

import pytest

from coatwright.actions import record as actions
from coatwright.errors import InputError, StoreError
from coatwright.record import events
from coatwright.record.fold import fold
from coatwright.settings import Settings
from happenings import JOB, PLANNED, START, Diary, minute
from sample_plan import sample_plan


@pytest.fixture
def opened(tmp_path):
    here = Settings(tmp_path / "shop", f"sqlite:///{tmp_path}/shop/record.db", "Wren")
    with actions.open_record(here) as record:
        record.clock = lambda: START
        yield record


def said(kind, fields, **more):
    return {"job": JOB, "who": "Wren", "kind": kind, "fields": fields, **more}


def test_a_mix_with_its_parts_and_tins(opened):
    fields = {"mix": "m1", "product": "epoxy", "parts.base": "400 g", "lots.base": "L7"}
    kept = actions.note(opened, said("mixed", fields))
    assert kept.body.parts == {"base": pytest.approx(0.4)}
    assert kept.body.lots == {"base": "L7"}
    assert (kept.at, kept.number) == (START, 1)
    assert actions.state_of(opened, JOB).mixes["m1"].mass == pytest.approx(0.4)


def test_a_coat_with_what_the_plan_said_and_a_picture(opened):
    fields = {"product": "epoxy", "coat": "1"}
    kept = actions.note(
        opened, said("coat begun", fields, area="roof"), [("a.jpg", b"picture")], PLANNED
    )
    assert kept.body.planned == PLANNED
    assert opened.attachment(kept.evidence[0]) == b"picture"
    state = actions.state_of(opened, JOB)
    assert state.patch("roof").last_coat.planned == PLANNED


@pytest.mark.parametrize(
    ("kind", "fields", "more", "words"),
    [
        ("painted", {}, {}, "'painted' is nothing that can be noted; use arrived, stripped"),
        ("rubbed down", {"grade": "P400", "took": "2 bar"}, {}, "bar"),
        ("coat done", {"product": "a"}, {}, "coat done: 'coat' is missing"),
        ("note", {"text": "x"}, {"at": "2001-01-01T00:00:00+00:00"},
         "at: 2001-01-01T00:00:00+00:00 is too long ago, or has not come yet"),
    ],
)  # fmt: skip
def test_what_cannot_be_understood_is_told_and_not_kept(opened, kind, fields, more, words):
    with pytest.raises(InputError) as refused:
        actions.note(opened, said(kind, fields, **more))
    assert words in refused.value.sentence
    assert opened.events(JOB) == []


def test_a_folder_that_cannot_be_made(tmp_path):
    (tmp_path / "file").write_text("not a folder")
    with pytest.raises(StoreError, match="set COATWRIGHT_RECORD to a folder you may write in"):
        actions.open_record(Settings(tmp_path / "file" / "shop", "sqlite://", ""))


def test_an_archive_there_and_back(opened, tmp_path):
    actions.note(opened, said("note", {"text": "kept"}))
    archive = actions.archive_of(opened, JOB)
    other = Settings(tmp_path / "other", f"sqlite:///{tmp_path}/other/record.db", "")
    with actions.open_record(other) as second:
        assert actions.take_in(second, archive) == JOB
        assert second.state(JOB) == opened.state(JOB)


def test_moments_as_people_write_them():
    now = START.astimezone()
    assert actions.moment("14:30", now).strftime("%H:%M") == "14:30"
    assert actions.moment("14:30", now).date() == now.date()
    assert actions.moment("2031-05-05T14:30+02:00", now).utcoffset() == timedelta(hours=2)
    assert actions.moment("2031-05-05 14:30", now).tzinfo is not None
    with pytest.raises(InputError, match="'tomorrow' is no moment"):
        actions.moment("tomorrow", now)


PLAN = sample_plan()
AREA = PLAN.areas[0]
PATCH = AREA.patches[0]


def on_patch(*steps) -> Diary:
    """A diary of the first patch of the sample plan."""
    diary = Diary(PLAN.title, area=AREA.key, patch=PATCH.key)
    for step in steps:
        step(diary)
    return diary


def patch_status(diary: Diary, at: float):
    told = actions.status(fold(JOB, diary.events), minute(at), PLAN)
    return next(one for one in told.patches if (one.area, one.patch) == (AREA.key, PATCH.key))


def lay(layer, at, coats=None):
    """All coats of a layer of the plan, half an hour apart."""

    def laid(diary):
        for number in range(coats or round(layer.coats.value)):
            diary.coat(at + 30 * number, layer.product, number + 1)

    return laid


class TestDue:
    """On the invented patch of the sample plan: its layers, and the steps before them."""

    def test_before_anything_its_first_layer_with_its_steps(self):
        told = patch_status(on_patch(), 0)
        first = PATCH.layers[0]
        assert told.standing == "bare"
        assert told.window == "nothing of ours lies on it yet"
        steps = [step.text for step in PATCH.route.steps if step.before == first.product]
        assert told.due == (*steps, f"coat 1 of {first.title}")

    def test_a_coat_that_is_being_sprayed(self):
        first = PATCH.layers[0].product
        diary = on_patch(lambda one: one.say(0, events.CoatBegun(product=first, coat=1)))
        told = patch_status(diary, 3)
        assert told.due == ("note the end of the coat",)
        assert told.window == "a coat is being sprayed, or nobody noted its end"

    def test_all_layers_are_on(self):
        diary = on_patch(*(lay(one, 3000 * n) for n, one in enumerate(PATCH.layers)))
        told = patch_status(diary, 9000)
        cured = diary.events[-1].at + timedelta(seconds=PLANNED.cured)
        assert told.due == (f"all layers are on; hard right through from {cured:%Y-%m-%d %H:%M}",)

    def test_what_is_not_in_the_plan_is_told(self):
        told = patch_status(on_patch(lambda one: one.coat(0, "a-stray")), 100)
        assert told.due[0] == "look again: a-stray lies there, but it is not next in the plan"


class TestRubbedThrough:
    """What is due where metal or a lower layer shows; moments are those of the diary."""

    ETCH, BUILD, SOLID = (one.title for one in PATCH.layers)

    def painted(self, layers=2, planned=PATCH):
        return on_patch(*(lay(one, 3000 * n) for n, one in enumerate(planned.layers[:layers])))

    def due(self, diary, planned=PATCH):
        patch = fold(JOB, diary.events).patch(AREA.key, PATCH.key)
        return [one.text for one in actions.unplanned(patch, planned)]

    def test_to_the_metal_every_layer_is_due_again_the_first_first(self):
        diary = self.painted()
        diary.say(6000, events.BrokeThrough(ground="metal", surface=4e-4))
        told = patch_status(diary, 6001)
        assert told.due[0] == (
            "rubbed through to bare steel 2031-05-09 12:00: clean it and lay "
            f"{self.ETCH}, {self.BUILD} again on those spots, the same day if it is metal"
        )
        assert f"coat 1 of {self.SOLID}" in told.due[-1]

    def test_to_a_lower_layer_only_what_lay_over_it(self):
        diary = self.painted()
        diary.say(6000, events.BrokeThrough(ground="etch"))
        assert self.due(diary) == [
            f"rubbed through to {self.ETCH} 2031-05-09 12:00: {self.BUILD} again on those spots"
        ]

    def test_noted_as_put_right_it_is_done_with_and_no_doubt(self):
        diary = self.painted()
        broke = diary.say(6000, events.BrokeThrough(ground="metal"))
        diary.say(6100, events.Repaired(defect=broke.id, how="etched and built up"))
        state = fold(JOB, diary.events)
        assert self.due(diary) == []
        assert state.doubts == ()
        assert [one.how for one in state.repairs] == ["etched and built up"]
        (done,) = state.patch(AREA.key, PATCH.key).top.broke
        assert done.mended == minute(6100)

    def test_laid_again_layer_by_layer_it_is_done_with_and_nothing_is_stray(self):
        diary = self.painted()
        diary.say(6000, events.BrokeThrough(ground="metal"))
        lay(PATCH.layers[0], 6100)(diary)
        assert self.due(diary)[0].endswith(
            f"clean it and lay {self.BUILD} again on those spots, the same day if it is metal"
        )
        lay(PATCH.layers[1], 9000)(diary)
        assert self.due(diary) == []
        told = patch_status(diary, 12000)
        assert not any("look again" in one for one in told.due)
        assert f"coat 1 of {self.SOLID}" in told.due[-1]

    def test_it_is_not_complete_before(self):
        diary = self.painted(layers=3)
        state = fold(JOB, diary.events)
        assert actions.is_complete(state.patch(AREA.key, PATCH.key), PATCH)
        diary.say(20000, events.BrokeThrough(ground="high-build"))
        state = fold(JOB, diary.events)
        assert not actions.is_complete(state.patch(AREA.key, PATCH.key), PATCH)

    def test_through_old_paint_to_what_no_primer_is_planned_for(self):
        old = replace(PATCH, section=tuple(replace(one, old=True) for one in PATCH.section))
        diary = self.painted()
        diary.say(6000, events.BrokeThrough(ground="metal"))
        assert self.due(diary, old) == [
            "the old paint was rubbed through 2031-05-09 12:00, and the plan has no primer for "
            "what is bare there: tell it apart in the area, so that it is planned anew; metal "
            "the same day"
        ]
        diary = self.painted()
        diary.say(6000, events.BrokeThrough())
        assert self.due(diary, old)[0].startswith("rubbed through to the old paint")

    def test_another_ground_than_thought_is_not_in_the_plan(self):
        diary = self.painted(layers=1)
        diary.say(6000, events.Found(what="not steel", ground="aluminium"))
        assert self.due(diary) == [
            "the ground was found to be aluminium, and the plan is for bare steel: change it in "
            "the area, so that it is planned anew"
        ]
        assert self.due(diary, replace(PATCH, ground="aluminium")) == []


def test_the_next_coat_of_a_layer_after_its_flash():
    first = PATCH.layers[0]
    two = replace(first, coats=replace(first.coats, value=2.0))
    planned = replace(PATCH, layers=(two, *PATCH.layers[1:]))
    diary = on_patch(lay(first, 0, coats=1))
    patch = fold(JOB, diary.events).patch(AREA.key, PATCH.key)
    # Done at minute 5, flash of ten minutes.
    assert list(actions.due(patch, planned, patch.standing(minute(6)))) == [
        f"coat 2 of {two.title}, from 2031-05-05 08:15"
    ]


def test_a_shut_window_comes_first_and_rubbing_settles_it():
    first, second = PATCH.layers[0], replace(PATCH.layers[0], key="top", product="top", title="Top")
    planned = replace(PATCH, layers=(replace(first, coats=replace(first.coats, value=1.0)), second))
    diary = on_patch(lay(first, 0, coats=1))
    patch = fold(JOB, diary.events).patch(AREA.key, PATCH.key)
    late = minute(3 * 1440)
    assert list(actions.due(patch, planned, patch.standing(late))) == [
        "the window is shut: rub down with P400", "coat 1 of Top"
    ]  # fmt: skip
    early = minute(10)
    assert list(actions.due(patch, planned, patch.standing(early))) == [
        "coat 1 of Top, from 2031-05-05 09:05"
    ]
    diary.say(3 * 1440, events.RubbedDown(grade="P400"))
    patch = fold(JOB, diary.events).patch(AREA.key, PATCH.key)
    assert list(actions.due(patch, planned, patch.standing(late))) == ["coat 1 of Top"]


@pytest.mark.parametrize(
    ("at", "words"),
    [
        (10, "not yet: the next layer from 2031-05-05 09:05, until 2031-05-06 08:05"),
        (100, "open until 2031-05-06 08:05"),
        (2000, "shut since 2031-05-06 08:05: rub down with P400"),
    ],
)
def test_the_window_in_words(at, words):
    diary = Diary(area="roof")
    diary.coat(0, "epoxy")
    told = actions.status(fold(JOB, diary.events), minute(at))
    assert [patch.window for patch in told.patches] == [words]


def test_status_without_a_plan_shows_what_the_record_knows():
    diary = Diary(area="roof")
    diary.coat(0, "epoxy")
    diary.say(900, events.RubbedDown(grade="P400", product="epoxy", took=5e-6))
    diary.say(901, events.CoatDone(product="clear", coat=1))
    told = actions.status(fold(JOB, diary.events), minute(1000))
    (patch,) = told.patches
    assert [(one.product, one.coats, one.rubbed) for one in patch.layers] == [
        ("epoxy", 1, ("P400",)), ("clear", 1, ())
    ]  # fmt: skip
    # 30 um with 4 um standard deviation less 5 um: 25 +/- 1.2816 x 4.
    assert patch.layers[0].film.value == pytest.approx(25e-6)
    assert patch.layers[0].film.spread == pytest.approx((19.87e-6, 30.13e-6), abs=1e-8)
    assert told.doubts == ("2031-05-05 23:01: coat 1 of clear was done but never begun",)
