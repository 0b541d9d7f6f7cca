"""The reference pages are what the data and the docstrings say today."""

import importlib.util
import shutil
from pathlib import Path

import pytest

from house import source

_spec = importlib.util.spec_from_file_location("reference", source.ROOT / "tools" / "reference.py")
assert _spec
assert _spec.loader
reference = importlib.util.module_from_spec(_spec)
_spec.loader.exec_module(reference)


def stale(folder: Path) -> list[str]:
    """Pages that are missing, left over, or not what the sources say today."""
    written = {file.name: file.read_text() for file in folder.glob("*.md")}
    made = {name: page() for name, page in reference.PAGES.items()}
    return sorted(name for name in made | written if made.get(name) != written.get(name))


def test_pages_are_fresh():
    assert stale(reference.REFERENCE) == [], "run `make docs`"


@pytest.mark.parametrize("name", reference.PAGES)
def test_a_stale_or_missing_page_is_seen(name, tmp_path):
    folder = shutil.copytree(reference.REFERENCE, tmp_path / "reference")
    before = set(stale(folder))
    with (folder / name).open("a") as page:
        page.write("by hand\n")
    assert set(stale(folder)) == before | {name}
    (folder / name).unlink()
    assert set(stale(folder)) == before | {name}


def test_a_page_left_over_is_seen(tmp_path):
    folder = shutil.copytree(reference.REFERENCE, tmp_path / "reference")
    (folder / "old.md").write_text("old\n")
    assert "old.md" in stale(folder)


def test_pages_follow_the_data(tmp_path, monkeypatch):
    package = tmp_path / "coatwright"
    shutil.copytree(reference.PACKAGE / "data", package / "data")
    shutil.copytree(reference.PACKAGE / "engines", package / "engines")
    monkeypatch.setattr(reference, "PACKAGE", package)
    before = {name: page() for name, page in reference.PAGES.items()}
    next((package / "data" / "products").glob("*.toml")).unlink()
    next((package / "data" / "rules").glob("*.toml")).unlink()
    (package / "engines" / "film" / "new.py").write_text('def new():\n    """Said."""\n')
    assert {name for name, page in reference.PAGES.items() if page() != before[name]} == {
        "engines.md",
        "products.md",
        "rules.md",
    }


def test_pages_hold_every_file_of_data():
    products = (reference.REFERENCE / "products.md").read_text()
    keys = [file.stem for file in (source.DATA / "products").glob("*.toml")]
    assert len(keys) >= 14
    assert [key for key in keys if f"`{key}`" not in products] == []


def test_bars_do_not_break_a_table():
    assert reference.table(("a", "b"), [("x|y", "z")]).splitlines()[-1] == "| x\\|y | z |"
