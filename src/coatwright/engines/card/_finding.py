"""Markers in a picture, and the plane that carries them."""

from typing import Final, NamedTuple

import cv2
import numpy as np
from numpy.typing import NDArray

from coatwright.engines.card.layout import DICTIONARY, PAPERS, Layout, layout
from coatwright.errors import RangeError

_SEARCH: Final = 2400  # longest side in which markers are looked for
LEAST: Final = 4
_WORST_FIT: Final = 0.6e-3
_COARSEST: Final = 2.0e3  # pixels per metre
_BLURRED: Final = 1.3e-3
_AGAIN: Final = "lay the card flat in even light and photograph all of it from straight above"

Array = NDArray[np.float64]


class Found(NamedTuple):
    """The card in the picture: its layout, the homography from page [m] to pixels, its faults [m].

    `fit` is the root mean square by which the corners miss the plane, `rise` the width of an edge
    from a tenth to nine tenths, `scale` the pixels per metre where they are fewest [1/m].
    """

    layout: Layout
    view: Array
    markers: int
    fit: float
    rise: float
    scale: float


def find(grey: NDArray[np.uint8]) -> Found:
    """The card in a grey picture; RangeError in a sentence where it cannot be read."""
    corners = _corners(grey)
    card = _card(corners)
    own = {one.number: one.box for one in card.markers if one.number in corners}
    _enough(len(own), card)
    page = np.array([_square(*box) for box in own.values()]).reshape(-1, 2)
    seen = np.array([corners[number] for number in own]).reshape(-1, 2)
    view, _ = cv2.findHomography(page, seen)
    if view is None:
        raise RangeError("the markers do not lie on one plane", instead=_AGAIN)
    scale = _scale(np.asarray(view), card)
    if scale < _COARSEST:
        raise RangeError(
            f"the card is too small in the picture, {scale / 1e3:.1f} pixels a millimetre",
            instead="go nearer, so that it fills the picture; 2 are needed, 5 are good",
        )
    misses = np.linalg.norm(to_page(np.asarray(view), seen) - page, axis=1)
    fit = float(np.sqrt(np.mean(misses**2)))
    if fit > _WORST_FIT:
        raise RangeError(
            f"the markers miss a flat page by {fit * 1e3:.1f} mm",
            instead="lay the card flat, step back a little and do not use a wide-angle lens",
        )
    rise = _rise(grey, np.asarray(view), list(own.values()))
    if rise > _BLURRED:
        raise RangeError(
            f"the picture is blurred, edges are {rise * 1e3:.1f} mm wide",
            instead="hold still, let the camera focus, and take it again",
        )
    return Found(card, np.asarray(view), len(own), fit, rise, scale)


def _corners(grey: NDArray[np.uint8]) -> dict[int, Array]:
    """Corners of every marker, by its number: top left first, clockwise as printed [px]."""
    shrink = min(1.0, _SEARCH / max(grey.shape))
    small = cv2.resize(grey, None, fx=shrink, fy=shrink, interpolation=cv2.INTER_AREA)
    settings = cv2.aruco.DetectorParameters()
    settings.cornerRefinementMethod = cv2.aruco.CORNER_REFINE_SUBPIX
    finder = cv2.aruco.ArucoDetector(cv2.aruco.getPredefinedDictionary(DICTIONARY), settings)
    found, numbers, _ = finder.detectMarkers(np.asarray(small, dtype=np.uint8))
    if numbers is None:
        return {}
    # A pixel's centre, not its corner, is where both pictures agree.
    return {
        int(number): (np.asarray(square, dtype=float).reshape(4, 2) + 0.5) / shrink - 0.5
        for number, square in zip(numbers.ravel(), found, strict=True)
    }


def _card(corners: dict[int, Array]) -> Layout:
    """The card most of whose markers are seen."""
    cards = [layout(paper) for paper in PAPERS]
    return max(cards, key=lambda card: sum(one.number in corners for one in card.markers))


def _enough(count: int, card: Layout) -> None:
    if count == 0:
        raise RangeError(
            "no marker of a test card is seen in the picture, or it is too dark or too blurred",
            instead=_AGAIN,
        )
    if count < LEAST:
        raise RangeError(
            f"only {count} of {len(card.markers)} markers are seen, {LEAST} are needed",
            instead="keep fingers, paint and shadows off them, hold still, and show the whole card",
        )


def _square(x: float, y: float, width: float, height: float) -> list[tuple[float, float]]:
    return [(x, y), (x + width, y), (x + width, y + height), (x, y + height)]


def to_page(view: Array, pixels: Array) -> Array:
    """Pixels to places on the page [m]."""
    return _through(np.asarray(np.linalg.inv(view)), pixels)


def to_pixels(view: Array, places: Array) -> Array:
    """Places on the page [m] to pixels."""
    return _through(view, places)


def _through(view: Array, points: Array) -> Array:
    moved = np.column_stack((points, np.ones(len(points)))) @ view.T
    return np.asarray(moved[:, :2] / moved[:, 2:])


def _scale(view: Array, card: Layout) -> float:
    """The fewest pixels per metre at the corners of the page, either way [1/m]."""
    step = 1e-3
    corners = np.array(_square(0.0, 0.0, card.width, card.height))
    here = to_pixels(view, corners)
    sides = [to_pixels(view, corners + move) - here for move in ((step, 0.0), (0.0, step))]
    return float(min(np.linalg.norm(side, axis=1).min() for side in sides) / step)


def _rise(grey: NDArray[np.uint8], view: Array, boxes: list[tuple[float, ...]]) -> float:
    """Median width of the markers' left edges, from contrast over steepest slope [m]."""
    along = np.linspace(-2e-3, 2e-3, 81)
    found = []
    for x, y, _, height in boxes:
        places = [(x + dx, y + share * height) for share in (0.3, 0.5, 0.7) for dx in along]
        at = to_pixels(view, np.array(places)).astype(np.float32).reshape(3, -1, 2)
        lines = cv2.remap(grey, at[..., 0], at[..., 1], cv2.INTER_LINEAR)
        line = np.asarray(lines, dtype=float).mean(axis=0)
        smooth = np.convolve(line, np.ones(5) / 5, mode="valid")
        slope = np.abs(np.diff(smooth)).max() / (along[1] - along[0])
        found.append(0.8 * np.ptp(line) / max(slope, 1e-9))
    return float(np.median(found))
