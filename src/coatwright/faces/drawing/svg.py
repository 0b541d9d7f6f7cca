"""Small pieces of SVG as escaped text: tags, labels, scales that end on round numbers.

Pictures are drawn 360 units wide, so that on a phone one unit is about one pixel and the text in
them stays readable. They take the page's ink (currentColor), so that they follow its dark mode.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from html import escape
from typing import Final

WIDTH: Final = 360
TEXT: Final = 12.0
SMALL: Final = 11.0


def tag(name: str, *children: str, **attributes: object) -> str:
    """One element; underscores in attribute names become hyphens, None leaves one out."""
    written = "".join(
        f' {key.rstrip("_").replace("_", "-")}="{escape(number(value), quote=True)}"'
        for key, value in attributes.items()
        if value is not None
    )
    inside = "".join(children)
    return f"<{name}{written}>{inside}</{name}>" if inside else f"<{name}{written}/>"


def number(value: object) -> str:
    """A coordinate to a tenth of a unit; anything else as text."""
    if isinstance(value, float):
        return f"{value:.1f}".rstrip("0").rstrip(".") if math.isfinite(value) else "0"
    return str(value)


def label(text: str, x: float, y: float, *, size: float = TEXT, **attributes: object) -> str:
    """A line of text in the page's ink."""
    attributes.setdefault("fill", "currentColor")
    return tag("text", escape(text), x=x, y=y, font_size=size, **attributes)


def line(x1: float, y1: float, x2: float, y2: float, **attributes: object) -> str:
    """A straight line in the page's ink."""
    attributes.setdefault("stroke", "currentColor")
    return tag("line", x1=x1, y1=y1, x2=x2, y2=y2, **attributes)


def path(points: Sequence[tuple[float, float]], *, closed: bool = False) -> str:
    """Path data through the points."""
    steps = " ".join(f"{number(float(x))},{number(float(y))}" for x, y in points)
    return f"M{steps}" + ("Z" if closed else "")


def picture(name: str, title: str, description: str, height: float, *children: str) -> str:
    """A whole picture, named and described for those who cannot see it."""
    return tag(
        "svg",
        tag("title", escape(title), id=f"{name}-t"),
        tag("desc", escape(description), id=f"{name}-d"),
        *children,
        xmlns="http://www.w3.org/2000/svg",
        viewBox=f"0 0 {WIDTH} {number(float(height))}",
        role="img",
        aria_labelledby=f"{name}-t {name}-d",
        class_="drawing",
    )


@dataclass(frozen=True, slots=True)
class Scale:
    """A straight scale from data to units of the drawing."""

    low: float
    high: float
    start: float
    end: float

    def __call__(self, value: float) -> float:
        """Where the value stands."""
        share = (value - self.low) / (self.high - self.low)
        return self.start + share * (self.end - self.start)


def step_for(span: float, most: int, factors: Sequence[float] = (1, 2, 5)) -> float:
    """A round step (1, 2 or 5 times a power of ten) with at most that many steps in the span."""
    rough = span / max(most, 1)
    power = 10.0 ** math.floor(math.log10(rough))
    return next(power * f for f in (*factors, 10) if power * f >= rough * (1 - 1e-9))


def ticks(high: float, most: int, low: float = 0.0) -> list[float]:
    """Round values from low to high, both ends included where they are round."""
    if high - low <= 0.0:
        return [low]
    step = step_for(high - low, most)
    first = math.ceil(low / step - 1e-9)
    return [index * step for index in range(first, math.floor(high / step + 1e-9) + 1)]


def spread_apart(
    wanted: Sequence[float], heights: Sequence[float], low: float, high: float
) -> list[float]:
    """Centres near `wanted` (ascending) so that boxes of those heights neither touch nor leave.

    Boxes that would overlap are stacked as one block around the mean of where they wanted to be
    (least squares, pool adjacent violators), then kept between low and high; they must fit there.
    """
    starts = [sum(heights[:index]) + heights[index] / 2 for index in range(len(heights))]
    blocks: list[list[float]] = []
    for centre, start in zip(wanted, starts, strict=True):
        blocks.append([centre - start])
        while len(blocks) > 1 and _mean(blocks[-2]) > _mean(blocks[-1]):
            blocks[-2:] = [blocks[-2] + blocks[-1]]
    shifts = [_mean(block) for block in blocks for _ in block]
    most = high - sum(heights)
    return [min(max(shift, low), most) + start for shift, start in zip(shifts, starts, strict=True)]


def _mean(values: Sequence[float]) -> float:
    return sum(values) / len(values)


def wrap(text: str, width: int, most: int = 2) -> list[str]:
    """Text in lines of about `width` letters; past `most` lines it ends in an ellipsis."""
    lines: list[str] = [""]
    for word in text.split():
        fits = len(lines[-1]) + len(word) + 1 <= width or not lines[-1]
        if fits:
            lines[-1] = f"{lines[-1]} {word}".strip()
        else:
            lines.append(word)
    if len(lines) > 1 and len(lines[-1]) <= 4 and " " in lines[-2]:
        lines[-2], last = lines[-2].rsplit(" ", 1)
        lines[-1] = f"{last} {lines[-1]}"  # no lone "2:1" on a line of its own
    if len(lines) > most:
        kept = lines[:most]
        kept[-1] = kept[-1][: width - 1].rstrip() + "…"
        lines = kept
    return [one if len(one) <= width + 4 else one[: width + 3] + "…" for one in lines]
