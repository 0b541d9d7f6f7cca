"""Reads the docstring contract of the engines: parameters, units, source (see CONTRIBUTING.md)."""

import ast
import re
from dataclasses import dataclass
from pathlib import Path

from house import source

SECTIONS = ("Parameters", "Returns", "Raises", "Validity", "Source", "Checked")
NO_SOURCE = ("common practice, no source", "derived", "assumption", "from memory")
# Types that carry no unit of their own; a whole number counts things.
UNITLESS = {"str", "bool", "int", "None"}
_SYMBOL = r"(?:m|s|kg|K|Pa|N|J|W|mol|rad|money)-?\d*"
_UNIT = re.compile(rf"^(?:1|{_SYMBOL})(?:[ /*(]+{_SYMBOL}\)*)*$")


@dataclass(frozen=True)
class Contract:
    """What one docstring promises: text of each section, and of each parameter."""

    sections: dict[str, str]
    parameters: dict[str, str]


def read(docstring: str) -> Contract:
    sections: dict[str, list[str]] = {"": []}
    current = ""
    for line in docstring.splitlines():
        if line.strip() in SECTIONS and not line.startswith(" "):
            current = line.strip()
            sections[current] = []
        elif not re.fullmatch(r"-{3,}", line.strip()):
            sections[current].append(line)
    texts = {name: "\n".join(lines).strip("\n") for name, lines in sections.items()}
    return Contract(texts, _parameters(texts.get("Parameters", "")))


def _parameters(text: str) -> dict[str, str]:
    found: dict[str, str] = {}
    names: list[str] = []
    for line in text.splitlines():
        heading = re.match(r"^([a-z_0-9]+(?:, [a-z_0-9]+)*) : ", line)
        if heading:
            names = heading[1].split(", ")
        for name in names:
            found[name] = found.get(name, "") + line + "\n"
    return found


def is_unit(text: str) -> bool:
    return all(part == "-" or bool(_UNIT.match(part)) for part in text.split(", "))


def units(text: str) -> set[str]:
    """Every unit written in brackets."""
    brackets = [found for found in re.findall(r"\[([^\[\]]+)\]", text) if is_unit(found)]
    return {unit for found in brackets for unit in found.split(", ")}


def has_unit(text: str) -> bool:
    return bool(units(text))


def public_functions(folder: Path) -> list[tuple[source.Place, source.Function]]:
    """Top-level functions without underscore in modules without underscore."""
    return [
        (source.Place(file, node), node)
        for file in source.python_files(folder)
        if not file.name.startswith("_")
        for node in ast.parse(file.read_text()).body
        if isinstance(node, source.Function) and not node.name.startswith("_")
    ]


def records(folder: Path) -> dict[str, bool]:
    """Classes of the engines by name, and whether their docstrings state units."""
    found: dict[str, bool] = {}
    for file in source.python_files(folder):
        for _, node in source.classes(file):
            found[node.name] = has_unit(ast.get_docstring(node) or "")
    return found


def faults(node: source.Function, keys: set[str], stated: dict[str, bool]) -> list[str]:
    """How a function breaks the contract; keys are the sources, stated the classes with units."""
    contract = read(ast.get_docstring(node) or "")
    found = []
    if sorted(contract.parameters) != sorted(source.parameters(node)):
        found.append(f"documents {list(contract.parameters)}, takes {source.parameters(node)}")
    for argument in (*node.args.posonlyargs, *node.args.args, *node.args.kwonlyargs):
        text = contract.parameters.get(argument.arg, "")
        if _wants_unit(argument.annotation, stated) and not has_unit(text):
            found.append(f"no unit for {argument.arg}")
    if _wants_unit(node.returns, stated) and not has_unit(contract.sections.get("Returns", "")):
        found.append("no unit for what it returns")
    return found + source_faults(contract.sections.get("Source", ""), keys)


def _wants_unit(annotation: ast.expr | None, stated: dict[str, bool]) -> bool:
    if annotation is None:
        return True
    written = ast.unparse(annotation).strip("'\"")
    names = set(re.findall(r"[A-Za-z_][A-Za-z_0-9]*", written))
    words = names - {"tuple", "list", "dict", "Literal", "Sequence", "Mapping"}
    if written.startswith("Literal"):
        return False
    return not all(name in UNITLESS or stated.get(name, False) for name in words)


def source_faults(text: str, keys: set[str]) -> list[str]:
    """The Source section opens with a key of data/sources or a plain word that there is none."""
    stripped = " ".join(text.split())
    if not stripped:
        return ["no Source section"]
    first, *others = re.split(r"[,;.:] ?|\s", stripped)
    found = []
    if not stripped.startswith(NO_SOURCE) and first not in keys:
        found.append(f"source '{first}' is not in data/sources")
    found += [
        f"source '{word}' is not in data/sources"
        for word in others
        if re.fullmatch(r"(iso|din|astm|en|ansi|cfr)-[a-z0-9-]+", word) and word not in keys
    ]
    return found
