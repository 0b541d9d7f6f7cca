"""Version, changelog, licence and the locked requirements agree with each other."""

import re
import tomllib

import pytest

import coatwright
from house import source

FILES = [
    "requirements.txt",
    "requirements-dev.txt",
    "requirements-build.txt",
    "requirements-setup.txt",
]
PROJECT = tomllib.loads((source.ROOT / "pyproject.toml").read_text())


def locked(name: str) -> dict[str, set[str]]:
    """Distribution -> the versions a requirements file pins (several under markers)."""
    text = (source.ROOT / name).read_text()
    pins: dict[str, set[str]] = {}
    for found in re.finditer(r"^([a-z0-9-]+)==(\S+)", text, re.MULTILINE):
        pins.setdefault(found[1], set()).add(found[2])
    return pins


def faults(text: str) -> list[str]:
    """What is wrong with a locked file: an address, an option, or a pin without a hash."""
    found = [line for line in text.splitlines() if re.search(r"://|^--?[a-z]|\bindex\b", line)]
    entries = re.split(r"\n(?=[a-z0-9])", text.strip())
    return found + [
        entry for entry in entries if "==" not in entry or "--hash=sha256:" not in entry
    ]


def test_one_version():
    log = (source.ROOT / "CHANGELOG.md").read_text()
    newest = re.search(r"^## \[(\d\S*)\]", log, re.MULTILINE)
    assert newest
    assert newest[1] == coatwright.__version__ == PROJECT["project"]["version"]


def test_licence_is_the_one_declared():
    text = (source.ROOT / "LICENSE").read_text()
    assert PROJECT["project"]["license"] == "Apache-2.0"
    assert "Apache License" in text
    assert "END OF TERMS AND CONDITIONS" in text


@pytest.mark.parametrize("name", FILES)
def test_locked_with_hashes_and_no_address(name):
    assert faults((source.ROOT / name).read_text()) == []


@pytest.mark.parametrize(
    "line",
    [
        "--index-url x",
        "-i x",
        "numpy==2.0.0",
        "numpy>=2 --hash=sha256:00",
        "numpy @ ftp://x/numpy.whl --hash=sha256:00",
    ],
)
def test_bad_lock_is_seen(line):
    good = "attrs==26.1.0 \\\n    --hash=sha256:00\n"
    assert faults(good) == []
    assert faults(good + line + "\n") != []


@pytest.mark.parametrize(
    ("file", "wanted"),
    [
        ("requirements.txt", PROJECT["project"]["dependencies"]),
        ("requirements-build.txt", PROJECT["dependency-groups"]["build"]),
        ("requirements-dev.txt", PROJECT["project"]["dependencies"]),
        ("requirements-dev.txt", PROJECT["dependency-groups"]["dev"]),
        ("requirements-setup.txt", PROJECT["dependency-groups"]["setup"]),
    ],
)
def test_every_dependency_is_locked(file, wanted):
    names = {re.match(r"[A-Za-z0-9-]+", line)[0].lower() for line in wanted}
    assert names <= set(locked(file))


@pytest.mark.parametrize("name", ["requirements.txt", "requirements-build.txt"])
def test_running_building_and_testing_use_the_same_versions(name):
    tested, locks = locked("requirements-dev.txt"), locked(name)
    shared = locks.keys() & tested.keys()
    assert {one: tested[one] for one in shared} == {one: locks[one] for one in shared}
    assert name == "requirements-build.txt" or shared == locks.keys()
