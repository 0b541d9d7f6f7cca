"""A wet film that loses a blend of solvents: what is left after a time, and the time until then."""

import math
from collections.abc import Sequence
from typing import Final, NamedTuple

import numpy as np

from coatwright.engines.constants import GAS
from coatwright.engines.drying.vapour import (
    ROOM,
    Solvent,
    diffusivity,
    mass_transfer,
    vapour_pressure,
)
from coatwright.errors import RangeError

INTERACTION: Final = 0.4
"""Flory-Huggins interaction of a solvent with a resin it dissolves well; assumption."""

WET_DIFFUSION: Final = 1e-9
DRY_DIFFUSION: Final = 1e-13
"""Diffusion of solvent in liquid paint, and in a film just gone dry, at 20 degC [m2/s];
assumptions of the order of published values."""

FREE_VOLUME: Final = 0.2
"""Share of solvent at which the film is half way (in decades) between wet and dry; assumption."""

WET_ACTIVATION: Final = 15e3
DRY_ACTIVATION: Final = 60e3
"""Activation energies of that diffusion [J/mol]; assumptions."""

STEP: Final = 0.04
"""Largest share of the solvent that may leave in one step."""

_NEVER: Final = 1e-9
"""Slower than this [1/s] nothing dries: a time constant of 30 years."""


class Coat(NamedTuple):
    """A wet coat: its dry film [m], its solvents, and of each the liquid thickness [m]."""

    dry: float
    solvents: tuple[Solvent, ...]
    liquid: tuple[float, ...]


class Air(NamedTuple):
    """Around a coat: metal and air temperature [K], air speed [m/s], length along the air [m], and
    the partial pressure of each solvent already in the air [Pa]; none given = clean air.
    """

    metal: float
    temperature: float
    speed: float
    length: float
    loaded: tuple[float, ...] = ()


class _Law(NamedTuple):
    """What does not change while a coat dries (one value per solvent, SI)."""

    volume: tuple[float, ...]
    driven: tuple[float, ...]
    dry: float
    wet_diffusion: float
    dry_diffusion: float


def _law(coat: Coat, air: Air) -> _Law:
    if not coat.solvents or len(coat.solvents) != len(coat.liquid):
        raise RangeError(
            f"{len(coat.solvents)} solvents and {len(coat.liquid)} thicknesses",
            instead="give at least one solvent, and one thickness for each",
        )
    if not (coat.dry > 0 and min(coat.liquid) >= 0 and sum(coat.liquid) > 0):
        raise RangeError(
            "a coat without solids or without solvent",
            instead="its dry film must be above 0 and it must hold some solvent",
        )
    loaded = air.loaded if air.loaded else (0.0,) * len(coat.solvents)
    pulls = [
        max(vapour_pressure(solvent, air.metal) - held, 0.0)
        for solvent, held in zip(coat.solvents, loaded, strict=True)
    ]
    transfer = [
        mass_transfer(diffusivity(s, air.temperature), air.speed, air.length, air.temperature)
        for s in coat.solvents
    ]
    return _Law(
        tuple(s.molar_mass / s.density for s in coat.solvents),
        tuple(k * pull / (GAS * air.metal) for k, pull in zip(transfer, pulls, strict=True)),
        coat.dry,
        _warmed(WET_DIFFUSION, WET_ACTIVATION, air.metal),
        _warmed(DRY_DIFFUSION, DRY_ACTIVATION, air.metal),
    )


def _warmed(value: float, activation: float, temperature: float) -> float:
    return value * math.exp(activation / GAS * (1 / ROOM - 1 / temperature))


def _rates(amounts: Sequence[float], law: _Law) -> list[float]:
    """Share of each solvent that leaves per second: the film and the air in series.

    Plain floats: with three or four solvents that is ten times faster than arrays.
    """
    liquid = sum(n * v for n, v in zip(amounts, law.volume, strict=True))
    thick = law.dry + liquid
    share = liquid / thick
    activity = share * math.exp((1 - share) + INTERACTION * (1 - share) ** 2)
    per_mole = activity / sum(amounts)
    inside = math.pi**2 / 4 * film_diffusion(share, law.wet_diffusion, law.dry_diffusion)
    held = thick**2 / inside
    return [
        1.0 / (1.0 / (per_mole * driven) + held) if driven > 0 else 0.0 for driven in law.driven
    ]


