"""A hand: a person's measured steadiness with the gun."""

from pydantic import Field, model_validator

from coatwright.model.quantity import (
    Angle,
    Fraction,
    Key,
    Length,
    LengthOrZero,
    Part,
    Speed,
    Time,
    ordered,
)


class Hand(Part):
    """Spreads are one standard deviation; speed and distance as shares of the nominal."""

    key: Key = Field(description="name by which this file refers to it", examples=["painter"])
    title: str = Field(description="who it is", examples=["The painter"])
    speed_spread: Fraction = Field(
        description="standard deviation of stroke speed, as a share of it", examples=["8 %"]
    )
    distance_spread: Fraction = Field(
        description="standard deviation of distance, as a share of it", examples=["8 %"]
    )
    tilt_spread: Angle = Field(
        description="standard deviation of the gun's angle", examples=["5 deg"]
    )
    aim_spread: LengthOrZero = Field(
        description="wander of each stroke off its line", examples=["8 mm"]
    )
    speed_min: Speed = Field(
        default=0.25, description="slowest stroke it can hold", examples=["0.25 m/s"]
    )
    speed_max: Speed = Field(
        default=0.6, description="fastest stroke it can hold", examples=["0.6 m/s"]
    )
    reach: Length = Field(
        default=1.2, description="longest stroke without a step", examples=["1.2 m"]
    )
    turn: Time = Field(
        default=1.0, description="time between one stroke and the next", examples=["1 s"]
    )
    source: str = Field(
        default="assumed for the class; measure it", description="where these values came from"
    )

    @model_validator(mode="after")
    def _ordered(self) -> "Hand":
        ordered(self, "speed_min", "speed_max")
        return self
