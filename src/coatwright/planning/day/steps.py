"""The steps of every set as bouts of work, and the times that must lie between them.

Times in minutes, the ticks of the timetable, rounded so that a promise is kept: least times up,
most times down.
"""

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Literal, NamedTuple

from coatwright.engines.timetable.problem import Anchor, Lag
from coatwright.model.job import Job
from coatwright.model.material import Material
from coatwright.planning.advice.context import Context
from coatwright.planning.conditions.lapses import Bill, lapse
from coatwright.planning.day import habits
from coatwright.planning.day.sets import AreaSet
from coatwright.planning.day.sky import Laying, Sky, Times
from coatwright.planning.day.works import ActWork, AreaWork, LayerWork
from coatwright.sentences import say

Kind = Literal["work", "spray"]


class Piece(NamedTuple):
    """One area's part of a bout: minutes at it, paint [mL], and the patches it is about."""

    area: str
    title: str
    minutes: int
    text: str
    patches: tuple[str, ...] = ()
    paint: int = 0


@dataclass(frozen=True)
class Bout:
    """One act on one set: its areas one after another, then cleaning the gun [min].

    person is the key of the hand that must do it, "" for anybody. coat counts from 1, 0 if none.
    """

    key: str
    set: str
    act: str
    kind: Kind
    product: str
    pieces: tuple[Piece, ...]
    coat: int = 0
    layer: int = 0
    person: str = ""
    guns: tuple[str, ...] = ()
    split: bool = False
    cleaning: int = 0
    last: bool = False

    @property
    def laying(self) -> int:
        """Minutes until the last area is done [min]."""
        return sum(piece.minutes for piece in self.pieces)

    @property
    def work(self) -> int:
        """Minutes with the gun cleaned."""
        return self.laying + self.cleaning

    @property
    def paint(self) -> int:
        """What it takes from a mix [mL]."""
        return sum(piece.paint for piece in self.pieces)

    @property
    def dusty(self) -> bool:
        """Whether it raises dust."""
        return self.act in habits.DUSTY

    def begins(self, area: str) -> int | None:
        """Minutes from its start until it comes to an area; None if it does not."""
        at = 0
        for piece in self.pieces:
            if piece.area == area:
                return at
            at += piece.minutes
        return None

    def ends(self, area: str) -> int | None:
        """Minutes from its start until it leaves an area."""
        begins = self.begins(area)
        length = next((piece.minutes for piece in self.pieces if piece.area == area), 0)
        return None if begins is None else begins + length


@dataclass(frozen=True)
class Lapsed:
    """A window that the plan lets close: the layer is keyed instead, at this price."""

    set: str
    product: str
    title: str
    text: str
    hours: float
    money: float


@dataclass(frozen=True)
class Steps:
    """All bouts of a job, and what must lie between them."""

    bouts: tuple[Bout, ...]
    lags: tuple[Lag, ...]
    lapsed: tuple[Lapsed, ...] = ()


@dataclass(frozen=True)
class Maker:
    """What the steps of a job are made with. lapsing: (set, product below) keyed by choice."""

    job: Job
    sky: Sky
    bill: Bill
    lapsing: frozenset[tuple[str, str]] = frozenset()

    def times(self, work: AreaWork, index: int) -> Times:
        """The times of one layer of one area."""
        return self.sky.times(Laying.of(work.layers[index], work.area.gauge))


def minutes(seconds: float) -> int:
    """A time that must at least pass [min]."""
    return math.ceil(seconds / habits.TICK - 1e-9)


def minutes_within(seconds: float) -> int:
    """A time that may at most pass [min]."""
    return math.floor(seconds / habits.TICK + 1e-9)


def steps_of(sets: Sequence[AreaSet], maker: Maker) -> Steps:
    """Every bout of every set with its lags, and the lags that tie sets to each other."""
    each = [_Builder(one, maker).build() for one in sets]
    bouts = tuple(bout for steps in each for bout in steps.bouts)
    lags = [lag for steps in each for lag in steps.lags]
    lags += _between(sets, bouts, maker)
    return Steps(bouts, tuple(lags), lapses_of(sets, maker))


