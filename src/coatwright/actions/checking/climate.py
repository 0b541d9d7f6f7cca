"""What the last climate reading says: how far the metal is above the dew point."""

from dataclasses import dataclass
from datetime import datetime
from typing import Final

from coatwright.engines import climate
from coatwright.figures import Figure
from coatwright.record.state import ClimateReading, JobState

LEAST_MARGIN: Final = 3.0
"""Metal this much above the dew point is usually asked for [K] (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class ClimateTold:
    """One reading; margin: metal above the dew point of the air, None if not all was read."""

    area: str
    at: datetime
    who: str
    air: Figure | None
    metal: Figure | None
    humidity: Figure | None
    dew_point: Figure | None
    margin: Figure | None

    @property
    def near(self) -> bool:
        """Whether the metal is nearer to the dew point than is usually allowed."""
        return self.margin is not None and self.margin.value < LEAST_MARGIN


def climates(state: JobState) -> tuple[ClimateTold, ...]:
    """The last reading of each area and of the shop, newest first."""
    told = [_told(area, one) for area, one in state.climate.items()]
    return tuple(sorted(told, key=lambda one: one.at, reverse=True))


def _told(area: str, one: ClimateReading) -> ClimateTold:
    dew = margin = None
    if one.air is not None and one.humidity:
        dew = climate.dew_point(one.air, one.humidity)
        if one.metal is not None:
            margin = climate.dew_margin(one.metal, one.air, one.humidity)
    return ClimateTold(
        area, one.place.at.astimezone(), one.place.who,
        _figure(one.air, "temperature"), _figure(one.metal, "temperature"),
        _figure(one.humidity, "fraction"),
        None if dew is None else Figure(dew, "temperature", "formula", "ashrae-2017"),
        None if margin is None else Figure(
            margin, "temperature difference", "formula", "ashrae-2017", "metal less dew point"
        ),
    )  # fmt: skip


def _figure(value: float | None, purpose: str) -> Figure | None:
    return None if value is None else Figure(value, purpose, "measured", "paint-record")
