"""From the events of a job to its state: a pure function, whatever order they came in.

Events count in order of the moment they happened, then of their number, after every correction is
followed. Nothing is refused here: what does not fit is kept and told as a doubt.
"""

from collections.abc import Callable, Iterable
from dataclasses import dataclass, field, replace
from datetime import datetime, timedelta
from typing import Any

from coatwright.record.corrections import Happening, Standing, in_order, place_of, standing
from coatwright.record.events import (
    AirRead,
    Approved,
    Arrived,
    BoardRead,
    BoardWeighed,
    Bought,
    BrokeThrough,
    ClimateRead,
    CoatBegun,
    CoatDone,
    Counted,
    CupWeighed,
    DefectSeen,
    Degreased,
    Described,
    ExtraProposed,
    FilmRead,
    Finished,
    FluidCaught,
    Found,
    Mixed,
    MixGone,
    Note,
    PaidTime,
    Photographed,
    Received,
    Refused,
    Repaired,
    RubbedDown,
    Stripped,
    StrokesTimed,
    TakenOver,
)
from coatwright.record.patches import Coat, Surfaces, begun, thawed
from coatwright.record.state import (
    AirReading,
    Amendment,
    Arrival,
    Cleaning,
    ClimateReading,
    Decision,
    Defect,
    Description,
    Doubt,
    Extra,
    FilmReading,
    Finding,
    Finish,
    FluidTest,
    GaugedBoard,
    Handover,
    JobState,
    Later,
    Mix,
    Photo,
    Place,
    Receipt,
    Remark,
    Repair,
    Stock,
    StrokeTest,
    TimePaid,
    WeighedBoard,
    Weighing,
)
from coatwright.sentences import say

BEFORE = timedelta(hours=2)
"""How old a reading of climate or pressure may be to be told with a coat that begins."""

ASIDE = frozenset((
    "described", "days arranged", "away", "finished", "taken over", "paid time", "received",
    "bought", "counted", "mixed", "mix gone", "climate read", "air read", "fluid caught",
    "strokes timed", "board read", "board weighed", "note", "photographed",
))  # fmt: skip
"""What says nothing was done to a vehicle that was taken over, nor found on it."""


def fold(job: str, events: Iterable[Happening], until: datetime | None = None) -> JobState:
    """State of a job after its events, or after those that had happened by a moment.

    The events may come in any order. A correction counts whenever it was made: a past moment is
    shown as it was, not as it was believed to be.
    """
    given = list(events)
    number = max((event.number for event in given), default=0)
    return resume(JobState(job, number), standing(given), until)


def resume(state: JobState, stood: Standing, until: datetime | None = None) -> JobState:
    """The state after those events that come later than its last; the rest it knows already.

    stood must hold every correction of the job, and every event later than the state's last.
    """
    news = [event for event in stood.events if is_news(event, state, until)]
    if not news and state.whole.patches:
        return replace(state, amendments=stood.amendments)
    work = Work.of(state)
    for event in news:
        work.take(event)
    return work.freeze(state, stood.amendments)


def is_news(event: Happening, state: JobState, until: datetime | None = None) -> bool:
    """Whether an event happened after the last that a state knows, and not after a moment."""
    if until is not None and event.at > until:
        return False
    return state.last is None or in_order(event) > (state.last, state.last_number)


