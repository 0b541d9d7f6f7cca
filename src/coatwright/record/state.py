"""What is true of a job at one moment: plain frozen data that `fold` makes out of the events alone.

Numbers are SI: m, m2, m3, kg, s, K, Pa, shares of 1; money in the currency of the job. Nothing here
knows the plan: what the plan said of a coat came along in its event (Planned). What does not fit
together is kept and told as a Doubt.
"""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from typing import Literal, NamedTuple

from coatwright.record.events import (
    BoardRead,
    BoardWeighed,
    FluidCaught,
    Planned,
    StrokesTimed,
)

Standing = Literal["bare", "spraying", "not yet", "open", "shut", "abraded", "unknown"]


class Place(NamedTuple):
    """Where, when and by whom; event is the id of the event that says so."""

    event: str
    at: datetime
    who: str
    area: str
    patch: str
    evidence: tuple[str, ...] = ()


class ClimateReading(NamedTuple):
    """Temperatures [K], humidity and air speed [m/s] of an area, or of the shop (area "")."""

    place: Place
    air: float | None
    metal: float | None
    humidity: float | None
    air_speed: float | None


class Span(NamedTuple):
    """Least and most of what was read, and how often."""

    low: float
    high: float
    times: int

    def with_value(self, value: float) -> "Span":
        """The span after one more reading."""
        return Span(min(self.low, value), max(self.high, value), self.times + 1)


class ClimateSpan(NamedTuple):
    """What was read of the climate over a time; None where nothing was."""

    air: Span | None = None
    metal: Span | None = None
    humidity: Span | None = None
    air_speed: Span | None = None


_NOTHING_READ = ClimateSpan()


class AirReading(NamedTuple):
    """A gauge pressure in the air line [Pa]."""

    place: Place
    where: str
    pressure: float
    trigger: bool
    gun: str
    water: bool


class FluidTest(NamedTuple):
    """Paint caught from a gun for a timed while."""

    place: Place
    said: FluidCaught


class StrokeTest(NamedTuple):
    """Strokes that were timed."""

    place: Place
    said: StrokesTimed


class GaugedBoard(NamedTuple):
    """A practice board read by gauge."""

    place: Place
    said: BoardRead


class WeighedBoard(NamedTuple):
    """A practice board weighed bare and coated."""

    place: Place
    said: BoardWeighed


class Weighing(NamedTuple):
    """The gun with its cup before and after a coat [kg], and what the scale shows to [kg]."""

    place: Place
    before: float
    after: float
    scale: float


class FilmReading(NamedTuple):
    """Readings of the film [m]; layers and coats: how many lay there when it was read."""

    place: Place
    method: str
    product: str
    coat: int
    readings: tuple[float, ...]
    steps: tuple[float, ...]
    zero: float
    error: float
    error_share: float
    layers: int
    coats: int


class Film(NamedTuple):
    """A dry film: mean [m], standard deviation over the surface [m], and on what it rests."""

    mean: float
    spread: float
    basis: str


class LaidCoat(NamedTuple):
    """One coat, from the first trigger to the last.

    event is the id of its CoatBegun (of its CoatDone if the beginning was never noted): a coat on
    the whole area stands on each patch with the same one. climate: last read up to 2 hours before
    it began, or else the first while it was sprayed. after: what was read from its last trigger
    until the next coat covers it, for 24 hours at most. air: last read at this gun with the trigger
    pulled, up to 2 hours before it began, or else the first while it was sprayed.
    """

    event: str
    product: str
    number: int
    begun: datetime | None
    done: datetime | None
    who: str
    area: str
    patch: str
    mix: str = ""
    gun: str = ""
    hand: str = ""
    distance: float | None = None
    planned: Planned | None = None
    plan: str = ""
    trigger: float | None = None
    dry_spray: bool = False
    note: str = ""
    cup: tuple[Weighing, ...] = ()
    comb: tuple[FilmReading, ...] = ()
    climate: ClimateReading | None = None
    after: ClimateSpan = _NOTHING_READ
    air: AirReading | None = None
    evidence: tuple[str, ...] = ()

    @property
    def last(self) -> datetime:
        """Its last moment that is known."""
        moment = self.done or self.begun
        assert moment is not None  # a coat is only ever made of one of the two
        return moment

    def after_last(self, seconds: float | None) -> datetime | None:
        """The moment so many seconds after its last; None for None."""
        return None if seconds is None else later(self.last, seconds)


class Rubbing(NamedTuple):
    """Rubbed down: grade, film taken off [m] if known."""

    place: Place
    grade: str
    took: float | None
    wet: bool
    guide_coat: bool


