"""An area: a part of the job treated as one, measured as a shape."""

from typing import Annotated, Literal

from pydantic import Field, model_validator

from coatwright.model.quantity import Key, Length, Part, Surface, all_different, refused
from coatwright.model.shape import Shape
from coatwright.model.substrate import Patch
from coatwright.sentences import say

Orientation = Literal["floor", "vertical", "overhead"]
Zone = Literal["outside", "inside", "underside", "cavity"]


class Open(Part):
    """Nothing in the way of the gun."""

    kind: Literal["open"] = "open"


class Recess(Part):
    """The shape lies at the bottom of a pocket: the gun must spray in through the mouth."""

    kind: Literal["recess"] = "recess"
    width: Length = Field(description="width of the mouth", examples=["18 cm"])
    depth: Length = Field(description="from the mouth to the surface", examples=["12 cm"])


class Cavity(Part):
    """A closed hollow that no gun reaches: wax by lance, never paint."""

    kind: Literal["cavity"] = "cavity"


Access = Annotated[Open | Recess | Cavity, Field(discriminator="kind")]


class Area(Part):
    """A part of the job treated as one."""

    key: Key = Field(
        description="name by which this file refers to it", examples=["near-side-door"]
    )
    title: str = Field(description="what it is called", examples=["Near-side door"])
    shape: Shape = Field(description="how it is measured, one piece, one face")
    count: int = Field(default=1, ge=1, le=500, description="how many pieces of this shape")
    both_sides: bool = Field(default=False, description="true if both faces are painted")
    holes: Surface = Field(
        default=0.0,
        description="surface of the holes in one face of one piece",
        examples=["0.1 m2"],
    )
    orientation: Orientation = Field(
        default="vertical", description="how the surface stands while it is sprayed"
    )
    gauge: Length = Field(
        default=0.8e-3,
        description="thickness of its metal: how slowly it warms and cools",
        examples=["0.8 mm"],
    )
    zone: Zone = Field(default="outside", description="where on the vehicle it is")
    access: Access = Field(default=Open(), description="what stands in the way of the gun")
    finish: Literal["show", "good", "plain"] = Field(
        default="good", description="how good it must look"
    )
    hand: Key | None = Field(
        default=None, description="key of the hand that sprays it; left out = the painter"
    )
    patches: tuple[Patch, ...] = Field(
        min_length=1, description="what the paint meets; shares sum to 100 %"
    )
    note: str = Field(default="", description="anything worth remembering")

    @model_validator(mode="after")
    def _whole(self) -> "Area":
        all_different("patch", (patch.key for patch in self.patches), "patches")
        total = sum(patch.share for patch in self.patches)
        if abs(total - 1.0) > 1e-6:
            raise refused(
                say("the shares of the patches sum to {total:.6g} %", total=total * 100),
                say("they must sum to 100 %"),
                "patches",
            )
        if self.holes >= self.gross():
            raise refused(
                say(
                    "holes of {holes:.3g} m2 leave nothing of a face of {face:.3g} m2",
                    holes=self.holes,
                    face=self.gross(),
                ),
                say("give the holes of one face, smaller than the face"),
                "holes",
            )
        return self

    def gross(self) -> float:
        """One face of one piece, holes not deducted [m2]."""
        return self.shape.area()

    def faces(self) -> int:
        """How many faces are painted in all: count, doubled when both sides are painted."""
        return self.count * (2 if self.both_sides else 1)

    def net(self) -> float:
        """Surface that takes paint [m2]: faces x (one face - holes)."""
        return self.faces() * (self.gross() - self.holes)
