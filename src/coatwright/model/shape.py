"""Shapes an area is measured as, with a tape; geometry exact for the ideal shape.

Every shape answers area() and section(). The section is the cross-section that the gun sees when
it strokes along the length: a chain of facets in a plane, x across and z towards the painter,
each with a breadth and an outward normal. Only the spherical dome has no such section.
"""

import math
from typing import Annotated, Literal, NamedTuple

from pydantic import Field, model_validator

from coatwright.model.quantity import Length, LengthOrZero, Part, refused
from coatwright.sentences import say


class Facet(NamedTuple):
    """One flat piece of a cross-section, from (x0, z0) to (x1, z1) [m], normal (nx, nz)."""

    name: str
    x0: float
    z0: float
    x1: float
    z1: float
    nx: float
    nz: float

    @property
    def breadth(self) -> float:
        """Developed breadth [m]."""
        return math.hypot(self.x1 - self.x0, self.z1 - self.z0)


class _Shape(Part):
    def area(self) -> float:
        """Painted surface of one face of the ideal shape [m2]."""
        return self.run() * sum(facet.breadth for facet in self.section())

    def run(self) -> float:
        """Length along which the gun strokes [m]."""
        raise NotImplementedError

    def section(self) -> tuple[Facet, ...]:
        """Cross-section that the strokes pass over."""
        raise NotImplementedError


class Flat(_Shape):
    """A flat panel: length along the strokes, width across them."""

    kind: Literal["flat"] = "flat"
    length: Length = Field(description="along the strokes", examples=["85 cm", "33.5 in"])
    width: Length = Field(description="across the strokes", examples=["58 cm"])

    def run(self) -> float:
        """Length along which the gun strokes [m]."""
        return self.length

    def section(self) -> tuple[Facet, ...]:
        """One facet, `width` broad, facing the painter."""
        return (Facet("face", -self.width / 2, 0.0, self.width / 2, 0.0, 0.0, 1.0),)


class Strip(Flat):
    """A narrow flat: a sill face, a flange, a frame rail's edge."""

    kind: Literal["strip"] = "strip"  # type: ignore[assignment]


class Channel(_Shape):
    """An open channel seen from its mouth: a base and two walls of equal depth."""

    kind: Literal["channel"] = "channel"
    length: Length = Field(description="along the strokes", examples=["115 cm"])
    width: Length = Field(description="of the base", examples=["75 cm"])
    depth: Length = Field(description="of each wall", examples=["35 cm"])

    def run(self) -> float:
        """Length along which the gun strokes [m]."""
        return self.length

    def section(self) -> tuple[Facet, ...]:
        """Wall, base, wall; the mouth is at z = 0 and the base at z = -depth."""
        half, deep = self.width / 2, self.depth
        return (
            Facet("left wall", -half, 0.0, -half, -deep, 1.0, 0.0),
            Facet("base", -half, -deep, half, -deep, 0.0, 1.0),
            Facet("right wall", half, -deep, half, 0.0, -1.0, 0.0),
        )


class BoxSection(_Shape):
    """The four outer faces of a box section (its inside is a cavity: an area of its own)."""

    kind: Literal["box section"] = "box section"
    length: Length = Field(description="along the strokes", examples=["110 cm"])
    width: Length = Field(description="one side of the section", examples=["80 mm"])
    height: Length = Field(description="the other side of the section", examples=["100 mm"])

    def run(self) -> float:
        """Length along which the gun strokes [m]."""
        return self.length

    def section(self) -> tuple[Facet, ...]:
        """Four faces round the box, centred on the origin."""
        a, b = self.width / 2, self.height / 2
        return (
            Facet("top", -a, b, a, b, 0.0, 1.0),
            Facet("right", a, b, a, -b, 1.0, 0.0),
            Facet("bottom", a, -b, -a, -b, 0.0, -1.0),
            Facet("left", -a, -b, -a, b, -1.0, 0.0),
        )


class Tube(_Shape):
    """The outside of a round tube or bar."""

    kind: Literal["tube"] = "tube"
    length: Length = Field(description="along the strokes", examples=["110 cm"])
    diameter: Length = Field(description="outside", examples=["25 mm"])

    def area(self) -> float:
        """pi * diameter * length [m2]."""
        return math.pi * self.diameter * self.length

    def run(self) -> float:
        """Length along which the gun strokes [m]."""
        return self.length

    def section(self) -> tuple[Facet, ...]:
        """The circle as a chain of facets whose breadths sum to pi * diameter."""
        return _arc(self.diameter / 2, 0.0, 2 * math.pi, "side")