class Broken(NamedTuple):
    """Rubbed through: ground is "metal", the product that shows, or "" old paint; surface [m2].

    mended: when it was noted that it was put right.
    """

    place: Place
    ground: str
    surface: float
    mended: datetime | None = None


class LaidLayer(NamedTuple):
    """One product on a patch, its coats in order, and what was rubbed off it."""

    product: str
    coats: tuple[LaidCoat, ...]
    rubbed: tuple[Rubbing, ...] = ()
    broke: tuple[Broken, ...] = ()

    @property
    def last(self) -> LaidCoat:
        """Its last coat."""
        return self.coats[-1]

    @property
    def film(self) -> Film | None:
        """Film the plans of its coats foretold, less what was noted as rubbed off.

        None if a coat had no plan. Coats are sprayed in the same strokes, so the spreads add up as
        they stand. Readings are not in it: they lie with the coats and the patch.
        """
        plans = [coat.planned for coat in self.coats]
        if not plans or not all(plans):
            return None
        mean = sum(plan.dry for plan in plans if plan)
        spread = sum(plan.dry_spread for plan in plans if plan)
        took = sum(rub.took or 0.0 for rub in self.rubbed)
        return Film(max(mean - took, 0.0), spread, "planned")


class Finding(NamedTuple):
    """What came to light, the ground it turned out to be ("" unchanged), surface [m2]."""

    place: Place
    what: str
    ground: str
    surface: float


class Cleaning(NamedTuple):
    """Degreased, with what."""

    place: Place
    product: str


class Stripping(NamedTuple):
    """Old paint came off: the ground that is bare now, and how."""

    place: Place
    ground: str
    how: str


class Window(NamedTuple):
    """When the next coat or layer may go on the last one. None: not known, or no such limit.

    flashed: a further coat of the same layer may follow. opens, shuts: the next layer. past: what
    is needed once it has shut. abraded: rubbed down since, so the shutting no longer counts.
    """

    flashed: datetime | None
    opens: datetime | None
    shuts: datetime | None
    past: str
    sandable: datetime | None
    cured: datetime | None
    spraying: bool = False
    abraded: datetime | None = None

    def standing(self, now: datetime) -> Standing:
        """How the window stands at a moment."""
        if self.spraying:
            return "spraying"
        if self.opens is None and self.shuts is None:
            return "abraded" if self.abraded else "unknown"
        if self.opens is not None and now < self.opens:
            return "not yet"
        if self.abraded is not None:
            return "abraded"
        return "shut" if self.shuts is not None and now > self.shuts else "open"


@dataclass(frozen=True, slots=True)
class PatchState:
    """What is on one patch, metal upwards; gone: layers laid in this job and stripped off again."""

    area: str
    patch: str
    ground: str = ""
    layers: tuple[LaidLayer, ...] = ()
    stripped: Stripping | None = None
    found: tuple[Finding, ...] = ()
    cleaned: Cleaning | None = None
    gauge: tuple[FilmReading, ...] = ()
    ground_rubbed: tuple[Rubbing, ...] = ()
    ground_broke: tuple[Broken, ...] = ()
    gone: tuple[LaidLayer, ...] = ()

    @property
    def top(self) -> LaidLayer | None:
        """The layer that lies open."""
        return self.layers[-1] if self.layers else None

    @property
    def last_coat(self) -> LaidCoat | None:
        """The coat sprayed last."""
        return self.top.last if self.top else None

    @property
    def film(self) -> Film | None:
        """All layers together as planned; None if one of them is not known or there is none."""
        films = [layer.film for layer in self.layers]
        known = [film for film in films if film is not None]
        if not known or len(known) < len(films):
            return None
        spread = sum(film.spread**2 for film in known) ** 0.5
        return Film(sum(film.mean for film in known), spread, "planned")

    @property
    def window(self) -> Window | None:
        """When the next may go on; None on bare ground."""
        coat = self.last_coat
        if coat is None or self.top is None:
            return None
        plan = coat.planned
        rubbed = self.top.rubbed[-1].place.at if self.top.rubbed else None
        after = coat.after_last
        return Window(
            flashed=after(plan.flash) if plan else None,
            opens=after(plan.recoat_from) if plan else None,
            shuts=after(plan.recoat_until) if plan else None,
            past=plan.past_window if plan else "",
            sandable=after(plan.sand_from) if plan else None,
            cured=after(plan.cured) if plan else None,
            spraying=coat.done is None,
            abraded=rubbed if rubbed and rubbed >= coat.last else None,
        )

    def standing(self, now: datetime) -> Standing:
        """How the window of the top layer stands."""
        window = self.window
        return "bare" if window is None else window.standing(now)

    def age(self, now: datetime) -> float | None:
        """Time since the last coat [s]; None on bare ground."""
        coat = self.last_coat
        return None if coat is None else (now - coat.last).total_seconds()

    def coats(self) -> Iterator[LaidCoat]:
        """Every coat on the patch, metal upwards."""
        for layer in self.layers:
            yield from layer.coats


