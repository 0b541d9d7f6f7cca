"""The shop through a day: air, humidity, metal that lags behind, and go or no-go by the hour."""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime, timedelta

import numpy as np
from numpy.typing import NDArray

from coatwright.engines import climate, drying
from coatwright.figures import Figure
from coatwright.model.conditions.weather import Reading, Readings
from coatwright.model.job import Job
from coatwright.model.kit import Climate, Gun, Room
from coatwright.model.material import Material
from coatwright.planning.conditions.blends import Solvents, evaporating, standard
from coatwright.planning.conditions.drying import Weather, corrected_layer, sheet_film
from coatwright.planning.conditions.ventilation import Spraying, vapour
from coatwright.planning.conditions.window_plan import Check, Corrected, Go, Hour
from coatwright.sentences import Said, say

Float = NDArray[np.float64]

PANEL = 0.5
"""Length of a panel along the air [m]; assumption."""

FACES = 1.0
"""Faces of a shell's sheet that meet moving air: the outer one (assumption)."""

SESSION = 3600.0
"""How long the fan runs before a coat is on [s]; assumption."""

DUTY = 0.6
"""Share of spraying time with the trigger pulled; assumption."""

MOST_DIGITS = 3
"""Decimals beyond which no two readings of a shop differ."""

FAST, SLOW = 0.75, 1.5
"""Below the first a cure is slow enough for a fast hardener, above the second fast enough for a
slow one, relative to 20 degC (assumption: hardeners are made about a factor two apart)."""


@dataclass(frozen=True)
class ShopDay:
    """Air, humidity and metal of a shop over time (SI); times in seconds from the first.

    measured: metal temperature was read, so that it need not be computed from the gauge.
    """

    clock: Float
    air: Float
    humidity: Float
    outdoor: Float
    metal: Float | None
    room: Room
    start: datetime | None = None
    first_metal: float | None = None
    known: dict[float, Float] = field(default_factory=dict, compare=False, repr=False)

    def metal_of(self, gauge: float) -> Float:
        """Metal temperature at the clock's times [K]: as read, or lagging by its gauge [m]."""
        if self.metal is not None:
            return self.metal
        if gauge not in self.known:
            begin = self.first_metal if self.first_metal is not None else float(self.air[0])
            self.known[gauge] = climate.metal_temperature(
                self.clock, self.air, begin, lag(gauge, self.room)
            )
        return self.known[gauge]

    @property
    def steady(self) -> bool:
        """Whether nothing changes all day, metal included."""
        rows = (self.air, self.humidity, self.outdoor, self.metal)
        return all(row is not None and float(np.ptp(row)) == 0.0 for row in rows)

    def at(self, when: float, gauge: float = 0.8e-3) -> Weather:
        """Weather at a time [s]; before the first and after the last reading those hold."""
        return Weather(
            float(np.interp(when, self.clock, self.metal_of(gauge))),
            float(np.interp(when, self.clock, self.air)),
            float(np.interp(when, self.clock, self.humidity)),
            self.room.air_speed,
        )

    def spraying(self, when: float, gauge: float = 0.8e-3) -> Weather:
        """The same with the extraction on: the fan draws outside air in and chills the room."""
        now = self.at(when, gauge)
        outside = float(np.interp(when, self.clock, self.outdoor))
        chilled = with_extraction(self.room, now.air, outside)
        share = math.exp(-SESSION / lag(gauge, self.room))
        return Weather(
            chilled + (now.metal - chilled) * share,
            chilled,
            climate.humidity_at(now.air, now.humidity, chilled),
            now.speed,
        )

    def stamp(self, when: float) -> str:
        """Clock time of a time [s], "" without a date."""
        if self.start is None:
            return ""
        return (self.start + timedelta(seconds=when)).isoformat(" ", "minutes")


def lag(gauge: float, room: Room) -> float:
    """Time constant of sheet of a gauge in this room [s]."""
    transfer = climate.surface_transfer(room.air_speed, PANEL, 293.15)
    return climate.time_constant(gauge, transfer, FACES)


def with_extraction(room: Room, air: float, outdoor: float) -> float:
    """Air temperature once the fan runs [K]: the same heat, but more air that carries it out."""
    idle = room.loss + climate.air_loss(room.volume, room.air_changes / 3600.0, outdoor)
    running = room.loss + climate.air_loss(room.volume, room.extract_changes / 3600.0, outdoor)
    return outdoor + (air - outdoor) * idle / running if running > 0 else air


