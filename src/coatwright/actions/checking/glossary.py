"""Trade words with what they are called in other regions, from data/glossary.toml."""

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files

from coatwright.sentences import Said


@dataclass(frozen=True, slots=True)
class Word:
    """A word of the trade: what it means, and what it is called elsewhere, by region."""

    key: str
    word: str
    means: str
    elsewhere: Mapping[str, str]
    german: str = ""

    def holds(self, wanted: str) -> bool:
        """Whether the text is in the word, in what it means or in what it is called elsewhere."""
        said = " ".join([self.word, self.means, *self.elsewhere.values(), self.german])
        return wanted.casefold() in said.casefold()


def glossary(wanted: str = "") -> tuple[Word, ...]:
    """All words in order of the alphabet, or those that hold a text."""
    return tuple(one for one in _known() if one.holds(wanted))


@cache
def _known() -> tuple[Word, ...]:
    text = (files("coatwright") / "data" / "glossary.toml").read_text("utf-8")
    found = [
        Word(
            key,
            Said(one["word"]),
            Said(one["means"]),
            one.get("elsewhere", {}),
            one.get("german", ""),
        )
        for key, one in tomllib.loads(text).items()
    ]
    return tuple(sorted(found, key=lambda one: one.word.casefold()))
