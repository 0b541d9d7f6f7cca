"""Scripts a job of the past: a normal one, in bounds everywhere, in which a fault can be planted.

What is scripted is what a painter does and a shop writes down (times, weights, readings with their
noise), never a feature or a score of the search for causes.
"""

import random
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta

from coatwright.record import events as ev
from histories.sheets import (
    BAR,
    BASE,
    DAY,
    EPOXY,
    HIGH_BUILD,
    HOUR,
    LACQUER,
    MIN,
    NOUGHT,
    SOLID,
    UM,
    Sheet,
)  # fmt: skip

START = datetime(2026, 5, 4, 8, 0, tzinfo=UTC)
INSTRUMENTS = (
    "comb", "cup", "gauge", "climate", "air speed", "air line", "mix", "flow cup", "tins",
    "stopwatch", "distance", "rubbing", "cleaning", "later",
)  # fmt: skip


@dataclass
class Rub:
    """One rubbing down: how long before the coat, with what."""

    grade: str
    before: float
    wet: bool = False
    guide: bool = False
    took: float | None = None


@dataclass
class Coat:
    """One coat as it was really sprayed, against the plan."""

    laid: float = 1.0
    flash: float = 1.4
    trigger: float = 1.0
    pressure: float = 2.0 * BAR
    distance: float = 0.18


@dataclass
class Climate:
    """Air and metal while a layer was sprayed."""

    air: float = 20.0 + NOUGHT
    metal: float = 19.5 + NOUGHT
    humidity: float = 0.50
    speed: float = 0.25


@dataclass
class Layer:
    """One layer as it was really laid."""

    product: str
    sheet: Sheet
    coats: list[Coat]
    wait: float
    rubs: list[Rub] = field(default_factory=list)
    degreased: float | None = 30 * MIN
    mixed: float = 15 * MIN
    hardener: float = 1.0
    thinner: float = 1.0
    strange: str = ""
    expires: float = 200 * DAY
    lot: str = "L1"
    cup: float | None = None
    spread: float = 0.08
    climate: Climate = field(default_factory=Climate)
    later: list[tuple[float, Climate]] = field(default_factory=list)
    dust: float | None = None
    water: bool = False
    broke: str = ""
    primed: bool = True


@dataclass
class Job:
    """A job: what was done before paint, its layers, what the shop recorded, what was seen."""

    layers: list[Layer]
    ground_rubs: list[Rub]
    stripped: float | None = 4 * HOUR
    found: tuple[str, str] | None = None
    sanded_after: bool = True
    others: list[Layer] = field(default_factory=list)
    seen_in: int = -1
    seen_after: float = 5 * DAY
    kept: set[str] = field(default_factory=lambda: set(INSTRUMENTS))

    @property
    def last(self) -> Layer:
        return self.layers[self.seen_in]


def layer(rng: random.Random, product: str, sheet: Sheet, wait: float, *rubs: Rub) -> Layer:
    """A layer in bounds, with the small differences that no two days are without."""
    coats = [
        Coat(
            laid=_within(rng, 1.0, 0.03, 0.07),
            flash=rng.uniform(1.15, 1.9),
            trigger=_within(rng, 1.0, 0.04, 0.09),
            pressure=sheet.pressure + rng.uniform(-0.08, 0.12) * BAR,
            distance=rng.uniform(0.155, 0.205),
        )
        for _ in range(sheet.coats)
    ]
    climate = Climate(
        air=rng.uniform(18.5, 23.0) + NOUGHT, humidity=rng.uniform(0.38, 0.58),
        speed=rng.uniform(0.15, 0.35),
    )  # fmt: skip
    climate.metal = climate.air - rng.uniform(0.0, 0.8)
    low, high = sheet.cup
    made = Layer(
        product, sheet, coats, wait, list(rubs), mixed=rng.uniform(8, 20) * MIN, climate=climate,
        degreased=rng.uniform(15, 50) * MIN, cup=rng.uniform(low + 0.6, high - 0.6),
        hardener=rng.uniform(0.985, 1.015), thinner=rng.uniform(0.97, 1.03),
        expires=rng.uniform(60, 500) * DAY, spread=rng.uniform(0.05, 0.09),
    )  # fmt: skip
    evening = Climate(climate.air - rng.uniform(0.5, 1.8), climate.metal - 1.0, climate.humidity)
    made.later = [(rng.uniform(5, 9) * HOUR, evening)]
    return made


