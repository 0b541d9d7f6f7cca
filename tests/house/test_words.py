"""Words that must not be left behind in what is published."""

import ast
import os
import re
from pathlib import Path

import pytest

from house import source

# Written in two halves so that this file does not find itself.
UNFINISHED = ["TO" + "DO", "FIX" + "ME", "X" + "XX"]
MACHINE = ["/" + "work/", "/" + "tmp/", "/" + "root/", "/" + "home/"]


NOT_PUBLISHED = {".git", ".venv", "build", "dist", "__pycache__"}
CACHES = re.compile(r"\.\w+_cache|\.hypothesis")


def published() -> list[str]:
    names = []
    for folder, inner, files in os.walk(source.ROOT):
        inner[:] = [one for one in inner if one not in NOT_PUBLISHED and not CACHES.match(one)]
        names += [str((Path(folder) / file).relative_to(source.ROOT)) for file in files]
    assert len(names) > 20
    return names


def lines_with(words: list[str], name: str, text: str) -> list[str]:
    pattern = re.compile("|".join(re.escape(word) for word in words))
    return [
        f"{name}:{number}: {line.strip()[:80]}"
        for number, line in enumerate(text.splitlines(), 1)
        if pattern.search(line)
    ]


def in_published(words: list[str], suffixes: tuple[str, ...] | None = None) -> list[str]:
    found = []
    for name in published():
        if suffixes is None or name.endswith(suffixes):
            text = (source.ROOT / name).read_bytes().decode("utf-8", "ignore")
            found += lines_with(words, name, text)
    return found


def test_nothing_is_unfinished():
    assert in_published(UNFINISHED, (".py", ".toml", ".html", ".md", ".js", ".css")) == []


def test_no_path_of_a_machine():
    assert in_published(MACHINE) == []


@pytest.mark.parametrize("word", UNFINISHED + MACHINE)
def test_breach_is_seen(word):
    assert lines_with(UNFINISHED + MACHINE, "one.py", f"x = 1\ny = '{word}'\n") == [
        f"one.py:2: y = '{word}'"
    ]


def stubs(file: Path) -> list[str]:
    """Functions that only say they are not written yet; a private base class may have them."""
    tree = ast.parse(file.read_text())
    bases = [n for n in ast.walk(tree) if isinstance(n, ast.ClassDef) and n.name.startswith("_")]
    allowed = {item.lineno for base in bases for item in base.body}
    return [
        str(place)
        for place, node in source.functions(file)
        if node.lineno not in allowed and "NotImplementedError" in ast.unparse(node)
    ]


def test_no_stub_is_called_done(tmp_path):
    assert [fault for file in source.python_files(source.PACKAGE) for fault in stubs(file)] == []
    file = tmp_path / "one.py"
    file.write_text("class A:\n    def f(self):\n        raise NotImplementedError\n")
    assert len(stubs(file)) == 1
