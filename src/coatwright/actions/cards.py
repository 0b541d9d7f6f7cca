"""Test cards: what to print, what a photograph of one says of the gun, and the gun's footprint."""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Literal

import numpy as np

from coatwright.actions.workshop import DEMOS, open_bench
from coatwright.engines.card.layout import Layout, layout
from coatwright.engines.card.measure import Measured, Value, measure
from coatwright.engines.card.rectify import Sheet, decode, rectify
from coatwright.errors import InputError, NotConverged, NotFound, RangeError
from coatwright.figures import Figure
from coatwright.intake.edits import edited
from coatwright.intake.patterns import PatternFault, load_patterns
from coatwright.intake.photos import read_photo
from coatwright.model.kit import Footprint, Gun

Kind = Literal["burst", "pass"]

_SURE = 1.2816  # standard deviations between the middle and the 90 % point of a normal spread
_NOTE = "10 to 90 %, from the card's own noise and what light and tone leave open"
_LEAST_EXPONENT, _MOST_EXPONENT = 1.0, 8.0


@dataclass(frozen=True, slots=True)
class Seen:
    """One fault of the pattern: the measure that shows it, its causes and what to do."""

    key: str
    title: str
    measure: Figure
    sure: bool
    spoils: bool
    causes: tuple[str, ...]
    cures: tuple[str, ...]
    check: str
    source: str


@dataclass(frozen=True, slots=True)
class CardRead:
    """What one photographed card says; `notes` are about the photograph itself."""

    photo: str
    kind: Kind
    paper: str
    measures: Mapping[str, Figure]
    faults: tuple[Seen, ...]
    notes: tuple[str, ...]
    fan: Measured

    @property
    def sound(self) -> bool:
        """Whether this fan may become the gun's footprint."""
        return not any(one.spoils for one in self.faults)


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


def card(paper: str = "A4") -> Layout:
    """The test card on A4 or Letter, to be drawn."""
    return layout(paper)


def gun_of(job: str, key: str | None) -> Gun:
    """A gun of a job's workshop, by its key; the only one needs no key."""
    guns = {gun.key: gun for gun in open_bench(job).job.workshop.guns}
    if key is None and len(guns) == 1:
        return next(iter(guns.values()))
    if key is None or key not in guns:
        what = (
            "which gun sprayed the card is not said" if key is None else f"there is no gun '{key}'"
        )
        raise NotFound(what, instead=f"name one of {', '.join(guns)}")
    return guns[key]


def read_card(
    photo: str, kind: Kind = "burst", gun: Gun | None = None, distance: float | None = None
) -> CardRead:
    """What a photographed test card says of the fan; with a gun, how it compares with its own.

    `distance` [m] is that from gun to card. Faults of file and photograph are InputErrors.
    """
    found = read_photo(Path(photo))
    try:
        sheet = rectify(decode(np.frombuffer(found.encoded, np.uint8)))
        fan = measure(sheet, kind)
    except (RangeError, NotConverged) as fault:
        raise InputError(fault.what, file=photo, instead=fault.instead) from fault
    values = _values(fan, gun, distance)
    return CardRead(
        photo=photo,
        kind=kind,
        paper=sheet.layout.paper,
        measures={name: _figure(name, value) for name, value in values.items()},
        faults=tuple(
            seen for fault in load_patterns() if (seen := _seen(fault, values)) is not None
        ),
        notes=tuple(_notes(sheet, fan)),
        fan=fan,
    )


_PURPOSES: Mapping[str, str] = {
    "length": "length", "width": "length", "x": "length", "y": "length", "tilt": "angle",
    "bow": "fraction", "dip": "fraction", "hidden": "fraction", "small": "fraction",
    "residual": "fraction",
}  # fmt: skip


def _values(fan: Measured, gun: Gun | None, distance: float | None) -> dict[str, Value]:
    """Every measure that this card gives; ratios as the fuller part over the other."""
    named = {
        "length": fan.length, "width": fan.width, "across": fan.across, "along": fan.along,
        "x": fan.x, "y": fan.y, "tilt": fan.tilt, "ends": fan.ends, "dip": fan.dip,
        "top": _fuller(fan.top), "side": _fuller(fan.side), "bow": _size(fan.bow),
        "spots": fan.spots, "hidden": Value(fan.hidden, 0.0), "residual": Value(fan.residual, 0.0),
    }  # fmt: skip
    if gun is not None:
        own = gun.footprint.length * (distance or gun.footprint.distance) / gun.footprint.distance
        named["small"] = Value(fan.length.value / own, fan.length.error / own)
    return {name: value for name, value in named.items() if value is not None}


