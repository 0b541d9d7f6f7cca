"""The texts of the pages in other languages: catalogues (gettext .po) read as they are edited."""

from collections.abc import Iterable
from functools import cache
from gettext import GNUTranslations, NullTranslations
from importlib.resources import files
from io import BytesIO
from typing import Final

from babel import Locale
from babel.messages.mofile import write_mo
from babel.messages.pofile import read_po

LANGUAGES: Final = {"en": "English", "de": "Deutsch"}
"""Languages the pages can be read in, each by its own name."""


@cache
def translations(language: str) -> NullTranslations:
    """The catalogue of a language; English, in which the pages are written, needs none."""
    if language == "en":
        return NullTranslations()
    path = files("coatwright.faces.web") / "texts" / language / "messages.po"
    with path.open("rb") as file:
        catalogue = read_po(file, locale=Locale.parse(language))
    compiled = BytesIO()
    write_mo(compiled, catalogue)
    compiled.seek(0)
    return GNUTranslations(compiled)


def chosen(asked: str | None, accepted: str) -> str:
    """The language for a reader: the one asked for, else the first the browser accepts."""
    if asked in LANGUAGES:
        return asked
    for part in _by_weight(accepted):
        if part in LANGUAGES:
            return part
    return "en"


def _by_weight(accepted: str) -> Iterable[str]:
    rows = []
    for part in accepted.split(","):
        name, _, weight = part.strip().partition(";q=")
        try:
            rows.append((-float(weight or 1), name.split("-")[0].lower()))
        except ValueError:
            continue
    return [name for _, name in sorted(rows, key=lambda row: row[0])]
