"""The record: the state of a job of 100,000 events from its snapshots, against folding them all.

Both from the same SQLite file in the same run, own processor time, middle of several turns. Two
invented jobs: a shop whose instruments log temperature and pressure every minute, and one that
logs nothing but acts, so that the state itself is as large as it can be. Cold: all events read and
folded; it should grow in proportion. Snapshot: the record is open but holds no state. Then the same
with 240 events since, and with 12 more in a record that holds the state before them.
"""

import statistics
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from datetime import UTC, datetime, timedelta
from itertools import islice
from pathlib import Path

from coatwright.record import events
from coatwright.record.fold import fold
from coatwright.record.store import tables
from coatwright.record.store.ledger import Record

JOB = "invented"
START = datetime(2031, 5, 5, 8, 0, tzinfo=UTC)
SIZES = (10_000, 30_000, 100_000)
WANTED = 0.05
RUNS = 5
HEAD = "events    written s  cold fold s  us/event  snapshot ms  +240 ms  held +12 ms    MB  times"
AREAS = tuple(f"area-{number}" for number in range(12))
PLAN = events.Planned(
    dry=30e-6,
    dry_spread=4e-6,
    wet=70e-6,
    run_limit=150e-6,
    surface=1.8,
    paint=3e-4,
    capture=0.6,
    solids=0.45,
    flash=600,
    recoat_from=3600,
    recoat_until=172800,
    past_window="rub down with P400",
)


def acts(turn: int) -> list[events.Happened]:
    """Everything about one coat."""
    mix, product, coat = f"mix-{turn}", f"product-{turn // 3 % 4}", turn // 36 % 3 + 1
    parts = {"base": 0.4, "hardener": 0.1, "thinner": 0.05}
    begun = events.CoatBegun(
        product=product, coat=coat, mix=mix, gun="hvlp", hand="painter", planned=PLAN
    )
    return [
        events.PaidTime(act="mixing", seconds=300),
        events.Mixed(mix=mix, product=product, parts=parts, pot_life=7200, density=1250),
        events.Degreased(product="cleaner"),
        events.AirRead(where="gun", pressure=2e5, trigger=True, gun="hvlp"),
        begun,
        events.FilmRead(method="wet comb", readings=(65e-6, 70e-6, 75e-6), coat=coat),
        events.CoatDone(product=product, coat=coat, trigger=120),
        events.CupWeighed(product=product, coat=coat, before=1.25, after=0.85),
        events.PaidTime(act="spraying", seconds=900),
        events.RubbedDown(grade="P400", product=product),
        events.Note(text="nothing to add"),
        events.FilmRead(method="gauge", readings=(1e-4, 1.1e-4, 0.9e-4)),
    ]


def logged(turn: int) -> list[events.Happened]:
    """What instruments write between two coats."""
    air = 291 + turn % 7
    read = events.ClimateRead(air=air, metal=air - 1, humidity=0.55, air_speed=0.3)
    return [read, events.AirRead(where="wall", pressure=6e5, trigger=False)] * 60


def stream(logs: bool) -> Iterator[events.Event]:
    """Events without end, one a minute; a thousandth of them corrects the one before it."""
    turn = number = 0
    while True:
        area = AREAS[turn % len(AREAS)]
        for body in acts(turn) + (logged(turn) if logs else []):
            number += 1
            at = START + timedelta(minutes=number)
            where = "" if body.kind in ("climate read", "air read") else area
            name = f"invented-{number:07d}"
            yield events.Event(id=name, job=JOB, at=at, who="Wren", area=where, body=body)
            if number % 1000 == 0:
                said = events.Corrected(event=name, why="misread", body=body)
                yield events.Event(id=f"{name}-again", job=JOB, at=at, who="Wren", body=said)
        turn += 1


def timed(act: Callable[[], object]) -> float:
    begin = time.process_time()
    act()
    return time.process_time() - begin


def middle(act: Callable[[], object], turns: int = RUNS) -> float:
    return statistics.median(timed(act) for _ in range(turns))


