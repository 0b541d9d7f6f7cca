"""Air, humidity and metal by the hour, as read in the shop or forecast for outside."""

from datetime import datetime
from itertools import pairwise

from pydantic import Field, model_validator

from coatwright.model.quantity import Fraction, Part, Temperature, refused


class Reading(Part):
    """The weather at one time."""

    time: datetime = Field(description="local time", examples=["2026-05-04 08:00"])
    air: Temperature | None = Field(default=None, description="air in the shop")
    humidity: Fraction = Field(
        description="relative humidity, in the shop, or outside if only `outdoor` is given"
    )
    metal: Temperature | None = Field(
        default=None, description="metal to be painted; left out = follows the air by its gauge"
    )
    outdoor: Temperature | None = Field(default=None, description="air outside")

    @model_validator(mode="after")
    def _some_air(self) -> "Reading":
        if self.air is None and self.outdoor is None:
            raise refused("neither air nor outdoor is given", "give one of them", "air")
        return self


class Readings(Part):
    """A run of them, times rising."""

    hours: tuple[Reading, ...] = Field(min_length=1)

    @model_validator(mode="after")
    def _rising(self) -> "Readings":
        times = [one.time for one in self.hours]
        for index, (before, after) in enumerate(pairwise(times), 1):
            if after <= before:
                raise refused(
                    f"{after:%Y-%m-%d %H:%M} is not later than {before:%Y-%m-%d %H:%M}",
                    "times must rise from line to line",
                    "hours",
                    index,
                    "time",
                )
        return self

    @property
    def start(self) -> datetime:
        """The first time."""
        return self.hours[0].time

    def seconds(self) -> tuple[float, ...]:
        """Times since the first [s]."""
        return tuple((one.time - self.start).total_seconds() for one in self.hours)
