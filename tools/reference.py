"""Write docs/reference from the docstrings and the data: what a list by hand would let go stale.

usage: python tools/reference.py (or `make docs`); tests/house/test_reference.py compares.
"""

import ast
import tomllib
from collections.abc import Callable, Iterable
from pathlib import Path
from typing import Any

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
        rows = [row for file in sorted(folder.rglob("[!_]*.py")) for row in _function_rows(file)]
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


DEFECTS_HEAD = """
What `coatwright cause` knows. Beside each cause stand the signs it is told by: how often the bound
is found broken where this is the cause, against how often otherwise. Both are judgement (common
practice), as are the priors; how they are weighed stands in [causes.md](../causes.md).
"""


def defects() -> str:
    """Every defect with its causes, and every sign."""
    found = [tomllib.loads(file.read_text()) for file in data_files("defects")]
    signs = {one["key"]: one for file in found for one in file.get("sign", ())}
    known = sorted(
        (one for file in found for one in file.get("defect", ())), key=lambda one: one["title"]
    )
    parts = [f"# Defects and their causes\n\n{MADE}{DEFECTS_HEAD}"]
    parts += [_defect(one, signs) for one in known]
    rows = [
        (f"`{s['key']}`", s["broken"], s["bound_from"], _percent(s["usual"]), s["do"], s["source"])
        for s in sorted(signs.values(), key=lambda one: one["key"])
    ]
    head = ("sign", "broken, it says", "the bound", "broken otherwise", "if not recorded", "source")
    return "".join(parts) + f"\n## Signs\n\n{table(head, rows)}"


def _defect(one: dict[str, Any], signs: dict[str, Any]) -> str:
    also = f" Also called: {', '.join(one['also'])}." if one.get("also") else ""
    checks = {check["key"]: check for check in one.get("check", ())}
    rows = [
        (
            f"`{cause['key']}`: {cause['title']}",
            f"{cause['prior']:g}",
            "; ".join(_told_by(cause, signs, checks)),
            cause["remedy"],
            cause["change"],
            cause["source"],
        )
        for cause in one["cause"]
    ]
    head = ("cause", "prior", "told by", "now", "next time", "source")
    asked = "".join(f"\n- `{check['key']}`: {check['do']}" for check in checks.values())
    asked = f"\nChecks by hand:\n{asked}\n" if asked else ""
    caution = f"\n**{one['caution']}**\n" if one.get("caution") else ""
    title = f"{one['title'].capitalize()} (`{one['key']}`)"
    return f"\n## {title}\n\n{one['look']}{also}\n{caution}\n{table(head, rows)}{asked}"


def _told_by(cause: dict[str, Any], signs: dict[str, Any], checks: dict[str, Any]) -> list[str]:
    where = {"layer": "", "any": " in any layer", "ground": " on the ground"}
    place = where.get(cause.get("where", "layer"), f" in the layer {cause.get('where')}")
    place = " in a layer below" if cause.get("where") == "below" else place
    by_record = [
        f"`{key}`{place} {_percent(chance)} against {_percent(signs[key]['usual'])}"
        for key, chance in cause.get("expects", {}).items()
    ]
    by_hand = [
        f"check `{key}` {_percent(chance)} against {_percent(checks[key]['usual'])}"
        for key, chance in cause.get("answers", {}).items()
    ]
    return by_record + by_hand


def _percent(share: float) -> str:
    return f"{100 * share:g} %"


def data_files(folder: str) -> list[Path]:
    return sorted((PACKAGE / "data" / folder).glob("*.toml"))


PAGES: dict[str, Callable[[], str]] = {
    "engines.md": engines,
    "products.md": products,
    "rules.md": rules,
    "defects.md": defects,
}


def main() -> None:
    REFERENCE.mkdir(parents=True, exist_ok=True)
    for name, page in PAGES.items():
        (REFERENCE / name).write_text(page())


if __name__ == "__main__":
    main()
