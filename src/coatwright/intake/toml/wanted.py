"""What the model wants at a place of a file: its type, its choices, and how it is written.

A "wanted" is a type, an Annotated type, or a pydantic field; all functions here take any of them.
"""

from enum import Enum
from types import NoneType, UnionType
from typing import Annotated, Any, Literal, Union, get_args, get_origin

from pydantic import BaseModel
from pydantic.fields import FieldInfo

_MOST_IN_EXAMPLE = 4
_SIMPLE: dict[object, str] = {str: '"text"', bool: "true", int: "2", float: "2.5"}


def plain(wanted: object) -> object:
    """The type without Annotated and without None."""
    if isinstance(wanted, FieldInfo):
        wanted = wanted.annotation
    while get_origin(wanted) is Annotated:
        wanted = get_args(wanted)[0]
    kept = [arg for arg in get_args(wanted) if arg is not NoneType]
    return plain(kept[0]) if _is_union(wanted) and len(kept) == 1 else wanted


def models(wanted: object) -> list[type[BaseModel]]:
    """The model that a table must fit, or those of which it must fit one; empty if no table."""
    kind = plain(wanted)
    options = [plain(option) for option in get_args(kind)] if _is_union(kind) else [kind]
    return [item for item in options if isinstance(item, type) and issubclass(item, BaseModel)]


def fields(wanted: object) -> list[str]:
    """The fields a table may have there."""
    return sorted({name for model in models(wanted) for name in model.model_fields})


def choices(wanted: object) -> list[str]:
    """The words of which one must stand there."""
    kind = plain(wanted)
    if get_origin(kind) is Literal:
        return [str(word) for word in get_args(kind)]
    if isinstance(kind, type) and issubclass(kind, Enum):
        return [str(item.value) for item in kind]
    return [str(tag) for model in models(wanted) for tag in _tags(model)]


def member(wanted: object, tag: str | int) -> object:
    """The one model among several that is meant by its `kind`."""
    return next((model for model in models(wanted) if tag in _tags(model)), wanted)


def inner(wanted: object, part: str | int) -> object:
    """What is wanted one step further in: in a field, or in an entry of a list."""
    for model in models(wanted):
        if part in model.model_fields:
            return model.model_fields[str(part)]
    kind, arguments = plain(wanted), get_args(plain(wanted))
    if get_origin(kind) is dict:
        return arguments[1]
    return arguments[0] if isinstance(part, int) and arguments else None


def entry(wanted: object) -> object:
    """What every entry of a list must be; the thing itself if it is no list."""
    kind = plain(wanted)
    return get_args(kind)[0] if get_origin(kind) in (tuple, list) else wanted


def own_example(wanted: object) -> str:
    """The example that the field or its type gives, ready to paste; empty if it gives none."""
    if isinstance(wanted, FieldInfo):
        if wanted.examples:
            return f'"{wanted.examples[0]}"'
        return _first_example(wanted.metadata) or own_example(wanted.annotation)
    if get_origin(wanted) is Annotated:
        return _first_example(get_args(wanted)[1:]) or own_example(get_args(wanted)[0])
    if _is_union(wanted):
        return next((text for arg in get_args(wanted) if (text := own_example(arg))), "")
    return ""


def example(wanted: object) -> str:
    """How a value is written there: its own example, or one made from its type."""
    found = own_example(wanted)
    if found:
        return found
    kind, words = plain(wanted), choices(wanted)
    if models(kind):
        return _table_example(models(kind)[0])
    return f'"{words[0]}"' if words else _SIMPLE.get(kind, "")


def _table_example(model: type[BaseModel]) -> str:
    """A table with the fields it must have, if each of them has an example of its own."""
    needed = {
        name: example(info)
        for name, info in model.model_fields.items()
        if info.is_required() or name == "kind"
    }
    if not all(needed.values()) or len(needed) > _MOST_IN_EXAMPLE:
        return ""
    return f"{{ {', '.join(f'{name} = {text}' for name, text in needed.items())} }}"


def _first_example(metadata: Any) -> str:
    for item in metadata:
        examples = (getattr(item, "json_schema", None) or {}).get("examples")
        if examples:
            return f'"{examples[0]}"'
    return ""


def _is_union(wanted: object) -> bool:
    return get_origin(wanted) in (Union, UnionType)


def _tags(model: type[BaseModel]) -> tuple[object, ...]:
    info = model.model_fields.get("kind")
    return get_args(info.annotation) if info is not None else ()
