"""All of a job as files for other programs: calendar, tables, JSON. Each is made when asked for."""

import io
import json
import zipfile
from collections.abc import Callable, Mapping
from dataclasses import replace
from datetime import UTC, datetime
from functools import partial
from typing import Any, Final, NamedTuple

from coatwright.actions.dossier import dossier
from coatwright.actions.live.following import look
from coatwright.actions.money import account
from coatwright.actions.shop import Shop
from coatwright.errors import NotFound
from coatwright.faces.arranged.calendar import calendar, work_events
from coatwright.faces.arranged.machine import plain
from coatwright.faces.format import Words
from coatwright.faces.papers.tables import Table, as_csv, plan_tables, record_tables
from coatwright.faces.web.view import Reader
from coatwright.planning.plan import Plan

UNITS: Final = (
    "SI: m, m2, m3, kg, s, K, Pa above the air outside, shares from 0 to 1; money in the currency "
    "of the job; moments ISO 8601"
)
"""In which units the numbers are, as every JSON file says."""

_BEGUN_BY: Final = "\N{ZERO WIDTH NO-BREAK SPACE}"
"""A table begins with this mark of UTF-8: without it spreadsheets read other letters."""


class Taken(NamedTuple):
    """A file: what is in it, of which kind, and under which name it is kept."""

    data: bytes
    kind: str
    name: str


class Asked(NamedTuple):
    """Which job of which shop, and for which reader."""

    shop: Shop
    key: str
    reader: Reader

    @property
    def words(self) -> Words:
        """The reader's language and units, and the job's currency."""
        return self.reader.words(self.shop.open(self.key).bench.job.workshop.currency)


def take(asked: Asked, name: str) -> Taken:
    """A file of a job by its name. Raises NotFound if there is none."""
    stem, _, kind = name.rpartition(".")
    makers: dict[str, Callable[[], Taken]] = {
        "days.ics": partial(_calendar, asked),
        "tables.zip": partial(_zipped, asked),
        "job.toml": partial(_job_file, asked),
        **{f"{one}.json": partial(_json, asked, one) for one in (*_PARTS, "everything")},
    }
    if kind == "csv":
        return _table(asked, stem)
    if name not in makers:
        raise NotFound(f"there is no file '{name}' of a job", instead=f"take {', '.join(makers)}")
    return makers[name]()


def whole_plan(shop: Shop, key: str) -> Plan:
    """The plan with its days of work, arranged now if they have not been."""
    return replace(shop.plan(key), day=shop.days(key))


def _calendar(asked: Asked) -> Taken:
    shop, key = asked.shop, asked.key
    shop.days(key)
    live = look(shop, key)
    entries = ((turn.entry, turn.start, turn.end) for turn in (live.turns if live else ()))
    title = shop.open(key).bench.job.title
    text = calendar(work_events(key, entries, asked.words), title, shop.clock())
    return Taken(text.encode(), "text/calendar; charset=utf-8", f"{key}-days.ics")


def _tables(asked: Asked, wanted: str = "") -> dict[str, Table]:
    """The tables by the names of their files; of the plan or the record alone if one is wanted."""
    found: dict[str, Table] = {}
    if not wanted.startswith("record-"):
        made = plan_tables(whole_plan(asked.shop, asked.key), "pack")
        found |= {f"plan-{one.name}": one for one in made}
    if not wanted.startswith("plan-"):
        zone = datetime.now().astimezone().tzinfo or UTC
        told = record_tables(dossier(asked.shop, asked.key, zone))
        found |= {f"record-{one.name}": one for one in told}
    return found


def _written(table: Table, words: Words) -> bytes:
    return (_BEGUN_BY + as_csv(table.rows, words)).encode()


def _table(asked: Asked, stem: str) -> Taken:
    table = _tables(asked, stem).get(stem)
    if table is None:
        raise NotFound(f"there is no table '{stem}' of a job")
    data = _written(table, asked.words)
    return Taken(data, "text/csv; charset=utf-8; header=present", f"{asked.key}-{stem}.csv")


def _zipped(asked: Asked) -> Taken:
    made = io.BytesIO()
    with zipfile.ZipFile(made, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, table in _tables(asked).items():
            archive.writestr(f"{asked.key}-{name}.csv", _written(table, asked.words))
    return Taken(made.getvalue(), "application/zip", f"{asked.key}-tables.zip")


def _job_file(asked: Asked) -> Taken:
    text = asked.shop.open(asked.key).bench.file.text
    return Taken(text.encode(), "application/toml", f"{asked.key}.toml")


def _plan(asked: Asked) -> Any:
    return whole_plan(asked.shop, asked.key)


def _days(asked: Asked) -> Any:
    days = asked.shop.days(asked.key)
    live = look(asked.shop, asked.key)
    return {"midnight of day 1": live.calendar.first if live else None, "days": days}


def _estimate(asked: Asked) -> Any:
    plan = asked.shop.plan(asked.key)
    return {"as planned": plan.cost, "as it stands": account(asked.shop, asked.key)}


def _state(asked: Asked) -> Any:
    return asked.shop.record.state(asked.key)


def _record(asked: Asked) -> Any:
    return [event.model_dump(mode="json") for event in asked.shop.record.events(asked.key)]


_PARTS: Final[Mapping[str, Callable[[Asked], Any]]] = {
    "plan": _plan, "days": _days, "estimate": _estimate, "record": _record, "state": _state,
}  # fmt: skip


def _json(asked: Asked, name: str) -> Taken:
    words = Words(asked.reader.units, asked.words.currency)
    wanted = _PARTS if name == "everything" else {name: _PARTS[name]}
    said = {
        "job": asked.key,
        "title": asked.shop.open(asked.key).bench.job.title,
        "made": asked.shop.clock().astimezone(UTC).isoformat(timespec="seconds"),
        "units": UNITS,
        "currency": words.currency,
        **{part: plain(make(asked), words) for part, make in wanted.items()},
    }
    return Taken(
        json.dumps(said, ensure_ascii=False, indent=1, allow_nan=False).encode(),
        "application/json", f"{asked.key}-{name}.json",
    )  # fmt: skip
