"""The texts in other languages: catalogues (gettext .po) read as they are edited.

Pages and papers share them. English, in which everything is written, needs none.
"""

from functools import cache
from gettext import GNUTranslations, NullTranslations
from importlib.resources import files
from io import BytesIO
from typing import Final

from coatwright.faces.telling import ENGLISH, Tongue

LANGUAGES: Final = {"en": "English", "de": "Deutsch"}
"""Languages that can be read, each by its own name."""

LOCALES: Final = {"en": "en_GB", "de": "de_DE"}
"""By which rules of Unicode CLDR a language writes amounts of money and long dates."""


@cache
def translations(language: str) -> NullTranslations:
    """The catalogue of a language."""
    if language == "en":
        return NullTranslations()
    from babel import Locale
    from babel.messages.mofile import write_mo
    from babel.messages.pofile import read_po

    path = files("coatwright.faces.texts") / language / "messages.po"
    with path.open("rb") as file:
        catalogue = read_po(file, locale=Locale.parse(language))
    compiled = BytesIO()
    write_mo(compiled, catalogue)
    compiled.seek(0)
    return GNUTranslations(compiled)


@cache
def tongue(language: str) -> Tongue:
    """How a language tells sentences and writes numbers."""
    if language == "en":
        return ENGLISH
    from babel import Locale

    decimal = Locale.parse(language).number_symbols["latn"]["decimal"]
    return Tongue(language, translations(language).gettext, decimal)
