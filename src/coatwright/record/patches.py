"""The patches of a job while events are being folded: what can still change."""

from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from datetime import datetime, timedelta

from coatwright.record.events import (
    BrokeThrough,
    CoatBegun,
    CoatDone,
    Planned,
    RubbedDown,
    Stripped,
)
from coatwright.record.state import (
    AirReading,
    AreaState,
    Broken,
    Cleaning,
    ClimateReading,
    ClimateSpan,
    FilmReading,
    Finding,
    LaidCoat,
    LaidLayer,
    PatchState,
    Place,
    Rubbing,
    Span,
    Stripping,
    Weighing,
)
from coatwright.sentences import Said, say

WATCH = timedelta(hours=24)
"""How long after a coat the climate is still told with it."""


@dataclass(slots=True, eq=False)
class Coat:
    """A coat that may lie on several patches; tops counts those on which nothing covers it.

    after: least, most and how often, of air, metal, humidity and air speed; None: as made has it.
    """

    made: LaidCoat
    tops: int = 0
    after: list[list[float] | None] | None = None

    def freeze(self) -> LaidCoat:
        """As plain data."""
        if self.after is not None:
            spans = [Span(s[0], s[1], int(s[2])) if s else None for s in self.after]
            self.made = self.made._replace(after=ClimateSpan(*spans))
        return self.made

    def finish(self, place: Place, said: CoatDone) -> None:
        """The last trigger."""
        self.made = self.made._replace(
            done=place.at,
            trigger=said.trigger,
            dry_spray=said.dry_spray,
            note=said.note,
            evidence=self.made.evidence + place.evidence,
        )

    def weigh(self, weighing: Weighing) -> None:
        """Its cup was weighed."""
        self.made = self.made._replace(cup=(*self.made.cup, weighing))

    def comb(self, reading: FilmReading) -> None:
        """Its wet film was read."""
        self.made = self.made._replace(comb=(*self.made.comb, reading))

    def breathe(self, reading: ClimateReading) -> bool:
        """The climate was read while it was sprayed or dries; whether more will be of interest."""
        done = self.made.done
        if done is None:
            if self.made.climate is None:
                self.made = self.made._replace(climate=reading)
            return True
        if reading.place.at - done > WATCH:
            return False
        if self.after is None:
            self.after = [list(span) if span else None for span in self.made.after]
        after = self.after
        for which, value in enumerate(reading[1:]):
            if value is not None:
                span = after[which]
                if span is None:
                    after[which] = [value, value, 1]
                    continue
                if value < span[0]:
                    span[0] = value
                elif value > span[1]:
                    span[1] = value
                span[2] += 1
        return True

    def press(self, reading: AirReading) -> None:
        """The pressure was read while it was sprayed."""
        if self.made.done is None and self.made.air is None:
            self.made = self.made._replace(air=reading)


@dataclass(slots=True, eq=False)
class Layer:
    """One product on a patch."""

    product: str
    coats: list[Coat]
    rubbed: list[Rubbing] = field(default_factory=list)
    broke: list[Broken] = field(default_factory=list)

    def copy(self) -> "Layer":
        """The same layer, to change on its own; its coats are the same coats."""
        return Layer(self.product, list(self.coats), list(self.rubbed), list(self.broke))

    def freeze(self) -> LaidLayer:
        """As plain data."""
        coats = tuple(coat.freeze() for coat in self.coats)
        return LaidLayer(self.product, coats, tuple(self.rubbed), tuple(self.broke))


