"""A tap on a phone becomes an event: read with its units, checked, kept once, clashes settled.

A tap carries an identity made on the phone, so that it may be sent as often as it takes; and the
number up to which that phone knew the record, so that two people doing the same thing at once can
be told apart from one doing it twice.
"""

import re
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from typing import Any, Final, get_args

from pydantic import ValidationError

from coatwright import units
from coatwright.actions.live.filling import filled
from coatwright.actions.shop import Shop
from coatwright.errors import InputError
from coatwright.intake.toml import wording
from coatwright.record.events import Corrected, Event, Fact, Happened, Note, body_reader
from coatwright.sentences import Said, joined, say

EARLIEST: Final = timedelta(days=60)
"""A tap older than this has a wrong clock behind it."""
AHEAD: Final = timedelta(minutes=5)
"""A phone's clock may run ahead this much before its time is not believed."""

DIMENSIONS: Final[Mapping[str, Mapping[str, str]]] = {
    "found": {"surface": "area"},
    "mixed": {"cup_seconds": "time", "temperature": "temperature"},
    "coat begun": {"distance": "length"},
    "coat done": {"trigger": "time"},
    "cup weighed": {"before": "mass", "after": "mass"},
    "film read": {"readings": "length", "steps": "length", "zero": "length"},
    "climate read": {
        "air": "temperature", "metal": "temperature", "humidity": "fraction", "air_speed": "speed",
    },
    "air read": {"pressure": "pressure"},
    "fluid caught": {
        "volumes": "volume", "seconds": "time", "mark": "volume", "pressure": "pressure",
        "expected": "flow",
    },
    "strokes timed": {"seconds": "time", "length": "length", "expected": "speed"},
    "board read": {
        "readings": "length", "spacing": "length", "zero": "length", "fan": "length",
        "pitch": "length", "wanted": "length",
    },
    "board weighed": {
        "before": "mass", "after": "mass", "surface": "area", "scale": "mass", "wanted": "length",
        "density": "density",
    },
    "rubbed down": {"took": "length"},
    "broke through": {"surface": "area"},
    "defect seen": {"surface": "area"},
    "extra proposed": {"hours": "time"},
    "paid time": {"seconds": "time"},
    "bought": {"volume": "volume"},
    "counted": {"volume": "volume"},
}  # fmt: skip
"""What the written quantities of each kind of event measure."""

SEVERAL: Final = frozenset((
    ("film read", "readings"), ("film read", "steps"), ("fluid caught", "volumes"),
    ("fluid caught", "seconds"), ("strokes timed", "seconds"), ("board read", "readings"),
))  # fmt: skip
"""Fields in which several values stand in one text."""

ONCE: Final[Mapping[str, tuple[str, ...]]] = {
    "coat begun": ("product", "coat"),
    "coat done": ("product", "coat"),
    "mixed": ("mix",),
    "approved": ("extra",),
    "refused": ("extra",),
    "finished": (),
    "taken over": (),
    "arrived": (),
    "degreased": (),
    "rubbed down": ("grade",),
    "stripped": (),
    "work begun": ("act", "product"),
    "work done": ("act", "product"),
}
"""Things that are done once: what tells one from another, beside the area and the patch."""

AGAIN: Final = frozenset({"degreased", "rubbed down", "stripped", "work begun", "work done"})
"""Things that one person may do again: only somebody else's of the same kind is the same."""

APP_MADE: Final = ("described", "days arranged")
"""What only the app itself writes: a job by its pages and files, its days by arranging them."""

_SPLIT: Final = re.compile(r"[;\n]|,\s+|\s{2,}")


@dataclass(frozen=True)
class Taken:
    """What became of a tap: the event that is kept; settled: what was decided where it clashed."""

    event: Event
    settled: str = ""


def take(shop: Shop, tap: Mapping[str, Any], photo: bytes = b"", name: str = "") -> Taken:
    """Keep what a tap says. Raises InputError with one sentence if it cannot be read.

    tap: id, job, who, at, kind, fields, and if it has them area, patch, plan, seen. A field of a
    quantity is text with its unit, or {"text", "unit"} with several values in one text.
    """
    event = read(tap, shop.clock())
    _refuse_app_made(event.body)
    if photo:
        held = (*event.evidence, shop.record.attach(photo, name))
        event = event.model_copy(update={"evidence": held})
    event = filled(shop, event)
    with shop.settling:
        return _settled(shop, event, int(tap.get("seen") or 0))


def _refuse_app_made(body: Happened | Corrected) -> None:
    made = body.body if isinstance(body, Corrected) else body
    if made is not None and made.kind in APP_MADE:
        raise InputError(
            say("'{kind}' is written by the app alone, not by a tap", kind=Said(made.kind)),
            instead=say("change an area, or plan the rest anew"),
        )


