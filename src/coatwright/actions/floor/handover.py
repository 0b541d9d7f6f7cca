"""The end of a job: what lies on the vehicle, what is open, and the owner who takes it over."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import datetime
from typing import Final

from coatwright.actions.floor.faults import Places, Seen, faults_of, seen
from coatwright.actions.floor.owner import job_of
from coatwright.actions.record import is_complete
from coatwright.actions.shop import Shop
from coatwright.actions.workshop import Bench
from coatwright.errors import InputError
from coatwright.planning.plan import Plan
from coatwright.record.events import Event, TakenOver
from coatwright.record.fold import ASIDE
from coatwright.record.state import Finish, Handover, JobState
from coatwright.sentences import Said, say

PAGE: Final = say("through the owner's page")
SHOP: Final = say("in the shop")


@dataclass(frozen=True, slots=True)
class Lying:
    """The same layers, metal outwards, and the places they lie on."""

    layers: tuple[str, ...]
    places: tuple[str, ...]


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
    where = Places(bench.job)
    taken = state.taken_over
    return Handing(
        tuple(_lies(state, bench, where)),
        None if plan is None else tuple(dict.fromkeys(_missing(state, plan, where))),
        faults_of(state, bench.job, plan),
        state.finished,
        taken,
        tuple(seen(one.place, Said(one.kind), where) for one in (taken.since if taken else ())),
    )


def handing_of(shop: Shop, key: str, until: datetime | None = None) -> Handing:
    """What there is to take over of a job of the shop, now or at a moment gone by."""
    opened = shop.open(key, until)
    return handing(opened.state, opened.bench, shop.planned(key) if until is None else None)


def take_over(shop: Shop, token: str, name: str, remarks: str, known: int) -> Event:
    """Keep that the owner takes the work over through their page; sent twice it counts once.

    known: the place in the record that the page showed. Raises InputError without a name, before
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
        later = [one for one in shop.record.events(key, after=known) if _matters(one)]
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


def _lies(state: JobState, bench: Bench, where: Places) -> Iterator[Lying]:
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


def _missing(state: JobState, plan: Plan, where: Places) -> Iterator[str]:
    for area in plan.areas:
        for patch in area.patches:
            here = replace(state.patch(area.key, patch.key), area=area.key, patch=patch.key)
            if not is_complete(here, patch):
                yield where.named(area.key, patch.key)
