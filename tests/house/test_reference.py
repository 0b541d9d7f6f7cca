"""The reference pages are what the data and the docstrings say today."""

import importlib.util

import pytest

from house import source

_spec = importlib.util.spec_from_file_location("reference", source.ROOT / "tools" / "reference.py")
assert _spec
assert _spec.loader
reference = importlib.util.module_from_spec(_spec)
_spec.loader.exec_module(reference)


@pytest.mark.parametrize("name", reference.PAGES)
def test_page_is_fresh(name):
    assert (reference.REFERENCE / name).read_text() == reference.PAGES[name](), "run `make docs`"


def test_pages_hold_every_file_of_data():
    products = (reference.REFERENCE / "products.md").read_text()
    keys = [file.stem for file in (source.DATA / "products").glob("*.toml")]
    assert len(keys) >= 14
    assert [key for key in keys if f"`{key}`" not in products] == []


def test_no_page_is_left_over():
    assert {file.name for file in reference.REFERENCE.glob("*.md")} == set(reference.PAGES)


def test_bars_do_not_break_a_table():
    assert reference.table(("a", "b"), [("x|y", "z")]).splitlines()[-1] == "| x\\|y | z |"
