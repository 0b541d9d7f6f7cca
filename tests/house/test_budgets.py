"""Sizes that keep the code readable. Whoever needs more splits; nobody raises a number here."""

import ast
import statistics
from pathlib import Path

import pytest

from house import source

FILE_LINES = 700
FUNCTION_LINES = 60
KERNEL_LINES = 100
MEDIAN_LINES = 10
METHODS = 15
FOLDER_FILES = 12
PARAMETERS = 6
WRITTEN = [source.ROOT / name for name in ("src", "tests", "benchmarks", "tools")]
# A kernel and its plain twin share one flat signature of arrays and floats, as numba wants it.
KERNELS = ("_kernels.py", "_plain.py")
NOWHERE_NAMES = {"utils", "helpers", "common", "manager", "misc"}


def long_files(files: list[Path]) -> list[str]:
    return [
        f"{file}: {count} lines"
        for file in files
        if (count := len(file.read_text().splitlines())) > FILE_LINES
    ]


def full_folders(files: list[Path]) -> list[str]:
    folders = {file.parent for file in files}
    counts = {
        folder: sum(file.parent == folder and file.name != "__init__.py" for file in files)
        for folder in folders
    }
    return [f"{folder}: {count} files" for folder, count in counts.items() if count > FOLDER_FILES]


def long_functions(files: list[Path]) -> list[str]:
    faults = []
    for file in files:
        lines = source.code_lines(file)
        limit = KERNEL_LINES if file.name.endswith(KERNELS) else FUNCTION_LINES
        faults += [
            f"{place}: {count} code lines"
            for place, node in source.functions(file)
            if (count := source.length(lines, node)) > limit
        ]
    return faults


def wide_signatures(files: list[Path]) -> list[str]:
    return [
        f"{place}: {len(names)} parameters"
        for file in files
        if not file.name.endswith(KERNELS)
        for place, node in source.functions(file)
        if len(names := source.parameters(node)) > PARAMETERS and not _is_command(node)
    ]


def _is_command(node: source.Function) -> bool:
    """A command's parameters are its options: they are read by name on the command line."""
    return any(
        isinstance(mark, ast.Call)
        and isinstance(mark.func, ast.Attribute)
        and mark.func.attr in {"command", "callback"}
        for mark in node.decorator_list
    )


def wide_classes(files: list[Path]) -> list[str]:
    return [
        f"{place}: {count} public methods"
        for file in files
        for place, node in source.classes(file)
        if (count := _public_methods(node)) > METHODS
    ]


def _public_methods(node: ast.ClassDef) -> int:
    return sum(
        isinstance(item, source.Function) and not item.name.startswith("_") for item in node.body
    )


def names_that_say_nothing(files: list[Path]) -> list[str]:
    return [str(file) for file in files if NOWHERE_NAMES & {file.stem, *file.parent.parts}]


CHECKS = {
    "files": (long_files, "x = 1\n" * (FILE_LINES + 1)),
    "functions": (long_functions, "def f():\n" + "    x = 1\n" * FUNCTION_LINES),
    "signatures": (wide_signatures, "def f(a, b, c, d, e, *, f, g): ...\n"),
    "classes": (
        wide_classes,
        "class C:\n" + "".join(f"    def m{i}(self): ...\n" for i in range(METHODS + 1)),
    ),
}


@pytest.mark.parametrize("check", [check for check, _ in CHECKS.values()], ids=CHECKS)
def test_kept(check):
    assert check(source.python_files(*WRITTEN)) == []


@pytest.mark.parametrize(("check", "breach"), CHECKS.values(), ids=CHECKS)
def test_breach_is_seen(check, breach, tmp_path):
    file = tmp_path / "one.py"
    file.write_text(breach)
    assert len(check([file])) == 1


def test_folders_kept_and_a_full_one_seen(tmp_path):
    assert full_folders(source.python_files(*WRITTEN)) == []
    many = [tmp_path / f"{i}.py" for i in range(FOLDER_FILES + 1)]
    assert len(full_folders(many)) == 1


def test_names_say_something():
    assert names_that_say_nothing(source.python_files(*WRITTEN)) == []
    assert names_that_say_nothing([Path("src/x/utils/one.py"), Path("src/x/helpers.py")])


def test_docstrings_and_comments_cost_nothing(tmp_path):
    file = tmp_path / "one.py"
    file.write_text('def f():\n    """Long.\n\n    Text.\n    """\n    # why\n\n    return 1\n')
    [(_, node)] = source.functions(file)
    assert source.length(source.code_lines(file), node) == 2


def test_median_function_is_short():
    lengths = [
        source.length(source.code_lines(file), node)
        for file in source.python_files(source.PACKAGE)
        for _, node in source.functions(file)
    ]
    assert statistics.median(lengths) <= MEDIAN_LINES
