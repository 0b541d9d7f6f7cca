"""The job file: a TOML text about one job, read into the model and written back without loss.

Reading says all that is wrong at once. Writing gives a file that a person can go on with:
quantities carry their unit, what equals its default is left out, small tables stand on one line.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from importlib.resources import files
from pathlib import Path
from typing import Any

import tomlkit
from pydantic import BaseModel
from tomlkit.items import Item

from coatwright.errors import InputError
from coatwright.intake import toml
from coatwright.intake.toml.places import Place
from coatwright.model.job import Job

_WIDTH = 96
_HEADING = "A Coatwright job file. Every quantity carries its unit; see docs/job-file.md."


@dataclass(frozen=True)
class JobFile:
    """A job together with the text it was read from, so that later faults can name their line."""

    job: Job
    written: toml.Written

    @property
    def file(self) -> str:
        """Name of the file, as the person gave it."""
        return self.written.file

    @property
    def text(self) -> str:
        """The text as it was read."""
        return self.written.text

    def line(self, place: Place) -> int:
        """Line of a value: line(("areas", 3, "patches", 0, "system", 1)); entries from 0."""
        return self.written.line(place)

    def fault(self, place: Place, what: str, instead: str = "") -> InputError:
        """An error about the value at that place, with file, line and field."""
        return self.written.fault(place, what, instead)


def open_file(path: Path) -> JobFile:
    """Read a job file and keep its text; InputErrors with every fault, or InputError of syntax."""
    written = toml.load(path)
    return JobFile(toml.fill(written, Job), written)


def open_text(text: str, file: str = "") -> JobFile:
    """The same for a text; `file` is the name that errors give."""
    written = toml.parse(text, file)
    return JobFile(toml.fill(written, Job), written)


def load(path: Path) -> Job:
    """The job in a file; InputErrors with every fault, or InputError of syntax."""
    return open_file(path).job


def loads(text: str, file: str = "") -> Job:
    """The job in a text; `file` is the name that errors give."""
    return open_text(text, file).job


def dump(job: Job) -> str:
    """A job as the text of a job file: loads(dump(job)) == job."""
    document = tomlkit.document()
    document.add(tomlkit.comment(_HEADING))
    document.add(tomlkit.nl())
    _write(document, job)
    return tomlkit.dumps(document)


def starter(title: str) -> str:
    """The text of a new job file with that title, ready to be filled in; holds an example."""
    template = files("coatwright").joinpath("data/demo/starter.toml").read_text(encoding="utf-8")
    return titled(template, title)


def titled(text: str, title: str) -> str:
    """The text of a job file under another title."""
    document = tomlkit.parse(text)
    document["title"] = title
    return tomlkit.dumps(document)


def written(value: Any, inline: bool) -> Item:
    """One value as it stands in a job file: on one line if it can and shall, else as a table."""
    line = _inline(value) if inline else None
    return line if line is not None else _table(value)


def _write(table: Any, part: BaseModel) -> None:
    """Plain values first, then tables: what follows a table's heading belongs to that table."""
    later: list[tuple[str, Any]] = []
    for name, value in _told(part):
        line = _inline(value)
        if line is None or (_is_table(value) and len(name) + len(line.as_string()) > _WIDTH):
            later.append((name, value))
        else:
            table.add(name, line)
    for name, value in later:
        table.add(name, _table(value))


def _told(part: BaseModel) -> Iterator[tuple[str, Any]]:
    """The fields that must be written: all but those that equal their default, and each kind."""
    texts = part.model_dump(mode="json")
    for name, info in type(part).model_fields.items():
        value = getattr(part, name)
        if (
            name == "kind"
            or info.is_required()
            or value != info.get_default(call_default_factory=True)
        ):
            yield name, value if _is_table(value) else texts[name]


def _is_table(value: object) -> bool:
    if isinstance(value, tuple):
        return any(isinstance(entry, BaseModel) for entry in value)
    return isinstance(value, BaseModel)


def _inline(value: Any) -> Item | None:
    """The value as it stands on one line, or None if it needs tables of its own."""
    if isinstance(value, tuple):
        return None
    if not isinstance(value, BaseModel):
        return None if isinstance(value, dict) else _item(value)
    table = tomlkit.inline_table()
    for name, inner in _told(value):
        line = _inline(inner)
        if line is None:
            return None
        table.append(name, line)
    return table


def _table(value: Any) -> Item:
    if isinstance(value, tuple):
        entries = tomlkit.aot()
        for entry in value:
            entries.append(_table(entry))
        return entries
    if isinstance(value, BaseModel):
        table = tomlkit.table()
        _write(table, value)
        return table
    return _item(value)


def _item(value: Any) -> Item:
    item: Item = tomlkit.item(value)
    return item