@dataclass(slots=True, eq=False)
class Work:
    """A state that is still changing. watched: coats that lie open, by their first event."""

    surfaces: Surfaces
    events: int
    last: datetime | None
    last_number: int
    plan: str
    arrived: Arrival | None
    mixes: dict[str, Mix]
    extras: dict[str, Extra]
    time: list[TimePaid]
    money: list[Receipt]
    stock: dict[tuple[str, str, str], Stock]
    climate: dict[str, ClimateReading]
    air: dict[str, AirReading]
    defects: dict[str, Defect]
    repairs: list[Repair]
    photos: list[Photo]
    notes: list[Remark]
    misfits: list[Doubt]
    described: Description | None
    fluid: list[FluidTest]
    strokes: list[StrokeTest]
    gauged: list[GaugedBoard]
    weighed: list[WeighedBoard]
    finished: Finish | None
    handovers: list[Handover]
    watched: dict[str, Coat] = field(default_factory=dict)

    @classmethod
    def of(cls, state: JobState) -> "Work":
        """The state made ready to change."""
        areas = {"": state.whole, **state.areas}
        surfaces = thawed(areas) if state.whole.patches else Surfaces()
        return cls(
            surfaces,
            state.events,
            state.last,
            state.last_number,
            state.plan,
            state.arrived,
            dict(state.mixes),
            dict(state.extras),
            list(state.time),
            list(state.money),
            {(one.product, one.component, one.lot): one for one in state.stock},
            dict(state.climate),
            dict(state.air),
            {defect.place.event: defect for defect in state.defects},
            list(state.repairs),
            list(state.photos),
            list(state.notes),
            list(state.misfits),
            state.described,
            list(state.fluid),
            list(state.strokes),
            list(state.gauged),
            list(state.weighed),
            state.finished,
            list(state.handovers),
            {coat.made.event: coat for coat in surfaces.tops()},
        )

    def freeze(self, before: JobState, amendments: tuple[Amendment, ...]) -> JobState:
        """As plain data."""
        areas = self.surfaces.freeze()
        return JobState(
            before.job,
            before.number,
            self.events,
            self.last,
            self.last_number,
            self.plan,
            self.arrived,
            {area: state for area, state in areas.items() if area},
            areas[""],
            self.mixes,
            self.extras,
            tuple(self.time),
            tuple(self.money),
            tuple(self.stock.values()),
            self.climate,
            self.air,
            tuple(self.defects.values()),
            tuple(self.repairs),
            tuple(self.photos),
            tuple(self.notes),
            tuple(self.misfits),
            amendments,
            self.described,
            tuple(self.fluid),
            tuple(self.strokes),
            tuple(self.gauged),
            tuple(self.weighed),
            self.finished,
            tuple(self.handovers),
        )

    def take(self, event: Happening) -> None:
        """One more event has happened."""
        self.events += 1
        self.last, self.last_number = event.at, event.number
        self.plan = event.plan or self.plan
        place = place_of(event)
        if place.patch and not place.area:
            self.doubt(place, say("patch {patch} is named without its area", patch=place.patch))
        if self.handovers and event.body.kind not in ASIDE:
            taken = self.handovers[-1]
            since = (*taken.since, Later(place, event.body.kind))
            self.handovers[-1] = taken._replace(since=since)
        _TAKERS[event.body.kind](self, place, event.body)

    def doubt(self, place: Place, what: str) -> None:
        """Keep something that does not fit; "" is nothing."""
        if what:
            self.misfits.append(Doubt(place, what))


def _arrive(work: Work, place: Place, said: Arrived) -> None:
    work.arrived = Arrival(place, said.condition)


def _describe(work: Work, place: Place, said: Described) -> None:
    work.described = Description(place, said.file, said.what)


def _strip(work: Work, place: Place, said: Stripped) -> None:
    for patch in work.surfaces.at(place):
        top = patch.top
        patch.strip(place, said)
        _unwatch(work, top)


def _find(work: Work, place: Place, said: Found) -> None:
    for patch in work.surfaces.at(place):
        patch.found.append(Finding(place, said.what, said.ground, said.surface))
        patch.ground = said.ground or patch.ground


def _degrease(work: Work, place: Place, said: Degreased) -> None:
    for patch in work.surfaces.at(place):
        patch.cleaned = Cleaning(place, said.product)


def _begin_coat(work: Work, place: Place, said: CoatBegun) -> None:
    again = work.surfaces.coats_at(place, said.product, said.coat)
    if any(coat.made.done is None for coat in again):
        work.doubt(
            place,
            say("coat {coat} of {product} was begun already", coat=said.coat, product=said.product),
        )
        return
    if said.mix and said.mix not in work.mixes:
        work.doubt(place, say("mix {mix} was never mixed", mix=said.mix))
    coat = begun(place, work.plan, said)
    climate, air = _climate_before(work, place), _air_before(work, place, said.gun)
    coat.made = coat.made._replace(climate=climate, air=air)
    _lay(work, place, coat)


