"""The record of one area told as a painter would: layer by layer, with what went before each."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from typing import NamedTuple

from coatwright.record.corrections import Happening, standing
from coatwright.record.events import (
    AirRead,
    BrokeThrough,
    ClimateRead,
    CoatBegun,
    CoatDone,
    CupWeighed,
    Degreased,
    FilmRead,
    Found,
    Mixed,
    Planned,
    RubbedDown,
    Stripped,
)

SPOT = 0.25
"""A coat on less than this share of the largest one of its area is a spot, not a layer."""


class Rubbing(NamedTuple):
    """One rubbing down."""

    at: datetime
    said: RubbedDown


class Broken(NamedTuple):
    """A place rubbed through."""

    at: datetime
    said: BrokeThrough


class Gauged(NamedTuple):
    """A set of gauge readings of all the film there is."""

    at: datetime
    said: FilmRead


class Climate(NamedTuple):
    """A reading of air and metal."""

    at: datetime
    said: ClimateRead


class Air(NamedTuple):
    """A reading of the air line, and on which area ('' the shop)."""

    at: datetime
    area: str
    said: AirRead


class Mix(NamedTuple):
    """A mix and when it was made."""

    at: datetime
    said: Mixed


class Finding(NamedTuple):
    """Something that came to light."""

    at: datetime
    said: Found


@dataclass(slots=True)
class Coat:
    """One coat: what was said when it began and ended, and what was measured of it."""

    begun: datetime
    said: CoatBegun
    done: datetime | None = None
    trigger: float | None = None
    combs: list[FilmRead] = field(default_factory=list)
    cup: CupWeighed | None = None

    @property
    def ended(self) -> datetime:
        """When it ended, or began if the end was not recorded."""
        return self.done or self.begun


@dataclass(slots=True)
class Before:
    """What was done to the surface since the layer below, or since the start."""

    rubbed: list[Rubbing] = field(default_factory=list)
    cleaned: list[datetime] = field(default_factory=list)
    broken: list[Broken] = field(default_factory=list)
    spots: list[datetime] = field(default_factory=list)


@dataclass(slots=True)
class Layer:
    """One layer: its coats, what went before it, the gauge readings before the next one."""

    product: str
    before: Before
    coats: list[Coat]
    gauged: list[Gauged] = field(default_factory=list)

    @property
    def begun(self) -> datetime:
        """First trigger."""
        return self.coats[0].begun

    @property
    def ended(self) -> datetime:
        """Last trigger."""
        return self.coats[-1].ended

    @property
    def planned(self) -> Planned | None:
        """What the plan said of its last coat."""
        return self.coats[-1].said.planned

    @property
    def family(self) -> str:
        """Kind of coating; '' if not known."""
        return self.planned.family if self.planned else ""


@dataclass(slots=True)
class Story:
    """All that the record holds of an area, or of a patch of it, up to a moment."""

    area: str
    until: datetime
    layers: list[Layer]
    after: Before
    others: dict[str, list[Layer]]
    climate: list[Climate]
    air: list[Air]
    mixes: list[Mix]
    stripped: list[datetime]
    found: list[Finding]
    dry_rubbed: list[datetime]
    rubbing_kept: bool

    def prepared(self, index: int) -> Before:
        """What was done after that layer: before the next one, or since the last one."""
        return self.layers[index + 1].before if index + 1 < len(self.layers) else self.after

    def mix_of(self, coat: Coat) -> Mix | None:
        """The mix in the cup: by its name, or the last one of that product made before."""
        made = [mix for mix in self.mixes if mix.at <= coat.begun]
        if coat.said.mix:
            named = [mix for mix in made if mix.said.mix == coat.said.mix]
            return named[-1] if named else None
        own = [mix for mix in made if mix.said.product == coat.said.product]
        return own[-1] if own else None


def tell(events: Iterable[Happening], area: str, patch: str, until: datetime) -> Story:
    """The story of an area (patch '' all of it) from the events of a job, corrections followed."""
    stood = [event for event in standing(events).events if event.at <= until]
    own = [one for one in stood if one.area == area and patch in ("", one.patch or patch)]
    layers, after = _layers(own)
    areas = dict.fromkeys(one.area for one in stood if one.area not in ("", area))
    bodies = [one.body for one in stood]
    return Story(
        area=area,
        until=until,
        layers=layers,
        after=after,
        others={name: _layers([one for one in stood if one.area == name])[0] for name in areas},
        climate=[
            Climate(one.at, one.body)
            for one in stood
            if isinstance(one.body, ClimateRead) and one.area in ("", area)
        ],
        air=[Air(one.at, one.area, one.body) for one in stood if isinstance(one.body, AirRead)],
        mixes=[Mix(one.at, one.body) for one in stood if isinstance(one.body, Mixed)],
        stripped=[one.at for one in own if isinstance(one.body, Stripped)],
        found=[Finding(one.at, one.body) for one in own if isinstance(one.body, Found)],
        dry_rubbed=[
            one.at for one in stood if isinstance(one.body, RubbedDown) and not one.body.wet
        ],
        rubbing_kept=any(isinstance(body, RubbedDown) for body in bodies),
    )


def _layers(events: Sequence[Happening]) -> tuple[list[Layer], Before]:
    """The layers of one area in order, and what was done after the last of them."""
    largest = max((_surface(one.body) for one in events if isinstance(one.body, CoatBegun)),
                  default=0.0)  # fmt: skip
    layers: list[Layer] = []
    before = Before()
    for event in events:
        body = event.body
        if isinstance(body, CoatBegun):
            if _surface(body) < SPOT * largest:
                before.spots.append(event.at)
            elif _goes_on(layers, body, before):
                layers[-1].coats.append(Coat(event.at, body))
            else:
                layers.append(Layer(body.product, before, [Coat(event.at, body)]))
                before = Before()
        elif layers and isinstance(body, CoatDone | CupWeighed | FilmRead):
            _measured(layers[-1], event.at, body)
        else:
            _prepared(before, event)
    return layers, before


def _surface(body: CoatBegun) -> float:
    return body.planned.surface if body.planned else float("inf")


def _goes_on(layers: Sequence[Layer], body: CoatBegun, before: Before) -> bool:
    """Whether a coat belongs to the layer begun last: same product, counted on, not rubbed."""
    if not layers or layers[-1].product != body.product or before.rubbed:
        return False
    return body.coat > layers[-1].coats[-1].said.coat


def _measured(layer: Layer, at: datetime, body: CoatDone | CupWeighed | FilmRead) -> None:
    if isinstance(body, FilmRead) and body.method == "gauge":
        layer.gauged.append(Gauged(at, body))
        return
    coats = [
        coat for coat in layer.coats
        if coat.said.product == body.product and coat.said.coat == body.coat
    ]  # fmt: skip
    if not coats:
        return
    coat = coats[-1]
    if isinstance(body, CoatDone):
        coat.done, coat.trigger = at, body.trigger
    elif isinstance(body, CupWeighed):
        coat.cup = body
    else:
        coat.combs.append(body)


def _prepared(before: Before, event: Happening) -> None:
    body = event.body
    if isinstance(body, RubbedDown):
        before.rubbed.append(Rubbing(event.at, body))
    elif isinstance(body, Degreased):
        before.cleaned.append(event.at)
    elif isinstance(body, BrokeThrough):
        before.broken.append(Broken(event.at, body))
