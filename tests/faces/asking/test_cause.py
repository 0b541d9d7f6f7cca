"""coatwright cause: the ranking in words, with figures, places and times."""

import json

import pytest

from coatwright.faces.cli import codes
from coatwright.faces.cli.main import run
from histories.faults import FAULTS, Case
from histories.sets import in_bounds, planted


@pytest.fixture
def ran(capsys, monkeypatch):
    monkeypatch.setenv("COLUMNS", "100")

    def once(*arguments):
        with pytest.raises(SystemExit) as left:
            run(["cause", *arguments])
        out = capsys.readouterr()
        return int(left.value.code or 0), out.out.replace("\N{NO-BREAK SPACE}", " "), out.err

    return once


@pytest.fixture
def kept(tmp_path):
    def write(events):
        path = tmp_path / "history.jsonl"
        path.write_text("\n".join(one.model_dump_json() for one in events))
        return str(path)

    return write


def test_the_demo_says_what_why_and_what_to_do(ran):
    code, told, _ = ran("demo")
    assert code == codes.FINE
    assert "Solvent pop: boot-lid, lacquer, Thu 14 May" in told
    assert "1. The coats came too fast one on another. (" in told
    assert "+ flash-off cut short: 3.4 min (1.5–5.3), at least 10 min (lacquer, coat 2, Sat" in told
    assert "Now: Let it cure, sand to below the holes" in told
    assert "Less likely" in told
    assert "- the layer is no thicker than its sheet allows: " in told
    assert "! Dust of two-pack paint" in told


def test_american_units(ran):
    told = ran("demo", "--units", "us")[1]
    assert "at most 3.0 mil" in told
    assert "µm" not in told


def test_an_answer_is_taken_and_told(ran):
    before, after = (
        " ".join(told.split())
        for told in (ran("demo")[1], ran("demo", "--found", "lamp-before-flash=no")[1])
    )
    assert "--found lamp-before-flash=yes or no" in before
    assert "--found" not in after
    assert "- Was a lamp or the oven switched on before the flash-off was over? no" in after


def test_nobody_is_named_where_all_is_in_bounds(ran, kept):
    for history in in_bounds(3, seed=5):
        told = ran(kept(history.events))[1]
        assert "Nothing in the record explains it." in told
        assert "\n  + " not in told


def test_what_was_not_recorded_is_said(ran, kept):
    case = Case("orange-peel", "pressure-low")
    events = planted(case, FAULTS[case], 5).events
    told = ran(kept([one for one in events if one.body.kind != "air read"]))[1]
    assert "Nothing in the record explains it." in told
    assert "? pressure at the gun: not recorded" in told
    assert "Not recorded: pressure at the gun" in told
    assert "Read the gauge at the gun with the trigger pulled" in told


@pytest.mark.parametrize(
    ("case", "shown"),
    [
        (Case("scratch-swelling", "too-coarse"), ", at least P500 (solid, "),
        (Case("bloom", "dew"), "+ the metal was near the dew point: "),
        (Case("fisheyes", "air-line"), "+ water came out of the air line (lacquer, "),
        (Case("soft-film", "hardener-old"), "+ a tin was past its date: "),
    ],
)
def test_every_kind_of_evidence_is_told(ran, kept, case, shown):
    assert shown in ran(kept(planted(case, FAULTS[case], 1).events))[1]


def test_machines_get_si_figures(ran):
    told = json.loads(ran("demo", "--json")[1])
    [first, *_] = told["causes"]
    assert first["cause"]["key"] == "flash"
    assert first["blamed"] is True
    assert first["speaks_for"][0]["bound"]["value"] == 600.0
    assert first["speaks_for"][0]["bound"]["unit"] == "s"
    assert told["explained"] is True


@pytest.mark.parametrize(
    ("arguments", "code", "sentence"),
    [
        (("demo", "rnus"), codes.NOT_FOUND, "no defect is called 'rnus'; try 'runs'"),
        (("nowhere.zip",), codes.NOT_FOUND, "there is no file 'nowhere.zip'"),
        (("demo", "--found", "fibres=yes"), codes.USAGE, "'fibres' is no check of solvent pop"),
        (("demo", "--found", "fibres"), codes.USAGE, "'fibres' is no answer; write CHECK=yes"),
    ],
)
def test_faults(ran, arguments, code, sentence):
    left, _, said = ran(*arguments)
    assert (left, sentence in said) == (code, True), said
