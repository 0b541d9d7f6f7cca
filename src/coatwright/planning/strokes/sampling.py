"""A layout in a hand: the film it lays per unit of paint, sampled once and used for every product.

Everything here is per unit of G = flow x transfer / speed [m2], so that fluid, pressure, speed and
product are left to the solver, which only scales.
"""

import math
from dataclasses import dataclass, replace
from functools import cached_property, lru_cache
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from coatwright.engines.spray import gun as guns
from coatwright.engines.spray.footprint import Fan, at_opening
from coatwright.engines.spray.section import Strokes, Wander, hand_films, pass_shares
from coatwright.errors import RangeError
from coatwright.model.hand import Hand
from coatwright.model.kit import Gun
from coatwright.planning.strokes.layouts import Layout, Subject, half_of, layouts, section_of

Float = NDArray[np.float64]

DRAWS = 128
MOST_COATS = 6
_OPENINGS = (0.0, 0.25, 0.5, 0.75, 1.0)
_CHEAPEST = 2
_QUICKEST = 1
_NEAR = 0.15
_WIDE = 3.0
_SEED = 20_260


@dataclass(frozen=True, eq=False)
class Setting:
    """Gun, fan opening, distance and layout, and what they capture.

    capture is the share of the passes that meets the shape; thinnest and mean are film per unit of
    G [1/m], the thinnest with every stroke a little off its line.
    """

    gun: Gun
    opening: float
    distance: float
    fan: Fan
    layout: Layout
    capture: float = 0.0
    thinnest: float = 0.0
    mean: float = 0.0

    @cached_property
    def away(self) -> float:
        """Mean distance from gun to surface [m]."""
        return float(np.mean(self.layout.distances))


@dataclass(frozen=True, eq=False)
class Sample:
    """A setting in a hand.

    films (draws, cells) is one coat on the cells that were sampled (half of the section where the
    other half is alike), weights (cells,) the share of their surface each is.
    """

    setting: Setting
    fold: Literal["mirror", "turn", "none"]
    films: NDArray[np.float32]
    weights: Float

    def unfolded(self, cells: NDArray[np.floating]) -> Float:
        """Values of the sampled cells as values of the whole section's cells."""
        values = np.asarray(cells, dtype=np.float64)
        if self.fold == "none":
            return values
        return np.concatenate([values, values[::-1] if self.fold == "mirror" else values])

    @cached_property
    def mean(self) -> float:
        """Mean film of one coat over the section and the draws."""
        return float(np.dot(self.films.mean(axis=0), self.weights))

    def laid(self, shares: tuple[float, ...]) -> NDArray[np.float32]:
        """Mean film of the coats of those shares (mean 1), each drawn afresh: (draws, cells)."""
        total = np.zeros_like(self.films)
        for coat, share in enumerate(shares):
            start = 37 * coat % DRAWS
            part = np.float32(share / len(shares))
            total[: DRAWS - start] += part * self.films[start:]
            total[DRAWS - start :] += part * self.films[:start]
        return total

    def level(self, shares: tuple[float, ...], chance: float) -> float:
        """Film that a share `chance` of spots and draws lies below, after coats of those shares."""
        key = (shares, chance)
        if key not in self._levels:
            self._levels[key] = _level(self.laid(shares), self.weights, chance)
        return self._levels[key]

    def chance_below(self, shares: tuple[float, ...], film: float) -> float:
        """Share of spots and draws below a film, after coats of those shares."""
        return float(np.dot((self.laid(shares) < film).mean(axis=0), self.weights))

    @cached_property
    def _levels(self) -> dict[tuple[tuple[float, ...], float], float]:
        return {}


def fan_of(gun: Gun, opening: float) -> Fan:
    """The gun's fan at an opening between 0 and 1."""
    f = gun.footprint
    wide = Fan(f.length, f.width, f.across, f.along, f.distance)
    return at_opening(wide, f.spot, opening)


def distances_of(gun: Gun) -> tuple[float, ...]:
    """Distances worth weighing: the nearest and the middle of the gun's range [m].

    The farthest only loses paint; a pocket that forces it is dealt with by the layouts.
    """
    return tuple(sorted({gun.distance_min, (gun.distance_min + gun.distance_max) / 2}))


