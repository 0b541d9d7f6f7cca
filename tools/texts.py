"""Collects every text that a page or a paper may show and brings the catalogues up to date.

Texts stand in the templates of the pages, as _("..."); in those of the papers, as t("..."); in the
code, as the first argument of `say` (coatwright.sentences); and in the data files, in the fields
that are shown. Run as:
python tools/texts.py. New texts come in untranslated; those that stand nowhere any more go. A test
asks that nothing is left untranslated.
"""

import ast
import re
import sys
import tomllib
from collections.abc import Iterable, Iterator, Mapping
from itertools import chain
from pathlib import Path
from typing import get_args

from babel.messages.catalog import Catalog
from babel.messages.extract import extract
from babel.messages.pofile import read_po, write_po

from coatwright.actions.checking.windows import Standing as Lapsing
from coatwright.actions.floor.areas import shapes
from coatwright.engines.evidence.rules import acceptance
from coatwright.faces.papers.press import template_texts
from coatwright.faces.texts import LANGUAGES
from coatwright.model.material import Hazard, Past
from coatwright.model.rule import FACTS
from coatwright.model.substrate import Family, Ground
from coatwright.model.work import ActName
from coatwright.record.events import Happened
from coatwright.units import DIMENSIONS

CODE = Path(__file__).resolve().parents[1] / "src" / "coatwright"
DATA = CODE / "data"
WEB = CODE / "faces" / "web"
CALLS = {"_": None, "gettext": None, "ngettext": (1, 2)}
SYNTAX = {"extensions": "jinja2.ext.i18n", "trimmed": "true"}
ZONES = ("outside", "inside", "underside", "cavity", "vertical", "floor", "overhead")
WAYS = ("along", "across")
ACCESS = ("open", "recess", "cavity")
FINISHES = ("show", "good", "plain")


# Data file, or folder of them -> the fields of it that pages show, at whatever depth.
SHOWN = {
    "rules": ("title", "reason", "failure", "remedy", "needs"),
    "defects": (
        "title", "look", "also", "caution", "do", "remedy", "change", "broken", "kept",
        "bound_from",
    ),
    "products": ("title", "note"),
    "pattern_faults.toml": ("title", "causes", "cures", "check"),
    "cautions.toml": ("hazard", "text"),
    "care.toml": ("title", "text"),
    "glossary.toml": ("word", "means"),
    "consumables.toml": ("title",),
    "voc_limits.toml": ("title",),
    "work.toml": ("text", "title"),
}  # fmt: skip

# Words of state, verdict, measure and role that pages show by their name.
STATES = (
    "broken", "unsure", "kept", "does not arise", "not recorded", "passes", "does not pass",
    "not judged", "too little", "light", "within", "too much", "gauge", "wet comb", "fast",
    "standard", "slow", "go", "go if", "no go", "flow", "transfer", "speed", "minutes", "paint",
    "gun", "hand", "painter", "product", "job", "mask", "mix", "clean gun", "guide coat", "rest",
    "flash", "dry", "base", "hardener", "thinner", "yes", "yes if", "no", "air", "metal",
    "whole", "unknown paint", "wall", "receiver", "taken from a file", "begun",
)  # fmt: skip


def from_model() -> Iterator[str]:
    """Words of the model that pages show by their name."""
    yield from (one.value for kind in (Ground, Family) for one in kind)
    yield from (*ZONES, *WAYS, *ACCESS, *FINISHES, *STATES)
    for kind in (ActName, Hazard, Past, Lapsing):
        yield from get_args(kind)
    for fact in get_args(get_args(Happened)[0]):
        yield from (fact.model_fields["kind"].default, *map(_spaced, fact.model_fields))
    yield from map(_spaced, FACTS)
    yield from DIMENSIONS
    for kind, measures in shapes().items():
        yield kind
        for one in measures:
            yield from (one.name, one.meaning)


def _spaced(name: str) -> str:
    return name.replace("_", " ")


def from_data() -> Iterator[str]:
    """Words of the data files."""
    for place, fields in SHOWN.items():
        paths = sorted((DATA / place).glob("*.toml")) or [DATA / place]
        for path in paths:
            data = tomllib.loads(path.read_text("utf-8"))
            yield from _fields(data, fields)
            yield from (one["key"].replace("-", " ") for one in data.get("defect", ()))


def _fields(data: object, wanted: Iterable[str]) -> Iterator[str]:
    if isinstance(data, list):
        for one in data:
            yield from _fields(one, wanted)
    if isinstance(data, Mapping):
        for name, value in data.items():
            if name in wanted and isinstance(value, str):
                yield value
            elif name in wanted and isinstance(value, list):
                yield from (one for one in value if isinstance(one, str))
            yield from _fields(value, wanted)


def from_code() -> Iterator[str]:
    """Templates of sentences: the first argument of every call of say, which must be a literal."""
    for path in sorted(CODE.rglob("*.py")):
        if path.name == "sentences.py":
            continue
        for node in ast.walk(ast.parse(path.read_text("utf-8"))):
            if isinstance(node, ast.Call) and _says(node.func):
                first = node.args[0]
                if isinstance(first, ast.Constant) and isinstance(first.value, str):
                    yield first.value
                elif path.name != "format.py":
                    raise SystemExit(f"{path}:{node.lineno}: what is said must be a literal")


def _says(called: ast.expr) -> bool:
    if isinstance(called, ast.Attribute):
        return called.attr == "say" and isinstance(called.value, ast.Name | ast.Attribute) and (
            getattr(called.value, "id", getattr(called.value, "attr", "")) in ("words", "_words")
        )  # fmt: skip
    return isinstance(called, ast.Name) and called.id == "say"


CLAUSES = ("Clause", "_at_least", "_at_most")


def from_engines() -> Iterator[str]:
    """Clauses of the rules of acceptance, which engines hold because they know no catalogue."""
    tree = ast.parse(Path(acceptance.__file__).read_text("utf-8"))
    for node in ast.walk(tree):
        if isinstance(node, ast.Call) and getattr(node.func, "id", "") in CLAUSES:
            first = node.args[0]
            if isinstance(first, ast.Constant):
                yield str(first.value)


def _has_words(text: str) -> bool:
    """Words to translate; dates and small letters are put otherwise in another language."""
    if "{month}" in text or "!l}" in text:
        return True
    return bool(re.search("[A-Za-z]{2}", re.sub(r"\{[^{}]*(\{\w+\})?[^{}]*\}", "", text)))


def collected() -> Catalog:
    """Every text that a page may show."""
    found = Catalog(fuzzy=False)
    for path in sorted((WEB / "pages").rglob("*.html")):
        with path.open("rb") as file:
            for _, text, _, _ in extract("jinja2", file, CALLS, options=SYNTAX):
                found.add(text)
    every = (from_model(), from_engines(), from_data(), from_code(), template_texts())
    for word in chain.from_iterable(every):
        if _has_words(word):
            found.add(word)
    return found


def place(language: str) -> Path:
    """Where the catalogue of a language lies."""
    return CODE / "faces" / "texts" / language / "messages.po"


def renewed(language: str) -> Catalog:
    """The catalogue of a language with exactly the texts of today."""
    path, fresh = place(language), collected()
    known = Catalog(locale=language)
    if path.exists():
        with path.open("rb") as file:
            known = read_po(file, locale=language)
    made = Catalog(locale=language, fuzzy=False, header_comment="# Texts of pages and papers.")
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
