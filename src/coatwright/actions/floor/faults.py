"""What stands open on a job: defects and places rubbed through that nobody has put right yet."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import datetime
from typing import Final

from coatwright.actions.asking.causes import pathology
from coatwright.actions.moments import zoned
from coatwright.actions.record import Unplanned, unplanned
from coatwright.actions.shop import Opened
from coatwright.model.job import Job
from coatwright.model.substrate import Ground
from coatwright.planning.cautions import caution
from coatwright.planning.plan import Plan
from coatwright.record.state import Broken, JobState, PatchState, Place
from coatwright.sentences import joined, say


@dataclass(frozen=True, slots=True)
class Seen:
    """Something that was done or seen: id of its event, what, where (in words), when, by whom.

    area, patch: where, by their keys. broke: it was rubbed through there. mend: what would put it
    right, if the plan says.
    """

    event: str
    what: str
    where: str
    at: datetime
    who: str
    area: str = ""
    patch: str = ""
    broke: bool = False
    mend: str = ""


class Places:
    """Where something is, in words."""

    def __init__(self, job: Job) -> None:
        """job: whose areas."""
        self._areas = {area.key: area for area in job.areas}

    def __call__(self, place: Place) -> str:
        """Where an event was."""
        return self.named(place.area, place.patch)

    def named(self, key: str, patch: str) -> str:
        """An area by its title; a patch of several with it."""
        if not key:
            return say("the whole job")
        area = self._areas.get(key)
        title = area.title if area else key
        alone = area is not None and len(area.patches) == 1
        return title if alone or not patch else f"{title}, {patch.replace('-', ' ')}"


def seen(place: Place, what: str, where: Places) -> Seen:
    """Something at its place."""
    return Seen(place.event, what, where(place), place.at, place.who, place.area, place.patch)


def _due(one: Unplanned, where: Places) -> Seen:
    return replace(seen(one.place, one.text, where), broke=one.broke, mend=_again(one.mend))


def open_faults(opened: Opened, plan: Plan | None) -> tuple[Seen, ...]:
    """Defects and places rubbed through that were not put right yet, the oldest first."""
    return faults_of(opened.state, opened.bench.job, plan)


def faults_of(state: JobState, job: Job, plan: Plan | None) -> tuple[Seen, ...]:
    """The same from a state."""
    where, found = Places(job), dict[str, Seen]()
    for one in (*_defects(state, where), *_breaks(state, plan, where)):
        found.setdefault(one.event, one)
    return tuple(sorted(found.values(), key=lambda one: one.at))


def _defects(state: JobState, where: Places) -> Iterator[Seen]:
    known = pathology().defects
    for one in state.defects:
        if one.open:
            title = known[one.defect].title if one.defect in known else one.defect
            what = joined(": ", (title, one.note)) if one.note else title
            yield seen(one.place, what, where)


def _breaks(state: JobState, plan: Plan | None, where: Places) -> Iterator[Seen]:
    """By the plan what is missing there; without one every place not noted as put right."""
    if plan is not None:
        yield from (_due(one, where) for one in _unplanned(state, plan) if one.broke)
        return
    for area in (*state.areas.values(), state.whole):
        for patch in area.patches.values():
            for broke in _broken(patch):
                if broke.mended is None:
                    yield replace(seen(broke.place, say("rubbed through"), where), broke=True)


def _again(layers: tuple[str, ...]) -> str:
    return say("{layers} again on those spots", layers=joined(", ", layers)) if layers else ""


def _broken(patch: PatchState) -> Iterator[Broken]:
    yield from (one for layer in patch.layers for one in layer.broke)
    if not patch.layers:
        yield from patch.ground_broke


def _unplanned(state: JobState, plan: Plan) -> Iterator[Unplanned]:
    for area in plan.areas:
        for patch in area.patches:
            yield from unplanned(zoned(state.patch(area.key, patch.key), None), patch)


def not_in_the_days(opened: Opened, plan: Plan) -> tuple[Seen, ...]:
    """What came about and is in no plan: it is due, and the days of work do not have it."""
    where, found = Places(opened.bench.job), dict[str, Seen]()
    for one in _unplanned(opened.state, plan):
        found.setdefault(one.place.event, _due(one, where))
    return tuple(found.values())


METAL: Final = "metal"
"""How an event names the ground itself."""


def may_show(opened: Opened, area: str, patch: str) -> Mapping[str, str]:
    """What may show where it is rubbed through: keys as events name them, and their titles."""
    here, library = opened.state.patch(area, patch), opened.bench.library
    found: dict[str, str] = {METAL: say("what the part is made of: metal, GRP, filler")}
    if here.layers:
        found[""] = say("old paint that lay there before")
    for layer in here.layers[:-1]:
        key = layer.product
        found[key] = library[key].title if key in library else key
    return found


def grounds() -> tuple[str, ...]:
    """What something may turn out to be made of, as job files name it."""
    return tuple(one.value for one in Ground)


def warning(*keys: str) -> tuple[str, ...]:
    """Cautions by their keys in data/cautions.toml."""
    return tuple(caution(key).text for key in keys)
