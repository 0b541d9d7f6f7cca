"""A season of jobs: how far paint and time were foretold wrong, before and after learning."""

from collections.abc import Sequence
from typing import Final, NamedTuple

from coatwright.faces.drawing.svg import (
    SMALL,
    Scale,
    label,
    line,
    number,
    picture,
    step_for,
    tag,
)

_LEFT: Final = 40.0
_RIGHT: Final = 352.0
_TOP: Final = 62.0
_TALL: Final = 96.0
_STEP: Final = 138.0
_APART: Final = 4.0
_MOST: Final = 60.0


class Foretold(NamedTuple):
    """A quantity of one job: foretold by the class alone (middle, low, high), by what the jobs
    before it taught, and as it came."""

    before: float
    before_low: float
    before_high: float
    after: float
    after_low: float
    after_high: float
    came: float

    @property
    def wrong_before(self) -> float:
        """How far the class alone was out, as a share of what came."""
        return self.before / self.came - 1.0

    @property
    def wrong_after(self) -> float:
        """How far it was out with what had been learned."""
        return self.after / self.came - 1.0


class SeasonJob(NamedTuple):
    """One job of a season; paint [m3], spraying and hours [s], film as a share of the planned."""

    number: int
    areas: int
    coats: int
    paint: Foretold
    spraying: Foretold
    hours: Foretold
    film: Foretold


_PANELS: Final = (
    ("paint", "Paint through the gun"),
    ("spraying", "Time with the gun"),
    ("hours", "All hours: steps by hand and gun"),
    ("film", "Mean film"),
)


def season_svg(name: str, season: Sequence[SeasonJob]) -> str:
    """One panel for each quantity: error of the forecast for every job, with its 80 % interval."""
    made = _legend()
    for index, (field, title) in enumerate(_PANELS):
        rows = [getattr(job, field) for job in season]
        made += _panel(title, [job.number for job in season], rows, _TOP + _TALL + index * _STEP)
    height = _TOP + _TALL + (len(_PANELS) - 1) * _STEP + 34
    return picture(name, "A season foretold", describe_season(season), height, *made)


def describe_season(season: Sequence[SeasonJob]) -> str:
    """The mean error of each quantity, before and after, over all jobs but the first."""
    told = []
    for field, title in _PANELS:
        rows = [getattr(job, field) for job in season[1:]]
        before, after = (mean_error(rows, learned) for learned in (False, True))
        told.append(f"{title}: {100 * before:.0f} % out by the class alone, {100 * after:.0f} % ")
    return " ".join(f"{one}with what the jobs before it taught." for one in told)


def season_rows(season: Sequence[SeasonJob]) -> list[tuple[str, ...]]:
    """The same as a table: job, areas, coats, then for each quantity error before and after."""
    rows = [(str(job.number), str(job.areas), str(job.coats), *_errors(job)) for job in season]
    means: list[str] = []
    held: list[str] = []
    for field, _ in _PANELS:
        parts = [getattr(job, field) for job in season[1:]]
        means += [f"{100 * mean_error(parts, learned):.0f} %" for learned in (False, True)]
        held += [f"{share} of {len(parts)}" for share in _held(parts)]
    later = f"2 to {season[-1].number}"
    return [
        *rows,
        (f"{later}: mean without sign", "", "", *means),
        (f"{later}: inside its 80 %", "", "", *held),
    ]


def mean_error(rows: Sequence[Foretold], learned: bool) -> float:
    """Mean of the errors without their sign."""
    errors = [row.wrong_after if learned else row.wrong_before for row in rows]
    return sum(map(abs, errors)) / len(errors)


def _errors(job: SeasonJob) -> list[str]:
    found = []
    for field, _ in _PANELS:
        one = getattr(job, field)
        found += [_signed(100 * wrong) for wrong in (one.wrong_before, one.wrong_after)]
    return found


def _signed(percent: float) -> str:
    whole = round(percent)
    return f"{whole:+d} %" if whole else "0 %"


def _held(rows: Sequence[Foretold]) -> tuple[int, int]:
    """How many came inside the interval, before and after."""
    return (
        sum(row.before_low <= row.came <= row.before_high for row in rows),
        sum(row.after_low <= row.came <= row.after_high for row in rows),
    )


def _legend() -> list[str]:
    return [
        label("How far the forecast was out, % of what came", 4, 14, font_weight="bold"),
        _mark(12, 30, False),
        label("by the class alone", 22, 34, size=SMALL),
        _mark(150, 30, True),
        label("after the jobs before it; bars: 80 %", 160, 34, size=SMALL),
    ]


def _mark(x: float, y: float, learned: bool) -> str:
    fill = "currentColor" if learned else "none"
    return tag("circle", cx=x, cy=y, r=3.6, fill=fill, stroke="currentColor", stroke_width=1.4)


def _panel(title: str, numbers: Sequence[int], rows: Sequence[Foretold], base: float) -> list[str]:
    far = max(max(abs(r.wrong_before), abs(r.wrong_after)) for r in rows) * 100.0
    top = min(_MOST, max(far * 1.6, 15.0))
    y = Scale(-top, top, base, base - _TALL)
    x = Scale(numbers[0] - 0.6, numbers[-1] + 0.6, _LEFT, _RIGHT)
    made = [label(title, 4, base - _TALL - 8, font_weight="bold"), *_axis(y)]
    for place, row in zip(numbers, rows, strict=True):
        made += _job(x(place), row, y)
        made.append(label(str(place), x(place), base + 14, size=SMALL, text_anchor="middle"))
    made.append(label("job", 4, base + 14, size=SMALL))
    return made


def _axis(y: Scale) -> list[str]:
    step = step_for(2.0 * y.high, 5)
    most = int(y.high / step + 1e-9)
    made = []
    for index in range(-most, most + 1):
        place = y(index * step)
        made.append(line(_LEFT, place, _RIGHT, place, stroke_width=0.4 if index else 1.4))
        text = f"{'+' if index > 0 else ''}{number(float(index * step))}"
        made.append(label(text, _LEFT - 5, place + 4, size=SMALL, text_anchor="end"))
    return made


def _job(x: float, row: Foretold, y: Scale) -> list[str]:
    """Both forecasts of one job side by side, bars cut off at the edge of the panel."""
    made = []
    for learned, middle, low, high in (
        (False, row.before, row.before_low, row.before_high),
        (True, row.after, row.after_low, row.after_high),
    ):
        place = x + (_APART if learned else -_APART)
        ends = [_inside(100.0 * (end / row.came - 1.0), y) for end in (low, high)]
        made.append(
            line(place, y(ends[0]), place, y(ends[1]), stroke_width=2.4 if learned else 1.0)
        )
        made.append(_mark(place, y(_inside(100.0 * (middle / row.came - 1.0), y)), learned))
    return made


def _inside(percent: float, y: Scale) -> float:
    return min(max(percent, y.low), y.high)
