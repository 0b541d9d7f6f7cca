"""The day: a column for each person, a row for each area with its windows open and closed."""

from collections.abc import Sequence
from datetime import datetime, timedelta
from typing import Final, Literal, NamedTuple

from coatwright.faces.drawing.ink import hatch
from coatwright.faces.drawing.svg import SMALL, Scale, label, line, picture, tag, wrap
from coatwright.faces.format import Words, hour_of

Kind = Literal["work", "spray", "wait", "rest"]

ENGLISH: Final = Words()
"""Worded for a reader of English and metric units."""

_HOUR: Final = 3600.0
_LEFT: Final = 40.0
_RIGHT: Final = 356.0
_PER_HOUR: Final = 72.0
_HEAD: Final = 26.0
_LINE: Final = 12.5
_ROW: Final = 44.0
_TOP: Final = 40.0
_BAR: Final = 12.0


class Block(NamedTuple):
    """One piece of work or waiting, from start to end [s from the start of the day plan]."""

    start: float
    end: float
    text: str
    kind: Kind


class Opening(NamedTuple):
    """A window in which the next layer may go on [s]; closes None: it does not."""

    opens: float
    closes: float | None


class Lane(NamedTuple):
    """A person or an area, with what happens there."""

    title: str
    blocks: tuple[Block, ...]
    openings: tuple[Opening, ...] = ()