class _Builder:
    """The steps of one set, laid down layer by layer."""

    def __init__(self, one: AreaSet, maker: Maker) -> None:
        self.set, self.maker = one, maker
        self.bouts: list[Bout] = []
        self.lags: list[Lag] = []
        self.last_coat: dict[int, Bout] = {}

    def build(self) -> Steps:
        """All layers, from the ground up."""
        for index in range(len(self.set.products)):
            prepared = self._prepare(index)
            coats = self._coats(index)
            self._join(index, prepared, coats[0])
        return Steps(tuple(self.bouts), tuple(self.lags))

    def _prepare(self, index: int) -> list[Bout]:
        """Preparation before a layer, one act after another."""
        rows = [(work, work.layers[index].acts) for work in self.set.works]
        if index and self._lapsing(index):
            rows = [(work, (self._key(work, index), *acts)) for work, acts in rows]
        names: list[str] = []
        for _, acts in rows:
            for act in acts:
                if act.act not in names:
                    names.append(act.act)
        names.sort(key=lambda name: _ORDER.index(name) if name in _ORDER else 0)
        found = [self._act(name, index, rows) for name in names]
        for before, after in pairwise(found):
            waits = max((act.wait for _, acts in rows for act in acts if act.act == before.act),
                        default=0.0)  # fmt: skip
            name = say(
                "{act} {set} after {act2}", act=after.act, set=self.set.title, act2=before.act
            )
            self.lags.append(Lag(before.key, after.key, minutes(waits), name=name))
        self.bouts += found
        return found

    def _act(
        self, name: str, index: int, rows: Sequence[tuple[AreaWork, tuple[ActWork, ...]]]
    ) -> Bout:
        pieces = tuple(
            Piece(work.area.key, work.area.title, max(minutes(act.seconds), 1), act.text,
                  act.patches)
            for work, acts in rows
            for act in acts
            if act.act == name
        )  # fmt: skip
        product = self.set.products[index]
        key = f"{self.set.key}.{product}.{name.replace(' ', '-')}"
        return Bout(key, self.set.key, name, "work", product, pieces, layer=index, split=True)

    def _key(self, work: AreaWork, index: int) -> ActWork:
        """Keying a layer whose window has closed."""
        act = self.maker.bill.work.acts["abrade new"]
        below = work.layers[index - 1].material.title
        text = say("key {below}: its window has closed", below=below)
        return ActWork("abrade new", text, (), act.per_m2 * work.surface + act.fixed)

    def _coats(self, index: int) -> list[Bout]:
        layers, count = self.set.layer(index), self.set.coats(index)
        coats = [self._coat(index, layers, number, count) for number in range(1, count + 1)]
        for before, after in pairwise(coats):
            self._between_coats(index, before, after)
        self.bouts += coats
        self.last_coat[index] = coats[-1]
        return coats

    def _coat(self, index: int, layers: Sequence[LayerWork], number: int, count: int) -> Bout:
        material = layers[0].material
        sprayed = material.applied in ("gun", "schutz gun")
        pieces = tuple(
            Piece(work.area.key, work.area.title, minutes(layer.coats[number - 1].seconds),
                  say("coat {number} of {count}: {product}", number=number,
                      count=len(layer.coats), product=material.title),
                  paint=math.ceil(layer.coats[number - 1].paint * 1e6))
            for work, layer in zip(self.set.works, layers, strict=True)
            if number <= len(layer.coats)
        )  # fmt: skip
        guns = tuple(dict.fromkeys(layer.gun for layer in layers if layer.gun))
        return Bout(
            key=f"{self.set.key}.{material.key}.coat-{number}",
            set=self.set.key,
            act="coat",
            kind="spray" if sprayed else "work",
            product=material.key,
            pieces=pieces,
            coat=number,
            layer=index,
            person=self.set.hand if sprayed else "",
            guns=guns,
            cleaning=minutes(habits.GUN_CLEANING) if sprayed and number == count else 0,
            last=number == count,
        )

    def _between_coats(self, index: int, before: Bout, after: Bout) -> None:
        """Flash-off on every area, and one session."""
        title = self.set.works[0].layers[index].material.title
        least, most = 0, 10**6
        for work in self.set.works:
            ends, begins = before.ends(work.area.key), after.begins(work.area.key)
            if ends is not None and begins is not None:
                flash = self.maker.times(work, index).flash
                least = max(least, ends + minutes(flash) - begins)
                most = min(most, minutes_within(max(habits.SESSION, 4 * flash)) + ends - begins)
        least = max(least, before.work)
        flash_off = say("flash-off of {title} on {set}", title=title, set=self.set.title)
        session = say(
            "coats of {title} on {set} go on in one session", title=title, set=self.set.title
        )
        self.lags += [
            Lag(before.key, after.key, least, None, "start", "start", flash_off),
            Lag(before.key, after.key, None, max(most, least), "start", "start", session),
        ]

    def _join(self, index: int, prepared: list[Bout], coat: Bout) -> None:
        """From the layer below and the preparation to the first coat."""
        for bout in prepared:
            self._fresh(bout, coat)
        if prepared:
            least = habits.DEGREASER_FLASHES if prepared[-1].act == "degrease" else 0.0
            name = say(
                "{product} on {set} after {act}",
                product=coat.product,
                set=self.set.title,
                act=prepared[-1].act,
            )
            self.lags.append(Lag(prepared[-1].key, coat.key, minutes(least), name=name))
        for below in sorted(self.last_coat):
            if below < index:
                self._over(below, index, (prepared or [coat])[0], coat)

    def _fresh(self, bout: Bout, coat: Bout) -> None:
        """Bare or wiped ground does not wait for long, counted from the first of it."""
        most, what = 0.0, ""
        if bout.act == "degrease":
            most, what = habits.CLEAN_WAITS, say("what is wiped down is coated the same half day")
        if bout.act in habits.BARING and self.set.metal and coat.layer == 0:
            most, what = habits.BARE_WAITS, say("bare metal is not left overnight")
        if most:
            name = say("{set}: {what}", set=self.set.title, what=what)
            own = bout.work * habits.TICK
            by_start = own <= habits.BARE_WAITS
            longest = minutes_within(max(most, own + habits.CLEAN_WAITS) if by_start else most)
            leaves: Anchor = "start" if by_start else "end"
            self.lags.append(Lag(bout.key, coat.key, 0, longest, leaves, "start", name))

    def _over(self, below: int, index: int, first: Bout, coat: Bout) -> None:
        """Opens and closes of a layer below, for every area that goes from it to this one."""
        laid = self.last_coat[below]
        lower = self.set.works[0].layers[below].material
        opens, closes = 0, 10**6
        for work in self.set.works:
            for follow in work.layers[index].follows:
                if follow.below == lower.key:
                    span = self._span(work, below, follow.keyed or self._lapsing(index),
                                      follow.waits, first)  # fmt: skip
                    ends = laid.ends(work.area.key) or laid.laying
                    opens = max(opens, ends + minutes(span[0]))
                    if span[1] is not None:
                        begins = coat.begins(work.area.key) or 0
                        closes = min(closes, ends + minutes_within(span[1]) - begins)
        if opens == 0:
            return
        title = say("{lower} on {set}", lower=lower.title, set=self.set.title)
        opens = max(opens, laid.work)
        self.lags.append(
            Lag(
                laid.key,
                first.key,
                opens,
                None,
                "start",
                "start",
                say("{title} must open first", title=title),
            )
        )
        if closes < 10**6:
            price = self._lapse_price(below, index)
            self.lags.append(
                Lag(laid.key, coat.key, 0, closes, "start", "start",
                    say("the recoat window of {title} closes", title=title), price)
            )  # fmt: skip

    def _span(
        self, work: AreaWork, below: int, keyed: bool, waits: str, first: Bout
    ) -> tuple[float, float | None]:
        """From when and until when [s] after its last coat a layer may be gone over."""
        times = self.maker.times(work, below)
        closes = times.seals if keyed else times.closes
        opens = max(times.opens, times.sands) if first.dusty or keyed else times.opens
        if waits == "dry":
            opens = max(opens, times.dry)
        if waits == "metal":
            wait = Context().wait
            if closes is not None:
                wait = min(wait, closes - habits.NARROW)
            opens = max(opens, wait)
        return opens, closes

    def _lapsing(self, index: int) -> bool:
        return index > 0 and (self.set.key, self.set.products[index - 1]) in self.maker.lapsing

    def _lapse_price(self, below: int, index: int) -> int:
        """What it costs to let the window close, if keying is enough then; 0 if it is not [-]."""
        material = self.set.works[0].layers[below].material
        if material.recoat.past != "abrade" or below != index - 1:
            return 0
        return max(round(self.lapse_bill(below)[1]), 1)

    def lapse_bill(self, below: int) -> tuple[float, float]:
        """Hours [s] and money of keying a layer of the whole set."""
        hours = money = 0.0
        for work in self.set.works:
            stack: list[tuple[Material, float]] = [
                (layer.material, layer.film) for layer in work.layers[: below + 1]
            ]
            found = lapse(tuple(stack), work.surface, 0.0, self.maker.bill)
            hours, money = hours + found.hours.value, money + found.money.value
        return hours, money