def heated(room: Room, outdoor: float) -> float:
    """Air temperature the heater holds with the fan off [K]."""
    loss = room.loss + climate.air_loss(room.volume, room.air_changes / 3600.0, outdoor)
    return climate.room_temperature(outdoor, room.heater, max(loss, 1.0))


def shop_day(job: Job, readings: Readings | None = None) -> ShopDay:
    """The day of a job's shop: from a table of weather, or the workshop's usual climate.

    Air that was only read outside is brought in through the room's heater; metal that was not read
    starts as the workshop says (or as the first air) and follows by its gauge.
    """
    room = job.workshop.room or Room()
    usual = job.workshop.climate
    if readings is None:
        return _steady(usual, room)
    hours = readings.hours
    inside = np.array([_inside(one, room) for one in hours])
    metal = [one.metal for one in hours]
    first = next((one for one in metal if one is not None), None)
    read = np.array([value for value in metal if value is not None])
    clock = np.array(readings.seconds())
    when = np.array([t for t, value in zip(clock, metal, strict=True) if value is not None])
    whole = len(read) == len(hours)
    return ShopDay(
        clock=clock,
        air=inside[:, 0],
        humidity=inside[:, 1],
        outdoor=inside[:, 2],
        metal=np.interp(clock, when, read) if whole else None,
        room=room,
        start=readings.start,
        first_metal=first if when.size and when[0] == clock[0] else None,
    )


def _steady(usual: Climate, room: Room) -> ShopDay:
    metal = usual.metal if usual.metal is not None else usual.air
    outside = room.outdoor if room.outdoor is not None else usual.air
    two = np.ones(2)
    return ShopDay(
        np.array([0.0, 86400.0]),
        two * usual.air,
        two * usual.humidity,
        two * outside,
        two * metal,
        room,
    )


def _inside(one: Reading, room: Room) -> tuple[float, float, float]:
    """Air, humidity and outside air of one reading; without air read inside, by the heater."""
    if one.air is not None:
        outside = one.outdoor if one.outdoor is not None else room.outdoor
        return one.air, one.humidity, outside if outside is not None else one.air
    outside = float(one.outdoor or 0.0)
    air = heated(room, outside)
    return air, climate.humidity_at(outside, one.humidity, air), outside


def go_no_go(
    job: Job,
    materials: Sequence[Material],
    weather: Readings | ShopDay | None = None,
    solvents: Solvents | None = None,
) -> tuple[Hour, ...]:
    """What may be sprayed at each hour, through spraying, flash and cure.

    Without a table of weather one hour stands for the shop as it usually is. The heaviest gauge of
    the job's areas is looked at: it is the one that lags.
    """
    day = weather if isinstance(weather, ShopDay) else shop_day(job, weather)
    gauge = max(area.gauge for area in job.areas)
    hours = day.clock if day.start is not None else day.clock[:1]
    known = solvents or standard()
    return tuple(_hour(job, day, (float(when), gauge), materials, known) for when in hours)


def _hour(
    job: Job,
    day: ShopDay,
    place: tuple[float, float],
    materials: Sequence[Material],
    known: Solvents,
) -> Hour:
    when, gauge = place
    now = day.at(when, gauge)
    wet = day.spraying(when, gauge)
    dew = climate.dew_point(now.air, now.humidity)
    source = "weather table" if day.start is not None else "job file"
    return Hour(
        key=day.stamp(when).replace(" ", "T") or "usual",
        time=Figure(when, "hours", "entered", "job file"),
        stamp=day.stamp(when),
        air=Figure(now.air, "temperature", "entered", "job file", source),
        spraying_air=Figure(wet.air, "temperature", "formula", "room-heat-balance"),
        metal=Figure(now.metal, "temperature", "formula", "lumped-capacity"),
        humidity=Figure(now.humidity, "fraction", "entered", "job file", source),
        dew_point=Figure(dew, "temperature", "formula", "ashrae-2017"),
        margin=_margin(now),
        products=tuple(_go(job, day, place, material, known) for material in materials),
    )


def _margin(weather: Weather) -> Figure:
    value = climate.dew_margin(weather.metal, weather.air, weather.humidity)
    return Figure(
        value, "temperature difference", "formula", "ashrae-2017", "metal - dew point of the air"
    )


