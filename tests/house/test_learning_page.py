"""The page of the learning engine and its pictures are what its tools make today.

Numbers may differ in their last digit from machine to machine; words and their order may not.
"""

import importlib
import re

import pytest

from house import source

_NUMBER = re.compile(r"-?\d+(?:\.\d+)?")


@pytest.fixture(scope="module")
def tool():
    with pytest.MonkeyPatch.context() as patch:
        patch.syspath_prepend(source.ROOT / "tools")
        yield importlib.import_module("learning_page")


def differs(kept: str, made: str, tolerance: float) -> list[str]:
    """How two texts differ: in their words, or in a number by more than the tolerance."""
    if _NUMBER.sub("#", kept.replace("+", "")) != _NUMBER.sub("#", made.replace("+", "")):
        return ["the words differ: run tools/learning_page.py"]
    pairs = zip(_NUMBER.findall(kept), _NUMBER.findall(made), strict=True)
    return [f"{a} is now {b}" for a, b in pairs if abs(float(a) - float(b)) > tolerance]


@pytest.mark.slow
def test_season_is_fresh(tool):
    page = tool.PAGE.read_text()
    assert differs(tool.written(page, "season"), tool.TABLES["season"](), 1.0) == []


@pytest.mark.slow
@pytest.mark.parametrize("name", ["season.svg", "belief.svg"])
def test_pictures_are_fresh(tool, name):
    kept = (tool.DOCS / "pictures" / name).read_text()
    assert differs(kept, tool.PICTURES[name](), 0.5) == []


@pytest.mark.slow
def test_calibration_is_fresh_where_the_class_holds(tool):
    """The first row is made again; of the others, which take longer, the words are compared."""
    calibration = importlib.import_module("calibration")
    rows = tool.written(tool.PAGE.read_text(), "calibration").splitlines()[2:]
    assert differs(rows[0], calibration.row(calibration.TWISTS[0]), 1.0) == []
    assert [row.split("|")[1].strip() for row in rows] == [t.title for t in calibration.TWISTS]


@pytest.mark.slow
def test_learning_brings_every_error_down(tool):
    """What the page says of the season: smaller errors of all four quantities, jobs 2 to 12."""
    season = importlib.import_module("season").season()
    for field in ("paint", "spraying", "hours", "film"):
        rows = [getattr(job, field) for job in season[1:]]
        before, after = (
            sum(abs(getattr(row, name)) for row in rows) / len(rows)
            for name in ("wrong_before", "wrong_after")
        )
        assert after < 0.75 * before, field


@pytest.mark.parametrize(
    ("kept", "made"), [("a 1 b", "a 3 b"), ("a 1 b", "a 1 c"), ("a 1 b", "a 1 b 2")]
)
def test_a_stale_text_is_seen(kept, made):
    assert differs(kept, made, 1.0) != []
    assert differs(kept, kept, 1.0) == []


def test_a_table_is_put_in_its_place(tool):
    page = tool.PAGE.read_text()
    changed = tool.replaced(page, "season", "x\n")
    assert tool.written(changed, "season") == "x\n"
    assert tool.replaced(changed, "season", tool.written(page, "season")) == page
