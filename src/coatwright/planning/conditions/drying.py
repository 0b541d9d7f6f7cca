"""A sheet's times at today's temperature, humidity, air movement and film, not at its 20 degC.

Two laws, each anchored on the sheet. Solvent: the coat is flashed (dry ...) when it holds no more
solvent than the sheet's coat held at the sheet's time. Cure (two-packs): it has come as far as the
sheet's had. Where both apply the later one counts.
"""

import math
from functools import lru_cache
from typing import NamedTuple

from coatwright.engines import drying, film, mixing
from coatwright.figures import Figure
from coatwright.model.material import Material
from coatwright.planning.conditions.blends import WATER, Solvents, evaporating, standard
from coatwright.planning.conditions.window_plan import Corrected, Timing
from coatwright.planning.strokes.ready import parts_of
from coatwright.sentences import joined, say

SHEET_TEMPERATURE = 293.15
SHEET_HUMIDITY = 0.5
SHEET_AIR = 0.2
"""What a sheet's times are taken to hold for: 20 degC, 50 %, air that barely moves [m/s]
(assumption: sheets name the temperature, seldom the rest)."""

PANEL = 0.5
"""Length of a panel along the air [m]; assumption."""

FLOOR = 1e-3
"""Below this share of solvent left the times are compared at this share; assumption."""

POROUS_WAIT = 7 * 86400.0
"""Longest a porous primer is left before it is sealed or keyed again [s] (common practice)."""

DAMP = 0.7
"""Air above this halves that wait (assumption)."""

LONGEST = 60 * 86400.0
"""A time that comes out longer, or never, is told as this [s]."""

FREEZING, HOT, FROST = 273.15, 353.15, 263.15
"""Ends of the laws of pot life and of cure [K]; beyond them the end itself counts, and the doubt of
the result says that it is too cold or too hot."""

ENERGIES = (43e3, 77e3)
"""Lowest and highest published activation energy of urethane cures [J/mol]."""


class Weather(NamedTuple):
    """Metal and air temperature [K], relative humidity [-], air speed over the panel [m/s]."""

    metal: float
    air: float
    humidity: float
    speed: float = SHEET_AIR


class Laid(NamedTuple):
    """Dry film [m] of one coat and of the whole layer."""

    coat: float
    layer: float


SHEET_WEATHER = Weather(SHEET_TEMPERATURE, SHEET_TEMPERATURE, SHEET_HUMIDITY)


def sheet_film(material: Material) -> Laid:
    """The film a sheet's times are taken to hold for: the middle of its ranges."""
    of = material.film
    return Laid((of.min + of.max) / 2, (of.total_min + of.total_max) / 2)


def corrected(
    material: Material,
    film_dry: float,
    temperature: float,
    humidity: float,
    air_speed: float = SHEET_AIR,
    solvents: Solvents | None = None,
) -> Corrected:
    """Every time of a sheet for a real dry film of one coat [m], at one temperature [K].

    The layer is taken to be as much thicker or thinner than the sheet's as its coats are; metal
    and air are taken equally warm. See corrected_layer for both apart.
    """
    usual = sheet_film(material)
    laid = Laid(film_dry, usual.layer * film_dry / usual.coat)
    weather = Weather(temperature, temperature, humidity, air_speed)
    return corrected_layer(material, laid, weather, solvents)


def corrected_layer(
    material: Material, laid: Laid, weather: Weather, solvents: Solvents | None = None
) -> Corrected:
    """Every time of a sheet for a real film, with metal and air temperature apart.

    Raises RangeError for a temperature outside -10 to 150 degC, NotFound if the solvents of the
    product are not known.
    """
    known = solvents or standard()
    case = Case(material, laid, weather, known)
    still = Case(material, laid, weather._replace(speed=0.0), known)
    recoat = material.recoat
    return Corrected(
        product=material.key,
        flash=case.timing("flash", material.flash.min, cures=False, least=True),
        recoat_from=case.timing("recoat_from", recoat.min, least=True),
        recoat_until=None if recoat.max is None else case.closing("recoat_until", recoat.max),
        sand_from=_if_given(case, "sand_from", material.dry_to_sand),
        through_dry=case.timing("through_dry", material.through_dry),
        pot_life=None if material.pot_life is None else case.pot("pot_life", material.pot_life),
        under_cover=still.timing("under_cover", material.through_dry),
        seal_by=sealing(case, material),
        doubt=_doubt(material, weather),
    )


