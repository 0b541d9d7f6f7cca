"""A timetable of sets told area by area: every coat, wait, mix, cleaning and rest."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from typing import NamedTuple

from coatwright.engines.timetable.problem import Mix, Slot, Span
from coatwright.figures import Figure
from coatwright.planning.cautions import cautions_for
from coatwright.planning.day.habits import CLEARING, TICK
from coatwright.planning.day.plan import DayMix, Entry, State, Stretch
from coatwright.planning.day.sets import AreaSet
from coatwright.planning.day.sky import Laying
from coatwright.planning.day.steps import Bout, Piece
from coatwright.planning.day.workings import MINUTES_A_DAY, Workings
from coatwright.planning.day.works import AreaWork
from coatwright.planning.plan import Caution
from coatwright.sentences import joined, say

SOURCE = "day-timetable"
WHERE = {"mix": "mixing", "coat": "spraying", "strip": "stripping", "strip thin": "stripping"}

SOLVENT = say(
    "Solvent: gloves, fresh air, rags spread out to dry, no flame; the sheet of the degreaser "
    "decides."
)
DUST = say(
    "Dust: extract it at the tool and wear the mask that the sheets of old and new paint name."
)
BESIDE = say(
    "Two-pack paint with isocyanates is being sprayed or has just been: do "
    "this in another room, or in air-fed breathing apparatus until that room "
    "has cleared, 30 min or more; measure it."
)


def clock(minute: float, formula: str = "as arranged") -> Figure:
    """A time of the plan [min] as a figure."""
    return Figure(minute * TICK, "hours", "formula", SOURCE, formula)


def length(minutes: float, formula: str, source: str = SOURCE) -> Figure:
    """A length of time [min] as a figure."""
    return Figure(minutes * TICK, "hours", "formula", source, formula)


def open_parts(spans: Sequence[Span], start: int, end: int) -> list[Span]:
    """The open stretches between two times [min]."""
    return [(max(a, start), min(b, end)) for a, b in spans if a < end and b > start]


def laid_out(spans: Sequence[Span], start: int, lengths: Iterable[int]) -> list[list[Span]]:
    """Pieces of work one after another from a start, each as its open stretches [min]."""
    left = [(max(a, start), b) for a, b in spans if b > start]
    found: list[list[Span]] = []
    for need in lengths:
        parts: list[Span] = []
        while need > 0 and left:
            low, high = left[0]
            taken = min(need, high - low)
            parts.append((low, low + taken))
            need -= taken
            left[0] = (low + taken, high)
            if low + taken == high:
                left.pop(0)
        found.append(parts)
    return found


@dataclass(frozen=True)
class Teller:
    """Tells the entries of one day plan."""

    made: Workings

    @cached_property
    def slots(self) -> Mapping[str, Slot]:
        """When every bout runs."""
        return self.made.timetable.slots

    @cached_property
    def mix_of(self) -> dict[str, str]:
        """The key of the mix every coat takes its paint from."""
        return {bout: key for key, mix in self.mixes_by_key.items() for bout in mix.serves}

    @cached_property
    def mixes_by_key(self) -> dict[str, Mix]:
        """Mixes by product and number."""
        return self.made.mixes_by_key

    @cached_property
    def works(self) -> dict[str, AreaWork]:
        """Areas by key."""
        return {work.area.key: work for one in self.made.sets for work in one.works}

    @cached_property
    def sets(self) -> dict[str, AreaSet]:
        """Sets by key."""
        return {one.key: one for one in self.made.sets}

    @cached_property
    def cautions(self) -> dict[str, tuple[Caution, ...]]:
        """What every product calls for."""
        workshop = self.made.asked.job.workshop
        return {
            key: cautions_for((sheet,), (), workshop)
            for key, sheet in self.made.asked.library.items()
        }

    def entries(self) -> tuple[Entry, ...]:
        """Every entry, in order of time."""
        found: list[Entry] = []
        for bout in self.made.steps.bouts:
            found += self._bout(bout)
        for key, mix in self.mixes_by_key.items():
            found.append(self._mixing(key, mix))
        found += self._rests(found)
        found = self._beside_spraying(found)
        return tuple(sorted(found, key=lambda one: (one.start.value, one.end.value, one.key)))

    def _beside_spraying(self, found: Sequence[Entry]) -> list[Entry]:
        """Work beside the spraying of isocyanates, or soon after it, says so."""
        clouds = [
            (one.start.value, one.end.value + CLEARING)
            for one in found
            if one.kind == "spray"
            and "isocyanate" in self.made.asked.library[one.product].hazards
        ]  # fmt: skip
        told = []
        for one in found:
            beside = one.kind in ("work", "rest") and any(
                a < one.end.value and b > one.start.value for a, b in clouds
            )
            told.append(replace(one, cautions=(*one.cautions, BESIDE)) if beside else one)
        return told

    def _bout(self, bout: Bout) -> Iterable[Entry]:
        slot = self.slots[bout.key]
        lengths = [piece.minutes for piece in bout.pieces]
        lengths[-1] = max(lengths[-1] + self.made.over(bout), 1)
        spans = self.made.calendar.spans() if bout.split else ((slot.start, 10**9),)
        parts = laid_out(spans, slot.start, lengths)
        took = [piece._replace(minutes=n) for piece, n in zip(bout.pieces, lengths, strict=True)]
        for piece, stretches in zip(took, parts, strict=True):
            yield self._piece(bout, piece, stretches, slot)
            if bout.coat:
                yield from self._waits(bout, piece, stretches[-1][1])
        if bout.cleaning:
            yield self._cleaning(bout, slot, parts[-1][-1][1])

    def _piece(self, bout: Bout, piece: Piece, parts: list[Span], slot: Slot) -> Entry:
        return Entry(
            key=f"{bout.key}.{piece.area}",
            kind=bout.kind,
            area=piece.area,
            area_title=piece.title,
            patch=piece.patches[0] if len(piece.patches) == 1 else "",
            product=bout.product,
            act=bout.act,
            text=piece.text,
            people=slot.people,
            start=clock(parts[0][0]),
            end=clock(parts[-1][1]),
            work=_attended(bout, piece.minutes),
            day=_day(parts[0][0]),
            parts=tuple(Stretch(clock(a), clock(b)) for a, b in parts) if len(parts) > 1 else (),
            tools=bout.guns,
            mix=self.mix_of.get(bout.key, ""),
            coat=bout.coat,
            set=bout.set,
            state=self.state(bout.key, parts[-1][1]),
            cautions=self._told(bout.act, bout.product),
        )

    def _told(self, act: str, product: str) -> tuple[str, ...]:
        """What must stand beside a piece of work: the hazard and its first sentence."""
        where = WHERE.get(act, "rubbing" if act.startswith(("abrade", "block")) else "")
        if act == "degrease":
            return (SOLVENT,)
        if where in ("rubbing", "stripping"):
            return (DUST,)
        if not where:
            return ()
        found = (one for one in self.cautions[product] if one.where == where)
        return tuple(dict.fromkeys(say("{caution!f}", caution=one.text) for one in found))

    def state(self, bout: str, end: int | None = None) -> State:
        """Whether a bout, or the area of it that ends then, is done, begun or planned."""
        if bout in self.made.done:
            return "done"
        if bout not in self.made.begun:
            return "planned"
        return "done" if end is not None and end <= self.made.now else "begun"

    def _waits(self, bout: Bout, piece: Piece, end: int) -> Iterable[Entry]:
        """Flash-off, or drying until the next layer may go on."""
        work = self.works[piece.area]
        wait = self._wait(bout, work, end)
        yield Entry(
            key=f"{bout.key}.{piece.area}.{wait.act}",
            kind="wait",
            area=piece.area,
            area_title=piece.title,
            patch="",
            product=bout.product,
            act=wait.act,
            text=wait.text,
            people=(),
            start=clock(end),
            end=replace(
                clock(end + wait.takes.value / TICK, "end of the coat + what it takes"),
                inputs={"it takes": wait.takes},
            ),
            work=length(0.0, "nobody is needed"),
            day=_day(end),
            coat=bout.coat,
            set=bout.set,
            state=self.state(bout.key),
        )

    def _wait(self, bout: Bout, work: AreaWork, end: int) -> "_Wait":
        """What a coat of an area waits for, and how long in this weather and film."""
        layer, sheet = work.layers[bout.layer], work.layers[bout.layer].material
        times = self.made.sky.times_from(Laying.of(layer, work.area.gauge), end * TICK)
        if bout.coat < len(layer.coats):
            said, takes, what = sheet.flash.min, times.flash, say("flash-off before the next coat")
        elif bout.layer == len(work.layers) - 1:
            said, takes, what = sheet.through_dry, times.dry, say("drying before handling")
        elif all(one.keyed for one in work.layers[bout.layer + 1].follows):
            said = max(sheet.recoat.min, sheet.dry_to_sand or sheet.through_dry)
            takes, what = max(times.opens, times.sands), say("drying before it is rubbed down")
        else:
            said, takes, what = sheet.recoat.min, times.opens, say("drying before the next layer")
        written = Figure(said, "hours", "sheet", f"sheet:{sheet.key}", spread_note="at 20 degC")
        figure = Figure(
            takes,
            "hours",
            "formula",
            "equal-residue",
            "sheet's time at this weather and film",
            {"sheet": written},
        )
        act = "flash" if bout.coat < len(layer.coats) else "dry"
        return _Wait(act, say("{sheet}: {what}", sheet=sheet.title, what=what), figure)

    def _cleaning(self, bout: Bout, slot: Slot, start: int) -> Entry:
        titles = {one.key: one.title for one in self.made.asked.job.workshop.guns}
        tools = joined(", ", [titles.get(key, key) for key in bout.guns]) or say("the gun")
        return Entry(
            key=f"{bout.key}.clean-gun",
            kind="work",
            area="",
            area_title="",
            patch="",
            product=bout.product,
            act="clean gun",
            text=say("empty and clean {tools}", tools=tools),
            people=slot.people,
            start=clock(start),
            end=clock(slot.end),
            work=length(bout.cleaning, "10 min", "day-habits"),
            day=_day(start),
            tools=bout.guns,
            mix=self.mix_of.get(bout.key, ""),
            set=bout.set,
            state=self.state(bout.key),
            cautions=self._told("mix", bout.product),
        )

    def _mixing(self, key: str, mix: Mix) -> Entry:
        sheet = self.made.asked.library[mix.pot]
        return Entry(
            key=f"mix.{key}",
            kind="work",
            area="",
            area_title="",
            patch="",
            product=mix.pot,
            act="mix",
            text=say(
                "mix {mix:.0f} mL of {sheet}", mix=self._volume(mix) * 1000000.0, sheet=sheet.title
            ),
            people=mix.people,
            start=clock(mix.start),
            end=clock(mix.end),
            work=length(mix.end - mix.start, "pour, stir, strain, fill: 5 min", "day-habits"),
            day=_day(mix.start),
            mix=key,
            state=self._mix_state(mix),
            cautions=self._told("mix", mix.pot),
        )

    def _mix_state(self, mix: Mix) -> State:
        if mix.start >= self.made.now:
            return "planned"
        return "done" if mix.end <= self.made.now else "begun"

    def _volume(self, mix: Mix) -> float:
        """What goes into a mix [m3], to the next 10 mL; what went into it, if it is known."""
        if mix.holds is not None:
            return mix.holds * 1e-6
        bouts = [self.made.bout(key) for key in mix.serves]
        return -(-sum(bout.paint for bout in bouts) // 10) * 1e-5

    def _dose(self, mix: Mix) -> Figure:
        known = mix.holds is not None and mix.start < self.made.now
        what = "as mixed" if known else (
            "paint of its coats with their share of losses, to the next 10 mL"
        )  # fmt: skip
        return Figure(self._volume(mix), "dose", "formula", SOURCE, what)

    def mixes(self) -> tuple[DayMix, ...]:
        """Every mix with its life."""
        return tuple(self._mix(key, mix) for key, mix in self.mixes_by_key.items())

    def _mix(self, key: str, mix: Mix) -> DayMix:
        sheet = self.made.asked.library[mix.pot]
        life = self.made.sky.pot_life(sheet)
        served = [self.made.bout(one) for one in mix.serves]
        pot_life = None
        if life is not None and sheet.pot_life is not None:
            told = Figure(sheet.pot_life, "time", "sheet", f"sheet:{mix.pot}")
            pot_life = Figure(life, "time", "formula", "equal-residue",
                              "shortest of the day's working hours", {"sheet": told})  # fmt: skip
        return DayMix(
            key=key,
            product=mix.pot,
            title=sheet.title,
            people=mix.people,
            start=clock(mix.start),
            end=clock(mix.end),
            ready=clock(mix.end + sheet.induction / TICK, "mixed + the sheet's standing time"),
            gone=_gone(mix, life),
            volume=self._dose(mix),
            pot_life=pot_life,
            serves=tuple(f"{bout.key}.{piece.area}" for bout in served for piece in bout.pieces),
            day=_day(mix.start),
            state=self._mix_state(mix),
            cautions=self._told("mix", mix.pot),
        )  # fmt: skip

    def _rests(self, found: Sequence[Entry]) -> list[Entry]:
        """The breaks of every day on which somebody works before and after them."""
        rests: list[Entry] = []
        for day in range(self.made.calendar.days):
            spans = [(one.start.value, one.end.value) for one in found
                     if one.people and one.day == day + 1]  # fmt: skip
            for number, (low, high) in enumerate(self.made.calendar.breaks(), 1):
                start, end = day * MINUTES_A_DAY + low, day * MINUTES_A_DAY + high
                if any(a < start * TICK for a, _ in spans) and any(
                    b > end * TICK for _, b in spans
                ):
                    rests += self._rest(number, start, end, found)
        return rests

    def _rest(self, number: int, start: int, end: int, found: Sequence[Entry]) -> Iterable[Entry]:
        """A break of all who are not still at work that ran late."""
        day = start // MINUTES_A_DAY
        late = {
            person
            for one in found
            if not one.parts and one.start.value < end * TICK and one.end.value > start * TICK
            for person in one.people
        }
        people = tuple(p.key for p in self.made.problem.people if p.key not in late)
        if people:
            yield self._rest_of(people, day, number, (start, end))

    def _rest_of(self, people: tuple[str, ...], day: int, number: int, span: Span) -> Entry:
        start, end = span
        return Entry(
            key=f"day-{day + 1}.break-{number}",
            kind="rest",
            area="",
            area_title="",
            patch="",
            product="",
            act="break",
            text=say("rest, eat and drink; wash hands first, and not in the paint room"),
            people=people,
            start=clock(start, "hours of the shop"),
            end=clock(end, "hours of the shop"),
            work=length(0.0, "nobody works"),
            day=day + 1,
        )


class _Wait(NamedTuple):
    """Why nothing may be done to an area, and for how long."""

    act: str
    text: str
    takes: Figure


def _gone(mix: Mix, life: float | None) -> Figure | None:
    """When a mix that lives so long [s] is past use; sooner if it is known to be."""
    if mix.gone is not None:
        return clock(mix.gone, "begun + pot life, or as noted")
    return None if life is None else clock(mix.start + life / TICK, "begun + pot life")


def _attended(bout: Bout, minutes: int) -> Figure:
    """How long somebody is at one area, and why."""
    if bout.kind == "spray":
        why = "strokes and turns, refills, rests that the air needs, 1 min to get there"
        return length(minutes, why, "stroke-recipe")
    return length(minutes, "minutes for each m2 x surface, up to a minute", "day-habits")


def _day(minute: float) -> int:
    """The day a time lies in, counted from 1."""
    return int(minute // MINUTES_A_DAY) + 1
