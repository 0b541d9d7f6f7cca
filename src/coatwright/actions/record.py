"""What happened and what follows: the record joined with the plan. Only here do the two meet."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from typing import Any, NamedTuple

from coatwright import units
from coatwright.actions import taps
from coatwright.actions.planned import planned_coat
from coatwright.actions.plans import plan_job
from coatwright.actions.workshop import open_bench
from coatwright.errors import InputError, StoreError
from coatwright.figures import Figure
from coatwright.planning.plan import AreaPlan, LayerPlan, PatchPlan, Plan, Step
from coatwright.record.events import CoatBegun, Event, Planned, kinds, new_id
from coatwright.record.state import (
    Broken,
    Handover,
    JobState,
    LaidLayer,
    PatchState,
    Place,
    Standing,
    Window,
)
from coatwright.record.store.archive import export_job, import_job
from coatwright.record.store.ledger import Record
from coatwright.sentences import Said, joined, say
from coatwright.settings import Settings, load

SOURCE = "paint-record"

KINDS = tuple(one for one in kinds() if one not in taps.APP_MADE)
"""What can be noted by hand; a job is described by its file, and its days by arranging them."""


@dataclass(frozen=True, slots=True)
class LayerStatus:
    """One layer as it lies: film as the plans of its coats foretold, less what was rubbed off."""

    product: str
    coats: int
    film: Figure | None
    rubbed: tuple[str, ...]
    broke_through: bool


@dataclass(frozen=True, slots=True)
class PatchStatus:
    """What is on a patch, how its window stands, and what is due; due is "" without a plan."""

    area: str
    area_title: str
    patch: str
    ground: str
    layers: tuple[LayerStatus, ...]
    film: Figure | None
    last: datetime | None
    standing: Standing
    window: str
    due: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Status:
    """A job at a moment: every patch, what in its record does not fit, and who took it over."""

    job: str
    at: datetime
    events: int
    patches: tuple[PatchStatus, ...]
    doubts: tuple[str, ...]
    taken_over: str


def open_record(settings: Settings | None = None) -> Record:
    """Open the record that the settings name; made if there is none. To be closed after use."""
    here = settings or load()
    try:
        here.record.mkdir(parents=True, exist_ok=True)
    except OSError as fault:
        raise StoreError(
            say("the record cannot be kept there: {strerror}", strerror=fault.strerror),
            where=str(here.record),
            instead=say("set COATWRIGHT_RECORD to a folder you may write in"),
        ) from fault
    return Record(here.database, here.record / "files")


def write(record: Record, event: Event) -> Event:
    """Keep an event; as stored."""
    return record.write(event)


Photos = Sequence[tuple[str, bytes]]
"""Name and content of files that show what happened."""


def note(
    record: Record, said: Mapping[str, Any], photos: Photos = (), planned: Planned | None = None
) -> Event:
    """Keep what a person says has happened, quantities written with their units.

    said: job, who, kind, fields, and if it has them id, at, area, patch, plan; a field "parts.base"
    is the base among the parts. planned: what the plan says of a coat that was begun. Raises
    InputError with one sentence if it cannot be understood.
    """
    now = record.clock()
    if said["kind"] not in KINDS:
        raise InputError(
            say("'{said}' is nothing that can be noted", said=said["kind"]),
            instead=say("use {kinds}", kinds=joined(", ", KINDS)),
        )
    known = dict(said) | {"fields": _gathered(said.get("fields", {}))}
    known["id"] = known.get("id") or new_id()
    known["at"] = known.get("at") or now.isoformat()
    event = taps.read(known, now)
    if event.at.isoformat() != known["at"]:
        raise InputError(
            say("{known} is too long ago, or has not come yet", known=known["at"]),
            field="at",
            instead=say("write a moment of the last {days} days", days=taps.EARLIEST.days),
        )
    if planned is not None and isinstance(event.body, CoatBegun):
        body = event.body.model_copy(update={"planned": planned})
        event = event.model_copy(update={"body": body})
    shown = tuple(record.attach(data, name) for name, data in photos)
    return record.write(event.model_copy(update={"evidence": (*event.evidence, *shown)}))


def _gathered(fields: Mapping[str, str]) -> dict[str, Any]:
    """Fields by name; those of one mapping together, masses read with their units."""
    found: dict[str, Any] = {}
    for name, text in fields.items():
        whole, dot, part = name.partition(".")
        if not dot:
            found[name] = text
            continue
        mass = whole in ("parts", "wanted")
        found.setdefault(whole, {})[part] = units.parse(text, "mass") if mass else text
    return found


def planned_for(job: str, area: str, product: str, patch: str = "") -> Planned:
    """What the plan of a job file says of one coat on an area."""
    return planned_coat(open_bench(job), plan_job(job, area), area, product, patch)


def state_of(record: Record, job: str, at: datetime | None = None) -> JobState:
    """What is true of a job, now or at a moment gone by."""
    return record.state(job, at)


def archive_of(record: Record, job: str) -> bytes:
    """A whole job as one zip file that can be read without Coatwright."""
    return export_job(record, job)


def take_in(record: Record, archive: bytes) -> str:
    """Put the job of an archive into the record; its key."""
    return import_job(record, archive)


def status(state: JobState, now: datetime, plan: Plan | None = None) -> Status:
    """What is on every patch, how its window stands, and with a plan what is due on it."""
    found = [
        _patch_status(area, patch, now, planned) for area, patch, planned in _places(state, plan)
    ]
    return Status(
        state.job,
        now,
        state.events,
        tuple(found),
        tuple(f"{one.place.at:%Y-%m-%d %H:%M}: {one.what}" for one in state.doubts),
        _taken_over(state.taken_over),
    )


def _taken_over(taken: Handover | None) -> str:
    """How the owner took the work over, in a sentence; "" if nobody has."""
    if taken is None:
        return ""
    told = [say("taken over by {by}, {at}", by=taken.by, at=_clock(taken.place.at))]
    if taken.remarks:
        told.append(say("left to do, or not as agreed: {remarks}", remarks=taken.remarks))
    if taken.since:
        told.append(say("noted since then: {count}", count=len(taken.since)))
    return joined("; ", told)


def _places(
    state: JobState, plan: Plan | None
) -> Iterator[tuple[str, PatchState, PatchPlan | None]]:
    """Every patch of the plan, then those that only the record knows."""
    planned = {area.key: area for area in plan.areas} if plan else {}
    for key, area in planned.items():
        for patch in area.patches:
            yield area.title, _named(state, key, patch.key), patch
    for key, laid in state.areas.items():
        for one in laid.named:
            if not _is_planned(planned.get(key), one.patch):
                yield key, one, None


def _named(state: JobState, area: str, patch: str) -> PatchState:
    return replace(state.patch(area, patch), area=area, patch=patch)


def _is_planned(area: AreaPlan | None, patch: str) -> bool:
    return area is not None and (not patch or any(one.key == patch for one in area.patches))


def _patch_status(
    title: str, patch: PatchState, now: datetime, planned: PatchPlan | None
) -> PatchStatus:
    standing = patch.standing(now)
    coat = patch.last_coat
    return PatchStatus(
        patch.area,
        title,
        patch.patch,
        patch.ground or (planned.ground if planned else ""),
        tuple(_layer_status(layer) for layer in patch.layers),
        _film(patch.film),
        coat.last if coat else None,
        standing,
        window_words(patch.window, standing),
        tuple(due(patch, planned, standing)) if planned else (),
    )


def _layer_status(layer: LaidLayer) -> LayerStatus:
    grades = tuple(rub.grade for rub in layer.rubbed)
    return LayerStatus(
        layer.product, len(layer.coats), _film(layer.film), grades, bool(layer.broke)
    )


def _film(film: Any) -> Figure | None:
    if film is None:
        return None
    # 10 and 90 % of a normal distribution lie 1.2816 standard deviations from its mean.
    reach = 1.2816 * film.spread
    return Figure(
        film.mean,
        "film",
        "formula",
        SOURCE,
        "sum of the films its plans foretold for each coat, less what was rubbed off",
        spread=(max(film.mean - reach, 0.0), film.mean + reach),
    )


def window_words(window: Window | None, standing: Standing) -> str:
    """How the window stands, in words; moments as year-month-day hour:minute."""
    if window is None:
        return say("nothing of ours lies on it yet")
    if standing == "spraying":
        return say("a coat is being sprayed, or nobody noted its end")
    if standing == "unknown":
        return say("not known: the coat was laid without a plan")
    opens, shuts = _clock(window.opens), _clock(window.shuts)
    if standing == "not yet":
        if not shuts:
            return say("not yet: the next layer from {opens}", opens=opens)
        return say("not yet: the next layer from {opens}, until {shuts}", opens=opens, shuts=shuts)
    if standing == "abraded":
        return say(
            "rubbed down {abraded}: the next layer may go on", abraded=_clock(window.abraded)
        )
    if standing == "shut":
        return say("shut since {shuts}: {needed}", shuts=shuts, needed=_needed(window))
    return say("open until {shuts}", shuts=shuts) if shuts else say("open")


def due(patch: PatchState, planned: PatchPlan, standing: Standing) -> Iterator[str]:
    """What comes next on a patch by its plan, in order; the first is what to do now."""
    if standing == "spraying":
        yield say("note the end of the coat")
        return
    yield from (one.text for one in unplanned(patch, planned))
    place, strays = _progress(patch.layers, planned.layers)
    for product in strays:
        yield say(
            "look again: {product} lies there, but it is not next in the plan", product=product
        )
    if place is None:
        cured = _clock(patch.window.cured) if patch.window else ""
        yield say("all layers are on") + (
            say("; hard right through from {cured}", cured=cured) if cured else ""
        )
        return
    layer = planned.layers[place]
    top = patch.layers[-1] if patch.layers else None
    begun = top is not None and top.product == layer.product and not strays
    if begun and top is not None:
        flashed = _clock(patch.window.flashed) if patch.window else ""
        number = len(top.coats) + 1
        yield say("coat {number} of {layer}", number=number, layer=layer.title) + (
            say(", from {flashed}", flashed=flashed) if flashed else ""
        )
        return
    yield from _before(patch, layer, planned.route.steps, standing)
    opens = patch.window.opens if patch.window and standing == "not yet" else None
    yield say("coat 1 of {layer}", layer=layer.title) + (
        say(", from {opens}", opens=_clock(opens)) if opens else ""
    )


def is_complete(patch: PatchState, planned: PatchPlan) -> bool:
    """Whether every layer of its plan lies on a patch, the last coat sprayed to its end."""
    place, _ = _progress(patch.layers, planned.layers)
    coat = patch.last_coat
    ended = coat is None or coat.done is not None
    return place is None and ended and not list(unplanned(patch, planned))


class Unplanned(NamedTuple):
    """Something that came about and that the plan does not have: its event, and what is due.

    broke: it was rubbed through there. mend: the layers that belong there again, if the plan says.
    """

    place: Place
    text: str
    broke: bool = False
    mend: tuple[str, ...] = ()


def unplanned(patch: PatchState, planned: PatchPlan) -> Iterator[Unplanned]:
    """What came about on a patch and is in no plan: rubbed through, another ground than thought.

    A place that was rubbed through is done with once that was noted, or once every layer that
    belongs there was laid anew.
    """
    for one in patch.found[-1:]:
        if one.ground and one.ground == patch.ground != planned.ground:
            yield Unplanned(
                one.place,
                say(
                    "the ground was found to be {found}, and the plan is for {planned}: change it "
                    "in the area, so that it is planned anew",
                    found=Said(one.ground), planned=Said(planned.ground),
                ),
            )  # fmt: skip
    if not patch.layers:
        for broke in patch.ground_broke:
            if broke.mended is None:
                yield Unplanned(broke.place, _bare_below(broke.place), broke=True)
        return
    bare_under_old = any(band.old for band in planned.section) and not patch.stripped
    for layer in patch.layers:
        for broke in layer.broke:
            if broke.mended is None and bare_under_old and _to_the_ground(broke, planned):
                yield Unplanned(broke.place, _bare_below(broke.place), broke=True)
                continue
            missing = tuple(_missing(patch, planned, layer, broke))
            if broke.mended is None and missing:
                text = _through(patch, planned, broke, missing)
                yield Unplanned(broke.place, text, broke=True, mend=missing)


def _to_the_ground(broke: Broken, planned: PatchPlan) -> bool:
    return broke.ground != "" and broke.ground not in {one.product for one in planned.layers}


def _bare_below(place: Place) -> str:
    return say(
        "the old paint was rubbed through {at}, and the plan has no primer for what is bare there: "
        "tell it apart in the area, so that it is planned anew; metal the same day",
        at=_clock(place.at),
    )


def _missing(
    patch: PatchState, planned: PatchPlan, layer: LaidLayer, broke: Broken
) -> Iterator[str]:
    """Titles of the planned layers that a place rubbed through has lost, and not got again."""
    products = [one.product for one in planned.layers]
    first = products.index(broke.ground) + 1 if broke.ground in products else 0
    last = products.index(layer.product) + 1 if layer.product in products else 0
    for one in planned.layers[first:last]:
        coats = (coat for coat in patch.coats() if coat.product == one.product)
        if not any(coat.last > broke.place.at for coat in coats):
            yield one.title


def _through(patch: PatchState, planned: PatchPlan, broke: Broken, missing: tuple[str, ...]) -> str:
    titles = {one.product: one.title for one in planned.layers}
    at, layers = _clock(broke.place.at), joined(", ", missing)
    if not broke.ground:
        return say(
            "rubbed through to the old paint {at}: {layers} again on those spots",
            at=at, layers=layers,
        )  # fmt: skip
    if broke.ground in titles:
        return say(
            "rubbed through to {ground} {at}: {layers} again on those spots",
            ground=titles[broke.ground], at=at, layers=layers,
        )  # fmt: skip
    return say(
        "rubbed through to {ground} {at}: clean it and lay {layers} again on those spots, the "
        "same day if it is metal",
        ground=Said(patch.ground or planned.ground), at=at, layers=layers,
    )  # fmt: skip


def _progress(
    laid: Sequence[LaidLayer], planned: Sequence[LayerPlan]
) -> tuple[int | None, list[str]]:
    """The layer of the plan that is due or not complete (None: all are on), and what is stray."""
    place = 0
    strays = []
    broken = [broke.place.at for layer in laid for broke in layer.broke]
    for layer in laid:
        before = {one.product for one in planned[:place]}
        if place < len(planned) and layer.product == planned[place].product:
            place += 1
        elif layer.product not in before or not any(at <= layer.last.last for at in broken):
            strays.append(layer.product)
    if place and laid and laid[-1].product == planned[place - 1].product:
        short = len(laid[-1].coats) < round(planned[place - 1].coats.value)
        if short and not laid[-1].rubbed:
            place -= 1
    return (place if place < len(planned) else None), strays


def _before(
    patch: PatchState, layer: LayerPlan, steps: Sequence[Step], standing: Standing
) -> Iterator[str]:
    """Steps before a layer that the record does not show as done."""
    window = patch.window
    if standing == "shut" and window is not None:
        yield say("the window is shut: {needed}", needed=_needed(window))
    for step in steps:
        if step.before == layer.product and not _is_done(patch, step):
            yield step.text


def _is_done(patch: PatchState, step: Step) -> bool:
    """Whether the record shows a step since the last coat; of tests and waits it cannot tell."""
    since = patch.last_coat.last if patch.last_coat else None
    if step.act == "degrease":
        cleaned = patch.cleaned.place.at if patch.cleaned else None
        return cleaned is not None and (since is None or cleaned >= since)
    if step.act.startswith("strip"):
        return patch.stripped is not None
    if step.act.startswith(("abrade", "block")):
        rubs = patch.layers[-1].rubbed if patch.layers else patch.ground_rubbed
        return any(since is None or rub.place.at >= since for rub in rubs)
    return False


def _clock(moment: datetime | None) -> str:
    """A stamp that a face tells as a time of the clock; nothing stays nothing."""
    return Said(f"{moment:%Y-%m-%d %H:%M}") if moment else ""


def _needed(window: Window) -> str:
    if window.past == "strip":
        return say("strip it")
    return Said(window.past) if window.past else say("abrade first")


def moment(text: str, now: datetime) -> datetime:
    """A moment that a person wrote: 2031-05-05 14:30, or 14:30 of today; in their own time zone."""
    zone = now.astimezone().tzinfo
    try:
        if len(text) <= 5:
            clock = datetime.strptime(text, "%H:%M").time()
            return datetime.combine(now.astimezone().date(), clock, zone)
        found = datetime.fromisoformat(text)
    except ValueError:
        raise InputError(
            say("'{text}' is no moment", text=text),
            field="at",
            instead=say("write 2031-05-05 14:30, or 14:30"),
        ) from None
    return found if found.tzinfo else found.replace(tzinfo=zone)
