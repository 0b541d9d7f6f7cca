"""The clocks that run in the shop, each with the moment at which it ends."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from typing import Final, Literal

from coatwright.actions.live.turns import Turn
from coatwright.planning.plan import Plan
from coatwright.record.state import JobState, LaidCoat, PatchState

Kind = Literal["flash", "opens", "shuts", "pot life", "air"]

STAYS: Final = timedelta(minutes=30)
"""How long a clock that has run out is still shown."""
AHEAD: Final = timedelta(hours=12)
"""From so long before its end the shutting of a window is shown."""
PAST: Final = timedelta(hours=24)
"""A window that has shut, and a pot past its life, are told for so long."""


@dataclass(frozen=True, slots=True)
class Clock:
    """One clock: what of (the key and title of a product, the names of areas), and its end."""

    kind: Kind
    product: str
    title: str
    areas: tuple[str, ...]
    until: datetime


def clocks_of(
    state: JobState, plan: Plan, turns: Sequence[Turn], now: datetime
) -> tuple[Clock, ...]:
    """Every clock that runs, those of like coats in one, by the end that comes first."""
    titles = {layer.product: layer.title for area in plan.areas for patch in area.patches
              for layer in patch.layers}  # fmt: skip
    found = [*_of_coats(state, turns, now), *_pots(state, turns, now), *_air(state, plan, now)]
    together: dict[tuple[Kind, str], list[Clock]] = {}
    for one in sorted(found, key=lambda clock: clock.until):
        together.setdefault((one.kind, one.product), []).append(one)
    return tuple(
        replace(
            alike[0],
            title=titles.get(product, product),
            areas=tuple(dict.fromkeys(area for one in alike for area in one.areas)),
        )
        for (_, product), alike in together.items()
    )


def _of_coats(state: JobState, turns: Sequence[Turn], now: datetime) -> Iterable[Clock]:
    due = _due(turns)
    titles = {turn.entry.area: turn.entry.area_title for turn in turns}
    told = set()
    for area, laid in state.areas.items():
        for patch in laid.named:
            coat, turn = patch.last_coat, due.get(area)
            if coat is None or turn is None or coat.done is None or coat.event in told:
                continue
            told.add(coat.event)
            yield from _windows(patch, coat, turn, titles.get(area, area), now)


def _windows(
    patch: PatchState, coat: LaidCoat, due: Turn, title: str, now: datetime
) -> Iterable[Clock]:
    window = patch.window
    if window is None:
        return
    same = due.entry.product == coat.product
    opens = window.flashed if same else window.opens
    if opens is not None and opens > now - STAYS:
        yield Clock("flash" if same else "opens", coat.product, "", (title,), opens)
    if window.shuts is None or window.abraded or same:
        return
    if now - PAST < window.shuts < now + AHEAD:
        yield Clock("shuts", coat.product, "", (title,), window.shuts)


def _due(turns: Iterable[Turn]) -> Mapping[str, Turn]:
    """The coat that comes next on every area."""
    found: dict[str, Turn] = {}
    for turn in turns:
        if turn.entry.coat and turn.state == "planned":
            found.setdefault(turn.entry.area, turn)
    return found


def _pots(state: JobState, turns: Sequence[Turn], now: datetime) -> Iterable[Clock]:
    """Mixes whose paint is still wanted."""
    wanted = {turn.entry.product for turn in turns if turn.entry.coat and turn.state != "done"}
    for mix in state.mixes.values():
        ends = mix.ends
        if ends is not None and mix.product in wanted and ends > now - STAYS:
            yield Clock("pot life", mix.product, "", (mix.name,), ends)


def _air(state: JobState, plan: Plan, now: datetime) -> Iterable[Clock]:
    """The receiver filling up again after the coat that was laid last."""
    coats = [coat for coat in state.coats() if coat.done]
    if not coats or plan.outlook is None:
        return
    coat = max(coats, key=lambda one: one.last)
    for hold in plan.outlook.air:
        falls = hold.lowest.value < hold.wanted.value
        if (hold.area, hold.product) == (coat.area, coat.product) and falls:
            until = coat.last + timedelta(seconds=hold.rest.value)
            if until > now - timedelta(minutes=2):
                yield Clock("air", coat.product, "", (hold.gun_title,), until)
