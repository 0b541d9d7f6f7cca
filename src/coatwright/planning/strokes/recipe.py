"""The stroke recipe, solved: least paint, then least time, within bounds on runs and light spots.

Film on a spot is G x solids x (sampled share), with G = flow x transfer / speed. A layer wants G
large enough that few spots stay light and small enough that few run; what is left is how to make
that G: fluid, pressure and speed that gun, sheet and hand allow.
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cached_property, lru_cache
from typing import NamedTuple

import numpy as np

from coatwright.engines import rheology
from coatwright.engines.spray import gun as guns
from coatwright.errors import Infeasible
from coatwright.model.hand import Hand
from coatwright.model.job import Bounds
from coatwright.model.kit import Gun
from coatwright.model.material import Material
from coatwright.planning.strokes.layouts import Subject
from coatwright.planning.strokes.ready import ReadyPaint
from coatwright.planning.strokes.sampling import MOST_COATS, Sample, samples_for
from coatwright.sentences import say

LIGHT = 0.8
"""A spot is light below this share of the wanted film (the 80 % rule of ISO 19840)."""

COARSE = 1.02
"""Droplets may be this much coarser than at the gun's own test."""

LEAST_TRIGGER = 0.25
"""Below this share of full fluid the needle meters badly (common practice, no source)."""

PAINT_SLACK = 0.05
"""Recipes within this share of the least paint are judged by time."""

RAMP = 0.3
"""Each coat fuller than the one before, from 1 - RAMP to 1 + RAMP of the mean, where the first may
be a thin grip coat (common practice, no source)."""

SPOT_NOZZLE = 0.75
"""A small gun's nozzle may be this share of the sheet's smallest (1.0 mm where 1.3 is asked for;
common practice, no source)."""

DRIVEN = 6
"""Pressures tried between the least and the most that gun and sheet allow."""


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
    mobile: float = 0.0
    """Share of the coat before that can still slide when the next goes on."""


@dataclass(frozen=True, eq=False)
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
    droplets: float
    wettest: float
    shortfall: str = ""

    @property
    def feasible(self) -> bool:
        """Whether it keeps every bound."""
        return not self.shortfall

    @property
    def gun(self) -> Gun:
        """The gun it uses."""
        return self.sample.setting.gun

    @cached_property
    def run_chance(self) -> float:
        """Share of spots and draws past the run limit in the fullest coat."""
        paint = self.task.paint
        wet = self.gain * paint.solids / paint.landed_solids * fullest(self.task, self.coats)
        return 1.0 - self.sample.chance_below((1.0,), self.task.run_limit / wet)

    @cached_property
    def light_chance(self) -> float:
        """Share of spots and draws that stay light after the last coat."""
        level = LIGHT * self.task.wanted.nominal
        return self.sample.chance_below(
            self.shares, level / (self.coats * self.gain * self.task.paint.solids)
        )

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
    def coat_speeds(self) -> tuple[float, ...]:
        """Stroke speed of each coat [m/s]: a fuller coat is slower, a lighter one no faster than
        the hand can go."""
        fastest = max(self.task.hand.speed_max, self.speed)
        return tuple(min(fastest, self.speed / share) for share in self.shares)

    @cached_property
    def coat_flows(self) -> tuple[float, ...]:
        """Paint through the gun in each coat [m3/s]."""
        pairs = zip(self.shares, self.coat_speeds, strict=True)
        return tuple(self.gain * share * speed / self.transfer for share, speed in pairs)

    @cached_property
    def trigger_time(self) -> float:
        """Seconds of trigger for all coats of one face."""
        strokes = self.sample.setting.layout.count * self.stroke_length
        return sum(strokes / speed for speed in self.coat_speeds)

    @cached_property
    def paint(self) -> float:
        """Paint through the gun for all coats of one face [m3]."""
        strokes = self.sample.setting.layout.count * self.stroke_length
        return strokes * self.gain / self.transfer * self.coats

    @cached_property
    def minutes(self) -> float:
        """Spraying time for all coats of one face, turns included [s]."""
        turns = self.sample.setting.layout.count * self.sections * self.task.hand.turn
        return self.trigger_time + self.coats * turns

    @property
    def capture(self) -> float:
        """Share of the paint that reaches the shape in this hand, strokes' ends included."""
        caught = self.sample.mean * self.subject.breadth / self.sample.setting.layout.count
        return min(1.0, caught * self.subject.run / self.stroke_length)

    @cached_property
    def mean_dry(self) -> float:
        """Mean dry film of all coats [m]."""
        return self.coats * self.gain * self.task.paint.solids * self.sample.mean


