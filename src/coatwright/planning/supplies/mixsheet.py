"""A product's mix at today's temperature: thinner, cup seconds, VOC, and grams on the scale."""

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from typing import Final

from coatwright import units
from coatwright.engines import mixing, rheology
from coatwright.errors import InputError
from coatwright.figures import Figure
from coatwright.model.kit import Workshop
from coatwright.model.material import Component, Material
from coatwright.planning.plan import Pour
from coatwright.planning.strokes.ready import ReadyPaint, parts_of, ready_paint
from coatwright.sentences import Said, say

DOSE_SPREAD: Final = 0.3
"""The blending rule is good to this share of the thinner dose."""

RATIO_TOLERANCE: Final = 0.02
"""How far rounding on the scale may put hardener or base off (assumption)."""

_POURING: Final = ("base", "hardener", "thinner")


@dataclass(frozen=True, slots=True)
class ReadyMix:
    """A product as it is mixed today: what holds for any amount of it."""

    material: Material
    components: tuple[Component, ...]
    parts: tuple[float, ...]
    density: float
    thinner_share: Figure
    cup_seconds: Figure
    cup: str
    voc: Figure
    voc_limit: Figure | None
    voc_verdict: str
    pot_life: Figure | None
    stir_wait: Figure
    notes: tuple[str, ...]

    @property
    def densities(self) -> tuple[float, ...]:
        """Density of each component, in pouring order [kg/m3]."""
        return tuple(c.density for c in self.components)

    @property
    def shares(self) -> tuple[float, ...]:
        """Volume share of each component in the mix, in pouring order."""
        return tuple(float(share) for share in mixing.shares(self.parts))


@dataclass(frozen=True, slots=True)
class MixSheet:
    """One quantity to mix: how to pour it, and what it then is."""

    key: str
    title: str
    volume: Figure
    mass: Figure
    pours: tuple[Pour, ...]
    ratio_error: Figure
    thinner_share: Figure
    cup_seconds: Figure
    cup: str
    voc: Figure
    voc_limit: Figure | None
    voc_verdict: str
    pot_life: Figure | None
    stir_wait: Figure
    notes: tuple[str, ...]


def ready_mix(material: Material, workshop: Workshop) -> ReadyMix:
    """The mix of a product in this shop today: paint and shop at workshop.climate.air.

    Raises RangeError if a viscosity or temperature lies outside its formula.
    """
    paint = ready_paint(material, workshop.climate.air)
    order = sorted(
        zip(material.components, parts_of(material, paint.thinner), strict=True),
        key=lambda row: _POURING.index(row[0].role),
    )
    poured = [(component, part) for component, part in order if part > 0]
    voc, limit, verdict = _voc(material, paint, workshop.voc_region)
    return ReadyMix(
        material=material,
        components=tuple(component for component, _ in poured),
        parts=tuple(part for _, part in poured),
        density=paint.density,
        thinner_share=_thinner_share(material, paint, workshop.climate.air),
        cup_seconds=_cup_seconds(material, paint, workshop.climate.air),
        cup=material.spray.cup,
        voc=voc,
        voc_limit=limit,
        voc_verdict=verdict,
        pot_life=_pot_life(material, workshop.climate.air),
        stir_wait=_sheet(material, material.induction, "time", "stand after stirring"),
        notes=_notes(material, paint),
    )


def mix_sheet(
    material: Material,
    workshop: Workshop,
    *,
    volume: float | None = None,
    mass: float | None = None,
) -> MixSheet:
    """How to mix so many m3 or so many kg of a product in this shop today.

    Raises InputError unless exactly one of volume and mass is given and above 0.
    """
    ready = ready_mix(material, workshop)
    if (volume is None) == (mass is None) or (volume or mass or 0.0) <= 0:
        raise InputError(
            "a mix needs one amount above 0", instead='give it as a volume or a mass, e.g. "600 mL"'
        )
    amount = volume if volume is not None else (mass or 0.0) / ready.density
    notes, scale = list(ready.notes), workshop.scale
    weight = amount * ready.density
    if weight > scale.capacity:
        notes.append(
            say(
                "This mix is heavier than the scale can carry: weigh it in two cups, each in ratio."
            )
        )
    error = ratio_error(ready, amount, scale.resolution)
    if error.value > RATIO_TOLERANCE:
        notes.append(
            say(
                "The scale is too coarse for so little: its rounding alone puts the "
                "ratio off by more than {least:.0%}. Mix more, or weigh finer.",
                least=RATIO_TOLERANCE,
            )
        )
    return MixSheet(
        key=material.key,
        title=material.title,
        volume=Figure(
            amount, "dose", "entered" if mass is None else "formula", "mix-by-volume",
            "as asked" if mass is None else "mass / density of the mix",
        ),
        mass=Figure(weight, "mass", "formula", "mix-by-volume", "volume x density of the mix"),
        pours=pours(ready, amount, scale.resolution),
        ratio_error=error,
        thinner_share=ready.thinner_share,
        cup_seconds=ready.cup_seconds,
        cup=ready.cup,
        voc=ready.voc,
        voc_limit=ready.voc_limit,
        voc_verdict=ready.voc_verdict,
        pot_life=ready.pot_life,
        stir_wait=ready.stir_wait,
        notes=tuple(notes),
    )  # fmt: skip


