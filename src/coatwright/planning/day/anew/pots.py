"""The pots that were really mixed: when, how much, what was sprayed from each, when it goes off."""

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType
from typing import Final, NamedTuple

from coatwright.engines.timetable.problem import Mix, Pot, Slot
from coatwright.errors import NotFound
from coatwright.planning.day import habits
from coatwright.planning.day.workings import Workings

POURED: Final = 10
"""A mix is poured, and what is left in it reckoned, to the next so many [mL]."""


class Stirred(NamedTuple):
    """A pot that was really mixed.

    key: of the DayMix it is, "" for one that no plan had. Times [s from the first midnight]: end
    None while it is still being mixed, start None if only its end is known. volume [m3]: None as
    the plan has it, or else a full cup. sprayed: by the keys of the coats sprayed from it what each
    took [m3], None as planned. gone: from when nothing may be sprayed from it, because it has gone
    off or been poured away; None when the pot life that the plan counts with is over. people: who
    mixed it, () who was to.
    """

    product: str
    start: float | None
    end: float | None
    key: str = ""
    volume: float | None = None
    sprayed: Mapping[str, float | None] = MappingProxyType({})
    gone: float | None = None
    people: tuple[str, ...] = ()


Mixed = dict[str, Stirred | None]
"""What is told of mixes that a plan has, by key; None: it was not mixed."""


class Pots(NamedTuple):
    """The mixes as they went, in order of time, and for each the key it had in the plan or ""."""

    mixes: tuple[Mix, ...]
    origins: tuple[str, ...]


@dataclass(frozen=True)
class Poured:
    """What pots gave until a minute: reckoned from what is told, else from the plan."""

    made: Workings
    slots: Mapping[str, Slot]
    now: int
    begun: frozenset[str]
    """Bouts that are still going on."""

    def pots(self, mixed: Mixed, others: Sequence[Stirred], planned: Iterable[Mix]) -> Pots:
        """All mixes. planned: those that a plan has and nothing is told of, as they went."""
        known = self.made.mixes_by_key
        rows: list[tuple[Mix, str, Stirred | None]] = [
            (self._stirred(one, known.get(key)), key, one) for key, one in mixed.items() if one
        ]
        rows += [(self._stirred(one, None), "", one) for one in others]
        keys = (key for key in known if key not in mixed)
        rows += [(mix, key, None) for key, mix in zip(keys, planned, strict=True)]
        rows.sort(key=lambda row: (row[0].start, row[0].pot, row[0].end))
        serves = self._served([(mix, one) for mix, _, one in rows])
        mixes = [
            self._as_it_went(mix, one, serves[place]) for place, (mix, _, one) in enumerate(rows)
        ]
        return Pots(tuple(mixes), tuple(key for _, key, _ in rows))

    def _stirred(self, one: Stirred, mix: Mix | None) -> Mix:
        pot = self._pot(one.product)
        end = None if one.end is None else math.ceil(one.end / habits.TICK)
        if one.start is not None:
            start = math.floor(one.start / habits.TICK)
        else:
            start = (self.now if end is None else end) - pot.mixing
        start = min(start, self.now - 1)
        end = max(start + pot.mixing, self.now + 1) if end is None else max(end, start + 1)
        gone = None if one.gone is None else math.floor(one.gone / habits.TICK)
        if mix is None:
            return Mix(one.product, start, end, (), one.people, gone=gone)
        people = one.people or mix.people
        return Mix(one.product, start, end, mix.serves, people, mix.holds, gone=gone)

    def _pot(self, product: str) -> Pot:
        for pot in self.made.problem.pots:
            if pot.key == product:
                return pot
        raise NotFound(
            f"no mix of '{product}' is in this day plan", instead="name a product that is mixed"
        )

    def _served(self, rows: Sequence[tuple[Mix, Stirred | None]]) -> list[tuple[str, ...]]:
        """Coats of each mix: of those begun, those told of it, or else as planned; and the rest."""
        past = {key for key, slot in self.slots.items() if slot.start < self.now}
        mine: dict[str, int] = {}
        for place, (_, one) in enumerate(rows):
            for entry in self._told(one):
                mine.setdefault(self._bout(entry), place)
        for place, (mix, _) in enumerate(rows):
            if mix.start < self.now:
                for key in mix.serves:
                    mine.setdefault(key, place)
        for key in sorted(past - set(mine), key=lambda key: self.slots[key].start):
            product, start = self.made.bout(key).product, self.slots[key].start
            able = [
                place
                for place, (mix, _) in enumerate(rows)
                if mix.pot == product and mix.start <= start and self.made.bout(key).coat
            ]
            if able:
                mine[key] = able[-1]
        found = []
        for place, (mix, _) in enumerate(rows):
            later = [k for k in mix.serves if k not in past and mine.get(k, place) == place]
            found.append((*(k for k, at in mine.items() if at == place and k in past), *later))
        return found

    def _told(self, one: Stirred | None) -> dict[str, float | None]:
        """What each coat took of a mix, as told; of another product nothing can have come from it.

        Raises NotFound for what is no entry.
        """
        told = dict(one.sprayed) if one else {}
        return {
            entry: took
            for entry, took in told.items()
            if one and self.made.bout(self._bout(entry)).product == one.product
        }

    def _bout(self, entry: str) -> str:
        """The bout of an entry."""
        for bout in self.made.steps.bouts:
            if entry == bout.key or entry.startswith(f"{bout.key}."):
                return bout.key
        raise NotFound(f"there is no '{entry}' in this day plan", instead="use the key of an entry")

    def _as_it_went(self, mix: Mix, one: Stirred | None, serves: tuple[str, ...]) -> Mix:
        """A mix with what it serves, and of one of the past what it held and what is left of it."""
        if mix.start >= self.now or (mix.holds is not None and one is None):
            return mix._replace(serves=serves)
        amounts = dict(self._pot(mix.pot).amounts)
        if one and one.volume is not None:
            holds = round(one.volume * 1e6)
        elif mix.holds is not None:
            holds = mix.holds
        else:
            wanted = sum(amounts[key] for key in mix.serves)
            holds = _up(wanted) if mix.serves else self._pot(mix.pot).capacity
        past = [key for key in serves if self.slots[key].start < self.now]
        left = min(_up(max(holds - sum(self._used(past, one)), 0)), holds)
        lost = holds - left - sum(amounts[key] for key in past)
        return mix._replace(serves=serves, holds=holds, lost=lost)

    def _used(self, past: Sequence[str], one: Stirred | None) -> Iterator[float]:
        """What went out of a mix, and what the coats that are going on will still take of it."""
        told = self._told(one)
        for key in dict.fromkeys([*past, *(self._bout(entry) for entry in told)]):
            pieces = {f"{key}.{piece.area}": piece.paint for piece in self.made.bout(key).pieces}
            own = {entry: took for entry, took in told.items() if self._bout(entry) == key}
            if not own or key in self.begun:
                own = dict.fromkeys(pieces) | own
            for entry, took in own.items():
                planned = pieces.get(entry, self.made.bout(key).paint)
                yield planned if took is None else took * 1e6


def _up(amount: float) -> int:
    """To the next POURED [mL]."""
    return math.ceil(amount / POURED - 1e-9) * POURED
