"""A hand: a person's measured steadiness with the gun."""

from pydantic import Field, model_validator

from coatwright.model.quantity import Angle, Fraction, Key, Length, Part, Speed, Time, ordered


class Hand(Part):
    """Spreads are one standard deviation; speed and distance as shares of the nominal."""

    key: Key
    title: str
    speed_spread: Fraction
    distance_spread: Fraction
    tilt_spread: Angle
    aim_spread: Length = Field(description="wander of each stroke off its line")
    speed_min: Speed = 0.25
    speed_max: Speed = 0.6
    reach: Length = 1.2
    turn: Time = Field(default=1.0, description="time between one stroke and the next")
    source: str = "assumed for the class; measure it"

    @model_validator(mode="after")
    def _ordered(self) -> "Hand":
        ordered(self, "speed_min", "speed_max")
        return self
