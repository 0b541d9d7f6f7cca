"""The window map: for every layer of every patch a bar from when it opens to when it closes.

Time runs by ratio: a window stays as wide however long the product takes, and the best moment,
equally far by ratio from both ends, stands in its middle.
"""

import math
from collections.abc import Mapping, Sequence
from datetime import datetime, timedelta
from typing import Final

from coatwright.faces.drawing.ink import hatch
from coatwright.faces.drawing.svg import SMALL, WIDTH, Scale, label, line, path, picture, tag, wrap
from coatwright.faces.format import Words, clock, hour_of
from coatwright.planning.conditions.window_plan import Window

Titles = Mapping[tuple[str, str], str]
"""What each (area, patch) is called."""

_LEFT: Final = 6.0
_RIGHT: Final = 346.0
_TOP: Final = 46.0
_ROW: Final = 36.0
_BAR: Final = 11.0
_LEAST: Final = 900.0
_HOUR: Final = 3600.0
_LETTERS: Final = 56
_LETTER: Final = 6.2
_MARKS: Final = (0.25, 1, 2, 4, 8, 24, 48, 96, 168, 336, 672)


def windows_svg(
    name: str,
    windows: Sequence[Window],
    titles: Titles,
    words: Words,
    start: str = "",
    last: float = 0.0,
) -> str:
    """Windows in the order given; start is the map's clock time.

    last is the end of the axis [s]: give the `reach` of the whole map to draw parts of it alike.
    """
    x = Scale(math.log2(_LEAST), math.log2(last or reach(windows)), _LEFT, _RIGHT)
    height = _TOP + len(windows) * _ROW
    made = [tag("defs", hatch(f"{name}-shut", 5.0, 1.0))]
    made += _marks(x, height, start)
    for index, window in enumerate(windows):
        made += _row(f"{name}-shut", window, titles, x, _TOP + index * _ROW)
    made.append(_foot(height))
    told = describe_windows(windows, titles, words)
    return picture(name, "Window map", told, height + 26, *made)


def reach(windows: Sequence[Window]) -> float:
    """Where an axis that shows all these windows ends [s]."""
    ends = [one.closes.value if one.closes else one.best.value * 2.0 for one in windows]
    return max([4.0 * _HOUR, *(end * 1.15 for end in ends)])


def describe_windows(windows: Sequence[Window], titles: Titles, words: Words, most: int = 5) -> str:
    """The first few windows in words."""
    told = [
        f"{place(one, titles)}: opens {when(one, 1, words)}, closes {when(one, 3, words)}."
        for one in windows[:most]
    ]
    rest = len(windows) - len(told)
    return " ".join([*told, f"And {rest} more, in the table." if rest else ""]).strip()


def place(window: Window, titles: Titles) -> str:
    """Where and what a window is of."""
    where = titles.get((window.area, window.patch), f"{window.area}, {window.patch}")
    return f"{where}: {window.title}"


def when(window: Window, which: int, words: Words) -> str:
    """When it was laid (0), opens (1), is best (2) or closes (3): clock time, or from the start."""
    figure = (window.laid, window.opens, window.best, window.closes)[which]
    if figure is None:
        return "never"
    if window.stamps[which]:
        return clock(window.stamps[which])
    return words.window(figure)


def _at(x: Scale, seconds: float) -> float:
    return x(math.log2(min(max(seconds, _LEAST), 2.0**x.high)))


def _marks(x: Scale, height: float, start: str) -> list[str]:
    """Upright lines at round times: how long from the start, and what the clock says then."""
    began = datetime.fromisoformat(start) if start else None
    made = [label("from the start" + (f", {clock(start)}" if start else ""), 4, 12,
                  size=SMALL, font_weight="bold")]  # fmt: skip
    free = 0.0
    for hours in _MARKS:
        if math.log2(hours * _HOUR) > x.high + 1e-9:
            break
        spot = _at(x, hours * _HOUR)
        made.append(line(spot, _TOP - 4, spot, height, stroke_width=0.5, stroke_opacity="0.45"))
        texts = [_told(hours), *_clocks(began, hours)]
        wide = max(map(len, texts)) * _LETTER
        left = min(max(spot - wide / 2, 2.0), WIDTH - wide - 2.0)
        if left >= free:
            free = left + wide + 2.0
            for row, text in enumerate(texts):
                made.append(
                    label(text, left + wide / 2, 26 + 13 * row, size=SMALL, text_anchor="middle")
                )
    return made


def _clocks(began: datetime | None, hours: float) -> list[str]:
    """What the clock says so long after the start, for the marks where there is room."""
    if began is None or hours not in (4, 8, 24, 48, 168):
        return []
    stamp = (began + timedelta(hours=hours)).isoformat(" ", "minutes")
    return [hour_of(stamp) if hours < 24 else clock(stamp)[:3]]


def _told(hours: float) -> str:
    if hours < 1:
        return f"{hours * 60:.0f} min"
    return f"{hours:.0f} h" if hours < 24 else f"{hours / 24:.0f} d"


def _row(shut: str, window: Window, titles: Titles, x: Scale, top: float) -> list[str]:
    text = wrap(place(window, titles), _LETTERS, 1)[0]
    middle = top + 18 + _BAR / 2
    left, best = _at(x, window.opens.value), _at(x, window.best.value)
    right = _at(x, window.closes.value) if window.closes else _RIGHT
    made = [
        label(text, 4, top + 12, size=SMALL, class_="halo"),
        line(_at(x, window.laid.value), middle, left, middle, stroke_dasharray="1 3",
             stroke_width=1.6),
    ]  # fmt: skip
    if window.shut:
        made.append(_box(right, max(left - right, 3.0), middle, f"url(#{shut})"))
        return made
    made.append(_box(left, max(right - left, 2.0), middle, "currentColor", "0.22"))
    if window.closes is None:
        tip = [(_RIGHT - 1, middle - 7), (_RIGHT + 8, middle), (_RIGHT - 1, middle + 7)]
        made.append(tag("path", d=path(tip, closed=True), fill="currentColor"))
    else:
        made.append(line(right, middle - 9, right, middle + 9, stroke_width=3))
    corners = [(best, middle - 6), (best + 6, middle), (best, middle + 6), (best - 6, middle)]
    made.append(tag("path", d=path(corners, closed=True), fill="currentColor"))
    return made


def _box(left: float, width: float, middle: float, fill: str, share: str | None = None) -> str:
    return tag("rect", x=left, y=middle - _BAR / 2, width=width, height=_BAR, fill=fill,
               fill_opacity=share, stroke="currentColor", stroke_width=0.8)  # fmt: skip


def _foot(height: float) -> str:
    y = height + 14
    text = "dots: drying; bar: open; diamond: best; heavy end: closes"
    return label(text, 4, y, size=SMALL)
