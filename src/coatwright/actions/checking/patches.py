"""What lies on every patch of a job: section as found, window in words, what is due."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import datetime, tzinfo

from coatwright.actions.dossier.patches import patch_told
from coatwright.actions.dossier.told import PatchTold
from coatwright.actions.moments import zoned
from coatwright.actions.record import due, window_words
from coatwright.actions.shop import Opened, Shop
from coatwright.planning.plan import PatchPlan, Plan
from coatwright.record.state import PatchState
from coatwright.sentences import joined


@dataclass(frozen=True, slots=True)
class PatchNow:
    """A patch at a moment; due is empty without a plan."""

    area: str
    area_title: str
    told: PatchTold
    window: str
    due: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Lies:
    """All patches of a job at a moment, and what in the record does not fit, in sentences."""

    at: datetime
    patches: tuple[PatchNow, ...]
    doubts: tuple[str, ...]


def lies(shop: Shop, key: str, zone: tzinfo | None = None, until: datetime | None = None) -> Lies:
    """What lies where, now or at a moment gone by; moments in words are in that time zone.

    What is due is told for now alone, and only if the plan has been computed.
    """
    opened = shop.open(key, until)
    plan = shop.planned(key) if until is None else None
    at = until or shop.clock()
    doubts = tuple(
        joined(": ", (f"{one.place.at.astimezone(zone):%Y-%m-%d %H:%M}", one.what))
        for one in opened.state.doubts
    )
    return Lies(at, tuple(_patches(opened, plan, at, zone)), doubts)


def _patches(
    opened: Opened, plan: Plan | None, at: datetime, zone: tzinfo | None
) -> Iterator[PatchNow]:
    planned = {
        (area.key, patch.key): patch for area in (plan.areas if plan else ())
        for patch in area.patches
    }  # fmt: skip
    for area in opened.bench.job.areas:
        for patch in area.patches:
            state = opened.state.patch(area.key, patch.key)
            state = zoned(replace(state, area=area.key, patch=patch.key), zone)
            if not state.ground:
                state = replace(state, ground=patch.ground.value)
            yield _now(state, area.title, planned.get((area.key, patch.key)), opened, at)


def _now(
    state: PatchState,
    title: str,
    planned: PatchPlan | None,
    opened: Opened,
    at: datetime,
) -> PatchNow:
    standing = state.standing(at)
    return PatchNow(
        state.area,
        title,
        patch_told(state, planned, opened.bench.library),
        window_words(state.window, standing),
        tuple(due(state, planned, standing)) if planned else (),
    )
