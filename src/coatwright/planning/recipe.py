"""The stroke recipe, solved: least paint, then least time, within bounds on runs and light spots.

Film on a spot is G x solids x (sampled share), with G = flow x transfer / speed. A layer wants G
large enough that few spots stay light and small enough that few run; what is left is how to make
that G: fluid, pressure and speed that gun, sheet and hand allow.
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cached_property, lru_cache

import numpy as np

from coatwright.engines import rheology
from coatwright.engines.spray import gun as guns
from coatwright.errors import Infeasible
from coatwright.model.hand import Hand
from coatwright.model.job import Bounds
from coatwright.model.kit import Gun
from coatwright.model.material import Material
from coatwright.planning.layouts import Subject
from coatwright.planning.ready import ReadyPaint
from coatwright.planning.sampling import MOST_COATS, Sample, samples_for

LIGHT = 0.8
"""A spot is light below this share of the wanted film (the 80 % rule of ISO 19840)."""

COARSE = 1.02
"""Droplets may be this much coarser than at the gun's own test."""

LEAST_TRIGGER = 0.25
"""Below this share of full fluid the needle meters badly (common practice, no source)."""

PAINT_SLACK = 0.06
"""Recipes within this share of the least paint are judged by time."""

RAMP = 0.3
"""Each coat fuller than the one before, from 1 - RAMP to 1 + RAMP of the mean, where the first may
be a thin grip coat (common practice, no source)."""

DRIVEN = 8


@dataclass(frozen=True, slots=True)
class Wanted:
    """What the layer must come to [m dry]: nominal film, the sheet's most, and of one coat."""

    nominal: float
    most: float
    coat_min: float
    coat_max: float
    coats_min: int
    coats_max: int
    grip_coat: bool = False


@dataclass(frozen=True, slots=True)
class Task:
    """Everything a recipe depends on."""

    subjects: tuple[Subject, ...]
    material: Material
    paint: ReadyPaint
    run_limit: float
    wanted: Wanted
    hand: Hand
    bounds: Bounds


@dataclass(frozen=True)
class Recipe:
    """One way to spray a task, with what it costs and risks (SI)."""

    task: Task
    subject: Subject
    sample: Sample
    coats: int
    gain: float
    pressure: float
    flow: float
    full_flow: float
    transfer: float
    speed: float
    run_chance: float
    light_chance: float
    droplets: float
    feasible: bool
    shortfall: str = ""

    @property
    def gun(self) -> Gun:
        """The gun it uses."""
        return self.sample.setting.gun

    @property
    def shares(self) -> tuple[float, ...]:
        """Film of each coat as a share of the mean coat."""
        return coat_shares(self.coats, self.task.wanted.grip_coat)

    @cached_property
    def overrun(self) -> float:
        """How far before and past the edge the trigger is held, so that the ends fill [m]."""
        setting = self.sample.setting
        reach = float(np.max(setting.layout.distances)) / setting.fan.distance
        return setting.fan.width / 2 * reach + 0.05 * self.speed

    @property
    def sections(self) -> int:
        """Into how many lengths a stroke is broken by the painter's reach."""
        return max(1, int(np.ceil(self.subject.run / self.task.hand.reach - 1e-9)))

    @cached_property
    def stroke_length(self) -> float:
        """Length with the trigger pulled, per stroke of one face [m]."""
        return self.subject.run + 2 * self.overrun * self.sections

    @cached_property
    def trigger_time(self) -> float:
        """Seconds of trigger for one mean coat of one face."""
        return self.sample.setting.layout.count * self.stroke_length / self.speed

    @cached_property
    def paint(self) -> float:
        """Paint through the gun for all coats of one face [m3]."""
        return self.flow * self.trigger_time * self.coats

    @cached_property
    def minutes(self) -> float:
        """Spraying time for all coats of one face, turns included [s]."""
        turns = self.sample.setting.layout.count * self.sections * self.task.hand.turn
        return self.coats * (self.trigger_time + turns)

    @property
    def capture(self) -> float:
        """Share of the paint that reaches the shape, strokes' ends included."""
        return self.sample.setting.capture * self.subject.run / self.stroke_length

    @cached_property
    def mean_dry(self) -> float:
        """Mean dry film of all coats [m]."""
        return self.coats * self.gain * self.task.paint.solids * self.sample.mean


