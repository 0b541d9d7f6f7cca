"""The events of a job: past tense, each true when it was written, never changed afterwards.

Numbers are SI: m, m2, m3, kg, s, K, Pa, shares of 1; money in the currency of the job. Moments are
aware datetimes. A mistake is put right by a Corrected event that names the one it replaces.
"""

from collections.abc import Mapping
from datetime import datetime
from functools import cache
from typing import Annotated, Literal, get_args
from uuid import uuid4

from pydantic import AwareDatetime, BaseModel, ConfigDict, Field, TypeAdapter, model_validator

Share = Annotated[float, Field(ge=0.0, le=1.0)]
NotNegative = Annotated[float, Field(ge=0.0)]
Positive = Annotated[float, Field(gt=0.0)]


class Fact(BaseModel):
    """Base of everything in an event: frozen, no unknown fields, no infinities."""

    model_config = ConfigDict(frozen=True, extra="forbid", allow_inf_nan=False)


class Arrived(Fact):
    """The vehicle came to the shop."""

    kind: Literal["arrived"] = "arrived"
    condition: str = Field(description="as it stood, in words")


class Described(Fact):
    """The job as it is to be planned from now on: its areas, grounds, products and shop."""

    kind: Literal["described"] = "described"
    file: str = Field(min_length=1, description="the whole job file, as text")
    what: str = Field(default="", description="what changed in it, in words")


class Stripped(Fact):
    """Old paint came off."""

    kind: Literal["stripped"] = "stripped"
    ground: str = Field(description="what is bare now: a ground of the job file")
    how: str = Field(default="", description="by what means")


class Found(Fact):
    """Something came to light."""

    kind: Literal["found"] = "found"
    what: str = Field(description="rust, old filler, a crack, in words")
    ground: str = Field(default="", description="the ground it turned out to be, if that changed")
    surface: NotNegative = Field(default=0.0, description="how much of it [m2]")


class Degreased(Fact):
    """Cleaned before paint."""

    kind: Literal["degreased"] = "degreased"
    product: str = Field(default="", description="with what")


class Mixed(Fact):
    """One mix was made."""

    kind: Literal["mixed"] = "mixed"
    mix: str = Field(description="name of this mix, unique in the job")
    product: str = Field(description="key of its product sheet")
    parts: Mapping[str, NotNegative] = Field(description="mass poured of each component [kg]")
    wanted: Mapping[str, NotNegative] = Field(
        default_factory=dict, description="mass the mix sheet asked for [kg]"
    )
    lots: Mapping[str, str] = Field(default_factory=dict, description="batch number of each tin")
    expiry: Mapping[str, str] = Field(default_factory=dict, description="use-by date of each tin")
    density: Positive | None = Field(default=None, description="of the mix, from its sheet [kg/m3]")
    pot_life: Positive | None = Field(default=None, description="at the day's temperature [s]")
    cup_seconds: Positive | None = Field(default=None, description="through the flow cup [s]")
    cup: str = Field(default="", description="which flow cup")
    temperature: Positive | None = Field(default=None, description="of the paint [K]")


