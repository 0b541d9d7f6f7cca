"""Solvent in the air of the room while spraying and flashing: against burning and breathing."""

import math
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from coatwright.engines import drying, ventilation
from coatwright.figures import Figure
from coatwright.model.conditions.solvent import SolventSheet
from coatwright.model.kit import Room
from coatwright.model.material import Material
from coatwright.planning.conditions.blends import WATER, Solvents, standard
from coatwright.planning.conditions.drying import (
    SHEET_WEATHER,
    Case,
    Weather,
    air_of,
    landed_share,
    sheet_film,
    wet_coat,
)
from coatwright.planning.conditions.window_plan import Vapour
from coatwright.sentences import say

Float = NDArray[np.float64]

CEILING = 0.25
"""Share of the lower flammable limit not to be passed (quarter-of-lfl)."""

MIST = 300.0
"""How many times its limit isocyanate comes to where it is sprayed (hse-bodyshop-myths)."""

ROOM_FLOOR = 1800.0
"""A room that is no booth is not entered unmasked before this after the last trigger [s]: spray
rooms take half an hour or more (hse-clearance)."""

BOOTH = 60.0
"""Changes of air an hour from which a room counts as a booth; assumption."""

LANDED = 0.6
"""Share of the paint taken to land, for what goes into the air at once; assumption."""

CAUTIONS = (
    say(
        "The mean of a perfectly or badly mixed room: at the gun, near the floor "
        "and in corners it is higher. Vapour is heavier than air and runs along "
        "floors to the nearest spark."
    ),
    say(
        "A computed figure is no measurement: the product's safety data sheet, "
        "local rules and a licensed person decide on fans, heaters and electrics "
        "where solvent is sprayed."
    ),
    say(
        "Breathing protection is chosen for the hazard, not for this figure; "
        "where isocyanate is sprayed that is air-fed equipment, until the "
        "clearance time is over."
    ),
)


class Spraying(NamedTuple):
    """Paint sprayed in one go [m3], and the time from first to last trigger [s]."""

    paint: float
    seconds: float


def engine_room(room: Room, extracting: bool = True) -> ventilation.Room:
    """The room as the ventilation engine takes it."""
    changes = room.extract_changes if extracting else room.air_changes
    return ventilation.Room(room.volume, changes / 3600.0, room.mixing)


def vapour(
    material: Material,
    spraying: Spraying,
    room: Room,
    weather: Weather = SHEET_WEATHER,
    region: str = "EU",
    solvents: Solvents | None = None,
) -> Vapour:
    """What spraying one mix does to the air of a room, extraction on.

    What is overspray or lost in flight evaporates at once; what lands goes as the film flashes.
    """
    known = solvents or standard()
    blend = [(s, share) for s, share in known.blend(material) if s.key != WATER]
    liquid = spraying.paint * (1.0 - _solids(material)) * sum(share for _, share in blend)
    parts = _vapours(blend, liquid, weather.air)
    box = engine_room(room)
    total = sum(volume for _, volume in parts)
    clock = np.linspace(0.0, spraying.seconds + 4 * 3600.0, 721)
    releases = _releases(material, spraying, total, (weather, known))
    hanging = ventilation.concentration(clock, releases, box)
    peak = float(hanging.max())
    limit = _burning(parts, total)
    harm, unknown = _breathing(parts, total, region)
    clear = _clear(clock, hanging * harm, spraying.seconds)
    if "isocyanate" in material.hazards:
        clear = max(clear, ventilation.clearing_time(MIST, box))
    if room.extract_changes < BOOTH:
        clear = max(clear, ROOM_FLOOR)
    return _told(material, spraying, (peak, limit, peak * harm, clear, total), unknown)


def _solids(material: Material) -> float:
    """Share of solids in the paint as it leaves the gun."""
    landed = landed_share(material)
    kept = 1.0 - material.flow.in_flight_loss
    return landed * kept / (1.0 - landed + landed * kept)


def _vapours(
    blend: list[tuple[SolventSheet, float]], liquid: float, air: float
) -> list[tuple[SolventSheet, float]]:
    whole = sum(share for _, share in blend) or 1.0
    return [
        (
            sheet,
            ventilation.vapour_volume(
                liquid * share / whole, sheet.density.value, sheet.molar_mass, air
            ),
        )
        for sheet, share in blend
    ]


