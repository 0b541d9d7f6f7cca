"""At the mix bench: one batch on the scale, a slip put right, thinner by the flow cup."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from coatwright import units
from coatwright.actions.live.following import Live, look
from coatwright.actions.live.tapping import mix_name
from coatwright.actions.live.turns import Turn
from coatwright.actions.money import on_shelf
from coatwright.actions.shop import Shop
from coatwright.errors import InputError, NotFound
from coatwright.figures import Figure
from coatwright.planning.day.plan import DayMix, DayPlan
from coatwright.planning.plan import Caution, Plan, Pour, ProductNeed
from coatwright.planning.supplies.mixsheet import ReadyMix, pours, ready_mix
from coatwright.planning.supplies.thinning import thinner_to_add
from coatwright.record.shelf import OnShelf
from coatwright.record.state import JobState, Mix
from coatwright.sentences import say


@dataclass(frozen=True)
class ToMix:
    """One quantity to be mixed: serves names the areas it is for, session says when."""

    key: str
    product: str
    volume: Figure
    pours: tuple[Pour, ...]
    serves: tuple[str, ...]
    pot_life: Figure | None
    session: str


@dataclass(frozen=True)
class Target:
    """One component: what the scale must show after it, and what that is of it alone [kg].

    exact: its mass unrounded, from which a slip is put right.
    """

    key: str
    title: str
    cumulative: float
    alone: float
    exact: float
    lots: tuple[str, ...]


@dataclass(frozen=True)
class MixBench:
    """One mix ready to be poured. name: what it is called once it is made; made: itself, then."""

    name: str
    batch: ToMix
    need: ProductNeed
    targets: tuple[Target, ...]
    step: float
    density: float
    cautions: tuple[Caution, ...]
    made: Mix | None

    @property
    def mixed(self) -> str:
        """Who has mixed it and when; "" if nobody has."""
        place = self.made.place if self.made else None
        return f"{place.who}, {place.at.astimezone():%H:%M}" if place else ""


def to_mix(shop: Shop, key: str) -> Mapping[str, tuple[ToMix, ...]]:
    """The mixes of every product: those of the days of work once they are arranged, which the live
    day asks for; before that those of the plan."""
    plan, days = shop.plan(key), _arranged(shop, key)
    return {
        need.key: (_of_days(shop, key, days, need.key) if days else ()) or _of_plan(need)
        for need in plan.products
    }


def mix_bench(shop: Shop, key: str, name: str) -> MixBench:
    """A mix of the days of work or of the plan at the scale. Raises NotFound."""
    opened, plan = shop.open(key), shop.plan(key)
    need, batch = _find(shop, key, plan, name)
    ready = _ready(shop, key, need.key)
    lots = _lots(on_shelf(shop))
    cumulative = [pour.on_scale.value for pour in batch.pours]
    alone = [now - before for now, before in zip(cumulative, [0.0, *cumulative], strict=False)]
    targets = tuple(
        Target(
            pour.key, pour.title, weight, own, pour.mass.value, lots.get((need.key, pour.key), ())
        )
        for pour, weight, own in zip(batch.pours, cumulative, alone, strict=True)
    )
    live = _followed(shop, key)
    made, turn = _made(opened.state, live).get(batch.key), _turns(live).get(batch.key)
    called = made.name if made else mix_name(live, turn) if live and turn else batch.key
    cautions = tuple(one for one in plan.cautions if one.where == "mixing")
    step = opened.bench.job.workshop.scale.resolution
    return MixBench(called, batch, need, targets, step, ready.density, cautions, made)


def mixes_made(shop: Shop, key: str) -> Mapping[str, Mix]:
    """The mixes that have been made, by what the days of work call them, or the plan."""
    return _made(shop.open(key).state, _followed(shop, key))


def _followed(shop: Shop, key: str) -> Live | None:
    """The live day, if somebody follows the days already."""
    arranged = shop.arrangement(key)
    return look(shop, key) if arranged and arranged.event else None


def _turns(live: Live | None) -> Mapping[str, Turn]:
    """When each mix of the days is stirred, by its key."""
    return {turn.entry.mix: turn for turn in live.turns if turn.entry.act == "mix"} if live else {}


def _made(state: JobState, live: Live | None) -> Mapping[str, Mix]:
    by_event, turns = {mix.place.event: mix for mix in state.mixes.values()}, _turns(live)
    stirred = {
        name: by_event[turn.done.event]
        for name, turn in turns.items()
        if turn.done and turn.done.event in by_event
    }
    return {name: mix for name, mix in state.mixes.items() if name not in turns} | stirred


def thinner(shop: Shop, key: str, product: str, seconds: str, mass: str) -> Figure:
    """Thinner still to add after the flow cup has been timed. Raises InputError."""
    material = shop.open(key).bench.library[product]
    ready = _ready(shop, key, product)
    share = sum(
        part for component, part in zip(ready.components, ready.parts, strict=True)
        if component.role == "thinner"
    ) / max(sum(
        part for component, part in zip(ready.components, ready.parts, strict=True)
        if component.role != "thinner"
    ), 1e-12)  # fmt: skip
    try:
        timed = float(seconds.replace("s", "").replace(",", ".").strip())
    except ValueError:
        raise InputError(
            say("'{seconds}' is no time", seconds=seconds),
            field="cup",
            instead=say("write seconds"),
        ) from None
    weight = units.parse(mass if not mass.replace(".", "").isdigit() else f"{mass} g", "mass")
    return thinner_to_add(material, timed, weight, share)


def _ready(shop: Shop, key: str, product: str) -> ReadyMix:
    bench = shop.open(key).bench
    return ready_mix(bench.library[product], bench.job.workshop)


def _find(shop: Shop, key: str, plan: Plan, name: str) -> tuple[ProductNeed, ToMix]:
    days = _arranged(shop, key)
    for need in plan.products:
        known = _of_plan(need) + (_of_days(shop, key, days, need.key) if days else ())
        for mix in known:
            if mix.key == name:
                return need, mix
    raise NotFound(say("there is no mix '{name}' in this job", name=name))


def _arranged(shop: Shop, key: str) -> DayPlan | None:
    arranged = shop.arrangement(key)
    return arranged.days if arranged else None


def _of_plan(need: ProductNeed) -> tuple[ToMix, ...]:
    return tuple(
        ToMix(one.key, one.product, one.volume, one.pours, one.serves, one.pot_life, one.session)
        for one in need.batches
    )


def _of_days(shop: Shop, key: str, days: DayPlan, product: str) -> tuple[ToMix, ...]:
    mixes = [one for one in days.mixes if one.product == product]
    if not mixes:
        return ()
    ready, step = _ready(shop, key, product), shop.open(key).bench.job.workshop.scale.resolution
    areas = {entry.key: entry.area for entry in days.entries}
    return tuple(_of_day(one, ready, step, areas) for one in mixes)


def _of_day(mix: DayMix, ready: ReadyMix, step: float, areas: Mapping[str, str]) -> ToMix:
    return ToMix(
        key=mix.key,
        product=mix.product,
        volume=mix.volume,
        pours=pours(ready, mix.volume.value, step),
        serves=tuple(dict.fromkeys(areas[coat] for coat in mix.serves)),
        pot_life=mix.pot_life,
        session=say("day {day}", day=mix.day),
    )


def _lots(rows: Sequence[OnShelf]) -> dict[tuple[str, str], tuple[str, ...]]:
    """Batch numbers on the shelf, those that spoil first before the others."""
    found: dict[tuple[str, str], tuple[str, ...]] = {}
    for row in rows:
        if row.left > 0 and row.tin.lot:
            key = row.tin.product, row.tin.component
            found[key] = (*found.get(key, ()), row.tin.lot)
    return found
