"""Joins plan and record into the paint record for the owner."""

from collections.abc import Iterator
from dataclasses import replace
from datetime import UTC, datetime, tzinfo
from pathlib import Path
from typing import Final

from coatwright.actions.dossier.care import care_for
from coatwright.actions.dossier.patches import SOURCE, Library, ground_of, patch_told, title_of
from coatwright.actions.dossier.recoating import recoats
from coatwright.actions.dossier.told import (
    AreaTold,
    Dossier,
    Entry,
    ExtraTold,
    HandoverTold,
    MixTold,
    PhotoTold,
    TinTold,
)
from coatwright.actions.floor.faults import Seen
from coatwright.actions.floor.handover import handing, how_of
from coatwright.actions.plans import plan_job
from coatwright.actions.shop import Shop
from coatwright.actions.workshop import Bench, open_bench
from coatwright.errors import NotFound
from coatwright.figures import Figure
from coatwright.planning.plan import AreaPlan, PatchPlan, Plan
from coatwright.record.account import ESTIMATE
from coatwright.record.films import films_of
from coatwright.record.state import (
    Decision,
    Defect,
    Extra,
    JobState,
    Mix,
    PatchState,
    Place,
    Repair,
)
from coatwright.record.store.ledger import Record
from coatwright.sentences import Said, joined, say

_AT_WORK: Final = ("rubbing", "stripping")


def dossier(shop: Shop, key: str, zone: tzinfo | None = UTC) -> Dossier:
    """The paint record of a job of the shop as it stands now; moments in that time zone."""
    opened, plan = shop.open(key), shop.plan(key)
    return dossier_of(opened.state, plan, opened.bench, shop.clock(), zone)


def dossier_in(record: Record, job: str, key: str, zone: tzinfo | None = UTC) -> Dossier:
    """The paint record of a job of a record; job is its file if the record has no description.

    Raises NotFound if the record knows nothing of it.
    """
    state = record.state(key)
    if not state.number:
        raise NotFound(
            f"nothing is known of job '{key}'", instead="note what happens, with coatwright note"
        )
    if state.described is not None:
        return dossier(Shop(record, Path.cwd()), key, zone)
    return dossier_of(state, plan_job(job), open_bench(job), record.clock(), zone)


def dossier_of(
    state: JobState, plan: Plan, bench: Bench, now: datetime, zone: tzinfo | None = UTC
) -> Dossier:
    """The paint record of a job from its state, its plan and the job file of both."""
    job, library = bench.job, bench.library
    titles = {area.key: area.title for area in plan.areas}
    areas = tuple(_areas(state, plan, library))
    laid = [layer.product for area in state.areas.values()
            for patch in area.named for layer in patch.layers]  # fmt: skip
    families = {library[key].family.value for key in laid if key in library}
    moments = [entry.at for entry in _coats(areas)]
    return Dossier(
        job=state.job,
        title=plan.title,
        invented=plan.invented,
        shop=job.workshop.title,
        owner=job.owner,
        painter=plan.painter,
        colour=plan.colour,
        currency=plan.currency,
        made=now.astimezone(zone),
        first=min(moments, default=None),
        last=max(moments, default=None),
        events=state.events,
        people=tuple(dict.fromkeys(entry.who for entry in _coats(areas))),
        surface=plan.surface,
        areas=areas,
        mixes=tuple(_mix(mix, library) for mix in state.mixes.values()),
        entries=tuple(sorted(_entries(state, titles, library), key=lambda one: one.at)),
        photos=tuple(_photos(state, titles, library)),
        extras=tuple(_extra(one, titles) for key, one in state.extras.items() if key != ESTIMATE),
        handover=_handover(state, bench, plan),
        care=care_for(families),
        recoats=recoats(state, bench, now),
        cautions=tuple(one for one in plan.cautions if one.where in _AT_WORK),
        doubts=tuple(_doubts(state, plan, titles, zone)),
    )


def _coats(areas: tuple[AreaTold, ...]) -> Iterator[Entry]:
    for area in areas:
        for patch in area.patches:
            for layer in patch.layers:
                for coat in layer.coats:
                    yield Entry(coat.key, coat.at, coat.who, area.title, layer.title)