def _lay(work: Work, place: Place, coat: Coat) -> None:
    told: dict[str, None] = {}
    for patch in work.surfaces.under(place, coat.made.planned):
        top = patch.top
        told[patch.lay(coat)] = None
        _unwatch(work, top)
    for doubt in told:
        work.doubt(place, doubt)
    work.watched[coat.made.event] = coat


def _unwatch(work: Work, coat: Coat | None) -> None:
    if coat is not None and coat.tops == 0:
        work.watched.pop(coat.made.event, None)


def _climate_before(work: Work, place: Place) -> ClimateReading | None:
    found = [work.climate[area] for area in dict.fromkeys((place.area, "")) if area in work.climate]
    fresh = [one for one in found if place.at - one.place.at <= BEFORE]
    return max(fresh, key=lambda one: one.place.at, default=None)


def _air_before(work: Work, place: Place, gun: str) -> AirReading | None:
    found = work.air.get(air_key("gun", gun, True)) or work.air.get(air_key("gun", "", True))
    return found if found is not None and place.at - found.place.at <= BEFORE else None


def _end_coat(work: Work, place: Place, said: CoatDone) -> None:
    coats = work.surfaces.coats_at(place, said.product, said.coat)
    open_yet = [coat for coat in coats if coat.made.done is None]
    for coat in open_yet:
        coat.finish(place, said)
    if open_yet:
        return
    if coats:
        work.doubt(
            place,
            say("coat {coat} of {product} was done already", coat=said.coat, product=said.product),
        )
        return
    work.doubt(
        place,
        say(
            "coat {coat} of {product} was done but never begun",
            coat=said.coat,
            product=said.product,
        ),
    )
    begin = CoatBegun(product=said.product, coat=said.coat)
    coat = begun(place, work.plan, begin)
    coat.made = coat.made._replace(begun=None, evidence=())
    coat.finish(place, said)
    _lay(work, place, coat)


def _weigh_cup(work: Work, place: Place, said: CupWeighed) -> None:
    coats = work.surfaces.coats_at(place, said.product, said.coat)
    for coat in coats:
        coat.weigh(Weighing(place, said.before, said.after, said.scale))
    if not coats:
        work.doubt(
            place,
            say(
                "a cup was weighed for coat {coat} of {product}: none such",
                coat=said.coat,
                product=said.product,
            ),
        )
    if said.after > said.before:
        work.doubt(place, say("the cup weighed more after the coat than before"))


def _read_film(work: Work, place: Place, said: FilmRead) -> None:
    if said.method == "gauge":
        for patch in work.surfaces.at(place):
            patch.gauge.append(_film_reading(place, said, len(patch.layers), patch.depth))
        return
    coats = work.surfaces.coats_at(place, said.product, said.coat)
    for coat in coats:
        coat.comb(_film_reading(place, said, 0, 0))
    if not coats:
        work.doubt(place, say("a comb was read where no such coat lies"))


def _film_reading(place: Place, said: FilmRead, layers: int, coats: int) -> FilmReading:
    return FilmReading(
        place,
        said.method,
        said.product,
        said.coat,
        said.readings,
        said.steps,
        said.zero,
        said.error,
        said.error_share,
        layers,
        coats,
    )


def _read_climate(work: Work, place: Place, said: ClimateRead) -> None:
    reading = ClimateReading(place, said.air, said.metal, said.humidity, said.air_speed)
    work.climate[place.area] = reading
    concerned = [
        coat
        for coat in work.watched.values()
        if not place.area or coat.made.area in ("", place.area)
    ]
    for coat in concerned:
        if not coat.breathe(reading):
            del work.watched[coat.made.event]


def _read_air(work: Work, place: Place, said: AirRead) -> None:
    reading = AirReading(place, said.where, said.pressure, said.trigger, said.gun, said.water)
    work.air[air_key(said.where, said.gun, said.trigger)] = reading
    if said.where == "gun" and said.trigger:
        for coat in work.watched.values():
            if said.gun in ("", coat.made.gun) and place.area in ("", coat.made.area):
                coat.press(reading)