@lru_cache(maxsize=1024)
def settings_for(subject: Subject, gun: Gun, hand: Hand) -> tuple[Setting, ...]:
    """The settings of a gun worth sampling on a subject: the best few of every fan opening.

    Judged by paint for the thinnest spot when every stroke is off its line by one standard
    deviation of the hand, to either side.
    """
    best: list[Setting] = []
    for opening in _OPENINGS:
        fan = fan_of(gun, opening)
        if fan.length * _WIDE < subject.breadth and opening < 0.5:
            continue
        found = [
            setting
            for distance in distances_of(gun)
            for layout in layouts(subject, fan.length * distance / fan.distance, distance, gun.head)
            if (setting := _setting(subject, hand, Setting(gun, opening, distance, fan, layout)))
        ]
        best.extend(_worth_sampling(found))
    return tuple(best)


def _worth_sampling(found: list[Setting]) -> list[Setting]:
    """The cheapest in paint, and of those nearly as cheap the ones with fewest strokes."""
    ranked = sorted(found, key=_steady_price)
    if not ranked:
        return []
    near = [s for s in ranked if _steady_price(s) <= (1 + _NEAR) * _steady_price(ranked[0])]
    quick = sorted(near, key=lambda s: s.layout.count)
    return ranked[:_CHEAPEST] + [s for s in quick if s not in ranked[:_CHEAPEST]][:_QUICKEST]


def _setting(subject: Subject, hand: Hand, bare: Setting) -> Setting | None:
    """The setting with what it captures; None if some spot is never reached."""
    section, layout = section_of(subject), bare.layout
    shares = pass_shares(section, layout.strokes, bare.fan).sum(axis=1)
    if shares.min() <= 0.0:
        return None
    caught = float(shares @ section.breadths)
    off = float(np.hypot(hand.aim_spread, hand.tilt_spread * bare.distance))
    sideways = off * np.column_stack([layout.strokes[:, 3], -layout.strokes[:, 2]])
    moved = layout.strokes.copy()
    moved[:, :2] += sideways  # the other side is its mirror image: shapes and layouts are symmetric
    thinnest = float(pass_shares(section, moved, bare.fan).sum(axis=1).min())
    return replace(
        bare,
        capture=caught / layout.count,
        thinnest=max(thinnest, 1e-3 * caught / subject.breadth),
        mean=caught / subject.breadth,
    )


def _steady_price(setting: Setting) -> float:
    """Paint for the film of the thinnest spot, with a little credit for the mean."""
    kept = math.exp(-(setting.away - setting.fan.distance) / guns.fade_length())
    return setting.layout.count / math.sqrt(setting.thinnest * setting.mean) / kept


def wander_of(hand: Hand) -> Wander:
    """A hand's spreads as the engine takes them."""
    return Wander(hand.speed_spread, hand.distance_spread, hand.tilt_spread, hand.aim_spread)


@lru_cache(maxsize=16)
def _normals(strokes: int) -> Float:
    return np.random.default_rng(_SEED).standard_normal((DRAWS, strokes + 1, 4))


def _sample(subject: Subject, setting: Setting, hand: Hand) -> Sample:
    section = half_of(subject)
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
    return Sample(setting, subject.fold, films.astype(np.float32), weights)


def resampled(subject: Subject, setting: Setting, hand: Hand) -> Sample:
    """One setting, judged and sampled in a hand. Raises RangeError if it never reaches a spot."""
    judged = _setting(subject, hand, setting)
    if judged is None:
        raise RangeError("the strokes miss a part of the shape", instead="overlap them more")
    return _sample(subject, judged, hand)


@lru_cache(maxsize=2048)
def samples_for(subject: Subject, gun: Gun, hand: Hand) -> tuple[Sample, ...]:
    """Every kept setting of a gun on a subject, sampled in a hand."""
    return tuple(_sample(subject, setting, hand) for setting in settings_for(subject, gun, hand))


def _level(values: NDArray[np.float32], weights: Float, chance: float) -> float:
    flat = values.ravel()
    if np.ptp(weights) < 1e-9 * weights[0]:
        place = min(int(chance * flat.size), flat.size - 1)
        return float(np.partition(flat, place)[place])
    order = np.argsort(flat)
    reached = np.cumsum(np.broadcast_to(weights, values.shape).ravel()[order])
    place = int(np.searchsorted(reached, chance * reached[-1]))
    return float(flat[order[min(place, flat.size - 1)]])
