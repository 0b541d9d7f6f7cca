"""When the shop is open, when people rest, and who helps."""

from itertools import pairwise
from typing import Annotated, Literal

from pydantic import Field, model_validator

from coatwright.model.quantity import Key, Part, Time, refused

Weekday = Literal[
    "Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday"
]  # fmt: skip

Clock = Annotated[
    str, Field(pattern=r"^([01][0-9]|2[0-3]):[0-5][0-9]$", examples=["08:00", "17:30"])
]
"""A time of day as a clock shows it."""


def seconds_of(clock: str) -> float:
    """Seconds since midnight of a time of day."""
    hours, minutes = clock.split(":")
    return int(hours) * 3600.0 + int(minutes) * 60.0


class Break(Part):
    """A rest that everybody takes: no coat runs through it."""

    at: Clock = Field(description="when it begins", examples=["12:30"])
    length: Time = Field(description="how long it is", examples=["45 min"])


class Hours(Part):
    """The working day; the same every day but those on which the shop is closed."""

    opens: Clock = Field(default="08:00", description="when work may begin")
    closes: Clock = Field(default="17:30", description="when everybody has gone home")
    breaks: tuple[Break, ...] = Field(
        default=(Break(at="10:15", length=900.0), Break(at="12:30", length=2700.0)),
        description="rests, in order; left out = 15 min at 10:15 and 45 min at 12:30",
    )
    closed: tuple[Weekday, ...] = Field(
        default=("Sunday",), description="days on which nobody works; needs a date to count from"
    )
    light_from: Clock | None = Field(
        default=None,
        description="finishes are sprayed no sooner, for want of daylight; left out = lamps do",
    )
    light_until: Clock | None = Field(
        default=None,
        description="finishes are sprayed no later, for want of daylight; left out = lamps do",
    )

    @model_validator(mode="after")
    def _ordered(self) -> "Hours":
        if seconds_of(self.opens) >= seconds_of(self.closes):
            raise refused("opens is not before closes", "give opens before closes", "opens")
        edges = [seconds_of(self.opens)]
        for one in self.breaks:
            edges += [seconds_of(one.at), seconds_of(one.at) + one.length]
        edges.append(seconds_of(self.closes))
        if any(a > b for a, b in pairwise(edges)):
            raise refused(
                "the breaks overlap or lie outside the hours",
                "give them in order, between opens and closes",
                "breaks",
            )
        return self


class Helper(Part):
    """Somebody who prepares, masks, rubs and mixes, but does not spray."""

    key: Key = Field(description="name by which this file refers to them", examples=["helper"])
    title: str = Field(description="who it is", examples=["The helper"])