def _go(
    job: Job, day: ShopDay, place: tuple[float, float], material: Material, known: Solvents
) -> Go:
    when, gauge = place
    wet = day.spraying(when, gauge)
    times = corrected_layer(material, sheet_film(material), wet, known)
    air = vapour(material, _mix(job, material), day.room, wet, job.workshop.voc_region, known)
    checks = _checks(material, (day.at(when, gauge), wet)) + _vapour_check(air.peak, air.ceiling)
    against = [one.text for one in checks if not one.holds]
    later = _later(material, day, place, times)
    verdict = "no go" if against or later[0] else "go if" if later[1] else "go"
    return Go(
        key=material.key,
        title=material.title,
        verdict=verdict,
        reasons=tuple(against) + later[0] + later[1],
        checks=checks,
        flash=times.flash.corrected,
        cured=times.through_dry.corrected,
        hardener=hardener_speed(material, wet.metal),
        thinner=thinner_speed(material, wet, known),
        vapour=air,
    )


def _mix(job: Job, material: Material) -> Spraying:
    """One cup of the largest mix, through the gun whose nozzle fits best."""
    guns = [g for g in job.workshop.guns if material.nozzle_min <= g.nozzle <= material.nozzle_max]
    gun: Gun = max(guns or job.workshop.guns, key=lambda one: one.fluid)
    paint = job.workshop.mixing_cup
    return Spraying(paint, paint / (gun.fluid * DUTY))


def _checks(material: Material, weathers: tuple[Weather, Weather]) -> tuple[Check, ...]:
    """Dew-point margin and the sheet's limits, now and once the fan has run: the worse of both."""
    sheet, limits = f"sheet:{material.key}", material.limits
    worst = min(weathers, key=lambda one: _margin(one).value)
    margin = _margin(worst)
    damp = max(one.humidity for one in weathers)
    return (
        Check(
            "dew-point",
            margin,
            Figure(climate.DEW_MARGIN, "temperature difference", "sheet", "dew-point-guide"),
            margin.value >= climate.DEW_MARGIN,
            _too_near(worst.metal, margin.value),
        ),
        *_limits("air", [one.air for one in weathers], material, sheet),
        *_limits("metal", [one.metal for one in weathers], material, sheet),
        Check(
            "humidity",
            Figure(damp, "fraction", "formula", "ashrae-2017"),
            Figure(limits.humidity_max, "fraction", "sheet", sheet),
            damp <= limits.humidity_max,
            _damp(damp, limits.humidity_max),
        ),
    )


def _limits(
    name: str, values: Sequence[float], material: Material, sheet: str
) -> tuple[Check, Check]:
    low, high = material.limits.temperature_min, material.limits.temperature_max
    cold, hot = min(values), max(values)
    fan = cold < values[0] - 0.05
    what = say("metal") if name == "metal" else say("air")
    return (
        Check(
            f"{name}-cold",
            Figure(cold, "temperature", "formula", "room-heat-balance"),
            Figure(low, "temperature", "sheet", sheet),
            cold >= low - 1e-6,
            _cold(what, cold, low, fan=fan),
        ),
        Check(
            f"{name}-hot",
            Figure(hot, "temperature", "formula", "room-heat-balance"),
            Figure(high, "temperature", "sheet", sheet),
            hot <= high + 1e-6,
            _hot(what, hot, high),
        ),
    )


def _vapour_check(peak: Figure, ceiling: Figure) -> tuple[Check, ...]:
    return (
        Check(
            "vapour",
            peak,
            ceiling,
            peak.value <= ceiling.value,
            say(
                "vapour comes to {share:.0%} of the lower flammable limit, over a quarter: "
                "spray less at a time or move more air",
                share=peak.value,
            ),
        ),
    )


def _too_near(metal: float, margin: float) -> str:
    """Metal too near the dew point; the margin is never rounded up to what is asked for."""
    dew = _celsius(metal - margin)
    if margin <= 0:
        return say(
            "metal of {metal} is below the dew point of {dew}: water settles on it",
            metal=_celsius(metal),
            dew=dew,
        )
    return say(
        "metal of {metal} is only {margin:.1f} degC above the dew point of {dew}; 3 degC above the "
        "dew point is asked for: warm the metal or dry the air",
        metal=_celsius(metal),
        margin=math.floor(margin * 10) / 10,
        dew=dew,
    )


def _damp(found: float, limit: float) -> str:
    digits = _telling(found * 100.0, limit * 100.0, 0)
    return say(
        "humidity of {found:.{digits}%} is over the sheet's {limit:.{digits}%}",
        found=found,
        limit=limit,
        digits=digits,
    )


def _cold(what: str, found: float, limit: float, *, fan: bool) -> str:
    digits = _telling(found, limit, 1)
    value, least = _celsius(found, digits), _celsius(limit, digits)
    if fan:
        return say(
            "{what} of {found} once the fan runs is below the sheet's {limit}",
            what=what,
            found=value,
            limit=least,
        )
    return say("{what} of {found} is below the sheet's {limit}", what=what, found=value,
               limit=least)  # fmt: skip