def _within(rng: random.Random, mean: float, deviation: float, most: float) -> float:
    return mean + max(-most, min(most, rng.gauss(0.0, deviation)))


def _primed(rng: random.Random) -> list[Layer]:
    return [
        layer(rng, "epoxy", EPOXY, 0.0),
        layer(rng, "high-build", HIGH_BUILD, rng.uniform(20, 40) * HOUR, Rub("P180", 1 * HOUR)),
    ]


def _blocked(rng: random.Random, last: str) -> list[Rub]:
    return [
        Rub("P180", rng.uniform(7, 8) * HOUR, guide=True, took=25 * UM),
        Rub("P320", rng.uniform(4, 5) * HOUR, guide=True, took=12 * UM),
        Rub(last, rng.uniform(1.5, 2.5) * HOUR, guide=True, took=6 * UM),
    ]


def lacquered(rng: random.Random) -> Job:
    """Epoxy, high-build, basecoat, lacquer on bare steel."""
    layers = _primed(rng)
    layers.append(layer(rng, "colour", BASE, rng.uniform(30, 60) * HOUR, *_blocked(rng, "P600")))
    layers.append(layer(rng, "lacquer", LACQUER, rng.uniform(35, 80) * MIN))
    layers[-1].degreased = None
    return _job(rng, layers)


def solid(rng: random.Random) -> Job:
    """Epoxy, high-build, two-pack solid colour on bare steel."""
    layers = _primed(rng)
    layers.append(layer(rng, "solid", SOLID, rng.uniform(30, 60) * HOUR, *_blocked(rng, "P500")))
    return _job(rng, layers)


def primed(rng: random.Random) -> Job:
    """Epoxy and high-build, then rubbed down."""
    made = _job(rng, _primed(rng))
    made.layers[-1].broke = ""
    return made


def _job(rng: random.Random, layers: list[Layer]) -> Job:
    return Job(
        layers,
        [Rub("P80", rng.uniform(2.0, 3.0) * HOUR), Rub("P120", rng.uniform(0.8, 1.5) * HOUR)],
        stripped=rng.uniform(2.5, 5.0) * HOUR,
    )


