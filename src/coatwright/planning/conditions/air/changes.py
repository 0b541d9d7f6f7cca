"""One change at a time to the air line, each with what it would do."""

from collections.abc import Callable, Iterator
from dataclasses import replace
from typing import NamedTuple

import numpy as np

from coatwright.engines import air
from coatwright.model.kit import Gun
from coatwright.planning.conditions.air import told
from coatwright.planning.conditions.air.supply import (
    Supply,
    burst,
    fitted,
    gauge,
    held,
    kit_for,
    settings,
    with_receiver,
)
from coatwright.planning.conditions.air_plan import AirChange
from coatwright.sentences import say

BORES = (6.3e-3, 8e-3, 9.5e-3, 12.7e-3, 19e-3)
"""Bores hoses are sold in [m] (common practice, no source)."""

RECEIVERS = (24e-3, 50e-3, 100e-3, 150e-3, 200e-3, 270e-3, 500e-3)
"""Receivers pumps are sold with [m3] (common practice, no source)."""

STRONGER = 1.5
"""The next pump delivers half as much again (assumption)."""

SMALLER = 0.75
"""A smaller air cap uses a quarter less air (assumption)."""

OPEN_COUPLING = 2000e-3 / 60
"""Nominal flow of a coupling made for spray guns [m3/s] (assumption)."""

MASK = 200e-3 / 60
"""Free air of an air-fed mask [m3/s] (common practice, no source: 150 to 300 L/min)."""

Demand = Callable[[Supply, Gun], float]
"""Lowest pressure at the trigger [Pa gauge] of what is to be sprayed, with that line and gun."""


class Subject(NamedTuple):
    """What the changes are judged by: gun, inlet pressure wanted [Pa gauge], and the lowest
    pressure of the work itself."""

    gun: Gun
    wanted: float
    lowest: Demand


class Option(NamedTuple):
    """A change: its name, what to do, and line and gun with it."""

    key: str
    text: str
    supply: Supply
    gun: Gun


def options(supply: Supply, gun: Gun) -> Iterator[Option]:
    """The changes worth weighing on a line."""
    hose, pump = supply.hose, supply.compressor
    wider = next((b for b in BORES if b > hose.bore * 1.05), None)
    if wider is not None:
        text = say(
            "hose of {wider:g} mm bore instead of {bore:g} mm",
            wider=wider * 1000.0,
            bore=hose.bore * 1000.0,
        )
        yield Option("bore", text, _with_hose(supply, bore=wider), gun)
    if hose.couplings and hose.coupling_flow < OPEN_COUPLING:
        other = _with_hose(supply, coupling_flow=OPEN_COUPLING)
        yield Option("couplings", say("couplings with a full bore"), other, gun)
    if supply.regulator.place == "wall":
        moved = supply.regulator.model_copy(update={"place": "gun"})
        yield Option(
            "regulator", say("regulator at the gun"), replace(supply, regulator=moved), gun
        )
    bigger = next((v for v in RECEIVERS if v > pump.receiver * 1.05), pump.receiver * 2)
    text = say(
        "receiver of {bigger:.0f} L instead of {receiver:.0f} L",
        bigger=bigger * 1000.0,
        receiver=pump.receiver * 1000.0,
    )
    yield Option("receiver", text, with_receiver(supply, bigger), gun)
    stronger = pump.model_copy(update={"delivery": pump.delivery * STRONGER})
    text = say(
        "pump that delivers {delivery:.0f} L/min of free air", delivery=stronger.delivery * 60000.0
    )
    yield Option("pump", text, replace(supply, compressor=stronger), gun)
    smaller = gun.model_copy(update={"air": gun.air * SMALLER})
    text = say(
        "air cap that uses {air:.0f} instead of {air2:.0f} L/min",
        air=smaller.air * 60000.0,
        air2=gun.air * 60000.0,
    )
    yield Option("cap", text, supply, smaller)


def _with_hose(supply: Supply, **changes: float) -> Supply:
    """The same line with another hose; gauges that were read no longer speak for it."""
    from_gauges = {"gauges": (), "friction": _friction(supply)}
    return replace(supply, hose=supply.hose.model_copy(update={**from_gauges, **changes}))


def _friction(supply: Supply) -> float:
    return fitted(supply).friction.value


def changes(supply: Supply, subject: Subject) -> tuple[AirChange, ...]:
    """Every option with its effect, the most helpful first: by seconds of trigger gained, then by
    the lowest pressure, then by the least pressure that has to be set at the wall."""
    now = held(kit_for(supply, subject.gun, subject.wanted), subject.gun, subject.wanted)
    found = [_change(option, subject, now) for option in options(supply, subject.gun)]
    return tuple(
        sorted(found, key=lambda c: (-c.gain.value, -round(c.lowest.value, -2), c.wall.value))
    )


def _change(option: Option, subject: Subject, now: float) -> AirChange:
    kit = kit_for(option.supply, option.gun, subject.wanted)
    holds = held(kit, option.gun, subject.wanted)
    at = settings(kit, option.gun)
    low = subject.lowest(option.supply, option.gun)
    return AirChange(
        key=option.key,
        text=option.text,
        holds=told.seconds(holds, "trigger held from a full receiver with this change"),
        gain=told.seconds(
            holds - now, "with the change less as it is", {"as it is": f"{now:.0f} s"}
        ),
        lowest=told.pressure(low, "lowest at the trigger with this change", "receiver-energy"),
        wall=told.pressure(
            gauge(at.regulated), "after the regulator, trigger pulled", "isothermal-pipe"
        ),
        burst=told.pressure(
            burst(kit, option.gun),
            "regulator's setting less what stands at the gun when pulled",
            "regulator-droop",
        ),
    )


def lowest_of(phases: air.Programme, kit: air.Kit) -> float:
    """Lowest pressure at the gun in a programme [Pa gauge]."""
    return gauge(float(np.nanmin(air.simulate(phases, kit).lowest)))
