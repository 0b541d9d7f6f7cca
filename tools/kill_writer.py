"""Kill a writer of the record in the middle of its work, again and again, and see what is left.

usage: python tools/kill_writer.py [--kills 200] [--writes 10000] [--url DATABASE] [--seed 1]

A child process means to write so many events and says each one aloud once the record has taken it;
it is killed (SIGKILL) at a random moment, and the next child goes on from there. After every kill:
each event said aloud is there and whole, numbers have no gap, batches are there whole or not at
all, attached files hold what their names say, and SQLite finds its file sound. This proves nothing
about the loss of power: for that the record relies on the disk keeping what was synced.
"""

import argparse
import os
import random
import signal
import sys
import tempfile
import time
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path

from coatwright.record import events
from coatwright.record.store.ledger import Record

JOB = "invented"
START = datetime(2031, 5, 5, tzinfo=UTC)
BATCH = 5


def write_on(url: str, folder: Path, first: int, last: int, say: int) -> None:
    """Write events from one number to another; say the numbers once they are on disk."""
    with Record(url, folder) as record:
        number = first
        while number <= last:
            # Of ten events five go together; the sixth has a picture.
            batch = BATCH if number % 10 == 1 else 1
            picture = number % 10 == 6
            shown = (record.attach(picture_of(number)),) if picture else ()
            given = [event_of(one, shown) for one in range(number, number + batch)]
            record.write_all(given)
            os.write(say, f"{number + batch - 1}\n".encode())
            number += batch


def event_of(number: int, evidence: tuple[str, ...] = ()) -> events.Event:
    """The event of a number, the same each time."""
    return events.Event(
        id=f"invented-{number:08d}",
        job=JOB,
        at=START + timedelta(minutes=number),
        who="Wren",
        body=events.Note(text=f"note {number} " + "x" * (number % 97)),
        evidence=evidence,
    )


def picture_of(number: int) -> bytes:
    """What is in the picture of an event: large enough to be caught half-written."""
    return f"picture {number} ".encode() * 20_000


def faults(record: Record, said: int) -> Iterator[str]:
    """What is not as it should be, said being the last number that was said aloud."""
    found = record.events(JOB)
    numbers = [event.number for event in found]
    if numbers != list(range(1, len(found) + 1)):
        yield "the numbers have a gap"
    if len(found) < said:
        yield f"{said - len(found)} events that were said to be kept are lost"
    if len(found) > said + BATCH:
        yield "events are there that nobody wrote"
    if len(found) % 10 in range(1, BATCH):
        yield "a batch is there by half"
    for event in found:
        if event.body != event_of(event.number).body:
            yield f"event {event.number} says something else"
    for event in found[-40:]:
        if event.evidence and record.attachment(event.evidence[0]) != picture_of(event.number):
            yield f"the picture of event {event.number} is not what it was"
    if record.database.sqlite:
        with record.database.reading() as connection:
            told = connection.exec_driver_sql("PRAGMA integrity_check").scalar()
        if told != "ok":
            yield f"the database is damaged: {told}"


def kill_once(url: str, folder: Path, first: int, last: int, chance: random.Random) -> int:
    """Start a writer and kill it at a random moment; the last number it said aloud."""
    hear, say = os.pipe()
    child = os.fork()
    if child == 0:
        os.close(hear)
        try:
            write_on(url, folder, first, last, say)
        finally:
            os._exit(0)
    os.close(say)
    told = b""
    wanted = chance.randrange(1, 60)
    while told.count(b"\n") < wanted and (more := os.read(hear, 65536)):
        told += more
    time.sleep(chance.uniform(0.0, 0.004))
    os.kill(child, signal.SIGKILL)
    while more := os.read(hear, 65536):
        told += more
    os.close(hear)
    _, status = os.waitpid(child, 0)
    if not os.WIFSIGNALED(status) and first + 500 < last:
        raise SystemExit("the writer ended by itself; nothing was proven")
    lines = told[: told.rfind(b"\n") + 1].split()
    return int(lines[-1]) if lines else first - 1


def prove(url: str, folder: Path, kills: int, writes: int, seed: int) -> int:
    """Kill so many times; how many faults were found."""
    chance = random.Random(seed)
    count = said = unsaid = rounds = wrong = 0
    for kill in range(1, kills + 1):
        if count > writes - 500:
            count, said, rounds = 0, 0, rounds + 1
        place = f"{url}-{rounds}" if url.startswith("sqlite") else url
        said = kill_once(place, folder, count + 1, writes, chance)
        with Record(place, folder) as record:
            found = list(faults(record, said))
            count = len(record.events(JOB, after=0))
        unsaid += count - said
        wrong += len(found)
        for fault in found:
            print(f"kill {kill}: {fault}")
    print(
        f"{kills} kills in runs of {writes} writes, {rounds * (writes - 500) + count} events or "
        f"more written: {wrong} faults; {unsaid} events were kept though the writer had no time to "
        f"say so"
    )
    return wrong


def main() -> int:
    """Run the proof; 0 if nothing was lost."""
    asked = argparse.ArgumentParser(description="Kill a writer again and again.")
    asked.add_argument("--kills", type=int, default=200)
    asked.add_argument("--writes", type=int, default=10_000)
    asked.add_argument("--url", default="")
    asked.add_argument("--seed", type=int, default=1)
    given = asked.parse_args()
    with tempfile.TemporaryDirectory() as name:
        url = given.url or f"sqlite:///{name}/record.db"
        wrong = prove(url, Path(name) / "files", given.kills, given.writes, given.seed)
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main())
