"""Pages of the web app with 200 jobs and 100,000 events in the store, 20 clients at once.

The server is `coatwright serve` in a process of its own, and so are the clients: each keeps one
connection, as a phone does, sends its own name and takes compressed answers. Reference in the same
run: a handler of the same framework that answers with as many bytes, served in the same way.

Three ways of asking. Closed loop: each client asks again as soon as it is answered, which keeps the
server's one processor full; then an answer takes about 20 times the processor time of a page. At a
person's pace: each client opens a page once a second. The same while somebody notes something in
the job every second: what rests on it is set anew each time.
"""

import argparse
import contextlib
import json
import os
import re
import statistics
import subprocess
import sys
import tempfile
import time
import urllib.request
from collections.abc import Iterator, Sequence
from datetime import timedelta
from importlib.resources import files
from pathlib import Path
from urllib.parse import quote

import httpx
import uvicorn
from starlette.applications import Starlette
from starlette.responses import Response
from starlette.routing import Route

from coatwright.actions.shop import Shop
from coatwright.record.events import ClimateRead, Described, said
from coatwright.record.store.ledger import Record

BOARD = (files("coatwright") / "data" / "demo" / "practice-board.toml").read_text("utf-8")
PORT, BARE = 8491, 8492
BODY, LONG = "body", "board-000"
"""A whole body with 500 events, and a board with 5,000."""


def fill(folder: Path, jobs: int, events: int) -> None:
    """A shop with so many jobs and, over all of them, so many events."""
    with Record(f"sqlite:///{folder / 'record.db'}", folder / "files") as record:
        shop = Shop(record, folder)
        start = shop.clock() - timedelta(days=200)
        shop.start("Body", "painter", demo=True)
        each = (events - 5_500) // (jobs - 2)
        for number in range(-1, jobs - 1):
            key = f"board-{number:03d}" if number >= 0 else BODY
            count = {BODY: 500, LONG: 5_000}.get(key, each)
            rows = [
                said(key, "painter", start + timedelta(minutes=i),
                     ClimateRead(air=293.0, humidity=0.5))
                for i in range(1, count)
            ]  # fmt: skip
            if number >= 0:
                text = BOARD.replace('title = "', f'title = "Nr {number}: ', 1)
                rows.insert(0, said(key, "painter", start, Described(file=text, what="begun")))
            record.write_all(rows)


@contextlib.contextmanager
def process(*told: str) -> Iterator[int]:
    """A server in a process of its own; its process number, once it answers."""
    running = subprocess.Popen([sys.executable, *told], stdout=subprocess.DEVNULL)
    port = told[told.index("--port") + 1]
    try:
        for _ in range(600):
            with contextlib.suppress(httpx.HTTPError):
                httpx.get(f"http://127.0.0.1:{port}/person", timeout=5)
                break
            time.sleep(0.1)
        yield running.pid
    finally:
        running.terminate()
        running.wait(20)


def bare(size: int, port: int) -> None:
    """Serve so many bytes at every address."""
    body = os.urandom(size)

    async def answer(_: object) -> Response:
        return Response(body, media_type="text/html")

    app = Starlette(routes=[Route("/{path:path}", answer)])
    uvicorn.Server(uvicorn.Config(app, port=port, log_level="warning")).run()


def processor(pid: int) -> float:
    """Processor time of a process so far [s]; of a Linux machine."""
    spent = Path(f"/proc/{pid}/stat").read_text().rpartition(")")[2].split()[11:13]
    return sum(map(int, spent)) / os.sysconf("SC_CLK_TCK")


def asked(paths: Sequence[str], port: int, clients: int, seconds: float, *more: str) -> dict:
    """The same from a process of its own."""
    told = ["--port", str(port), "--clients", str(clients), "--seconds", str(seconds), *more]
    clients_file = str(Path(__file__).with_name("_web_clients.py"))
    found = subprocess.run(
        [sys.executable, clients_file, *told, "--ask", *paths], check=True, capture_output=True
    )
    return json.loads(found.stdout)


def points(taken: Sequence[float]) -> str:
    """Median and 95 % point [ms]."""
    late = sorted(taken)[min(int(0.95 * len(taken)), len(taken) - 1)]
    return f"{statistics.median(taken) * 1e3:8.1f} {late * 1e3:8.1f}"


