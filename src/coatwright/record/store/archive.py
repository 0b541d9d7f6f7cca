"""A whole job as one zip file: events as documented JSON, attached files, checksums, plain words.

Made to be read without Coatwright: README.txt says how, schema.json says what each field is, and
SHA256SUMS is what `sha256sum --check` reads.
"""

import io
import json
import zipfile
from collections.abc import Iterable, Mapping
from typing import Any

from pydantic import BaseModel, ConfigDict, Field, ValidationError

from coatwright.errors import InputError
from coatwright.record.events import Event
from coatwright.record.store.files import digest
from coatwright.record.store.ledger import Record

FORMAT = "coatwright-job-record"
VERSION = 1
MOST = 4 * 1024**3
"""No archive unpacks to more than this [bytes]."""

_DATE = (1980, 1, 1, 0, 0, 0)  # the same record gives the same bytes
_UNITS = (
    "Numbers are SI: lengths and films m, surfaces m2, volumes m3, masses kg, times s, "
    "temperatures K, pressures Pa above the air outside, shares from 0 to 1. Money is in the "
    "currency of the job. Moments are ISO 8601 with their time zone."
)


class Attached(BaseModel):
    """One attached file."""

    model_config = ConfigDict(extra="forbid", frozen=True)

    sha256: str = Field(pattern="^[0-9a-f]{64}$", description="SHA-256 of what is in it")
    path: str = Field(description="where it lies in the archive")
    name: str = Field(default="", description="as the file was called when it was attached")


class Contents(BaseModel):
    """What events.json holds."""

    model_config = ConfigDict(extra="forbid", frozen=True)

    format: str = Field(pattern=f"^{FORMAT}$", description="always the same")
    version: int = Field(ge=1, le=VERSION, description="of this format")
    job: str = Field(min_length=1, description="key of the job")
    units: str = Field(description="in which units the numbers are, in words")
    events: tuple[Event, ...] = Field(
        description="everything that happened, in the order written; a correction names the event "
        "it replaces, which stays"
    )
    files: tuple[Attached, ...] = Field(default=(), description="the attached files")
    missing: tuple[str, ...] = Field(
        default=(), description="SHA-256 of files that events name but the shop no longer had"
    )


def export_job(record: Record, job: str) -> bytes:
    """The archive of a job. Raises InputError if nothing is known of it."""
    events = record.events(job)
    if not events:
        raise InputError(f"there is no job {job} in the record", instead=_known(record))
    wanted = sorted({name for event in events for name in event.evidence})
    held = [name for name in wanted if record.files.has(name)]
    called = record.names(held)
    files = [
        Attached(sha256=name, path=_path(name, called.get(name, "")), name=called.get(name, ""))
        for name in held
    ]
    contents = Contents(
        format=FORMAT,
        version=VERSION,
        job=job,
        units=_UNITS,
        events=tuple(events),
        files=tuple(files),
        missing=tuple(name for name in wanted if name not in held),
    )
    members = {
        "README.txt": _readme(contents).encode(),
        "events.json": contents.model_dump_json(indent=1).encode(),
        "schema.json": json.dumps(schema(), indent=1).encode(),
    }
    members |= {one.path: record.attachment(one.sha256) for one in files}
    return _zipped(members | {"SHA256SUMS": _sums(members)})


def import_job(record: Record, archive: bytes) -> str:
    """Put the job of an archive into the record; its key. Importing it again changes nothing.

    Raises InputError if the archive is damaged, was changed, or is none; StoreError if the record
    holds something else under one of its ids. Then nothing was imported but, at most, files.
    """
    members = _unzipped(archive)
    _must_match(members)
    contents = _contents(members.pop("events.json"))
    for one in contents.files:
        _attach(record, one, members)
    record.write_all([event.model_copy(update={"number": 0}) for event in contents.events])
    return contents.job


def schema() -> dict[str, Any]:
    """JSON Schema of events.json."""
    return Contents.model_json_schema(mode="serialization")


def _attach(record: Record, one: Attached, members: Mapping[str, bytes]) -> None:
    data = members.get(one.path)
    if data is None or digest(data) != one.sha256:
        raise InputError(f"the attached file {one.path} is missing or was changed", file="archive")
    record.attach(data, one.name)


def _known(record: Record) -> str:
    jobs = record.jobs()
    return f"it has {', '.join(jobs)}" if jobs else "it is empty"


