"""Sentences that can be told again in another language: a text that knows what it was made of.

A plan says many things in words: why a layer may not go on, what to change, what a day left out.
Each is a `str`, the English metric sentence, and stays one wherever a text is wanted. It also
carries its template and what stands in its places, so that a face can tell the same in the
reader's language. A text that went through a file is a plain `str` again, and is told as it is.

What stands in a place is another sentence, which is told too; a number, which is written as the
template says; a word of a fixed list (StrEnum), which is told too; or any other text, which is
somebody's own words and is never touched.
"""

from collections.abc import Callable, Iterable, Mapping
from enum import StrEnum
from string import Formatter
from typing import Any, Final, NamedTuple

Translate = Callable[[str], str]
"""Finds the template in another language; what it does not know it gives back."""


class Said(str):
    """A sentence in English and metric units, with its template and what stands in its places."""

    __slots__ = ("places", "template")

    template: str
    places: Mapping[str, object]

    def __new__(cls, template: str, places: Mapping[str, object] | None = None) -> "Said":
        """The sentence of a template: its places are named, as in str.format."""
        filled = _Filling(str).vformat(template, (), places) if places else template
        made = super().__new__(cls, filled)
        made.template = template
        made.places = dict(places or {})
        return made

    def __reduce__(self) -> tuple[type["Said"], tuple[str, Mapping[str, object]]]:
        """Copied and pickled with all it carries."""
        return Said, (self.template, self.places)

    def __add__(self, other: str) -> "Said":
        """This and then another."""
        return joined("", (self, other))

    def __radd__(self, other: str) -> "Said":
        """Another and then this."""
        return joined("", (other, self))


def say(template: str, /, **places: object) -> Said:
    """A sentence: say("Let it stand {minutes:.0f} min.", minutes=10).

    The template is a literal, from which the catalogues are made; without places, braces in it
    are braces. A place that begins a sentence takes a capital letter with "!c": "{part!c} may ...",
    and a small one with "!l"; with "!f" it holds the first sentence alone.
    """
    return Said(template, places)


def joined(between: str, parts: Iterable[str]) -> Said:
    """Sentences one after another as one, as str.join does."""
    listed = list(parts)
    names = [f"part{number}" for number in range(len(listed))]
    braces = between.replace("{", "{{").replace("}", "}}")
    template = braces.join(f"{{{name}}}" for name in names)
    return Said(template, dict(zip(names, listed, strict=True)))


def apart(text: str) -> str | dict[str, Any]:
    """A sentence as plain data, to be kept: {"say": template, "places": {...}}.

    A plain text, which is somebody's own words, is itself; so is what stands in a place.
    """
    if isinstance(text, StrEnum):
        text = Said(text.value)
    if not isinstance(text, Said):
        return str(text)
    places = {
        name: apart(value) if isinstance(value, str) else value
        for name, value in text.places.items()
    }
    return {"say": text.template, "places": places}


def together(kept: str | Mapping[str, Any]) -> str:
    """A sentence from the data that apart made of it."""
    if isinstance(kept, str):
        return kept
    places = {
        name: together(value) if isinstance(value, str | Mapping) else value
        for name, value in kept["places"].items()
    }
    return Said(kept["say"], places)


def listed(parts: Iterable[str]) -> str:
    """Parts as a list in words: "this and that"; nothing stays nothing."""
    found: str = ""
    for part in parts:
        found = say("{first} and {then}", first=found, then=part) if found else part
    return found


class Told(NamedTuple):
    """A sentence in the reader's language; people's own words are held apart by single marks."""

    text: str
    own: Mapping[str, str]

    @property
    def filled(self) -> str:
        """The sentence with everything in its place."""
        return self.whole(self.text)

    def whole(self, text: str) -> str:
        """The text, or what was made of it, with people's own words back in their places."""
        for mark, words in self.own.items():
            text = text.replace(mark, words)
        return text


_FIRST: Final = 0xE000
"""First of the characters that no font and no person uses, which stand for people's own words."""


def tell(sentence: str, translate: Translate, number: Callable[[str], str] = str) -> Told:
    """A sentence in another language.

    translate finds a template; number rewrites a number that was written with a point. A plain
    str is somebody's own words as a whole.
    """
    own: dict[str, str] = {}
    if not isinstance(sentence, Said):
        own[chr(_FIRST)] = sentence
        return Told(chr(_FIRST), own)
    return Told(_filled(sentence, translate, number, own), own)


def _filled(
    sentence: Said, translate: Translate, number: Callable[[str], str], own: dict[str, str]
) -> str:
    template = translate(sentence.template) if sentence.template else ""
    if not sentence.places:
        return template
    places = {
        name: _told_place(value, translate, number, own) if isinstance(value, str) else value
        for name, value in sentence.places.items()
    }
    return _Filling(number).vformat(template, (), places)


def _told_place(
    value: str, translate: Translate, number: Callable[[str], str], own: dict[str, str]
) -> str:
    """A sentence, or a word of a fixed list, told; any other text kept."""
    if isinstance(value, StrEnum):
        value = Said(value.value)
    if isinstance(value, Said):
        return _filled(value, translate, number, own)
    return _kept(value, own)


def _kept(words: str, own: dict[str, str]) -> str:
    if not words:
        return ""
    mark = chr(_FIRST + len(own))
    own[mark] = words
    return mark


class _Filling(Formatter):
    """Fills a template, numbers in the reader's writing."""

    def __init__(self, number: Callable[[str], str]) -> None:
        self.number = number

    def convert_field(self, value: Any, conversion: Any) -> Any:
        """With "!c" a capital letter, with "!l" a small one; with "!f" the first sentence alone."""
        text = str(value)
        if conversion == "c":
            return text[:1].upper() + text[1:]
        if conversion == "l":
            return text[:1].lower() + text[1:]
        if conversion == "f":
            return text.split(". ")[0].rstrip(".") + "."
        return super().convert_field(value, conversion)

    def format_field(self, value: Any, format_spec: str) -> str:
        """One place, as its format says."""
        written = format(value, format_spec)
        return written if isinstance(value, str) else self.number(written)