@dataclass(frozen=True, slots=True)
class AreaState:
    """The patches of an area. Patch "" is the area as a whole: it stands for each patch not named.

    Every event on the whole area is on each patch too, so a patch tells all that lies on it.
    """

    area: str
    patches: Mapping[str, PatchState] = field(default_factory=dict)

    def patch(self, key: str) -> PatchState:
        """A patch by its key; one the record never named is as the whole area is."""
        return self.patches.get(key) or self.patches.get("") or PatchState(self.area, key)

    @property
    def named(self) -> tuple[PatchState, ...]:
        """The patches told apart, or the area as a whole if none is."""
        named = tuple(patch for key, patch in self.patches.items() if key)
        return named or tuple(self.patches.values())


class Mix(NamedTuple):
    """One mix that was made: masses poured [kg], pot life [s] and the moment it ends.

    gone: when it was noted that it is of no use any more.
    """

    name: str
    place: Place
    product: str
    parts: Mapping[str, float]
    wanted: Mapping[str, float]
    lots: Mapping[str, str]
    expiry: Mapping[str, str]
    density: float | None
    pot_life: float | None
    cup_seconds: float | None
    cup: str
    temperature: float | None
    gone: datetime | None = None

    @property
    def ends(self) -> datetime | None:
        """When its pot life is over, or it was gone before."""
        life = None if self.pot_life is None else later(self.place.at, self.pot_life)
        return min((one for one in (life, self.gone) if one is not None), default=None)

    @property
    def mass(self) -> float:
        """All that was poured [kg]."""
        return sum(self.parts.values())


class Decision(NamedTuple):
    """The owner's yes or no: by whom it was given, how, and up to which price."""

    place: Place
    yes: bool
    by: str
    how: str
    price_most: float | None


@dataclass(frozen=True, slots=True)
class Extra:
    """Extra work put to the owner. Only answers given after it was put so count."""

    name: str
    place: Place
    title: str
    reason: str
    price_low: float
    price: float
    price_high: float
    seconds: float
    days: float
    options: tuple[str, ...] = ()
    decisions: tuple[Decision, ...] = ()

    @property
    def status(self) -> Literal["proposed", "approved", "refused"]:
        """What the last answer was."""
        if not self.decisions:
            return "proposed"
        return "approved" if self.decisions[-1].yes else "refused"


class Later(NamedTuple):
    """Something that happened after the work was taken over: kind of its event."""

    place: Place
    kind: str


class Finish(NamedTuple):
    """The shop says that the work may be taken over; note: what is left out."""

    place: Place
    note: str


class Handover(NamedTuple):
    """The owner took the work over. since: what has been done or seen on the job after that."""

    place: Place
    by: str
    how: str
    remarks: str
    since: tuple[Later, ...] = ()


class TimePaid(NamedTuple):
    """Time worked [s]."""

    place: Place
    act: str
    seconds: float
    extra: str
    product: str


class Receipt(NamedTuple):
    """Money from the owner."""

    place: Place
    amount: float
    what: str


class Stock(NamedTuple):
    """One product's component of one batch number: what came, what was poured, what is left.

    Volumes in m3, masses in kg. poured_unweighed: poured, but of unknown density, so in no volume.
    A negative rest was poured from a tin that is in no event of this job.
    """

    product: str
    component: str
    lot: str
    expiry: str = ""
    packs: int = 0
    bought: float = 0.0
    price: float = 0.0
    poured: float = 0.0
    poured_mass: float = 0.0
    poured_unweighed: float = 0.0
    left: float = 0.0
    density: float | None = None
    counted: datetime | None = None


class Repair(NamedTuple):
    """What was done about a defect or a place rubbed through; defect: id of its event, or ""."""

    place: Place
    defect: str
    how: str


@dataclass(frozen=True, slots=True)
class Defect:
    """Something wrong that was seen, and its repairs. layers: how many lay there then."""

    place: Place
    defect: str
    product: str
    surface: float
    note: str
    layers: int
    repairs: tuple[Repair, ...] = ()

    @property
    def open(self) -> bool:
        """Seen, and not put right yet as far as anybody noted."""
        return not self.repairs


