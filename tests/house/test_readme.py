"""What the README and CONTRIBUTING tell a newcomer to type is there to be typed."""

import re

import pytest

from house import source

PAGES = ["README.md", "CONTRIBUTING.md", "tests/README.md", "docs/README.md"]


def typed(text: str, program: str) -> list[str]:
    """First word after `program` in code: indented blocks, fences and backticks."""
    blocks = re.findall(r"^(?: {4}|\t)(.+)$", text, re.MULTILINE)
    blocks += [
        line
        for fence in re.findall(r"```\w*\n(.*?)```", text, re.DOTALL)
        for line in fence.split("\n")
    ]
    blocks += re.findall(r"`([^`\n]+)`", text)
    return [found[1] for block in blocks if (found := re.match(rf"\s*{program} ([\w-]+)", block))]


def targets() -> set[str]:
    return set(re.findall(r"^([a-z]+):", (source.ROOT / "Makefile").read_text(), re.MULTILINE))


def dead_links(page: str) -> list[str]:
    file = source.ROOT / page
    found = re.findall(r"\]\((?!https?:|#)([^)#\s]+)", file.read_text())
    return [link for link in found if not (file.parent / link).exists()]


@pytest.mark.parametrize("page", PAGES)
def test_every_make_target_exists(page):
    assert set(typed((source.ROOT / page).read_text(), "make")) <= targets()


@pytest.mark.parametrize("page", PAGES)
def test_every_link_leads_somewhere(page):
    assert dead_links(page) == []


def test_the_page_opens_with_the_two_commands():
    assert typed((source.ROOT / "README.md").read_text(), "make")[:2] == ["run", "test"]


def test_typed_words_are_found():
    text = "    make run   # x\n\n```sh\nmake test\n```\n\nthen `make quick`, and make nothing.\n"
    assert typed(text, "make") == ["run", "test", "quick"]
    assert {"run", "test", "quick", "bench", "lock", "clean"} <= targets()
