"""Where a figure comes from: its formula, what it was computed from, and the source of that."""

import difflib
import re
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files

from coatwright.errors import NotFound
from coatwright.figures import Figure, walk
from coatwright.planning.plan import Plan

_WORDS = re.compile(r"[^a-z0-9]+")


@dataclass(frozen=True, slots=True)
class Citation:
    """A source as a person reads it; kind and read as in data/sources."""

    key: str
    text: str
    kind: str
    read: str = ""
    note: str = ""


@dataclass(frozen=True, slots=True)
class Explanation:
    """One figure with the whole of where it comes from; inputs are figures explained or words."""

    address: str
    figure: Figure
    citation: Citation
    inputs: tuple[tuple[str, "Explanation | str"], ...] = ()


def explain(plan: Plan, address: str, depth: int = 4) -> Explanation:
    """The figure at that address and, up to `depth` levels down, what it was computed from.

    Raises NotFound, naming addresses that come close.
    """
    figure = dict(walk(plan)).get(address)
    if figure is None:
        raise _not_found(plan, address)
    return _explained(address, figure, depth)


def matches(plan: Plan, text: str) -> tuple[tuple[str, Figure], ...]:
    """The figures whose address holds every word of the text; the exact address alone if it is one.

    Raises NotFound, naming addresses that come close, when there is none.
    """
    found = walk(plan)
    exact = tuple(item for item in found if item[0] == text)
    if exact:
        return exact
    wanted = _words(text)
    hits = [item for item in found if all(_holds(item[0], word) for word in wanted)]
    if not hits:
        raise _not_found(plan, text)
    # Whole words before parts of words, then plan order: the nearest reading comes first.
    return tuple(sorted(hits, key=lambda item: not set(wanted) <= set(_words(item[0]))))


def cite(source: str) -> Citation:
    """The citation behind a figure's source: a key of data/sources, a sheet, the job file."""
    known = citations().get(source)
    if known:
        return known
    if source.startswith("sheet:"):
        product = source.removeprefix("sheet:")
        return Citation(source, f"product sheet '{product}'", "")
    return Citation(source, source or "no source given", "")


@cache
def citations() -> Mapping[str, Citation]:
    """Every source of data/sources by key."""
    found: dict[str, Citation] = {}
    folder = files("coatwright").joinpath("data/sources")
    for file in sorted(folder.iterdir(), key=lambda item: item.name):
        if file.name.endswith(".toml"):
            for key, entry in tomllib.loads(file.read_text(encoding="utf-8")).items():
                found[key] = _citation(key, entry)
    return found


def _citation(key: str, entry: Mapping[str, str]) -> Citation:
    return Citation(
        key,
        entry["citation"],
        entry.get("kind", ""),
        entry.get("read", ""),
        entry.get("note", ""),
    )


def _explained(address: str, figure: Figure, depth: int) -> Explanation:
    inputs = tuple(
        (name, _input(f"{address}.{name}", value, depth)) for name, value in figure.inputs.items()
    )
    return Explanation(address, figure, cite(figure.source), inputs)


def _input(address: str, value: Figure | str, depth: int) -> Explanation | str:
    if isinstance(value, str):
        return value
    if depth <= 0:
        return Explanation(address, value, cite(value.source))
    return _explained(address, value, depth - 1)


def _words(text: str) -> list[str]:
    return [word for word in _WORDS.split(text.casefold()) if word]


def _holds(address: str, word: str) -> bool:
    return any(part.startswith(word) for part in _words(address))


def _not_found(plan: Plan, text: str) -> NotFound:
    every = [address for address, _ in walk(plan)]
    near = difflib.get_close_matches(text, every, n=3, cutoff=0.3)
    if not near:
        last = {address.rpartition(".")[2]: address for address in every}
        near = [last[name] for name in difflib.get_close_matches(text, last, n=3, cutoff=0.5)]
    hint = " or ".join(f"'{one}'" for one in near)
    return NotFound(
        f"no figure of this plan is called '{text}'",
        instead=f"try {hint}" if hint else "list them all with: coatwright explain JOB",
    )
