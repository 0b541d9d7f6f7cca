"""A product's need cut into mixes that fit the cup, the pot life and the scale."""

import math
from collections.abc import Mapping, Sequence
from typing import Final

import numpy as np

from coatwright.engines.mixing.batches import Clock, Mix, MixLimits, batches, session_clock
from coatwright.errors import NotFound, RangeError
from coatwright.figures import Figure
from coatwright.model.kit import Workshop
from coatwright.model.material import Material
from coatwright.planning.plan import Batch, ProductNeed
from coatwright.planning.supplies.mixsheet import ReadyMix, pours, ready_mix, smallest_mix
from coatwright.planning.supplies.quantity import (
    Demand,
    Need,
    Session,
    area_figures,
    need_figures,
    needs_of,
)
from coatwright.sentences import say

MIXING: Final = 300.0
"""Seconds from the first pour to the first trigger: pour, stir, strain, fill (assumption)."""

STEP: Final = 1e-5
"""Mixes are rounded up to this volume [m3] (common practice)."""


def product_needs(
    demands: Sequence[Demand], materials: Mapping[str, Material], workshop: Workshop
) -> tuple[ProductNeed, ...]:
    """What the job takes of each product, how it is mixed today, and in which mixes.

    materials by product key. Raises NotFound for a product without a sheet, RangeError if a
    product's pot life at the shop's temperature is over before it can be sprayed.
    """
    return tuple(_product_need(need, materials, workshop) for need in needs_of(demands))


def _product_need(need: Need, materials: Mapping[str, Material], workshop: Workshop) -> ProductNeed:
    material = materials.get(need.product)
    if material is None:
        raise NotFound(
            f"there is no product sheet '{need.product}'",
            instead=f"known are {', '.join(sorted(materials))}",
        )
    ready = ready_mix(material, workshop)
    return ProductNeed(
        key=material.key,
        title=material.title,
        **need_figures(need),
        thinner_share=ready.thinner_share,
        cup_seconds=ready.cup_seconds,
        cup=ready.cup,
        voc=ready.voc,
        voc_limit=ready.voc_limit,
        voc_verdict=ready.voc_verdict,
        by_area=area_figures(need),
        batches=job_batches(need, ready, workshop),
    )


def job_batches(need: Need, ready: ReadyMix, workshop: Workshop) -> tuple[Batch, ...]:
    """The mixes of one product, in the order they are made.

    Sized for what is expected, test cards and losses included; the reserve stays in the tins. A
    product used as it comes from the tin needs none.
    """
    if len(ready.components) == 1 and ready.material.pot_life is None:
        return ()
    limits = _limits(ready, workshop)
    found: list[tuple[Mix, list[tuple[Session, Demand]]]] = []
    for stage in dict.fromkeys(session.stage for session in need.sessions):
        rows = [(s, d) for s in need.sessions if s.stage == stage for d in s.demands]
        found += [(mix, rows) for mix in _mixes(rows, ready, limits)]
    return tuple(
        _batch(mix, rows, ready, workshop, (number, len(found)))
        for number, (mix, rows) in enumerate(found, start=1)
    )


def _mixes(
    rows: list[tuple[Session, Demand]], ready: ReadyMix, limits: MixLimits
) -> tuple[Mix, ...]:
    clock = session_clock(
        [d.seconds for _, d in rows],
        [d.coat for _, d in rows],
        [d.area for _, d in rows],
        ready.material.flash.min,
    )
    try:
        return batches([s.taken(d) for s, d in rows], _forward(clock), limits)
    except RangeError as fault:
        raise RangeError(fault.what, where=ready.material.title, instead=fault.instead) from fault


def _forward(clock: Clock) -> Clock:
    """The same clock; rounding alone may put a begin a hair before the end it follows."""
    return Clock(np.maximum.accumulate(clock.begin), np.maximum.accumulate(clock.end))


def _limits(ready: ReadyMix, workshop: Workshop) -> MixLimits:
    capacity = max(STEP, min(workshop.mixing_cup, workshop.scale.capacity / ready.density))
    life = ready.pot_life.value if ready.pot_life else math.inf
    return MixLimits(
        capacity=capacity,
        life=life,
        handling=MIXING + ready.stir_wait.value,
        step=min(STEP, capacity),
        smallest=min(capacity, smallest_mix(ready, workshop.scale.resolution)),
    )


def _batch(
    mix: Mix,
    rows: list[tuple[Session, Demand]],
    ready: ReadyMix,
    workshop: Workshop,
    place: tuple[int, int],
) -> Batch:
    served = [rows[item][1] for item, _ in mix.serves]
    key, number, count = ready.material.key, *place
    used = Figure(mix.used, "dose", "formula", "mix-split", "sprayed, lost and on cards")
    return Batch(
        key=f"{key}-mix-{number}",
        product=key,
        title=say("{material}, mix {number} of {count}", material=ready.material.title,
                  number=number, count=count),
        volume=Figure(
            mix.size, "dose", "formula", "mix-split",
            "fewest mixes, then fewest changes inside an area, then least left; rounded up to "
            f"{STEP * 1e6:.0f} mL and to what the scale can weigh",
            {
                "used": used,
                "mixing cup": Figure(workshop.mixing_cup, "dose", "entered", "job file"),
            },
        ),
        pours=pours(ready, mix.size, workshop.scale.resolution),
        serves=tuple(dict.fromkeys(d.area for d in served)),
        pot_life=ready.pot_life,
        use_time=Figure(
            mix.use_time, "time", "formula", "mix-split",
            "mixing, standing, spraying with moving, and flash-off it waits through",
            {"mixing": Figure(MIXING, "time", "assumed", "mix-split"), "stand": ready.stir_wait},
        ),
        left=Figure(mix.left, "dose", "formula", "mix-split", "mix - used", {"used": used}),
        stir_wait=ready.stir_wait,
        session=_session(mix, served),
    )  # fmt: skip


def _session(mix: Mix, served: list[Demand]) -> str:
    """Which coats it lays, and where it gives out."""
    coats = sorted({d.coat for d in served})
    text = (
        say("coat {coats}", coats=coats[0])
        if len(coats) == 1
        else say("coats {coats} to {coats2}", coats=coats[0], coats2=coats[-1])
    )
    if not mix.splits:
        return text
    last = served[-1]
    return say(
        "{text}; gives out on {it}, coat {coat}: have the next mix ready",
        text=text,
        it=last.title or last.area,
        coat=last.coat,
    )