def film_diffusion(
    share: float, wet_diffusion: float = WET_DIFFUSION, dry_diffusion: float = DRY_DIFFUSION
) -> float:
    """Diffusion of solvent in a film that holds some.

    Parameters
    ----------
    share : float [-]
        Of the film's volume that is solvent, 0 to 1.
    wet_diffusion, dry_diffusion : float [m2/s]
        In liquid paint, and in the dry film.

    Returns
    -------
    float [m2/s]
        Free-volume form of Fujita: the logarithm goes with share / (share + constant).

    Validity
        The two ends and the constant are assumptions; what is computed from them is meant as a
        ratio to the sheet's own time.
    Source
        fujita-1961; assumption.
    Checked
        tests/properties/conditions/test_drying.py.
    """
    bend = share * (1 + FREE_VOLUME) / (share + FREE_VOLUME)
    return float(dry_diffusion * (wet_diffusion / dry_diffusion) ** bend)


class _Drying:
    """One run, step by step: exponential midpoint steps, so that amounts stay above zero."""

    def __init__(self, coat: Coat, air: Air) -> None:
        self.law = _law(coat, air)
        self.amounts = [t / v for t, v in zip(coat.liquid, self.law.volume, strict=True)]
        self.start = sum(coat.liquid)
        self.time = 0.0
        self.rates = _rates(self.amounts, self.law)

    @property
    def liquid(self) -> float:
        """Thickness of solvent still in the film [m]."""
        return sum(n * v for n, v in zip(self.amounts, self.law.volume, strict=True))

    def pace(self) -> float:
        """Share of the solvent that leaves per second."""
        parts = zip(self.rates, self.amounts, self.law.volume, strict=True)
        return sum(rate * n * v for rate, n, v in parts) / self.liquid

    def step(self, longest: float = math.inf) -> bool:
        """Go on until STEP of what is left has gone, or for `longest` [s]; False if it stands."""
        pace = self.pace()
        if pace < _NEVER:
            return False
        step = min(STEP / pace, longest)
        middle = [
            n * math.exp(-rate * step / 2) for n, rate in zip(self.amounts, self.rates, strict=True)
        ]
        half = _rates(middle, self.law)
        self.amounts = [
            n * math.exp(-rate * step) for n, rate in zip(self.amounts, half, strict=True)
        ]
        self.rates = _rates(self.amounts, self.law)
        self.time += step
        return True


class Curve(NamedTuple):
    """How a coat dries: rising times [s], and the share of its solvent still in it [-]."""

    clock: tuple[float, ...]
    left: tuple[float, ...]


def drying_curve(coat: Coat, air: Air, least: float = 1e-3) -> Curve:
    """How the solvent of a coat leaves, until only a share of it is left.

    Parameters
    ----------
    coat : Coat
        The coat as it landed: dry film and liquid of each solvent [m].
    air : Air
        Around it: temperatures [K], speed [m/s], length [m], vapours [Pa].
    least : float [-]
        Share left at which the curve ends, above 0; sooner if nothing leaves any more.

    Returns
    -------
    Curve
        Times [s] and shares left by volume [-], from 0 s and 1.

    Raises
    ------
    RangeError
        A coat without solids or solvent, a share not above 0, or a temperature outside the
        vapour-pressure law.

    Validity
        One even film, mixed through its depth; film at the metal's temperature. Raoult's law among
        the solvents (activity coefficients 1), Flory-Huggins with the resin; air and film as
        resistances in series. Evaporation into air goes with the film, what is held in the film
        with its square. What the air already holds lessens the pull of the pure liquid: what a
        resin keeps of water in damp air is left out.
    Source
        raoult, flory-huggins, crank-diffusion.
    Checked
        tests/unit/engines/drying/test_film.py, tests/properties/conditions/test_drying.py.
    """
    if not least > 0:
        raise RangeError(f"a share of {least:g} left", instead="it must be above 0")
    run = _Drying(coat, air)
    clock, left = [0.0], [1.0]
    while left[-1] > least and run.step():
        clock.append(run.time)
        left.append(run.liquid / run.start)
    return Curve(tuple(clock), tuple(left))


