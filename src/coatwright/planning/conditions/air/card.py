"""The air of the whole shop: every gun on the line, other receivers, water, the rule of thumb."""

import math
from dataclasses import replace

from coatwright.engines import air
from coatwright.figures import Figure
from coatwright.model.kit import Gun
from coatwright.planning.conditions.air import told
from coatwright.planning.conditions.air.changes import MASK, RECEIVERS, Subject, changes, lowest_of
from coatwright.planning.conditions.air.programme import in_strokes
from coatwright.planning.conditions.air.supply import (
    Supply,
    cap_of,
    enough,
    fitted,
    gauge,
    held,
    kit_for,
    pump_of,
    recovered,
    settings,
    with_receiver,
)
from coatwright.planning.conditions.air.water import air_water
from coatwright.planning.conditions.air_plan import AirCard, AirChange, AirGun, AirReceiver
from coatwright.planning.plan import Caution
from coatwright.sentences import say

PULL = 3.0
TURN = 1.0
"""A stroke of 1.2 m at 0.4 m/s and the turn after it [s] (common practice, no source)."""

BODY = 600.0
"""A coat over a whole body is about ten minutes of strokes and turns [s] (assumption)."""

RULE = 150e-3
"""The receiver that is thought the least for good work on a body [m3]."""


def air_card_of(supply: Supply, humidity: float, cautions: tuple[Caution, ...]) -> AirCard:
    """The card of a shop's air line."""
    thirsty = max(supply.guns, key=lambda gun: gun.air)
    kit = kit_for(supply, thirsty, thirsty.fluid_pressure)
    fit = fitted(supply)
    hose = gauge(settings(kit, thirsty).regulated)
    receivers = tuple(_receiver(supply, thirsty, volume) for volume in _volumes(supply))
    return AirCard(
        friction=fit.friction,
        droop=fit.droop,
        delivery=_delivery(supply),
        guns=tuple(_gun(supply, gun) for gun in supply.guns),
        receivers=receivers,
        water=air_water(supply, humidity, hose),
        rule=_rule(supply, thirsty, receivers),
        summary=_summary(supply, thirsty),
        cautions=cautions,
    )


def _delivery(supply: Supply) -> Figure:
    pump = pump_of(supply)
    low, high = (
        air.delivery_at(pump, p, supply.temperature) / air.free_density(supply.temperature)
        for p in (pump.cut_out, pump.cut_in)
    )
    return Figure(
        supply.compressor.delivery,
        "air flow",
        "entered",
        "job file",
        "free air delivered (ISO 1217)",
        {"measured at": told.bar(gauge(pump.reference))},
        (low, high),
        "from cut-out to cut-in",
    )


def _gun(supply: Supply, gun: Gun) -> AirGun:
    wanted, needed = gun.fluid_pressure, gun.pressure_min
    kit = kit_for(supply, gun, wanted)
    at = settings(kit, gun)
    strokes = in_strokes(PULL, TURN, BODY, cap_of(gun))

    def lowest(other: Supply, smaller: Gun) -> float:
        caps = air.programme(strokes.seconds, strokes.which, [cap_of(smaller)])
        return lowest_of(caps, kit_for(other, smaller, wanted))

    better = changes(supply, Subject(gun, wanted, lowest))
    return AirGun(
        key=gun.key,
        title=gun.title,
        wanted=Figure(wanted, "pressure", "entered", "job file", "of the gun's own test"),
        needed=Figure(needed, "pressure", "entered", "job file", "least that still atomises"),
        air_used=Figure(
            at.flow / air.free_density(supply.temperature),
            "air flow",
            "formula",
            "iso-6358",
            "what the air cap passes at this inlet pressure",
        ),
        wall=told.pressure(
            gauge(at.regulated), "after the regulator, trigger pulled", "isothermal-pipe"
        ),
        wall_released=told.pressure(
            gauge(kit.line.regulator.setting), "gauge pulled + droop", "regulator-droop"
        ),
        loss=told.pressure(
            at.regulated - at.gun, "hose and couplings, trigger pulled", "isothermal-pipe"
        ),
        **_times(kit, gun),
        with_mask=_masked(supply, gun),
        changes=better,
        best=_best(better, held(kit, gun, wanted)),
    )


def _masked(supply: Supply, gun: Gun) -> Figure:
    mask = supply.compressor.model_copy(update={"others": supply.compressor.others + MASK})
    kit = kit_for(replace(supply, compressor=mask), gun, gun.fluid_pressure)
    return told.seconds(
        held(kit, gun, gun.fluid_pressure),
        "trigger held with an air-fed mask on the same pump",
        {"mask": f"{MASK * 6e4:.0f} L/min"},
    )


def _times(kit: air.Kit, gun: Gun) -> dict[str, Figure]:
    """What a receiver gives a gun: holds, lasts, strokes and rest."""
    wanted = gun.fluid_pressure
    return {
        "holds": _held(kit, gun, wanted, "in its own test"),
        "lasts": _held(kit, gun, gun.pressure_min, "it needs at least"),
        "strokes": told.seconds(
            _until(kit, gun, in_strokes(PULL, TURN, air.LONG_ENOUGH, cap_of(gun))).time,
            f"pulled {PULL:.0f} s, released {TURN:.0f} s, until the gun has less than in its test",
            {"pressure": told.bar(wanted)},
        ),
        "rest": told.seconds(
            recovered(kit, gun, _until(kit, gun, _pulled(gun)).end),
            "from where a trigger never let go loses its pressure until the pump stops",
        ),
    }


