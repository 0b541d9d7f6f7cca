"""Film where the pressure fell: every stroke's paint by its own pressure, added up spot by spot."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from coatwright.engines.spray import gun as guns
from coatwright.engines.spray.section import pass_shares
from coatwright.planning.conditions.air.programme import CoatProgramme
from coatwright.planning.strokes.layouts import section_of
from coatwright.planning.strokes.recipe import Recipe, fluid_test
from coatwright.planning.strokes.spraying import Sprayed

Float = NDArray[np.float64]

_FAINT = 2e3
"""Below this gauge pressure [Pa] a gun gives what it gives there."""


@dataclass(frozen=True)
class Patches:
    """Dry film [m] in a steady hand: thinnest with this air, thinnest with air that never falls,
    and the largest share that any spot loses."""

    lightest: float
    steady: float
    lost: float


def flow_factor(recipe: Recipe, pressure: float) -> float:
    """Paint that stays on the work at an inlet pressure [Pa gauge], as a share of the recipe's.

    The needle stays where it was set; less pressure drives less paint and blows a little less away.
    """
    test, gun = fluid_test(recipe.gun), recipe.gun
    now = max(pressure, _FAINT)
    paint = guns.full_flow(test, now, recipe.task.paint.viscosity) / recipe.full_flow
    away = recipe.sample.setting.away
    kept = guns.transfer(gun.transfer, away, gun.footprint.distance, now, gun.fluid_pressure)
    return paint * kept / recipe.transfer


def patches(
    done: Sprayed, programmes: Sequence[CoatProgramme], pressures: Sequence[Float]
) -> Patches:
    """Film of all coats with the mean pressure [Pa gauge] of every pull of each."""
    recipe = done.recipe
    setting = recipe.sample.setting
    shares = pass_shares(section_of(recipe.subject), setting.layout.strokes, setting.fan)
    film: Float = np.zeros(1)
    steady: Float = np.zeros(1)
    for coat, part in enumerate(recipe.shares):
        factors = _factors(recipe, programmes[coat], pressures[coat])
        laid = recipe.gain * part * recipe.task.paint.solids
        film = film + laid * factors @ shares.T
        steady = steady + laid * shares.sum(axis=1)
    ratio = np.asarray(film) / steady
    return Patches(float(np.min(film)), float(np.min(steady)), float(1.0 - ratio.min()))


def _factors(recipe: Recipe, programme: CoatProgramme, pressures: Float) -> Float:
    """Factor of every stroke of every reach of every face; 1 where no stroke was asked for."""
    pulls = programme.pulls
    strokes = recipe.sample.setting.layout.count
    rows = pulls[:, 1] * recipe.sections + pulls[:, 2]
    table = np.ones((int(rows.max()) + 1, strokes))
    table[rows, pulls[:, 3]] = [flow_factor(recipe, float(p)) for p in pressures]
    return table


def coarseness(recipe: Recipe, pressure: float) -> float:
    """Droplets at an inlet pressure [Pa gauge] against the gun's own test: above 1 coarser."""
    now = max(pressure, _FAINT)
    test = fluid_test(recipe.gun)
    factor = guns.full_flow(test, now, recipe.task.paint.viscosity) / recipe.full_flow
    return guns.droplet_size(test, now, recipe.flow * factor, recipe.gun.fluid)
