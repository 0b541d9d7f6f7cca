"""The shop's kit: guns, the compressed-air line, scale and cups, and what things cost."""

import math
from typing import Literal

from pydantic import Field, model_validator

from coatwright import units
from coatwright.model import money
from coatwright.model.conditions.hours import Helper, Hours
from coatwright.model.money import HourlyRate, Money, Rate
from coatwright.model.quantity import (
    AirFlow,
    Flow,
    Fraction,
    Key,
    Length,
    Mass,
    Part,
    Power,
    Pressure,
    RoomVolume,
    SomeFraction,
    Speed,
    Temperature,
    Time,
    Volume,
    VolumeOrZero,
    all_different,
    ordered,
    refused,
)
from coatwright.sentences import say


class Footprint(Part):
    """The fan on a plane at the reference distance: a double-beta profile on an ellipse."""

    distance: Length = Field(
        default=0.15,
        description="reference distance, at which the other measures were taken",
        examples=["15 cm"],
    )
    length: Length = Field(description="full fan length, fan wide open", examples=["25 cm"])
    width: Length = Field(description="full fan width, fan wide open", examples=["50 mm"])
    spot: Length = Field(description="diameter with the fan closed", examples=["40 mm"])
    across: float = Field(
        default=2.5, ge=1.0, le=8.0, description="exponent along the fan's length"
    )
    along: float = Field(default=2.5, ge=1.0, le=8.0, description="exponent across the fan")

    @model_validator(mode="after")
    def _ordered(self) -> "Footprint":
        ordered(self, "width", "length")
        ordered(self, "spot", "length")
        return self


class Gun(Part):
    """One spray gun with one nozzle fitted, as tested in this shop or as its maker states."""

    key: Key = Field(description="name by which this file refers to it", examples=["colour-gun"])
    title: str = Field(description="what it is called", examples=["Colour gun, 1.3 mm"])
    nozzle: Length = Field(description="bore of the fluid nozzle fitted", examples=["1.3 mm"])
    kind: Literal["hvlp", "high-transfer", "low-volume", "conventional", "spot"] = Field(
        description="class of gun; conventional = atomising air above 0.7 bar"
    )
    cup: Volume = Field(description="volume of its cup", examples=["600 mL"])
    footprint: Footprint = Field(description="the fan it throws, from a test card or its maker")
    fluid: Flow = Field(description="full-trigger delivery in the fluid test")
    fluid_pressure: Pressure = Field(description="inlet pressure of that test, trigger pulled")
    fluid_viscosity_seconds: Time = Field(
        default=18.0, description="DIN 4 seconds of the test liquid"
    )
    air: AirFlow = Field(description="free air used at fluid_pressure", examples=["350 L/min"])
    pressure_min: Pressure = Field(
        description="lowest inlet pressure at which it still atomises, trigger pulled",
        examples=["1.2 bar"],
    )
    pressure_max: Pressure = Field(
        description="highest inlet pressure, trigger pulled", examples=["2.2 bar"]
    )
    distance_min: Length = Field(description="nearest it works from", examples=["12 cm"])
    distance_max: Length = Field(description="farthest it works from", examples=["20 cm"])
    transfer: Fraction = Field(description="share of what reaches the surface that stays there")
    transfer_spread: Fraction = Field(
        default=0.08, description="one standard deviation of transfer"
    )
    head: Length = Field(
        default=0.20, description="width of a hole the gun head can work inside", examples=["20 cm"]
    )
    residue: VolumeOrZero = Field(
        default=30e-6, description="paint lost in cup and gun at each fill", examples=["35 mL"]
    )

    @model_validator(mode="after")
    def _ordered(self) -> "Gun":
        ordered(self, "pressure_min", "pressure_max")
        ordered(self, "distance_min", "distance_max")
        return self


def _litres_a_minute(litres: float) -> float:
    """A flow of air as it would be read from a file [m3/s]."""
    return units.parse(f"{litres:g} L/min", "flow")


def _passes(part: Part, field: str) -> None:
    """Refuse a part of the line that lets no air through."""
    if getattr(part, field) <= 0.0:
        raise refused(
            say("no air passes"),
            say("write its nominal flow, 6 bar before and 5 bar after it"),
            field,
        )