def coat_shares(coats: int, grip_coat: bool) -> tuple[float, ...]:
    """Film of each coat as a share of the mean coat: equal, or each fuller than the last."""
    if coats == 1 or not grip_coat:
        return (1.0,) * coats
    return tuple(float(x) for x in np.linspace(1.0 - RAMP, 1.0 + RAMP, coats))


def candidates(task: Task, guns_allowed: tuple[Gun, ...]) -> Iterator[Recipe]:
    """Every recipe the solver weighs, feasible or not."""
    most = min(task.wanted.coats_max, MOST_COATS)
    for subject in task.subjects:
        for gun in guns_allowed:
            for sample in samples_for(subject, gun, task.hand):
                for coats in range(task.wanted.coats_min, most + 1):
                    yield from _driven(task, subject, sample, coats)


def _gain(task: Task, sample: Sample, coats: int) -> tuple[float, str]:
    """Least G that fills the layer, and what it breaks, if anything."""
    wanted, solids = task.wanted, task.paint.solids
    mean = sample.setting.mean
    light = sample.value_at(sample.total(coats), task.bounds.light_chance)
    fullest = max(coat_shares(coats, wanted.grip_coat))
    gain = max(
        wanted.nominal / (coats * solids * mean),
        LIGHT * wanted.nominal / (coats * solids * max(light, 1e-12)),
        wanted.coat_min / (solids * mean),
    )
    wettest = sample.value_at(sample.coat, 1.0 - task.bounds.run_chance)
    landed = gain * wettest * fullest * solids / task.paint.landed_solids
    if landed > task.run_limit:
        return (
            gain,
            f"{landed * 1e6:.0f} um wet at the fullest spots; "
            f"runs from {task.run_limit * 1e6:.0f} um",
        )
    if gain * solids * mean > wanted.coat_max * 1.05:
        return gain, "a coat thicker than the sheet allows"
    if gain * solids * mean * coats > wanted.most * 1.05:
        return gain, "more film than the sheet allows in all"
    return gain, ""


def _driven(task: Task, subject: Subject, sample: Sample, coats: int) -> Iterator[Recipe]:
    """The pressures, flows and speeds that make G; one recipe for each pressure."""
    gun = sample.setting.gun
    gain, why = _gain(task, sample, coats)
    chances = _run_chance(task, sample, coats, gain), _light_chance(task, sample, coats, gain)
    test = fluid_test(gun)
    shares = coat_shares(coats, task.wanted.grip_coat)
    slow, fast = task.hand.speed_min * max(shares), task.hand.speed_max * min(shares)
    away = float(np.mean(sample.setting.layout.distances))
    for pressure in _pressures(gun, task.material):
        full = guns.full_flow(test, pressure, task.paint.viscosity)
        kept = guns.transfer(
            gun.transfer, away, gun.footprint.distance, pressure, gun.fluid_pressure
        )
        speed = min(fast, full * kept / gain)
        flow = gain * speed / kept
        size = guns.droplet_size(test, pressure, flow, gun.fluid)
        fault = why or _drive_fault(speed, slow, flow / full, size)
        yield Recipe(
            task,
            subject,
            sample,
            coats,
            gain,
            pressure,
            flow,
            full,
            kept,
            speed,
            *chances,
            size,
            not fault,
            fault,
        )


def _pressures(gun: Gun, material: Material) -> list[float]:
    low = max(gun.pressure_min, material.pressure_min)
    high = min(gun.pressure_max, material.pressure_max)
    return [float(p) for p in np.linspace(low, high, DRIVEN)]


def _drive_fault(speed: float, slow: float, trigger: float, droplets: float) -> str:
    if speed < slow:
        return "the stroke would be slower than a hand can hold"
    if trigger < LEAST_TRIGGER:
        return "so little paint per stroke that the needle meters badly"
    if droplets > COARSE:
        return "too little air for that much paint: coarse droplets"
    return ""


def _run_chance(task: Task, sample: Sample, coats: int, gain: float) -> float:
    fullest = max(coat_shares(coats, task.wanted.grip_coat))
    limit = task.run_limit * task.paint.landed_solids / (gain * task.paint.solids * fullest)
    return 1.0 - sample.chance_below(sample.coat, limit)


