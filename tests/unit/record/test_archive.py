"""A whole job as one file: there and back, readable without us, and refused once tampered with."""

import hashlib
import io
import json
import re
import zipfile

import jsonschema
import pytest

from coatwright.errors import InputError, StoreError
from coatwright.record import events
from coatwright.record.store.archive import export_job, import_job, schema
from coatwright.record.store.ledger import Record
from happenings import JOB, PLANNED, Diary, minute

PICTURE = b"\x89PNG not really"


@pytest.fixture
def full(record):
    diary = Diary(area="roof")
    begun = diary.coat(0, "epoxy")
    shown = record.attach(PICTURE, "Left Side.PNG")
    diary.say(9, events.Photographed(caption="left"), evidence=(shown,))
    diary.say(10, events.Photographed(caption="lost"), evidence=("0" * 64,))
    right = events.CoatBegun(product="epoxy", coat=1, planned=PLANNED, mix="m1")
    diary.say(11, events.Corrected(event=begun.id, why="the mix", body=right, at=minute(1)))
    record.write_all(diary.events)
    return record


@pytest.fixture
def other(tmp_path):
    with Record(f"sqlite:///{tmp_path}/other.db", tmp_path / "other") as made:
        yield made


def opened(archive: bytes) -> dict[str, bytes]:
    with zipfile.ZipFile(io.BytesIO(archive)) as found:
        return {name: found.read(name) for name in found.namelist()}


def packed(members: dict[str, bytes]) -> bytes:
    made = io.BytesIO()
    with zipfile.ZipFile(made, "w") as new:
        for name, data in members.items():
            new.writestr(name, data)
    return made.getvalue()


def with_sums(members: dict[str, bytes]) -> bytes:
    """A forger who also writes the checksums again."""
    inside = {name: data for name, data in members.items() if name != "SHA256SUMS"}
    lines = [f"{hashlib.sha256(data).hexdigest()}  {name}\n" for name, data in inside.items()]
    return packed(inside | {"SHA256SUMS": "".join(lines).encode()})


def edited(members: dict[str, bytes], old: bytes, new: bytes) -> dict[str, bytes]:
    assert old in members["events.json"]
    return members | {"events.json": members["events.json"].replace(old, new, 1)}


def test_there_and_back_is_the_same_job(full, other):
    archive = export_job(full, JOB)
    assert import_job(other, archive) == JOB
    assert other.state(JOB) == full.state(JOB)
    assert other.events(JOB) == full.events(JOB)
    assert export_job(other, JOB) == archive


def test_importing_again_changes_nothing(full, other):
    archive = export_job(full, JOB)
    import_job(other, archive)
    import_job(other, archive)
    import_job(full, archive)
    assert len(other.events(JOB)) == len(full.events(JOB)) == 5


def test_it_can_be_read_without_coatwright(full):
    members = opened(export_job(full, JOB))
    told = json.loads(members["events.json"])
    jsonschema.validate(told, json.loads(members["schema.json"]))
    shown = told["files"][0]
    assert shown["path"].endswith(".png")
    assert hashlib.sha256(members[shown["path"]]).hexdigest() == shown["sha256"]
    assert members[shown["path"]] == PICTURE
    assert told["missing"] == ["0" * 64]
    readme = members["README.txt"].decode()
    assert "5 events from 2031-05-05 to 2031-05-05, 1 attached files." in readme
    assert "Files that could not be found: 1." in readme


def test_sha256sum_agrees(full, tmp_path):
    import shutil
    import subprocess

    if shutil.which("sha256sum") is None:
        pytest.skip("there is no sha256sum on this machine")
    with zipfile.ZipFile(io.BytesIO(export_job(full, JOB))) as found:
        found.extractall(tmp_path / "out")
    told = subprocess.run(
        ["sha256sum", "--check", "--strict", "SHA256SUMS"], cwd=tmp_path / "out", check=False
    )
    assert told.returncode == 0


def test_the_schema_describes_every_field():
    made = schema()
    parts = [made, *made["$defs"].values()]
    for part in parts:
        for field, entry in part.get("properties", {}).items():
            assert "description" in entry or field == "kind", (part["title"], field)


@pytest.mark.parametrize(
    ("change", "words"),
    [
        (lambda m: packed(m | {"events.json": m["events.json"].replace(b"Wren", b"Crow")}),
         "events.json was changed after it was made, or added to it"),
        (lambda m: packed(m | {"files/extra.jpg": b"?"}),
         "files/extra.jpg was changed after it was made, or added to it"),
        (lambda m: packed({k: v for k, v in m.items() if not k.startswith("files/")}),
         "was taken out of it"),
        (lambda m: packed({k: v for k, v in m.items() if k != "SHA256SUMS"}),
         "it holds no SHA256SUMS or no events.json"),
        (lambda m: with_sums({k: (b"?" if k.startswith("files/") else v) for k, v in m.items()}),
         "is missing or was changed"),
        (lambda m: with_sums(edited(m, b'"number": 2', b'"number": 7')),
         "the numbers of its events have a gap, or stand out of order"),
        (lambda m: with_sums(edited(m, b'"larkfield"', b'"other"')),
         "it holds events of another job"),
        (lambda m: with_sums(m | {"events.json": b"{}"}),
         "its events.json is not in this format: format: Field required"),
        (lambda m: packed(m)[:-40], "it is no whole zip file"),
        (lambda _: b"nothing", "it is no whole zip file"),
    ],
)  # fmt: skip
def test_a_changed_archive_is_refused_in_a_sentence(full, other, change, words):
    archive = change(opened(export_job(full, JOB)))
    with pytest.raises(InputError, match=re.escape(words)):
        import_job(other, archive)
    assert other.jobs() == []


def test_two_members_of_one_name_are_refused(full, other):
    members = opened(export_job(full, JOB))
    made = io.BytesIO(packed(members))
    with pytest.warns(UserWarning, match="Duplicate name"), zipfile.ZipFile(made, "a") as again:
        again.writestr("events.json", members["events.json"])
    with pytest.raises(InputError, match="two files of one name"):
        import_job(other, made.getvalue())


def test_an_archive_that_contradicts_the_record_is_refused_whole(full, other):
    archive = export_job(full, JOB)
    told = full.events(JOB)[2]
    other.write(told.model_copy(update={"who": "Crow", "number": 0, "noted": None}))
    with pytest.raises(StoreError, match="says something else"):
        import_job(other, archive)
    assert len(other.events(JOB)) == 1


def test_a_job_nobody_wrote_of(full):
    with pytest.raises(InputError) as refused:
        export_job(full, "nothing")
    assert refused.value.sentence == "there is no job nothing in the record; it has larkfield"
