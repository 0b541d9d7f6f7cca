"""A gun's footprint from its test cards, and into the job file."""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from coatwright.actions.cards.reading import CardRead, figure
from coatwright.actions.workshop import DEMOS, open_bench
from coatwright.engines.card.measure import Value
from coatwright.errors import InputError, NotFound
from coatwright.figures import Figure
from coatwright.intake.edits import edited
from coatwright.model.kit import Footprint, Gun
from coatwright.sentences import joined, say

_LEAST_EXPONENT, _MOST_EXPONENT = 1.0, 8.0


@dataclass(frozen=True, slots=True)
class FootprintRead:
    """A gun's footprint as its cards show it, beside what the job file said."""

    gun: str
    title: str
    before: Footprint
    after: Footprint
    spreads: Mapping[str, Figure]
    cards: int
    line: str
    notes: tuple[str, ...]


def gun_of(job: str, key: str | None) -> Gun:
    """A gun of a job's workshop, by its key; the only one needs no key."""
    guns = {gun.key: gun for gun in open_bench(job).job.workshop.guns}
    if key is None and len(guns) == 1:
        return next(iter(guns.values()))
    if key is None or key not in guns:
        what = (
            "which gun sprayed the card is not said" if key is None else f"there is no gun '{key}'"
        )
        raise NotFound(what, instead=say("name one of {guns}", guns=joined(", ", guns)))
    return guns[key]


def footprint_from(cards: Sequence[CardRead], gun: Gun, distance: float) -> FootprintRead:
    """The gun's footprint from one or more cards sprayed at that distance [m], fan wide open.

    Several cards are averaged, and the spread is the larger of their own errors and of how they
    differ. Faulty patterns are refused: such a gun is mended first.
    """
    bad = [one for one in cards if not one.sound]
    if bad or not cards:
        told = bad[0].faults if bad else ()
        title = next((one.title for one in told if one.spoils), "there is no card")
        raise InputError(
            say("this pattern does not become the footprint: {title}", title=title),
            file=bad[0].photo if bad else "",
            instead=say("mend the gun, then spray a new card"),
        )
    means = {name: _mean(cards, name) for name in ("length", "width", "across", "along")}
    before, grown = gun.footprint, distance / gun.footprint.distance
    notes = [
        say("No width from a pass: kept at {width:.0f} mm.", width=before.width * grown * 1000.0)
    ]
    kept = {"width": before.width * grown, "along": before.along}
    found = {name: mean.value for name, mean in means.items() if mean is not None}
    shown = kept | found
    after = Footprint(
        distance=distance,
        length=_round(shown["length"]),
        width=_round(min(shown["width"], shown["length"])),
        spot=_round(min(before.spot * grown, shown["length"])),
        across=round(float(np.clip(shown["across"], _LEAST_EXPONENT, _MOST_EXPONENT)), 2),
        along=round(float(np.clip(shown["along"], _LEAST_EXPONENT, _MOST_EXPONENT)), 2),
    )
    return FootprintRead(
        gun=gun.key,
        title=gun.title,
        before=before,
        after=after,
        spreads={name: figure(name, mean) for name, mean in means.items() if mean is not None},
        cards=len(cards),
        line=_line(after),
        notes=tuple(notes) if means["width"] is None else (),
    )


def _mean(cards: Sequence[CardRead], name: str) -> Value | None:
    values = [value for one in cards if (value := getattr(one.fan, name)) is not None]
    if not values:
        return None
    middle = sum(one.value for one in values) / len(values)
    own = math.sqrt(sum(one.error**2 for one in values)) / len(values)
    if len(values) == 1:
        return Value(middle, own)
    differ = math.sqrt(sum((one.value - middle) ** 2 for one in values) / (len(values) - 1))
    return Value(middle, max(own, differ / math.sqrt(len(values))))


def _round(length: float) -> float:
    """To half a millimetre: no card is read closer."""
    return round(length * 2e3) / 2e3


def _line(found: Footprint) -> str:
    """The footprint as it stands in a job file."""
    texts = found.model_dump(mode="json")
    parts = [
        f'{name} = "{value}"' if isinstance(value, str) else f"{name} = {value}"
        for name, value in texts.items()
    ]
    return f"footprint = {{ {', '.join(parts)} }}"


def keep_footprint(job: str, found: FootprintRead) -> None:
    """Write the footprint into the job file; everything else in it stays as it was."""
    if job in DEMOS:
        raise InputError(
            say("'{job}' is an invented job", job=job), instead=say("name your own job file")
        )
    opened = open_bench(job).file
    guns = [gun.key for gun in opened.job.workshop.guns]
    place = ("workshop", "guns", guns.index(found.gun), "footprint")
    text = edited(opened, place, found.after).text
    Path(job).write_text(text, encoding="utf-8")
