"""Reflectance from what the camera wrote: tone, and the light that falls on the card."""

from collections.abc import Sequence
from typing import Final, NamedTuple

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import least_squares

from coatwright.engines.card.layout import Box, Layout

Array = NDArray[np.float64]

# Printers differ in tone by about a tenth, so the strip may bend the curve only so far.
_TRUST: Final = 0.06
_ROUNDS: Final = 8
_THIN: Final = 3


class Grid(NamedTuple):
    """Square pixels on the page: their size [m] and where their centres lie [m]."""

    pixel: float
    x: Array
    y: Array


def grid(card: Layout, pixel: float) -> Grid:
    """The pixels of that size [m] that cover the page."""
    columns, rows = round(card.width / pixel), round(card.height / pixel)
    x, y = (np.asarray((np.arange(n) + 0.5) * pixel) for n in (columns, rows))
    return Grid(pixel, x, y)


def within(page: Grid, box: Box, margin: float = 0.0) -> NDArray[np.bool_]:
    """Which pixels lie in a box, grown by the margin [m] or, if negative, shrunk."""
    x = (page.x > box.x - margin) & (page.x < box.x + box.width + margin)
    y = (page.y > box.y - margin) & (page.y < box.y + box.height + margin)
    return np.asarray(y[:, None] & x[None, :])


def printed(page: Grid, card: Layout) -> NDArray[np.bool_]:
    """Which pixels carry print or may show the edge of the page."""
    boxes = [*(one.box for one in card.markers), *(one.box for one in card.greys)]
    boxes += [card.dab, card.bar, card.cross, *card.written]
    inked = ~within(page, Box(0.0, 0.0, card.width, card.height), -2.5e-3)
    for box in boxes:
        inked |= within(page, box, 1.5e-3)
    for fold in (card.band.y, card.band.y + card.band.height):
        inked |= within(page, Box(0.0, fold, card.width, 0.0), 1.2e-3)
    middle = card.height / 2
    for end in (0.0, card.width - 8e-3):
        inked |= within(page, Box(end, middle - 2e-3, 8e-3, 4e-3), 1e-3)
    return inked


def linear(code: NDArray[np.float32]) -> NDArray[np.float32]:
    """Light from an sRGB code between 0 and 1 (IEC 61966-2-1)."""
    bent = np.power((code + 0.055) / 1.055, 2.4, dtype=np.float32)
    return np.where(code <= 0.04045, code / np.float32(12.92), bent)


def _powers(page: Grid, card: Layout, order: int) -> Array:
    """Products of Legendre polynomials over the page, up to that order together."""
    x, y = 2 * page.x / card.width - 1, 2 * page.y / card.height - 1
    across = [np.polynomial.legendre.Legendre.basis(n)(x) for n in range(order + 1)]
    down = [np.polynomial.legendre.Legendre.basis(n)(y) for n in range(order + 1)]
    pairs = [(i, j) for i in range(order + 1) for j in range(order + 1 - i)]
    return np.stack([np.outer(down[j], across[i]) for i, j in pairs])


def paper_light(light: Array, paper: NDArray[np.bool_], card: Layout, page: Grid) -> Array:
    """Light from bare paper at every pixel: a smooth surface through the paper that is seen.

    light holds one picture for each channel. The strips are paper for certain; pixels of the band
    join in as long as they look like it. Every third pixel each way is enough for that.
    """
    base = _powers(page, card, 3)
    thin = np.s_[..., ::_THIN, ::_THIN]
    few, seen, strips = base[thin], paper[thin], (paper & ~within(page, card.band))[thin]
    weights = [_weights(np.log(np.maximum(one, 1e-6)), few, seen, strips) for one in light[thin]]
    return np.asarray(np.exp(np.tensordot(np.array(weights), base, 1)))


def _weights(
    level: Array, base: Array, paper: NDArray[np.bool_], strips: NDArray[np.bool_]
) -> Array:
    """How much of each product lies in a level, fitted to the paper and nothing else."""
    plain = base[_upto(2, 3)]
    surface, used = np.tensordot(_fitted(plain, level, strips), plain, 1), strips
    weights = np.zeros(len(base))
    for _ in range(_ROUNDS):
        before, off = used, level - surface
        used = paper & (np.abs(off) < 3.0 * max(_spread(off[used]), 0.004))
        if np.array_equal(used, before):
            break
        weights = _fitted(base, level, used)
        surface = np.tensordot(weights, base, 1)
    return weights


def _upto(low: int, order: int) -> list[int]:
    """Places, among the products up to `order`, of those up to a lower one."""
    pairs = [(i, j) for i in range(order + 1) for j in range(order + 1 - i)]
    return [index for index, (i, j) in enumerate(pairs) if i + j <= low]


def _fitted(base: Array, level: Array, where: NDArray[np.bool_]) -> Array:
    rows = base[:, where]
    return np.asarray(np.linalg.solve(rows @ rows.T, rows @ level[where]))


def _spread(values: Array) -> float:
    """Standard deviation by the median of the absolute deviations."""
    return float(1.4826 * np.median(np.abs(values - np.median(values))))


class Tone(NamedTuple):
    """How light read against paper becomes reflectance: ((light - flare)/(1 - flare))^power [-]."""

    power: float
    flare: float

    def reflectance(self, light: Array) -> Array:
        """Reflectance against paper [-]."""
        left = (light - self.flare) / (1.0 - self.flare)
        return np.asarray(np.sign(left) * np.abs(left) ** self.power)


def tone(seen: Sequence[float], known: Sequence[float]) -> Tone:
    """The tone that best makes the greys what they are, not far from none at all."""
    light, wanted = np.array(seen), np.array(known)

    def misses(parameters: Array) -> Array:
        told = Tone(float(np.exp(parameters[0])), float(parameters[1])).reflectance(light)
        fit = (told - wanted) / (0.02 + 0.04 * wanted)
        return np.concatenate((fit, (parameters[0] / _TRUST, parameters[1] / 0.02)))

    found = least_squares(misses, np.array((0.0, 0.0)), bounds=((-0.4, -0.05), (0.4, 0.1)))
    return Tone(float(np.exp(found.x[0])), float(found.x[1]))