def pours(ready: ReadyMix, volume: float, resolution: float) -> tuple[Pour, ...]:
    """The lines of a mix sheet for a volume [m3], in pouring order; resolution in kg."""
    exact = mixing.pour(volume, ready.parts, ready.densities)
    shown = mixing.on_scale(exact, resolution)
    before = [0.0, *exact[:-1]]
    source = f"sheet:{ready.material.key}"
    rows = zip(ready.components, ready.shares, exact, before, shown, strict=True)
    return tuple(
        Pour(
            component.key,
            component.title,
            Figure(
                volume * share, "dose", "formula", source, "mix x parts / all parts",
                {"share": Figure(share, "fraction", "sheet", source)},
            ),
            Figure(
                float(full - low), "mass", "formula", source, "volume x density",
                {"density": Figure(component.density, "density", "sheet", source)},
            ),
            Figure(
                float(reading), "mass", "formula", "mix-by-volume",
                "all poured so far, rounded to what the scale shows",
            ),
        )
        for component, share, full, low, reading in rows
    )  # fmt: skip


def ratio_error(ready: ReadyMix, volume: float, resolution: float) -> Figure:
    """How far a component can be off against the base, because the scale rounds."""
    exact = mixing.pour(volume, ready.parts, ready.densities)
    shown = mixing.on_scale(exact, resolution)
    off = mixing.ratio_error(shown, ready.parts, ready.densities)
    return Figure(
        off, "fraction", "formula", "mix-by-volume",
        "largest error of a part against the base, readings rounded to the scale's step",
        {"scale": Figure(resolution, "mass", "entered", "job file")},
    )  # fmt: skip


def smallest_mix(ready: ReadyMix, resolution: float) -> float:
    """Least volume [m3] at which one step of the scale stays within RATIO_TOLERANCE of each part.

    The thinner is left out: a little more or less of it does no harm to the cure.
    """
    rows = zip(ready.components, ready.shares, strict=True)
    masses = [share * c.density for c, share in rows if c.role != "thinner"]
    return resolution / (RATIO_TOLERANCE * min(masses))


def _sheet(material: Material, value: float, purpose: str, formula: str) -> Figure:
    return Figure(value, purpose, "sheet", f"sheet:{material.key}", formula)


def _neat(material: Material) -> Figure:
    return _sheet(
        material, material.neat.seconds, "seconds",
        f"{material.neat.cup}, base and hardener unthinned, at the sheet's temperature",
    )  # fmt: skip


def _thinner_share(material: Material, paint: ReadyPaint, air: float) -> Figure:
    if material.thinning is None:
        return _sheet(material, 0.0, "fraction", say("the sheet allows no thinner"))
    low, high = material.thinning.min, material.thinning.max
    ends = [paint.thinner * (1 - DOSE_SPREAD), paint.thinner * (1 + DOSE_SPREAD)]
    return Figure(
        paint.thinner, "fraction", "formula", "refutas-maples",
        "thinner by volume on base and hardener that brings the neat viscosity, at the paint's "
        "temperature, to the middle of the sheet's spraying range; kept within the sheet's range",
        {
            "neat": _neat(material),
            "paint": Figure(air, "temperature", "entered", "job file"),
            "usual on the sheet": _sheet(material, material.thinning.usual, "fraction", ""),
        },
        (min(max(ends[0], low), high), max(min(ends[1], high), low)),
        "the blending rule is good to 30 % of the dose; the cup decides",
    )  # fmt: skip


def _cup_seconds(material: Material, paint: ReadyPaint, air: float) -> Figure:
    doses = (paint.thinner * (1 + DOSE_SPREAD), paint.thinner * (1 - DOSE_SPREAD))
    low, high = (ready_paint(material, air, dose).cup_seconds for dose in doses)
    wanted = material.spray
    return Figure(
        paint.cup_seconds, "seconds", "formula", _cup_source(wanted.cup),
        f"{wanted.cup} seconds of the thinned mix at the paint's temperature",
        {
            "paint": Figure(air, "temperature", "entered", "job file"),
            "sheet from": _sheet(material, wanted.min, "seconds", ""),
            "sheet to": _sheet(material, wanted.max, "seconds", ""),
        },
        (low, high), "for 30 % more and less thinner",
    )  # fmt: skip


