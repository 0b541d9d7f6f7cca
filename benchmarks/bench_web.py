"""Pages of the web app with 200 jobs and 100,000 events in the store, 20 clients at once.

Reference in the same run: a handler of the same framework that answers with a fixed text of the
same size, through the same server.
"""

import argparse
import asyncio
import statistics
import tempfile
import threading
import time
from datetime import timedelta
from importlib.resources import files
from pathlib import Path

import httpx
import uvicorn
from starlette.applications import Starlette
from starlette.responses import HTMLResponse
from starlette.routing import Route

from coatwright.actions.shop import Shop
from coatwright.faces.web.app import create_app
from coatwright.record.events import ClimateRead, Described, said
from coatwright.record.store.ledger import Record

DEMO = (files("coatwright") / "data" / "demo" / "practice-board.toml").read_text("utf-8")
BASE, BARE = 8491, 8492


def filled(folder: Path, jobs: int, events: int) -> Shop:
    """A shop with so many jobs and, over all of them, so many events."""
    record = Record(f"sqlite:///{folder / 'record.db'}", folder / "files")
    shop = Shop(record, folder)
    start = shop.clock() - timedelta(days=200)
    for number in range(jobs):
        key = f"job-{number:03d}"
        text = DEMO.replace('title = "', f'title = "Nr {number}: ', 1)
        rows = [said(key, "painter", start, Described(file=text, what="begun"))]
        rows += [
            said(key, "painter", start + timedelta(minutes=i), ClimateRead(air=293.0, humidity=0.5))
            for i in range(1, events // jobs)
        ]
        record.write_all(rows)
    return shop


def served(app: Starlette, port: int) -> uvicorn.Server:
    """The app on a port of this machine, in a thread of its own."""
    server = uvicorn.Server(uvicorn.Config(app, port=port, log_level="error", access_log=False))
    threading.Thread(target=server.run, daemon=True).start()
    while not server.started:
        time.sleep(0.02)
    return server


async def timed(url: str, clients: int, each: int) -> list[float]:
    """Seconds of every answer, with so many clients asking one after another."""
    taken: list[float] = []

    async def client() -> None:
        async with httpx.AsyncClient(timeout=60) as http:
            for _ in range(each):
                began = time.perf_counter()
                reply = await http.get(url)
                reply.raise_for_status()
                taken.append(time.perf_counter() - began)

    await asyncio.gather(*(client() for _ in range(clients)))
    return taken


def points(taken: list[float]) -> tuple[float, float]:
    """Median and 95 % point [ms]."""
    return statistics.median(taken) * 1e3, statistics.quantiles(taken, n=20)[-1] * 1e3


def main() -> None:
    asked = argparse.ArgumentParser()
    asked.add_argument("--jobs", type=int, default=200)
    asked.add_argument("--events", type=int, default=100_000)
    asked.add_argument("--each", type=int, default=20)
    given = asked.parse_args()
    with tempfile.TemporaryDirectory() as place:
        began = time.perf_counter()
        shop = filled(Path(place), given.jobs, given.events)
        taken = time.perf_counter() - began
        print(f"{given.jobs} jobs, {given.events} events written in {taken:.1f} s")
        server = served(create_app(shop), BASE)
        began = time.perf_counter()
        size = len(httpx.get(f"http://127.0.0.1:{BASE}/", timeout=120).content)
        print(f"first list of jobs {time.perf_counter() - began:.2f} s")
        text = "x" * size

        async def bare(_: object) -> HTMLResponse:
            return HTMLResponse(text)

        other = served(Starlette(routes=[Route("/", bare)]), BARE)
        key = "job-100"
        for path in ("", "areas"):
            httpx.get(f"http://127.0.0.1:{BASE}/jobs/{key}/{path}".rstrip("/"), timeout=120)
        pages = {"bare handler": (BARE, "/")}
        pages |= {f"page {p}": (BASE, p) for p in ("/", f"/jobs/{key}", f"/jobs/{key}/areas")}
        pages["search"] = (BASE, "/?find=nr+17")
        print(f"{'[ms]':28s} {'1 client p50 p95':>21s} {'20 clients p50 p95':>23s}   p50 to bare")
        first: tuple[float, float] | None = None
        for name, (port, path) in pages.items():
            url = f"http://127.0.0.1:{port}{path}"
            alone = points(asyncio.run(timed(url, 1, given.each * 3)))
            crowd = points(asyncio.run(timed(url, 20, given.each)))
            first = first or (alone[0], crowd[0])
            ratio = f"{alone[0] / first[0]:5.1f} {crowd[0] / first[1]:5.1f}"
            told = f"{alone[0]:10.1f} {alone[1]:10.1f} {crowd[0]:12.1f} {crowd[1]:10.1f}"
            print(f"{name:28s} {told}   {ratio}")
        server.should_exit = other.should_exit = True


if __name__ == "__main__":
    main()