class Planned(Fact):
    """What the plan said of one coat when it was begun, kept beside what came of it."""

    dry: Positive = Field(description="mean dry film of this coat [m]")
    dry_spread: NotNegative = Field(description="standard deviation over the area [m]")
    wet: Positive | None = Field(default=None, description="mean wet film of this coat [m]")
    run_limit: Positive | None = Field(default=None, description="wet film that would run [m]")
    least: NotNegative | None = Field(default=None, description="least dry film of the layer [m]")
    most: Positive | None = Field(default=None, description="most dry film of the layer [m]")
    surface: Positive = Field(description="surface it went on [m2]")
    patches: tuple[str, ...] = Field(
        default=(), description="patches of the area that it goes on, if not on all of it"
    )
    left_out: tuple[str, ...] = Field(
        default=(), description="patches of the area that it does not go on"
    )
    paint: Positive | None = Field(default=None, description="ready paint through the gun [m3]")
    capture: Share | None = Field(default=None, description="share of the paint that lands")
    solids: Share | None = Field(default=None, description="volume solids, ready to spray")
    density: Positive | None = Field(default=None, description="of the ready paint [kg/m3]")
    trigger: NotNegative | None = Field(default=None, description="with the trigger pulled [s]")
    pressure: Positive | None = Field(default=None, description="inlet, trigger pulled, gauge [Pa]")
    pressure_least: Positive | None = Field(default=None, description="least that will do [Pa]")
    air_temperature: Positive | None = Field(default=None, description="reckoned with [K]")
    flash: NotNegative | None = Field(default=None, description="flash-off after it [s]")
    recoat_from: NotNegative | None = Field(default=None, description="window opens after [s]")
    recoat_until: Positive | None = Field(default=None, description="window shuts after [s]")
    past_window: str = Field(default="", description="what is needed once it has shut")
    sand_from: NotNegative | None = Field(default=None, description="may be rubbed after [s]")
    cured: NotNegative | None = Field(default=None, description="hard right through after [s]")
    metal_least: Positive | None = Field(default=None, description="sheet's lowest temperature [K]")
    metal_most: Positive | None = Field(default=None, description="sheet's highest temperature [K]")
    humidity_most: Share | None = Field(default=None, description="sheet's highest humidity")
    family: str = Field(default="", description="kind of coating, as on its sheet")
    cup_least: Positive | None = Field(default=None, description="shortest cup time to spray [s]")
    cup_most: Positive | None = Field(default=None, description="longest cup time to spray [s]")
    coarsest: str = Field(default="", description="coarsest P-grade whose scratch it hides")
    lifting_from: NotNegative | None = Field(default=None, description="it lifts if recoated [s]")
    lifting_to: Positive | None = Field(default=None, description="until then [s]")


class CoatBegun(Fact):
    """First trigger of a coat on an area."""

    kind: Literal["coat begun"] = "coat begun"
    product: str = Field(description="key of its product sheet")
    coat: int = Field(ge=1, description="first, second ... coat of this layer")
    mix: str = Field(default="", description="name of the mix in the cup")
    gun: str = Field(default="", description="key of the gun")
    hand: str = Field(default="", description="key of the hand that sprays")
    distance: Positive | None = Field(default=None, description="gun to work [m]")
    planned: Planned | None = Field(default=None, description="what the plan said of it")


class CoatDone(Fact):
    """Last trigger of a coat."""

    kind: Literal["coat done"] = "coat done"
    product: str = Field(description="key of its product sheet")
    coat: int = Field(ge=1, description="first, second ... coat of this layer")
    trigger: NotNegative | None = Field(default=None, description="with the trigger pulled [s]")
    dry_spray: bool = Field(default=False, description="it felt dry or rough")
    note: str = Field(default="", description="anything noticed")


class CupWeighed(Fact):
    """The gun with its cup, before and after a coat."""

    kind: Literal["cup weighed"] = "cup weighed"
    product: str = Field(description="key of its product sheet")
    coat: int = Field(ge=1, description="which coat")
    before: Positive = Field(description="gun with full cup [kg]")
    after: Positive = Field(description="gun with what is left [kg]")
    scale: NotNegative = Field(default=0.001, description="what the scale shows to [kg]")


class FilmRead(Fact):
    """Readings of the film: of one wet coat by comb, or of all there is by gauge."""

    kind: Literal["film read"] = "film read"
    method: Literal["wet comb", "gauge"] = Field(description="by what")
    product: str = Field(default="", description="the layer read last laid")
    coat: int = Field(default=0, ge=0, description="the coat, for a comb")
    readings: tuple[NotNegative, ...] = Field(min_length=1, description="each one [m]")
    steps: tuple[NotNegative, ...] = Field(
        default=(), description="the next tooth of the comb above each reading, not wetted [m]"
    )
    zero: float = Field(default=0.0, description="the gauge on the bare prepared ground [m]")
    error: NotNegative = Field(default=1e-6, description="fixed error of the gauge [m]")
    error_share: Share = Field(default=0.03, description="error in proportion")


