"""What the record teaches: each weighed cup, stopwatch, fluid test and gauge against its plan.

The plan of a coat lies with the coat, so nothing here asks for it again. A reading that cannot be
used is left out by name, with the reason.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import Final, NamedTuple

from coatwright.engines import evidence, learning
from coatwright.engines.learning import Observation, Pool
from coatwright.errors import RangeError
from coatwright.record.events import Planned
from coatwright.record.state import (
    FilmReading,
    FluidTest,
    JobState,
    LaidCoat,
    PatchState,
    StrokeTest,
    TimePaid,
)
from coatwright.sentences import say

PARAMETERS: Final = ("flow", "speed", "transfer", "minutes", "paint")
"""What can be learned; each has its class in learning.CLASSES."""

AS_ONE_COAT: Final = 0.08
"""Spread of a reading of flow or speed as the class holds it; a surer test counts as one such
reading, a rougher one as less."""

Step = tuple[str, str]
"""An area and an act of data/work.toml."""


class Lesson(NamedTuple):
    """One reading, and the event that it rests on."""

    parameter: str
    event: str
    reading: Observation


class LeftOut(NamedTuple):
    """A reading that teaches nothing, by its event, and why."""

    event: str
    why: str


class Lessons(NamedTuple):
    """All that a job teaches, and what was left out."""

    lessons: tuple[Lesson, ...]
    left_out: tuple[LeftOut, ...]


class _Weighed(NamedTuple):
    """A coat with a plan, and the paint that went into it [m3]."""

    coat: LaidCoat
    plan: Planned
    planned: float
    used: float


def lessons_of(state: JobState, steps: Mapping[Step, float] | None = None) -> Lessons:
    """What one job teaches.

    steps: seconds the plan gave each step of an area that is finished; the record does not know
    the plan's steps, nor when one is done.
    """
    found: list[Lesson] = []
    left_out: list[LeftOut] = []
    for coat in _coats(state):
        found += _of_coat(state, coat)
    films = (
        made
        for area in state.areas.values()
        for patch in area.named
        for made in _of_films(state, patch)
    )
    caught = (_of_fluid(state, test) for test in state.fluid)
    timed = (_of_strokes(state, test) for test in state.strokes)
    for made in (*films, *caught, *timed):
        if isinstance(made, Lesson):
            found.append(made)
        else:
            left_out.append(made)
    found += _of_steps(state, steps or {})
    return Lessons(tuple(found), tuple(left_out))


def taught(lessons: Iterable[Lesson]) -> dict[str, Pool]:
    """What all lessons together say of the shop, parameter by parameter."""
    sorted_out: dict[str, list[Observation]] = {name: [] for name in PARAMETERS}
    for lesson in lessons:
        sorted_out[lesson.parameter].append(lesson.reading)
    return {name: learning.pooled(own, learning.CLASSES[name]) for name, own in sorted_out.items()}


def _coats(state: JobState) -> Iterator[LaidCoat]:
    """Every coat once: one on a whole area stands on each of its patches."""
    seen: set[str] = set()
    for area in state.areas.values():
        for patch in area.named:
            for layer in (*patch.layers, *patch.gone):
                for coat in layer.coats:
                    if coat.event not in seen:
                        seen.add(coat.event)
                        yield coat


def _keys(state: JobState, coat: LaidCoat) -> dict[str, str]:
    return {
        "painter": coat.hand or coat.who,
        "gun": coat.gun or "gun not named",
        "product": coat.product,
        "job": state.job,
    }


def _of_coat(state: JobState, coat: LaidCoat) -> Iterator[Lesson]:
    keys, plan = _keys(state, coat), coat.planned
    quicker = None
    if plan is not None and plan.trigger and coat.trigger:
        quicker = learning.log_ratio(plan.trigger, coat.trigger)
        yield Lesson("speed", coat.event, Observation(quicker, keys))
    weighed = _weighed(state, coat)
    if weighed is not None:
        used = learning.log_ratio(weighed.used, weighed.planned)
        yield Lesson("paint", coat.event, Observation(used, keys))
        if quicker is not None:
            yield Lesson("flow", coat.event, Observation(used + quicker, keys))


def _weighed(state: JobState, coat: LaidCoat) -> _Weighed | None:
    """The paint of a coat whose cup was weighed, if the plan foretold it and a density is known."""
    plan = coat.planned
    if plan is None or plan.paint is None:
        return None
    mass = sum(one.before - one.after for one in coat.cup)
    mix = state.mixes.get(coat.mix)
    density = (mix.density if mix else None) or plan.density
    if mass <= 0.0 or density is None:
        return None
    return _Weighed(coat, plan, plan.paint, mass / density)


def _of_fluid(state: JobState, test: FluidTest) -> Lesson | LeftOut:
    """Flow from paint caught in a cup, against what the plan foretold of that gun and paint."""
    said, event = test.said, test.place.event
    if not said.air:
        return LeftOut(event, say("caught with the air off: a gun gives more while it sprays"))
    if said.expected is None:
        return LeftOut(event, say("caught without a plan of that gun and paint"))
    flow = evidence.fluid_flow(said.volumes, said.seconds, said.mark)
    keys = {
        "painter": test.place.who, "gun": said.gun, "product": said.product, "job": state.job,
    }  # fmt: skip
    found = learning.log_ratio(flow.mean, said.expected)
    return Lesson("flow", event, Observation(found, keys, _worth(flow.share)))


def _of_strokes(state: JobState, test: StrokeTest) -> Lesson | LeftOut:
    """Speed from timed strokes, against the pace of the recipe."""
    said, event = test.said, test.place.event
    if said.dry:
        return LeftOut(event, say("strokes without paint: they tell of the hand's evenness alone"))
    if said.expected is None:
        return LeftOut(event, say("strokes timed without a plan"))
    speed = evidence.stroke_speed(said.seconds, said.length, said.timing).speed
    keys = {
        "painter": said.hand, "gun": said.gun, "product": said.product, "job": state.job,
    }  # fmt: skip
    found = learning.log_ratio(speed.mean, said.expected)
    return Lesson("speed", event, Observation(found, keys, _worth(speed.share)))


def _worth(share: float) -> float:
    return min(1.0, (AS_ONE_COAT / share) ** 2) if share > 0.0 else 1.0


def _of_films(state: JobState, patch: PatchState) -> Iterator[Lesson | LeftOut]:
    """Transfer from each gauge reading of new coats: film found against paint used."""
    before: FilmReading | None = None
    for reading in sorted(patch.gauge, key=lambda one: one.place.at):
        coats = _new(patch, before, reading)
        if coats:
            film = _film(reading) - (_film(before) if before else 0.0)
            yield _transfer(state, reading, coats, film, _rubbed(patch, before, reading))
        before = reading


def _film(reading: FilmReading) -> float:
    return sum(reading.readings) / len(reading.readings) - reading.zero


def _new(patch: PatchState, before: FilmReading | None, reading: FilmReading) -> list[LaidCoat]:
    """Coats laid since the reading before."""
    return [
        coat
        for coat in patch.coats()
        if coat.last <= reading.place.at and (before is None or coat.last > before.place.at)
    ]


def _rubbed(patch: PatchState, before: FilmReading | None, reading: FilmReading) -> bool:
    """Whether any layer was rubbed since the reading before."""
    return any(
        rub.place.at <= reading.place.at and (before is None or rub.place.at > before.place.at)
        for layer in patch.layers
        for rub in layer.rubbed
    )


def _transfer(
    state: JobState, reading: FilmReading, coats: Sequence[LaidCoat], film: float, rubbed: bool
) -> Lesson | LeftOut:
    event = reading.place.event
    weighed = [one for one in (_weighed(state, coat) for coat in coats) if one]
    keys = [_keys(state, coat) for coat in coats]
    if rubbed:
        return LeftOut(event, say("rubbed down between the coats and the gauge"))
    if len(weighed) < len(coats) or any(one.plan.solids is None for one in weighed):
        return LeftOut(event, say("a coat under the gauge was not weighed, or had no plan"))
    if any(one != keys[0] for one in keys):
        return LeftOut(event, say("coats by different guns, hands or products under one reading"))
    share = sum(w.plan.dry * w.plan.surface for w in weighed) / sum(
        w.planned * (w.plan.solids or 0.0) for w in weighed
    )
    used = sum(w.used for w in weighed) / sum(w.planned for w in weighed)
    found = share * film / sum(w.plan.dry for w in weighed) / used
    try:
        shift = learning.logit_shift(found, share)
    except RangeError:
        return LeftOut(
            event, say("the film would mean that {found:.0%} of the paint stayed", found=found)
        )
    return Lesson("transfer", event, Observation(shift, keys[0]))


def _of_steps(state: JobState, steps: Mapping[Step, float]) -> Iterator[Lesson]:
    for (area, act), planned in steps.items():
        paid = [one for one in state.time if one.act == act and one.place.area == area]
        seconds = sum(one.seconds for one in paid)
        if paid and planned > 0.0:
            keys = {"painter": _most(paid), "step": act, "job": state.job}
            took = learning.log_ratio(seconds, planned)
            yield Lesson("minutes", paid[-1].place.event, Observation(took, keys))


def _most(paid: Sequence[TimePaid]) -> str:
    """Who worked longest at a step."""
    by_person: dict[str, float] = {}
    for one in paid:
        by_person[one.place.who] = by_person.get(one.place.who, 0.0) + one.seconds
    return max(by_person, key=lambda who: by_person[who])
