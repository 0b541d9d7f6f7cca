"""Plan and record joined: films as found, what ISO 19840 says of them, what is not known."""

import math
from dataclasses import replace
from datetime import UTC, datetime, timedelta, timezone

import pytest

from coatwright.actions.dossier import dossier, dossier_in, dossier_of
from coatwright.actions.dossier.care import care_for
from coatwright.actions.plans import plan_job
from coatwright.actions.shop import Shop
from coatwright.actions.workshop import open_bench
from coatwright.errors import NotFound
from coatwright.record.events import (
    BrokeThrough,
    CoatBegun,
    CoatDone,
    FilmRead,
    Planned,
    RubbedDown,
    Stripped,
)
from coatwright.record.fold import fold
from coatwright.record.store.ledger import Record
from painted import Painter, painted

UM = 1e-6
PLAN = Planned(
    dry=30 * UM, dry_spread=3 * UM, surface=0.54, least=50 * UM, most=80 * UM,
    family="two-pack solid colour",
)  # fmt: skip


@pytest.fixture(scope="module")
def bench():
    return open_bench("practice")


@pytest.fixture(scope="module")
def plan():
    return plan_job("practice")


@pytest.fixture
def tell(bench, plan):
    """The one patch of the board after these events, and the dossier it stands in."""

    def told(*bodies, days=30):
        painter = Painter(bench, plan, "practice")
        for body in bodies:
            painter.say(body, "board", "primed")
        state = fold("practice", painter.told)
        now = painter.now + timedelta(days=days)
        made = dossier_of(state, plan, bench, now)
        return made.areas[0].patches[0], made

    return told


def coats(count=2, planned=PLAN, product="solid-two-pack"):
    return [
        body
        for number in range(1, count + 1)
        for body in (
            CoatBegun(product=product, coat=number, planned=planned),
            CoatDone(product=product, coat=number),
        )
    ]


def gauge(*microns, zero=0.0):
    return FilmRead(method="gauge", readings=[m * UM for m in microns], zero=zero * UM)


def test_nothing_painted_is_said_so(tell):
    patch, made = tell()
    assert (patch.found, patch.layers) == ((), ())
    assert patch.missing == "Nothing of ours lies on it by the record."
    assert "Nothing that was to be laid is in the record: Board, front" in made.doubts
    assert made.recoats == ()


def test_old_paint_stands_under_the_new_unless_it_was_stripped(tell):
    patch, _ = tell(*coats())
    assert [band.old for band in patch.found] == [True, True, False]
    assert patch.found_total.value == pytest.approx((60 + 120 + 60) * UM)
    bare, _ = tell(Stripped(ground="bare steel"), *coats())
    assert [band.old for band in bare.found] == [False]
    assert bare.title == "bare steel"


def test_without_readings_found_is_what_was_planned_and_not_called_measured(tell):
    patch, _ = tell(*coats())
    assert patch.layers[0].planned.value == pytest.approx(60 * UM)
    assert patch.layers[0].found is None
    assert patch.found[-1].laid.basis == "formula"


def test_the_ends_of_a_film_are_its_10_and_90_percent_points(tell):
    # 1.2816 standard deviations: the normal distribution, as in any table of it.
    patch, _ = tell(*coats())
    low, high = patch.layers[0].planned.spread
    assert (high - low) / 2 == pytest.approx(1.2816 * 6 * UM, rel=1e-4)


def test_what_was_rubbed_off_is_drawn_and_taken_off(tell):
    patch, _ = tell(*coats(), RubbedDown(grade="P800", product="solid-two-pack", took=8 * UM))
    band = patch.found[-1]
    assert band.rubbed.value == pytest.approx(8 * UM)
    assert band.laid.value - band.rubbed.value == pytest.approx(52 * UM)
    (rub,) = patch.layers[0].rubbed
    assert (rub.how, rub.took.value) == ("P800, dry", pytest.approx(8 * UM))


@pytest.mark.parametrize(
    ("readings", "verdict", "unmet"),
    [
        # ISO 19840: mean at least nominal, none under 80 %, fewer than 20 % under nominal.
        ((50, 55, 60, 58, 52), "passes", 0),
        ((60, 60, 60, 60, 39), "does not pass", 2),
        ((60, 60, 90, 60, 60), "does not pass", 1),
        ((41, 42, 43, 44, 45), "does not pass", 2),
    ],
)
def test_gauge_readings_are_judged_by_the_sheets_least(readings, verdict, unmet, tell):
    patch, _ = tell(*coats(), gauge(*readings))
    (one,) = patch.readings
    assert one.wanted.value == pytest.approx(50 * UM)
    assert (one.verdict, len(one.unmet)) == (verdict, unmet)
    assert one.film.value == pytest.approx(sum(readings) / len(readings) * UM)
    assert one.film.spread == pytest.approx((min(readings) * UM, max(readings) * UM))


def test_zero_and_rubbing_shift_what_is_wanted(tell):
    rub = RubbedDown(grade="P800", product="solid-two-pack", took=6 * UM)
    patch, _ = tell(*coats(), rub, gauge(60, 60, 60, 60, 60, zero=15))
    (one,) = patch.readings
    assert one.wanted.value == pytest.approx(44 * UM)
    assert one.film.value == pytest.approx(45 * UM)
    assert one.verdict == "passes"