def _light_chance(task: Task, sample: Sample, coats: int, gain: float) -> float:
    level = LIGHT * task.wanted.nominal / (coats * gain * task.paint.solids)
    return sample.chance_below(sample.total(coats), level)


@lru_cache(maxsize=64)
def fluid_test(gun: Gun) -> guns.FluidTest:
    """The gun's measured delivery as the engine takes it."""
    liquid = rheology.kinematic_viscosity("DIN 4", gun.fluid_viscosity_seconds)
    return guns.FluidTest(gun.fluid, gun.fluid_pressure, liquid, gun.nozzle, gun.air)


def guns_for(material: Material, available: tuple[Gun, ...]) -> tuple[Gun, ...]:
    """Guns whose nozzle and pressure the product's sheet allows."""
    return tuple(
        gun
        for gun in available
        if material.nozzle_min - 1e-9 <= gun.nozzle <= material.nozzle_max + 1e-9
        and max(gun.pressure_min, material.pressure_min)
        <= min(gun.pressure_max, material.pressure_max)
    )


def solve(task: Task, available: tuple[Gun, ...]) -> tuple[Recipe, tuple[Recipe, ...]]:
    """The recipe for a task, and every candidate it was chosen from.

    Raises Infeasible if no gun in the shop fits the product's sheet. Where no candidate keeps
    every bound, the one that comes nearest is returned with feasible False and its shortfall.
    """
    fitting = guns_for(task.material, available)
    if not fitting:
        raise Infeasible(
            f"no gun fits {task.material.title}",
            instead=_asked(task.material),
        )
    every = tuple(candidates(task, fitting))
    if not every:
        raise Infeasible(f"no stroke reaches the whole of the shape with {task.material.title}")
    best = least(every)
    return best, every


def _asked(material: Material) -> str:
    nozzle = f"{material.nozzle_min * 1e3:.1f} to {material.nozzle_max * 1e3:.1f} mm"
    pressure = f"{material.pressure_min / 1e5:.1f} to {material.pressure_max / 1e5:.1f} bar"
    return f"its sheet asks for a nozzle of {nozzle} and {pressure}"


def least(recipes: tuple[Recipe, ...]) -> Recipe:
    """Least paint, then (within PAINT_SLACK of it) least time; else the nearest to the bounds."""
    fitting = [recipe for recipe in recipes if recipe.feasible]
    if not fitting:
        return min(recipes, key=_badness)
    paint = min(recipe.paint for recipe in fitting)
    cheap = [recipe for recipe in fitting if recipe.paint <= paint * (1 + PAINT_SLACK)]
    return min(cheap, key=lambda recipe: (recipe.minutes, recipe.paint))


def _badness(recipe: Recipe) -> float:
    slow = recipe.task.hand.speed_min / recipe.speed
    trigger = LEAST_TRIGGER * recipe.full_flow / recipe.flow
    wanted = recipe.task.wanted
    over = recipe.mean_dry / wanted.most
    thick = recipe.mean_dry / recipe.coats / wanted.coat_max
    chance = recipe.run_chance + recipe.light_chance
    return chance * 5 + sum(
        max(0.0, x - 1.0) for x in (slow, trigger, over, thick, recipe.droplets)
    )


def reassess(recipe: Recipe, **changes: float) -> Recipe:
    """The same strokes with another pressure, flow or speed: what risks then?"""
    setting = recipe.sample.setting
    pressure = changes.get("pressure", recipe.pressure)
    flow = changes.get("flow", recipe.flow)
    speed = changes.get("speed", recipe.speed)
    kept = guns.transfer(
        setting.gun.transfer,
        float(np.mean(setting.layout.distances)),
        setting.gun.footprint.distance,
        pressure,
        setting.gun.fluid_pressure,
    )
    gain = flow * kept / speed
    task, sample = recipe.task, recipe.sample
    return replace(
        recipe,
        pressure=pressure,
        flow=flow,
        speed=speed,
        transfer=kept,
        gain=gain,
        full_flow=guns.full_flow(fluid_test(setting.gun), pressure, task.paint.viscosity),
        run_chance=_run_chance(task, sample, recipe.coats, gain),
        light_chance=_light_chance(task, sample, recipe.coats, gain),
        droplets=guns.droplet_size(fluid_test(setting.gun), pressure, flow, setting.gun.fluid),
    )
