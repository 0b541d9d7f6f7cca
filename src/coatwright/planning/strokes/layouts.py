"""Ways to lay strokes over a shape: what a painter could try, for the recipe solver to weigh."""

import math
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property, lru_cache
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from coatwright.engines.spray.section import Section, cut
from coatwright.model.area import Access, Recess
from coatwright.model.shape import (
    BoxSection,
    Channel,
    CurvedPanel,
    Dome,
    Facet,
    Flat,
    Shape,
    Tube,
)
from coatwright.sentences import say

Float = NDArray[np.float64]

NOSE = 0.03
"""How far the air cap stays outside a mouth the gun head does not fit into [m]."""

SHORTEST = 0.3
"""A stroke shorter than this never settles to its speed between trigger on and off [m]
(common practice, no source)."""

CLOSEST = 0.2
"""Strokes nearer than this share of the fan are one stroke passed twice: what starts a run."""

_OVERLAPS = (0.5, 0.6, 0.67, 0.75)
_INSETS = (-0.1, 0.1, 0.3)
_FINER_INSETS = (-0.1, 0.0, 0.1, 0.2, 0.3)
_NARROW = 1.5
_CELLS = 48
_FAR = 5.0


@dataclass(frozen=True, eq=True)
class Subject:
    """What is sprayed: its section, how far each stroke runs, and the way in."""

    shape: Shape
    access: Access
    across: bool = False

    @cached_property
    def run(self) -> float:
        """Length of a stroke over an equal section of the same area [m]."""
        return self.shape.area() / self.breadth

    @cached_property
    def breadth(self) -> float:
        """Developed breadth of the section [m]."""
        return float(sum(f.breadth for f in self.facets))

    @cached_property
    def facets(self) -> tuple[Facet, ...]:
        """Facets of the section the strokes pass over."""
        if self.across and isinstance(self.shape, Flat):
            half = self.shape.length / 2
            return (Facet("face", -half, 0.0, half, 0.0, 0.0, 1.0),)
        return self.shape.section()

    @property
    def fold(self) -> Literal["mirror", "turn", "none"]:
        """How the second half of the section repeats the first, strokes and all."""
        if isinstance(self.shape, Tube):
            return "none"
        return "turn" if isinstance(self.shape, BoxSection) else "mirror"

    @cached_property
    def _hash(self) -> int:
        return hash((self.shape, self.access, self.across))

    def __hash__(self) -> int:
        return self._hash


def ways(shape: Shape, access: Access) -> tuple[Subject, ...]:
    """The subject stroked along its length and, if it is flat and broad enough, across it too."""
    along = Subject(shape, access)
    if isinstance(shape, Flat) and shape.width >= SHORTEST:
        return along, Subject(shape, access, across=True)
    return (along,)


@dataclass(frozen=True, eq=False)
class Layout:
    """One way to stroke a subject: gun positions and directions in its section."""

    strokes: Float
    distances: Float
    pitch: float
    text: str

    @property
    def count(self) -> int:
        """Number of strokes."""
        return len(self.strokes)


def half_of(subject: Subject) -> Section:
    """The part of the section that is worth sampling: half of it where the rest is alike."""
    whole = section_of(subject)
    if subject.fold == "none":
        return whole
    half = len(whole.cells) // 2
    return whole._replace(
        cells=whole.cells[:half], breadths=whole.breadths[:half], facets=whole.facets[:half]
    )


@lru_cache(maxsize=512)
def section_of(subject: Subject) -> Section:
    """The subject's section cut into cells, with everything that casts a shadow."""
    facets = np.array([facet[1:] for facet in subject.facets])
    stops: list[Float] = []
    if isinstance(subject.shape, Channel):
        stops.append(facets[:, :4])
    if isinstance(subject.access, Recess):
        half, top = subject.access.width / 2, subject.access.depth
        stops.append(np.array([[-_FAR, top, -half, top], [half, top, _FAR, top]]))
    size = max(subject.breadth / _CELLS, 0.002)
    return cut(facets, size, np.vstack(stops) if stops else None)


def layouts(subject: Subject, fan_length: float, distance: float, head: float) -> Iterator[Layout]:
    """Every layout worth weighing for a fan of that length at that distance.

    fan_length, distance and head (the width a gun head needs) in metres.
    """
    shape = subject.shape
    if isinstance(shape, Channel):
        yield from _channel(shape, subject, fan_length, distance, head)
    elif isinstance(shape, BoxSection):
        yield from _box(shape, fan_length, distance)
    elif isinstance(shape, Tube):
        yield from _tube(shape, distance)
    elif isinstance(shape, CurvedPanel | Dome):
        yield from _bent(shape.radius, subject.breadth, fan_length, distance)
    else:
        yield from _plane(subject, fan_length, distance, head)


def _offsets(breadth: float, fan_length: float) -> Iterator[tuple[Float, float]]:
    """Stroke centres over a breadth, symmetric, with their pitch; doubles left out."""
    seen: set[tuple[int, int]] = set()
    insets = _FINER_INSETS if breadth < _NARROW * fan_length else _INSETS
    for overlap in _OVERLAPS:
        pitch = (1.0 - overlap) * fan_length
        for inset in insets:
            span = breadth - 2 * inset * fan_length
            count = max(1, math.ceil(span / pitch - 1e-9) + 1) if span > 0.05 * pitch else 1
            even = span / (count - 1) if count > 1 else max(breadth, fan_length)
            mark = (count, round(even * 1e4))
            if mark not in seen and even >= CLOSEST * fan_length:
                seen.add(mark)
                yield (
                    np.asarray((np.arange(count) - (count - 1) / 2) * even, dtype=np.float64),
                    even,
                )


