"""The clients of bench_web.py, in a process of their own that loads nothing of Coatwright.

Prints as JSON how many seconds each answer took, by page.
"""

import argparse
import asyncio
import json
import random
import re
import time
import uuid
from urllib.parse import urlencode


class Client:
    """One phone: one connection, one name."""

    def __init__(self, number: int, port: int) -> None:
        self.port, self.taken = port, dict[str, list[float]]()
        self.headers = (
            f"Host: 127.0.0.1:{port}\r\nAccept-Encoding: gzip\r\nAccept-Language: en\r\n"
            f"Cookie: cw_who=Client%20{number}\r\n"
        )

    async def open(self) -> "Client":
        self.reader, self.writer = await asyncio.open_connection("127.0.0.1", self.port)
        return self

    async def get(self, path: str) -> int:
        """Ask, and note how long it took; the size of the body."""
        return await self._ask(path, f"GET {path} HTTP/1.1\r\n{self.headers}\r\n".encode())

    async def tap(self, job: str) -> None:
        """Note something that is new."""
        note = {"text": f"note of {time.time()}"}
        now = time.strftime("%Y-%m-%dT%H:%M:%SZ", time.gmtime())
        told = {
            "id": uuid.uuid4().hex,
            "job": job,
            "who": "x",
            "kind": "note",
            "fields": note,
            "at": now,
        }
        body = urlencode({"tap": json.dumps(told)})
        kind = "Content-Type: application/x-www-form-urlencoded\r\n"
        sent = f"POST /jobs/{job}/taps HTTP/1.1\r\n{self.headers}{kind}"
        sent += f"Content-Length: {len(body)}\r\n\r\n{body}"
        await self._ask("a tap", sent.encode())

    async def _ask(self, name: str, sent: bytes) -> int:
        began = time.perf_counter()
        self.writer.write(sent)
        head = await self.reader.readuntil(b"\r\n\r\n")
        found = re.search(rb"content-length: (\d+)", head, re.IGNORECASE)
        size = int(found[1]) if found else 0
        await self.reader.readexactly(size)
        if head.split(None, 2)[1] != b"200":
            raise RuntimeError(f"{name}: {head!r}")
        self.taken.setdefault(name, []).append(time.perf_counter() - began)
        return size


async def ask(given: argparse.Namespace) -> dict[str, list[float]]:
    """All clients at once; seconds of every answer, by page."""
    some = [await Client(n, given.port).open() for n in range(given.clients)]
    ends = time.monotonic() + given.seconds

    async def closed(client: Client) -> None:
        while time.monotonic() < ends:
            await client.get(given.ask[0])

    async def paced(client: Client, job: str = "") -> None:
        await asyncio.sleep(random.random())
        while time.monotonic() < ends:
            began = time.monotonic()
            await (client.tap(job) if job else client.get(random.choice(given.ask)))
            await asyncio.sleep(max(1.0 - (time.monotonic() - began), 0.0))

    loops = [paced(one) if given.paced else closed(one) for one in some]
    if given.tap:
        some.append(await Client(99, given.port).open())
        loops.append(paced(some[-1], given.tap))
    await asyncio.gather(*loops)
    found: dict[str, list[float]] = {}
    for client in some:
        for name, taken in client.taken.items():
            found.setdefault(name, []).extend(taken)
    return found


if __name__ == "__main__":
    reads = argparse.ArgumentParser()
    reads.add_argument("--port", type=int)
    reads.add_argument("--clients", type=int)
    reads.add_argument("--seconds", type=float)
    reads.add_argument("--ask", nargs="*")
    reads.add_argument("--tap", default="")
    reads.add_argument("--paced", action="store_true")
    print(json.dumps(asyncio.run(ask(reads.parse_args()))))
