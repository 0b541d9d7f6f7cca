"""The windows of a job as they stand: every patch, coat by coat, what lapses next first."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from typing import Final, Literal

from coatwright.actions.shop import Shop
from coatwright.planning.conditions.window_plan import Lapse
from coatwright.planning.plan import AreaPlan, LayerPlan, PatchPlan, Plan
from coatwright.record.state import JobState, PatchState, Window

Standing = Literal["shut", "open", "waits", "spraying", "unknown", "bare", "all on"]
"""shut: abrade first. open: the next may go on. waits: not yet. unknown: laid without a plan."""

ORDER: Final[tuple[Standing, ...]] = (
    "spraying", "shut", "open", "waits", "unknown", "bare", "all on",
)  # fmt: skip
_BOUND: Final = ("open", "waits", "shut")


@dataclass(frozen=True, slots=True)
class Layer:
    """One layer of the plan on a patch: coats planned and coats laid; due: it is the next one."""

    product: str
    title: str
    family: str
    coats: int
    laid: int
    due: bool


@dataclass(frozen=True, slots=True)
class PatchWindow:
    """How the window of a patch stands, and what it waits for.

    opens, shuts: of what is due; None if not known, past or without a limit. past: what is needed
    once it has shut; lapse: what that costs by the plan (None where the sheet sets no limit).
    """

    area: str
    area_title: str
    patch: str
    ground: str
    layers: tuple[Layer, ...]
    standing: Standing
    opens: datetime | None = None
    shuts: datetime | None = None
    past: str = ""
    lapse: Lapse | None = None

    @property
    def due(self) -> Layer | None:
        """The layer that comes next, or is not complete; None if all are on."""
        return next((layer for layer in self.layers if layer.due), None)

    @property
    def coat(self) -> int:
        """Number of the coat that is due."""
        return self.due.laid + 1 if self.due else 0


def windows(shop: Shop, key: str) -> tuple[PatchWindow, ...]:
    """Every patch of a job, what lapses next first, then what opens next.

    The plan is computed if it has not been. Windows are those of the coats as laid: from the
    moment the record has, with the times that the plan gave the coat at its metal temperature.
    """
    return windows_of(shop.plan(key), shop.open(key).state, shop.clock())


def windows_of(plan: Plan, state: JobState, now: datetime) -> tuple[PatchWindow, ...]:
    """The same of a plan and a state that are there already, at a moment."""
    lapses = _lapses(plan)
    found = [
        _window(area, patch, state.patch(area.key, patch.key), lapses, now)
        for area in plan.areas
        for patch in area.patches
    ]
    return tuple(sorted(found, key=_urgency))


def _urgency(one: PatchWindow) -> tuple[int, bool, float]:
    until = one.opens if one.standing == "waits" else one.shuts
    return ORDER.index(one.standing), until is None, until.timestamp() if until else 0.0


def _lapses(plan: Plan) -> dict[tuple[str, str, str], Lapse]:
    if plan.outlook is None:
        return {}
    return {
        (one.area, one.patch, one.product): one.lapse
        for one in plan.outlook.windows.windows
        if one.lapse is not None
    }


def _window(
    area: AreaPlan,
    patch: PatchPlan,
    laid: PatchState,
    lapses: dict[tuple[str, str, str], Lapse],
    now: datetime,
) -> PatchWindow:
    layers, astray = _layers(patch.layers, laid)
    told = PatchWindow(area.key, area.title, patch.key, laid.ground or patch.ground, layers, "bare")
    window, top, due = laid.window, laid.top, told.due
    if window is None or top is None:
        return told
    same = due is not None and due.product == top.product
    standing = "unknown" if astray else _standing(window, due, same, now)
    return replace(
        told,
        standing=standing,
        opens=(window.flashed if same else window.opens) if standing == "waits" else None,
        shuts=window.shuts if standing in _BOUND and not (same or window.abraded) else None,
        past=window.past,
        lapse=None if same or due is None else lapses.get((area.key, patch.key, top.product)),
    )


def _standing(window: Window, due: Layer | None, same: bool, now: datetime) -> Standing:
    if window.spraying:
        return "spraying"
    if due is None:
        return "all on"
    opens = window.flashed if same else window.opens
    if opens is None and not window.abraded:
        return "unknown"
    if opens is not None and now < opens:
        return "waits"
    return "shut" if not same and window.standing(now) == "shut" else "open"


def _layers(planned: Sequence[LayerPlan], laid: PatchState) -> tuple[tuple[Layer, ...], bool]:
    """Layers of the plan in order with what lies of each; whether something lies astray."""
    counts, place, astray = [0] * len(planned), 0, False
    for layer in laid.layers:
        found = next(
            (i for i in range(place, len(planned)) if planned[i].product == layer.product), None
        )
        if found is None:
            astray = True
        else:
            counts[found], place = len(layer.coats), found + 1
    wanted = [round(layer.coats.value) for layer in planned]
    top = laid.top
    if place and top and top.product == planned[place - 1].product and not top.rubbed:
        place -= counts[place - 1] < wanted[place - 1]
    rows = zip(planned, wanted, counts, strict=True)
    return tuple(
        Layer(layer.product, layer.title, layer.family, coats, min(there, coats), i == place)
        for i, (layer, coats, there) in enumerate(rows)
    ), astray