class Frame(NamedTuple):
    """The stretch of time that is drawn [s], and the clock at second 0 ("" if none is known)."""

    low: float
    high: float
    start: str = ""

    def clock(self, seconds: float) -> str:
        """The clock at a time; without a date, hours and minutes from the start."""
        if self.start:
            when = datetime.fromisoformat(self.start) + timedelta(seconds=seconds)
            return hour_of(when.isoformat(" ", "minutes"))
        return f"{int(seconds // _HOUR)}:{round(seconds % _HOUR / 60) % 60:02d}"

    def hours(self, every: float = 1.0) -> list[float]:
        """Full hours of the clock within the frame [s]."""
        offset = 0.0
        if self.start:
            begin = datetime.fromisoformat(self.start)
            offset = begin.hour * _HOUR + begin.minute * 60.0
        step = every * _HOUR
        first = -(-(self.low + offset) // step) * step - offset
        count = int((self.high - first) // step) + 1
        return [first + index * step for index in range(max(count, 0))]


def people_svg(name: str, lanes: Sequence[Lane], frame: Frame, words: Words = ENGLISH) -> str:
    """A column for each person, time downwards, so that the words fit on a phone."""
    span = (frame.high - frame.low) / _HOUR
    y = Scale(frame.low, frame.high, _HEAD, _HEAD + span * _PER_HOUR)
    wide = (_RIGHT - _LEFT) / max(len(lanes), 1)
    made = [tag("defs", hatch(f"{name}-spray", 4.0, 1.1))]
    for when in frame.hours():
        made.append(line(_LEFT - 4, y(when), _RIGHT, y(when), stroke_width=0.5,
                         stroke_opacity="0.4"))  # fmt: skip
        made.append(label(frame.clock(when), 2, y(when) + 4, size=SMALL))
    for index, lane in enumerate(lanes):
        left = _LEFT + index * wide
        made.append(label(wrap(lane.title, int(wide / 6.2), 1)[0], left + 2, 15,
                          font_weight="bold"))  # fmt: skip
        for block in _within(lane.blocks, frame):
            told = block._replace(text=words.tell(block.text))
            made += _column(f"{name}-spray", told, (left, wide - 3.0), y)
    described = describe_lanes(lanes, frame, words)
    return picture(name, words.say("The day, by person"), described, y.end + 12, *made)


def areas_svg(name: str, lanes: Sequence[Lane], frame: Frame, words: Words = ENGLISH) -> str:
    """A row for each area, time to the right: work, drying, and the windows under them."""
    x = Scale(frame.low, frame.high, 8.0, _RIGHT - 4)
    height = _TOP + len(lanes) * _ROW
    made = [tag("defs", hatch(f"{name}-spray", 4.0, 1.1)), *_legend(f"{name}-spray", words)]
    span = (frame.high - frame.low) / _HOUR
    for when in frame.hours(1.0 if span <= 6 else 2.0 if span <= 14 else 4.0):
        place = x(when)
        anchor = "end" if place > _RIGHT - 20 else "start" if place < 18 else "middle"
        made.append(line(place, _TOP - 4, place, height, stroke_width=0.5, stroke_opacity="0.4"))
        made.append(label(frame.clock(when), place, _TOP - 8, size=SMALL, text_anchor=anchor))
    for index, lane in enumerate(lanes):
        made += _area(f"{name}-spray", lane, x, _TOP + index * _ROW, frame)
    described = describe_lanes(lanes, frame, words)
    return picture(name, words.say("The day, by area"), described, height + 6, *made)


def describe_lanes(lanes: Sequence[Lane], frame: Frame, words: Words = ENGLISH) -> str:
    """Each lane's work in one sentence."""
    told = []
    for lane in lanes:
        work = [one for one in _within(lane.blocks, frame) if one.kind != "wait"]
        if work:
            first, last = frame.clock(work[0].start), frame.clock(work[-1].end)
            told.append(
                words.say(
                    "{who}: 1 piece of work, {first} to {last}.",
                    who=lane.title, first=first, last=last,
                )
                if len(work) == 1
                else words.say(
                    "{who}: {count} pieces of work, {first} to {last}.",
                    who=lane.title, count=len(work), first=first, last=last,
                )
            )  # fmt: skip
    return " ".join(told) or words.say("Nothing is done.")


def _within(blocks: Sequence[Block], frame: Frame) -> list[Block]:
    """The blocks that touch the frame, cut to it, in order of time."""
    cut = [
        one._replace(start=max(one.start, frame.low), end=min(one.end, frame.high))
        for one in blocks
        if one.end > frame.low and one.start < frame.high
    ]
    return sorted(cut, key=lambda one: (one.start, one.end))


def _column(spray: str, block: Block, place: tuple[float, float], y: Scale) -> list[str]:
    left, wide = place
    top, tall = y(block.start), max(y(block.end) - y(block.start), 1.2)
    box = {"x": left, "y": top, "width": wide, "height": tall}
    made = [_filled(spray, block.kind, box)]
    lines = int((tall - 1.0) // _LINE)
    for row, text in enumerate(wrap(block.text, int(wide / 5.9), max(lines, 1))):
        if row < lines:
            made.append(label(text, left + 3, top + 10.5 + row * _LINE, size=SMALL, class_="halo"))
    return made


def _filled(spray: str, kind: Kind, box: dict[str, float]) -> str:
    edge = {"stroke": "currentColor", "stroke_width": 0.9}
    if kind == "spray":
        return tag("rect", fill=f"url(#{spray})", **edge, **box)
    if kind == "work":
        return tag("rect", fill="currentColor", fill_opacity="0.14", **edge, **box)
    return tag("rect", fill="none", stroke_dasharray="2 2", **edge, **box)


def _area(spray: str, lane: Lane, x: Scale, top: float, frame: Frame) -> list[str]:
    made = [label(wrap(lane.title, 56, 1)[0], 4, top + 12, size=SMALL, class_="halo")]
    y = top + 17
    for block in _within(lane.blocks, frame):
        left, right = x(block.start), x(block.end)
        if block.kind == "wait":
            made.append(line(left, y + _BAR / 2, right, y + _BAR / 2, stroke_width=1.6,
                             stroke_dasharray="1 3"))  # fmt: skip
        else:
            box = {"x": left, "y": y, "width": max(right - left, 1.2), "height": _BAR}
            made.append(_filled(spray, block.kind, box))
    for one in lane.openings:
        made += _window(one, x, y + _BAR + 5, frame)
    return made


def _window(one: Opening, x: Scale, y: float, frame: Frame) -> list[str]:
    """A thick line while it is open, an upright end where it closes."""
    if one.opens >= frame.high or (one.closes is not None and one.closes <= frame.low):
        return []
    left = x(max(one.opens, frame.low))
    closes = one.closes if one.closes is not None and one.closes <= frame.high else None
    right = x(frame.high if closes is None else closes)
    made = [line(left, y, right, y, stroke_width=3.2, stroke_opacity="0.55")]
    if closes is not None:
        made.append(line(right, y - 5, right, y + 5, stroke_width=2.4))
    return made


def _legend(spray: str, words: Words) -> list[str]:
    box = {"y": 3.0, "width": 16.0, "height": 10.0}
    return [
        _filled(spray, "work", {"x": 4.0, **box}),
        label(words.say("work"), 23, 12, size=SMALL),
        _filled(spray, "spray", {"x": 58.0, **box}),
        label(words.say("coat"), 77, 12, size=SMALL),
        line(110, 8, 128, 8, stroke_width=1.6, stroke_dasharray="1 3"),
        label(words.say("drying"), 132, 12, size=SMALL),
        line(176, 8, 194, 8, stroke_width=3.2, stroke_opacity="0.55"),
        line(194, 3, 194, 13, stroke_width=2.4),
        label(words.say("may be coated until"), 200, 12, size=SMALL),
    ]