@dataclass(slots=True, eq=False)
class Patch:
    """What lies on a patch. latest: the newest coat of each product and number."""

    area: str
    patch: str
    ground: str = ""
    layers: list[Layer] = field(default_factory=list)
    gone: list[Layer] = field(default_factory=list)
    stripped: Stripping | None = None
    cleaned: Cleaning | None = None
    found: list[Finding] = field(default_factory=list)
    gauge: list[FilmReading] = field(default_factory=list)
    ground_rubbed: list[Rubbing] = field(default_factory=list)
    ground_broke: list[Broken] = field(default_factory=list)
    latest: dict[tuple[str, int], Coat] = field(default_factory=dict)
    depth: int = 0

    @property
    def top(self) -> Coat | None:
        """The coat that lies open."""
        return self.layers[-1].coats[-1] if self.layers else None

    def copy(self, area: str, patch: str) -> "Patch":
        """The same history under another name, to go on from there on its own."""
        made = replace(
            self,
            area=area,
            patch=patch,
            layers=[layer.copy() for layer in self.layers],
            gone=list(self.gone),
            found=list(self.found),
            gauge=list(self.gauge),
            ground_rubbed=list(self.ground_rubbed),
            ground_broke=list(self.ground_broke),
            latest=dict(self.latest),
        )
        if made.top is not None:
            made.top.tops += 1
        return made

    def lay(self, coat: Coat) -> str:
        """A coat goes on; what is odd about that, in words, or ""."""
        made, top = coat.made, self.top
        doubt = self._oddity(made)
        if top is not None:
            top.tops -= 1
        coat.tops += 1
        if made.number > 1 and self.layers and self.layers[-1].product == made.product:
            self.layers[-1].coats.append(coat)
        else:
            self.layers.append(Layer(made.product, [coat]))
        self.latest[made.product, made.number] = coat
        self.depth += 1
        return doubt

    def _oddity(self, coat: LaidCoat) -> str:
        top = self.top
        if top is not None and top.made.done is None:
            return say("a coat was begun before the one under it was done")
        if coat.number == 1:
            return ""
        if top is None or top.made.product != coat.product:
            return say(
                "coat {coat} of {product} has no coat before it",
                coat=coat.number,
                product=coat.product,
            )
        if coat.number != top.made.number + 1:
            return say(
                "coat {coat} of {product} follows coat {before}",
                coat=coat.number,
                product=coat.product,
                before=top.made.number,
            )
        return ""

    def coat(self, product: str, number: int) -> Coat | None:
        """The newest coat of a product and number; without them, the newest there is."""
        if product and number:
            return self.latest.get((product, number))
        for layer in reversed(self.layers):
            if product in ("", layer.product):
                return next(
                    (one for one in reversed(layer.coats) if number in (0, one.made.number)), None
                )
        return None

    def strip(self, place: Place, said: Stripped) -> None:
        """All paint of ours and of others comes off."""
        if self.top is not None:
            self.top.tops -= 1
        self.gone += self.layers
        self.layers, self.gauge, self.latest, self.depth = [], [], {}, 0
        self.ground_rubbed, self.ground_broke, self.cleaned = [], [], None
        self.ground = said.ground
        self.stripped = Stripping(place, said.ground, said.how)

    def rub(self, place: Place, said: RubbedDown) -> str:
        """Rubbed down; what is odd about that, in words, or ""."""
        rubbing = Rubbing(place, said.grade, said.took, said.wet, said.guide_coat)
        if not self.layers:
            self.ground_rubbed.append(rubbing)
            return (
                say("{product} was rubbed where none lies", product=said.product)
                if said.product
                else ""
            )
        self.layers[-1].rubbed.append(rubbing)
        if said.product in ("", self.layers[-1].product):
            return ""
        return say(
            "{product} was rubbed, but {top} lies on top",
            product=said.product,
            top=self.layers[-1].product,
        )

    def break_through(self, place: Place, said: BrokeThrough) -> str:
        """Rubbed through; what is odd about that, in words, or ""."""
        broken = Broken(place, said.ground, said.surface)
        if not self.layers:
            self.ground_broke.append(broken)
            return ""
        self.layers[-1].broke.append(broken)
        below = {layer.product for layer in self.layers[:-1]}
        if said.ground in ("", "metal", self.ground) or said.ground in below:
            return ""
        return say(
            "{ground} shows, but it does not lie under {top}",
            ground=Said(said.ground),
            top=self.layers[-1].product,
        )

    def mend(self, event: str, at: datetime) -> bool:
        """A place that was rubbed through is put right; whether it is one of this patch."""
        mended = False
        for broke in (self.ground_broke, *(layer.broke for layer in self.layers)):
            for number, one in enumerate(broke):
                if one.place.event == event:
                    broke[number] = one._replace(mended=at)
                    mended = True
        return mended

    def freeze(self) -> PatchState:
        """As plain data."""
        return PatchState(
            self.area,
            self.patch,
            self.ground,
            tuple(layer.freeze() for layer in self.layers),
            self.stripped,
            tuple(self.found),
            self.cleaned,
            tuple(self.gauge),
            tuple(self.ground_rubbed),
            tuple(self.ground_broke),
            tuple(layer.freeze() for layer in self.gone),
        )


