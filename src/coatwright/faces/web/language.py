"""Which language a browser is answered in."""

from collections.abc import Iterable

from coatwright.faces.texts import LANGUAGES


def chosen(asked: str | None, accepted: str) -> str:
    """The language for a reader: the one asked for, else the first the browser accepts."""
    if asked in LANGUAGES:
        return asked
    for part in _by_weight(accepted):
        if part in LANGUAGES:
            return part
    return "en"


def _by_weight(accepted: str) -> Iterable[str]:
    rows = []
    for part in accepted.split(","):
        name, _, weight = part.strip().partition(";q=")
        try:
            rows.append((-float(weight or 1), name.split("-")[0].lower()))
        except ValueError:
            continue
    return [name for _, name in sorted(rows, key=lambda row: row[0])]
