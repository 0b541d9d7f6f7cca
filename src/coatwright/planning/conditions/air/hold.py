"""One recipe on the air line: every coat's pressure, sections, light patch, what would help."""

import math
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from coatwright.engines import air
from coatwright.figures import Figure
from coatwright.model.kit import Gun
from coatwright.planning.conditions.air import told
from coatwright.planning.conditions.air.changes import Subject, changes, lowest_of
from coatwright.planning.conditions.air.patches import Patches, coarseness, patches
from coatwright.planning.conditions.air.programme import CoatProgramme, coat_programme
from coatwright.planning.conditions.air.supply import (
    Supply,
    absolute,
    burst,
    cap_of,
    enough,
    gauge,
    held,
    kit_for,
    recovered,
    settings,
)
from coatwright.planning.conditions.air.water import fallen
from coatwright.planning.conditions.air_plan import AirCoat, AirHold, AirSection, AirTrace
from coatwright.planning.strokes.recipe import LIGHT
from coatwright.planning.strokes.spraying import Sprayed
from coatwright.sentences import joined, say

Float = NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class Spraying:
    """A recipe on the line: its coats run one by one, each from a full receiver."""

    supply: Supply
    done: Sprayed
    humidity: float

    @property
    def gun(self) -> Gun:
        """The gun that sprays it."""
        return self.done.recipe.gun

    @property
    def wanted(self) -> float:
        """The recipe's inlet pressure [Pa gauge]."""
        return self.done.recipe.pressure

    @property
    def needed(self) -> float:
        """The least that gun and sheet allow [Pa gauge]."""
        return max(self.gun.pressure_min, self.done.layering.material.pressure_min)

    @cached_property
    def kit(self) -> air.Kit:
        """Line, receiver and pump, set for the recipe."""
        return kit_for(self.supply, self.gun, self.wanted)

    @cached_property
    def coats(self) -> tuple[CoatProgramme, ...]:
        """What the trigger does in each coat."""
        return tuple(coat_programme(self.done, coat) for coat in range(self.done.recipe.coats))

    @cached_property
    def runs(self) -> tuple[air.Run, ...]:
        """What the air does in each coat."""
        return tuple(air.simulate(coat.phases, self.kit, trace=True) for coat in self.coats)

    @cached_property
    def lows(self) -> tuple[float, ...]:
        """Lowest pressure at the trigger in each coat [Pa gauge]."""
        return tuple(gauge(float(np.nanmin(run.lowest))) for run in self.runs)

    @property
    def worst(self) -> int:
        """The coat with the lowest pressure."""
        return int(np.argmin(self.lows))

    @cached_property
    def film(self) -> Patches:
        """What the fall of pressure does to the film."""
        means = [
            np.asarray(run.mean[coat.pulls[:, 0]]) - absolute(0.0)
            for run, coat in zip(self.runs, self.coats, strict=True)
        ]
        return patches(self.done, self.coats, means)

    @cached_property
    def cut(self) -> air.Sections | None:
        """The worst coat cut so that the air holds; None if it holds in one go."""
        if enough(self.lows[self.worst], self.needed) or not self.reachable:
            return None
        return air.sections(self.coats[self.worst].phases, self.kit, absolute(self.needed))

    @property
    def reachable(self) -> bool:
        """Whether a full receiver gives what is needed at all."""
        return enough(gauge(settings(self.kit, self.gun).gun), self.needed)

    def lowest_with(self, supply: Supply, gun: Gun) -> float:
        """Lowest pressure of the worst coat on another line or with another cap [Pa gauge]."""
        phases = self.coats[self.worst].phases
        other = air.programme(phases.seconds, phases.which, [cap_of(gun)])
        return lowest_of(other, kit_for(supply, gun, self.wanted))


def air_hold(spraying: Spraying) -> AirHold:
    """The AirHold of one recipe."""
    s, card = spraying, spraying.done.card
    fits = enough(s.lows[s.worst], s.needed)
    steady = enough(s.lows[s.worst], s.wanted)
    better = () if steady else changes(s.supply, Subject(s.gun, s.wanted, s.lowest_with))
    return AirHold(
        key=card.key,
        area=card.area,
        product=card.product,
        gun=s.gun.key,
        gun_title=s.gun.title,
        needed=Figure(
            s.needed,
            "pressure",
            "sheet",
            f"sheet:{card.product}",
            "more of gun's and sheet's least",
        ),
        wanted=card.pressure,
        **_line(s),
        **_pressures(s),
        lowest_coat=f"coat-{s.worst + 1}",
        coats=tuple(_coat(s, index) for index in range(len(s.coats))),
        sections=_sections(s),
        **_film(s),
        duty=_duty(s),
        water=_water(s),
        changes=better,
        enough=fits,
        steady=steady,
        cut_holds=fits or (s.cut is not None and s.cut.holds),
        summary=_summary(s, fits),
        advice=_advice(s, fits),
    )