def _path(sha256: str, name: str) -> str:
    """Where a file lies: under its checksum, with its own ending so that it opens."""
    ending = name.rpartition(".")[2].lower() if "." in name else ""
    fine = ending.isascii() and ending.isalnum() and len(ending) < 8
    return f"files/{sha256}.{ending}" if fine else f"files/{sha256}"


def _sums(members: Mapping[str, bytes]) -> bytes:
    return "".join(f"{digest(data)}  {name}\n" for name, data in members.items()).encode()


def _zipped(members: Mapping[str, bytes]) -> bytes:
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w", zipfile.ZIP_DEFLATED) as made:
        for name, data in members.items():
            made.writestr(zipfile.ZipInfo(name, _DATE), data, zipfile.ZIP_DEFLATED)
    return packed.getvalue()


def _unzipped(archive: bytes) -> dict[str, bytes]:
    try:
        with zipfile.ZipFile(io.BytesIO(archive)) as opened:
            listed = opened.infolist()
            if sum(one.file_size for one in listed) > MOST:
                raise _refused("it would unpack to more than 4 GB")
            if len({one.filename for one in listed}) < len(listed):
                raise _refused("it holds two files of one name")
            return {one.filename: opened.read(one) for one in listed}
    except (zipfile.BadZipFile, EOFError, RuntimeError, ValueError) as fault:
        if isinstance(fault, InputError):
            raise
        raise _refused(f"it is no whole zip file ({fault})") from fault


def _must_match(members: Mapping[str, bytes]) -> None:
    """Every file is listed in SHA256SUMS with its checksum, and every file listed is there."""
    if "SHA256SUMS" not in members or "events.json" not in members:
        raise _refused("it holds no SHA256SUMS or no events.json")
    listed = dict(_listed(members["SHA256SUMS"]))
    for name, data in members.items():
        if name != "SHA256SUMS" and listed.get(name) != digest(data):
            raise _refused(f"{name} was changed after it was made, or added to it")
    gone = sorted(set(listed) - set(members))
    if gone:
        raise _refused(f"{gone[0]} was taken out of it")


def _listed(sums: bytes) -> Iterable[tuple[str, str]]:
    for line in sums.decode("utf-8", "replace").splitlines():
        checksum, _, name = line.partition("  ")
        yield name, checksum


def _contents(text: bytes) -> Contents:
    try:
        found = Contents.model_validate_json(text)
    except ValidationError as fault:
        first = fault.errors()[0]
        place = ".".join(str(part) for part in first["loc"])
        raise _refused(f"its events.json is not in this format: {place}: {first['msg']}") from fault
    if any(event.job != found.job for event in found.events):
        raise _refused("it holds events of another job")
    numbers = [event.number for event in found.events]
    if numbers != list(range(1, len(numbers) + 1)):
        raise _refused("the numbers of its events have a gap, or stand out of order")
    return found


def _refused(why: str) -> InputError:
    return InputError(
        f"this archive is not imported: {why}",
        instead="ask for the job to be exported again",
    )


def _readme(contents: Contents) -> str:
    events = contents.events
    first, last = min(event.at for event in events), max(event.at for event in events)
    missing = f"\nFiles that could not be found: {len(contents.missing)}.\n" * bool(
        contents.missing
    )
    return f"""The paint record of one job: {contents.job}

{len(events)} events from {first:%Y-%m-%d} to {last:%Y-%m-%d}, {len(contents.files)} attached files.
{missing}
events.json   everything that happened, in the order it was written down
schema.json   what each field of events.json means (JSON Schema)
files/        photographs and other evidence, each named by the SHA-256 of what is in it
SHA256SUMS    checksums of all of these: `sha256sum --check SHA256SUMS`

How to read events.json: "events" is a list. Each has "at" (when it happened), "who", "area" and
"patch" (where; empty means the whole job or the whole area), "body" (what happened: "kind" says
which sort, the other fields the details), "evidence" (the files that show it), "plan" (the version
of the plan it was done under), "number" (its place in the record) and "noted" (when it was written
down). Nothing is ever changed: a mistake is followed by an event of the kind "corrected", which
names the "event" that was wrong and holds what should have stood there, or nothing if it did not
happen at all.

{_UNITS}

The checksums show damage and careless changes. They do not prove who wrote this: whoever changes
the events can also write new checksums.
"""