class ClimateRead(Fact):
    """Temperatures and humidity."""

    kind: Literal["climate read"] = "climate read"
    air: Positive | None = Field(default=None, description="temperature of the air [K]")
    metal: Positive | None = Field(default=None, description="temperature of the metal [K]")
    humidity: Share | None = Field(default=None, description="relative humidity of the air")
    air_speed: NotNegative | None = Field(default=None, description="over the work [m/s]")


class AirRead(Fact):
    """A pressure gauge of the air line."""

    kind: Literal["air read"] = "air read"
    where: Literal["gun", "wall", "receiver"] = Field(description="at the gun, wall or receiver")
    pressure: NotNegative = Field(description="gauge pressure [Pa]")
    trigger: bool = Field(description="with the trigger pulled")
    gun: str = Field(default="", description="key of the gun")
    water: bool = Field(default=False, description="water came out of the trap or the gun")


class FluidCaught(Fact):
    """Paint let through a gun into a measuring cup for a timed while, once or several times."""

    kind: Literal["fluid caught"] = "fluid caught"
    gun: str = Field(min_length=1, description="key of the gun")
    product: str = Field(default="", description="key of its product sheet")
    volumes: tuple[Positive, ...] = Field(min_length=1, description="caught each time [m3]")
    seconds: tuple[Positive, ...] = Field(min_length=1, description="how long each time [s]")
    mark: NotNegative = Field(default=5e-6, description="from one mark of the cup to the next [m3]")
    opening: Literal["as set", "full"] = Field(
        default="as set", description="fluid screw as it is set for the work, or full trigger"
    )
    air: bool = Field(default=True, description="with the air on, as it sprays; false: shut off")
    pressure: Positive | None = Field(default=None, description="inlet, trigger pulled, gauge [Pa]")
    expected: Positive | None = Field(default=None, description="what the plan foretold [m3/s]")

    @model_validator(mode="after")
    def _paired(self) -> "FluidCaught":
        if len(self.volumes) != len(self.seconds):
            raise ValueError("there must be one time for each volume")
        return self


class StrokesTimed(Fact):
    """Strokes of one coat, or of practice without paint, each timed from mark to mark."""

    kind: Literal["strokes timed"] = "strokes timed"
    hand: str = Field(min_length=1, description="key of the hand that sprays")
    seconds: tuple[Positive, ...] = Field(min_length=3, description="time of each stroke [s]")
    length: Positive = Field(description="from mark to mark [m]")
    dry: bool = Field(default=False, description="practised without paint")
    gun: str = Field(default="", description="key of the gun")
    product: str = Field(default="", description="key of its product sheet")
    timing: NotNegative = Field(default=0.10, description="standard deviation of a time [s]")
    expected: Positive | None = Field(default=None, description="speed the plan foretold [m/s]")


class BoardRead(Fact):
    """A practice board read by gauge on a grid, row by row; rows lie across the strokes."""

    kind: Literal["board read"] = "board read"
    hand: str = Field(min_length=1, description="key of the hand that sprayed it")
    readings: tuple[NotNegative, ...] = Field(min_length=9, description="row by row [m]")
    columns: int = Field(ge=3, description="readings in each row, along the strokes")
    spacing: Positive = Field(description="from row to row [m]")
    coats: int = Field(default=1, ge=1, description="coats on it, in the same strokes")
    gun: str = Field(default="", description="key of the gun")
    product: str = Field(default="", description="key of its product sheet")
    zero: float = Field(default=0.0, description="the gauge on the bare board [m]")
    error: NotNegative = Field(default=1e-6, description="fixed error of the gauge [m]")
    error_share: Share = Field(default=0.03, description="error in proportion")
    fan: Positive | None = Field(default=None, description="length of the fan on the board [m]")
    exponent: Positive | None = Field(default=None, description="of the fan's profile")
    pitch: Positive | None = Field(default=None, description="from stroke to stroke [m]")
    wanted: Positive | None = Field(default=None, description="dry film the plan foretold [m]")

    @model_validator(mode="after")
    def _grid(self) -> "BoardRead":
        rows, over = divmod(len(self.readings), self.columns)
        if over or rows < 3:
            raise ValueError("the readings must fill at least three whole rows")
        return self


