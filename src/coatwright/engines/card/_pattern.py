"""What an even fan does not say: ends against middle, a dip in the middle, specks."""

import math
from typing import Final, NamedTuple

import cv2
import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import center_of_mass, label, uniform_filter

from coatwright.engines.card._model import Array, Cells, Value, along_fan, blocks_of

_AROUND: Final = 4.0e-3  # a speck stands out of what lies within this [m]
_TELLING: Final = 0.3  # film dense enough to show how grainy the fan is
_LEAST: Final = 0.10
_DECIMETRE: Final = 1.0e-2
_MIDDLE: Final = (0.0, 0.25)
_OUTER: Final = (0.5, 0.75)
_VERY_MIDDLE: Final = (0.0, 0.15)
_BESIDE: Final = (0.3, 0.55)


class Specks(NamedTuple):
    """Which pixels belong to specks, and the middle of each from the page's top left [m]."""

    mask: NDArray[np.bool_]
    x: Array
    y: Array

    def per_area(self, inside: NDArray[np.bool_], surface: float) -> Value:
        """How many lie inside, for each square decimetre of that surface [m2]."""
        count, shown = int(inside.sum()), surface / _DECIMETRE
        return Value(count / shown, math.sqrt(max(count, 1)) / shown)


def specks(density: Array, free: NDArray[np.bool_], pixel: float) -> Specks:
    """Specks of paint about a millimetre wide or more that stand out of what lies around them."""
    clear = np.where(free, np.exp(-density), 1.0)
    fine = uniform_filter(clear, 3)
    levels = np.round(255 * np.clip(clear, 0.0, 1.0)).astype(np.uint8)
    around = cv2.medianBlur(levels, 2 * round(_AROUND / pixel) + 1).astype(float) / 255.0
    off = around - fine
    grainy = free & (around < math.exp(-_TELLING))
    usual = 1.4826 * float(np.median(np.abs(off[grainy]))) if grainy.any() else 0.0
    found, count = label(free & (off > max(_LEAST, 6.0 * usual)))
    middles = np.array(center_of_mass(found > 0, found, range(1, count + 1))).reshape(-1, 2)
    return Specks(found > 0, (middles[:, 1] + 0.5) * pixel, (middles[:, 0] + 0.5) * pixel)


def middle_and_ends(
    cells: Cells, film: Array, even: Array, named: dict[str, float]
) -> tuple[Value, Value]:
    """Ends over middle, and how much less lies in the very middle than beside it."""
    u, _ = along_fan(cells, named["x"], named.get("y", 0.0), named["tilt"])
    t = np.abs(u) / named["half"]
    outer, middle, very, beside = (
        _mean_in(cells, film, even, (t >= low) & (t < high), high - low)
        for low, high in (_OUTER, _MIDDLE, _VERY_MIDDLE, _BESIDE)
    )
    hollow = _ratio(very, beside)
    return _ratio(outer, middle), Value(1.0 - hollow.value, hollow.error)


def _mean_in(
    cells: Cells, film: Array, even: Array, where: NDArray[np.bool_], span: float
) -> Value:
    """Paint in a part of the fan for each span of its length; error from misfits by blocks."""
    sums = np.bincount(blocks_of(cells)[where], weights=(film - even)[where])
    return Value(float(film[where].sum()) / span, float(np.sqrt(np.sum(sums**2))) / span)


def _ratio(over: Value, under: Value) -> Value:
    share = over.value / max(under.value, 1e-9)
    spread = math.hypot(over.error / max(over.value, 1e-9), under.error / max(under.value, 1e-9))
    return Value(share, abs(share) * spread)