def _down(centres: Float, height: float) -> Float:
    rows = np.zeros((len(centres), 4))
    rows[:, 0], rows[:, 1], rows[:, 3] = centres, height, -1.0
    return rows


def _stand_off(subject: Subject, distance: float, head: float) -> float:
    """How far the gun must stand: outside the mouth of a pocket its head does not fit into."""
    access = subject.access
    if isinstance(access, Recess) and access.width < head:
        return max(distance, access.depth + NOSE)
    return distance


def _plane(subject: Subject, fan_length: float, distance: float, head: float) -> Iterator[Layout]:
    height = _stand_off(subject, distance, head)
    grown = fan_length * height / distance
    half_mouth = subject.access.width / 2 if isinstance(subject.access, Recess) else math.inf
    for centres, pitch in _offsets(subject.breadth, grown):
        if np.max(np.abs(centres)) <= half_mouth:
            yield Layout(
                _down(centres, height),
                np.full(len(centres), height),
                pitch,
                say("square to the face"),
            )


def _bent(radius: float, breadth: float, fan_length: float, distance: float) -> Iterator[Layout]:
    for offsets, pitch in _offsets(breadth, fan_length):
        angle = offsets / radius
        out = np.column_stack([np.sin(angle), np.cos(angle)])
        place = radius * out - np.array([0.0, radius]) + distance * out
        yield Layout(
            np.hstack([place, -out]),
            np.full(len(offsets), distance),
            pitch,
            say("square to the curve"),
        )


def _tube(shape: Tube, distance: float) -> Iterator[Layout]:
    for count in (2, 3, 4, 6):
        angle = 2 * math.pi * np.arange(count) / count
        out = np.column_stack([np.sin(angle), np.cos(angle)])
        place = (shape.diameter / 2 + distance) * out
        pitch = math.pi * shape.diameter / count
        yield Layout(
            np.hstack([place, -out]),
            np.full(count, distance),
            pitch,
            say("from {count} sides", count=count),
        )


def _box(shape: BoxSection, fan_length: float, distance: float) -> Iterator[Layout]:
    across = list(_offsets(shape.width, fan_length))
    up = list(_offsets(shape.height, fan_length))
    for index, (centres, pitch) in enumerate(across):
        heights, _ = up[min(index, len(up) - 1)]
        rows = []
        for facet, places in zip(
            shape.section(), (centres, heights, centres, heights), strict=True
        ):
            middle = np.array([(facet.x0 + facet.x1) / 2, (facet.z0 + facet.z1) / 2])
            out = np.array([facet.nx, facet.nz])
            side = np.array([facet.nz, -facet.nx])
            at = middle + places[:, None] * side + distance * out
            rows.append(np.hstack([at, np.tile(-out, (len(places), 1))]))
        strokes = np.vstack(rows)
        yield Layout(strokes, np.full(len(strokes), distance), pitch, say("face by face"))


def _channel(
    shape: Channel, subject: Subject, fan_length: float, distance: float, head: float
) -> Iterator[Layout]:
    lip = subject.access.depth if isinstance(subject.access, Recess) else 0.0
    fits = shape.width >= head and lip == 0.0
    lowest = -shape.depth if fits else lip + NOSE
    floor = max(distance - shape.depth, lowest)
    bases = [(np.empty(0), fan_length)]
    bases.extend(_offsets(shape.width, fan_length * (floor + shape.depth) / distance))
    aims = [rows for rows, _ in _offsets(shape.depth, fan_length)]
    roomy = fits and shape.width >= distance + head
    for tilt in (0.0, 0.6, 0.9, 1.4) if roomy else (0.0, 0.6, 0.9):
        for index, (centres, pitch) in enumerate(bases):
            if tilt == 0.0 and len(centres) == 0:
                continue
            heights = aims[min(index, len(aims) - 1)] - shape.depth / 2 if tilt else np.empty(0)
            walls, away = _wall_strokes(shape, heights, tilt, distance, lowest)
            base = np.full(len(centres), floor + shape.depth)
            degrees = math.degrees(tilt)
            text = (
                say("base, then each wall at {degrees:.0f} deg", degrees=degrees)
                if tilt
                else say("straight in")
            )
            yield Layout(
                np.vstack([_down(centres, floor), walls]), np.concatenate([base, away]), pitch, text
            )


def _wall_strokes(
    shape: Channel, heights: Float, tilt: float, distance: float, lowest: float
) -> tuple[Float, Float]:
    """Strokes on both walls, aimed at those heights from across, the gun no lower than `lowest`."""
    rows, away = [], []
    for aim in heights:
        reach = max(distance, (lowest - aim) / math.cos(tilt))
        x, z = shape.width / 2 - reach * math.sin(tilt), aim + reach * math.cos(tilt)
        for side in (1.0, -1.0):
            rows.append([side * x, z, side * math.sin(tilt), -math.cos(tilt)])
            away.append(reach)
    return np.array(rows).reshape(-1, 4), np.array(away)
