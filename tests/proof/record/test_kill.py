"""Nothing that was said to be kept is lost, whenever the writer is killed.

`python tools/kill_writer.py` does the same two hundred times.
"""

import importlib.util
import subprocess
import sys
from pathlib import Path

import pytest

from coatwright.record import events
from databases import new_postgresql

TOOL = Path(__file__).resolve().parents[3] / "tools" / "kill_writer.py"


@pytest.fixture(scope="module")
def tool():
    spec = importlib.util.spec_from_file_location("kill_writer", TOOL)
    made = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(made)
    return made


def run(*arguments: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, TOOL, *arguments], capture_output=True, text=True, check=False
    )


@pytest.mark.slow
def test_a_writer_killed_fifteen_times_loses_nothing_it_had_said():
    told = run("--kills", "15", "--seed", "7")
    assert "15 kills in runs of 10000 writes" in told.stdout
    assert "0 faults" in told.stdout, told.stdout
    assert told.returncode == 0, told.stderr


@pytest.mark.slow
def test_a_writer_to_postgresql_killed_five_times_loses_nothing_it_had_said():
    told = run("--kills", "5", "--url", new_postgresql())
    assert "0 faults" in told.stdout, told.stdout + told.stderr
    assert told.returncode == 0, told.stderr


def written(tool, record, numbers):
    for number in numbers:
        shown = (record.attach(tool.picture_of(number)),) if number % 10 == 6 else ()
        record.write(tool.event_of(number, shown))


def test_the_proof_sees_nothing_wrong_where_nothing_is(tool, record):
    written(tool, record, range(1, 9))
    assert list(tool.faults(record, 8)) == []


@pytest.mark.parametrize(
    ("numbers", "said", "words"),
    [
        (range(1, 7), 9, "3 events that were said to be kept are lost"),
        (range(1, 17), 9, "events are there that nobody wrote"),
        (range(1, 4), 3, "a batch is there by half"),
        ([1, 2, 4, 5, 3], 5, "event 3 says something else"),
    ],
)
def test_the_proof_can_fail(tool, record, numbers, said, words):
    written(tool, record, numbers)
    assert words in list(tool.faults(record, said))


def test_the_proof_sees_a_picture_that_is_not_the_one(tool, record):
    written(tool, record, range(1, 6))
    other = record.attach(b"another picture")
    record.write(tool.event_of(6, (other,)))
    assert list(tool.faults(record, 6)) == ["the picture of event 6 is not what it was"]


def test_the_proof_sees_another_body(tool, record):
    changed = tool.event_of(1).model_copy(update={"body": events.Note(text="changed")})
    record.write(changed)
    assert "event 1 says something else" in list(tool.faults(record, 1))
