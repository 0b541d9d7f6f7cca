"""A job: one body or set of parts being painted for one owner."""

from pydantic import Field, model_validator

from coatwright.model.area import Area
from coatwright.model.hand import Hand
from coatwright.model.kit import Workshop
from coatwright.model.quantity import Fraction, Key, Part, all_different, refused
from coatwright.sentences import say


class Bounds(Part):
    """What the recipe solver must keep to."""

    run_chance: Fraction = Field(default=0.02, description="share of a coat that may run")
    light_chance: Fraction = Field(
        default=0.05, description="share of the finished layer that may be light"
    )


class Job(Part):
    """The whole job file."""

    title: str = Field(description="what the job is", examples=["A roadster, bare metal to colour"])
    invented: bool = Field(default=False, description="true for a demonstration")
    owner: str = Field(default="the owner", description="who it is painted for")
    workshop: Workshop = Field(description="what the shop has")
    hands: tuple[Hand, ...] = Field(
        min_length=1, description="one table for each person who sprays"
    )
    painter: Key = Field(
        description="key of the hand that sprays unless an area says otherwise",
        examples=["painter"],
    )
    bounds: Bounds = Field(default=Bounds(), description="what recipes must keep to")
    colour: str = Field(default="", description="the colour, in words")
    topcoat: tuple[Key, ...] = Field(
        default=("solid-two-pack",),
        description="finishing products, in order, for automatic systems",
    )
    metal_waits: bool = Field(
        default=True, description="bare metal must wait (days) before the build primer"
    )
    areas: tuple[Area, ...] = Field(
        min_length=1, description="one table for each part treated as one"
    )

    @model_validator(mode="after")
    def _names(self) -> "Job":
        all_different("area", (area.key for area in self.areas), "areas")
        all_different("hand", (hand.key for hand in self.hands), "hands")
        self._known_hand(self.painter, "painter")
        for index, area in enumerate(self.areas):
            self._known_hand(area.hand or self.painter, "areas", index, "hand")
        return self

    def _known_hand(self, key: str, *at: str | int) -> None:
        known = [hand.key for hand in self.hands]
        if key not in known:
            raise refused(
                say("no hand has the key '{key}'", key=key),
                say("use one of {known}", known=", ".join(known)),
                *at,
            )

    def hand(self, key: str | None = None) -> Hand:
        """The hand of that key; the painter's own by default."""
        return next(hand for hand in self.hands if hand.key == (key or self.painter))
