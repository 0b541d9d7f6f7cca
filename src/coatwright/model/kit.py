"""The shop's kit: guns, the compressed-air line, scale and cups, and what things cost."""

from typing import Literal

from pydantic import Field, model_validator

from coatwright.model import money
from coatwright.model.money import HourlyRate, Money, Rate
from coatwright.model.quantity import (
    Flow,
    Fraction,
    Key,
    Length,
    Mass,
    Part,
    Pressure,
    Temperature,
    Time,
    Volume,
    VolumeOrZero,
    all_different,
    ordered,
    refused,
)


class Footprint(Part):
    """The fan on a plane at the reference distance: a double-beta profile on an ellipse."""

    distance: Length = 0.15
    length: Length = Field(description="full fan length, fan wide open")
    width: Length = Field(description="full fan width, fan wide open")
    spot: Length = Field(description="diameter with the fan closed")
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

    key: Key
    title: str
    nozzle: Length
    kind: Literal["hvlp", "high-transfer", "low-volume", "conventional", "spot"]
    cup: Volume
    footprint: Footprint
    fluid: Flow = Field(description="full-trigger delivery in the fluid test")
    fluid_pressure: Pressure = Field(description="inlet pressure of that test, trigger pulled")
    fluid_viscosity_seconds: Time = Field(
        default=18.0, description="DIN 4 seconds of the test liquid"
    )
    air: Flow = Field(description="free air used at fluid_pressure")
    pressure_min: Pressure
    pressure_max: Pressure
    distance_min: Length
    distance_max: Length
    transfer: Fraction = Field(description="share of what reaches the surface that stays there")
    transfer_spread: Fraction = 0.08
    head: Length = Field(default=0.20, description="width of a hole the gun head can work inside")
    residue: VolumeOrZero = Field(
        default=30e-6, description="paint lost in cup and gun at each fill"
    )

    @model_validator(mode="after")
    def _ordered(self) -> "Gun":
        ordered(self, "pressure_min", "pressure_max")
        ordered(self, "distance_min", "distance_max")
        return self


class Compressor(Part):
    """The pump and receiver; the air engine of a later stage reads it."""

    delivery: Flow
    receiver: Volume
    cut_in: Pressure
    cut_out: Pressure

    @model_validator(mode="after")
    def _ordered(self) -> "Compressor":
        ordered(self, "cut_in", "cut_out")
        return self


class Hose(Part):
    """From the wall regulator to the gun."""

    length: Length
    bore: Length


class Scale(Part):
    """The mixing scale."""

    resolution: Mass
    capacity: Mass = 6.0


class Rates(Part):
    """Money, in the job's currency; each as amount and currency."""

    labour: HourlyRate
    consumables: dict[str, Rate] = Field(default_factory=dict)
    tax: Fraction = 0.2

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

    air: Temperature = 293.15
    metal: Temperature | None = None
    humidity: Fraction = 0.55


class Workshop(Part):
    """What the shop has."""

    title: str
    invented: bool = False
    currency: str = Field(default="GBP", pattern=r"^[A-Z]{3}$")
    voc_region: Literal["EU", "US"] = "EU"
    climate: Climate = Climate()
    guns: tuple[Gun, ...] = Field(min_length=1)
    compressor: Compressor | None = None
    hose: Hose | None = None
    scale: Scale = Scale(resolution=1e-4)
    mixing_cup: Volume = 1.0e-3
    rates: Rates
    sheets: str | None = Field(default=None, description="folder of the shop's own product sheets")

    @model_validator(mode="after")
    def _whole(self) -> "Workshop":
        all_different("gun", (gun.key for gun in self.guns), "guns")
        rates: dict[tuple[str, ...], Money] = {("rates", "labour"): self.rates.hour}
        rates |= {("rates", "consumables", n): m for n, m in self.rates.supplies.items()}
        for at, amount in rates.items():
            if amount.currency != self.currency:
                raise refused(
                    f"this is in {amount.currency}, but the workshop counts in {self.currency}",
                    f"write the amount in {self.currency}, or change the currency",
                    *at,
                )
        return self