@pytest.mark.parametrize(
    ("bodies", "why"),
    [
        ([*coats(1), gauge(30, 31), *coats(2)[2:]], "read after coat 1 of 2"),
        ([*coats(2, planned=None), gauge(60, 61)], "laid without a plan"),
        (
            [*coats(), RubbedDown(grade="P80", product="solid-two-pack", took=55 * UM), gauge(5)],
            "more was noted as rubbed off",
        ),
        (
            [*coats(2, planned=PLAN.model_copy(update={"least": 20 * UM})), gauge(60, 61)],
            "does not speak of nominal films below 40 um",
        ),
    ],
)
def test_where_no_rule_can_be_asked_it_says_why(bodies, why, tell):
    (one,) = tell(*bodies)[0].readings
    assert one.verdict == "not judged"
    assert why in one.why


def test_when_it_is_hard_follows_from_its_last_coat(tell):
    cured = PLAN.model_copy(update={"cured": 7 * 86400.0})
    layer = tell(*coats(planned=cured))[0].layers[0]
    # Coat 2 was done four minutes after it was begun.
    assert layer.hard - layer.coats[-1].at == timedelta(days=7, minutes=4)
    assert tell(*coats())[0].layers[0].hard is None


def test_a_coat_without_a_plan_is_not_drawn(tell):
    patch, _ = tell(*coats(1, planned=None))
    assert patch.found == ()
    assert patch.missing.startswith("Not drawn: two-pack solid colour")


def test_doubts_are_said_openly(tell):
    _, made = tell(*coats(), gauge(200, 210, 205, 220, 190, 215))
    said = "\n".join(made.doubts)
    assert "The readings contradict what was planned" in said
    assert "no zero was noted for it" in said
    _, orphan = tell(CoatDone(product="solid-two-pack", coat=1), gauge(60))
    assert orphan.doubts


def test_what_may_go_over_it_follows_from_the_rules_and_its_age(tell):
    _, fresh = tell(*coats(), days=0)
    _, old = tell(*coats(), days=400)
    assert old.recoats[0].age.value == pytest.approx(400 * 86400, rel=0.01)
    answers = [
        {over.key: (over.verdict, over.text) for over in made.recoats[0].over}
        for made in (fresh, old)
    ]
    assert set(answers[0]) >= {"epoxy", "solid-two-pack", "cellulose", "synthetic"}
    assert answers[0] != answers[1]
    assert answers[1]["solid-two-pack"] == ("yes if", "degreased; keyed")


def test_a_break_through_stands_with_its_layer_and_among_what_happened(tell):
    patch, made = tell(*coats(), BrokeThrough(ground="metal", surface=3e-4))
    (broke,) = patch.layers[0].broke
    assert (broke.ground, broke.surface.value) == ("metal", 3e-4)
    assert [one.what for one in made.entries] == ["rubbed through to metal"]


def test_all_else_that_happened_is_told_once_and_in_order(bench, plan):
    events = painted(bench, plan, "practice", ["board"])
    made = dossier_of(fold("practice", events), plan, bench, events[-1].at)
    assert [one.at for one in made.entries] == sorted(one.at for one in made.entries)
    assert len({one.key for one in made.entries}) == len(made.entries)
    (extra,) = made.extras
    assert (extra.status, extra.answers[0].who) == ("approved", "the owner")
    assert extra.price.spread == (90.0, 160.0)
    poured = {tin.key: tin.poured.value for tin in made.mixes[0].tins}
    assert all(math.isfinite(mass) for mass in poured.values())
    assert made.mixes[0].tins[0].lot == "S-4100"


def test_care_speaks_of_what_lies_there():
    everybody = {one.key for one in care_for(())}
    assert {"sheets", "wash", "spills"} <= everybody
    assert "no-wax" not in everybody
    assert {"no-wax", "polish"} <= {one.key for one in care_for({"two-pack solid colour"})}
    assert all(one.source == "common practice, no source" for one in care_for(()))


def test_a_record_by_its_job_file_or_by_the_shop(tmp_path, bench, plan):
    zone = timezone(timedelta(hours=2))
    events = painted(bench, plan, "practice", ["board"])
    now = datetime(2031, 7, 1, tzinfo=UTC)
    with Record(f"sqlite:///{tmp_path / 'r.db'}", tmp_path / "files", clock=lambda: now) as record:
        with pytest.raises(NotFound, match="nothing is known of job 'practice'"):
            dossier_in(record, "practice", "practice")
        record.write_all(events)
        noted = dossier_in(record, "practice", "practice", zone)
        shop = Shop(record, tmp_path, clock=lambda: now)
        shop.take_in("practice", bench.file.text, "the painter")
        assert dossier(shop, "practice", zone).areas == noted.areas
        assert dossier_in(record, "no-such-file.toml", "practice", zone).areas == noted.areas
    assert noted.made.utcoffset() == timedelta(hours=2)


def test_an_area_the_plan_does_not_know_is_told_too(bench, plan):
    painter = Painter(bench, plan, "practice")
    for body in coats():
        painter.say(body, "tailboard")
    made = dossier_of(fold("practice", painter.told), plan, bench, painter.now)
    stray = made.areas[-1]
    assert (stray.title, stray.surface) == ("tailboard", None)
    assert stray.patches[0].planned == ()
    assert stray.patches[0].found
    assert replace(stray.patches[0], found=()).missing == ""


def test_a_place_rubbed_through_to_old_paint_says_so(tell):
    patch, made = tell(
        CoatBegun(product="solid-two-pack", coat=1, planned=PLAN),
        CoatDone(product="solid-two-pack", coat=1),
        BrokeThrough(),
    )
    assert [one.ground for one in patch.layers[0].broke] == ["what lay there before"]
    (one,) = made.handover.defects
    assert one.what.startswith("rubbed through to the old paint")