class Writer:
    """Writes a job down as events, with the noise of each instrument."""

    def __init__(self, job: Job, rng: random.Random) -> None:
        self.job, self.rng = job, rng
        self.events: list[ev.Event] = []
        self.film = 0.0
        self.area = "door"

    def note(self, at: float, body: object) -> None:
        stamp = START + timedelta(seconds=round(at))
        self.events.append(
            ev.said("invented", "Ivo", stamp, body, self.area, "skin" if self.area else "")  # type: ignore[arg-type]
        )

    def kept(self, instrument: str) -> bool:
        return instrument in self.job.kept

    def write(self, defect: str, said_layer: bool = True) -> list[ev.Event]:
        """All events, the last of them the defect."""
        first = 2 * DAY
        self._ground(first)
        end = first
        for index, one in enumerate(self.job.layers):
            end = self._layer(one, index, end + (one.wait if index else 0.0))
        for one in self.job.others:
            self.area = "bonnet"
            self._layer(one, 0, end + one.wait)
            self.area = "door"
        at = end + self.job.seen_after
        if self.kept("gauge"):
            self._gauge(at - 1 * HOUR, self.job.layers[-1])
        product = self.job.last.product if said_layer else ""
        self.note(at, ev.DefectSeen(defect=defect, product=product))
        return sorted(self.events, key=lambda event: event.at)

    def _ground(self, first: float) -> None:
        self.note(0.0, ev.Arrived(condition="as bought"))
        if self.job.found:
            what, ground = self.job.found
            self.note(1 * HOUR, ev.Found(what=what, ground=ground, surface=0.02))
        if self.job.stripped is not None:
            self.note(first - self.job.stripped, ev.Stripped(ground="bare steel", how="disc"))
        if self.kept("rubbing"):
            for rub in self.job.ground_rubs:
                self.note(first - rub.before, ev.RubbedDown(grade=rub.grade, wet=rub.wet))

    def _layer(self, one: Layer, index: int, begin: float) -> float:
        self._prepared(one, index, begin)
        self._mix(one, begin - one.mixed, 1)
        at = begin
        for number, coat in enumerate(one.coats, start=1):
            if number > 1 and self._sets_fast(one):
                self._mix(one, at - 6 * MIN, number)
            at = self._coat(one, number, coat, at)
            if number < len(one.coats):
                at += coat.flash * one.sheet.flash
        self._after(one, at)
        return at

    def _prepared(self, one: Layer, index: int, begin: float) -> None:
        below = self.job.layers[index - 1].product if index and self.area == "door" else ""
        if self.kept("rubbing") and below:
            for rub in one.rubs:
                self.note(
                    begin - rub.before,
                    ev.RubbedDown(grade=rub.grade, product=below, wet=rub.wet, took=rub.took,
                                  guide_coat=rub.guide),
                )  # fmt: skip
        self.film -= sum(rub.took or 0.0 for rub in one.rubs) if self.area == "door" else 0.0
        if one.broke:
            self.note(begin - 1.4 * HOUR, ev.BrokeThrough(ground=one.broke, surface=0.003))
            if one.primed:
                self._spot(begin - 1.2 * HOUR)
        if self.kept("cleaning") and one.degreased is not None:
            self.note(begin - one.degreased, ev.Degreased(product="degreaser"))
        if one.dust is not None and self.kept("rubbing"):
            self.area = "boot"
            self.note(begin - one.dust, ev.RubbedDown(grade="P180"))
            self.area = "door"

    def _spot(self, at: float) -> None:
        planned = self._planned(EPOXY, 0.01)
        self.note(at, ev.CoatBegun(product="epoxy", coat=1, planned=planned))
        self.note(at + 2 * MIN, ev.CoatDone(product="epoxy", coat=1))

    def _sets_fast(self, one: Layer) -> bool:
        """Whether a careful painter would mix for each coat anew."""
        return one.sheet.pot_life is not None and one.sheet.pot_life <= 1 * HOUR

    def _mix(self, one: Layer, at: float, number: int) -> None:
        if not self.kept("mix"):
            return
        poured = {}
        for part, mass in one.sheet.parts.items():
            share = 1.0
            if part.endswith(("hardener", "activator")):
                share = one.hardener
            elif part.endswith(("thinner", "spirit")):
                share = one.thinner
            poured[part] = round(mass * share, 4)
        if one.strange:
            hardener = next(part for part in poured if part.endswith("hardener"))
            poured[one.strange] = poured.pop(hardener)
        tins = self.kept("tins")
        use_by = (START + timedelta(seconds=at + one.expires)).date().isoformat()
        base = next(iter(one.sheet.parts))
        self.note(
            at,
            ev.Mixed(
                mix=self._name(one, number), product=one.product, parts=poured,
                wanted=one.sheet.parts,
                lots={base: one.lot} if tins else {},
                expiry={next(reversed(one.sheet.parts)): use_by} if tins else {},
                density=1200.0, pot_life=one.sheet.pot_life,
                cup_seconds=round(one.cup, 1) if one.cup and self.kept("flow cup") else None,
                cup="DIN 4", temperature=20 + NOUGHT,
            ),
        )  # fmt: skip

    def _name(self, one: Layer, coat: int) -> str:
        """One mix for the layer, or one for each coat."""
        suffix = f"-{coat}" if coat > 1 and self._sets_fast(one) else ""
        return f"{one.product}-{self.area}{suffix}"

    def _planned(self, sheet: Sheet, surface: float = 1.1) -> ev.Planned:
        capture, solids = 0.5, sheet.dry / sheet.wet
        lifting = sheet.lifting or (None, None)
        return ev.Planned(
            dry=sheet.dry, dry_spread=0.12 * sheet.dry, wet=sheet.wet, run_limit=sheet.run_limit,
            least=sheet.least, most=sheet.most, surface=surface, capture=capture, solids=solids,
            paint=surface * sheet.dry / solids / capture, density=1200.0, trigger=240.0,
            pressure=sheet.pressure, pressure_least=sheet.pressure_least,
            air_temperature=20 + NOUGHT, flash=sheet.flash, recoat_from=sheet.recoat_from,
            recoat_until=sheet.recoat_until, past_window=sheet.past, sand_from=sheet.sand_from,
            cured=sheet.cured, metal_least=sheet.metal_least, metal_most=32 + NOUGHT,
            humidity_most=0.80, family=sheet.family, cup_least=sheet.cup[0], cup_most=sheet.cup[1],
            coarsest=sheet.coarsest, lifting_from=lifting[0], lifting_to=lifting[1],
        )  # fmt: skip

    def _coat(self, one: Layer, number: int, coat: Coat, at: float) -> float:
        sheet, rng = one.sheet, self.rng
        if self.kept("climate"):
            self.note(at - 3 * MIN, self._climate(one.climate))
        if self.kept("air line"):
            pressure = max(0.0, coat.pressure + rng.gauss(0, 0.02) * BAR)
            water = one.water and number == 1
            self.note(
                at - 1 * MIN,
                ev.AirRead(where="gun", pressure=pressure, trigger=True, water=water),
            )
        planned = self._planned(sheet)
        distance = round(coat.distance + rng.gauss(0, 0.004), 3)
        self.note(at, ev.CoatBegun(
            product=one.product, coat=number,
            mix=self._name(one, number) if self.kept("mix") else "",
            gun="gun", hand="ivo", planned=planned,
            distance=distance if self.kept("distance") else None,
        ))  # fmt: skip
        done = at + 8 * MIN * coat.trigger
        trigger = 240.0 * coat.trigger if self.kept("stopwatch") else None
        self.note(done, ev.CoatDone(product=one.product, coat=number, trigger=trigger))
        wet = sheet.wet * coat.laid
        self.film += sheet.dry * coat.laid if self.area == "door" else 0.0
        if self.kept("comb"):
            self._comb(one, number, wet, done + 1 * MIN)
        if self.kept("cup"):
            used = planned.paint * coat.laid * planned.density  # type: ignore[operator]
            used *= 1.0 + rng.gauss(0, 0.05)
            self.note(done + 2 * MIN, ev.CupWeighed(
                product=one.product, coat=number, before=1.6, after=1.6 - used
            ))  # fmt: skip
        return done

    def _comb(self, one: Layer, number: int, wet: float, at: float) -> None:
        step = 10 * UM if wet < 150 * UM else 25 * UM
        real = [wet * (1 + self.rng.gauss(0, one.spread)) for _ in range(3)]
        teeth = tuple(max(step, step * int(film / step)) for film in real)
        self.note(at, ev.FilmRead(
            method="wet comb", product=one.product, coat=number, readings=teeth,
            steps=tuple(tooth + step for tooth in teeth),
        ))  # fmt: skip

    def _climate(self, now: Climate) -> ev.ClimateRead:
        rng = self.rng
        return ev.ClimateRead(
            air=now.air + rng.gauss(0, 0.2), metal=now.metal + rng.gauss(0, 0.2),
            humidity=min(0.99, now.humidity + rng.gauss(0, 0.008)),
            air_speed=max(0.0, now.speed + rng.gauss(0, 0.02)) if self.kept("air speed") else None,
        )  # fmt: skip

    def _after(self, one: Layer, end: float) -> None:
        if self.kept("climate") and self.kept("later"):
            for after, climate in one.later:
                self.note(end + after, self._climate(climate))
        following = [two.wait for two in self.job.layers[self.job.layers.index(one) + 1 :]] if (
            one in self.job.layers) else []  # fmt: skip
        if self.kept("gauge") and self.area == "door" and following and following[0] > 10 * HOUR:
            self._gauge(end + 9.5 * HOUR, one)

    def _gauge(self, at: float, one: Layer) -> None:
        readings = tuple(
            max(0.0, self.film * (1 + self.rng.gauss(0, one.spread)) + self.rng.gauss(0, 1 * UM))
            for _ in range(7)
        )
        self.note(at, ev.FilmRead(method="gauge", product=one.product, readings=readings))
