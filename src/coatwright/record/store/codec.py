"""A state as JSON that is quick to read back: one table for each class, one list for each field.

Every object is written once, however many others hold it; they name its place in its table. What
the tables hold follows from the annotations of the classes alone.
"""

import json
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import fields, is_dataclass
from datetime import datetime, timedelta
from functools import cache, partial
from types import NoneType, UnionType
from typing import Any, Union, get_args, get_origin, get_type_hints

from pydantic import BaseModel

from coatwright.record.state import JobState
from coatwright.record.store.rows import START, moment, stamp

Column = list[Any]
Pools = dict[type, Column]


def written(state: JobState) -> bytes:
    """A state as JSON."""
    pools: dict[type, dict[int, Any]] = {}
    _gather(state, pools)
    places = {kind: {key: place for place, key in enumerate(pool)} for kind, pool in pools.items()}
    tables = {
        kind.__name__: _table(kind, list(pool.values()), places) for kind, pool in pools.items()
    }
    return json.dumps(tables, separators=(",", ":")).encode()


def read(text: bytes) -> JobState:
    """The state that was written."""
    tables = json.loads(text)
    pools: Pools = {}
    for kind in _kinds():
        table = tables.get(kind.__name__)
        if table is not None:
            pools[kind] = _objects(kind, table, pools)
    state: JobState = pools[JobState][0]
    return state


@cache
def _kinds() -> tuple[type, ...]:
    """The classes of a state, each after those that it is made of."""
    found: dict[type, None] = {}

    def visit(kind: Any) -> None:
        for hint in _hints(kind).values():
            part = _part(hint)
            if part is not None and part not in found:
                visit(part)
        found[kind] = None

    visit(JobState)
    return tuple(found)


@cache
def _hints(kind: Any) -> dict[str, Any]:
    """The fields of a class that are written, with their types; a fact of an event has none."""
    if issubclass(kind, BaseModel):
        return {}
    hints = get_type_hints(kind)
    names = [one.name for one in fields(kind)] if is_dataclass(kind) else kind._fields
    return {name: hints[name] for name in names}


def _part(hint: Any) -> type | None:
    """The class of ours that a type is about, if any."""
    if isinstance(hint, type) and get_origin(hint) is None:
        ours = is_dataclass(hint) or hasattr(hint, "_fields") or issubclass(hint, BaseModel)
        return hint if ours else None
    return next((part for part in map(_part, get_args(hint)) if part is not None), None)


@cache
def _shape(hint: Any) -> str:
    """How a value of this type holds what it is about: one, tuple or mapping."""
    origin = get_origin(hint)
    if origin in (Union, UnionType):
        return _shape(next(part for part in get_args(hint) if part is not NoneType))
    if origin is tuple:
        return "tuple"
    return "mapping" if origin is Mapping else "one"


def _gather(item: Any, pools: dict[type, dict[int, Any]]) -> None:
    """Find every object of our classes, each once."""
    kind: Any = type(item)
    pool = pools.setdefault(kind, {})
    if id(item) in pool:
        return
    for name, hint in _hints(kind).items():
        if _part(hint) is None:
            continue
        for part in _members(getattr(item, name), _shape(hint)):
            _gather(part, pools)
    pool[id(item)] = item


def _members(value: Any, shape: str) -> Iterable[Any]:
    if value is None:
        return ()
    if shape == "one":
        return (value,)
    return value.values() if shape == "mapping" else value  # type: ignore[no-any-return]


def _table(kind: Any, items: Sequence[Any], places: Mapping[type, Mapping[int, int]]) -> Any:
    if issubclass(kind, BaseModel):
        return [item.model_dump(mode="json", exclude_defaults=True) for item in items]
    return {
        name: _packed([_plain(getattr(item, name), hint, places) for item in items])
        for name, hint in _hints(kind).items()
    } | {"": len(items)}


def _plain(value: Any, hint: Any, places: Mapping[type, Mapping[int, int]]) -> Any:
    part = _part(hint)
    if isinstance(value, datetime):
        offset = value.utcoffset()
        seconds = round(offset.total_seconds()) if offset else 0
        return [stamp(value), seconds] if seconds else stamp(value)
    if value is None or part is None:
        return value
    place = places.get(part, {})
    shape = _shape(hint)
    if shape == "one":
        return place[id(value)]
    if shape == "mapping":
        return {key: place[id(member)] for key, member in value.items()}
    return [place[id(member)] for member in value]


def _packed(column: Column) -> Any:
    """A column that says the same throughout is written once."""
    if column and all(value == column[0] and type(value) is type(column[0]) for value in column):
        return {"all": column[0]}
    return column


def _objects(kind: Any, table: Any, pools: Pools) -> Column:
    if issubclass(kind, BaseModel):
        return [kind.model_validate(item) for item in table]
    count = table[""]
    columns = [
        _unpacked(table[name], count, _reader(hint, pools)) for name, hint in _hints(kind).items()
    ]
    if issubclass(kind, tuple):
        return list(map(partial(tuple.__new__, kind), zip(*columns, strict=True)))
    return list(map(kind, *columns))


def _unpacked(column: Any, count: int, reader: Callable[[Column], Column] | None) -> Column:
    if isinstance(column, dict):
        one = [column["all"]]
        return (reader(one) if reader else one) * count
    return reader(column) if reader else column


def _reader(hint: Any, pools: Pools) -> Callable[[Column], Column] | None:
    """What turns a column of JSON into values; None if it is they already."""
    part, shape = _part(hint), _shape(hint)
    if part is None:
        if shape == "tuple":
            return lambda column: [tuple(value) for value in column]
        return _moments if datetime in (hint, *get_args(hint)) else None
    pool = pools.get(part, [])
    take = pool.__getitem__
    if shape == "tuple":
        return lambda column: [tuple(map(take, value)) if value else () for value in column]
    if shape == "mapping":
        return lambda column: [
            {key: take(place) for key, place in value.items()} for value in column
        ]
    return lambda column: [None if place is None else take(place) for place in column]


def _moments(column: Column) -> Column:
    start, after = START, timedelta
    return [
        start + after(0, 0, value) if type(value) is int else value and moment(*value)
        for value in column
    ]
