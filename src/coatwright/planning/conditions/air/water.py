"""Water in the shop's air: what falls out in the receiver and the trap, and when to drain."""

from functools import lru_cache

from coatwright.engines import air
from coatwright.figures import Figure
from coatwright.planning.conditions.air import told
from coatwright.planning.conditions.air.supply import Supply, absolute, pump_of
from coatwright.planning.conditions.air_plan import AirWater
from coatwright.sentences import say

CARRIED = 8.0
"""How much warmer than the shop air leaves the receiver while the pump works hard [K]
(assumption): what falls out over the rest of the way reaches the trap."""

DRIEST = 0.01
"""Air drier than this is taken as this dry: it has no dew point worth telling [-]."""

WATER = 1000.0
"""Density of water [kg/m3]."""


def _between(supply: Supply) -> float:
    """Receiver pressure midway between cut-in and cut-out [Pa absolute]."""
    pump = pump_of(supply)
    return (pump.cut_in + pump.cut_out) / 2


@lru_cache(maxsize=256)
def fallen(supply: Supply, humidity: float) -> float:
    """Water that falls out per mass of air delivered, all the way to the gun [-]."""
    return air.condensate((supply.temperature, humidity), supply.temperature, _between(supply))


@lru_cache(maxsize=256)
def _trapped(supply: Supply, humidity: float) -> float:
    """The part of it that reaches the trap [-]."""
    early = air.condensate(
        (supply.temperature, humidity), supply.temperature + CARRIED, _between(supply)
    )
    return fallen(supply, humidity) - early


def air_water(supply: Supply, humidity: float, hose_pressure: float) -> AirWater:
    """Water on the day; hose_pressure [Pa gauge] is what stands in the hose."""
    humidity = max(humidity, DRIEST)
    heat, between = supply.temperature, _between(supply)
    hourly = air.delivery_at(pump_of(supply), between, heat) * 3600.0
    trap = _trapped(supply, humidity) * hourly
    receiver = fallen(supply, humidity) * hourly - trap
    dried = _dried(supply, humidity, between)
    bowl = supply.filter.bowl * WATER
    hours = bowl / trap if trap > 0.0 else 24.0
    at_hose = absolute(hose_pressure)
    hose_dew = air.pressure_dew_point(dried, 1.0, at_hose, between)
    day = f"{heat - 273.15:.0f} degC, {humidity:.0%}"
    return AirWater(
        taken_in=Figure(
            air.water_per_free_air(heat, humidity),
            "concentration",
            "formula",
            "hyland-wexler",
            "vapour in the shop's air",
            {"air": day},
        ),
        receiver=_water(receiver, "water that falls out while the air is still warm", day),
        trap=_water(trap, f"the rest, from {CARRIED:.0f} degC above the shop down to it", day),
        drain_trap=Figure(
            min(hours, 24.0) * 3600.0,
            "hours",
            "formula",
            "humidity-ratio",
            "bowl / water that reaches it, the pump running",
            {"bowl": f"{supply.filter.bowl * 1e6:.0f} mL"},
        ),
        dew_point=_dew(dried, "at the receiver's pressure", day),
        hose_dew_point=_dew(hose_dew, f"at {told.bar(hose_pressure)} in the hose", day),
        humidity=told.share(
            air.humidity_after(heat, (dried, between), at_hose),
            "vapour in the hose / saturation at the shop's temperature",
            "hyland-wexler",
        ),
        advice=_advice(supply, hours, hose_dew),
    )


def _dried(supply: Supply, humidity: float, between: float) -> float:
    """Dew point at the receiver's pressure [K], dryer included."""
    own = air.pressure_dew_point(supply.temperature, humidity, between)
    dew = min(own, supply.temperature)
    return min(dew, supply.filter.dew_point) if supply.filter.dew_point is not None else dew


def _water(mass: float, formula: str, day: str) -> Figure:
    return Figure(
        mass, "mass", "formula", "humidity-ratio", f"{formula}, per hour of pump", {"air": day}
    )


def _dew(value: float, where: str, day: str) -> Figure:
    return Figure(
        value, "temperature", "formula", "hyland-wexler", f"dew point {where}", {"air": day}
    )


def _advice(supply: Supply, hours: float, hose_dew: float) -> tuple[str, ...]:
    """When to drain, and what sweats."""
    often = (
        say("Drain the trap every {hours:.0f} min that the pump runs", hours=max(hours * 60.0, 1.0))
        if hours < 8.0
        else say("Drain the trap before each day's spraying")
    )
    said = [say("{often}, and the receiver every day, by its own cock.", often=often)]
    margin = supply.temperature - hose_dew
    if margin < 15.0:
        said.append(
            say(
                "A hose lying on anything colder than {hose_dew:.0f} degC drops water "
                "towards the gun.",
                hose_dew=hose_dew - 273.15,
            )
        )
    return tuple(said)
