"""What is tapped at a piece of work: the events that say it was begun, and that it is done."""

from collections.abc import Iterable
from itertools import count
from typing import Any, NamedTuple

from coatwright.actions.live.following import Live
from coatwright.actions.live.turns import Turn
from coatwright.planning.plan import AreaPlan, PatchPlan


class Tap(NamedTuple):
    """An event to be: its kind, and its fields as a phone sends them."""

    kind: str
    fields: dict[str, Any]


class Taps(NamedTuple):
    """What says that it was begun, and that it is done."""

    begun: Tap
    done: Tap


class Wait(NamedTuple):
    """A clock that starts with a tap: after which, of what kind, and for how long [s]."""

    after: str
    kind: str
    seconds: float


def taps_of(live: Live, turn: Turn, person: str) -> Taps:
    """The taps of a piece of work that somebody does."""
    entry = turn.entry
    if entry.coat:
        coat = {"product": entry.product, "coat": entry.coat}
        hands = [hand.key for hand in live.opened.bench.job.hands]
        more = {"gun": entry.tools[0]} if entry.tools else {}
        more |= {"hand": person} if person in hands else {}
        return Taps(Tap("coat begun", coat | more), Tap("coat done", coat))
    work = {"act": entry.act, "product": entry.product}
    return Taps(Tap("work begun", work), _done(live, turn) or Tap("work done", work))


def _done(live: Live, turn: Turn) -> Tap | None:
    """The event of its own that some work leaves."""
    entry = turn.entry
    if entry.act == "mix":
        return Tap("mixed", _mixed(live, turn))
    if entry.act == "degrease":
        return Tap("degreased", {})
    patches = tuple(_patches(live, turn))
    if entry.act in ("strip", "strip thin") and patches:
        return Tap("stripped", {"ground": patches[0].ground, "how": entry.act})
    if entry.act.startswith(("abrade", "block")):
        grade = _grade(patches, entry.act, entry.product)
        return Tap("rubbed down", {"grade": grade}) if grade else None
    return None


def _mixed(live: Live, turn: Turn) -> dict[str, Any]:
    """A mix made without the scale of the mix bench: nothing is known of its parts."""
    entry = turn.entry
    name = mix_name(live, turn)
    fields: dict[str, Any] = {"mix": name, "product": entry.product, "parts": {}}
    found = next((one for one in live.days.mixes if one.key == entry.mix), None)
    if found and found.pot_life:
        fields["pot_life"] = found.pot_life.value
    return fields


def mix_name(live: Live, turn: Turn) -> str:
    """What a mix is to be called when it is made.

    As in the plan, unless one that was made already is called that: planned anew, the mixes of a
    product are counted anew.
    """
    made, key = live.opened.state.mixes, turn.entry.mix
    if key not in made or turn.done:
        return key
    stem = key.rstrip("0123456789").rstrip("-")
    taken = {*made, *(mix.key for mix in live.days.mixes)}
    return next(name for n in count(1) if (name := f"{stem}-{n}") not in taken)


def _patches(live: Live, turn: Turn) -> Iterable[PatchPlan]:
    areas: Iterable[AreaPlan] = (one for one in live.plan.areas if one.key == turn.entry.area)
    for area in areas:
        for patch in area.patches:
            if turn.entry.patch in ("", patch.key):
                yield patch


def _grade(patches: Iterable[PatchPlan], act: str, product: str) -> str:
    """The grade it is rubbed down with, by the plan."""
    grades = [
        step.grade
        for patch in patches
        for step in patch.route.steps
        if step.act == act and step.before == product and step.grade
    ]
    return grades[-1] if grades else ""


def waits_of(live: Live, turn: Turn) -> tuple[Wait, ...]:
    """The clocks that start when it is done."""
    entry = turn.entry
    if entry.act == "mix":
        found = next((one for one in live.days.mixes if one.key == entry.mix), None)
        life = found.pot_life if found else None
        return (Wait("done", "pot life", life.value),) if life else ()
    waits = (
        Wait("done", "flash" if one.act == "flash" else "opens", one.end.value - one.start.value)
        for one in live.days.entries
        if one.kind == "wait" and one.key.startswith(f"{entry.key}.")
    )
    return tuple(waits) if entry.coat else ()
