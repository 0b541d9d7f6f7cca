"""Signs of the gun and its air: pressure, water, distance, pace."""

from collections.abc import Sequence
from datetime import timedelta
from statistics import fmean

from coatwright.record.diagnosis.signs import Measured, Missing, Outcome, Reader, Told, place
from coatwright.record.diagnosis.story import Air, Coat, Story

GAUGE = 0.05e5
"""Spread of a pressure gauge of a shop [Pa] (assumption)."""
STICK = 0.01
"""Spread of a distance judged by eye or stick [m] (assumption)."""
HIGH = 1.25
"""Pressure above this share of the plan is too high (common practice, no source)."""

_BEFORE, _AFTER = timedelta(minutes=15), timedelta(minutes=2)
_WATER = timedelta(hours=8)


def _readings(story: Story, coat: Coat, areas: Sequence[str]) -> list[Air]:
    """Gauge at the gun, trigger pulled, while that coat was sprayed."""
    return [
        one
        for one in story.air
        if one.area in areas
        and one.said.where == "gun"
        and one.said.trigger
        and coat.begun - _BEFORE <= one.at <= coat.ended + _AFTER
    ]


def pressure_low(story: Story, index: int) -> Outcome:
    """Lowest pressure at the gun, against the least that will do."""
    found = [
        Measured(one.said.pressure, coat.said.planned.pressure_least, GAUGE, one.at,
                 place(coat.said.product, coat.said.coat))
        for coat in story.layers[index].coats
        if coat.said.planned and coat.said.planned.pressure_least
        for one in _readings(story, coat, ("", story.area))
    ]  # fmt: skip
    return min(found, key=lambda one: one.value) if found else Missing.NOT_RECORDED


def pressure_high(story: Story, index: int) -> Outcome:
    """Highest pressure at the gun, against a quarter above the plan."""
    found = [
        Measured(one.said.pressure, HIGH * coat.said.planned.pressure, GAUGE, one.at,
                 place(coat.said.product, coat.said.coat))
        for coat in story.layers[index].coats
        if coat.said.planned and coat.said.planned.pressure
        for one in _readings(story, coat, ("", story.area))
    ]  # fmt: skip
    return max(found, key=lambda one: one.value) if found else Missing.NOT_RECORDED


def pressure_varies(story: Story, index: int) -> Outcome:
    """Rise and fall of the pressure from coat to coat of the layer."""
    layer = story.layers[index]
    found = [
        one for coat in layer.coats for one in _readings(story, coat, ("", story.area))
    ]  # fmt: skip
    if len(found) < 2:
        return Missing.NOT_RECORDED
    pressures = [one.said.pressure for one in found]
    swing = max(pressures) - min(pressures)
    return Measured(swing, None, 1.4 * GAUGE, found[-1].at, place(layer.product))


def pressure_differs(story: Story, index: int) -> Outcome:
    """Mean pressure against the same product on other areas."""
    layer = story.layers[index]
    own = [one.said.pressure for coat in layer.coats
           for one in _readings(story, coat, ("", story.area))]  # fmt: skip
    same = [
        (name, one)
        for name, many in story.others.items()
        for one in many
        if one.product == layer.product
    ]
    if not same:
        return Missing.NEVER_AROSE
    theirs = [
        fmean(found)
        for name, one in same
        if (found := [air.said.pressure for coat in one.coats
                      for air in _readings(story, coat, (name,))])
    ]  # fmt: skip
    if not own or not theirs:
        return Missing.NOT_RECORDED
    value = max(abs(fmean(own) - one) for one in theirs)
    return Measured(value, None, GAUGE, layer.begun, place(layer.product))


def water_in_air(story: Story, index: int) -> Outcome:
    """Water at the trap or the gun in the hours before, or while the layer was sprayed."""
    layer = story.layers[index]
    found = [one for one in story.air if layer.begun - _WATER <= one.at <= layer.ended + _AFTER]
    if not found:
        return Missing.NOT_RECORDED
    wet = [one for one in found if one.said.water]
    return Told(bool(wet), (wet or found)[-1].at, place(layer.product))


def distance_far(story: Story, index: int) -> Outcome:
    """Greatest distance of gun to work."""
    found = _distances(story, index)
    return max(found, key=lambda one: one.value) if found else Missing.NOT_RECORDED


def distance_near(story: Story, index: int) -> Outcome:
    """Least distance of gun to work."""
    found = _distances(story, index)
    return min(found, key=lambda one: one.value) if found else Missing.NOT_RECORDED


def _distances(story: Story, index: int) -> list[Measured]:
    return [
        Measured(coat.said.distance, None, STICK, coat.begun,
                 place(coat.said.product, coat.said.coat))
        for coat in story.layers[index].coats
        if coat.said.distance is not None
    ]  # fmt: skip


def strokes_slow(story: Story, index: int) -> Outcome:
    """Longest time on the trigger, as a share of the plan's."""
    found = _paces(story, index)
    return max(found, key=lambda one: one.value) if found else Missing.NOT_RECORDED


def strokes_fast(story: Story, index: int) -> Outcome:
    """Shortest time on the trigger, as a share of the plan's."""
    found = _paces(story, index)
    return min(found, key=lambda one: one.value) if found else Missing.NOT_RECORDED


def _paces(story: Story, index: int) -> list[Measured]:
    return [
        Measured(coat.trigger / coat.said.planned.trigger, None, 0.03, coat.ended,
                 place(coat.said.product, coat.said.coat))
        for coat in story.layers[index].coats
        if coat.trigger and coat.said.planned and coat.said.planned.trigger
    ]  # fmt: skip


READERS: dict[str, Reader] = {
    "pressure-low": pressure_low,
    "pressure-high": pressure_high,
    "pressure-varies": pressure_varies,
    "pressure-differs": pressure_differs,
    "water-in-air": water_in_air,
    "distance-far": distance_far,
    "distance-near": distance_near,
    "strokes-slow": strokes_slow,
    "strokes-fast": strokes_fast,
}