def _cup_source(cup: str) -> str:
    name = cup.split()[0]
    return {"ISO": "iso-2431", "DIN": "din-53211", "Ford": "astm-d1200"}.get(name, "astm-d4212")


def _pot_life(material: Material, air: float) -> Figure | None:
    if material.pot_life is None:
        return None
    written = material.spray.temperature
    life = mixing.pot_life(material.pot_life, written, air)
    return Figure(
        life, "time", "formula", "ufgs-09971",
        "pot life on the sheet x 2 ^ ((sheet temperature - shop temperature) / 10 K)",
        {
            "sheet": _sheet(material, material.pot_life, "time", ""),
            "at": _sheet(material, written, "temperature", ""),
            "shop": Figure(air, "temperature", "entered", "job file"),
        },
        mixing.pot_life_range(material.pot_life, written, air),
        "between the published activation energies of urethane cures",
    )  # fmt: skip


@cache
def _limits() -> Mapping[str, Mapping[str, Mapping[str, object]]]:
    return tomllib.loads((files("coatwright") / "data" / "voc_limits.toml").read_text("utf-8"))


def _voc(material: Material, paint: ReadyPaint, region: str) -> tuple[Figure, Figure | None, str]:
    category = material.voc_eu if region == "EU" else material.voc_us
    row = _limits()[region.lower()].get(category or "")
    less_water = bool(row["less_water"]) if row else True
    figure = Figure(
        _counted(material, paint.thinner, region, less_water), "concentration", "formula",
        "2004-42-ec" if region == "EU" else "40-cfr-59-b",
        "organics of all parts / volume of all parts" + (" less water" if less_water else ""),
        {"thinner": f"{paint.thinner:.0%} on base and hardener"},
    )  # fmt: skip
    if row is None:
        return (
            figure,
            None,
            say("the sheet names no {region} category: no limit to compare with", region=region),
        )
    limit = Figure(
        units.parse(str(row["limit"]), "concentration"), "concentration", "sheet",
        str(row["source"]), str(row["title"]),
    )  # fmt: skip
    doubt = say(" (limit from memory: check it)") if row["read"] == "memory" else ""
    kind = Said(str(row["title"]))
    name = say("the {region} limit for {kind}{doubt}", region=region, kind=kind, doubt=doubt)
    if figure.value <= limit.value:
        return figure, limit, say("within {name}", name=name)
    most = _most_thinner(material, paint.thinner, limit.value, (region, less_water))
    return figure, limit, say("over {name}: {most}", name=name, most=most)


def _counted(material: Material, thinner: float, region: str, less_water: bool) -> float:
    """VOC ready to use [kg/m3] with that share of thinner."""
    parts = parts_of(material, thinner)
    columns = [(c.voc, c.water, c.density) for c in material.components]
    voc, water, density = zip(*columns, strict=True)
    if region == "EU":
        return mixing.ready_voc_eu(parts, voc, water, density, less_water=less_water)
    return mixing.ready_voc_us(parts, voc, water, density)


def _most_thinner(material: Material, share: float, limit: float, law: tuple[str, bool]) -> str:
    """Where thinner alone breaks the limit, how much of it would not."""
    if material.thinning is None or _counted(material, material.thinning.min, *law) > limit:
        return say("use a product that keeps to it, or a licence that covers this job")
    low, high = material.thinning.min, share
    for _ in range(40):
        middle = (low + high) / 2
        low, high = (middle, high) if _counted(material, middle, *law) <= limit else (low, middle)
    return say("up to {low:.1%} thinner would keep to it", low=low)


def _notes(material: Material, paint: ReadyPaint) -> tuple[str, ...]:
    notes = []
    if paint.limited:
        notes.append(say("Thinner: {limited}.", limited=paint.limited))
    cups = (
        (material.spray.cup, paint.cup_seconds),
        (material.neat.cup, material.neat.seconds),
    )
    for cup, seconds in cups:
        if not rheology.within(cup, seconds):
            low, high = rheology.cup_range(cup)
            notes.append(
                say(
                    "{seconds:.0f} s lies outside the equation of the {cup} cup ({low:.0f} "
                    "to {high:.0f} s): take it as a guide and let the cup decide.",
                    seconds=seconds,
                    cup=cup,
                    low=low,
                    high=high,
                )
            )
    return tuple(notes)
