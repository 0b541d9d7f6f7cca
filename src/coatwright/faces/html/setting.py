"""Sets a Figure in HTML: number, unit and spread apart, and where it comes from on hand."""

import re
from collections.abc import Mapping
from typing import NamedTuple

from markupsafe import Markup

from coatwright.faces.format import BASIS_WORDS, Shown, Words
from coatwright.figures import Figure, walk

_FIGURE = Markup(
    '<data class="fig from-{basis}" value="{value}" title="{title}">'
    '<span class="value">{number}{unit}</span>{spread}</data>'
)
_UNIT = Markup(' <span class="unit">{0}</span>')
_SPREAD = Markup(' <span class="spread">({0})</span>')
_CELLS = Markup('<td class="number">{number}</td><td class="units">{rest}</td>')

_TAIL = Markup(' <span class="tail">{0}</span>')
_WORDS = Markup('<td colspan="2">{words}{tail}</td>')


class Origin(NamedTuple):
    """One row of a "where from" table; number is that of its source in the list at the end."""

    name: str
    address: str
    shown: str
    how: str
    number: int


class Kind(NamedTuple):
    """How figures of one name are made, told once for all of them."""

    name: str
    how: str
    number: int


class Setter:
    """Sets figures for one reader; numbers are those of the sources at the end of the page."""

    def __init__(self, words: Words, numbers: Mapping[str, int]) -> None:
        self.words = words
        self._numbers = numbers

    def __call__(self, figure: Figure) -> Markup:
        """A figure within a sentence or a table cell."""
        return self._set(figure, self.words.show(figure))

    def brief(self, figure: Figure) -> Markup:
        """The same without its spread."""
        return self._set(figure, self.words.show(figure)._replace(spread=""))

    def chance(self, figure: Figure) -> Markup:
        """A probability."""
        return self._set(figure, self.words.show_chance(figure))

    def window(self, figure: Figure) -> Markup:
        """A wait on the calendar."""
        return self._set(figure, self.words.show_window(figure))

    def hold(self, figure: Figure) -> Markup:
        """How long air holds."""
        return self._set(figure, self.words.show_hold(figure))

    def counted(self, figure: Figure, one: str, many: str) -> Markup:
        """A count with its noun."""
        return self._set(figure, self.words.show_counted(figure, one, many))

    def cells(self, figure: Figure, tail: str = "") -> Markup:
        """Two table cells, so that numbers and units each stand under one another."""
        return self._cells(figure, self.words.show(figure), tail)

    def hold_cells(self, figure: Figure, tail: str = "") -> Markup:
        """The same for how long air holds."""
        shown = self.words.show_hold(figure)
        if shown.unit:
            return self._cells(figure, shown, tail)
        return _WORDS.format(words=self._set(figure, shown), tail=_TAIL.format(tail))

    def _cells(self, figure: Figure, shown: Shown, tail: str) -> Markup:
        rest = [
            Markup('<span class="unit">{0}</span>').format(shown.unit) if shown.unit else "",
            _SPREAD.format(shown.spread) if shown.spread else "",
            _TAIL.format(tail) if tail else "",
        ]
        number = self._set(figure, Shown(shown.number, "", ""))
        return _CELLS.format(number=number, rest=Markup("").join(rest))

    def origins(self, thing: object, path: str, leave_out: str = "") -> list[Origin]:
        """Where every figure inside a thing comes from; path is the thing's address in the plan.

        Addresses in which the pattern `leave_out` is found are passed over.
        """
        return [
            self._origin(address, figure, path)
            for address, figure in walk(thing, path)
            if not (leave_out and re.search(leave_out, address))
        ]

    def kinds(self, things: object, leave_out: str = "") -> list[Kind]:
        """How the figures of many like things are made: each name, formula and source once."""
        found: dict[Kind, None] = {}
        for address, figure in walk(things):
            if not (leave_out and re.search(leave_out, address)):
                name = address.rpartition(".")[2].replace("_", " ")
                found[Kind(name, _how(figure), self._numbers[figure.source])] = None
        return list(found)

    def _set(self, figure: Figure, shown: Shown) -> Markup:
        return _FIGURE.format(
            basis=figure.basis,
            value=f"{figure.value:.6g}",
            title=self._title(figure),
            number=shown.number,
            unit=_UNIT.format(shown.unit) if shown.unit else "",
            spread=_SPREAD.format(shown.spread) if shown.spread else "",
        )

    def _title(self, figure: Figure) -> str:
        return f"{_how(figure)} [{self._numbers[figure.source]}]"

    def _origin(self, address: str, figure: Figure, path: str) -> Origin:
        name = address.removeprefix(path).lstrip(".").replace("_", " ").replace(".", ": ")
        return Origin(
            name or address,
            address,
            self.words.text(figure),
            _how(figure),
            self._numbers[figure.source],
        )


def _how(figure: Figure) -> str:
    how = BASIS_WORDS[figure.basis].capitalize()
    if figure.formula:
        how += f": {figure.formula}"
    if figure.spread and figure.spread_note:
        how += f" (range: {figure.spread_note})"
    return how