def air_key(where: str, gun: str, flowing: bool) -> str:
    """Under which name JobState.air keeps the last such reading."""
    return " ".join(part for part in (where, gun, "flowing" if flowing else "still") if part)


def _catch_fluid(work: Work, place: Place, said: FluidCaught) -> None:
    work.fluid.append(FluidTest(place, said))


def _time_strokes(work: Work, place: Place, said: StrokesTimed) -> None:
    work.strokes.append(StrokeTest(place, said))


def _read_board(work: Work, place: Place, said: BoardRead) -> None:
    work.gauged.append(GaugedBoard(place, said))


def _weigh_board(work: Work, place: Place, said: BoardWeighed) -> None:
    work.weighed.append(WeighedBoard(place, said))
    if said.after <= said.before:
        work.doubt(place, say("a board with paint on it weighed no more than bare"))


def _rub(work: Work, place: Place, said: RubbedDown) -> None:
    for told in dict.fromkeys([patch.rub(place, said) for patch in work.surfaces.at(place)]):
        work.doubt(place, told)


def _break_through(work: Work, place: Place, said: BrokeThrough) -> None:
    patches = work.surfaces.at(place)
    for told in dict.fromkeys([patch.break_through(place, said) for patch in patches]):
        work.doubt(place, told)


def _mix(work: Work, place: Place, said: Mixed) -> None:
    name = said.mix
    if name in work.mixes:
        work.doubt(
            place,
            say("a mix {name} was made before; this one is kept under another name", name=name),
        )
        name = f"{said.mix} ({place.event[:8]})"
    work.mixes[name] = Mix(
        name,
        place,
        said.product,
        said.parts,
        said.wanted,
        said.lots,
        said.expiry,
        said.density,
        said.pot_life,
        said.cup_seconds,
        said.cup,
        said.temperature,
    )
    for component, mass in said.parts.items():
        _pour(work, said, component, mass)


def _lose_mix(work: Work, place: Place, said: MixGone) -> None:
    mix = work.mixes.get(said.mix)
    if mix is None:
        work.doubt(place, say("mix {mix} is gone and was never mixed", mix=said.mix))
        return
    work.mixes[said.mix] = mix._replace(gone=min(mix.gone or place.at, place.at))


def _pour(work: Work, said: Mixed, component: str, mass: float) -> None:
    line = _stock(work, said.product, component, said.lots.get(component, ""))
    line = line._replace(
        expiry=line.expiry or said.expiry.get(component, ""),
        poured_mass=line.poured_mass + mass,
    )
    if line.density is None:
        line = line._replace(poured_unweighed=line.poured_unweighed + mass)
    else:
        volume = mass / line.density
        line = line._replace(poured=line.poured + volume, left=line.left - volume)
    _shelve(work, line)


def _buy(work: Work, _: Place, said: Bought) -> None:
    line = _stock(work, said.product, said.component, said.lot)
    density = line.density or said.density
    owed = line.poured_unweighed / density if density else 0.0
    volume = said.volume * said.packs
    _shelve(
        work,
        line._replace(
            expiry=said.expiry or line.expiry,
            packs=line.packs + said.packs,
            bought=line.bought + volume,
            price=line.price + said.price,
            density=density,
            poured=line.poured + owed,
            poured_unweighed=0.0 if density else line.poured_unweighed,
            left=line.left + volume - owed,
        ),
    )


def _count(work: Work, place: Place, said: Counted) -> None:
    line = _stock(work, said.product, said.component, said.lot)
    _shelve(work, line._replace(left=said.volume, counted=place.at))


def _stock(work: Work, product: str, component: str, lot: str) -> Stock:
    return work.stock.get((product, component, lot)) or Stock(product, component, lot)


def _shelve(work: Work, line: Stock) -> None:
    work.stock[line.product, line.component, line.lot] = line