@dataclass(slots=True, eq=False)
class Surfaces:
    """All patches by area; area "" and patch "" stand for what is not told apart yet."""

    areas: dict[str, dict[str, Patch]] = field(default_factory=lambda: {"": {"": Patch("", "")}})

    def at(self, place: Place) -> list[Patch]:
        """The patches an event speaks of; those never named before begin as the whole was."""
        if not place.area:
            return [patch for patches in self.areas.values() for patch in patches.values()]
        if place.area not in self.areas:
            self.areas[place.area] = {"": self.areas[""][""].copy(place.area, "")}
        patches = self.areas[place.area]
        if not place.patch:
            return list(patches.values())
        if place.patch not in patches:
            patches[place.patch] = patches[""].copy(place.area, place.patch)
        return [patches[place.patch]]

    def under(self, place: Place, planned: Planned | None) -> list[Patch]:
        """The patches that a coat goes on: of a whole area those that the plan has it on."""
        if place.patch or not place.area or planned is None or not planned.left_out:
            return self.at(place)
        for key in (*planned.patches, *planned.left_out):  # they are told apart from here on
            self.at(place._replace(patch=key))
        return [patch for patch in self.at(place) if patch.patch not in planned.left_out]

    def mend(self, event: str, at: datetime) -> bool:
        """A place that was rubbed through is put right, wherever it is; whether there is one."""
        found = [patch.mend(event, at) for area in self.areas.values() for patch in area.values()]
        return any(found)

    def coats_at(self, place: Place, product: str, number: int) -> list[Coat]:
        """The newest such coat on each patch an event speaks of, each once."""
        found = (patch.coat(product, number) for patch in self.at(place))
        return list({coat.made.event: coat for coat in found if coat is not None}.values())

    def tops(self) -> Iterator[Coat]:
        """Every coat that lies open somewhere."""
        for patches in self.areas.values():
            for patch in patches.values():
                if patch.top is not None:
                    yield patch.top

    def freeze(self) -> dict[str, AreaState]:
        """As plain data, area "" among them."""
        return {
            area: AreaState(area, {key: patch.freeze() for key, patch in patches.items()})
            for area, patches in self.areas.items()
        }


def begun(place: Place, plan: str, said: CoatBegun) -> Coat:
    """A coat at its first trigger."""
    return Coat(
        LaidCoat(
            place.event,
            said.product,
            said.coat,
            place.at,
            None,
            place.who,
            place.area,
            place.patch,
            said.mix,
            said.gun,
            said.hand,
            said.distance,
            said.planned,
            plan,
            evidence=place.evidence,
        )
    )


def thawed(areas: dict[str, AreaState]) -> Surfaces:
    """The patches as they were before they were frozen."""
    coats: dict[str, Coat] = {}
    patches = {
        area: {key: _patch(patch, coats) for key, patch in state.patches.items()}
        for area, state in areas.items()
    }
    made = Surfaces(patches)
    for coat in made.tops():
        coat.tops += 1
    return made


def _patch(state: PatchState, coats: dict[str, Coat]) -> Patch:
    layers = [_layer(layer, coats) for layer in state.layers]
    laid = [coat for layer in layers for coat in layer.coats]
    return Patch(
        state.area,
        state.patch,
        state.ground,
        layers,
        [_layer(layer, coats) for layer in state.gone],
        state.stripped,
        state.cleaned,
        list(state.found),
        list(state.gauge),
        list(state.ground_rubbed),
        list(state.ground_broke),
        {(coat.made.product, coat.made.number): coat for coat in laid},
        len(laid),
    )


def _layer(state: LaidLayer, coats: dict[str, Coat]) -> Layer:
    own = [coats.setdefault(coat.event, Coat(coat)) for coat in state.coats]
    return Layer(state.product, own, list(state.rubbed), list(state.broke))
