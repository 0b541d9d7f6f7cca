"""Collects every text of the web pages and brings the catalogues up to date with them.

Run as: python tools/texts.py. New texts come in untranslated; those no page holds any more go. A
test asks that nothing is left untranslated.
"""

import sys
from collections.abc import Iterator
from pathlib import Path

from babel.messages.catalog import Catalog
from babel.messages.extract import extract
from babel.messages.pofile import read_po, write_po

from coatwright.actions.floor.areas import shapes
from coatwright.faces.papers.pack import PARTS
from coatwright.faces.web.texts import LANGUAGES
from coatwright.model.substrate import Ground

WEB = Path(__file__).resolve().parents[1] / "src" / "coatwright" / "faces" / "web"
CALLS = {"_": None, "gettext": None, "ngettext": (1, 2)}
SYNTAX = {"extensions": "jinja2.ext.i18n", "trimmed": "true"}
ZONES = ("outside", "inside", "underside", "cavity", "vertical", "floor", "overhead")
FINISHES = ("show", "good", "plain")


def from_data() -> Iterator[str]:
    """Words of the model that pages show by their name."""
    yield from (ground.value for ground in Ground)
    yield from (*ZONES, *FINISHES)
    yield from (part.title for part in PARTS.values())
    for kind, measures in shapes().items():
        yield kind
        for one in measures:
            yield from (one.name, one.meaning)


def collected() -> Catalog:
    """Every text that a page may show."""
    found = Catalog(fuzzy=False)
    for path in sorted((WEB / "pages").rglob("*.html")):
        with path.open("rb") as file:
            for _, text, _, _ in extract("jinja2", file, CALLS, options=SYNTAX):
                found.add(text)
    for word in from_data():
        found.add(word)
    return found


def place(language: str) -> Path:
    """Where the catalogue of a language lies."""
    return WEB / "texts" / language / "messages.po"


def renewed(language: str) -> Catalog:
    """The catalogue of a language with exactly the texts of today."""
    path, fresh = place(language), collected()
    known = Catalog(locale=language)
    if path.exists():
        with path.open("rb") as file:
            known = read_po(file, locale=language)
    made = Catalog(locale=language, fuzzy=False, header_comment="# Texts of the web pages.")
    for message in fresh:
        if message.id:
            old = known.get(message.id)
            made.add(message.id, old.string if old else "")
    return made


def main() -> None:
    """Bring every catalogue up to date, and say what is left to translate."""
    for language in LANGUAGES:
        if language == "en":
            continue
        made = renewed(language)
        left = [m.id for m in made if m.id and not _translated(m.string)]
        place(language).parent.mkdir(parents=True, exist_ok=True)
        with place(language).open("wb") as file:
            write_po(file, made, width=0, sort_output=True, omit_header=False, no_location=True)
        print(f"{language}: {len(made)} texts, {len(left)} to translate")
        if "--left" in sys.argv:
            for one in left:
                print(repr(one))


def _translated(text: str | tuple[str, ...]) -> bool:
    return all(text) if isinstance(text, tuple) else bool(text)


if __name__ == "__main__":
    main()