def residue(coat: Coat, air: Air, seconds: float) -> float:
    """Share of a coat's solvent that is still in it after a time.

    Parameters
    ----------
    coat : Coat
        The coat as it landed: dry film and liquid of each solvent [m].
    air : Air
        Around it: temperatures [K], speed [m/s], length [m], vapours [Pa].
    seconds : float [s]
        Since it was laid.

    Returns
    -------
    float [-]
        By volume, 1 at the beginning.

    Raises
    ------
    RangeError
        As drying_curve.

    Validity
        As drying_curve.
    Source
        raoult, flory-huggins, crank-diffusion.
    Checked
        tests/unit/engines/drying/test_film.py, tests/properties/conditions/test_drying.py.
    """
    run = _Drying(coat, air)
    while run.time < seconds and run.step(seconds - run.time):
        pass
    return run.liquid / run.start


def left_after(curve: Curve, seconds: float) -> float:
    """Share left at a time on a drying curve.

    Parameters
    ----------
    curve : Curve
        Times [s] and shares left [-].
    seconds : float [s]
        Since it was laid; past the end of the curve its last share.

    Returns
    -------
    float [-]
        Logarithms joined by straight lines.

    Source
        derived.
    Checked
        tests/unit/engines/drying/test_film.py.
    """
    return float(math.exp(np.interp(seconds, curve.clock, np.log(curve.left))))


def time_on(curve: Curve, left: float) -> float:
    """Time at which a drying curve has come down to a share.

    Parameters
    ----------
    curve : Curve
        Times [s] and shares left [-].
    left : float [-]
        Share of the solvent.

    Returns
    -------
    float [s]
        Infinite if the curve ends above it.

    Source
        derived.
    Checked
        tests/unit/engines/drying/test_film.py.
    """
    if left < curve.left[-1]:
        return math.inf
    downwards = -np.log(curve.left)
    return float(np.interp(-math.log(left), downwards, curve.clock))


def time_to_residue(coat: Coat, air: Air, left: float) -> float:
    """Time until only so much of a coat's solvent is left in it.

    Parameters
    ----------
    coat : Coat
        The coat as it landed: dry film and liquid of each solvent [m].
    air : Air
        Around it: temperatures [K], speed [m/s], length [m], vapours [Pa].
    left : float [-]
        Share of the solvent by volume, above 0.

    Returns
    -------
    float [s]
        Infinite if it never dries that far (water in saturated air).

    Raises
    ------
    RangeError
        As drying_curve.

    Validity
        As drying_curve.
    Source
        raoult, flory-huggins, crank-diffusion.
    Checked
        tests/unit/engines/drying/test_film.py, tests/properties/conditions/test_drying.py.
    """
    return time_on(drying_curve(coat, air, left), left)


def layered_residue(coat: Coat, air: Air, waits: Sequence[float]) -> float:
    """Solvent left in a layer of several equal coats, each laid on what the one below still holds.

    Parameters
    ----------
    coat : Coat
        One coat as it landed: dry film and liquid of each solvent [m].
    air : Air
        Around it: temperatures [K], speed [m/s], length [m], vapours [Pa].
    waits : sequence of float [s]
        After each coat: flash-off between them, then the wait after the last.

    Returns
    -------
    float [m]
        Liquid thickness of solvent left in the whole layer.

    Raises
    ------
    RangeError
        As residue, or no coat.

    Validity
        As residue; a new coat mixes with what is left below it.
    Source
        raoult, flory-huggins, crank-diffusion.
    Checked
        tests/unit/engines/drying/test_film.py, tests/properties/conditions/test_drying.py.
    """
    if not waits:
        raise RangeError("a layer of no coats", instead="give a wait for each coat")
    held = [0.0] * len(coat.liquid)
    for count, wait in enumerate(waits, 1):
        wet = tuple(old + new for old, new in zip(held, coat.liquid, strict=True))
        run = _Drying(Coat(count * coat.dry, coat.solvents, wet), air)
        while run.time < wait and run.step(wait - run.time):
            pass
        held = [n * v for n, v in zip(run.amounts, run.law.volume, strict=True)]
    return float(sum(held))


def blend_shares(parts: Sequence[float]) -> tuple[float, ...]:
    """Shares of a blend by volume, summing to one.

    Parameters
    ----------
    parts : sequence of float [-]
        By volume, at least one above 0.

    Returns
    -------
    tuple of float [-]
        Each part over their sum.

    Raises
    ------
    RangeError
        Nothing in it, or a part below zero.

    Source
        derived.
    Checked
        tests/unit/engines/drying/test_film.py.
    """
    total = sum(parts)
    if not total > 0 or min(parts) < 0:
        raise RangeError("a blend of nothing", instead="give parts of 0 or more, not all 0")
    return tuple(part / total for part in parts)