def _hot(what: str, found: float, limit: float) -> str:
    digits = _telling(found, limit, 1)
    return say(
        "{what} of {found} is above the sheet's {limit}",
        what=what,
        found=_celsius(found, digits),
        limit=_celsius(limit, digits),
    )


def _telling(value: float, limit: float, digits: int) -> int:
    """So many decimals that a value past its limit does not look like it."""
    while digits < MOST_DIGITS and f"{value:.{digits}f}" == f"{limit:.{digits}f}":
        digits += 1
    return digits


def _celsius(value: float, digits: int = 1) -> str:
    return say("{celsius:.{digits}f} degC", celsius=value - 273.15, digits=digits)


def _later(
    material: Material, day: ShopDay, place: tuple[float, float], times: Corrected
) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """What goes wrong after spraying: during the flash (against), and before it has cured (if)."""
    when, gauge = place
    flash = when + times.flash.corrected.value
    cured = when + times.through_dry.corrected.value
    clock = day.clock[(day.clock > when) & (day.clock <= cured)]
    spots = sorted({flash, *(float(one) for one in clock), min(cured, float(day.clock[-1]))})
    wet: list[str] = []
    cold: list[str] = []
    for spot in spots:
        now = day.at(spot, gauge)
        margin = climate.dew_margin(now.metal, now.air, now.humidity)
        least = climate.DEW_MARGIN if spot <= flash else 0.0
        at = Said(day.stamp(spot)) or say("after {hours:.1f} h", hours=(spot - when) / 3600)
        if margin < least:
            wet.append(
                say(
                    "{at}: the metal is {margin:.1f} K from the dew point before it is dry",
                    at=at,
                    margin=margin,
                )
            )
        if now.metal < material.limits.temperature_min - 1e-6:
            cold.append(
                say(
                    "{at}: the metal falls to {found}, below the sheet's {limit}, before it has "
                    "cured: keep it warm",
                    at=at,
                    found=_celsius(now.metal),
                    limit=_celsius(material.limits.temperature_min),
                )
            )
    return tuple(wet[:1]), tuple(cold[:1])


def hardener_speed(material: Material, metal: float) -> str:
    """Which hardener suits the metal's temperature [K]: fast, standard or slow; "" without one."""
    if material.component("hardener") is None:
        return ""
    rate = float(drying.cure_rate(metal, 293.15))
    return "fast" if rate < FAST else "slow" if rate > SLOW else "standard"


def thinner_speed(material: Material, weather: Weather, solvents: Solvents | None = None) -> str:
    """Which thinner leaves today about as fast as the standard one at 20 degC; "" without one.

    A faster one is passed over if the cold of its evaporation would bring water out of the air.
    """
    if material.component("thinner") is None or material.waterborne:
        return ""
    known = solvents or standard()
    wanted = _pace(known, "standard", 293.15, 293.15)
    paces = {name: _pace(known, name, weather.metal, weather.air) for name in known.blends.thinners}
    fitting: Mapping[str, float] = {
        name: abs(math.log(pace / wanted)) for name, pace in paces.items()
    }
    dew = climate.dew_point(weather.air, weather.humidity)
    order = sorted(fitting, key=lambda name: fitting[name])
    dry = [name for name in order if _chilled(known, name, weather) > dew]
    return (dry or sorted(paces, key=lambda name: paces[name]))[0]


def _pace(known: Solvents, thinner: str, metal: float, air: float) -> float:
    """Rate at which a thinner's blend leaves a surface at the metal's temperature."""
    total = 0.0
    for sheet, share in known.named(known.blends.thinners[thinner].shares):
        solvent = evaporating(sheet)
        transfer = drying.mass_transfer(drying.diffusivity(solvent, air), 0.2, PANEL, air)
        moles = transfer * drying.vapour_pressure(solvent, metal)
        total += share * moles * solvent.molar_mass / solvent.density
    return total


def _chilled(known: Solvents, thinner: str, weather: Weather) -> float:
    """Temperature of a wet film that its most volatile tenth or more cools [K]."""
    lowest = weather.metal
    for sheet, share in known.named(known.blends.thinners[thinner].shares):
        if share >= 0.1:
            stand = drying.Stand(weather.metal, weather.speed, PANEL, 60.0)
            lowest = min(lowest, drying.wet_temperature(evaporating(sheet), stand))
    return lowest
