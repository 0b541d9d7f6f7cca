"""Two routes side by side: film, days, cost, work, and what the rules say of each."""

from dataclasses import dataclass

from coatwright.figures import Figure
from coatwright.planning.advice.telling import PRACTICE
from coatwright.planning.plan import Finding, Route
from coatwright.sentences import say

_ROWS = (("film", say("dry film in all")), ("days", say("time on the calendar")), ("money", "cost"))


@dataclass(frozen=True, slots=True)
class Row:
    """One figure of both routes, and the second less the first."""

    key: str
    title: str
    first: Figure
    second: Figure
    difference: Figure


@dataclass(frozen=True, slots=True)
class Comparison:
    """Two routes side by side."""

    first: Route
    second: Route
    rows: tuple[Row, ...]
    only_first: tuple[Finding, ...]
    only_second: tuple[Finding, ...]
    sentences: tuple[str, ...]


def compare(first: Route, second: Route) -> Comparison:
    """Lay two routes side by side; the difference is the second less the first."""
    rows = tuple(_row(key, title, first, second) for key, title in _ROWS)
    said_first, said_second = _said(first), _said(second)
    return Comparison(
        first=first,
        second=second,
        rows=rows,
        only_first=tuple(f for f in first.findings if f.rule not in said_second),
        only_second=tuple(f for f in second.findings if f.rule not in said_first),
        sentences=_sentences(first, second, rows),
    )


def _row(key: str, title: str, first: Route, second: Route) -> Row:
    one, other = getattr(first, key), getattr(second, key)
    difference = Figure(
        other.value - one.value,
        one.purpose,
        "formula",
        PRACTICE,
        "second route - first route",
        {"first": one, "second": other},
    )
    return Row(key, title, one, other, difference)


def _said(route: Route) -> frozenset[str]:
    return frozenset(finding.rule for finding in route.findings)


_WORDS = {
    "film": (say("lays less film"), say("both come to the same film")),
    "days": (say("is sooner done"), say("both take the same time")),
    "money": (say("costs less"), say("both cost the same")),
}


def _sentences(first: Route, second: Route, rows: tuple[Row, ...]) -> tuple[str, ...]:
    forbidden = [route for route in (first, second) if not route.possible]
    if forbidden:
        return tuple(
            say("{route}: {summary}", route=route.title, summary=route.summary)
            for route in forbidden
        )
    said = []
    for row in rows:
        better, same = _WORDS[row.key]
        if row.difference.value == 0.0:
            said.append(say("{same}.", same=same))
        else:
            winner = second if row.difference.value < 0 else first
            said.append(say("{winner} {better}.", winner=winner.title, better=better))
    return tuple(said)
