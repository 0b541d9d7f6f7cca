"""A Figure: a number that can say what it is, where it came from and how sure it is."""

from collections.abc import Mapping
from dataclasses import dataclass, field, fields, is_dataclass
from typing import Literal

Basis = Literal["formula", "sheet", "measured", "assumed", "entered"]


@dataclass(frozen=True, slots=True)
class Figure:
    """One shown number.

    value is SI (or an amount of money in the job's currency). purpose picks the unit a person
    reads it in (units.PURPOSES, or "money"). spread is (low, high), the 10 and 90 % points unless
    spread_note says otherwise. formula is one readable line; inputs are the figures or sheet
    values it was computed from; source is a key of data/sources.toml, "sheet:<product>",
    "job file", or "common practice, no source".
    """

    value: float
    purpose: str
    basis: Basis
    source: str
    formula: str = ""
    inputs: Mapping[str, "Figure | str"] = field(default_factory=dict)
    spread: tuple[float, float] | None = None
    spread_note: str = ""


def walk(thing: object, path: str = "") -> "list[tuple[str, Figure]]":
    """Every Figure inside nested dataclasses, tuples and mappings, with its dotted address.

    Fields that are left out of a dataclass's repr are its workings, not shown to anybody.
    """
    if isinstance(thing, Figure):
        return [(path, thing)]
    found: list[tuple[str, Figure]] = []
    for name, value in _children(thing):
        found.extend(walk(value, f"{path}.{name}" if path else name))
    return found


def _children(thing: object) -> list[tuple[str, object]]:
    if is_dataclass(thing) and not isinstance(thing, type):
        shown = [item.name for item in fields(thing) if item.repr]
        return [(name, getattr(thing, name)) for name in shown]
    if isinstance(thing, Mapping):
        return [(str(key), value) for key, value in thing.items()]
    if isinstance(thing, tuple | list):
        return [(str(getattr(item, "key", index)), item) for index, item in enumerate(thing)]
    return []