_ORDER = (
    "test", "test patch", "strip", "strip thin", "remove rust", "wash", "abrade bare", "abrade old",
    "guide coat", "block", "abrade new", "mask", "degrease",
)  # fmt: skip


def _between(sets: Sequence[AreaSet], bouts: Sequence[Bout], maker: Maker) -> Iterable[Lag]:
    """Insides before outsides, and cavity wax last."""
    by_set = {one.key: [b for b in bouts if b.set == one.key] for one in sets}
    for inner in sets:
        finish = by_set[inner.key][-1]
        dry = minutes(max(maker.times(w, len(w.layers) - 1).dry for w in inner.works))
        for outer in sets:
            if outer is inner or not by_set[outer.key]:
                continue
            first = _finish_begins(by_set[outer.key])
            name = ""
            if inner.zone in ("inside", "underside") and outer.zone == "outside":
                name = say(
                    "{inner} is finished and dry before {outer} is masked",
                    inner=inner.title,
                    outer=outer.title,
                )
            elif outer.zone == "cavity" and inner.zone != "cavity":
                first = by_set[outer.key][0]
                name = say(
                    "{outer} gets its wax last, when {inner} is through-dry",
                    outer=outer.title,
                    inner=inner.title,
                )
            if name:
                least = finish.laying + dry
                yield Lag(finish.key, first.key, least, None, "start", "start", name)


