"""The paint record as plain data: what the faces set, without any arithmetic left to do.

Moments are aware datetimes; film, mass, time and money are Figures.
"""

from dataclasses import dataclass
from datetime import datetime
from typing import Literal

from coatwright.figures import Figure
from coatwright.planning.plan import Caution, SectionBand


@dataclass(frozen=True, slots=True)
class CoatTold:
    """One coat as it was sprayed. wet: by comb, its spread least and most; used: by the scale."""

    key: str
    number: int
    at: datetime
    who: str
    mix: str
    gun: str
    air: Figure | None
    metal: Figure | None
    humidity: Figure | None
    wet: Figure | None
    used: Figure | None
    note: str


@dataclass(frozen=True, slots=True)
class RubTold:
    """Rubbing down: grade and how, film taken off if it was noted."""

    key: str
    at: datetime
    who: str
    how: str
    took: Figure | None


@dataclass(frozen=True, slots=True)
class BreakTold:
    """A place rubbed through: what shows there, and its size if it was noted."""

    key: str
    at: datetime
    who: str
    ground: str
    surface: Figure | None


@dataclass(frozen=True, slots=True)
class LayerTold:
    """One layer: film as its coats were planned and as found, what was rubbed off it.

    hard: when its sheet says it is hard right through; None if that is not known.
    """

    key: str
    title: str
    coats: tuple[CoatTold, ...]
    hard: datetime | None
    planned: Figure | None
    found: Figure | None
    readings: int
    rubbed: tuple[RubTold, ...]
    broke: tuple[BreakTold, ...]


@dataclass(frozen=True, slots=True)
class Unmet:
    """A demand of the rule that is not met: what it says, what was found, its bound."""

    key: str
    says: str
    found: Figure
    limit: Figure


@dataclass(frozen=True, slots=True)
class ReadTold:
    """One set of gauge readings: its mean, least and most, and what the rule says of it.

    why says in words why it was not judged.
    """

    key: str
    at: datetime
    who: str
    count: int
    film: Figure
    wanted: Figure | None
    rule: str
    verdict: Literal["passes", "does not pass", "not judged"]
    why: str
    unmet: tuple[Unmet, ...]


@dataclass(frozen=True, slots=True)
class PatchTold:
    """One patch: its section as planned and as found, metal upwards, and what makes it up.

    missing says why there is no section as found.
    """

    key: str
    title: str
    ground: str
    surface: Figure | None
    planned: tuple[SectionBand, ...]
    planned_total: Figure | None
    found: tuple[SectionBand, ...]
    found_total: Figure | None
    missing: str
    layers: tuple[LayerTold, ...]
    readings: tuple[ReadTold, ...]


@dataclass(frozen=True, slots=True)
class AreaTold:
    """One area; surface None for one that only the record knows."""

    key: str
    title: str
    surface: Figure | None
    patches: tuple[PatchTold, ...]


@dataclass(frozen=True, slots=True)
class TinTold:
    """One component of a mix: mass poured and asked for, batch number, use-by date."""

    key: str
    title: str
    poured: Figure
    wanted: Figure | None
    lot: str
    expiry: str


@dataclass(frozen=True, slots=True)
class MixTold:
    """One mix that was made."""

    key: str
    title: str
    at: datetime
    who: str
    tins: tuple[TinTold, ...]
    cup_seconds: Figure | None
    cup: str
    temperature: Figure | None
    pot_life: Figure | None


@dataclass(frozen=True, slots=True)
class Entry:
    """Anything else that happened: where, in words, what."""

    key: str
    at: datetime
    who: str
    place: str
    what: str


@dataclass(frozen=True, slots=True)
class PhotoTold:
    """A photograph by the SHA-256 of its file; the caption says what it shows."""

    sha256: str
    caption: str
    place: str
    at: datetime
    who: str


@dataclass(frozen=True, slots=True)
class ExtraTold:
    """Extra work put to the owner, with every answer; the last one counts."""

    key: str
    title: str
    reason: str
    at: datetime
    price: Figure
    status: Literal["proposed", "approved", "refused"]
    answers: tuple[Entry, ...]


@dataclass(frozen=True, slots=True)
class HandoverTold:
    """How the work was taken over: by whom, how, what was remarked; since: what came after it.

    by and at are "" and None as long as nobody has. finished: what the shop said of it being
    finished, "" if it has not. defects: seen and not yet put right.
    """

    by: str
    at: datetime | None
    how: str
    remarks: str
    finished: str
    defects: tuple[Entry, ...]
    since: tuple[Entry, ...]


@dataclass(frozen=True, slots=True)
class Advice:
    """One piece of advice on care."""

    key: str
    title: str
    text: str
    source: str


@dataclass(frozen=True, slots=True)
class Over:
    """Whether a kind of coating may go over what is there now, and what it needs or why not."""

    key: str
    title: str
    verdict: Literal["yes", "yes if", "no"]
    text: str


@dataclass(frozen=True, slots=True)
class Recoat:
    """For the next painter: what lies on these places, how old it is, what may go over it."""

    key: str
    places: tuple[str, ...]
    stack: tuple[str, ...]
    last: datetime
    age: Figure
    over: tuple[Over, ...]


@dataclass(frozen=True, slots=True)
class Dossier:
    """The whole paint record of a job, for its owner, as it stood when it was made."""

    job: str
    title: str
    invented: bool
    shop: str
    owner: str
    painter: str
    colour: str
    currency: str
    made: datetime
    first: datetime | None
    last: datetime | None
    events: int
    people: tuple[str, ...]
    surface: Figure
    areas: tuple[AreaTold, ...]
    mixes: tuple[MixTold, ...]
    entries: tuple[Entry, ...]
    photos: tuple[PhotoTold, ...]
    extras: tuple[ExtraTold, ...]
    handover: HandoverTold
    care: tuple[Advice, ...]
    recoats: tuple[Recoat, ...]
    cautions: tuple[Caution, ...]
    doubts: tuple[str, ...]