def _if_given(case: "Case", key: str, sheet: float | None) -> Timing | None:
    return None if sheet is None else case.timing(key, sheet)


def sealing(case: "Case", material: Material) -> Timing | None:
    """How long a porous film may stand in a dry shop before something seals it."""
    if not material.porous:
        return None
    limit = material.recoat.max
    sheet = min(limit, POROUS_WAIT) if limit is not None else POROUS_WAIT
    damp = case.weather.humidity > DAMP
    value = sheet / 2 if damp else sheet
    why = say("porous: it drinks water; indoors and dry only, never outdoors")
    told = Figure(
        value,
        "hours",
        "assumed",
        "common practice, no source",
        "sheet's longest, at most 7 d; half of it in air above 70 %",
    )
    source = case.source if sheet == limit else "common practice, no source"
    written = Figure(sheet, "hours", "sheet" if sheet == limit else "assumed", source)
    return Timing("seal_by", written, told, told, say("{why}; damp air", why=why) if damp else why)


def _doubt(material: Material, weather: Weather) -> str:
    limits, found = material.limits, []
    if min(weather.metal, weather.air) < limits.temperature_min:
        found.append(
            say("colder than the sheet allows: a two-pack may stop curing and not catch up")
        )
    if max(weather.metal, weather.air) > limits.temperature_max:
        found.append(say("warmer than the sheet allows"))
    if weather.humidity > limits.humidity_max:
        found.append(say("damper than the sheet allows"))
    return joined("; ", found)


class Case:
    """One product, film and weather; what all its times share."""

    def __init__(
        self, material: Material, laid: Laid, weather: Weather, solvents: Solvents
    ) -> None:
        self.material = material
        self.laid = laid
        self.usual = sheet_film(material)
        self.weather = weather
        self.solvents = solvents
        self.two_pack = material.component("hardener") is not None
        self.source = f"sheet:{material.key}"

    def timing(self, key: str, sheet: float, cures: bool = True, least: bool = False) -> Timing:
        """A time until something may be done; least: never below the sheet's own."""
        whole = key != "flash"
        leaves = sheet * self._solvent(sheet, whole)
        cured = sheet / self._cure() if cures and self.two_pack else 0.0
        free = min(max(leaves, cured), LONGEST)
        held = max(free, sheet) if least else free
        slower = "cure" if cured > leaves else "solvent"
        spread = self._spread(sheet, held) if slower == "cure" else None
        why = self._why(sheet, free, held, slower, whole)
        return self._told(key, sheet, (free, held), why, spread)

    def closing(self, key: str, sheet: float) -> Timing:
        """A time by which something must be done: never above the sheet's own."""
        free = sheet / self._cure() if self.two_pack else sheet
        held = min(free, sheet)
        why = "no law for its closing: the sheet's own" if not self.two_pack else ""
        why = why or self._why(sheet, free, held, "cure", True)
        return self._told(key, sheet, (free, held), why, None)

    def pot(self, key: str, sheet: float) -> Timing:
        """How long the mix lasts at the air's temperature."""
        air = min(max(self.weather.air, FREEZING), HOT)
        life = mixing.pot_life(sheet, SHEET_TEMPERATURE, air)
        span = mixing.pot_life_range(sheet, SHEET_TEMPERATURE, air)
        why = self._why(sheet, life, life, "cure", True)
        return self._told(key, sheet, (life, life), why, span)

    def _cure(self, energy: float = drying.DOUBLING) -> float:
        """How many times faster the cure runs than on the sheet."""
        return float(drying.cure_rate(max(self.weather.metal, FROST), SHEET_TEMPERATURE, energy))

    def _spread(self, sheet: float, held: float) -> tuple[float, float]:
        times = [
            sheet
            / float(drying.cure_rate(max(self.weather.metal, FROST), SHEET_TEMPERATURE, energy))
            for energy in ENERGIES
        ]
        return min(*times, held), max(*times, held)

    def _solvent(self, sheet: float, whole: bool) -> float:
        """How many times longer than on the sheet until as little solvent is left."""
        real, usual = (
            (self.laid.layer, self.usual.layer) if whole else (self.laid.coat, self.usual.coat)
        )
        share = landed_share(self.material)
        blend, water = self.blend()
        task = _Task(
            wet_coat(blend, usual, share),
            air_of(SHEET_WEATHER, water),
            wet_coat(blend, real, share),
            air_of(self.weather, water),
        )
        return _stretch(task, sheet)

    def blend(self) -> tuple[tuple[tuple[drying.Solvent, float], ...], tuple[bool, ...]]:
        """Solvents of the product with their shares, and which of them is water."""
        found = self.solvents.blend(self.material)
        return tuple((evaporating(s), part) for s, part in found), tuple(
            s.key == WATER for s, _ in found
        )

    def _why(self, sheet: float, free: float, held: float, law: str, whole: bool) -> str:
        real, usual = (
            (self.laid.layer, self.usual.layer) if whole else (self.laid.coat, self.usual.coat)
        )
        parts = [f"metal {self.weather.metal - 273.15:.0f} degC, {law} x{free / sheet:.2f}"]
        if law == "solvent" and abs(real / usual - 1) > 0.02:
            parts.append(f"film {real * 1e6:.0f} um for the sheet's {usual * 1e6:.0f} um")
        if abs(held / free - 1.0) > 0.01:
            parts.append("held at the sheet's own")
        if free >= LONGEST:
            parts.append("as good as never")
        return "; ".join(parts)

    def _told(
        self,
        key: str,
        sheet: float,
        times: tuple[float, float],
        why: str,
        spread: tuple[float, float] | None,
    ) -> Timing:
        purpose = "time" if key in ("flash", "pot_life") else "hours"
        written = Figure(sheet, purpose, "sheet", self.source, spread_note="at 20 degC")
        inputs = {
            "sheet": written,
            "metal": Figure(self.weather.metal, "temperature", "entered", "job file"),
            "humidity": Figure(self.weather.humidity, "fraction", "entered", "job file"),
            "air": Figure(self.weather.speed, "speed", "assumed", "assumption"),
            "coat": Figure(self.laid.coat, "film", "formula", "stroke-recipe"),
        }
        formula = "sheet x (time to the same solvent left and the same cure, today / on the sheet)"
        free, held = times
        return Timing(
            key=key,
            sheet=written,
            corrected=Figure(
                held, purpose, "formula", "equal-residue", formula, inputs, spread,
                "activation energies of 43 to 77 kJ/mol" if spread else "",
            ),
            free=Figure(free, purpose, "formula", "equal-residue", formula, inputs),
            why=why,
        )  # fmt: skip


