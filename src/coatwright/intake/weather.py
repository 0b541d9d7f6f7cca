"""The weather by the hour, from a table with a heading: time, air, humidity, metal, outdoor.

    time,              air [degC],  humidity [%],  metal [degC]
    2026-05-04 08:00,  16.5,        68,            15

Commas or semicolons part the columns. Each number needs its unit, in the heading in brackets or
behind the number. Every fault is named by file, line and field, all at once.
"""

import csv
import re
from collections.abc import Iterable, Mapping
from datetime import datetime
from itertools import pairwise
from pathlib import Path
from typing import Any

from pydantic import ValidationError

from coatwright import units
from coatwright.errors import InputError, InputErrors
from coatwright.model.conditions.weather import Reading, Readings

COLUMNS: Mapping[str, str] = {
    "time": "",
    "air": "temperature",
    "humidity": "fraction",
    "metal": "temperature",
    "outdoor": "temperature",
}
"""Columns and what they measure."""

MUST = ("time", "humidity")
_HEADING = re.compile(r"^\s*([A-Za-z ]+?)\s*(?:\[([^\]]+)\])?\s*$")
_FORMS = ("%Y-%m-%d %H:%M", "%Y-%m-%dT%H:%M", "%Y-%m-%d %H:%M:%S", "%Y-%m-%dT%H:%M:%S")
_NUMBER = re.compile(r"^[+-]?\d+(?:[.,]\d+)?$")
_LONGEST = 20_000

Heading = tuple[tuple[str, str], ...]


def load_weather(path: Path) -> Readings:
    """A table of weather from a file; InputErrors holds every fault, with file, line and field."""
    try:
        text = path.read_text(encoding="utf-8-sig")
    except UnicodeDecodeError:
        raise InputError(
            "the file is not text in UTF-8", file=str(path), instead="save it as UTF-8"
        ) from None
    except OSError as fault:
        raise InputError(
            f"the file cannot be read ({fault.strerror or 'unknown reason'})",
            file=str(path),
            instead="check the path and that you may read it",
        ) from None
    return read_weather(text, str(path))


def read_weather(text: str, file: str = "weather") -> Readings:
    """The same from a text."""
    lines = list(_lines(text))
    if len(lines) < 2:
        raise InputError(
            "there is no reading in it",
            file=file,
            instead="write a heading (time, air, humidity) and at least one line below it",
        )
    if len(lines) > _LONGEST:
        raise InputError(
            f"it holds {len(lines) - 1} readings",
            file=file,
            instead=f"keep to {_LONGEST - 1} at most",
        )
    first, cells = lines[0]
    heading = _heading(cells, file, first)
    faults: list[InputError] = []
    rows: list[tuple[int, Reading]] = []
    for line, row in lines[1:]:
        try:
            rows.append((line, _reading(heading, row, file, line)))
        except InputErrors as many:
            faults.extend(many.faults)
    faults += _falling(rows, file)
    if faults:
        raise InputErrors(faults)
    return Readings(hours=tuple(reading for _, reading in rows))


def _lines(text: str) -> Iterable[tuple[int, list[str]]]:
    """Line numbers and cells, empty lines and comments (#) left out."""
    head = next((one for one in text.splitlines() if one.strip() and one[0] != "#"), "")
    mark = ";" if ";" in head else ","
    for number, line in enumerate(text.splitlines(), 1):
        if line.strip() and not line.lstrip().startswith("#"):
            yield number, [cell.strip() for cell in next(csv.reader([line], delimiter=mark))]


def _heading(cells: list[str], file: str, line: int) -> Heading:
    found: list[tuple[str, str]] = []
    faults: list[InputError] = []
    for cell in cells:
        match = _HEADING.match(cell)
        name = match[1].lower() if match else cell
        unit = (match[2] or "") if match else ""
        fault = _column(name, unit, [one for one, _ in found])
        if fault:
            faults.append(InputError(fault[0], file=file, line=line, field=name, instead=fault[1]))
        found.append((name, unit.strip()))
    names = [name for name, _ in found]
    missing = [name for name in MUST if name not in names]
    if "air" not in names and "outdoor" not in names:
        missing.append("air")
    faults += [
        InputError(
            f"there is no column '{name}'",
            file=file,
            line=line,
            instead=f"the columns are {', '.join(COLUMNS)}",
        )
        for name in missing
    ]
    if faults:
        raise InputErrors(faults)
    return tuple(found)


def _column(name: str, unit: str, before: list[str]) -> tuple[str, str] | None:
    """What is wrong with one heading, and what would be right."""
    if name not in COLUMNS:
        return f"'{name}' is no column of a weather table", f"use {', '.join(COLUMNS)}"
    if name in before:
        return f"the column '{name}' stands there twice", "keep one of them"
    if unit:
        try:
            units.find_unit(unit, COLUMNS[name])
        except InputError as fault:
            return fault.what, fault.instead
        except KeyError:
            return f"'{name}' takes no unit", "write the time as 2026-05-04 08:00"
    return None


def _reading(heading: Heading, row: list[str], file: str, line: int) -> Reading:
    if len(row) != len(heading):
        raise InputErrors(
            [
                InputError(
                    f"{len(row)} cells under a heading of {len(heading)}",
                    file=file,
                    line=line,
                    instead="give each column a cell; leave it empty if there is no value",
                )
            ]
        )
    values: dict[str, Any] = {}
    faults: list[InputError] = []
    for (name, unit), cell in zip(heading, row, strict=True):
        if cell:
            try:
                values[name] = _time(cell) if name == "time" else _quantity(cell, unit)
            except InputError as fault:
                faults.append(
                    InputError(fault.what, file=file, line=line, field=name, instead=fault.instead)
                )
    return _whole(values, faults, file, line)


def _whole(values: dict[str, Any], faults: list[InputError], file: str, line: int) -> Reading:
    bad = {fault.field for fault in faults}
    try:
        reading = Reading.model_validate(values, context={"written": True})
    except ValidationError as error:
        for found in error.errors():
            field = str(found["loc"][0]) if found["loc"] else "air"
            if field not in bad:
                faults.append(_fault(found, field, file, line))
        raise InputErrors(faults) from None
    if faults:
        raise InputErrors(faults)
    return reading


def _fault(found: Any, field: str, file: str, line: int) -> InputError:
    """A fault of the model in words."""
    context = found.get("ctx", {})
    if "what" in context:
        at = str(context["at"][0]) if context.get("at") else field
        return InputError(
            context["what"], file=file, line=line, field=at, instead=context["instead"]
        )
    return InputError("the cell is empty", file=file, line=line, field=field, instead="fill it in")


def _time(cell: str) -> datetime:
    for form in _FORMS:
        try:
            return datetime.strptime(cell, form)
        except ValueError:
            continue
    raise InputError(f"'{cell}' is no time", instead="write it as 2026-05-04 08:00")


def _quantity(cell: str, unit: str) -> str:
    """The cell with the unit of its heading, unless it has one of its own."""
    return f"{cell} {unit}" if unit and _NUMBER.match(cell) else cell


def _falling(rows: list[tuple[int, Reading]], file: str) -> list[InputError]:
    return [
        InputError(
            f"{later.time:%Y-%m-%d %H:%M} is not later than {earlier.time:%Y-%m-%d %H:%M}",
            file=file,
            line=line,
            field="time",
            instead="times must rise from line to line",
        )
        for (_, earlier), (line, later) in pairwise(rows)
        if later.time <= earlier.time
    ]
