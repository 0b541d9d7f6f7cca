"""Advice on the care of new paint, from data/care.toml."""

import tomllib
from collections.abc import Collection
from functools import cache
from importlib.resources import files
from typing import Any

from coatwright.actions.dossier.told import Advice
from coatwright.sentences import Said


def care_for(families: Collection[str]) -> tuple[Advice, ...]:
    """What to do and leave alone, for the kinds of coating that lie on the work."""
    return tuple(
        Advice(key, Said(one["title"]), Said(one["text"]), one["source"])
        for key, one in _known().items()
        if not one.get("families") or set(one["families"]) & set(families)
    )


@cache
def _known() -> dict[str, Any]:
    text = (files("coatwright") / "data" / "care.toml").read_text("utf-8")
    return tomllib.loads(text)