def coat_shares(coats: int, grip_coat: bool) -> tuple[float, ...]:
    """Film of each coat as a share of the mean coat: equal, or each fuller than the last."""
    if coats == 1 or not grip_coat:
        return (1.0,) * coats
    return tuple(float(x) for x in np.linspace(1.0 - RAMP, 1.0 + RAMP, coats))


def fullest(task: Task, coats: int) -> float:
    """Wet film of the fullest coat, with what still slides of the one before, in mean coats."""
    shares = coat_shares(coats, task.wanted.grip_coat)
    before = (0.0, *shares[:-1])
    return max(own + task.mobile * earlier for own, earlier in zip(shares, before, strict=True))


def candidates(task: Task, guns_allowed: tuple[Gun, ...]) -> Iterator[Recipe]:
    """Every recipe the solver weighs, feasible or not."""
    most = min(task.wanted.coats_max, MOST_COATS)
    for gun in guns_allowed:
        ladder = _ladder(task, gun)
        for subject in task.subjects:
            for sample in samples_for(subject, gun, task.hand):
                for coats in range(task.wanted.coats_min, most + 1):
                    yield from _driven(Layer(task, subject, sample, coats), ladder)


def _gain(task: Task, sample: Sample, coats: int) -> tuple[float, float, str]:
    """Least G that fills the layer, its wettest spots against the run limit, and what it breaks."""
    wanted, solids, mean = task.wanted, task.paint.solids, sample.mean
    shares = coat_shares(coats, wanted.grip_coat)
    wettest = sample.level((1.0,), 1.0 - task.bounds.run_chance) * fullest(task, coats)
    wet = wettest * solids / task.paint.landed_solids
    gain = max(wanted.nominal / (coats * solids * mean), wanted.coat_min / (solids * mean))
    fault = _film_fault(task, gain * solids * mean, coats, gain * wet)
    if fault:  # no need to look at light spots: filling them only adds film
        return gain, gain * wet / task.run_limit, fault
    light = sample.level(shares, task.bounds.light_chance)
    gain = max(gain, LIGHT * wanted.nominal / (coats * solids * max(light, 1e-12)))
    fault = _film_fault(task, gain * solids * mean, coats, gain * wet)
    return gain, gain * wet / task.run_limit, fault


def _film_fault(task: Task, coat: float, coats: int, landed: float) -> str:
    wanted = task.wanted
    if landed > task.run_limit:
        wettest, limit = landed * 1e6, task.run_limit * 1e6
        return say(
            "{wettest:.0f} um wet at the fullest spots; runs from {limit:.0f} um",
            wettest=wettest,
            limit=limit,
        )
    if coat > wanted.coat_max * 1.05:
        return say("a coat thicker than the sheet allows")
    if coat * coats > wanted.most * 1.05:
        return say("more film than the sheet allows in all")
    return ""


class Layer(NamedTuple):
    """A task with a way to lay it and a number of coats."""

    task: Task
    subject: Subject
    sample: Sample
    coats: int


class Rung(NamedTuple):
    """One pressure a gun may be set to [Pa], and its full-trigger flow there [m3/s]."""

    pressure: float
    full: float


def _driven(layer: Layer, ladder: tuple[Rung, ...]) -> Iterator[Recipe]:
    """The pressures, flows and speeds that make G: every feasible one up to the first that needs no
    more pressure, or the last that fails."""
    task, _, sample, coats = layer
    gain, wettest, why = _gain(task, sample, coats)
    shares = coat_shares(coats, task.wanted.grip_coat)
    slow, fast = task.hand.speed_min * max(shares), task.hand.speed_max
    gun, test, found = sample.setting.gun, fluid_test(sample.setting.gun), False
    for rung in ladder:
        kept = _kept(sample, rung.pressure)
        speed = min(fast, rung.full * kept / gain)
        flow = gain * speed / kept
        size = guns.droplet_size(test, rung.pressure, flow, gun.fluid)
        fault = why or _drive_fault(speed, slow, flow / rung.full, size)
        last = why or rung is ladder[-1]
        if not fault or (last and not found):
            yield Recipe(
                *layer, gain, rung.pressure, flow, rung.full, kept, speed, size, wettest, fault
            )
        found = found or not fault
        if why or (not fault and speed == fast):
            return


def _kept(sample: Sample, pressure: float) -> float:
    """Transfer of a setting at a pressure."""
    gun = sample.setting.gun
    return guns.transfer(
        gun.transfer, sample.setting.away, gun.footprint.distance, pressure, gun.fluid_pressure
    )


