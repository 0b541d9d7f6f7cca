"""The end of a job: what lies on the vehicle, what is open, and the owner who takes it over."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import datetime
from typing import Final

from coatwright.actions.asking.causes import pathology
from coatwright.actions.floor.owner import job_of
from coatwright.actions.record import is_complete
from coatwright.actions.shop import Shop
from coatwright.actions.workshop import Bench
from coatwright.errors import InputError
from coatwright.model.job import Job
from coatwright.planning.plan import Plan
from coatwright.record.events import Event, TakenOver
from coatwright.record.fold import ASIDE
from coatwright.record.state import Finish, Handover, JobState, Place
from coatwright.sentences import Said, joined, say

PAGE: Final = say("through the owner's page")
SHOP: Final = say("in the shop")


@dataclass(frozen=True, slots=True)
class Lying:
    """The same layers, metal outwards, and the places they lie on."""

    layers: tuple[str, ...]
    places: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Seen:
    """Something that was done or seen: id of its event, what, where (in words), when, by whom."""

    event: str
    what: str
    where: str
    at: datetime
    who: str


@dataclass(frozen=True, slots=True)
class Handing:
    """What is looked at when work is taken over.

    missing: places that still lack a layer of the plan; None if the plan is not known. finished:
    the shop says that it may be taken over. taken: how it was last. since: done or seen after that.
    """

    lies: tuple[Lying, ...]
    missing: tuple[str, ...] | None
    defects: tuple[Seen, ...]
    finished: Finish | None
    taken: Handover | None
    since: tuple[Seen, ...]

    @property
    def complete(self) -> bool:
        """Every planned layer lies."""
        return bool(self.lies) and self.missing == ()

    @property
    def asked(self) -> bool:
        """Whether it is for the owner to take over: now, or anew after something has happened."""
        ready = self.complete or self.finished is not None
        return ready and (self.taken is None or bool(self.since))


def handing(state: JobState, bench: Bench, plan: Plan | None) -> Handing:
    """What there is to take over by the record, and by the plan if there is one."""
    job, where = bench.job, _Places(bench.job)
    taken = state.taken_over
    return Handing(
        tuple(_lies(state, bench, where)),
        None if plan is None else tuple(dict.fromkeys(_missing(state, plan, where))),
        tuple(open_defects(state, job)),
        state.finished,
        taken,
        tuple(
            Seen(one.place.event, Said(one.kind), where(one.place), one.place.at, one.place.who)
            for one in (taken.since if taken else ())
        ),
    )


def open_defects(state: JobState, job: Job) -> Iterator[Seen]:
    """Defects that were seen and not put right yet, the oldest first."""
    where, known = _Places(job), pathology().defects
    for one in sorted(state.defects, key=lambda one: one.place.at):
        if one.open:
            title = known[one.defect].title if one.defect in known else one.defect
            what = joined(": ", (title, one.note)) if one.note else title
            yield Seen(one.place.event, what, where(one.place), one.place.at, one.place.who)


def handing_of(shop: Shop, key: str, until: datetime | None = None) -> Handing:
    """What there is to take over of a job of the shop, now or at a moment gone by."""
    opened = shop.open(key, until)
    return handing(opened.state, opened.bench, shop.planned(key) if until is None else None)


def take_over(shop: Shop, token: str, name: str, remarks: str, seen: int) -> Event:
    """Keep that the owner takes the work over through their page; sent twice it counts once.

    seen: the place in the record that the page showed. Raises InputError without a name, before
    it is for the owner to do, and where the page was not up to date.
    """
    key, name = job_of(shop, token), name.strip()[:80]
    if not name:
        raise InputError(
            say("taking it over needs a name"), field="name", instead=say("write your own name")
        )
    plan = shop.plan(key)
    with shop.settling:
        opened = shop.open(key)
        taken = opened.state.taken_over
        if taken is not None and not taken.since:
            return shop.record.event(taken.place.event)
        if not handing(opened.state, opened.bench, plan).asked:
            raise InputError(
                say("the work is not finished, so there is nothing to take over yet"),
                instead=say("speak with the workshop"),
            )
        later = [one for one in shop.record.events(key, after=seen) if _matters(one)]
        if later:
            raise InputError(
                say("something has been noted since this page was opened"),
                instead=say("look at it again, then take it over"),
            )
        return shop.happened(
            key, name, TakenOver(by=name, how=str(PAGE), remarks=remarks.strip()[:500])
        )


def how_of(how: str) -> str:
    """How it was taken over, as it is told: in the app's words, or in somebody's own."""
    return next((known for known in (PAGE, SHOP) if known == how), how)


def _matters(event: Event) -> bool:
    return event.body.kind not in ASIDE or event.body.kind == "corrected"


class _Places:
    """Where something is, in words."""

    def __init__(self, job: Job) -> None:
        self._areas = {area.key: area for area in job.areas}

    def __call__(self, place: Place) -> str:
        return self.named(place.area, place.patch)

    def named(self, key: str, patch: str) -> str:
        """An area by its title; a patch of several with it."""
        if not key:
            return say("the whole job")
        area = self._areas.get(key)
        title = area.title if area else key
        alone = area is not None and len(area.patches) == 1
        return title if alone or not patch else f"{title}, {patch.replace('-', ' ')}"


def _lies(state: JobState, bench: Bench, where: _Places) -> Iterator[Lying]:
    """Every build-up once, those on most places first."""
    found: dict[tuple[str, ...], list[str]] = {}
    for area in bench.job.areas:
        for patch in area.patches:
            laid = state.patch(area.key, patch.key).layers
            if laid:
                key = tuple(layer.product for layer in laid)
                found.setdefault(key, []).append(where.named(area.key, patch.key))
    for layers, places in sorted(found.items(), key=lambda one: -len(one[1])):
        known = bench.library
        titles = tuple(known[one].title if one in known else one for one in layers)
        yield Lying(titles, tuple(places))


def _missing(state: JobState, plan: Plan, where: _Places) -> Iterator[str]:
    for area in plan.areas:
        for patch in area.patches:
            here = replace(state.patch(area.key, patch.key), area=area.key, patch=patch.key)
            if not is_complete(here, patch):
                yield where.named(area.key, patch.key)