def _finish_begins(bouts: Sequence[Bout]) -> Bout:
    """Masking before the finish, or its first coat."""
    last = bouts[-1].layer
    mine = [b for b in bouts if b.layer == last]
    return next((b for b in mine if b.act == "mask"), next(b for b in mine if b.coat == 1))


def until_dry(sets: Sequence[AreaSet], maker: Maker, before: Bout, after: Bout) -> int:
    """From the start of one coat to that of the next of its layer, if the first must dry [min]."""
    works = next(one.works for one in sets if one.key == before.set)
    least = before.work
    for work in works:
        ends, begins = before.ends(work.area.key), after.begins(work.area.key)
        if ends is not None and begins is not None:
            times = maker.times(work, before.layer)
            least = max(least, ends + minutes(max(times.opens, times.sands)) - begins)
    return least


def lapses_of(sets: Sequence[AreaSet], maker: Maker) -> tuple[Lapsed, ...]:
    """What the windows that are let close take, in words and figures."""
    found = []
    for one in sets:
        for index, product in enumerate(one.products[:-1]):
            if (one.key, product) in maker.lapsing:
                hours, money = _Builder(one, maker).lapse_bill(index)
                title = one.works[0].layers[index].material.title
                text = say(
                    "{title} on {title2} is keyed: its window closes before the next layer",
                    title=title,
                    title2=one.title,
                )
                found.append(Lapsed(one.key, product, title, text, hours, money))
    return tuple(found)