def _releases(
    material: Material, spraying: Spraying, total: float, when: tuple[Weather, Solvents]
) -> list[ventilation.Release]:
    """Vapour let loose: at once while spraying, and from each minute's film as it flashes."""
    weather, known = when
    film = LANDED * (1.0 - material.flow.in_flight_loss)
    seconds = max(spraying.seconds, 1.0)
    fading = _fading(material, weather, known)
    slices = 6
    found = [ventilation.Release(0.0, seconds, total * (1.0 - film) / seconds)]
    for index in range(slices):
        begin = (index + 0.5) / slices * seconds
        end = begin + 40.0 / fading
        found.append(ventilation.Release(begin, end, total * film / slices * fading, fading))
    return found


def _fading(material: Material, weather: Weather, known: Solvents) -> float:
    """Rate at which a coat's solvent leaves while it flashes [1/s]."""
    case = Case(material, sheet_film(material), weather, known)
    blend, water = case.blend()
    coat = wet_coat(blend, case.usual.coat, landed_share(material))
    flash = max(material.flash.min, 60.0)
    left = drying.residue(coat, air_of(weather, water), flash)
    return max(-math.log(max(left, 1e-6)) / flash, 1e-6)


def _burning(parts: list[tuple[SolventSheet, float]], total: float) -> float:
    """Lower flammable limit of the blend; the lowest known one for a solvent without its own."""
    known = [sheet.lower_limit.value for sheet, _ in parts if sheet.lower_limit]
    if not known or total <= 0:
        return 1.0
    lowest = min(known)
    limits = [sheet.lower_limit.value if sheet.lower_limit else lowest for sheet, _ in parts]
    return ventilation.blend_limit([volume / total for _, volume in parts], limits)


def _breathing(
    parts: list[tuple[SolventSheet, float]], total: float, region: str
) -> tuple[float, tuple[str, ...]]:
    """Index of the mixture per share of vapour in the air, and solvents without a limit."""
    shares, limits, unknown = [], [], []
    for sheet, volume in parts:
        limit = breathing_limit(sheet, region)
        if limit is None:
            unknown.append(sheet.title)
        elif total > 0:
            shares.append(volume / total)
            limits.append(limit)
    return ventilation.additive_index(shares, limits), tuple(unknown)


def breathing_limit(sheet: SolventSheet, region: str) -> float | None:
    """The limit over 15 min of that region, else that over 8 h, else None [share of the air]."""
    own = {one.over: one.value for one in sheet.breathed if one.region == region}
    return own.get("15 min", own.get("8 h"))


def _clear(clock: Float, index: Float, last: float) -> float:
    """Time after the last trigger until the mixture is under its limits and stays there."""
    over = np.flatnonzero(index > 1.0)
    if not over.size:
        return 0.0
    return max(float(clock[min(int(over[-1]) + 1, len(clock) - 1)]) - last, 0.0)


def _told(
    material: Material,
    spraying: Spraying,
    values: tuple[float, float, float, float, float],
    unknown: tuple[str, ...],
) -> Vapour:
    peak, limit, harm, clear, total = values
    inputs: dict[str, Figure | str] = {
        "vapour": Figure(peak, "vapour", "formula", "well-mixed-box", "highest mean of the room"),
        "lower limit": Figure(limit, "fraction", "formula", "le-chatelier", "of the blend"),
        "spraying": Figure(spraying.seconds, "time", "formula", "stroke-recipe"),
    }
    fresh = ventilation.dilution_air(total, limit, CEILING) if 0 < limit < 1 else 0.0
    share = peak / limit if limit < 1 else 0.0
    return Vapour(
        product=material.key,
        paint=Figure(spraying.paint, "volume", "entered", "job file"),
        peak=Figure(share, "fraction", "formula", "well-mixed-box", "vapour / lower limit", inputs),
        ceiling=Figure(CEILING, "fraction", "sheet", "quarter-of-lfl"),
        breathing=Figure(
            harm, "count", "formula", "additive-exposure", "sum of vapour / its exposure limit"
        ),
        clear_after=Figure(
            min(clear, 86400.0),
            "time",
            "formula",
            "hse-clearance",
            "longest of: vapour under its limits, mist down 300 times, half an hour in a room",
        ),
        fresh_air=Figure(
            fresh, "room", "formula", "osha-dilution", "vapour x (1 - limit) / (limit x 25 %)"
        ),
        over=share > CEILING,
        unknown=unknown,
        cautions=CAUTIONS,
    )