def landed_share(material: Material) -> float:
    """Share of solids in the film as it lands, at the sheet's usual thinning [-]."""
    usual = material.thinning.usual if material.thinning else 0.0
    parts = parts_of(material, usual)
    solids = mixing.ready_solids(parts, [c.volume_solids for c in material.components])
    return film.landed_solids(solids, material.flow.in_flight_loss)


class _Task(NamedTuple):
    """The sheet's coat in the sheet's air, and the real one in today's."""

    sheet_coat: drying.Coat
    sheet_air: drying.Air
    coat: drying.Coat
    air: drying.Air


def wet_coat(
    blend: tuple[tuple[drying.Solvent, float], ...], dry: float, share: float
) -> drying.Coat:
    """A coat as it lands: dry film [m], solids share of the landed film, blend by volume."""
    liquid = dry / share - dry
    return drying.Coat(dry, tuple(s for s, _ in blend), tuple(part * liquid for _, part in blend))


def air_of(weather: Weather, water: tuple[bool, ...]) -> drying.Air:
    """The air as the drying engine takes it; only water is already in it."""
    wet = evaporating(standard().sheets[WATER])
    loaded = weather.humidity * drying.vapour_pressure(wet, weather.air)
    return drying.Air(
        weather.metal,
        weather.air,
        weather.speed,
        PANEL,
        tuple(loaded if one else 0.0 for one in water),
    )


def _stretch(task: _Task, sheet: float) -> float:
    """How many times longer than on the sheet."""
    usual = _curve(task.sheet_coat, task.sheet_air)
    left = max(drying.left_after(usual, sheet), FLOOR)
    real = drying.time_on(_curve(task.coat, task.air), left)
    if not math.isfinite(real):
        return LONGEST / sheet
    return real / drying.time_on(usual, left)


@lru_cache(maxsize=4096)
def _curve(coat: drying.Coat, air: drying.Air) -> drying.Curve:
    return drying.drying_curve(coat, air, FLOOR)
