"""Sets a Figure in HTML: number, unit and spread apart, and where it comes from on hand."""

from collections.abc import Sequence
from typing import NamedTuple

from markupsafe import Markup

from coatwright.actions.explain import cite
from coatwright.faces.format import BASIS_WORDS, DASH, Shown, Words
from coatwright.figures import Figure, walk

_FIGURE = Markup(
    '<data class="fig from-{basis}" value="{value}" title="{title}">{number}{unit}{spread}</data>'
)
_UNIT = Markup(' <span class="unit">{0}</span>')
_SPREAD = Markup(' <span class="spread">({0})</span>')
_CELLS = Markup('<td class="number">{number}</td><td class="units">{rest}</td>')


class Origin(NamedTuple):
    """One row of a "where from" table."""

    name: str
    address: str
    shown: str
    how: str
    source: str


class Setter:
    """Sets figures for one reader."""

    def __init__(self, words: Words) -> None:
        self._words = words

    def __call__(self, figure: Figure) -> Markup:
        """A figure within a sentence or a table cell."""
        return self._set(figure, self._words.show(figure))

    def brief(self, figure: Figure) -> Markup:
        """The same without its spread."""
        return self._set(figure, self._words.show(figure)._replace(spread=""))

    def chance(self, figure: Figure) -> Markup:
        """A probability."""
        return self._set(figure, self._words.show_chance(figure))

    def counted(self, figure: Figure, one: str, many: str) -> Markup:
        """A count with its noun."""
        shown = self._words.show(figure)
        return self._set(figure, shown._replace(unit=one if shown.number == "1" else many))

    def cells(self, figure: Figure, tail: str = "") -> Markup:
        """Two table cells, so that numbers and units each stand under one another."""
        shown = self._words.show(figure)
        rest = [
            Markup('<span class="unit">{0}</span>').format(shown.unit) if shown.unit else "",
            _SPREAD.format(shown.spread) if shown.spread else "",
            Markup(' <span class="tail">{0}</span>').format(tail) if tail else "",
        ]
        number = self._set(figure, Shown(shown.number, "", ""))
        return _CELLS.format(number=number, rest=Markup("").join(rest))

    def origins(self, thing: object, path: str) -> list[Origin]:
        """Where every figure inside a thing comes from; path is the thing's address in the plan."""
        return [self._origin(address, figure, path) for address, figure in walk(thing, path)]

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
        return f"{_how(figure)}. Source: {cite(figure.source).text}"

    def _origin(self, address: str, figure: Figure, path: str) -> Origin:
        name = address.removeprefix(path).lstrip(".").replace("_", " ").replace(".", ": ")
        return Origin(
            name or address,
            address,
            self._words.text(figure),
            _how(figure),
            cite(figure.source).text,
        )


def _how(figure: Figure) -> str:
    how = BASIS_WORDS[figure.basis].capitalize()
    if figure.formula:
        how += f": {figure.formula}"
    if figure.spread and figure.spread_note:
        how += f" (range: {figure.spread_note})"
    return how


def listed(texts: Sequence[str]) -> str:
    """Words in a row: "a, b and c"."""
    if len(texts) < 2:
        return "".join(texts)
    return f"{', '.join(texts[:-1])} and {texts[-1]}"


def ranged(low: str, high: str) -> str:
    """Two ends of a range."""
    return f"{low}{DASH}{high}"