class Compressor(Part):
    """The pump and its receiver."""

    delivery: AirFlow = Field(
        description="free air it delivers at working pressure", examples=["240 L/min"]
    )
    receiver: Volume = Field(description="volume of the receiver", examples=["150 L"])
    cut_in: Pressure = Field(description="pressure at which it starts", examples=["6 bar"])
    cut_out: Pressure = Field(description="pressure at which it stops", examples=["8 bar"])
    delivery_at: Pressure | None = Field(
        default=None,
        description="receiver pressure at which delivery was measured; left out = between "
        "cut_in and cut_out",
        examples=["7 bar"],
    )
    duty: SomeFraction = Field(
        default=0.6,
        description="share of any ten minutes that it may run, from its plate (S3)",
        examples=["60 %"],
    )
    clearance: Fraction = Field(
        default=0.05,
        description="dead volume of its cylinder: delivery grows as pressure falls",
        examples=["5 %"],
    )
    others: AirFlow = Field(
        default=0.0,
        description="free air that others take from the receiver while someone sprays: an "
        "air-fed mask, a leak",
        examples=["170 L/min"],
    )

    @model_validator(mode="after")
    def _ordered(self) -> "Compressor":
        ordered(self, "cut_in", "cut_out")
        if self.receiver < 1e-3:
            raise refused(
                say("{volume:g} mL is no receiver", volume=self.receiver * 1e6),
                say('write its volume, at least 1 L, e.g. "50 L"'),
                "receiver",
            )
        highest = max(self.cut_out, self.delivery_at or 0.0)
        if self.clearance * (math.pow(highest / 101325.0 + 1.0, 1.0 / 1.3) - 1.0) > 0.8:
            raise refused(
                say(
                    "with a clearance of {clearance:.0%} it delivers next to nothing at "
                    "{highest:g} bar",
                    clearance=self.clearance,
                    highest=highest / 1e5,
                ),
                say("write the dead volume as a share of the stroke, 3 to 10 % as a rule"),
                "clearance",
            )
        return self


class Filter(Part):
    """What cleans the air between receiver and regulator."""

    flow: AirFlow = Field(
        default=_litres_a_minute(2000),
        description="nominal flow: free air with 6 bar before and 5 bar after it",
        examples=["2000 L/min"],
    )
    bowl: Volume = Field(
        default=40e-6, description="water its bowl holds below the baffle", examples=["40 mL"]
    )
    dew_point: Temperature | None = Field(
        default=None,
        description="dew point under pressure that a dryer reaches; left out = no dryer",
        examples=["3 degC"],
    )

    @model_validator(mode="after")
    def _open(self) -> "Filter":
        _passes(self, "flow")
        return self


class Regulator(Part):
    """What sets the pressure for the gun."""

    place: Literal["wall", "gun"] = Field(
        default="wall", description="before the hose, or at the gun's inlet"
    )
    flow: AirFlow = Field(
        default=_litres_a_minute(1500),
        description="nominal flow: free air with 6 bar before and 5 bar after it",
        examples=["1500 L/min"],
    )
    droop: Pressure = Field(
        default=3e4,
        description="how far its outlet falls with 500 L/min flowing",
        examples=["0.3 bar"],
    )

    @model_validator(mode="after")
    def _open(self) -> "Regulator":
        _passes(self, "flow")
        return self


class Gauges(Part):
    """The gauge at the wall and one at the gun, read together with the trigger pulled."""

    gun: Key = Field(description="key of the gun that was pulled", examples=["colour-gun"])
    wall: Pressure = Field(description="just after the regulator", examples=["2.9 bar"])
    at_gun: Pressure = Field(description="at the gun's inlet", examples=["2 bar"])
    released: Pressure | None = Field(
        default=None,
        description="just after the regulator with the trigger released",
        examples=["3.1 bar"],
    )

    @model_validator(mode="after")
    def _ordered(self) -> "Gauges":
        ordered(self, "at_gun", "wall")
        ordered(self, "wall", "released")
        return self


class Hose(Part):
    """From the wall regulator to the gun."""

    length: Length = Field(description="from the wall regulator to the gun", examples=["10 m"])
    bore: Length = Field(description="inside diameter", examples=["9.5 mm"])
    friction: float = Field(
        default=1.25,
        ge=0.5,
        le=10.0,
        description="friction as a multiple of a smooth bore's, until gauges are read",
    )
    couplings: int = Field(
        default=2, ge=0, le=6, description="quick couplings, half of them at the wall"
    )
    coupling_flow: AirFlow = Field(
        default=_litres_a_minute(1000),
        description="nominal flow of one: free air with 6 bar before and 5 bar after it",
        examples=["1000 L/min"],
    )
    gauges: tuple[Gauges, ...] = Field(
        default=(), description="readings of two gauges, by which the line's loss is fitted"
    )

    @model_validator(mode="after")
    def _open(self) -> "Hose":
        _passes(self, "coupling_flow")
        return self


class Scale(Part):
    """The mixing scale."""

    resolution: Mass = Field(description="smallest step it shows", examples=["0.1 g"])
    capacity: Mass = Field(default=6.0, description="the most it weighs", examples=["6 kg"])


class Rates(Part):
    """Money, in the job's currency; each as amount and currency."""

    labour: HourlyRate = Field(description="what an hour of work is charged at")
    consumables: dict[str, Rate] = Field(
        default_factory=dict, description="what each consumable costs, by its name"
    )
    tax: Fraction = Field(default=0.2, description="tax on everything", examples=["20 %"])
    booth: HourlyRate | None = Field(
        default=None, description="what an hour of the booth is charged at; left out = nothing"
    )
    deposit: Fraction | None = Field(
        default=None,
        description="share of the likely total due before work; left out = paint and consumables",
        examples=["30 %"],
    )

    @property
    def booth_hour(self) -> Money | None:
        """What an hour of the booth costs, if it does."""
        return money.parse(self.booth) if self.booth else None

    @property
    def hour(self) -> Money:
        """What an hour of work costs."""
        return money.parse(self.labour)

    @property
    def supplies(self) -> dict[str, Money]:
        """What each consumable costs, by its name."""
        return {name: money.parse(text) for name, text in self.consumables.items()}


