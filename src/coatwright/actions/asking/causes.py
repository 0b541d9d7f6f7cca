"""Ask why a defect came: the causes of it, ranked against what the record holds."""

import difflib
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from functools import cache
from importlib.resources import files
from pathlib import Path
from tempfile import TemporaryDirectory

from pydantic import ValidationError

from coatwright.actions.record import open_record
from coatwright.errors import InputError, NotFound
from coatwright.intake.defects import load_defects
from coatwright.model.defect import Defect, Pathology
from coatwright.record.corrections import Happening, standing
from coatwright.record.diagnosis.causes import Diagnosis, diagnose
from coatwright.record.diagnosis.story import tell
from coatwright.record.events import CoatBegun, DefectSeen, Event
from coatwright.record.store.archive import import_job
from coatwright.record.store.ledger import Record
from coatwright.sentences import joined, say

DEMO = "demo"
"""The name of the invented history of the package."""


@dataclass(frozen=True, slots=True)
class Asked:
    """What is asked about. What is left out is taken from the defect recorded last.

    defect: key, title or other word for it. product: the layer it is in. answers: what was found by
    hand, by the key of the check.
    """

    defect: str = ""
    area: str = ""
    patch: str = ""
    product: str = ""
    answers: Mapping[str, bool] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class _Seen:
    """Which defect, where, and up to when the record counts."""

    defect: str
    area: str
    patch: str
    product: str
    until: datetime


@cache
def pathology() -> Pathology:
    """All defects, their causes and signs."""
    return load_defects()


def named(text: str) -> Defect:
    """The defect of that key, title or other word; NotFound names those that come close."""
    known = pathology().defects
    words = {
        word.casefold(): key
        for key, one in known.items()
        for word in (key, key.replace("-", " "), one.title, *one.also)
    }
    wanted = " ".join(text.casefold().split())
    if wanted in words:
        return known[words[wanted]]
    near = difflib.get_close_matches(wanted, words, 3, 0.6)
    listed = ", ".join(f"'{one}'" for one in dict.fromkeys(words[word] for word in near) or known)
    raise NotFound(
        say("no defect is called '{text}'", text=text), instead=say("try {listed}", listed=listed)
    )


def why(events: Iterable[Happening], asked: Asked | None = None) -> Diagnosis:
    """Causes of a defect, ranked against the events of its job.

    Raises NotFound if no such defect is known, none is recorded and none is named, or no coat is on
    record there; InputError if an answer is to no check of it.
    """
    given = list(events)
    asked = asked or Asked()
    seen = _seen(standing(given).events, asked)
    defect = named(seen.defect)
    _must_be_checks(defect, asked.answers)
    story = tell(given, seen.area, seen.patch, seen.until)
    return diagnose(story, defect, pathology(), seen.product, asked.answers)


def why_in(record: Record, job: str, asked: Asked | None = None) -> Diagnosis:
    """The same of a job in the record of the shop."""
    return why(record.events(job), asked)


def why_from(job: str, asked: Asked | None = None) -> Diagnosis:
    """The same of a job of the shop's record by its key or its file, or of what was kept apart.

    That is an archive (.zip), a file of events (.jsonl), or the invented history "demo".
    """
    return why(_events(job), asked)


def _seen(events: Sequence[Happening], asked: Asked) -> _Seen:
    """The defect recorded last that fits, or the one named, as of the last event."""
    wanted = named(asked.defect).key if asked.defect else ""
    for event in reversed(events):
        body = event.body
        if isinstance(body, DefectSeen) and _fits(event, body, wanted, asked):
            return _Seen(
                wanted or body.defect,
                event.area,
                asked.patch or event.patch,
                asked.product or body.product,
                event.at,
            )
    if not wanted:
        raise NotFound(
            say("no defect is recorded here"), instead=say("name the defect that is to be seen")
        )
    area = asked.area or _only_area(events)
    return _Seen(wanted, area, asked.patch, asked.product, events[-1].at)


def _fits(event: Happening, body: DefectSeen, wanted: str, asked: Asked) -> bool:
    if asked.area and event.area != asked.area:
        return False
    if asked.patch and event.patch not in ("", asked.patch):
        return False
    return not wanted or _key(body.defect) == wanted


def _key(text: str) -> str:
    try:
        return named(text).key
    except NotFound:
        return ""


def _only_area(events: Sequence[Happening]) -> str:
    areas = dict.fromkeys(one.area for one in events if isinstance(one.body, CoatBegun))
    if not areas:
        raise NotFound(say("no coat is on record"), instead=say("record the coats that were laid"))
    if len(areas) > 1:
        raise NotFound(
            say("the record holds several areas"),
            instead=say("name one of {areas}", areas=joined(", ", sorted(areas))),
        )
    return next(iter(areas))


def _must_be_checks(defect: Defect, answers: Mapping[str, bool]) -> None:
    checks = [one.key for one in defect.check]
    for key in answers:
        if key not in checks:
            raise InputError(
                say("'{key}' is no check of {defect}", key=key, defect=defect.title),
                instead=say("its checks are {checks}", checks=joined(", ", checks))
                if checks
                else say("it has no checks"),
            )


def _events(job: str) -> list[Event]:
    path = Path(job)
    if job == DEMO:
        place = files("coatwright") / "data" / "demo" / "popped-lacquer.jsonl"
        return read_events(place.read_text("utf-8"), "popped-lacquer.jsonl")
    if path.suffix not in (".jsonl", ".zip"):
        return _recorded(path.stem if path.suffix == ".toml" else job)
    if not path.is_file():
        raise NotFound(
            say("there is no file '{job}'", job=job),
            instead=say("name a job of the record, or a file"),
        )
    return _archived(path) if path.suffix == ".zip" else read_events(path.read_text("utf-8"), job)


def _recorded(job: str) -> list[Event]:
    with open_record() as record:
        found = record.events(job)
        if not found:
            jobs = ", ".join(record.jobs())
            raise NotFound(
                say("the record holds no job '{job}'", job=job),
                instead=say("it holds {jobs}", jobs=jobs) if jobs else "",
            )
        return found


def _archived(path: Path) -> list[Event]:
    """Events of an archive, its checksums looked at; the shop's own record is left alone."""
    with TemporaryDirectory() as folder:
        apart = Path(folder)
        with Record(f"sqlite:///{apart / 'apart.db'}", apart) as record:
            return record.events(import_job(record, path.read_bytes()))


def read_events(text: str, file: str) -> list[Event]:
    """Events written as JSON, one on a line; InputError names the first line that is none."""
    found = []
    for number, line in enumerate(text.splitlines(), start=1):
        if not line.strip():
            continue
        try:
            found.append(Event.model_validate_json(line))
        except ValidationError as fault:
            first = fault.errors(include_url=False)[0]
            raise InputError(
                say("this is no event: {fault}", fault=first["msg"].casefold()),
                file=file,
                line=number,
                field=".".join(str(part) for part in first["loc"]),
                instead=say("write each event as one line of JSON, as an archive holds it"),
            ) from None
    return found
