"""Events that have been read, held on to: none is ever changed, so only later ones are read."""

import threading
from bisect import bisect_right
from collections import OrderedDict
from collections.abc import Callable
from operator import attrgetter
from typing import Final

from coatwright.record.events import Event

MOST: Final = 20_000
"""Events held at most, over all jobs: some 50 MB."""

_NUMBER: Final = attrgetter("number")


class Told:
    """Events of the jobs asked for last. Safe to use from several threads."""

    def __init__(self, most: int = MOST) -> None:
        """most: how many events are held at most; a job that has more is read each time."""
        self._most = most
        self._held: OrderedDict[str, tuple[Event, ...]] = OrderedDict()
        self._lock = threading.Lock()

    def events(
        self, job: str, last: int, after: int, read: Callable[[int], list[Event]]
    ) -> list[Event]:
        """Events of a job with a greater number than after, in order of their numbers.

        last: the number of its newest. read: gives those with a greater number from the record.
        """
        with self._lock:
            held = self._held.get(job, ())
            if held:
                self._held.move_to_end(job)
        known = held[-1].number if held else 0
        if known < last:
            if last - after > self._most or (not held and after):
                return read(after)
            held = (*held, *read(known))
            self._keep(job, held)
        return list(held[bisect_right(held, after, key=_NUMBER) :])

    def _keep(self, job: str, held: tuple[Event, ...]) -> None:
        with self._lock:
            if len(held) >= len(self._held.get(job, ())):
                self._held[job] = held
            self._held.move_to_end(job)
            while sum(map(len, self._held.values())) > self._most:
                self._held.popitem(last=False)
