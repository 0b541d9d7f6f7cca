"""The commands note and record, run for real on a record of their own."""

import json

import pytest

from coatwright.faces.cli.main import run


@pytest.fixture
def told(tmp_path, monkeypatch, capsys):
    """Runs a command in a folder of its own; exit code, output, errors."""
    monkeypatch.setenv("COATWRIGHT_RECORD", str(tmp_path / "shop"))
    monkeypatch.setenv("COATWRIGHT_SETTINGS", str(tmp_path / "none.toml"))
    monkeypatch.setenv("COATWRIGHT_WHO", "Wren")
    monkeypatch.chdir(tmp_path)

    def ran(*arguments):
        with pytest.raises(SystemExit) as left:
            run(arguments)
        out = capsys.readouterr()
        return left.value.code, out.out, out.err

    return ran


def coat(told, *more):
    for kind in ("coat begun", "coat-done"):
        code, *_ = told("note", "demo", kind, "product=epoxy", "coat=1", "--area", "roof", *more)
        assert code == 0


def test_what_is_noted_lies_there(told):
    coat(told)
    code, out, _ = told("record", "demo")
    assert code == 0
    assert "roof [roof]" in out
    assert "epoxy, 1 coat, film not known." in out
    assert "Window: not known: the coat was laid without a plan." in out


def test_a_note_says_its_number_and_its_id(told):
    code, out, _ = told("note", "roadster.toml", "note", "text=rain today")
    assert (code, "note, number 1" in out) == (0, True)
    code, out, _ = told("note", "roadster", "note", "text=sun", "--json")
    kept = json.loads(out)
    assert (code, kept["number"], kept["job"], kept["who"]) == (0, 2, "roadster", "Wren")


def test_a_mistake_is_struck_out(told):
    _, out, _ = told("note", "demo", "defect seen", "defect=run", "--json", "--area", "roof")
    wrong = json.loads(out)["id"]
    code, *_ = told("note", "demo", "corrected", f"event={wrong}", "why=a shadow")
    assert code == 0
    _, out, _ = told("record", "demo", "--json")
    assert json.loads(out)["events"] == 0


def test_a_file_shows_it(told, tmp_path):
    (tmp_path / "left.jpg").write_bytes(b"picture")
    _, out, _ = told("note", "demo", "photographed", "--photo", "left.jpg", "--json")
    (name,) = json.loads(out)["evidence"]
    assert (tmp_path / "shop" / "files" / name[:2] / name).read_bytes() == b"picture"


def test_a_job_goes_elsewhere(told, tmp_path, monkeypatch):
    coat(told)
    code, out, _ = told("record", "demo", "--export", "demo.zip")
    assert (code, "The whole job is in demo.zip" in out) == (0, True)
    monkeypatch.setenv("COATWRIGHT_RECORD", str(tmp_path / "other"))
    code, out, _ = told("record", "demo.zip", "--take-in")
    assert (code, "epoxy, 1 coat" in out) == (0, True)
    (tmp_path / "demo.zip").write_bytes(b"nothing")
    code, _, err = told("record", "demo.zip", "--take-in")
    assert (code, "this archive is not imported: it is no whole zip file" in err) == (2, True)


def test_who_took_the_work_over_and_what_came_after(told):
    coat(told)
    assert "taken over" not in told("record", "demo")[1].lower()
    code, *_ = told("note", "demo", "taken-over", "by=the owner", "remarks=a run")
    assert code == 0
    coat(told)
    _, out, _ = told("record", "demo")
    assert "Taken over by the owner, " in out
    assert "left to do, or not as agreed: a run; noted since then: 2" in " ".join(out.split())


def test_a_moment_gone_by(told):
    coat(told, "--at", "00:00")
    code, out, _ = told("record", "demo", "--at", "2020-01-01 12:00")
    assert (code, "0 events" in out) == (0, True)


@pytest.mark.parametrize(
    ("arguments", "code", "words"),
    [
        (("record", "nothing"), 4, "nothing is known of job 'nothing'; the record is empty"),
        (("note", "demo", "painted"), 2, "'painted' is nothing that can be noted"),
        (("note", "demo", "note", "text"), 2, "'text' is no detail; write NAME=VALUE"),
        (("note", "demo", "note", "text=x", "--at", "noon"), 2, "'noon' is no moment"),
        (("note", "demo", "arrived", "condition=fair", "--who", ""), 0, ""),
        (("note", "demo", "photographed", "--photo", "none.jpg"), 2, "cannot read none.jpg"),
        (("record", "none.zip", "--take-in"), 2, "cannot read none.zip"),
    ],
)
def test_exit_codes_and_words(told, arguments, code, words):
    found, _, err = told(*arguments)
    assert (found, words in err) == (code, True), err


def test_a_record_that_cannot_be_opened(told, monkeypatch):
    monkeypatch.setenv("COATWRIGHT_DATABASE", "sqlite:////no/such/folder/record.db")
    code, _, err = told("record", "demo")
    assert (code, "the record cannot be read or written" in err) == (8, True)


def test_nobody_did_it(told, monkeypatch):
    monkeypatch.setenv("COATWRIGHT_WHO", "")
    code, _, err = told("note", "demo", "note", "text=x")
    assert (code, "who" in err) == (2, True)