def _settled(shop: Shop, event: Event, seen: int) -> Taken:
    before = _same_thing(shop, event, seen)
    if before is None:
        return Taken(shop.write(event))
    told = say(
        "{who} had noted this at {time} on another phone: that counts, and yours is kept as a note",
        who=before.who,
        time=f"{before.at.astimezone():%H:%M}",
    )
    note = Note(text=f"{event.who} noted '{event.body.kind}' too: {event.body.model_dump_json()}")
    return Taken(shop.write(event.model_copy(update={"body": note})), told)


def read(tap: Mapping[str, Any], now: datetime | None = None) -> Event:
    """The event that a tap says. Raises InputError with one sentence if it cannot be read."""
    kind = str(tap.get("kind", ""))
    body = _body(kind, dict(tap.get("fields") or {}))
    try:
        event = Event(
            id=tap.get("id", ""), job=tap.get("job", ""), at=_moment(tap.get("at")),
            who=tap.get("who", ""), body=body, area=tap.get("area") or "",
            patch=tap.get("patch") or "", plan=tap.get("plan") or "",
            evidence=tuple(tap.get("evidence") or ()),
        )  # fmt: skip
    except ValidationError as wrong:
        raise _fault(wrong, say("the tap"), dict(tap), Event) from None
    now = now or datetime.now(UTC)
    if not now - EARLIEST <= event.at <= now + AHEAD:
        event = event.model_copy(update={"at": now})  # the phone's clock is wrong: take our own
    return event


def _body(kind: str, fields: dict[str, Any]) -> Happened:
    measured = DIMENSIONS.get(kind, {})
    ready = {"kind": kind}
    for name, value in fields.items():
        several = (kind, name) in SEVERAL
        ready[name] = _value(name, value, measured.get(name), several=several)
    try:
        return body_reader().validate_python(ready)  # type: ignore[return-value]
    except ValidationError as wrong:
        raise _fault(wrong, Said(kind) or say("the tap"), ready, _model_of(kind)) from None


def _value(name: str, value: Any, dimension: str | None, *, several: bool) -> Any:
    if dimension is None:
        return value["text"] if isinstance(value, dict) and "text" in value else value
    text, unit = (value["text"], value["unit"]) if isinstance(value, dict) else (value, "")
    if isinstance(text, int | float):
        return float(text)
    parts = [part for part in _SPLIT.split(str(text).strip()) if part.strip()]
    numbers = [_quantity(part.strip(), unit, dimension) for part in parts]
    return tuple(numbers) if several else _one(numbers, name)


def _quantity(text: str, unit: str, dimension: str) -> float:
    bare = re.fullmatch(r"[-+]?[0-9]+(?:[.,][0-9]+)?", text)
    written = f"{text.replace(',', '.')} {unit}" if bare and unit else text
    return units.parse(written, dimension)


def _one(numbers: list[float], name: str) -> float:
    if len(numbers) != 1:
        raise InputError(
            say(
                "{name} needs one value, not {count}",
                name=Said(name.replace("_", " ")),
                count=len(numbers),
            ),
            field=name,
            instead=say("write one number with its unit"),
        )
    return numbers[0]


def _moment(at: Any) -> datetime:
    try:
        moment = datetime.fromisoformat(str(at).replace("Z", "+00:00"))
    except ValueError:
        return datetime.now(UTC)
    return moment if moment.tzinfo else moment.replace(tzinfo=UTC)


def _same_thing(shop: Shop, event: Event, seen: int) -> Event | None:
    """An event that says the same was done, and that the phone did not know of when it was tapped.

    One that was taken back by a correction does not count.
    """
    names = ONCE.get(event.body.kind)
    if names is None:
        return None
    later = shop.record.events(event.job, after=seen)
    struck = {one.body.event for one in later if one.body.kind == "corrected"}
    for one in later:
        if one.id == event.id:
            return None
        again = one.who == event.who and event.body.kind in AGAIN
        if one.id not in struck and not again and _alike(one, event, names):
            return one
    return None


def _alike(one: Event, other: Event, names: tuple[str, ...]) -> bool:
    same = (one.body.kind, one.area, one.patch) == (other.body.kind, other.area, other.patch)
    return same and all(getattr(one.body, name) == getattr(other.body, name) for name in names)


def _model_of(kind: str) -> type[Fact] | None:
    """What is wanted of an event of that kind; None if there is none."""
    every = get_args(get_args(Happened)[0])
    return next((one for one in every if one.model_fields["kind"].default == kind), None)


def _fault(
    wrong: ValidationError, what: str, data: Mapping[str, Any], model: type[Fact] | None
) -> InputError:
    again = say("look at what was typed, and send it again")
    if model is None:
        return InputError(
            say("'{said}' is nothing that can be noted", said=what), field="kind", instead=again
        )
    details = [
        {**one, "loc": tuple(part for part in one["loc"] if part not in (what, "tagged-union"))}
        for one in wrong.errors(include_url=False)
    ]
    first = wording.faults(details, data, model)[0]
    right = (first.instead,) if first.instead.startswith("it must be") else ()
    return InputError(
        joined(": ", (what, first.what)),
        field=".".join(map(str, first.place)),
        instead=joined("; ", (*right, again)),
    )
