"""What a reader's pages are worded with: the catalogue, numbers and units, inside the templates."""

from collections.abc import Callable, Iterable
from enum import StrEnum
from typing import Any, Final, cast

from jinja2 import Environment, pass_context, pass_eval_context
from jinja2.filters import do_join
from jinja2.nodes import EvalContext
from jinja2.runtime import Context
from markupsafe import Markup

from coatwright.faces.format import Words
from coatwright.faces.texts import tongue, translations
from coatwright.sentences import Said
from coatwright.units import System


def install(made: Environment, language: str, units: System) -> None:
    """Have an environment tell every sentence in a language and in units.

    A sentence that knows its template is told wherever it is printed, joined, or put into another;
    a plain text is polished only: its words are somebody's own. Escaping comes after both.
    """
    teller = _Teller(Words(units, tongue=tongue(language)), translations(language).ngettext)
    made.finalize = teller.finished
    cast("Any", made).install_gettext_callables(str, str, newstyle=True)
    made.globals["gettext"] = teller.gettext
    made.globals["ngettext"] = teller.ngettext
    made.filters["tell"] = teller.told
    made.filters["sentence"] = teller.sentence
    made.filters["stop"] = teller.stop
    made.filters["clock"] = teller.words.clock
    made.filters["join"] = teller.join


_ENDS: Final = "?!:"


class _Teller:
    def __init__(self, words: Words, plural: Callable[[str, str, int], str]) -> None:
        self.words = words
        self.plural = plural

    def told(self, value: str) -> str:
        """A sentence told; markup and plain texts as they are."""
        if isinstance(value, StrEnum):
            return self.words.tell(Said(value.value))
        return self.words.tell(value) if isinstance(value, Said) else value

    def finished(self, value: object) -> object:
        """What is printed: sentences told, other prose with its units as a person writes them."""
        if isinstance(value, Said | StrEnum):
            return self.told(value)
        return self.words.polish(value) if type(value) is str else value

    def sentence(self, text: str) -> str:
        """With a capital letter."""
        text = self.told(text)
        return text[:1].upper() + text[1:]

    def stop(self, text: str) -> str:
        """As a sentence with one full stop at its end."""
        text = self.sentence(text)
        return text.rstrip(".") + "." if text[-1:] not in _ENDS else text

    @pass_context
    def gettext(self, context: Context, text: str, **places: Any) -> str:
        """A text of a page; a sentence that comes from elsewhere is told whole."""
        if isinstance(text, Said):
            return self.words.tell(text)
        found = self.words.tell(Said(text)) if text else ""
        return self._placed(context, found, places)

    @pass_context
    def ngettext(self, context: Context, one: str, many: str, num: int, **places: Any) -> str:
        """A text of a page that goes by a count."""
        places.setdefault("num", num)
        return self._placed(context, self.plural(one, many, num), places)

    def _placed(self, context: Context, text: str, places: dict[str, Any]) -> str:
        told = {name: self.finished(value) for name, value in places.items()}
        return (Markup(text) if context.eval_ctx.autoescape else text) % told

    @pass_eval_context
    def join(self, context: EvalContext, values: Iterable[Any], *given: Any, **named: Any) -> Any:
        """One after another, each told."""
        if not given[1:] and not named:
            values = [self.told(value) for value in values]
        return do_join(context, values, *given, **named)
