"""Changing one thing in a job file's text: all else, comments and order too, stays as it was."""

from collections.abc import Sequence
from typing import Any

import tomlkit
from pydantic import BaseModel
from tomlkit.exceptions import TOMLKitError
from tomlkit.items import AoT

from coatwright.errors import InputError
from coatwright.intake.jobfile import JobFile, open_text, written
from coatwright.intake.toml.places import Place
from coatwright.sentences import joined, say


def edited(opened: JobFile, place: Place, value: BaseModel | str | bool | int | None) -> JobFile:
    """The job file with one value put at a place, or taken away (None).

    A place that ends in -1, or in the number after the last entry of a list, appends to it. Raises
    InputErrors with every fault if what comes out is no job any more; the text given stays as it
    was.
    """
    document = tomlkit.parse(opened.text)
    try:
        _put(document, place, value)
    except (TOMLKitError, KeyError, IndexError, TypeError) as wrong:
        raise InputError(
            say("nothing can be put at {place}", place=joined(".", map(str, place))),
            file=opened.file,
            instead=say("name a table of the job file that is there"),
        ) from wrong
    return open_text(tomlkit.dumps(document), opened.file)


def _put(document: Any, place: Place, value: BaseModel | str | bool | int | None) -> None:
    at: Any = document
    for part in place[:-1]:
        at = at[part]
    last = place[-1]
    if value is None:
        del at[last]
        return
    item = written(value, inline=not isinstance(at, AoT))
    if isinstance(last, int) and last in (-1, len(at)):
        at.append(item)
    elif isinstance(at, AoT):
        _replace(at, last, item)
    else:
        at[last] = item


def _replace(entries: AoT, number: str | int, item: Any) -> None:
    """tomlkit's arrays of tables take no assignment: empty the table and fill it anew."""
    table = entries[int(number)]
    for name in list(table):
        del table[name]
    for name, inner in item.items():
        table.add(name, inner)


def key_of(keys: Sequence[str], title: str) -> str:
    """A key for a new thing of that title, unlike those there are."""
    plain = "".join(c if c.isascii() and c.isalnum() else "-" for c in title.lower()).strip("-")
    base = "-".join(part for part in plain.split("-") if part) or "area"
    if not base[0].isalpha():
        base = f"area-{base}"
    taken, number, found = set(keys), 1, base
    while found in taken:
        number += 1
        found = f"{base}-{number}"
    return found