class Climate(Part):
    """The shop as it usually is when spraying."""

    air: Temperature = Field(
        default=293.15, description="air temperature when spraying", examples=["20 degC", "68 degF"]
    )
    metal: Temperature | None = Field(
        default=None,
        description="metal temperature; left out = that of the air",
        examples=["18 degC"],
    )
    humidity: Fraction = Field(default=0.55, description="relative humidity", examples=["55 %"])


class Room(Part):
    """The room it is sprayed in; what is left out is taken for a single garage."""

    volume: RoomVolume = Field(
        default=45.0, description="volume of the room or booth", examples=["45 m3"]
    )
    air_changes: float = Field(
        default=1.0, ge=0, le=100, description="changes of its air per hour, extraction off"
    )
    extract_changes: float = Field(
        default=6.0, ge=0, le=1000, description="changes of its air per hour, extraction on"
    )
    mixing: float = Field(
        default=3.0,
        ge=1,
        le=10,
        description="how many times more air it takes than in a perfectly mixed room; 1 = perfect",
    )
    air_speed: Speed = Field(
        default=0.2, description="of the air over the panel while it dries", examples=["0.2 m/s"]
    )
    heater: Power = Field(default=0.0, description="of the heater", examples=["3 kW"])
    loss: float = Field(
        default=60.0, ge=0, le=1e5, description="heat through walls and roof for each kelvin [W/K]"
    )
    outdoor: Temperature | None = Field(
        default=None, description="air outside when spraying; left out = as inside"
    )


class Workshop(Part):
    """What the shop has."""

    title: str = Field(description="what the workshop is called", examples=["My workshop"])
    invented: bool = Field(default=False, description="true for a demonstration")
    currency: str = Field(
        default="GBP",
        pattern=r"^[A-Z]{3}$",
        description="three capital letters; every amount of money is in it",
        examples=["GBP"],
    )
    voc_region: Literal["EU", "US"] = Field(
        default="EU", description="whose VOC limits to hold the paint to"
    )
    climate: Climate = Field(
        default=Climate(), description="the shop as it usually is when spraying"
    )
    room: Room | None = Field(
        default=None, description="the room it is sprayed in; left out = a garage of 45 m3"
    )
    guns: tuple[Gun, ...] = Field(
        min_length=1, description="one table for each gun with one nozzle"
    )
    compressor: Compressor | None = Field(default=None, description="pump and receiver")
    filter: Filter = Field(default=Filter(), description="what cleans the air")
    regulator: Regulator = Field(
        default=Regulator(), description="what sets the pressure for the gun"
    )
    hose: Hose | None = Field(default=None, description="from the wall to the gun")
    scale: Scale = Field(default=Scale(resolution=1e-4), description="the mixing scale")
    mixing_cup: Volume = Field(
        default=1.0e-3, description="largest mix that fits the mixing cup", examples=["1 L"]
    )
    rates: Rates = Field(description="what things cost")
    hours: Hours = Field(default=Hours(), description="the working day")
    bays: int = Field(
        default=1, ge=1, le=9, description="in how many places something can be sprayed at once"
    )
    helpers: tuple[Helper, ...] = Field(
        default=(), description="who helps but does not spray; those who spray are the job's hands"
    )
    sheets: str | None = Field(default=None, description="folder of the shop's own product sheets")

    @model_validator(mode="after")
    def _whole(self) -> "Workshop":
        all_different("gun", (gun.key for gun in self.guns), "guns")
        all_different("helper", (one.key for one in self.helpers), "helpers")
        known = [gun.key for gun in self.guns]
        for index, pair in enumerate(self.hose.gauges if self.hose else ()):
            if pair.gun not in known:
                raise refused(
                    say("no gun has the key '{key}'", key=pair.gun),
                    say("use one of {known}", known=", ".join(known)),
                    "hose",
                    "gauges",
                    index,
                    "gun",
                )
        rates: dict[tuple[str, ...], Money] = {("rates", "labour"): self.rates.hour}
        rates |= {("rates", "consumables", n): m for n, m in self.rates.supplies.items()}
        if self.rates.booth_hour:
            rates["rates", "booth"] = self.rates.booth_hour
        for at, amount in rates.items():
            if amount.currency != self.currency:
                raise refused(
                    say(
                        "this is in {found}, but the workshop counts in {currency}",
                        found=amount.currency,
                        currency=self.currency,
                    ),
                    say(
                        "write the amount in {currency}, or change the currency",
                        currency=self.currency,
                    ),
                    *at,
                )
        return self
