"""The shop's air line as the engine takes it: kit in, absolute pressures and conductances out."""

import math
from dataclasses import dataclass, replace
from functools import lru_cache
from statistics import fmean
from typing import NamedTuple

from coatwright.engines import air
from coatwright.engines.constants import ATMOSPHERE
from coatwright.errors import RangeError
from coatwright.figures import Figure
from coatwright.model.kit import Compressor, Filter, Gun, Hose, Regulator, Workshop

HVLP_SHARE = 0.345
HVLP_MOST = 68_948.0
"""Pressure behind the holes of a high-volume cap: share of the inlet's, and its limit by law
[Pa]."""

DROOP_FLOW = 500e-3 / 60
"""Free air at which a regulator's droop is stated [m3/s]."""

SWITCH = 2e4
"""No pressure switch works with less between starting and stopping [Pa] (assumption)."""

GAUGE = 1e4
"""What two small gauges may differ by when they read the same [Pa] (common practice, no source)."""


@dataclass(frozen=True)
class Supply:
    """Pump, filter, regulator and hose of a shop, and the air there [K]."""

    compressor: Compressor
    filter: Filter
    regulator: Regulator
    hose: Hose
    temperature: float
    guns: tuple[Gun, ...] = ()


def supply_of(workshop: Workshop) -> Supply | None:
    """The shop's air line; None without a compressor or a hose."""
    if workshop.compressor is None or workshop.hose is None:
        return None
    return Supply(
        workshop.compressor,
        workshop.filter,
        workshop.regulator,
        workshop.hose,
        workshop.climate.air,
        workshop.guns,
    )


def absolute(pressure: float) -> float:
    """Gauge to absolute [Pa]."""
    return pressure + ATMOSPHERE


def gauge(pressure: float) -> float:
    """Absolute to gauge [Pa]."""
    return pressure - ATMOSPHERE


@lru_cache(maxsize=64)
def cap_of(gun: Gun) -> air.Cap:
    """The gun's air cap, from the air it uses at its fluid test's pressure."""
    behind = None
    if gun.kind == "hvlp":
        behind = absolute(min(HVLP_SHARE * gun.fluid_pressure, HVLP_MOST))
    return air.cap_from_test(gun.air, absolute(gun.fluid_pressure), behind)


class Fitted(NamedTuple):
    """Friction of the hose [-] and droop of the regulator [Pa s/kg] as they are taken."""

    friction: Figure
    droop: Figure


@lru_cache(maxsize=64)
def fitted(supply: Supply) -> Fitted:
    """Friction and droop: from the gauges that were read, else as the job file or we assume."""
    reads = supply.hose.gauges if supply.regulator.place == "wall" else ()
    found = [_friction(supply, pair.gun, pair.wall, pair.at_gun) for pair in reads]
    droops = [
        air.droop_of(pair.released, pair.wall, _flow(supply, pair.gun, pair.at_gun))
        for pair in reads
        if pair.released is not None
    ]
    return Fitted(
        _measured_friction(supply, [f for f in found if f is not None]) or _stated(supply),
        _droop(supply, droops),
    )


def _friction(supply: Supply, gun: str, wall: float, at_gun: float) -> float | None:
    try:
        return air.fitted_friction(
            _line(supply, 1.0, 0.0), _cap(supply, gun), absolute(wall), absolute(at_gun)
        )
    except RangeError:
        return None


def _cap(supply: Supply, key: str) -> air.Cap:
    return cap_of(next(gun for gun in supply.guns if gun.key == key))


def _flow(supply: Supply, gun: str, at_gun: float) -> float:
    bare = _line(supply, 1.0, 0.0)
    bare = bare._replace(hose=bare.hose._replace(length=0.0))
    return air.at_inlet(bare, _cap(supply, gun), absolute(at_gun)).flow


def _measured_friction(supply: Supply, found: list[float]) -> Figure | None:
    if not found:
        return None
    off = [
        other
        for pair in supply.hose.gauges
        for change in (-GAUGE, GAUGE)
        if (other := _friction(supply, pair.gun, pair.wall + change, pair.at_gun)) is not None
    ]
    reads = len(supply.hose.gauges)
    dropped = reads - len(found)
    return Figure(
        fmean(found),
        "count",
        "measured",
        "isothermal-pipe",
        "friction at which the line loses what the two gauges show",
        {"readings": f"{len(found)} of {reads}"}
        | (
            {"left out": f"{dropped}: the gauges leave the hose nothing to lose"} if dropped else {}
        ),
        spread=(min([*found, *off]), max([*found, *off])),
        spread_note="over the readings, each gauge 0.1 bar out",
    )


