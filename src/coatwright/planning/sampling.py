"""A layout in a hand: the film it lays per unit of paint, sampled once and used for every product.

Everything here is per unit of G = flow x transfer / speed [m2], so that fluid, pressure, speed and
product are left to the solver, which only scales.
"""

from dataclasses import dataclass
from functools import cached_property, lru_cache

import numpy as np
from numpy.typing import NDArray

from coatwright.engines.spray import gun as guns
from coatwright.engines.spray.footprint import Fan, at_opening
from coatwright.engines.spray.section import Strokes, Wander, hand_films, pass_shares
from coatwright.model.hand import Hand
from coatwright.model.kit import Gun
from coatwright.planning.layouts import Layout, Subject, layouts, section_of

Float = NDArray[np.float64]

DRAWS = 192
MOST_COATS = 6
_OPENINGS = (0.0, 1 / 3, 2 / 3, 1.0)
_KEPT = 6
_WIDE = 3.0
_SEED = 20_260
_LEVELS = np.concatenate(
    [np.linspace(0.0, 0.1, 41), np.linspace(0.11, 0.9, 40), np.linspace(0.9, 1.0, 42)[1:]]
)


@dataclass(frozen=True)
class Setting:
    """Gun, fan opening, distance and layout, and what they capture with a steady hand."""

    gun: Gun
    opening: float
    distance: float
    fan: Fan
    layout: Layout
    capture: float
    thinnest: float
    mean: float


@dataclass(frozen=True)
class Sample:
    """A setting in a hand.

    films (draws, cells) is one coat, weights (cells,) the share of the surface each cell is.
    """

    setting: Setting
    films: Float
    weights: Float

    @cached_property
    def mean(self) -> float:
        """Mean film of one coat over the section and the draws."""
        return float(np.dot(self.films.mean(axis=0), self.weights))

    @cached_property
    def coat(self) -> Float:
        """Quantiles over spots and draws of one coat, at the fixed levels."""
        return self.total(1)

    def total(self, coats: int) -> Float:
        """Quantiles over spots and draws of the mean of that many coats, each drawn afresh."""
        known: dict[int, Float] = self._totals
        if coats not in known:
            films = sum(np.roll(self.films, 37 * coat, axis=0) for coat in range(coats)) / coats
            known[coats] = _quantiles(np.asarray(films), self.weights)
        return known[coats]

    @cached_property
    def _totals(self) -> dict[int, Float]:
        return {}

    def chance_below(self, quantiles: Float, level: float) -> float:
        """Share of spots and draws below a value."""
        return float(np.interp(level, quantiles, _LEVELS, left=0.0, right=1.0))

    def value_at(self, quantiles: Float, chance: float) -> float:
        """Value that a share `chance` of spots and draws lies below."""
        return float(np.interp(chance, _LEVELS, quantiles))


def fan_of(gun: Gun, opening: float) -> Fan:
    """The gun's fan at an opening between 0 and 1."""
    f = gun.footprint
    wide = Fan(f.length, f.width, f.across, f.along, f.distance)
    return at_opening(wide, f.spot, opening)


def distances_of(gun: Gun) -> tuple[float, ...]:
    """Distances worth weighing: nearest, middle and farthest of the gun's range [m]."""
    middle = (gun.distance_min + gun.distance_max) / 2
    return tuple(sorted({gun.distance_min, middle, gun.distance_max}))


@lru_cache(maxsize=1024)
def settings_for(subject: Subject, gun: Gun) -> tuple[Setting, ...]:
    """The settings of a gun that use least paint on a subject with a steady hand, best first.

    The best of every fan opening is kept besides, so that its price can be shown.
    """
    found: list[Setting] = []
    section = section_of(subject)
    for opening in _OPENINGS:
        fan = fan_of(gun, opening)
        if fan.length * _WIDE < subject.breadth and opening < 0.5:
            continue
        for distance in distances_of(gun):
            for layout in layouts(
                subject, fan.length * distance / fan.distance, distance, gun.head
            ):
                shares = pass_shares(section, layout.strokes, fan).sum(axis=1)
                if shares.min() <= 0.0:
                    continue
                caught = float(shares @ section.breadths)
                found.append(
                    Setting(
                        gun,
                        opening,
                        distance,
                        fan,
                        layout,
                        caught / layout.count,
                        float(shares.min()),
                        caught / subject.breadth,
                    )
                )
    found.sort(key=_steady_price)
    firsts = {setting.opening: setting for setting in reversed(found)}
    kept = found[:_KEPT] + [s for s in firsts.values() if s not in found[:_KEPT]]
    return tuple(sorted(kept, key=_steady_price))


def _steady_price(setting: Setting) -> float:
    """Paint per film at the thinnest spot, with a little credit for an even film."""
    kept = np.exp(
        -(float(np.mean(setting.layout.distances)) - setting.fan.distance) / guns.fade_length()
    )
    even = float(np.sqrt(setting.thinnest * setting.mean))
    return setting.layout.count / even / float(kept)


def wander_of(hand: Hand) -> Wander:
    """A hand's spreads as the engine takes them."""
    return Wander(hand.speed_spread, hand.distance_spread, hand.tilt_spread, hand.aim_spread)


@lru_cache(maxsize=16)
def _normals(strokes: int) -> Float:
    return np.random.default_rng(_SEED).standard_normal((DRAWS, strokes + 1, 4))


def _sample(subject: Subject, setting: Setting, hand: Hand) -> Sample:
    section = section_of(subject)
    layout = setting.layout
    films = hand_films(
        section,
        Strokes(layout.strokes, layout.distances),
        setting.fan,
        wander_of(hand),
        guns.fade_length(),
        _normals(layout.count),
    )
    weights = section.breadths / section.breadths.sum()
    return Sample(setting, films, weights)


@lru_cache(maxsize=2048)
def samples_for(subject: Subject, gun: Gun, hand: Hand) -> tuple[Sample, ...]:
    """Every kept setting of a gun on a subject, sampled in a hand."""
    return tuple(_sample(subject, setting, hand) for setting in settings_for(subject, gun))


def _quantiles(values: Float, weights: Float) -> Float:
    flat = values.astype(np.float32).ravel()  # sorting is what costs here
    if np.ptp(weights) < 1e-9 * weights[0]:
        return np.asarray(np.sort(flat)[(_LEVELS * (flat.size - 1)).astype(int)])
    order = np.argsort(flat)
    reached = np.cumsum(np.broadcast_to(weights, values.shape).ravel()[order])
    reached /= reached[-1]
    return np.asarray(flat[order][np.searchsorted(reached, np.clip(_LEVELS, 1e-12, 1.0 - 1e-9))])
