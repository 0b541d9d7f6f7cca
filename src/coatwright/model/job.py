"""A job: one body or set of parts being painted for one owner."""

from pydantic import Field, model_validator

from coatwright.model.area import Area
from coatwright.model.hand import Hand
from coatwright.model.kit import Workshop
from coatwright.model.quantity import Fraction, Key, Part, all_different, refused


class Bounds(Part):
    """What the recipe solver must keep to."""

    run_chance: Fraction = Field(default=0.02, description="share of a coat that may run")
    light_chance: Fraction = Field(
        default=0.05, description="share of the finished layer that may be light"
    )


class Job(Part):
    """The whole job file."""

    title: str
    invented: bool = False
    owner: str = "the owner"
    workshop: Workshop
    hands: tuple[Hand, ...] = Field(min_length=1)
    painter: Key = Field(description="key of the hand that sprays unless an area says otherwise")
    bounds: Bounds = Bounds()
    colour: str = ""
    topcoat: tuple[Key, ...] = Field(
        default=("solid-two-pack",),
        description="finishing products, in order, for automatic systems",
    )
    metal_waits: bool = Field(
        default=True, description="bare metal must wait (days) before the build primer"
    )
    areas: tuple[Area, ...] = Field(min_length=1)

    @model_validator(mode="after")
    def _names(self) -> "Job":
        all_different("area", (area.key for area in self.areas), "areas")
        all_different("hand", (hand.key for hand in self.hands), "hands")
        if self.painter not in {hand.key for hand in self.hands}:
            known = ", ".join(f"'{hand.key}'" for hand in self.hands)
            raise refused(f"no hand has the key '{self.painter}'", f"use one of {known}", "painter")
        return self

    def hand(self, key: str | None = None) -> Hand:
        """The hand of that key; the painter's own by default."""
        return next(hand for hand in self.hands if hand.key == (key or self.painter))
