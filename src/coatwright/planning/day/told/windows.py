"""Every recoat window as the plan lays the coats: when it opens and closes, and when it is used."""

import math
from collections.abc import Iterable, Mapping

from coatwright.figures import Figure
from coatwright.planning.day.habits import TICK
from coatwright.planning.day.plan import DayWindow
from coatwright.planning.day.sky import Laying, Times
from coatwright.planning.day.steps import Bout, Lapsed
from coatwright.planning.day.workings import Workings
from coatwright.planning.day.works import AreaWork
from coatwright.sentences import say

SHEET = "equal-residue"


def day_windows(made: Workings) -> tuple[DayWindow, ...]:
    """The window of every layer of every area, in order of laying."""
    coats: dict[tuple[str, str, int], Bout] = {
        (piece.area, bout.product, bout.coat): bout
        for bout in made.steps.bouts
        if bout.coat
        for piece in bout.pieces
    }
    lapsed = {(one.set, one.product): one for one in made.steps.lapsed}
    found = [
        window
        for one in made.sets
        for work in one.works
        for window in _area(made, work, coats, {p: v for (s, p), v in lapsed.items()
                                                 if s == one.key})
    ]  # fmt: skip
    return tuple(sorted(found, key=lambda one: (one.laid.value, one.key)))


def _area(
    made: Workings,
    work: AreaWork,
    coats: Mapping[tuple[str, str, int], Bout],
    lapsed: Mapping[str, Lapsed],
) -> Iterable[DayWindow]:
    area = work.area.key
    for index, layer in enumerate(work.layers):
        product = layer.material.key
        bout = coats[area, product, len(layer.coats)]
        laid = made.timetable.slots[bout.key].start + (bout.ends(area) or 0)
        if area == bout.pieces[-1].area:  # the entries give it what a coat took longer
            laid += made.over(bout)
        used, keyed = None, False
        if index + 1 < len(work.layers):
            upper = work.layers[index + 1]
            first = coats[area, upper.material.key, 1]
            used = made.timetable.slots[first.key].start + (first.begins(area) or 0)
            own = [one.keyed for one in upper.follows if one.below == product]
            keyed = product in lapsed or (bool(own) and all(own))
        times = made.sky.times_from(Laying.of(layer, work.area.gauge), laid * TICK)
        yield _window(work, index, (laid * TICK, used and used * TICK), (times, keyed),
                      lapsed.get(product))  # fmt: skip


def _window(
    work: AreaWork,
    index: int,
    when: tuple[float, float | None],
    how: tuple[Times, bool],
    lapse: Lapsed | None,
) -> DayWindow:
    (laid, used), (times, keyed) = when, how
    material = work.layers[index].material
    opens = laid + times.opens
    closes = laid + times.closes if times.closes is not None else None
    best = laid + 1.5 * times.opens
    if closes is not None:
        best = laid + math.sqrt(max(times.opens, 1.0) * max(times.closes or 0.0, times.opens))
    kept = used is None or (
        opens <= used + TICK and (keyed or closes is None or used <= closes + TICK)
    )
    why = times.why
    if keyed and used is not None and closes is not None and used > closes:
        why = say(
            "it is rubbed down before the next layer, so that closing does not count; {why}",
            why=why,
        )
    inputs: dict[str, Figure | str] = {
        "last coat laid": _at(laid, "as arranged", {}),
        "opens after": Figure(times.opens, "hours", "formula", SHEET),
    }
    return DayWindow(
        key=f"{work.area.key}-{material.key}",
        area=work.area.key,
        area_title=work.area.title,
        product=material.key,
        title=material.title,
        laid=_at(laid, "end of its last coat", {}),
        opens=_at(opens, "laid + the sheet's least at this weather and film", inputs),
        best=_at(best, "equally far, as a ratio, from opening and closing", inputs),
        closes=None if closes is None else _at(closes, "laid + the sheet's most", inputs),
        used=None if used is None else _at(used, "start of the next layer", {}),
        kept=kept,
        past=material.recoat.past,
        why=why,
        lapse=lapse.text if lapse else "",
        price=Figure(lapse.money, "money", "assumed", "common practice, no source",
                     "acts of work.toml x surface", {"working time": Figure(
                         lapse.hours, "hours", "assumed", "common practice, no source")})
        if lapse else None,
    )  # fmt: skip


def _at(seconds: float, formula: str, inputs: Mapping[str, Figure | str]) -> Figure:
    return Figure(seconds, "hours", "formula", "day-timetable", formula, inputs)