def _line(s: Spraying) -> dict[str, Figure]:
    at = settings(s.kit, s.gun)
    flow = at.flow / air.free_density(s.supply.temperature)
    setting = gauge(s.kit.line.regulator.setting)
    used = Figure(
        flow,
        "air flow",
        "formula",
        "iso-6358",
        "what the air cap passes at this inlet pressure",
        {"its test": f"{s.gun.air * 6e4:.0f} L/min at {told.bar(s.gun.fluid_pressure)}"},
    )
    wall = told.pressure(
        gauge(at.regulated),
        "inlet pressure + what hose and couplings lose",
        "isothermal-pipe",
        {
            "hose": f"{s.supply.hose.length:g} m of {s.supply.hose.bore * 1e3:g} mm",
            "friction": f"{s.kit.line.hose.friction:.2f} x smooth",
            "air": used,
        },
    )
    return {
        "air_used": used,
        "wall": wall,
        "wall_released": told.pressure(
            setting, "gauge with the trigger pulled + droop", "regulator-droop", {"pulled": wall}
        ),
        "burst": told.pressure(
            burst(s.kit, s.gun),
            "what stands at the gun when released less when pulled",
            "regulator-droop",
        ),
        "loss": told.pressure(
            at.regulated - at.gun,
            "after the regulator less at the gun, trigger pulled",
            "isothermal-pipe",
        ),
    }


def _pressures(s: Spraying) -> dict[str, Figure]:
    rest = recovered(s.kit, s.gun, s.runs[s.worst].end)
    return {
        "lowest": told.pressure(
            s.lows[s.worst],
            "lowest with the trigger pulled over all coats",
            "receiver-energy",
            {"receiver": f"{s.supply.compressor.receiver * 1e3:.0f} L, full at the start"},
        ),
        "holds": _held(s, s.wanted, "what the recipe wants"),
        "lasts": _held(s, s.needed, "what gun and sheet need"),
        "rest": told.seconds(
            rest,
            "from the end of the coat until the pump stops; none if it has not started",
            {"coat": told.time(s.coats[s.worst].seconds)},
        ),
    }


def _held(s: Spraying, pressure: float, whose: str) -> Figure:
    full = held(s.kit, s.gun, pressure)
    least = held(s.kit, s.gun, pressure, air.lowest_start(s.kit))
    return told.seconds(
        full,
        f"trigger held from a full receiver until the inlet has less than {whose}",
        {"pressure": told.bar(pressure)},
        (least, full),
        "from a receiver about to start the pump to a full one",
    )


def _coat(s: Spraying, index: int) -> AirCoat:
    run, coat = s.runs[index], s.coats[index]
    lowest = int(np.nanargmin(run.lowest))
    ends = np.cumsum(run.seconds)
    pulled = coat.phases.which >= 0
    mean = float(np.average(run.mean[pulled], weights=run.seconds[pulled]))
    return AirCoat(
        key=f"coat-{index + 1}",
        lowest=told.pressure(s.lows[index], "lowest with the trigger pulled", "receiver-energy"),
        lowest_at=told.seconds(float(ends[lowest]), "end of the stroke with the lowest pressure"),
        mean=told.pressure(gauge(mean), "mean with the trigger pulled", "receiver-energy"),
        seconds=told.seconds(
            coat.seconds,
            "strokes, turns, faces, refills",
            {"trigger": f"{coat.trigger:.0f} s"},
        ),
        refills=Figure(
            coat.fills, "count", "formula", "air-programme", "paint of the coat / gun cup"
        ),
        duty=told.share(
            float(run.pumped.sum() / run.time), "pump runs / time of the coat", "receiver-energy"
        ),
        trace=AirTrace(
            run.trace[:, 0],
            run.trace[:, 1] - absolute(0.0),
            run.trace[:, 3] - absolute(0.0),
            s.needed,
            s.wanted,
        ),
    )