class CurvedPanel(_Shape):
    """A panel bent one way (roof, bonnet): tape across the chord, and the rise at its middle."""

    kind: Literal["curved panel"] = "curved panel"
    length: Length = Field(description="along the strokes, the straight way", examples=["120 cm"])
    width: Length = Field(description="straight across the bend, edge to edge", examples=["110 cm"])
    rise: Length = Field(description="height of the middle above that line", examples=["8 cm"])

    @property
    def radius(self) -> float:
        """Radius of the arc from chord and rise [m]: (w^2/4 + r^2) / (2 r)."""
        return (self.width**2 / 4 + self.rise**2) / (2 * self.rise)

    @property
    def opening(self) -> float:
        """Angle the arc spans [rad]."""
        return 4 * math.atan2(2 * self.rise, self.width)

    def area(self) -> float:
        """Arc length times length [m2]."""
        return self.radius * self.opening * self.length

    def run(self) -> float:
        """Length along which the gun strokes [m]."""
        return self.length

    def section(self) -> tuple[Facet, ...]:
        """The arc as facets, crown towards the painter at z = 0."""
        start = math.pi / 2 + self.opening / 2
        chain = _arc(self.radius, start - self.opening, start, "arc")
        return tuple(f._replace(z0=f.z0 - self.radius, z1=f.z1 - self.radius) for f in chain)


class Dome(_Shape):
    """A spherical cap (headlamp bowl, dished cover): tape across the rim, and the rise."""

    kind: Literal["dome"] = "dome"
    diameter: Length = Field(description="across the rim", examples=["19 cm"])
    rise: Length = Field(description="height of the middle above the rim", examples=["7 cm"])

    @property
    def radius(self) -> float:
        """Radius of the sphere [m]."""
        return (self.diameter**2 / 4 + self.rise**2) / (2 * self.rise)

    def area(self) -> float:
        """pi * (diameter^2/4 + rise^2) [m2], the area of a spherical cap."""
        return math.pi * (self.diameter**2 / 4 + self.rise**2)

    def run(self) -> float:
        """Length along which the gun strokes: the rim diameter [m]."""
        return self.diameter

    def section(self) -> tuple[Facet, ...]:
        """The great-circle arc through the crown (strokes are laid over it)."""
        half = 2 * math.atan2(2 * self.rise, self.diameter)
        chain = _arc(self.radius, math.pi / 2 - half, math.pi / 2 + half, "arc")
        return tuple(f._replace(z0=f.z0 - self.radius, z1=f.z1 - self.radius) for f in chain)


class ApertureRing(_Shape):
    """The closed strip round an opening: a rounded rectangle, and the breadth of the strip."""

    kind: Literal["aperture ring"] = "aperture ring"
    width: Length = Field(description="of the opening", examples=["90 cm"])
    height: Length = Field(description="of the opening", examples=["65 cm"])
    corner: LengthOrZero = Field(
        default=0.0, description="radius of its four corners", examples=["8 cm"]
    )
    breadth: Length = Field(description="of the painted strip", examples=["14 cm"])

    @model_validator(mode="after")
    def _round(self) -> "ApertureRing":
        most = min(self.width, self.height) / 2
        if self.corner > most * (1 + 1e-9):
            raise refused(
                say(
                    "a corner of radius {radius:.3g} m does not fit the opening",
                    radius=self.corner,
                ),
                say("it must be at most half the shorter side, {most:.3g} m", most=most),
                "corner",
            )
        return self

    def run(self) -> float:
        """Perimeter of the opening [m]: 2(w + h) - (8 - 2 pi) r."""
        return 2 * (self.width + self.height) - (8 - 2 * math.pi) * self.corner

    def section(self) -> tuple[Facet, ...]:
        """The strip unrolled: one facet, `breadth` broad."""
        return (Facet("strip", -self.breadth / 2, 0.0, self.breadth / 2, 0.0, 0.0, 1.0),)


Shape = Annotated[
    Flat | Strip | Channel | BoxSection | Tube | CurvedPanel | Dome | ApertureRing,
    Field(discriminator="kind"),
]

_ARC_FACETS = 48


def _arc(radius: float, start: float, end: float, name: str) -> tuple[Facet, ...]:
    """Facets along an arc (counter-clockwise), outward normals, scaled to the true arc length.

    A chord is shorter than its arc; the polygon is blown up so that its total breadth is exact.
    """
    step = (end - start) / _ARC_FACETS
    grown = radius * (step / 2) / math.sin(step / 2)
    facets = []
    for index in range(_ARC_FACETS):
        a, b = start + index * step, start + (index + 1) * step
        middle = (a + b) / 2
        facets.append(
            Facet(
                name,
                grown * math.cos(a),
                grown * math.sin(a),
                grown * math.cos(b),
                grown * math.sin(b),
                math.cos(middle),
                math.sin(middle),
            )
        )
    return tuple(facets)
