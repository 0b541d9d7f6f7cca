"""Write what tools/calibration.py and tools/season.py make into docs/engines/learning.md: tables,
and pictures beside it.

usage: python tools/learning_page.py; tests/house/test_learning_page.py compares.
"""

from collections.abc import Callable
from pathlib import Path

import calibration
import season

DOCS = Path(__file__).resolve().parents[1] / "docs"
PAGE = DOCS / "engines" / "learning.md"
TABLES: dict[str, Callable[[], str]] = {"season": season.table, "calibration": calibration.table}
PICTURES: dict[str, Callable[[], str]] = {
    "season.svg": season.drawing,
    "belief.svg": season.belief,
}


def _marks(name: str) -> tuple[str, str]:
    return f"<!-- {name}: made by tools/learning_page.py -->\n\n", f"\n<!-- end of {name} -->"


def written(page: str, name: str) -> str:
    """The table that stands in a page."""
    begin, end = _marks(name)
    return page.partition(begin)[2].partition(end)[0]


def replaced(page: str, name: str, table: str) -> str:
    """A page with another table in its place."""
    begin, end = _marks(name)
    before, _, rest = page.partition(begin)
    return f"{before}{begin}{table}{end}{rest.partition(end)[2]}"


def main() -> None:
    page = PAGE.read_text()
    for name, table in TABLES.items():
        page = replaced(page, name, table())
    PAGE.write_text(page)
    for name, picture in PICTURES.items():
        (DOCS / "pictures" / name).write_text(picture())


if __name__ == "__main__":
    main()
