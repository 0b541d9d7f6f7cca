"""docs/record.md: its tables come from the code."""

import importlib.util
from pathlib import Path

from coatwright.record.events import kinds

ROOT = Path(__file__).resolve().parents[3]


def tool():
    spec = importlib.util.spec_from_file_location("record_format", ROOT / "tools/record_format.py")
    made = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(made)
    return made


def test_the_page_is_what_the_code_says():
    text = (ROOT / "docs" / "record.md").read_text("utf-8")
    assert text == tool().page(text), "run: make docs"


def test_every_kind_of_event_is_there():
    text = (ROOT / "docs" / "record.md").read_text("utf-8")
    assert [kind for kind in kinds() if f'`"kind": "{kind}"`' not in text] == []
