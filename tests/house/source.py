"""The tree as the house tests read it: files and their syntax, nothing imported."""

import ast
import io
import tokenize
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import NamedTuple

ROOT = Path(__file__).resolve().parents[2]
PACKAGE = ROOT / "src" / "coatwright"
DATA = PACKAGE / "data"

Function = ast.FunctionDef | ast.AsyncFunctionDef


class Place(NamedTuple):
    """A function or class with the file it stands in."""

    file: Path
    node: ast.AST

    def __str__(self) -> str:
        shown = self.file.relative_to(ROOT) if self.file.is_relative_to(ROOT) else self.file.name
        return f"{shown}:{getattr(self.node, 'lineno', 0)} {getattr(self.node, 'name', '')}"


def python_files(*folders: Path) -> list[Path]:
    found = sorted(path for folder in folders for path in folder.rglob("*.py"))
    assert found, f"no Python under {folders}"
    return found


@cache
def _parsed(text: str) -> ast.Module:
    return ast.parse(text)


def functions(file: Path) -> Iterator[tuple[Place, Function]]:
    for node in ast.walk(_parsed(file.read_text())):
        if isinstance(node, Function):
            yield Place(file, node), node


def classes(file: Path) -> Iterator[tuple[Place, ast.ClassDef]]:
    for node in ast.walk(_parsed(file.read_text())):
        if isinstance(node, ast.ClassDef):
            yield Place(file, node), node


def code_lines(file: Path) -> set[int]:
    """Numbers of the lines that hold code: not blank, not comment, not docstring."""
    return _code_lines(file.read_text())


@cache
def _code_lines(text: str) -> set[int]:
    skip = {tokenize.COMMENT, tokenize.NL, tokenize.NEWLINE, tokenize.INDENT, tokenize.DEDENT}
    lines: set[int] = set()
    for token in tokenize.generate_tokens(io.StringIO(text).readline):
        if token.type not in skip and token.type != tokenize.ENDMARKER:
            lines.update(range(token.start[0], token.end[0] + 1))
    return lines - _docstring_lines(_parsed(text))


def _docstring_lines(tree: ast.Module) -> set[int]:
    lines: set[int] = set()
    for node in ast.walk(tree):
        if isinstance(node, ast.Module | ast.ClassDef | Function) and ast.get_docstring(node):
            text = node.body[0]
            lines.update(range(text.lineno, (text.end_lineno or text.lineno) + 1))
    return lines


def length(file_lines: set[int], node: Function) -> int:
    """Code lines of one function, its signature and inner functions included."""
    return sum(
        line in file_lines for line in range(node.lineno, (node.end_lineno or node.lineno) + 1)
    )


def parameters(node: Function) -> list[str]:
    """Names a caller fills in, without self and cls."""
    arguments = node.args
    names = [one.arg for one in (*arguments.posonlyargs, *arguments.args, *arguments.kwonlyargs)]
    return [name for name in names if name not in {"self", "cls"}]
