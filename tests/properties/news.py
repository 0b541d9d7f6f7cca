"""News of a day drawn by chance: what was late, what pots held, when they went off, who left."""

import random
from collections.abc import Iterator

from coatwright.planning.day.days import Away, Happening, Stirred
from coatwright.planning.day.plan import DayPlan, Entry

MINUTE = 60.0
News = list[Happening | Stirred]


def drawn_news(day: DayPlan, now: float, draw: random.Random) -> tuple[News, list[Away]]:
    """What happened by a moment: most as planned, the last work late, pots as they may be."""
    work = [one for one in day.entries if one.kind in ("work", "spray") and one.act != "mix"]
    begun = [one for one in work if one.start.value < now]
    found: News = [
        Happening(one.key, one.start.value, one.end.value if one.end.value <= now else None)
        for one in begun
    ]
    if begun and draw.random() < 0.5:
        late = max(begun, key=lambda one: one.start.value)
        found = [one for one in found if one.key != late.key]
        found.append(Happening(late.key, draw.choice([None, late.start.value])))
    told = {one.key for one in found if isinstance(one, Happening) and one.start is not None}
    found += list(_pots(day, now, draw, told))
    return found, _away(day, now, draw)


def _pots(day: DayPlan, now: float, draw: random.Random, told: set[str]) -> Iterator[Stirred]:
    entries = {one.key: one for one in day.entries}
    for mix in day.mixes:
        if mix.start.value >= now:
            continue
        sprayed = {key: _took(entries[key], draw) for key in mix.serves if key in told}
        yield Stirred(
            mix.product,
            mix.start.value,
            min(mix.end.value, now),
            mix.key,
            mix.volume.value * draw.uniform(0.5, 1.2) if draw.random() < 0.7 else None,
            sprayed,
            now - draw.uniform(0, 10) * MINUTE if draw.random() < 0.4 else None,
        )
    kinds = sorted({mix.product for mix in day.mixes})
    if kinds and draw.random() < 0.4 and now > 20 * MINUTE:
        end = now - draw.uniform(0, 10) * MINUTE
        volume = draw.uniform(0.05e-3, 0.4e-3)
        yield Stirred(draw.choice(kinds), end - 5 * MINUTE, end, volume=volume)


def _took(coat: Entry, draw: random.Random) -> float | None:
    """What a coat took, if it was weighed [m3]."""
    return draw.uniform(0.02e-3, 0.3e-3) if draw.random() < 0.5 else None


def _away(day: DayPlan, now: float, draw: random.Random) -> list[Away]:
    if draw.random() < 0.6:
        return []
    person = draw.choice(["", *(one.key for one in day.people)])
    start = now + draw.uniform(0, 180) * MINUTE
    return [Away(person, start, start + draw.choice([2, 24]) * 3600.0)]