def _sections(s: Spraying) -> tuple[AirSection, ...]:
    coat = s.coats[s.worst]
    if s.cut is None:
        firsts, rests = [0], [0.0]
    else:
        firsts, rests = list(s.cut.first), list(s.cut.rests)
    ends = [*firsts[1:], len(coat.phases.seconds)]
    rows = []
    for number, (first, end, rest) in enumerate(zip(firsts, ends, rests, strict=True), start=1):
        inside = np.flatnonzero((coat.pulls[:, 0] >= first) & (coat.pulls[:, 0] < end))
        rows.append(
            AirSection(
                key=f"section-{number}",
                first=int(inside[0]) + 1 if len(inside) else 0,
                last=int(inside[-1]) + 1 if len(inside) else 0,
                rest_before=told.seconds(rest, "until the receiver can carry the section"),
                seconds=told.seconds(
                    float(coat.phases.seconds[first:end].sum()), "strokes and turns of the section"
                ),
            )
        )
    return tuple(rows)


def _film(s: Spraying) -> dict[str, Figure]:
    nominal = s.done.recipe.task.wanted.nominal
    worst = coarseness(s.done.recipe, s.lows[s.worst])
    steady = Figure(
        s.film.steady,
        "film",
        "formula",
        "air-film",
        "thinnest dry film in a steady hand, pressure as wanted all along",
        {"wanted of the layer": f"{nominal * 1e6:.0f} um"},
    )
    return {
        "lightest": Figure(
            s.film.lightest,
            "film",
            "formula",
            "air-film",
            "thinnest dry film in a steady hand, every stroke at its own mean pressure",
            {"with steady air": steady, "light below": f"{LIGHT:.0%} of {nominal * 1e6:.0f} um"},
        ),
        "lightest_steady": steady,
        "lost": told.share(s.film.lost, "largest share of film any spot loses", "air-film"),
        "coarsest": told.share(
            worst,
            "droplets at the lowest pressure against the gun's own test",
            "airblast-droplets",
            {"as the recipe wants it": f"{s.done.recipe.droplets:.0%}"},
        ),
    }


def _duty(s: Spraying) -> Figure:
    pumped = sum(float(run.pumped.sum()) for run in s.runs)
    return told.share(
        pumped / sum(run.time for run in s.runs),
        "pump runs / time of all coats, each from a full receiver",
        "receiver-energy",
        {"its plate allows": f"{s.supply.compressor.duty:.0%} of any ten minutes"},
    )


def _water(s: Spraying) -> Figure:
    delivered = sum(float(run.delivered.sum()) for run in s.runs)
    return Figure(
        delivered * fallen(s.supply, s.humidity),
        "mass",
        "formula",
        "humidity-ratio",
        "air delivered x water that falls out of it",
        {"air delivered": f"{delivered / air.free_density(s.supply.temperature) * 1e3:.0f} L free"},
    )


def _summary(s: Spraying, fits: bool) -> str:
    low, need = told.bar(s.lows[s.worst]), told.bar(s.needed)
    if enough(s.lows[s.worst], s.wanted):
        return say("Holds: {low} at the trigger from the first stroke to the last.", low=low)
    if fits:
        return say(
            "Falls from {wanted} to {low} in coat {worst}, still above the {need} that is needed.",
            wanted=told.bar(s.wanted),
            low=low,
            worst=s.worst + 1,
            need=need,
        )
    if not s.reachable:
        return say("Never has the {need} it needs: {low} at best.", need=need, low=low)
    return say(
        "Starves: {low} at the trigger in coat {worst}, and {need} is needed.",
        low=low,
        worst=s.worst + 1,
        need=need,
    )


def _advice(s: Spraying, fits: bool) -> tuple[str, ...]:
    at = settings(s.kit, s.gun)
    where = say("at the wall") if s.supply.regulator.place == "wall" else say("at the gun")
    said = [
        say(
            "Set {regulated} {where} with the trigger pulled ({setting} released), "
            "and start with the pump stopped.",
            regulated=told.bar(gauge(at.regulated)),
            where=where,
            setting=told.bar(gauge(s.kit.line.regulator.setting)),
        )
    ]
    if not fits and s.cut is not None and s.cut.holds:
        rests = joined(", ", (told.time(rest) for rest in s.cut.rests[1:]))
        said.append(
            say(
                "Cut the coat into {first} sections and rest {rests} between.",
                first=len(s.cut.first),
                rests=rests,
            )
        )
    elif not fits:
        said.append(say("No pause helps: even a full receiver does not carry one stroke."))
    if s.film.lost > 0.02:
        said.append(
            say(
                "The pressure lost leaves a patch {lost:.0%} lighter than the rest.",
                lost=s.film.lost,
            )
        )
    if not math.isfinite(s.lows[s.worst]):
        said.append(say("The pressure could not be found."))
    return tuple(said)
