"""A photographed test card: the fan's measures, and what they say of the gun."""

import math
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Literal

import numpy as np

from coatwright.engines.card.layout import Layout, layout
from coatwright.engines.card.measure import Measured, Value, measure
from coatwright.engines.card.rectify import Sheet, decode, rectify
from coatwright.errors import InputError, NotConverged, RangeError
from coatwright.figures import Figure
from coatwright.intake.patterns import PatternFault, load_patterns
from coatwright.intake.photos import read_photo
from coatwright.model.kit import Gun
from coatwright.sentences import say

Kind = Literal["burst", "pass"]

_SURE = 1.2816  # standard deviations between the middle and the 90 % point of a normal spread
_NOTE = "10 to 90 %, from the card's own noise and what light and tone leave open"


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


def card(paper: str = "A4") -> Layout:
    """The test card on A4 or Letter, to be drawn."""
    return layout(paper)


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
        measures={name: figure(name, value) for name, value in values.items()},
        faults=tuple(one for fault in load_patterns() if (one := seen(fault, values)) is not None),
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


def figure(name: str, value: Value) -> Figure:
    """A measure of a card with its spread."""
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
    "length": say("from bare paper to bare paper along the fan"),
    "width": say("from bare paper to bare paper across the fan"),
    "across": say("exponent of the profile along the fan's length"),
    "along": say("exponent of the profile across the fan"),
    "x": say("middle of the fan, right of the cross"),
    "y": say("middle of the fan, below the cross"),
    "tilt": say("turn of the fan's long axis, clockwise"),
    "ends": say("paint near both ends over paint in the middle"),
    "dip": say("how much less lies in the very middle than beside it"),
    "top": say("the fuller end over the other"),
    "side": say("the fuller long side over the other"),
    "bow": say("how far the ends bend aside, as a share of the width"),
    "spots": say("specks for each square decimetre"),
    "small": say("length over that of the gun's own footprint at this distance"),
    "hidden": say("share of the fan in which the paper no longer shows"),
    "residual": say("how far the pattern departs from an even fan, as a share of its depth"),
}


def seen(fault: PatternFault, values: Mapping[str, Value]) -> Seen | None:
    """The fault, if its measure lies beyond its bound."""
    value = values.get(fault.measure)
    if value is None or fault.beyond(value.value) <= 0.0:
        return None
    return Seen(
        key=fault.key,
        title=fault.title,
        measure=figure(fault.measure, value),
        sure=fault.beyond(value.value) > 2.0 * value.error,
        spoils=fault.spoils,
        causes=fault.causes,
        cures=fault.cures,
        check=fault.check,
        source=fault.source,
    )


def _notes(sheet: Sheet, fan: Measured) -> list[str]:
    """What about the photograph or the card makes the figures less sure."""
    notes: list[str] = []
    if not sheet.dabbed:
        notes.append(
            say("No dab of paint in the ring: the paint's own colour was taken from the fit.")
        )
    if sheet.markers < len(sheet.layout.markers):
        notes.append(
            say(
                "{markers} of {markers2} markers were seen.",
                markers=sheet.markers,
                markers2=len(sheet.layout.markers),
            )
        )
    if sheet.scale < 4e3:
        notes.append(
            say("{scale:.1f} pixels a millimetre; nearer is better.", scale=sheet.scale / 1000.0)
        )
    if fan.off_card > 0.003:
        notes.append(say("An end of the fan lies beyond the page; its length was carried on."))
    if fan.residual > 0.06:
        notes.append(say("The pattern departs from an even fan: take length and width as rough."))
    return notes
