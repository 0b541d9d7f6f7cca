"""What the documents tell a reader to type is there to be typed, and every page can be found."""

import re
import shlex
from pathlib import Path

import pytest

from coatwright.faces.cli import codes
from coatwright.faces.cli.app import COMMANDS
from coatwright.faces.cli.main import run
from house import source

DOCS = source.ROOT / "docs"
PAGES = [
    *("README.md", "CONTRIBUTING.md", "CHANGELOG.md", "tests/README.md"),
    *sorted(str(page.relative_to(source.ROOT)) for page in DOCS.rglob("*.md")),
]


def typed(text: str, program: str) -> list[str]:
    """First word after `program` in code: indented blocks, fences and backticks."""
    blocks = re.findall(r"^(?: {4}|\t)(.+)$", text, re.MULTILINE)
    blocks += [
        line
        for fence in re.findall(r"```\w*\n(.*?)```", text, re.DOTALL)
        for line in fence.split("\n")
    ]
    blocks += re.findall(r"`([^`\n]+)`", text)
    return [
        found[1]
        for block in blocks
        if (found := re.match(rf"\s*(?:\S*/)?{program} (\w[\w-]*)", block))
    ]


def targets() -> set[str]:
    return set(re.findall(r"^([a-z]+):", (source.ROOT / "Makefile").read_text(), re.MULTILINE))


def links(file: Path) -> list[str]:
    return re.findall(r"\]\((?!https?:|#)([^)#\s]+)", file.read_text())


def dead_links(file: Path) -> list[str]:
    return [link for link in links(file) if not (file.parent / link).exists()]


def unlisted(folder: Path) -> list[str]:
    """Pages under a folder that its README and the READMEs it names do not lead to."""
    waiting, seen = [folder / "README.md"], set()
    while waiting:
        page = waiting.pop().resolve()
        seen.add(page)
        targets = [(page.parent / link).resolve() for link in links(page)]
        waiting += [one for one in targets if one.name == "README.md" and one not in seen]
        seen.update(targets)
    return [str(page.name) for page in folder.resolve().rglob("*.md") if page not in seen]


@pytest.mark.parametrize("page", PAGES)
def test_every_make_target_exists(page):
    assert set(typed((source.ROOT / page).read_text(), "make")) <= targets()


@pytest.mark.parametrize("page", PAGES)
def test_every_command_exists(page):
    assert set(typed((source.ROOT / page).read_text(), "coatwright")) <= set(COMMANDS)


@pytest.mark.parametrize("page", PAGES)
def test_every_link_leads_somewhere(page):
    assert dead_links(source.ROOT / page) == []


def test_every_page_can_be_found():
    assert unlisted(DOCS) == []


def test_a_dead_link_and_a_lost_page_are_seen(tmp_path):
    (tmp_path / "README.md").write_text("[one](one.md) and [gone](gone.md#part)\n")
    (tmp_path / "one.md").write_text("one\n")
    (tmp_path / "lost.md").write_text("lost\n")
    assert dead_links(tmp_path / "README.md") == ["gone.md"]
    assert unlisted(tmp_path) == ["lost.md"]


def test_the_page_opens_with_the_two_commands():
    assert typed((source.ROOT / "README.md").read_text(), "make")[:2] == ["run", "test"]


def test_typed_words_are_found():
    text = "    make run   # x\n\n```sh\nmake test\n```\n\nthen `make quick`, and make nothing.\n"
    assert typed(text, "make") == ["run", "test", "quick"]
    assert {"run", "test", "quick", "bench", "lock", "clean"} <= targets()
    assert typed("    coatwright plan demo\n    x/coatwright mend it\n", "coatwright") == [
        *("plan", "mend")
    ]


def commands(text: str) -> list[list[str]]:
    """What follows `coatwright` on each indented line, without the remark."""
    lines = re.findall(r"^    \S*coatwright (.+)$", text, re.MULTILINE)
    return [shlex.split(line, comments=True) for line in lines]


@pytest.mark.slow
def test_the_commands_of_the_page_run_in_their_order(tmp_path, monkeypatch, capsys):
    monkeypatch.chdir(tmp_path)
    asked = commands((source.ROOT / "README.md").read_text())
    assert [line[0] for line in asked] == list(dict.fromkeys(line[0] for line in asked))
    assert len(asked) >= 8
    for line in asked:
        with pytest.raises(SystemExit) as leaving:
            run(line)
        out = capsys.readouterr()
        assert (line, leaving.value.code or 0) == (line, codes.FINE), out.err
        assert out.out
    assert (tmp_path / "plan.html").stat().st_size > 0
