"""Write docs/reference from the docstrings and the data: what a list by hand would let go stale.

usage: python tools/reference.py (or `make docs`); tests/house/test_reference.py compares.
"""

import ast
import tomllib
from collections.abc import Callable, Iterable
from pathlib import Path

ROOT = Path(__file__).resolve().parents[1]
PACKAGE = ROOT / "src" / "coatwright"
REFERENCE = ROOT / "docs" / "reference"
MADE = "<!-- Made by `make docs`; change the source, not this page. -->\n"


def table(head: Iterable[str], rows: Iterable[Iterable[str]]) -> str:
    names = list(head)
    lines = [names, ["---"] * len(names), *map(list, rows)]
    cells = [[cell.replace("|", "\\|") for cell in line] for line in lines]
    return "".join(f"| {' | '.join(line)} |\n" for line in cells)


def engines() -> str:
    """Every public engine function: what it gives, in which unit."""
    parts = ["# Engines\n\n", MADE, "\nPublic functions, by engine. SI inside and out.\n"]
    for folder in sorted((PACKAGE / "engines").iterdir()):
        rows = [row for file in sorted(folder.glob("[!_]*.py")) for row in _function_rows(file)]
        if rows:
            parts += [f"\n## {folder.name}\n\n", table(("function", "gives", "returns"), rows)]
    return "".join(parts)


def _function_rows(file: Path) -> list[tuple[str, str, str]]:
    return [
        (f"`{node.name}`", _first_line(node), _returned(node))
        for node in ast.parse(file.read_text()).body
        if isinstance(node, ast.FunctionDef) and not node.name.startswith("_")
    ]


def _first_line(node: ast.FunctionDef) -> str:
    return (ast.get_docstring(node) or "").partition("\n\n")[0].replace("\n", " ")


def _returned(node: ast.FunctionDef) -> str:
    lines = (ast.get_docstring(node) or "").splitlines()
    if "Returns" not in lines:
        return ""
    return next(line for line in lines[lines.index("Returns") + 2 :] if line.strip()).strip()


PRODUCTS_HEAD = """
Generic products with values typical of their class, illustrative: put your own tin's data sheet in
their place. The hazards named are those of the class; the product's own sheet decides.

"""
RULES_HEAD = """
What may go on what. Where experts differ, the answer is the cautious one.
"""


def products() -> str:
    """Every product sheet that ships."""
    sheets = [tomllib.loads(file.read_text()) for file in data_files("products")]
    rows = [(f"`{s['key']}`", s["title"], s["family"], ", ".join(s["hazards"])) for s in sheets]
    head = ("key", "product", "family", "hazards")
    return f"# Product sheets\n\n{MADE}{PRODUCTS_HEAD}{table(head, rows)}"


def rules() -> str:
    """Every rule, by topic."""
    parts = [f"# Rules\n\n{MADE}{RULES_HEAD}"]
    for file in data_files("rules"):
        rows = [
            (f"`{r['id']}`", r["title"], r["verdict"], r["severity"], r["reason"], r["source"])
            for r in tomllib.loads(file.read_text())["rule"]
        ]
        head = ("rule", "what it says", "verdict", "severity", "reason", "source")
        parts += [f"\n## {file.stem.replace('-', ' ').capitalize()}\n\n", table(head, rows)]
    return "".join(parts)


def data_files(folder: str) -> list[Path]:
    return sorted((PACKAGE / "data" / folder).glob("*.toml"))


PAGES: dict[str, Callable[[], str]] = {
    "engines.md": engines,
    "products.md": products,
    "rules.md": rules,
}


def main() -> None:
    REFERENCE.mkdir(parents=True, exist_ok=True)
    for name, page in PAGES.items():
        (REFERENCE / name).write_text(page())


if __name__ == "__main__":
    main()