def _stated(supply: Supply) -> Figure:
    value = supply.hose.friction
    if value != air.HOSE_FRICTION:
        return Figure(value, "count", "entered", "job file")
    return Figure(
        value,
        "count",
        "assumed",
        "hose-friction",
        "multiple of a smooth bore's friction; read two gauges to know it",
        spread=(1.0, 1.65),
        spread_note="from a smooth bore to the trade's formula",
    )


def _droop(supply: Supply, found: list[float]) -> Figure:
    """Fall of the regulator's outlet with 500 L/min flowing [Pa]."""
    flowing = DROOP_FLOW * air.free_density(supply.temperature)
    if found:
        return Figure(
            fmean(found) * flowing,
            "pressure",
            "measured",
            "regulator-droop",
            "gauge at the wall, released less pulled, at 500 L/min",
            {"readings": str(len(found))},
        )
    return Figure(supply.regulator.droop, "pressure", "entered", "job file", "with 500 L/min")


def _line(supply: Supply, friction: float, droop: float) -> air.Line:
    """The line with its regulator shut; droop is with 500 L/min [Pa].

    Parts whose maker states nothing have the nominal flows of the source line-parts.
    """
    hose = supply.hose
    at_wall = hose.couplings // 2 + hose.couplings % 2
    flowing = DROOP_FLOW * air.free_density(supply.temperature)
    return air.Line(
        air.from_nominal(supply.filter.flow),
        air.Regulator(
            ATMOSPHERE,
            droop / flowing,
            air.from_nominal(supply.regulator.flow),
            supply.regulator.place == "gun",
        ),
        air.Hose(
            hose.length,
            hose.bore,
            float(friction),
            _couplings(hose.coupling_flow, at_wall),
            _couplings(hose.coupling_flow, hose.couplings - at_wall),
        ),
        supply.temperature,
    )


def _couplings(flow: float, count: int) -> air.Restriction:
    if count == 0:
        return air.NO_PART
    one = air.from_nominal(flow)
    return one._replace(conductance=air.in_series([one.conductance] * count))


@lru_cache(maxsize=64)
def pump_of(supply: Supply) -> air.Pump:
    """The pump as the engine takes it."""
    pump = supply.compressor
    stated = pump.delivery_at if pump.delivery_at is not None else (pump.cut_in + pump.cut_out) / 2
    return air.Pump(
        pump.delivery,
        absolute(stated),
        pump.clearance,
        absolute(min(pump.cut_in, pump.cut_out - SWITCH)),
        absolute(pump.cut_out),
        supply.temperature,
        air.warmth_in_the_end(pump.duty),
        air.WARM_TIME,
    )


@lru_cache(maxsize=1024)
def kit_for(supply: Supply, gun: Gun, pressure: float) -> air.Kit:
    """Line, receiver and pump, the regulator set for an inlet pressure [Pa gauge], trigger pulled.

    It opens no farther than the pressure at which the pump stops.
    """
    fit = fitted(supply)
    line = _line(supply, fit.friction.value, fit.droop.value)
    pump = pump_of(supply)
    setting = min(air.setting_for(line, cap_of(gun), absolute(pressure)), pump.cut_out)
    line = line._replace(regulator=line.regulator._replace(setting=setting))
    volume = supply.compressor.receiver
    return air.Kit(
        line,
        air.Receiver(volume, air.wall_heat(volume), supply.temperature),
        pump,
        supply.compressor.others * air.free_density(supply.temperature),
    )


def held(kit: air.Kit, gun: Gun, pressure: float, start: air.ReceiverState | None = None) -> float:
    """Seconds of trigger until an inlet pressure [Pa gauge] is lost; at most an hour."""
    return min(air.hold_time(kit, cap_of(gun), absolute(pressure), start), air.LONG_ENOUGH)


def recovered(kit: air.Kit, gun: Gun, start: air.ReceiverState) -> float:
    """Seconds of rest until the pump stops; 0 if it is at rest already."""
    if not start.pumping and start.pressure > kit.pump.cut_in:
        return 0.0
    return min(air.rest_time(kit, cap_of(gun), start), air.LONG_ENOUGH)


def settings(kit: air.Kit, gun: Gun) -> air.March:
    """The line at its best: the trigger pulled and the receiver full."""
    return air.trigger(kit.line, cap_of(gun), kit.pump.cut_out)


def burst(kit: air.Kit, gun: Gun) -> float:
    """How much more stands at the gun's inlet with the trigger released than pulled [Pa]."""
    return kit.line.regulator.setting - settings(kit, gun).gun


def with_receiver(supply: Supply, volume: float) -> Supply:
    """The same shop with another receiver [m3]."""
    compressor = supply.compressor.model_copy(update={"receiver": volume})
    return replace(supply, compressor=compressor)


def enough(lowest: float, needed: float) -> bool:
    """Whether a pressure is what is needed, but for rounding."""
    return math.isfinite(lowest) and lowest >= needed * (1.0 - 1e-6)
