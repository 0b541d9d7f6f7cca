"""Write the tables of docs/record.md: settings, and every field of an archive.

usage: python tools/record_format.py; tests/unit/record/test_manual.py compares.
"""

import json
import re
from pathlib import Path
from typing import Any

from coatwright.record.store import archive
from coatwright.settings import SETTINGS

PAGE = Path(__file__).resolve().parents[1] / "docs" / "record.md"
MARK = "<!-- From here on made by tools/record_format.py out of the code; change the code. -->\n"
_PLAIN = {"string": "text", "number": "number", "integer": "whole number", "boolean": "true, false"}


def page(text: str) -> str:
    """The page with its part below the mark made anew."""
    return text.partition(MARK)[0] + MARK + settings() + tables(archive.schema())


def settings() -> str:
    """The settings, in the order of the code."""
    rows = [
        f"| `{one.name}` | `COATWRIGHT_{one.name.upper()}` | {one.help} |\n" for one in SETTINGS
    ]
    return "\n## Settings\n\n| in the file | in the environment | meaning |\n|---|---|---|\n" + (
        "".join(rows)
    )


def tables(made: dict[str, Any]) -> str:
    """One table of fields for the archive and for each part of it."""
    parts = made["$defs"]
    named = {"events.json": made, **{name: parts[name] for name in _order(made)}}
    head = "\n## Fields of an archive\n"
    return head + "".join(_part(name, part, parts) for name, part in named.items())


def _order(made: dict[str, Any]) -> list[str]:
    """The parts in the order in which the file comes to them."""
    found: list[str] = []
    waiting = [made]
    while waiting:
        for name in re.findall(r"#/\$defs/(\w+)", json.dumps(waiting.pop(0)["properties"])):
            if name not in found and "properties" in made["$defs"][name]:
                found.append(name)
                waiting.append(made["$defs"][name])
    return found


def _part(name: str, part: dict[str, Any], parts: dict[str, Any]) -> str:
    kind = part["properties"].get("kind", {}).get("const")
    title = kind or re.sub(r"(?<=[a-z])(?=[A-Z])", " ", name).capitalize()
    title = title if name != "events.json" else name
    rows = [
        f"| `{field}` | {_type(entry, parts)} | {_meaning(entry)} |\n"
        for field, entry in part["properties"].items()
        if field != "kind"
    ]
    told = part.get("description", "").replace("\n", " ")
    head = f"\n### {title}\n\n{told}\n"
    if kind:
        head += f'\n`"kind": "{kind}"`\n'
    table = "\n| field | holds | meaning |\n|---|---|---|\n" + "".join(rows)
    return head + (table if rows else "")


def _meaning(entry: dict[str, Any]) -> str:
    return str(entry.get("description", "")).replace("|", "\\|").replace("\n", " ")


def _type(entry: dict[str, Any], parts: dict[str, Any]) -> str:
    choices = entry.get("enum") or ([entry["const"]] if "const" in entry else [])
    if choices:
        return ", ".join(f"`{choice}`" for choice in choices)
    if entry.get("format") == "date-time":
        return "moment"
    several = entry.get("anyOf") or entry.get("oneOf")
    if several:
        told = [_type(one, parts) for one in several if one.get("type") != "null"]
        return ", ".join(dict.fromkeys(told)) if len(told) < 4 else "one of the kinds below"
    if "$ref" in entry:
        name = entry["$ref"].rpartition("/")[2]
        return re.sub(r"(?<=[a-z])(?=[A-Z])", " ", name).lower()
    if entry.get("type") == "array":
        return f"list of {_type(entry.get('items', {}), parts)}"
    if entry.get("type") == "object":
        return f"{_type(entry.get('additionalProperties', {}), parts)} by name"
    return _PLAIN.get(str(entry.get("type")), "")


def main() -> None:
    """Write the page again."""
    PAGE.write_text(page(PAGE.read_text(encoding="utf-8")), encoding="utf-8")


if __name__ == "__main__":
    main()
