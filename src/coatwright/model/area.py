"""An area: a part of the job treated as one, measured as a shape."""

from typing import Annotated, Literal

from pydantic import Field, model_validator

from coatwright.model.quantity import Length, Part, Surface
from coatwright.model.shape import Shape
from coatwright.model.substrate import Patch

Orientation = Literal["floor", "vertical", "overhead"]
Zone = Literal["outside", "inside", "underside", "cavity"]


class Open(Part):
    """Nothing in the way of the gun."""

    kind: Literal["open"] = "open"


class Recess(Part):
    """The shape lies at the bottom of a pocket: the gun must spray in through the mouth."""

    kind: Literal["recess"] = "recess"
    width: Length
    depth: Length


class Cavity(Part):
    """A closed hollow that no gun reaches: wax by lance, never paint."""

    kind: Literal["cavity"] = "cavity"


Access = Annotated[Open | Recess | Cavity, Field(discriminator="kind")]


class Area(Part):
    """A part of the job treated as one."""

    key: str = Field(pattern=r"^[a-z0-9][a-z0-9-]*$")
    title: str
    shape: Shape
    count: int = Field(default=1, ge=1, le=500)
    both_sides: bool = False
    holes: Surface = 0.0
    orientation: Orientation = "vertical"
    zone: Zone = "outside"
    access: Access = Open()
    finish: Literal["show", "good", "plain"] = "good"
    patches: tuple[Patch, ...] = Field(min_length=1)
    note: str = ""

    @model_validator(mode="after")
    def _shares_fill_the_area(self) -> "Area":
        total = sum(patch.share for patch in self.patches)
        if abs(total - 1.0) > 1e-6:
            raise ValueError(
                f"the shares of the patches of '{self.key}' sum to {total:.4%}; "
                "they must sum to 100 %"
            )
        if self.holes >= self.gross():
            raise ValueError(
                f"the holes of '{self.key}' ({self.holes:.3g} m2 on each face) leave nothing of "
                f"its {self.gross():.3g} m2; they must be smaller"
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
