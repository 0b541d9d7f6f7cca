"""Reading a TOML text into a model, with every fault named by file, line and field at once.

    read(path_or_text, model)      the whole way
    parse(text, file) -> Written   only the text; knows on which line each value stands
    fill(written, model)           from there into a model

Quantities must be written with their unit: the model is told that it reads a person's writing
(context {"written": True}), and in pydantic's strict mode, so that "3" is no number and 1 no true.
"""

import json
import re
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path
from typing import Any, TypeVar

from pydantic import BaseModel, ValidationError

from coatwright.errors import InputError, InputErrors
from coatwright.intake.toml import wording
from coatwright.intake.toml.places import Place, places
from coatwright.sentences import say

Model = TypeVar("Model", bound=BaseModel)

_POSITION = re.compile(r"\s*\(at (?:line (\d+), column (\d+)|end of document)\)\s*$")
_LONGEST = 8_000_000


@dataclass(frozen=True)
class Written:
    """A TOML text, what it holds, and on which line each value stands."""

    file: str
    text: str
    data: Mapping[str, Any]

    @cached_property
    def lines(self) -> Mapping[Place, int]:
        """Line of every table, key and array entry."""
        return places(self.text)

    def line(self, place: Place) -> int:
        """Line of that value, or of the table it is missing from; array entries count from 0."""
        for length in range(len(place), 0, -1):
            if place[:length] in self.lines:
                return self.lines[place[:length]]
        return 1

    def fault(self, place: Place, what: str, instead: str = "") -> InputError:
        """An error about the value at that place, ready to raise."""
        return InputError(
            what,
            file=self.file,
            line=self.line(place),
            field=wording.field(place, self.data),
            instead=instead,
        )


def read(
    source: Path | str, model: type[Model], file: str = "", context: Mapping[str, Any] | None = None
) -> Model:
    """A TOML file (a Path) or a TOML text (a str) as a model; InputErrors holds all its faults."""
    written = load(source) if isinstance(source, Path) else parse(source, file)
    return fill(written, model, context)


def load(path: Path) -> Written:
    """A TOML file, parsed but not yet judged; InputError if it cannot be read or is not TOML."""
    try:
        raw = path.read_bytes()
    except OSError as fault:
        raise InputError(
            say(
                "the file cannot be read ({reason})", reason=fault.strerror or say("unknown reason")
            ),
            file=str(path),
            instead=say("check the path and that you may read it"),
        ) from None
    try:
        text = raw.decode("utf-8-sig")
    except UnicodeDecodeError as fault:
        raise InputError(
            say("the file is not plain text in UTF-8"),
            file=str(path),
            line=raw.count(b"\n", 0, fault.start) + 1,
            instead=say("save it as UTF-8 text, not as a word processor document"),
        ) from None
    return parse(text, str(path))


def parse(text: str, file: str = "") -> Written:
    """A TOML text, parsed but not yet judged; InputError names line and column of bad syntax."""
    if len(text) > _LONGEST:
        raise InputError(
            say("the file is longer than 8 million characters"),
            file=file,
            line=1,
            instead=say("split it; a job is a few hundred lines"),
        )
    try:
        written = Written(file, text.replace("\r\n", "\n"), tomllib.loads(text))
        written.lines  # noqa: B018  computed here, so that deep nesting is refused here
    except tomllib.TOMLDecodeError as fault:
        raise _syntax(str(fault), text, file) from None
    except RecursionError:
        raise _too_deep(file) from None
    except ValueError:  # a whole number of thousands of digits
        raise InputError(
            say("a number in this file has too many digits"),
            file=file,
            line=1,
            instead=say("write a number of sensible length"),
        ) from None
    return written


def fill(written: Written, model: type[Model], context: Mapping[str, Any] | None = None) -> Model:
    """The model that a parsed text describes; raises InputErrors with every fault, by line."""
    try:
        return model.model_validate_json(
            json.dumps(written.data, default=_as_table),
            strict=True,
            context={"written": True, **(context or {})},
        )
    except ValidationError as failure:
        details = failure.errors(include_url=False)
    except RecursionError:
        raise _too_deep(written.file) from None
    faults = [
        InputError(
            fault.what,
            file=written.file,
            line=written.line(fault.place),
            field=wording.field(fault.place, written.data),
            instead=fault.instead,
        )
        for fault in wording.faults(details, written.data, model)
    ]
    raise InputErrors(sorted(faults, key=lambda fault: (fault.line, fault.field)))


def _as_table(value: object) -> dict[str, str]:
    """A date or time: nothing here is one, so it must not pass for text."""
    return {"date": str(value)}


def _too_deep(file: str) -> InputError:
    return InputError(
        say("tables or lists are nested too deeply"),
        file=file,
        line=1,
        instead=say("no more than a few levels are ever needed"),
    )


_QUOTES = say('put text and quantities in quotes, e.g. "1.8 mm"')
# What the TOML parser says -> what is wrong, what would be right.
_SYNTAX = (
    ("twice", say("the same table or key stands twice"), say("keep one of them")),
    ("overwrite", say("the same table or key stands twice"), say("keep one of them")),
    (
        "mutate immutable",
        say("this adds to a table closed with { }"),
        say("write it all in one place"),
    ),
    ("Duplicate inline", say("the same key stands twice inside { }"), say("keep one of them")),
    (
        "Expected '='",
        say("a key without '=' after it"),
        say('write key = value, e.g. title = "roof"'),
    ),
    ("Invalid value", say("no value that TOML knows"), _QUOTES),
    ("Expected newline", say("something stands after the end of the value"), _QUOTES),
    ("Unterminated string", say("a text is not closed"), say("add the missing quote")),
    ('Expected "\'"', say("a text is not closed"), say("add the missing quote")),
    ("Unclosed array", say("a list is not closed"), say("add the missing ] or comma")),
    ("Unclosed inline", say("a table in { } is not closed"), say("add the missing } or comma")),
    ("end of a table", say("a table heading is not closed"), say("write it as [name]")),
    ("end of an array", say("a table heading is not closed"), say("write it as [[name]]")),
    (
        "Invalid initial",
        say("a key cannot begin like this"),
        say("use letters, digits, - and _, or quotes"),
    ),
    (
        "Invalid statement",
        say("neither a key nor a table heading"),
        say("write key = value or [table]"),
    ),
    ("'\\'", say("a backslash that means nothing here"), say("write \\\\ for one backslash")),
    (
        "Illegal character",
        say("a line end or control character in a text"),
        say("close the quote first"),
    ),
    ("date", say("no valid date or time"), say("write it in quotes")),
    ("", say("this is not TOML"), say("write key = value, one on a line")),
)


def _syntax(said: str, text: str, file: str) -> InputError:
    position = _POSITION.search(said)
    line, column = text.rstrip("\n").count("\n") + 1, 0
    if position and position.group(1):
        line, column = int(position.group(1)), int(position.group(2))
    _, what, instead = next(row for row in _SYNTAX if row[0] in said)
    field = say("column {column}", column=column) if column else ""
    return InputError(what, file=file, line=line, field=field, instead=instead)