def _ladder(task: Task, gun: Gun) -> tuple[Rung, ...]:
    """The pressures to try for a gun and a product, with what they deliver."""
    low = max(gun.pressure_min, task.material.pressure_min)
    high = min(gun.pressure_max, task.material.pressure_max)
    rungs = []
    for pressure in np.linspace(low, high, DRIVEN):
        full = guns.full_flow(fluid_test(gun), float(pressure), task.paint.viscosity)
        rungs.append(Rung(float(pressure), full))
    return tuple(rungs)


def _drive_fault(speed: float, slow: float, trigger: float, droplets: float) -> str:
    if speed < slow:
        return say("the stroke would be slower than a hand can hold")
    if trigger < LEAST_TRIGGER:
        return say("so little paint per stroke that the needle meters badly")
    if droplets > COARSE:
        return say("too little air for that much paint: coarse droplets")
    return ""


@lru_cache(maxsize=64)
def fluid_test(gun: Gun) -> guns.FluidTest:
    """The gun's measured delivery as the engine takes it."""
    liquid = rheology.kinematic_viscosity("DIN 4", gun.fluid_viscosity_seconds)
    return guns.FluidTest(gun.fluid, gun.fluid_pressure, liquid, gun.nozzle, gun.air)


def guns_for(material: Material, available: tuple[Gun, ...]) -> tuple[Gun, ...]:
    """Guns whose nozzle and pressure the product's sheet allows.

    Sheets state the nozzle of a full-size gun; a spot gun may be smaller by SPOT_NOZZLE.
    """
    return tuple(gun for gun in available if _fits(gun, material))


def _fits(gun: Gun, material: Material) -> bool:
    least = material.nozzle_min * (SPOT_NOZZLE if gun.kind == "spot" else 1.0)
    nozzle = least - 1e-9 <= gun.nozzle <= material.nozzle_max + 1e-9
    low = max(gun.pressure_min, material.pressure_min)
    return nozzle and low <= min(gun.pressure_max, material.pressure_max)


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
    nozzle = say(
        "{nozzle_min:.1f} to {nozzle_max:.1f} mm",
        nozzle_min=material.nozzle_min * 1000.0,
        nozzle_max=material.nozzle_max * 1000.0,
    )
    pressure = say(
        "{pressure_min:.1f} to {pressure_max:.1f} bar",
        pressure_min=material.pressure_min / 100000.0,
        pressure_max=material.pressure_max / 100000.0,
    )
    return say(
        "its sheet asks for a nozzle of {nozzle} and {pressure}", nozzle=nozzle, pressure=pressure
    )


def least(recipes: tuple[Recipe, ...]) -> Recipe:
    """Least paint, then (within PAINT_SLACK of it) least time; else the nearest to the bounds."""
    fitting = [recipe for recipe in recipes if recipe.feasible]
    if not fitting:
        return min(recipes, key=_badness)
    paint = min(recipe.paint for recipe in fitting)
    cheap = [recipe for recipe in fitting if recipe.paint <= paint * (1 + PAINT_SLACK)]
    return min(cheap, key=lambda recipe: (recipe.minutes, recipe.paint))


def _badness(recipe: Recipe) -> float:
    """How far a recipe is beyond its bounds, summed as shares."""
    wanted = recipe.task.wanted
    beyond = (
        recipe.wettest,
        recipe.task.hand.speed_min / recipe.speed,
        LEAST_TRIGGER * recipe.full_flow / recipe.flow,
        recipe.mean_dry / wanted.most,
        recipe.mean_dry / recipe.coats / wanted.coat_max,
        recipe.droplets,
    )
    return sum(max(0.0, x - 1.0) for x in beyond)


def reassess(recipe: Recipe, **changes: float) -> Recipe:
    """The same strokes with another pressure, flow or speed: what risks then?"""
    sample, task = recipe.sample, recipe.task
    pressure = changes.get("pressure", recipe.pressure)
    flow, speed = changes.get("flow", recipe.flow), changes.get("speed", recipe.speed)
    kept, test = _kept(sample, pressure), fluid_test(recipe.gun)
    return replace(
        recipe,
        pressure=pressure,
        flow=flow,
        speed=speed,
        transfer=kept,
        gain=flow * kept / speed,
        full_flow=guns.full_flow(test, pressure, task.paint.viscosity),
        droplets=guns.droplet_size(test, pressure, flow, recipe.gun.fluid),
    )
