"""Signs of time: flash-off, recoat windows, time to sand, dust in the air."""

from datetime import datetime
from itertools import pairwise

from coatwright.record.diagnosis.signs import Measured, Missing, Outcome, Reader, place
from coatwright.record.diagnosis.story import Story

CLOCK = 90.0
"""Spread of a time between two entries in the record [s] (assumption)."""


def _seconds(start: datetime, end: datetime) -> float:
    return (end - start).total_seconds()


def flash_short(story: Story, index: int) -> Outcome:
    """Flash-off kept between the coats of the layer, the shortest against its plan."""
    coats = story.layers[index].coats
    if len(coats) < 2:
        return Missing.NEVER_AROSE
    found = [
        Measured(
            _seconds(last.ended, following.begun),
            last.said.planned.flash,
            CLOCK,
            following.begun,
            place(following.said.product, following.said.coat),
        )
        for last, following in pairwise(coats)
        if last.said.planned and last.said.planned.flash is not None and last.done
    ]
    if not found:
        return Missing.NOT_RECORDED
    return min(found, key=lambda one: one.value - (one.bound or 0.0))


def recoat_early(story: Story, index: int) -> Outcome:
    """Wait from the layer beneath, against the opening of its window."""
    return _wait(story, index, "recoat_from")


def recoat_late(story: Story, index: int) -> Outcome:
    """Wait from the layer beneath, against the close of its window, unless rubbed down first."""
    found = _wait(story, index, "recoat_until")
    if not isinstance(found, Measured) or found.bound is None or found.value <= found.bound:
        return found
    if story.layers[index].before.rubbed:
        return Missing.NEVER_AROSE
    return found if story.rubbing_kept else Missing.NOT_RECORDED


def lifting_zone(story: Story, index: int) -> Outcome:
    """Wait from the layer beneath, against the time in which its sheet says it lifts."""
    found = _wait(story, index, "lifting_to")
    if not isinstance(found, Measured) or found.bound is None:
        return found
    planned = story.layers[index - 1].planned
    start = (planned.lifting_from if planned else None) or 0.0
    inside = min(found.value - start, found.bound - found.value)
    return Measured(found.value, found.bound, found.spread, found.at, found.place, inside)


def _wait(story: Story, index: int, limit: str) -> Outcome:
    if index == 0:
        return Missing.NEVER_AROSE
    under, layer = story.layers[index - 1], story.layers[index]
    if under.planned is None or under.coats[-1].done is None:
        return Missing.NOT_RECORDED
    bound = getattr(under.planned, limit)
    if bound is None:
        return Missing.NEVER_AROSE
    wait = _seconds(under.ended, layer.begun)
    return Measured(wait, bound, CLOCK, layer.begun, place(layer.product))


def rubbed_early(story: Story, index: int) -> Outcome:
    """Wait before the layer itself was rubbed down, against its time to sand."""
    layer, rubbed = story.layers[index], story.prepared(index).rubbed
    if not rubbed:
        return Missing.NEVER_AROSE if story.rubbing_kept else Missing.NOT_RECORDED
    if layer.planned is None or layer.planned.sand_from is None or layer.coats[-1].done is None:
        return Missing.NOT_RECORDED
    wait = _seconds(layer.ended, rubbed[0].at)
    return Measured(wait, layer.planned.sand_from, CLOCK, rubbed[0].at, place(layer.product))


def dust_raised(story: Story, index: int) -> Outcome:
    """Time since somebody rubbed down dry, anywhere in the shop, when a coat was begun."""
    if not story.rubbing_kept:
        return Missing.NOT_RECORDED
    gaps = [
        (_seconds(max(before), coat.begun), coat)
        for coat in story.layers[index].coats
        if (before := [at for at in story.dry_rubbed if at <= coat.begun])
    ]
    if not gaps:
        return Missing.NEVER_AROSE
    gap, coat = min(gaps, key=lambda one: one[0])
    return Measured(gap, None, CLOCK, coat.begun, place(coat.said.product, coat.said.coat))


READERS: dict[str, Reader] = {
    "flash-short": flash_short,
    "recoat-early": recoat_early,
    "recoat-late": recoat_late,
    "lifting-zone": lifting_zone,
    "rubbed-early": rubbed_early,
    "dust-raised": dust_raised,
}
