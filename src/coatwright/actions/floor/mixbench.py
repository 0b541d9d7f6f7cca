"""At the mix bench: one batch on the scale, a slip put right, thinner by the flow cup."""

from collections.abc import Sequence
from dataclasses import dataclass

from coatwright import units
from coatwright.actions.money import on_shelf
from coatwright.actions.shop import Shop
from coatwright.errors import InputError, NotFound
from coatwright.figures import Figure
from coatwright.planning.plan import Batch, Caution, ProductNeed
from coatwright.planning.supplies.mixsheet import ReadyMix, ready_mix
from coatwright.planning.supplies.thinning import thinner_to_add
from coatwright.record.shelf import OnShelf
from coatwright.sentences import say


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
    """One batch ready to be poured. mixed: who has mixed it and when, if somebody has."""

    batch: Batch
    need: ProductNeed
    targets: tuple[Target, ...]
    step: float
    density: float
    cautions: tuple[Caution, ...]
    mixed: str


def mix_bench(shop: Shop, key: str, name: str) -> MixBench:
    """A batch of the plan at the scale. Raises NotFound."""
    opened, plan = shop.open(key), shop.plan(key)
    need, batch = _find(plan.products, name)
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
    done = opened.state.mixes.get(batch.key)
    who = f"{done.place.who}, {done.place.at.astimezone():%H:%M}" if done else ""
    cautions = tuple(one for one in plan.cautions if one.where == "mixing")
    step = opened.bench.job.workshop.scale.resolution
    return MixBench(batch, need, targets, step, ready.density, cautions, who)


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


def _find(needs: Sequence[ProductNeed], name: str) -> tuple[ProductNeed, Batch]:
    for need in needs:
        for batch in need.batches:
            if batch.key == name:
                return need, batch
    raise NotFound(say("there is no mix '{name}' in this job", name=name))


def _lots(rows: Sequence[OnShelf]) -> dict[tuple[str, str], tuple[str, ...]]:
    """Batch numbers on the shelf, those that spoil first before the others."""
    found: dict[tuple[str, str], tuple[str, ...]] = {}
    for row in rows:
        if row.left > 0 and row.tin.lot:
            key = row.tin.product, row.tin.component
            found[key] = (*found.get(key, ()), row.tin.lot)
    return found
