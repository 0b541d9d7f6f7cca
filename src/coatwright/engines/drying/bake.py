"""Baking: how warm the metal gets under a lamp or in an oven, by heat balance and gauge."""

from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from coatwright.errors import RangeError

STEFAN_BOLTZMANN = 5.670374419e-8


class Panel(NamedTuple):
    """A panel: heat capacity of a square metre [J/(m2 K)], convection at its faces together
    [W/(m2 K)], share of the lamp it takes up [-], and emissivity of its faces together [-].
    """

    capacity: float
    convection: float
    absorbed: float = 0.9
    emissivity: float = 1.8


def panel_temperature(
    clock: ArrayLike, panel: Panel, lamp: float, air: float, metal: float
) -> NDArray[np.float64]:
    """Metal temperature under a lamp, or in an oven's warm air.

    Parameters
    ----------
    clock : (n,) array [s]
        Rising times, the lamp on from the first.
    panel : Panel
        Capacity [J/(m2 K)], convection [W/(m2 K)], absorbed and emissivity [-].
    lamp : float [W/m2]
        Radiation that meets the panel; 0 in an oven.
    air : float [K]
        Temperature of air and walls.
    metal : float [K]
        Its temperature at the first time.

    Returns
    -------
    (n,) array [K]
        capacity dT/dt = absorbed lamp - convection (T - air) - emissivity sigma (T^4 - air^4).

    Raises
    ------
    RangeError
        Times that do not rise, or a panel without heat capacity.

    Validity
        One temperature through the metal; the middle of the lamp's field: edges, thick seams and
        shadows stay colder.
    Source
        bake-heat-balance, stefan-boltzmann.
    Checked
        tests/unit/engines/drying/test_bake.py.
    """
    times = np.asarray(clock, dtype=float)
    if np.any(np.diff(times) <= 0) or not panel.capacity > 0:
        raise RangeError(
            "a bake without rising times or without metal", instead="give rising times"
        )
    found = [metal]
    for step in np.diff(times):
        count = max(int(np.ceil(step / (0.02 * _pace(panel, air, found[-1])))), 1)
        now = found[-1]
        for _ in range(count):
            now = _rk4(panel, lamp, air, now, step / count)
        found.append(now)
    return np.array(found)


def _pace(panel: Panel, air: float, metal: float) -> float:
    """Shortest time constant there and then [s]."""
    hottest = max(air, metal, 450.0)
    radiated = 4 * panel.emissivity * STEFAN_BOLTZMANN * hottest**3
    return panel.capacity / (panel.convection + radiated)


def _slope(panel: Panel, lamp: float, air: float, metal: float) -> float:
    lost = panel.convection * (metal - air)
    lost += panel.emissivity * STEFAN_BOLTZMANN * (metal**4 - air**4)
    return (panel.absorbed * lamp - lost) / panel.capacity


def _rk4(panel: Panel, lamp: float, air: float, metal: float, step: float) -> float:
    one = _slope(panel, lamp, air, metal)
    two = _slope(panel, lamp, air, metal + step / 2 * one)
    three = _slope(panel, lamp, air, metal + step / 2 * two)
    four = _slope(panel, lamp, air, metal + step * three)
    return metal + step / 6 * (one + 2 * two + 2 * three + four)
