"""Printing for people: headings, wrapped paragraphs, lists and tables; never markup from text."""

import textwrap
from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING, Any

from coatwright.faces.arranged.contents import SEVERITY_SIGNS, SEVERITY_WORDS, Todo, sentence
from coatwright.faces.format import SPACE, Words, polish
from coatwright.sentences import Said

if TYPE_CHECKING:
    from coatwright.planning.plan import Caution, Finding

_WIDEST = 100
_WHERE_WORDS = {
    "mixing": "When mixing",
    "spraying": "When spraying",
    "rubbing": "When rubbing down",
    "stripping": "When stripping",
    "air": "Compressed air",
    "storing": "Storing and waste",
}


class Printer:
    """Writes to standard output in the reader's units."""

    def __init__(self, words: Words) -> None:
        from rich.console import Console

        self.words = words
        self._console: Console = Console(highlight=False, markup=False, emoji=False)
        self._width = max(40, min(self._console.width, _WIDEST))

    def heading(self, text: str) -> None:
        """A heading in bold after an empty line."""
        self._console.print()
        self._console.print(self._told(text), style="bold", width=self._width)

    def say(self, text: str, indent: int = 0, hang: int = 0) -> None:
        """A paragraph, wrapped; `hang` is the extra indent of its later lines."""
        first = " " * indent
        lines = textwrap.wrap(
            self._told(text),
            self._width,
            initial_indent=first,
            subsequent_indent=first + " " * hang,
        )
        for line in lines or [""]:
            self._console.print(line, soft_wrap=True)

    def listed(self, texts: Iterable[str]) -> None:
        """A list with dashes."""
        for text in texts:
            self.say(f"- {self._told(text)}", 2, 2)

    def table(
        self, head: Sequence[str], rows: Iterable[Sequence[str]], *, keep: int | None = 0
    ) -> None:
        """A table; figures come ready in words. The column `keep` is never broken into lines."""
        from rich import box
        from rich.table import Table

        made = Table(box=box.SIMPLE_HEAD, pad_edge=False, show_edge=False)
        for index, title in enumerate(head):
            made.add_column(_clean(title), overflow="fold", no_wrap=index == keep)
        for row in rows:
            made.add_row(*map(self._told, row))
        self._console.print(made, width=self._width)

    def pairs(self, rows: Iterable[tuple[str, str]]) -> None:
        """Name and value in two columns."""
        kept = [(self._told(name), self._told(value)) for name, value in rows]
        wide = max((len(name) for name, _ in kept), default=0) + 2
        for name, value in kept:
            self.say(f"{name:<{wide}}{value}", 2, wide)

    def cautions(self, cautions: Iterable["Caution"]) -> None:
        """Every caution in full, by where the hazard is met."""
        kept = list(cautions)
        if kept:
            self.heading("Cautions")
        for one in kept:
            place = _WHERE_WORDS.get(one.where, one.where)
            self.say(f"! {place}, {one.hazard}: {self._told(one.text)}", 2, 2)

    def finding(self, one: "Finding", indent: int = 4) -> None:
        """One finding of the rules: how bad, why, what happens, what to do instead."""
        title, reason, failure, remedy = map(
            self._told, (one.title, one.reason, one.failure, one.remedy)
        )
        parts = [f"{SEVERITY_SIGNS[one.severity]} {SEVERITY_WORDS[one.severity]}: {title}."]
        parts += [sentence(reason)]
        parts += [f"What happens: {sentence(failure)}"] if failure else []
        parts += [f"Instead: {sentence(remedy)}"] if remedy else []
        parts += [f"Needs: {', '.join(one.needs)}."] if one.needs else []
        parts += ["Experts differ; this is the cautious answer."] if one.experts_differ else []
        self.say(" ".join(parts), indent, 2)

    def todos(self, todos: Iterable[Todo]) -> None:
        """What to do first, numbered."""
        for index, todo in enumerate(todos, start=1):
            self.say(f"{index}. {todo.place}. {self._told(todo.text)}", 2, 3)

    def _told(self, text: Any) -> str:
        """A sentence in the reader's units; any other text as it is."""
        return _clean(self.words.tell(text) if isinstance(text, Said) else text)


def _clean(text: Any) -> str:
    """Text without control characters, so that no name in a file can drive the terminal."""
    told = polish(str(text))
    return "".join(letter if letter.isprintable() or letter == SPACE else " " for letter in told)