def pages(http: httpx.Client) -> list[str]:
    """Every page a person opens, the plans and days they rest on computed."""
    for job in (BODY, LONG):
        http.get(f"/jobs/{job}/paint/list").raise_for_status()
        http.get(f"/jobs/{job}/day/arranged").raise_for_status()
    recipe = re.search(r'/recipes/([^"/]+)"', http.get(f"/jobs/{BODY}/recipes").text)
    mix = re.search(r'/mixes/([^"]+)"', http.get(f"/jobs/{BODY}/paint/list").text)
    area = re.search(r'/areas/([a-z-]+)"', http.get(f"/jobs/{BODY}/areas").text.replace("/new", ""))
    assert recipe
    assert mix
    assert area
    names = (
        "", "/day", "/day/now", "/areas", f"/areas/{area[1]}", f"/areas/{area[1]}/planned",
        "/recipes", f"/recipes/{recipe[1]}", f"/recipes/{recipe[1]}/tried?distance=0.2", "/paint",
        "/paint/list", f"/mixes/{mix[1]}", "/air", "/air/holds", "/check", "/money",
        "/money/stands", "/record", "/record/now", "/record/history", "/papers", "/learned",
    )  # fmt: skip
    found = ["/", "/?find=nr+17", "/person", "/glossary", "/shelf", "/learned"]
    found += [f"/jobs/{BODY}{name}" for name in names]
    found += [f"/jobs/{LONG}{name}" for name in ("/day", "/day/now", "/record/history")]
    return [quote(path, safe="/?=&%+") for path in found]


def weight(path: str, port: int) -> int:
    """Bytes of the body as it is sent, compressed."""
    asked_for = urllib.request.Request(
        f"http://127.0.0.1:{port}{path}", headers={"Accept-Encoding": "gzip"}
    )
    with urllib.request.urlopen(asked_for) as answer:
        return len(answer.read())


def loops(paths: Sequence[str], server: int, other: int, given: argparse.Namespace) -> None:
    """Every page by itself, from one client and from many at once."""
    print(
        f"{'[ms]':44s} {'1 client p50 p95':>17s} {'20 clients p50 p95':>19s} {'processor':>9s}  KB"
    )
    for number, path in enumerate(["bare handler", *paths]):
        pid, port = (other, BARE) if number == 0 else (server, PORT)
        wanted = ["/"] if number == 0 else [path]
        size = weight(wanted[0], port)
        alone = asked(wanted, port, 1, given.seconds / 2)[wanted[0]]
        before = processor(pid)
        crowd = asked(wanted, port, 20, given.seconds)[wanted[0]]
        spent = (processor(pid) - before) / len(crowd) * 1e3
        told = f"{points(alone)} {points(crowd):>19s} {spent:9.2f}"
        print(f"{path[:44]:44s} {told} {size / 1e3:4.1f}", flush=True)


def paces(paths: Sequence[str], server: int, given: argparse.Namespace) -> None:
    """20 people who each open a page once a second, without and with somebody who notes."""
    for title, more in (("each once a second", []), ("and an event a second", ["--tap", BODY])):
        before, began = processor(server), time.monotonic()
        found = asked(paths, PORT, 20, given.seconds * 10, "--paced", *more)
        busy = (processor(server) - before) / (time.monotonic() - began)
        every = [one for name, taken in found.items() if name != "a tap" for one in taken]
        late = sum(one > 0.05 for one in every) / len(every)
        told = f"{points(every)} most {max(every) * 1e3:.0f}, over 50 ms {late:.1%}"
        print(f"{title:30s} {len(every)} pages: {told}, processor {busy:.0%}", flush=True)
        if more:
            print(f"{'   the event itself':30s} {points(found['a tap'])}")


def main() -> None:
    reads = argparse.ArgumentParser()
    reads.add_argument("--jobs", type=int, default=200)
    reads.add_argument("--events", type=int, default=100_000)
    reads.add_argument("--seconds", type=float, default=3.0)
    reads.add_argument("--port", type=int, default=PORT)
    reads.add_argument("--bare", type=int, default=0, help=argparse.SUPPRESS)
    given = reads.parse_args()
    if given.bare:
        bare(given.bare, given.port)
    else:
        measure(given)


def measure(given: argparse.Namespace) -> None:
    with tempfile.TemporaryDirectory() as place:
        began = time.perf_counter()
        fill(Path(place), given.jobs, given.events)
        print(f"{given.jobs} jobs, {given.events} events in {time.perf_counter() - began:.1f} s")
        serve = ("-m", "coatwright", "serve", "--folder", place, "--port", str(PORT))
        with process(*serve) as server:
            http = httpx.Client(base_url=f"http://127.0.0.1:{PORT}", timeout=300)
            began = time.perf_counter()
            http.get("/").raise_for_status()
            print(f"first list of jobs after the start {time.perf_counter() - began:.2f} s")
            paths = pages(http)
            size = weight("/", PORT)
            told = (__file__, "--bare", str(size), "--port", str(BARE))
            with process(*told) as other:
                loops(paths, server, other, given)
            paces(paths, server, given)


if __name__ == "__main__":
    main()
