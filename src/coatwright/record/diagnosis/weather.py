"""Signs of the climate: dew, cold, heat, damp and draught, in spraying and in the hours after."""

import math
from collections.abc import Callable
from datetime import datetime, timedelta

from coatwright.engines.climate import dew_margin
from coatwright.errors import RangeError
from coatwright.record.diagnosis.signs import Measured, Missing, Outcome, Reader, place
from coatwright.record.diagnosis.story import Climate, Layer, Story

THERMOMETER = 0.5
"""Spread of a thermometer of a shop on metal [K] (assumption)."""
AIR_FOR_METAL = 2.0
"""Spread of the metal's temperature where only the air's was read [K] (assumption)."""
HYGROMETER = 0.03
"""Spread of a hygrometer of a shop (assumption)."""
ANEMOMETER = 0.08
"""Spread of an air speed read in a shop [m/s] (assumption)."""

_BEFORE = timedelta(minutes=45)
_LONGEST = 24 * 3600.0

Reading = Callable[[Climate], tuple[float, float] | None]
"""Value and spread of one quantity of a reading."""


def _spraying(story: Story, layer: Layer) -> list[Climate]:
    """Readings from just before each coat until it has flashed off."""
    spans = [
        (coat.begun - _BEFORE, coat.ended + timedelta(seconds=_flash(layer)))
        for coat in layer.coats
    ]
    return [one for one in story.climate if any(low <= one.at <= high for low, high in spans)]


def _flash(layer: Layer) -> float:
    return (layer.planned.flash if layer.planned else None) or 900.0


def _curing(story: Story, index: int) -> list[Climate]:
    """Readings after the flash-off until it is cured or painted over, a day at most."""
    layer = story.layers[index]
    cured = (layer.planned.cured if layer.planned else None) or _LONGEST
    low = layer.ended + timedelta(seconds=_flash(layer))
    high = layer.ended + timedelta(seconds=min(cured, _LONGEST))
    if index + 1 < len(story.layers):
        high = min(high, story.layers[index + 1].begun - _BEFORE)
    return [one for one in story.climate if low < one.at <= high]


def _metal(one: Climate) -> tuple[float, float] | None:
    if one.said.metal is not None:
        return one.said.metal, THERMOMETER
    return (one.said.air, AIR_FOR_METAL) if one.said.air is not None else None


def _dew(one: Climate) -> tuple[float, float] | None:
    """Metal above the dew point; spread by the spreads of what was read."""
    metal, air, humidity = _metal(one), one.said.air, one.said.humidity
    if metal is None or air is None or not humidity:
        return None
    try:
        margin, drier, damper = (
            dew_margin(metal[0], air, min(1.0, max(0.02, humidity + more)))
            for more in (0.0, -HYGROMETER, HYGROMETER)
        )
    except RangeError:  # a slip of the pen: no shop is that cold or hot
        return None
    return margin, math.hypot(metal[1], THERMOMETER, (drier - damper) / 2)


def _humidity(one: Climate) -> tuple[float, float] | None:
    return None if one.said.humidity is None else (one.said.humidity, HYGROMETER)


def _speed(one: Climate) -> tuple[float, float] | None:
    return None if one.said.air_speed is None else (one.said.air_speed, ANEMOMETER)


def _worst(
    readings: list[Climate], quantity: Reading, highest: bool, bound: float | None, product: str
) -> Outcome:
    """The highest or lowest of a quantity among some readings."""
    found = [(one.at, *read) for one in readings if (read := quantity(one))]
    if not found:
        return Missing.NOT_RECORDED
    at, value, spread = (max if highest else min)(found, key=_value)
    return Measured(value, bound, spread, at, place(product))


def _value(one: tuple[datetime, float, float]) -> float:
    return one[1]


def dew_near(story: Story, index: int) -> Outcome:
    """Least dew-point margin of the metal through spraying and flash-off."""
    layer = story.layers[index]
    return _worst(_spraying(story, layer), _dew, False, None, layer.product)


def dew_later(story: Story, index: int) -> Outcome:
    """Least dew-point margin of the metal while the layer dried."""
    return _worst(_curing(story, index), _dew, False, None, story.layers[index].product)


def metal_cold(story: Story, index: int) -> Outcome:
    """Lowest temperature of the metal in spraying, against the sheet's."""
    return _limited(story, index, _metal, "metal_least")


def metal_hot(story: Story, index: int) -> Outcome:
    """Highest temperature of the metal in spraying, against the sheet's."""
    return _limited(story, index, _metal, "metal_most")


def humid(story: Story, index: int) -> Outcome:
    """Highest humidity in spraying, against the sheet's."""
    return _limited(story, index, _humidity, "humidity_most")


def _limited(story: Story, index: int, quantity: Reading, limit: str) -> Outcome:
    layer = story.layers[index]
    bound = getattr(layer.planned, limit, None)
    if bound is None:
        return Missing.NOT_RECORDED
    highest = limit.endswith("most")
    return _worst(_spraying(story, layer), quantity, highest, bound, layer.product)


def cold_cure(story: Story, index: int) -> Outcome:
    """Lowest temperature of the metal while the layer cured, against the sheet's."""
    layer = story.layers[index]
    if layer.planned is None or layer.planned.metal_least is None:
        return Missing.NOT_RECORDED
    return _worst(_curing(story, index), _metal, False, layer.planned.metal_least, layer.product)


def draught(story: Story, index: int) -> Outcome:
    """Fastest air over the work in spraying."""
    layer = story.layers[index]
    return _worst(_spraying(story, layer), _speed, True, None, layer.product)


READERS: dict[str, Reader] = {
    "dew-near": dew_near,
    "dew-later": dew_later,
    "metal-cold": metal_cold,
    "metal-hot": metal_hot,
    "humid": humid,
    "cold-cure": cold_cure,
    "draught": draught,
}
