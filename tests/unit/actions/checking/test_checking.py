"""Looking things over: history and undo, patches, gauges of the air line, climate, trade words."""

import tomllib
from datetime import UTC, datetime, timedelta
from importlib.resources import files

import psychrolib
import pytest

from coatwright.actions.checking.climate import climates
from coatwright.actions.checking.gauges import air_bench, keep_gauges
from coatwright.actions.checking.glossary import glossary
from coatwright.actions.checking.history import history, undo
from coatwright.actions.checking.patches import lies
from coatwright.actions.shop import Shop
from coatwright.errors import InputError
from coatwright.figures import Figure
from coatwright.planning.conditions.air.supply import gauge, kit_for, settings, supply_of
from coatwright.record.events import (
    AirRead,
    ClimateRead,
    CoatBegun,
    CoatDone,
    Degreased,
    FilmRead,
    Note,
)
from coatwright.record.store.ledger import Record

TEXT = (files("coatwright") / "data" / "demo" / "practice-board.toml").read_text("utf-8")
BAR = 1e5


@pytest.fixture
def shop(tmp_path):
    moment = [datetime(2031, 5, 5, 8, 0, tzinfo=UTC)]

    def clock():
        moment[0] += timedelta(minutes=1)
        return moment[0]

    with Record(f"sqlite:///{tmp_path / 'record.db'}", tmp_path / "files") as record:
        made = Shop(record, tmp_path, clock)
        made.take_in("board", TEXT, "painter")
        yield made


def test_history_is_newest_first_and_says_figures_with_their_purpose(shop):
    shop.happened("board", "learner", Note(text="a run at the edge"), "board", "primed")
    shop.happened("board", "painter", FilmRead(method="gauge", readings=(52e-6, 61e-6)), "board")
    lines = history(shop, "board").lines
    assert [line.kind for line in lines] == ["film read", "note", "described"]
    assert lines[0].place == "Board, front"
    shown = next(one for one in lines[0].details if one.name == "readings").said
    assert [(one.value, one.purpose) for one in shown if isinstance(one, Figure)] == [
        (52e-6, "film"),
        (61e-6, "film"),
    ]


def test_search_wants_every_word_and_finds_who_what_and_where(shop):
    shop.happened("board", "learner", Note(text="a run at the edge"), "board")
    shop.happened("board", "painter", Note(text="a run in the middle"), "board")
    assert history(shop, "board", "run").found == 2
    assert [line.who for line in history(shop, "board", "RUN learner").lines] == ["learner"]
    assert history(shop, "board", "run learner middle").found == 0
    assert history(shop, "board", "front").found == 2


def test_history_comes_in_parts(shop):
    for number in range(45):
        shop.happened("board", "painter", Note(text=f"note {number}"))
    first, rest = history(shop, "board"), history(shop, "board", skip=40)
    assert (len(first.lines), first.more, first.found) == (40, 6, 46)
    assert (len(rest.lines), rest.more) == (6, 0)
    assert rest.lines[-1].kind == "described"
    assert len(history(shop, "board", most=None).lines) == 46


def test_undo_needs_a_reason_and_is_itself_to_be_seen(shop):
    event = shop.happened("board", "painter", Degreased(product="wipe"), "board")
    with pytest.raises(InputError, match="reason"):
        undo(shop, "board", "painter", event.id, " ")
    undo(shop, "board", "learner", event.id, "it was the other board")
    top, below, _ = history(shop, "board").lines
    assert (top.kind, top.undone, top.who) == ("corrected", "degreased", "learner")
    assert below.struck == "it was the other board"
    undo(shop, "board", "learner", top.id, "no, it was this one")
    assert history(shop, "board", "wipe").lines[0].struck == ""


def test_the_only_description_of_a_job_stays(shop):
    described = shop.record.events("board")[0]
    with pytest.raises(InputError, match="no job"):
        undo(shop, "board", "painter", described.id, "wrong")
    with pytest.raises(InputError, match="another job"):
        undo(shop, "elsewhere", "painter", described.id, "wrong")


def test_what_lies_there_now_and_at_a_moment_gone_by(shop):
    assert lies(shop, "board").patches[0].window == "nothing of ours lies on it yet"
    before = shop.clock()
    for body in (CoatBegun(product="solid-two-pack", coat=1),
                 CoatDone(product="solid-two-pack", coat=1)):  # fmt: skip
        shop.happened("board", "painter", body, "board", "primed")
    now = lies(shop, "board", UTC).patches[0]
    assert [layer.key for layer in now.told.layers] == ["0-solid-two-pack"]
    assert now.due == ()  # no plan has been computed
    assert not lies(shop, "board", UTC, before).patches[0].told.layers


