"""Reading TOML: syntax faults, files that are none, and the way from text to model."""

from pathlib import Path

import pytest
from pydantic import model_validator

from coatwright.errors import InputError, InputErrors
from coatwright.intake import toml
from coatwright.model.quantity import Length, Part


class Thing(Part):
    name: str
    wide: Length = 1.0
    count: int = 1
    firm: bool = False


QUOTES = 'put text and quantities in quotes, e.g. "1.8 mm"'
SYNTAX = [
    ('name = "x', "t.toml:1: a text is not closed; add the missing quote"),
    ("name", "t.toml:1: a key without '=' after it; write key = value, e.g. title = \"roof\""),
    ('a = 1\nname "x"',
     "t.toml:2, column 6: a key without '=' after it; write key = value, e.g. title = \"roof\""),
    ("wide = 1.8 mm",
     f"t.toml:1, column 12: something stands after the end of the value; {QUOTES}"),
    ("wide = mm",
     f"t.toml:1, column 8: no value that TOML knows; {QUOTES}"),
    ("wide =",
     f"t.toml:1: no value that TOML knows; {QUOTES}"),
    ('name = "x"\nname = "y"',
     "t.toml:2: the same table or key stands twice; keep one of them"),
    ("[a]\n[a]", "t.toml:2, column 3: the same table or key stands twice; keep one of them"),
    ("a = {x = 1, x = 2}",
     "t.toml:1, column 18: the same key stands twice inside { }; keep one of them"),
    ("a = {x = 1}\n[a.b]",
     "t.toml:2, column 5: the same table or key stands twice; keep one of them"),
    ("[a", "t.toml:1: a table heading is not closed; write it as [name]"),
    ("[[a]", "t.toml:1, column 4: a table heading is not closed; write it as [[name]]"),
    ("= 3", "t.toml:1, column 1: neither a key nor a table heading; write key = value or [table]"),
    ("a = [1, 2", "t.toml:1: a list is not closed; add the missing ] or comma"),
    ("a = [1 2]", "t.toml:1, column 8: a list is not closed; add the missing ] or comma"),
    ("a = {x = 1", "t.toml:1: a table in { } is not closed; add the missing } or comma"),
    ('name = "\\q"',
     "t.toml:1, column 11: a backslash that means nothing here; write \\\\ for one backslash"),
    ('name = "a\nb"',
     "t.toml:1, column 10: a line end or control character in a text; close the quote first"),
    ("a = 2020-02-31", "t.toml:1, column 5: no valid date or time; write it in quotes"),
    ("a. = 1",
     "t.toml:1, column 4: a key cannot begin like this; use letters, digits, - and _, or quotes"),
]  # fmt: skip


@pytest.mark.parametrize(("text", "sentence"), SYNTAX, ids=[text for text, _ in SYNTAX])
def test_syntax_word_for_word(text, sentence):
    with pytest.raises(InputError) as caught:
        toml.parse(text, "t.toml")
    assert caught.value.sentence == sentence


@pytest.mark.parametrize("text", ["a = " + "[" * 5000, "a = " + "[" * 5000 + "]" * 5000])
def test_absurd_nesting_is_refused(text):
    with pytest.raises(InputError, match="nested too deeply"):
        toml.parse(text, "t.toml")


def test_nesting_that_only_the_model_refuses():
    text = 'name = "x"\nwide = ' + "[" * 220 + "]" * 220
    with pytest.raises(InputError):
        toml.read(text, Thing, "t.toml")


def test_a_number_of_thousands_of_digits():
    with pytest.raises(InputError, match="too many digits"):
        toml.parse("a = " + "1" * 6000, "t.toml")


@pytest.mark.parametrize(("raw", "said"), [
    (b"\xff\xfea\x00", "t.toml:1: the file is not plain text in UTF-8"),
    (b"a = 1\nb = '\xe9'\n", "t.toml:2: the file is not plain text in UTF-8"),
])  # fmt: skip
def test_files_that_are_no_text(tmp_path, monkeypatch, raw, said):
    monkeypatch.chdir(tmp_path)
    (tmp_path / "t.toml").write_bytes(raw)
    with pytest.raises(InputError) as caught:
        toml.load(Path("t.toml"))
    assert caught.value.sentence.startswith(said)


def test_a_file_that_is_not_there(tmp_path):
    with pytest.raises(InputError) as caught:
        toml.read(tmp_path / "no.toml", Thing)
    assert caught.value.what == "the file cannot be read (No such file or directory)"
    assert caught.value.file == str(tmp_path / "no.toml")


def test_a_folder_is_no_file(tmp_path):
    with pytest.raises(InputError, match="the file cannot be read"):
        toml.load(tmp_path)


def test_a_file_of_absurd_length():
    with pytest.raises(InputError, match="longer than 8 million characters"):
        toml.parse("#" * 8_000_001)


@pytest.mark.parametrize("raw", [
    b'name = "x"\nwide = "2 m"\n',
    b'\xef\xbb\xbfname = "x"\r\nwide = "2 m"\r\n',
])  # fmt: skip
def test_a_file_as_any_editor_saves_it(tmp_path, raw):
    (tmp_path / "t.toml").write_bytes(raw)
    written = toml.load(tmp_path / "t.toml")
    assert written.line(("wide",)) == 2
    assert toml.fill(written, Thing) == Thing(name="x", wide=2.0)


def test_written_quantities_need_a_unit_and_nothing_is_taken_for_something_else():
    with pytest.raises(InputErrors) as caught:
        toml.read('wide = 2\ncount = "3"\nfirm = 1\nname = 4\n', Thing, "t.toml")
    assert [fault.line for fault in caught.value.faults] == [1, 2, 3, 4]
    assert str(caught.value).splitlines() == [
        't.toml:1, wide: 2 has no unit; write it in quotes with its unit, e.g. "85 cm"',
        "t.toml:2, count: '3' is not a whole number; write e.g. count = 2",
        "t.toml:3, firm: 1 is not true or false; write e.g. firm = true",
        "t.toml:4, name: 4 is not text; put it in quotes",
    ]


def test_the_caller_may_add_to_the_context():
    seen = []

    class Curious(Part):
        @model_validator(mode="before")
        @classmethod
        def _see(cls, data, info):
            seen.append(info.context)
            return data

    toml.read("", Curious, context={"folder": "x"})
    assert seen == [{"written": True, "folder": "x"}]


def test_lines_and_faults_of_a_written_text():
    written = toml.parse("[[areas]]\nkey = 'roof'\n\n[[areas]]\nkey = 'door'\n", "t.toml")
    assert written.line(("areas", 1, "key")) == 5
    assert written.line(("areas", 1, "count")) == 4
    assert written.line(("painter",)) == 1
    fault = written.fault(("areas", 1, "key"), "this is wrong", "that is right")
    assert str(fault) == 't.toml:5, areas[2] "door" > key: this is wrong; that is right'