def _see_defect(work: Work, place: Place, said: DefectSeen) -> None:
    layers = max(len(patch.layers) for patch in work.surfaces.at(place))
    work.defects[place.event] = Defect(
        place, said.defect, said.product, said.surface, said.note, layers
    )


def _repair(work: Work, place: Place, said: Repaired) -> None:
    repair = Repair(place, said.defect, said.how)
    defect = work.defects.get(said.defect)
    if defect is not None:
        work.defects[said.defect] = replace(defect, repairs=(*defect.repairs, repair))
        return
    work.repairs.append(repair)
    if said.defect and not work.surfaces.mend(said.defect, place.at):
        work.doubt(place, say("a repair of a defect that nobody had reported"))


def _photograph(work: Work, place: Place, said: Photographed) -> None:
    work.photos.append(Photo(place, said.caption))
    if not place.evidence:
        work.doubt(place, say("a photograph without a picture"))


def _propose(work: Work, place: Place, said: ExtraProposed) -> None:
    if said.extra in work.extras:
        work.doubt(
            place, say("extra work {extra} was put again; it needs a new answer", extra=said.extra)
        )
    work.extras[said.extra] = Extra(
        said.extra,
        place,
        said.title,
        said.reason,
        said.price_low,
        said.price,
        said.price_high,
        said.hours,
        said.days,
        said.options,
    )


def _approve(work: Work, place: Place, said: Approved) -> None:
    _decide(work, said.extra, Decision(place, True, said.by, said.how, said.price_most))


def _refuse(work: Work, place: Place, said: Refused) -> None:
    _decide(work, said.extra, Decision(place, False, said.by, said.how, None))


def _decide(work: Work, name: str, decision: Decision) -> None:
    extra = work.extras.get(name)
    if extra is None:
        work.doubt(
            decision.place, say("an answer to extra work {name}, which was not put yet", name=name)
        )
        return
    work.extras[name] = replace(extra, decisions=(*extra.decisions, decision))


def _finish(work: Work, place: Place, said: Finished) -> None:
    work.finished = Finish(place, said.note)


def _take_over(work: Work, place: Place, said: TakenOver) -> None:
    before = work.handovers[-1] if work.handovers else None
    if before is not None and not before.since:
        work.doubt(
            place,
            say(
                "taken over by {by}: {before} had taken it over as it stands",
                by=said.by,
                before=before.by,
            ),
        )
        return
    work.handovers.append(Handover(place, said.by, said.how, said.remarks))


def _pay_time(work: Work, place: Place, said: PaidTime) -> None:
    work.time.append(TimePaid(place, said.act, said.seconds, said.extra, said.product))


def _receive(work: Work, place: Place, said: Received) -> None:
    work.money.append(Receipt(place, said.amount, said.what))


def _note(work: Work, place: Place, said: Note) -> None:
    work.notes.append(Remark(place, said.text))


def _pass(_: Work, __: Place, ___: Any) -> None:
    """Begun or done: the day's plan is told by the events themselves, the car is as it was."""


_TAKERS: dict[str, Callable[[Work, Place, Any], None]] = {
    "arrived": _arrive,
    "described": _describe,
    "stripped": _strip,
    "found": _find,
    "degreased": _degrease,
    "mixed": _mix,
    "coat begun": _begin_coat,
    "coat done": _end_coat,
    "cup weighed": _weigh_cup,
    "film read": _read_film,
    "climate read": _read_climate,
    "air read": _read_air,
    "fluid caught": _catch_fluid,
    "strokes timed": _time_strokes,
    "board read": _read_board,
    "board weighed": _weigh_board,
    "rubbed down": _rub,
    "broke through": _break_through,
    "defect seen": _see_defect,
    "repaired": _repair,
    "photographed": _photograph,
    "extra proposed": _propose,
    "approved": _approve,
    "refused": _refuse,
    "finished": _finish,
    "taken over": _take_over,
    "paid time": _pay_time,
    "received": _receive,
    "bought": _buy,
    "counted": _count,
    "work begun": _pass,
    "work done": _pass,
    "mix gone": _lose_mix,
    "away": _pass,
    "days arranged": _pass,
    "note": _note,
}
