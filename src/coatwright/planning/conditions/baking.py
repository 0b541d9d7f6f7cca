"""How far a bake cures a product: the metal by heat balance, the cure by Arrhenius."""

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from coatwright.engines import drying
from coatwright.figures import Figure
from coatwright.model.material import Material
from coatwright.planning.conditions.drying import SHEET_TEMPERATURE
from coatwright.planning.conditions.window_plan import Baked
from coatwright.sentences import say


class Heat(NamedTuple):
    """A bake: lamp on the panel [W/m2], air and metal at the beginning [K]; lamp 0 = an oven."""

    lamp: float
    air: float
    start: float = SHEET_TEMPERATURE


def baked(material: Material, bake: drying.Panel, heat: Heat, seconds: float) -> Baked:
    """How far a bake of so many seconds cures a product: metal by heat balance, cure by Arrhenius.

    Measured against the sheet's own bake if it gives one, else against its through-dry at 20 degC.
    Raises RangeError if the metal leaves the cure law (above 200 degC).
    """
    clock = np.linspace(0.0, seconds, 241)
    metal = drying.panel_temperature(clock, bake, heat.lamp, heat.air, heat.start)
    wanted, time = SHEET_TEMPERATURE, material.through_dry
    if material.bake is not None:
        wanted, time = material.bake.temperature, material.bake.time
    cure = drying.cure_reached(clock, metal, time, wanted)
    there = _first(clock, metal >= wanted - 0.5) if material.bake else None
    done = _first(clock, cure >= 1.0)
    formula = "capacity x dT/dt = absorbed lamp - convection - radiation"
    return Baked(
        product=material.key,
        metal=Figure(float(metal[-1]), "temperature", "formula", "bake-heat-balance", formula),
        reaches=_minutes(there),
        cure=Figure(
            float(cure[-1]), "fraction", "formula", "arrhenius", "time at the sheet's rate / sheet"
        ),
        enough_after=_minutes(done),
        why=_baked_why(material, float(metal.max()), done),
    )


def _first(clock: NDArray[np.float64], reached: NDArray[np.bool_]) -> float | None:
    return float(clock[int(np.argmax(reached))]) if reached.any() else None


def _minutes(value: float | None) -> Figure | None:
    return None if value is None else Figure(value, "time", "formula", "bake-heat-balance")


def _baked_why(material: Material, hottest: float, done: float | None) -> str:
    if material.component("hardener") is None:
        return say("not a two-pack: warmth drives solvent out, it does not cure it")
    if done is None:
        return say("not cured through in that time: longer, nearer or warmer")
    if material.bake and hottest > material.bake.temperature + 20.0:
        return say(
            "much warmer than the sheet's bake: the film may boil, plastics and seams suffer"
        )
    return say("cured through, by metal temperature; thick seams and shadows lag behind")
