"""Every text of the web pages is in every catalogue, translated, with the same placeholders."""

import re
import sys

import pytest
from babel.messages.pofile import read_po

from coatwright.faces.texts import LANGUAGES, translations
from coatwright.faces.web.language import chosen
from house import source

sys.path.insert(0, str(source.ROOT / "tools"))
import texts

OTHERS = [language for language in LANGUAGES if language != "en"]


def strings(value: str | tuple[str, ...]) -> tuple[str, ...]:
    return value if isinstance(value, tuple) else (value,)


def held(text: str) -> set[str]:
    """The placeholders of a text."""
    return set(re.findall(r"%\((\w+)\)s", text))


@pytest.mark.parametrize("language", OTHERS)
def test_every_text_is_translated_and_none_is_left_over(language):
    with texts.place(language).open("rb") as file:
        known = read_po(file, locale=language)
    wanted = {message.id for message in texts.collected() if message.id}
    there = {message.id for message in known if message.id}
    assert wanted == there, "run tools/texts.py and translate what is new"
    for message in known:
        if message.id:
            assert all(strings(message.string)), message.id
            assert "fuzzy" not in message.flags
            for told in strings(message.string):
                names = [
                    set(re.findall(r"%\((\w+)\)s", one)) for one in (told, strings(message.id)[-1])
                ]
                assert names[0] == names[1], message.id


def test_the_reader_gets_what_was_asked_for_or_accepted():
    assert chosen("de", "en") == "de"
    assert chosen(None, "fr;q=0.9, de-AT;q=0.8, en;q=0.1") == "de"
    assert chosen("xx", "fr") == "en"
    assert translations("de").gettext("Areas") == "Flächen"
    assert translations("en").gettext("Areas") == "Areas"
