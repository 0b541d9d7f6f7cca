"""Asking why: by recorded defect or by name, from events, a file or a record."""

from datetime import timedelta

import pytest

from coatwright.actions.asking.causes import Asked, named, read_events, why, why_from, why_in
from coatwright.errors import InputError, NotFound
from coatwright.record import events as ev
from coatwright.record.store.archive import export_job
from coatwright.record.store.ledger import Record
from histories.faults import FAULTS, Case
from histories.sets import planted

CASE = Case("bloom", "dew")
EVENTS = planted(CASE, FAULTS[CASE], 4).events


def test_the_defect_recorded_last_is_meant():
    told = why(EVENTS)
    assert (told.defect.key, told.area, told.product) == ("bloom", "door", "lacquer")
    assert [one.cause.key for one in told.blamed] == ["dew"]


def test_a_defect_that_is_named_is_looked_for_in_the_only_area():
    told = why(EVENTS[:-1], Asked(defect="blushing"))
    assert (told.defect.key, told.area, told.product) == ("bloom", "door", "lacquer")
    assert told.blamed[0].cause.key == "dew"


def test_the_layer_asked_for_counts():
    """The primers were sprayed clear of the dew point."""
    told = why(EVENTS, Asked(product="epoxy"))
    assert (told.product, told.blamed) == ("epoxy", ())


@pytest.mark.parametrize(
    ("words", "key"),
    [("runs", "runs"), ("Orange  Peel", "orange-peel"), ("cissing", "fisheyes"),
     ("clear peel", "lacquer-peel")],
)  # fmt: skip
def test_other_words_for_it(words, key):
    assert named(words).key == key


def test_an_unknown_word_gets_those_that_come_close():
    with pytest.raises(NotFound) as fault:
        named("fisheye")
    assert fault.value.sentence == "no defect is called 'fisheye'; try 'fisheyes'"


def test_what_is_missing_is_asked_for():
    with pytest.raises(NotFound, match="no defect is recorded here"):
        why(EVENTS[:-1])
    with pytest.raises(NotFound, match="no coat is on record"):
        why([one for one in EVENTS if one.body.kind == "climate read"], Asked(defect="runs"))
    other = ev.said("invented", "Ivo", EVENTS[-1].at,
                    ev.CoatBegun(product="colour", coat=1), "bonnet")  # fmt: skip
    with pytest.raises(NotFound, match="several areas; name one of bonnet, door"):
        why([*EVENTS[:-1], other], Asked(defect="runs"))


def test_an_answer_must_be_to_a_check_of_the_defect():
    with pytest.raises(InputError) as fault:
        why(EVENTS, Asked(answers={"fibres": True}))
    assert fault.value.sentence == "'fibres' is no check of bloom; it has no checks"


def test_a_corrected_defect_is_followed():
    struck = ev.said("invented", "Ivo", EVENTS[-1].at + timedelta(hours=1),
                     ev.Corrected(event=EVENTS[-1].id, why="a reflection"))  # fmt: skip
    with pytest.raises(NotFound, match="no defect is recorded here"):
        why([*EVENTS, struck])


@pytest.fixture
def shop(tmp_path, monkeypatch):
    """A record that the settings name, with the job in it."""
    monkeypatch.setenv("COATWRIGHT_RECORD", str(tmp_path))
    monkeypatch.setenv("COATWRIGHT_DATABASE", f"sqlite:///{tmp_path / 'shop.db'}")
    with Record(f"sqlite:///{tmp_path / 'shop.db'}", tmp_path / "files") as record:
        record.write_all(EVENTS)
        yield record


def test_from_the_record_of_the_shop(shop):
    assert why_in(shop, "invented").blamed == why(EVENTS).blamed
    assert why_from("invented").blamed == why(EVENTS).blamed
    assert why_from("somewhere/invented.toml").blamed == why(EVENTS).blamed
    with pytest.raises(NotFound) as fault:
        why_from("other")
    assert fault.value.sentence == "the record holds no job 'other'; it holds invented"


def test_from_an_archive(shop, tmp_path):
    path = tmp_path / "handed-over.zip"
    path.write_bytes(export_job(shop, "invented"))
    assert why_from(str(path)).blamed == why(EVENTS).blamed
    with pytest.raises(NotFound, match=r"there is no file 'none\.zip'"):
        why_from("none.zip")


def test_from_a_file_of_events(tmp_path):
    path = tmp_path / "history.jsonl"
    path.write_text("\n".join(one.model_dump_json() for one in EVENTS))
    assert why_from(str(path)).blamed == why(EVENTS).blamed


def test_a_line_that_is_no_event_is_named():
    with pytest.raises(InputError) as fault:
        read_events(f"{EVENTS[0].model_dump_json()}\n\n{{}}\n", "x.jsonl")
    assert (fault.value.file, fault.value.line) == ("x.jsonl", 3)


def test_the_invented_history_of_the_package():
    """Scripted: the second coat of lacquer came after a third of its flash-off."""
    told = why_from("demo")
    assert told.defect.key == "solvent-pop"
    assert [one.cause.key for one in told.blamed] == ["flash"]
    assert told.checks[0].key == "lamp-before-flash"
