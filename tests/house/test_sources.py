"""Every source is written down once, says how it was read, and is used, and the other way round."""

import re
import tomllib
from collections import Counter
from pathlib import Path

import pytest

from house import source

KINDS = {
    "standard",
    "law",
    "handbook",
    "paper",
    "web page",
    "library",
    "derived",
    "common practice",
    "assumption",
    "memory",
}
READ = {"primary", "secondary", "not seen"}
FIELDS = {"citation", "kind", "read", "note"}
VALUES = source.ROOT / "tests" / "published" / "values"


def source_keys() -> list[str]:
    return [key for file in _files() for key in tomllib.loads(file.read_text())]


def _files() -> list[Path]:
    return sorted((source.DATA / "sources").glob("*.toml"))


def entry_faults(entry: dict[str, str]) -> list[str]:
    """What is wrong with one table of data/sources."""
    found = [f"unknown field '{name}'" for name in entry.keys() - FIELDS]
    found += [f"no {name}" for name in ("citation", "kind", "read") if not entry.get(name)]
    if entry.get("kind") not in KINDS:
        found.append(f"kind '{entry.get('kind')}'")
    if entry.get("read") not in READ:
        found.append(f"read '{entry.get('read')}'")
    return found


@pytest.mark.parametrize("file", _files(), ids=lambda file: file.name)
def test_well_formed(file):
    faults = {key: entry_faults(entry) for key, entry in tomllib.loads(file.read_text()).items()}
    assert {key: found for key, found in faults.items() if found} == {}


@pytest.mark.parametrize(
    "change", [{"kind": "rumour"}, {"read": "maybe"}, {"citation": ""}, {"author": "x"}]
)
def test_breach_is_seen(change):
    good = {"citation": "x", "kind": "standard", "read": "primary"}
    assert entry_faults(good) == []
    assert entry_faults(good | change) != []


def test_written_down_once():
    twice = [key for key, count in Counter(source_keys()).items() if count > 1]
    assert twice == []


def test_every_source_is_used():
    used = "\n".join(
        file.read_text()
        for folder, pattern in ((source.PACKAGE, "*.py"), (source.DATA, "*.toml"), (VALUES, "*"))
        for file in folder.rglob(pattern)
        if file.is_file() and file.parent.name != "sources"
    )
    names = {path.stem for path in VALUES.glob("*.toml")}
    words = set(re.findall(r"[\w-]+", used))
    assert [key for key in source_keys() if key not in names | words] == []


def published() -> list[Path]:
    return sorted(VALUES.glob("*.toml"))


def test_every_published_file_names_a_known_source():
    assert {path.stem for path in published()} - set(source_keys()) == set()


def test_enough_is_published():
    """Issue: at least 60 values from at least 20 published sources."""
    counts = {path.stem: len(tomllib.loads(path.read_text())["case"]) for path in published()}
    assert len(counts) >= 20
    assert sum(counts.values()) >= 60