class BoardWeighed(Fact):
    """A practice board weighed bare, and again with one coat on it dried through."""

    kind: Literal["board weighed"] = "board weighed"
    hand: str = Field(min_length=1, description="key of the hand that sprayed it")
    before: Positive = Field(description="bare and clean [kg]")
    after: Positive = Field(description="with its film, dry [kg]")
    surface: Positive = Field(description="coated side [m2]")
    strokes: int = Field(ge=1, description="strokes over it")
    gun: str = Field(default="", description="key of the gun")
    product: str = Field(default="", description="key of its product sheet")
    scale: NotNegative = Field(default=0.0001, description="what the scale shows to [kg]")
    density: Positive | None = Field(default=None, description="of the dry film [kg/m3]")
    wanted: Positive | None = Field(default=None, description="dry film the plan foretold [m]")


class RubbedDown(Fact):
    """Rubbed down with a grade."""

    kind: Literal["rubbed down"] = "rubbed down"
    grade: str = Field(description="P-grade", examples=["P400"])
    product: str = Field(default="", description="the layer rubbed; '' the ground")
    took: NotNegative | None = Field(default=None, description="film taken off [m]")
    wet: bool = Field(default=False, description="with water")
    guide_coat: bool = Field(default=False, description="with a guide coat")


class BrokeThrough(Fact):
    """Rubbed through to what lies below."""

    kind: Literal["broke through"] = "broke through"
    ground: str = Field(
        default="",
        description="what shows: 'metal', the key of a layer's product, or '' old paint below ours",
    )
    surface: NotNegative = Field(default=0.0, description="how much of it [m2]")


class DefectSeen(Fact):
    """Something is wrong with the finish."""

    kind: Literal["defect seen"] = "defect seen"
    defect: str = Field(description="key of data/defects, or words")
    product: str = Field(default="", description="in which layer")
    surface: NotNegative = Field(default=0.0, description="how much of it [m2]")
    note: str = Field(default="", description="what it looks like")


class Repaired(Fact):
    """A defect, or a place that was rubbed through, was put right."""

    kind: Literal["repaired"] = "repaired"
    defect: str = Field(default="", description="id of the event that reported it")
    how: str = Field(description="what was done")


class Photographed(Fact):
    """A photograph; the picture itself is the event's evidence."""

    kind: Literal["photographed"] = "photographed"
    caption: str = Field(default="", description="what it shows")


class ExtraProposed(Fact):
    """Work found after the estimate, put to the owner."""

    kind: Literal["extra proposed"] = "extra proposed"
    extra: str = Field(description="name of this extra work, unique in the job")
    title: str = Field(description="what is to be done")
    reason: str = Field(description="what was found and what happens if it is left")
    price_low: NotNegative = Field(description="least it should cost, with tax")
    price: NotNegative = Field(description="what it is expected to cost, with tax")
    price_high: NotNegative = Field(description="most it should cost, with tax")
    hours: NotNegative = Field(default=0.0, description="time [s]")
    days: NotNegative = Field(default=0.0, description="later the job is ready [days]")
    options: tuple[str, ...] = Field(default=(), description="stop, patch, do it fully")


class Approved(Fact):
    """The owner said yes."""

    kind: Literal["approved"] = "approved"
    extra: str = Field(description="name of the extra work")
    by: str = Field(min_length=1, description="who said so, by name")
    how: str = Field(default="", description="in person, by telephone, through the page")
    price_most: NotNegative | None = Field(default=None, description="up to this, with tax")


