"""docs/command-line.md is what the help pages say today, and their examples name what exists."""

import importlib.util
import re

import pytest

from house import source

_spec = importlib.util.spec_from_file_location("commands", source.ROOT / "tools" / "commands.py")
assert _spec
assert _spec.loader
commands = importlib.util.module_from_spec(_spec)
_spec.loader.exec_module(commands)


def test_the_page_is_fresh() -> None:
    assert commands.PAGE.read_text() == commands.manual(), "run `python tools/commands.py`"


def test_every_command_and_code_stands_in_it() -> None:
    page = commands.manual()
    for name in commands.COMMANDS:
        assert f"## coatwright {name}\n" in page
    for code in range(8):
        assert f"\n    {code}  " in page


@pytest.mark.parametrize(
    "line", sorted(set(re.findall(r"^\s+coatwright (\w+) .*", commands.manual(), re.M)))
)
def test_examples_name_commands_that_exist(line: str) -> None:
    assert line in commands.COMMANDS


def test_help_fits_eighty_columns() -> None:
    pages = re.findall(r"```text\n(.*?)```", commands.manual(), re.S)
    assert len(pages) == len(commands.COMMANDS) + 1
    assert [line for page in pages for line in page.splitlines() if len(line) > 80] == []