def _held(kit: air.Kit, gun: Gun, pressure: float, which: str) -> Figure:
    full, low = held(kit, gun, pressure), held(kit, gun, pressure, air.lowest_start(kit))
    return told.seconds(
        full,
        f"trigger held from a full receiver until the gun has less than {which}",
        {"pressure": told.bar(pressure), "gun": gun.title},
        (low, full),
        "from a receiver about to start the pump to a full one",
    )


def _pulled(gun: Gun) -> air.Programme:
    return air.programme([air.LONG_ENOUGH], [0], [cap_of(gun)])


def _until(kit: air.Kit, gun: Gun, phases: air.Programme) -> air.Run:
    """A programme until the gun has less than in its own test."""
    least = air.trigger(kit.line, cap_of(gun), kit.pump.cut_out).receiver
    return air.simulate(phases, kit, limits=air.Limits(least, math.inf, 1e-9, math.inf))


def _best(better: tuple[AirChange, ...], now: float) -> str:
    """The most helpful change in words."""
    if now >= air.LONG_ENOUGH:
        return say("The pump keeps up with this gun: nothing needs to change.")
    top = better[0]
    if top.gain.value < 1.0:
        return say("None of these changes gains a second of trigger.")
    return say(
        "Most help: {top} ({holds} of trigger instead of {now}).",
        top=top.text,
        holds=told.time(top.holds.value),
        now=told.time(now),
    )


def _volumes(supply: Supply) -> tuple[float, ...]:
    own = supply.compressor.receiver
    return tuple(sorted({*RECEIVERS, RULE, own}))


def _receiver(supply: Supply, gun: Gun, volume: float) -> AirReceiver:
    kit = kit_for(with_receiver(supply, volume), gun, gun.fluid_pressure)
    ruled = abs(volume - RULE) < 1e-6
    source = "receiver-rule" if ruled else "common practice, no source"
    return AirReceiver(
        key=f"{volume * 1e3:.0f}-litres",
        volume=Figure(volume, "volume", "assumed", source),
        **_times(kit, gun),
    )


def _mean_use(supply: Supply, gun: Gun) -> float:
    """Free air used in strokes and turns, others' included [m3/s]."""
    kit = kit_for(supply, gun, gun.fluid_pressure)
    used = settings(kit, gun).flow / air.free_density(supply.temperature)
    return used * PULL / (PULL + TURN) + supply.compressor.others


def _rule(supply: Supply, gun: Gun, receivers: tuple[AirReceiver, ...]) -> str:
    """What the rule of thumb of 150 litres is worth with this pump and gun."""
    used, gives = _mean_use(supply, gun) * 6e4, supply.compressor.delivery * 6e4
    says = say(
        "In strokes the {gun} uses {used:.0f} L/min on the mean, and the pump "
        "delivers {gives:.0f} L/min. ",
        gun=gun.title,
        used=used,
        gives=gives,
    )
    ruled = next(r for r in receivers if abs(r.volume.value - RULE) < 1e-6)
    if used <= gives:
        return says + (
            say(
                "The pump keeps up, so a receiver only bridges single strokes: the rule "
                "of 150 L asks for more than this pump needs."
            )
        )
    lasts = ruled.strokes.value
    if lasts <= 0.0:
        return says + say(
            "No receiver gives this gun its pressure on this line: litres do not help."
        )
    litres = RULE * BODY / lasts * 1e3
    verdict = (
        say("so the rule is enough here")
        if litres <= RULE * 1e3
        else say("so the rule is not enough here: the pump is too small for this gun")
    )
    return says + (
        say(
            "The receiver makes up the rest, and its time goes with its litres: 150 "
            "L last {lasts}, and ten minutes need about {litres:.0f} L, {verdict}. "
            "The rule names litres but means a pump: what counts is litres over what "
            "the pump falls short.",
            lasts=told.time(lasts),
            litres=litres,
            verdict=verdict,
        )
    )


def _summary(supply: Supply, gun: Gun) -> str:
    kit = kit_for(supply, gun, gun.fluid_pressure)
    at = settings(kit, gun)
    used = at.flow / air.free_density(supply.temperature)
    if used <= 0.0:
        return say(
            "No air reaches the {gun}: the pump stops before there is any pressure.", gun=gun.title
        )
    ratio = supply.compressor.delivery / used
    reached = enough(gauge(at.gun), gun.fluid_pressure)
    return say(
        "The pump delivers {ratio:.0%} of what the {gun} uses with the trigger "
        "pulled; hose and couplings take {regulated} of the {regulated2} at the "
        "wall",
        ratio=ratio,
        gun=gun.title,
        regulated=told.bar(at.regulated - at.gun),
        regulated2=told.bar(gauge(at.regulated)),
    ) + ("." if reached else say(", and the gun never has the pressure of its own test."))