class Refused(Fact):
    """The owner said no."""

    kind: Literal["refused"] = "refused"
    extra: str = Field(description="name of the extra work")
    by: str = Field(min_length=1, description="who said so, by name")
    how: str = Field(default="", description="in person, by telephone, through the page")


class Finished(Fact):
    """The shop says that the work is finished and may be taken over."""

    kind: Literal["finished"] = "finished"
    note: str = Field(default="", description="what is left out or still to be done, in words")


class TakenOver(Fact):
    """The owner takes the work over as it stands, with or without something left to do."""

    kind: Literal["taken over"] = "taken over"
    by: str = Field(min_length=1, description="who takes it over, by name")
    how: str = Field(default="", description="in the shop, through the page, on paper")
    remarks: str = Field(
        default="", description="what is left to do, or not as agreed, in the owner's words"
    )


class PaidTime(Fact):
    """Time worked that somebody pays for."""

    kind: Literal["paid time"] = "paid time"
    act: str = Field(description="what was done: a name of data/work.toml, or words")
    seconds: Positive = Field(description="how long [s]")
    extra: str = Field(default="", description="name of the extra work it belongs to, if any")
    product: str = Field(default="", description="for which layer")


class Received(Fact):
    """Money from the owner."""

    kind: Literal["received"] = "received"
    amount: Positive = Field(description="how much")
    what: str = Field(default="", description="deposit, a stage, the rest")


class Bought(Fact):
    """A pack came on the shelf."""

    kind: Literal["bought"] = "bought"
    product: str = Field(description="key of its product sheet")
    component: str = Field(description="which part of it: base, hardener, thinner ...")
    volume: Positive = Field(description="in the pack [m3]")
    packs: int = Field(default=1, ge=1, description="how many such packs")
    price: NotNegative = Field(default=0.0, description="of all of them")
    lot: str = Field(default="", description="batch number on the tin")
    expiry: str = Field(default="", description="use-by date, year-month-day")
    density: Positive | None = Field(default=None, description="from its sheet [kg/m3]")


class Counted(Fact):
    """What is left in a tin was measured, or it was thrown away (0)."""

    kind: Literal["counted"] = "counted"
    product: str = Field(description="key of its product sheet")
    component: str = Field(description="which part of it")
    lot: str = Field(default="", description="batch number on the tin")
    volume: NotNegative = Field(description="what is there [m3]")


class Note(Fact):
    """Anything else worth keeping."""

    kind: Literal["note"] = "note"
    text: str = Field(min_length=1, description="in words")


class WorkBegun(Fact):
    """Somebody began a piece of work that is no coat."""

    kind: Literal["work begun"] = "work begun"
    act: str = Field(min_length=1, description="a name of data/work.toml, or of the day's work")
    product: str = Field(default="", description="key of the product it is done for")


class WorkDone(Fact):
    """A piece of work is done that leaves no trace of its own: masking, a test, cleaning a gun."""

    kind: Literal["work done"] = "work done"
    act: str = Field(min_length=1, description="a name of data/work.toml, or of the day's work")
    product: str = Field(default="", description="key of the product it was done for")


class MixGone(Fact):
    """A mix is of no use from now on: it has gone off, was spilt or poured away."""

    kind: Literal["mix gone"] = "mix gone"
    mix: str = Field(min_length=1, description="name of the mix")
    why: str = Field(default="", description="what became of it, in words")


class Away(Fact):
    """Somebody leaves for a while, or the shop closes before its hour."""

    kind: Literal["away"] = "away"
    person: str = Field(default="", description="key of the hand or helper; '' everybody")
    since: AwareDatetime | None = Field(default=None, description="from when; none: from then on")
    until: AwareDatetime | None = Field(default=None, description="back at; none: the next day")


