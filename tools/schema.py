"""Write what is made from the model: data/schema/*.json and the tables of docs/job-file.md.

usage: python tools/schema.py; tests/unit/intake/test_schema.py compares.
"""

import json
import re
from pathlib import Path
from typing import Any

import tomlkit

from coatwright.intake import schema

ROOT = Path(__file__).resolve().parents[1]
SCHEMAS = ROOT / "src" / "coatwright" / "data" / "schema"
PAGE = ROOT / "docs" / "job-file.md"
MARK = "<!-- From here on made by tools/schema.py out of the model; change the model. -->\n"


def page(text: str) -> str:
    """The page with its part below the mark made anew."""
    return text.partition(MARK)[0] + MARK + tables(schema.job_schema())


def tables(made: dict[str, Any]) -> str:
    """One table of fields for the job and for each part of it."""
    named = {"The file itself": made, **made["$defs"]}
    return "".join(_part(name, named[name], made["$defs"]) for name in _order(made))


def _order(made: dict[str, Any]) -> list[str]:
    """The parts in the order in which the file comes to them."""
    found, waiting = ["The file itself"], [made]
    while waiting:
        for name in re.findall(r"#/\$defs/(\w+)", json.dumps(waiting.pop(0)["properties"])):
            part = made["$defs"][name]
            if name not in found and "properties" in part:
                found.append(name)
                waiting.append(part)
    return found


def _part(name: str, part: dict[str, Any], parts: dict[str, Any]) -> str:
    rows = [
        f"| `{field}` | {_meaning(entry, parts)} | {_default(field, entry, part)} |\n"
        for field, entry in part["properties"].items()
    ]
    head = "| field | meaning | if left out |\n|---|---|---|\n"
    title = re.sub(r"(?<=[a-z])(?=[A-Z])", " ", name).capitalize() if name.isalpha() else name
    return f"\n### {title}\n\n{part.get('description', '')}\n\n{head}{''.join(rows)}"


def _meaning(entry: dict[str, Any], parts: dict[str, Any]) -> str:
    meaning = str(entry.get("description", "")).partition("; units: ")[0]
    meaning += ")" * (meaning.count("(") - meaning.count(")"))
    named = parts.get(str(entry.get("$ref")).rpartition("/")[2], {})
    choices = [f"`{choice}`" for choice in entry.get("enum", named.get("enum", ()))]
    if choices and choices[0] == "`P12`":
        choices = [choices[0], "...", choices[-1]]
    return ": ".join(text for text in (meaning, ", ".join(choices)) if text).replace("|", "\\|")


def _default(field: str, entry: dict[str, Any], part: dict[str, Any]) -> str:
    if field in part.get("required", ()):
        return f'needed: `"{entry["const"]}"`' if "const" in entry else "needed"
    value = entry.get("default", "")
    return f"`{_toml(value)}`" if value not in ("", []) else ""


def _toml(value: Any) -> str:
    if isinstance(value, dict):
        return f"{{ {', '.join(f'{name} = {_toml(inner)}' for name, inner in value.items())} }}"
    if isinstance(value, list):
        return f"[{', '.join(_toml(inner) for inner in value)}]"
    return str(tomlkit.item(value).as_string())


def main() -> None:
    """Write them all."""
    SCHEMAS.mkdir(parents=True, exist_ok=True)
    for name, text in schema.published().items():
        (SCHEMAS / name).write_text(text, encoding="utf-8")
    PAGE.write_text(page(PAGE.read_text(encoding="utf-8")), encoding="utf-8")


if __name__ == "__main__":
    main()
