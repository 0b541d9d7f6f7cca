"""docs/command-line.md is what the help pages say today, and their examples name what exists."""

import importlib.util
import re
import shlex

import pytest

from coatwright.actions import plans
from coatwright.faces.cli import codes
from coatwright.faces.cli.main import run
from coatwright.planning.build import built
from coatwright.planning.day import days
from coatwright.planning.day.days import plan_days
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


@pytest.fixture(scope="module")
def planned_once():
    """A job is planned once, whatever is asked about its plan, and good days of it are looked for
    once and not for long; everything else is as it is."""
    known, arranged = {}, {}

    def once(job, shop, only=None, readings=None):
        if readings is not None:
            return built(job, shop, only, readings)
        if (key := (repr(job), only)) not in known:
            known[key] = built(job, shop, only)
        return known[key]

    def quickly(asked, seconds, cautions):
        if (key := (repr(asked.job), len(asked.areas))) not in arranged:
            arranged[key] = plan_days(asked, min(seconds, 2.0), cautions)
        return arranged[key]

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(plans, "built", once)
        patch.setattr(days, "plan_days", quickly)
        yield


EXAMPLES = sorted(set(re.findall(r"^\s+coatwright (\w+ demo .*)$", commands.manual(), re.M)))


def left(*arguments: str) -> int:
    with pytest.raises(SystemExit) as leaving:
        run(arguments)
    return int(leaving.value.code or 0)


@pytest.mark.slow
@pytest.mark.parametrize("example", [line for line in EXAMPLES if ".html" not in line])
def test_examples_on_the_demo_do_what_they_say(example: str, planned_once, capsys) -> None:
    assert left(*shlex.split(example)) in (codes.FINE, codes.FINDINGS)
    assert len(capsys.readouterr().out.splitlines()) > 3


def test_an_example_that_names_what_is_not_there_is_seen(capsys) -> None:
    assert left("recipe", "demo", "no-such-area") == codes.NOT_FOUND
    assert len(EXAMPLES) >= 7
