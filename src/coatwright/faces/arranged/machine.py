"""The same facts for machines: JSON with SI values, their unit, basis, spread and source."""

import json
import math
from collections.abc import Mapping
from dataclasses import fields, is_dataclass
from datetime import date
from typing import Any

from coatwright.faces.format import Words, si_unit
from coatwright.figures import Figure


def as_json(thing: object, words: Words) -> str:
    """Anything made of dataclasses, figures, mappings and sequences as JSON text."""
    return json.dumps(plain(thing, words), ensure_ascii=False, indent=2, allow_nan=False)


def plain(thing: Any, words: Words) -> Any:
    """The thing in what JSON knows; what is not finite becomes null."""
    if isinstance(thing, Figure):
        return _figure(thing, words)
    if is_dataclass(thing) and not isinstance(thing, type):
        return {
            item.name: plain(getattr(thing, item.name), words)
            for item in fields(thing)
            if item.repr
        }
    if isinstance(thing, Mapping):
        return {str(key): plain(value, words) for key, value in thing.items()}
    if hasattr(thing, "_asdict"):
        return plain(thing._asdict(), words)
    if isinstance(thing, date):
        return thing.isoformat()
    if hasattr(thing, "model_dump"):
        return thing.model_dump(mode="json")
    if hasattr(thing, "tolist"):
        return plain(thing.tolist(), words)
    if isinstance(thing, tuple | list | set | frozenset):
        return [plain(item, words) for item in thing]
    if isinstance(thing, float):
        return thing if math.isfinite(thing) else None
    return thing if isinstance(thing, str | int | bool | type(None)) else str(thing)


def _figure(figure: Figure, words: Words) -> dict[str, Any]:
    money = figure.purpose == "money"
    found: dict[str, Any] = {
        "value": plain(float(figure.value), words),
        "unit": words.currency if money else si_unit(figure.purpose),
        "shown": words.text(figure),
        "basis": figure.basis,
        "source": figure.source,
    }
    if figure.spread is not None:
        found["spread"] = plain([float(end) for end in figure.spread], words)
        found["spread_note"] = figure.spread_note
    if figure.formula:
        found["formula"] = figure.formula
    return found
