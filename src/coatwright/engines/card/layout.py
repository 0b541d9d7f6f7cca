"""What stands where on the test card: markers, grey strip, paint dab, aim cross.

The page lies on its long side. x runs right and y down from its top left corner, in metres. Two
strips along the long sides carry everything printed; the band between them is for paint and is
empty but for a small cross. Before a pass the strips are covered, so that they stay clean.
"""

from functools import cache
from typing import Final, NamedTuple

import cv2
import numpy as np

from coatwright.errors import RangeError

DICTIONARY: Final = cv2.aruco.DICT_4X4_50
PAPERS: Final = {"A4": (0.297, 0.210, 0), "Letter": (0.2794, 0.2159, 6)}
"""Width and height of each page [m], and the number of its first marker."""

MARKER: Final = 0.016
EDGE: Final = 0.008
STRIP: Final = 0.034
GREYS: Final = (0.72, 0.52, 0.36, 0.23, 0.13, 0.04)
"""Reflectance of each grey against the paper, as printed by a printer that keeps tone."""


class Box(NamedTuple):
    """A rectangle on the page: left, top, width and height [m]."""

    x: float
    y: float
    width: float
    height: float


class Marker(NamedTuple):
    """A square marker on the page [m]: its number and its cells, row by row, black = True."""

    number: int
    box: Box
    cells: tuple[tuple[bool, ...], ...]


class Grey(NamedTuple):
    """A printed grey: where [m], and its reflectance against the paper [-]."""

    box: Box
    reflectance: float


class Layout(NamedTuple):
    """One printed card, all places [m].

    `band` is left free for the paint, `dab` for a brush mark of it that hides the paper; `written`
    are the boxes of words and fields; `cross` is the aim point's box, `bar` a scale bar 50 mm long.
    """

    paper: str
    width: float
    height: float
    markers: tuple[Marker, ...]
    greys: tuple[Grey, ...]
    band: Box
    dab: Box
    bar: Box
    cross: Box
    written: tuple[Box, ...]


def _cells(number: int) -> tuple[tuple[bool, ...], ...]:
    drawn = cv2.aruco.generateImageMarker(
        cv2.aruco.getPredefinedDictionary(DICTIONARY), number, 6, borderBits=1
    )
    return tuple(tuple(bool(cell == 0) for cell in row) for row in np.asarray(drawn))


def _markers(width: float, height: float, first: int) -> tuple[Marker, ...]:
    across = (EDGE, (width - MARKER) / 2, width - EDGE - MARKER)
    down = (EDGE, height - EDGE - MARKER)
    places = [Box(x, y, MARKER, MARKER) for y in down for x in across]
    return tuple(
        Marker(first + index, box, _cells(first + index)) for index, box in enumerate(places)
    )


@cache
def layout(paper: str) -> Layout:
    """Where everything stands on a card of that paper.

    Parameters
    ----------
    paper : str
        "A4" or "Letter".

    Returns
    -------
    Layout
        Places [m] from the top left corner of the page on its long side.

    Raises
    ------
    RangeError
        No card is drawn on such paper.

    Source
        assumption: own drawing; the markers are those of a public dictionary, aruco.
    Checked
        tests/unit/engines/card/test_layout.py
    """
    if paper not in PAPERS:
        raise RangeError(f"there is no card on '{paper}'", instead=f"use {' or '.join(PAPERS)}")
    width, height, first = PAPERS[paper]
    middle, foot = width / 2, height - EDGE - MARKER
    words = (middle - 2 * EDGE) - 2 * MARKER
    greys = tuple(
        Grey(Box(EDGE + MARKER + 0.010 + 0.013 * index, foot + 0.002, 0.012, 0.012), share)
        for index, share in enumerate(GREYS)
    )
    right = middle + MARKER / 2 + 0.010
    return Layout(
        paper=paper,
        width=width,
        height=height,
        markers=_markers(width, height, first),
        greys=greys,
        band=Box(0.0, STRIP, width, height - 2 * STRIP),
        dab=Box(right, foot - 0.001, 0.018, 0.018),
        bar=Box(right + 0.030, foot + 0.004, 0.050, 0.004),
        cross=Box(middle - 0.004, height / 2 - 0.004, 0.008, 0.008),
        written=(
            Box(EDGE + MARKER + 0.006, EDGE, words, MARKER),
            Box(middle + MARKER / 2 + 0.006, EDGE, words, MARKER),
            Box(right, foot - 0.006, width - EDGE - MARKER - 0.006 - right, MARKER + 0.006),
        ),
    )