class Sentence(Fact):
    """A sentence with what it is made of, so that it can be told in another language later."""

    say: str = Field(description="its template in English, places in braces")
    places: Mapping[str, "Sentence | int | float | str"] = Field(
        default_factory=dict,
        description="what stands in each place: a sentence, a number, or somebody's own words",
    )


class DaysArranged(Fact):
    """The days of work as arranged, or the rest of them anew: the timetable is its evidence."""

    kind: Literal["days arranged"] = "days arranged"
    since: NotNegative = Field(
        default=0.0, description="anew from here, after the midnight before the first day [s]"
    )
    date: str = Field(default="", description="year-month-day of a day of the plan")
    day: int = Field(default=0, ge=0, description="which day of the plan that date is; 0: not said")
    changes: tuple[str, ...] = Field(default=(), description="what changed, in sentences")
    told: tuple[Sentence, ...] = Field(
        default=(), description="the same, each with what it is made of; none in old records"
    )


class Corrected(Fact):
    """An earlier event was wrong; body is what should have stood there, none: it did not happen."""

    kind: Literal["corrected"] = "corrected"
    event: str = Field(description="id of the event that was wrong")
    why: str = Field(min_length=1, description="the reason, in words")
    body: "Happened | None" = Field(default=None, description="what really happened")
    at: AwareDatetime | None = Field(default=None, description="when it really happened")
    area: str | None = Field(default=None, description="where it really happened")
    patch: str | None = Field(default=None, description="where it really happened")


Happened = Annotated[
    Arrived
    | Described
    | Stripped
    | Found
    | Degreased
    | Mixed
    | CoatBegun
    | CoatDone
    | CupWeighed
    | FilmRead
    | ClimateRead
    | AirRead
    | FluidCaught
    | StrokesTimed
    | BoardRead
    | BoardWeighed
    | RubbedDown
    | BrokeThrough
    | DefectSeen
    | Repaired
    | Photographed
    | ExtraProposed
    | Approved
    | Refused
    | Finished
    | TakenOver
    | PaidTime
    | Received
    | Bought
    | Counted
    | WorkBegun
    | WorkDone
    | MixGone
    | Away
    | DaysArranged
    | Note,
    Field(discriminator="kind"),
]
Corrected.model_rebuild()
Body = Annotated[Happened | Corrected, Field(discriminator="kind")]


class Event(Fact):
    """One thing that happened: what, when, who, where, on what evidence, under which plan.

    id is made by whoever writes it, so that sending it twice records it once. number is its place
    in the job's record, given by the store (0: not stored yet).
    """

    id: str = Field(min_length=8, max_length=64, description="unique; sent twice counts once")
    job: str = Field(min_length=1, description="key of the job")
    at: AwareDatetime = Field(description="when it happened")
    who: str = Field(min_length=1, description="who did it or saw it")
    body: Body = Field(description="what happened")
    area: str = Field(default="", description="key of the area; '' the whole job")
    patch: str = Field(default="", description="key of the patch; '' the whole area")
    evidence: tuple[str, ...] = Field(default=(), description="SHA-256 of each attached file")
    plan: str = Field(default="", description="version of the plan it was done under")
    noted: AwareDatetime | None = Field(default=None, description="when the store took it")
    number: int = Field(default=0, ge=0, description="place in the job's record")


def new_id() -> str:
    """A fresh identity for an event."""
    return uuid4().hex


def kinds() -> tuple[str, ...]:
    """What can happen, by the kind of its event."""
    happened = get_args(get_args(Happened)[0])
    return tuple(one.model_fields["kind"].default for one in (*happened, Corrected))


@cache
def body_reader() -> TypeAdapter[Happened | Corrected]:
    """Reads a body from JSON or a mapping."""
    return TypeAdapter(Body)


def said(
    job: str, who: str, at: datetime, body: "Happened | Corrected", area: str = "", patch: str = ""
) -> Event:
    """An event with a fresh identity, of a body and its envelope."""
    return Event(id=new_id(), job=job, who=who, at=at, body=body, area=area, patch=patch)