def read_air(shop, where, pressure, *, trigger=True):
    body = AirRead(where=where, pressure=pressure, trigger=trigger, gun="colour-gun")
    return shop.happened("board", "painter", body)


def test_the_line_is_fitted_to_two_gauges(shop):
    """A line of known friction shows what it shows; from that its friction must come back."""
    job = shop.open("board").bench.job
    gun = job.workshop.guns[0]
    hose = job.workshop.hose.model_copy(update={"friction": 2.0})
    rough = supply_of(job.workshop.model_copy(update={"hose": hose}))
    march = settings(kit_for(rough, gun, 2.0 * BAR), gun)
    bare = air_bench(shop, "board")
    assert (bare.pairs, bare.line.used, bare.counts) == ((), False, False)
    read_air(shop, "wall", gauge(march.regulated))
    read_air(shop, "gun", gauge(march.gun))
    found = air_bench(shop, "board")
    assert found.line.used
    assert found.line.after.friction.value == pytest.approx(2.0, rel=1e-3)
    assert found.line.after.friction.basis == "measured"
    # More is lost on the way, so more must stand at the wall for the same at the gun.
    assert found.line.gun_after.wall.value > found.line.gun_before.wall.value
    assert all(wall > at for wall, at in zip(
        found.line.line_after.wall, found.line.line_after.at_gun, strict=True
    ))  # fmt: skip


def test_readings_count_in_the_plan_once_somebody_says_so(shop):
    with pytest.raises(InputError, match="together"):
        keep_gauges(shop, "board", "painter")
    read_air(shop, "wall", 3.3 * BAR, trigger=False)
    read_air(shop, "wall", 3.0 * BAR)
    read_air(shop, "gun", 2.0 * BAR)
    assert not air_bench(shop, "board").counts
    keep_gauges(shop, "board", "painter")
    assert air_bench(shop, "board").counts
    (kept,) = shop.open("board").bench.job.workshop.hose.gauges
    assert (kept.gun, kept.wall, kept.at_gun, kept.released) == pytest.approx(
        ("colour-gun", 3.0 * BAR, 2.0 * BAR, 3.3 * BAR)
    )


def test_readings_that_cannot_be_are_left_out_and_said(shop):
    read_air(shop, "wall", 2.0 * BAR)
    read_air(shop, "gun", 2.4 * BAR)
    found = air_bench(shop, "board")
    assert "more than the wall" in found.pairs[0].fault
    assert not found.line.used


def test_a_reading_at_the_gun_alone_is_no_pair(shop):
    read_air(shop, "gun", 2.0 * BAR)
    found = air_bench(shop, "board")
    assert (found.pairs, found.stray) == ((), 1)
    event = read_air(shop, "wall", 2.8 * BAR)
    assert air_bench(shop, "board").stray == 0
    shop.undo("board", "painter", event.id)
    assert air_bench(shop, "board").stray == 1


def test_metal_above_the_dew_point_against_psychrolib(shop):
    body = ClimateRead(air=292.15, metal=287.15, humidity=0.7)
    shop.happened("board", "painter", body)
    (told,) = climates(shop.open("board").state)
    psychrolib.SetUnitSystem(psychrolib.SI)
    dew = psychrolib.GetTDewPointFromRelHum(19.0, 0.7)
    assert told.dew_point.value - 273.15 == pytest.approx(dew, abs=0.1)
    assert told.margin.value == pytest.approx(14.0 - dew, abs=0.1)
    assert told.near == (14.0 - dew < 3.0)


def test_climate_without_metal_has_no_margin(shop):
    shop.happened("board", "painter", ClimateRead(air=292.15, humidity=0.7), "board")
    (told,) = climates(shop.open("board").state)
    assert (told.area, told.metal, told.margin) == ("board", None, None)


def test_trade_words_are_found_by_what_they_are_called_elsewhere():
    assert [one.key for one in glossary("rocker panel")] == ["sill"]
    assert "thinner" in [one.key for one in glossary("Reducer")]
    assert glossary("no such word") == ()


def test_the_words_are_in_order_and_each_says_what_it_means():
    words = glossary()
    assert [one.word.casefold() for one in words] == sorted(one.word.casefold() for one in words)
    text = (files("coatwright") / "data" / "glossary.toml").read_text("utf-8")
    assert len(words) == len(tomllib.loads(text)) >= 60
    assert all(one.means and one.german for one in words)