def _areas(state: JobState, plan: Plan, library: Library) -> Iterator[AreaTold]:
    planned = {area.key: area for area in plan.areas}
    for key, area in planned.items():
        patches = tuple(
            patch_told(_named(state, key, patch.key), patch, library) for patch in area.patches
        )
        strays = tuple(patch_told(patch, None, library) for patch in _strays(state, key, area))
        yield AreaTold(key, area.title, area.surface, (*patches, *strays))
    for key, laid in state.areas.items():
        if key and key not in planned:
            told = tuple(patch_told(patch, None, library) for patch in laid.named)
            yield AreaTold(key, key, None, told)


def _named(state: JobState, area: str, patch: str) -> PatchState:
    return replace(state.area(area).patch(patch), area=area, patch=patch)


def _strays(state: JobState, key: str, area: AreaPlan) -> Iterator[PatchState]:
    """Patches of an area that the plan does not have."""
    known = {patch.key for patch in area.patches} | {""}
    if key in state.areas:
        yield from (one for one in state.areas[key].named if one.patch not in known)


def _mix(mix: Mix, library: Library) -> MixTold:
    sheet = library.get(mix.product)
    names = {one.key: one.title for one in sheet.components} if sheet else {}
    tins = tuple(
        TinTold(
            key,
            names.get(key, key),
            Figure(mass, "mass", "measured", SOURCE),
            Figure(mix.wanted[key], "mass", "formula", SOURCE) if key in mix.wanted else None,
            mix.lots.get(key, ""),
            mix.expiry.get(key, ""),
        )
        for key, mass in mix.parts.items()
    )
    return MixTold(
        mix.name,
        title_of(mix.product, library),
        mix.place.at,
        mix.place.who,
        tins,
        _maybe(mix.cup_seconds, "seconds", "measured"),
        mix.cup,
        _maybe(mix.temperature, "temperature", "measured"),
        _maybe(mix.pot_life, "time", "sheet"),
    )


def _maybe(value: float | None, purpose: str, basis: str) -> Figure | None:
    return None if value is None else Figure(value, purpose, basis, SOURCE)  # type: ignore[arg-type]


def _entry(place: Place, titles: dict[str, str], what: str) -> Entry:
    return Entry(place.event, place.at, place.who, _where(place, titles), what)


def _where(place: Place, titles: dict[str, str]) -> str:
    area = titles.get(place.area, place.area) or say("the whole job")
    return joined(", ", (area, place.patch)) if place.patch else area


def _entries(state: JobState, titles: dict[str, str], library: Library) -> Iterator[Entry]:
    """Arrival, what was stripped and found, break-throughs, defects and repairs, notes."""
    if state.arrived:
        yield _entry(
            state.arrived.place,
            titles,
            say("arrived: {condition}", condition=state.arrived.condition),
        )
    seen: set[str] = set()
    for patch in _patches(state):
        for place, what in _on_patch(patch, library):
            if place.event not in seen:
                seen.add(place.event)
                yield _entry(place, titles, what)
    for defect in state.defects:
        note = f": {defect.note}" if defect.note else ""
        what = _defect(defect)
        yield _entry(defect.place, titles, say("defect, {what}{note}", what=what, note=note))
    for repair in _repairs(state):
        if repair.place.event not in seen:
            seen.add(repair.place.event)
            yield _entry(repair.place, titles, say("repaired: {how}", how=repair.how))
    for remark in state.notes:
        yield _entry(remark.place, titles, remark.text)
    for taken in state.handovers:
        said = f": {taken.remarks}" if taken.remarks else ""
        what = say("taken over by {by}{said}", by=taken.by, said=said)
        yield _entry(taken.place, titles, what)


def _defect(one: Defect) -> str:
    return Said(one.defect.replace("-", " "))


def _repairs(state: JobState) -> Iterator[Repair]:
    for defect in state.defects:
        yield from defect.repairs
    yield from state.repairs


def _patches(state: JobState) -> Iterator[PatchState]:
    for area in (*state.areas.values(), state.whole):
        yield from area.patches.values()


def _on_patch(patch: PatchState, library: Library) -> Iterator[tuple[Place, str]]:
    if patch.stripped:
        how = say(" by {how}", how=patch.stripped.how) if patch.stripped.how else ""
        yield (
            patch.stripped.place,
            say("stripped to {ground}{how}", ground=Said(patch.stripped.ground), how=how),
        )
    for one in patch.found:
        ground = say("; the ground is {ground}", ground=Said(one.ground)) if one.ground else ""
        yield one.place, say("found: {what}{ground}", what=one.what, ground=ground)
    broke = [*patch.ground_broke, *(one for layer in patch.layers for one in layer.broke)]
    for break_through in broke:
        ground = ground_of(break_through.ground, library)
        yield break_through.place, say("rubbed through to {ground}", ground=ground)