class Photo(NamedTuple):
    """A photograph: its files are the evidence of its place."""

    place: Place
    caption: str


class Remark(NamedTuple):
    """A note."""

    place: Place
    text: str


class Arrival(NamedTuple):
    """The vehicle came, and how it stood."""

    place: Place
    condition: str


class Description(NamedTuple):
    """The job file that counts."""

    place: Place
    file: str
    what: str


class Doubt(NamedTuple):
    """Something in the record that does not fit; the event is kept."""

    place: Place
    what: str


class Amendment(NamedTuple):
    """A correction: of which event, why; struck: it did not happen; counts: it is in force.

    fault: why it cannot be followed, in words.
    """

    place: Place
    target: str
    why: str
    struck: bool
    counts: bool
    fault: str = ""


@dataclass(frozen=True, slots=True)
class JobState:
    """All that the events of a job say, up to a moment.

    number: the highest place in the record that it knows. events: how many count. last,
    last_number: moment and number of the last of them. areas holds every area named; whole is what
    was said of the job without naming one. climate: last read of each area, "" for the shop. air:
    last read by "where gun flowing" or "where gun still".
    """

    job: str
    number: int = 0
    events: int = 0
    last: datetime | None = None
    last_number: int = 0
    plan: str = ""
    arrived: Arrival | None = None
    areas: Mapping[str, AreaState] = field(default_factory=dict)
    whole: AreaState = AreaState("")
    mixes: Mapping[str, Mix] = field(default_factory=dict)
    extras: Mapping[str, Extra] = field(default_factory=dict)
    time: tuple[TimePaid, ...] = ()
    money: tuple[Receipt, ...] = ()
    stock: tuple[Stock, ...] = ()
    climate: Mapping[str, ClimateReading] = field(default_factory=dict)
    air: Mapping[str, AirReading] = field(default_factory=dict)
    defects: tuple[Defect, ...] = ()
    repairs: tuple[Repair, ...] = ()
    photos: tuple[Photo, ...] = ()
    notes: tuple[Remark, ...] = ()
    misfits: tuple[Doubt, ...] = ()
    amendments: tuple[Amendment, ...] = ()
    described: Description | None = None
    fluid: tuple[FluidTest, ...] = ()
    strokes: tuple[StrokeTest, ...] = ()
    gauged: tuple[GaugedBoard, ...] = ()
    weighed: tuple[WeighedBoard, ...] = ()
    finished: Finish | None = None
    handovers: tuple[Handover, ...] = ()

    @property
    def taken_over(self) -> Handover | None:
        """How the owner took the work over last; None if nobody has yet."""
        return self.handovers[-1] if self.handovers else None

    @property
    def doubts(self) -> tuple[Doubt, ...]:
        """All that does not fit: events out of their order, corrections that lead nowhere."""
        lost = (Doubt(one.place, one.fault) for one in self.amendments if one.fault)
        return (*self.misfits, *lost)

    def area(self, key: str) -> AreaState:
        """An area by its key; one the record never named is as the whole job is."""
        return self.areas.get(key) or self.whole

    def patch(self, area: str, patch: str = "") -> PatchState:
        """A patch by its keys."""
        return self.area(area).patch(patch)

    def coats(self) -> tuple[LaidCoat, ...]:
        """Every coat that lies on the job, once each, in the order sprayed."""
        return _in_order(coat for patch in self._patches() for coat in patch.coats())

    def sprayed(self) -> tuple[LaidCoat, ...]:
        """Every coat ever sprayed, those stripped off again among them."""
        gone = [coat for patch in self._patches() for one in patch.gone for coat in one.coats]
        return _in_order((*gone, *self.coats()))

    def _patches(self) -> Iterator[PatchState]:
        for area in (*self.areas.values(), self.whole):
            yield from area.patches.values()

    def paid(self) -> float:
        """All the time worked [s]."""
        return sum(entry.seconds for entry in self.time)

    def received(self) -> float:
        """All the money received."""
        return sum(receipt.amount for receipt in self.money)


def _in_order(coats: Iterable[LaidCoat]) -> tuple[LaidCoat, ...]:
    found = {coat.event: coat for coat in coats}
    return tuple(sorted(found.values(), key=lambda coat: (coat.begun or coat.last, coat.event)))


def later(moment: datetime, seconds: float) -> datetime:
    """The moment so many seconds later, in the same time zone; the last there is, if beyond it."""
    try:
        return moment + timedelta(seconds=seconds)
    except OverflowError:
        return datetime.max.replace(tzinfo=moment.tzinfo)
