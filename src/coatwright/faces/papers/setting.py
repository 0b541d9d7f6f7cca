"""Figures and prose as a paper sets them: number, unit and spread apart, units as they are read."""

from collections.abc import Mapping
from enum import StrEnum
from typing import Any

from coatwright.faces.format import Shown, Words
from coatwright.figures import Figure
from coatwright.sentences import Said

Cell = dict[str, str]
"""A figure ready to be set: number, unit, spread."""

_RAW = ("svg", "address")


class Told:
    """Sets figures for one reader."""

    def __init__(self, words: Words) -> None:
        self.words = words

    def __call__(self, figure: Figure) -> Cell:
        """The figure with its spread."""
        return _cell(self.words.show(figure))

    def brief(self, figure: Figure | None) -> Cell | str:
        """The figure without its spread; nothing stays nothing."""
        if figure is None:
            return ""
        return _cell(self.words.show(figure)._replace(spread=""))

    def chance(self, figure: Figure) -> Cell:
        """A probability."""
        return _cell(self.words.show_chance(figure))

    def window(self, figure: Figure) -> Cell:
        """A wait on the calendar."""
        return _cell(self.words.show_window(figure))

    def hold(self, figure: Figure) -> Cell:
        """How long air holds."""
        return _cell(self.words.show_hold(figure)._replace(spread=""))


def _cell(shown: Shown) -> Cell:
    return {"number": shown.number, "unit": shown.unit, "spread": shown.spread}


def polished(thing: Any, words: Words, name: str = "") -> Any:
    """All prose of a paper in the reader's units, as a person writes it; pictures are left."""
    if isinstance(thing, Said | StrEnum):
        return words.tell(Said(thing.value) if isinstance(thing, StrEnum) else thing)
    if isinstance(thing, str):
        return thing if name in _RAW else words.polish(thing)
    if isinstance(thing, Mapping):
        return {key: polished(value, words, key) for key, value in thing.items()}
    if isinstance(thing, tuple | list):
        return [polished(value, words, name) for value in thing]
    return thing