def _fuller(ratio: Value | None) -> Value | None:
    if ratio is None or ratio.value >= 1.0:
        return ratio
    return Value(1.0 / ratio.value, ratio.error / ratio.value**2)


def _size(value: Value | None) -> Value | None:
    return None if value is None else Value(abs(value.value), value.error)


def _figure(name: str, value: Value) -> Figure:
    off, least = _SURE * value.error, 0.0 if name in _NOT_NEGATIVE else -math.inf
    return Figure(
        value=value.value,
        purpose=_PURPOSES.get(name, "count"),
        basis="measured",
        source="double-beta",
        formula=_MEANINGS[name],
        spread=(max(value.value - off, least), value.value + off) if off else None,
        spread_note=_NOTE if off else "",
    )


_NOT_NEGATIVE = ("ends", "bow", "spots", "hidden", "residual", "small")

_MEANINGS: Mapping[str, str] = {
    "length": "from bare paper to bare paper along the fan",
    "width": "from bare paper to bare paper across the fan",
    "across": "exponent of the profile along the fan's length",
    "along": "exponent of the profile across the fan",
    "x": "middle of the fan, right of the cross",
    "y": "middle of the fan, below the cross",
    "tilt": "turn of the fan's long axis, clockwise",
    "ends": "paint near both ends over paint in the middle",
    "dip": "how much less lies in the very middle than beside it",
    "top": "the fuller end over the other",
    "side": "the fuller long side over the other",
    "bow": "how far the ends bend aside, as a share of the width",
    "spots": "specks for each square decimetre",
    "small": "length over that of the gun's own footprint at this distance",
    "hidden": "share of the fan in which the paper no longer shows",
    "residual": "how far the pattern departs from an even fan, as a share of its depth",
}


def _seen(fault: PatternFault, values: Mapping[str, Value]) -> Seen | None:
    value = values.get(fault.measure)
    if value is None or fault.beyond(value.value) <= 0.0:
        return None
    return Seen(
        key=fault.key,
        title=fault.title,
        measure=_figure(fault.measure, value),
        sure=fault.beyond(value.value) > 2.0 * value.error,
        spoils=fault.spoils,
        causes=fault.causes,
        cures=fault.cures,
        check=fault.check,
        source=fault.source,
    )


def _notes(sheet: Sheet, fan: Measured) -> list[str]:
    """What about the photograph or the card makes the figures less sure."""
    notes = []
    if not sheet.dabbed:
        notes.append("No dab of paint in the ring: the paint's own colour was taken from the fit.")
    if sheet.markers < len(sheet.layout.markers):
        notes.append(f"{sheet.markers} of {len(sheet.layout.markers)} markers were seen.")
    if sheet.scale < 4e3:
        notes.append(f"{sheet.scale / 1e3:.1f} pixels a millimetre; nearer is better.")
    if fan.off_card > 0.003:
        notes.append("An end of the fan lies beyond the page; its length was carried on.")
    if fan.residual > 0.06:
        notes.append("The pattern departs from an even fan: take length and width as rough.")
    return notes


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
            f"this pattern does not become the footprint: {title}",
            file=bad[0].photo if bad else "",
            instead="mend the gun, then spray a new card",
        )
    means = {name: _mean(cards, name) for name in ("length", "width", "across", "along")}
    before, grown = gun.footprint, distance / gun.footprint.distance
    notes = [f"No width from a pass: kept at {before.width * grown * 1e3:.0f} mm."]
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
        spreads={name: _figure(name, mean) for name, mean in means.items() if mean is not None},
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
        raise InputError(f"'{job}' is an invented job", instead="name your own job file")
    opened = open_bench(job).file
    guns = [gun.key for gun in opened.job.workshop.guns]
    place = ("workshop", "guns", guns.index(found.gun), "footprint")
    text = edited(opened, place, found.after).text
    Path(job).write_text(text, encoding="utf-8")