def _seen_on_it(state: JobState, library: Library) -> Iterator[tuple[Place, str]]:
    """How it came, what was stripped, found and rubbed through, and what was noted."""
    if state.arrived:
        yield state.arrived.place, say("as it arrived")
    for patch in _patches(state):
        yield from _on_patch(patch, library)
    yield from ((one.place, one.text) for one in state.notes)


def _photos(state: JobState, titles: dict[str, str], library: Library) -> Iterator[PhotoTold]:
    shown = [(photo.place, photo.caption) for photo in state.photos]
    shown += [(one.place, say("defect: {defect}", defect=_defect(one))) for one in state.defects]
    shown += [(one.place, say("repair: {how}", how=one.how)) for one in _repairs(state)]
    shown += [(place, what) for place, what in _seen_on_it(state, library)]
    shown += [
        (one.place, say("extra work: {title}", title=one.title)) for one in state.extras.values()
    ]
    seen: set[str] = set()
    for place, caption in shown:
        for sha256 in place.evidence:
            if sha256 not in seen:
                seen.add(sha256)
                where = _where(place, titles)
                text = caption or say("photograph, {where}", where=where)
                yield PhotoTold(sha256, text, where, place.at, place.who)


def _extra(extra: Extra, titles: dict[str, str]) -> ExtraTold:
    answers = tuple(
        replace(
            _entry(
                one.place,
                titles,
                _answer(one),
            ),
            who=one.by,
        )
        for one in extra.decisions
    )
    price = Figure(
        extra.price, "money", "entered", SOURCE, spread=(extra.price_low, extra.price_high),
        spread_note="least and most",
    )  # fmt: skip
    return ExtraTold(
        extra.name, extra.title, extra.reason, extra.place.at, price, extra.status, answers
    )


def _answer(one: Decision) -> str:
    said = say("yes") if one.yes else say("no")
    return joined(", ", (said, one.how)) if one.how else said


def _handover(state: JobState, bench: Bench, plan: Plan) -> HandoverTold:
    """The last taking over, or that nobody has; what is open and what came after it."""
    found = handing(state, bench, plan)
    taken, finished = found.taken, ""
    if found.finished is not None:
        note = found.finished.note
        finished = say("left out: {note}", note=note) if note else say("nothing was left out")
    return HandoverTold(
        by=taken.by if taken else "",
        at=taken.place.at if taken else None,
        how=how_of(taken.how) if taken else "",
        remarks=taken.remarks if taken else "",
        finished=finished,
        defects=tuple(_seen(one) for one in found.defects),
        since=tuple(_seen(one) for one in found.since),
    )


def _seen(one: Seen) -> Entry:
    return Entry(one.event, one.at, one.who, one.where, one.what)


def _doubts(
    state: JobState, plan: Plan, titles: dict[str, str], zone: tzinfo | None
) -> Iterator[str]:
    """What in the record does not fit, could not be used or is missing, in sentences."""
    for doubt in state.doubts:
        at = doubt.place.at.astimezone(zone)
        where = _where(doubt.place, titles)
        yield say("{at}, {where}: {what}", at=f"{at:%Y-%m-%d %H:%M}", where=where, what=doubt.what)
    places: dict[str, list[str]] = {}
    for area in plan.areas:
        for planned in area.patches:
            where = area.title if len(area.patches) == 1 else f"{area.title} ({planned.key})"
            for text in _patch_doubts(_named(state, area.key, planned.key), planned):
                places.setdefault(text, []).append(where)
    for text, found in places.items():
        yield say("{text}: {found}", text=text, found=joined("; ", found))


def _patch_doubts(patch: PatchState, planned: PatchPlan) -> Iterator[str]:
    films = films_of(patch)
    yield from (say("Not used, {one}", one=one) for one in films.unread)
    if films.surprise.contradicts:
        yield say("The readings contradict what was planned, measure again")
    covered = any(band.old for band in planned.section) and not patch.stripped
    if covered and any(not one.zero for one in patch.gauge):
        yield say("The gauge read old paint too, and no zero was noted for it")
    if not patch.layers and planned.layers:
        yield say("Nothing that was to be laid is in the record")
        return
    lies = {layer.product for layer in patch.layers}
    missing = [one.title for one in planned.layers if one.product not in lies]
    if missing:
        yield say("Planned but not in the record, {missing}", missing=joined(", ", missing))