class Shop:
    """A record of so many events in a folder that goes when the benchmark ends."""

    def __init__(self, folder: Path, logs: bool, count: int) -> None:
        self.url = f"sqlite:///{folder}/{count}-{logs}.db"
        self.folder = folder
        self.days = 0
        given = list(islice(stream(logs), count))
        with self.opened() as record:
            self.written = timed(lambda: record.write_all(given))

    def opened(self) -> Record:
        return Record(self.url, self.folder / "files")

    def cold(self) -> float:
        """Fold all events from the database, no snapshot used or kept."""

        def act() -> None:
            with self.opened() as record:
                fold(JOB, read_all(record))

        return middle(act, 3)

    def warm(self) -> float:
        """The state from a snapshot, in an open record that holds no state."""
        with self.opened() as record:
            record.state(JOB)
            return middle(lambda: self._unheld(record))

    def grown(self, more: int) -> float:
        """The same with some events written since the newest snapshot."""
        with self.opened() as record:
            self._write(record, more)
            self._unheld(record)
            return middle(lambda: self._unheld(record))

    def held(self) -> float:
        """The state after twelve more events, in a record that holds the state before them."""
        with self.opened() as record:
            record.state(JOB)
            times = []
            for _ in range(RUNS):
                self._write(record, 12)
                times.append(timed(lambda: record.state(JOB)))
            return statistics.median(times)

    def _write(self, record: Record, more: int) -> None:
        self.days += 1
        at = START + timedelta(days=900 + self.days)
        said = [
            events.said(JOB, "Wren", at + timedelta(minutes=n), body)
            for n, body in enumerate(acts(1) * (more // 12))
        ]
        record.write_all(said)

    def _unheld(self, record: Record) -> None:
        record._held.clear()
        record.state(JOB)

    def agrees(self) -> bool:
        with self.opened() as record:
            return record.state(JOB) == fold(JOB, read_all(record))

    def size(self) -> int:
        """Of the newest snapshot, in bytes."""
        with self.opened() as record, record.database.reading() as connection:
            kept = connection.execute(tables.snapshots.select().order_by(tables.snapshots.c.at))
            return len(list(kept)[-1].state)


def read_all(record: Record) -> list[events.Event]:
    """Every event, the way the store itself reads them for the fold."""
    from sqlalchemy import select

    from coatwright.record.store.rows import ENTRY, entries_of

    columns = [tables.events.c[name] for name in ENTRY]
    wanted = select(*columns).where(tables.events.c.job == JOB)
    wanted = wanted.order_by(tables.events.c.at, tables.events.c.number)
    with record.database.reading() as connection:
        return list(entries_of(connection.execute(wanted)))


def one_by_one(folder: Path, count: int = 300) -> float:
    """Mean time of one write, each on disk before the next."""
    with Record(f"sqlite:///{folder}/single.db", folder / "files") as record:
        given = list(islice(stream(False), count))
        return timed(lambda: [record.write(event) for event in given]) / count


def main() -> int:
    fine = True
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        print(f"one event written and synced: {one_by_one(folder) * 1e3:.2f} ms")
        for logs in (True, False):
            print("\ninstruments log every minute" if logs else "\nacts alone, the largest state")
            print(HEAD)
            for count in SIZES:
                shop = Shop(folder, logs, count)
                cold, warm = shop.cold(), shop.warm()
                grown, held = shop.grown(240), shop.held()
                fine &= shop.agrees() and (not logs or warm < WANTED)
                print(
                    f"{count:7d} {shop.written:11.2f} {cold:12.3f} {cold / count * 1e6:9.1f}"
                    f" {warm * 1e3:12.1f} {grown * 1e3:8.1f} {held * 1e3:12.1f}"
                    f" {shop.size() / 1e6:5.1f} {cold / warm:6.0f}"
                )
    told = (
        f"with instruments, from the snapshot in {WANTED * 1e3:.0f} ms; everywhere the same state"
    )
    print(f"\n{told}: {'yes' if fine else 'NO'}")
    return 0 if fine else 1


if __name__ == "__main__":
    sys.exit(main())
