"""From a photograph of a test card to the paint on it, pixel by pixel at true size.

The droplets of a light burst hide the paper where they fall, and fall at random. A mean of D
droplet areas per area leaves the share exp(-D) of the paper bare, so that the card reflects

    R = F + (1 - F) exp(-D)

against bare paper, F being the reflectance of the paint where it hides. D is in proportion to the
paint per area. It is Beer and Lambert's law with a floor: a stain that only absorbs follows it with
F = 0. Where D is above 3 the paper is hidden and nothing more can be read.
"""

from typing import Final, NamedTuple

import cv2
import numpy as np
from numpy.typing import NDArray

from coatwright.engines.card import _light
from coatwright.engines.card._finding import Found, find
from coatwright.engines.card.layout import Layout
from coatwright.errors import RangeError

PIXEL: Final = 0.5e-3
HIDDEN: Final = 3.0
"""D from which the paper counts as hidden: 5 % of it is still seen."""

_FINER: Final = 4
_DARK: Final = 0.10  # light of the paper, of the camera's full scale
_FULL: Final = 0.985
_LEAST_CONTRAST: Final = 0.12

Array = NDArray[np.float64]


class Sheet(NamedTuple):
    """The card laid flat: paint on it and how well it was seen.

    `density` is D [-], in proportion to paint per area, row by row from the page's top left;
    `free` where it can be used, `pixel` the size of one [m]. `floor` is the paint's own reflectance
    against the paper [-], and `dabbed` whether it was read from the dab. `hidden` is the share of
    the pattern in which the paper no longer shows [-]. `markers` were found, their corners miss a
    plane by `fit` [m], edges are `rise` wide [m], the page has `scale` pixels per metre [1/m].
    `noise` is the standard deviation of a pixel of bare paper [-]; `power`, `flare` the tone [-].
    """

    layout: Layout
    density: Array
    free: NDArray[np.bool_]
    pixel: float
    floor: float
    dabbed: bool
    hidden: float
    markers: int
    fit: float
    rise: float
    scale: float
    noise: float
    power: float
    flare: float


def decode(encoded: NDArray[np.uint8]) -> NDArray[np.uint8]:
    """Pixels of a JPEG or PNG file, turned upright.

    Parameters
    ----------
    encoded : (n,) array [-]
        The bytes of the file.

    Returns
    -------
    (rows, columns, 3) array [-]
        Blue, green and red from 0 to 255, turned as the file's EXIF orientation says.

    Raises
    ------
    RangeError
        The bytes are no such picture.

    Source
        opencv-imdecode.
    Checked
        tests/unit/engines/card/test_rectify.py
    """
    filled = np.asarray(encoded, dtype=np.uint8)
    picture = cv2.imdecode(filled, cv2.IMREAD_COLOR) if filled.size else None
    if picture is None:
        raise RangeError("it is no JPEG or PNG picture, or it is damaged", instead="take it again")
    return np.asarray(picture, dtype=np.uint8)


def rectify(picture: NDArray[np.uint8]) -> Sheet:
    """The paint on a photographed test card, at true size.

    Parameters
    ----------
    picture : (rows, columns, 3) array [-]
        Blue, green and red of the photograph, sRGB codes from 0 to 255.

    Returns
    -------
    Sheet
        D [-] at every pixel [m] of the page, and how well it was seen.

    Raises
    ------
    RangeError
        Fewer than four markers are seen; the card is too small, too blurred, not flat, too dark or
        overexposed; or the paint can hardly be told from the paper.

    Validity
        A flat card and a lens without distortion (a homography; radial distortion is neglected, and
        refused where it moves the markers by more than 0.6 mm). Light that changes smoothly over
        the page. Droplets that lie at random, up to D of 3; a wet film that has run together
        follows Kubelka and Munk's law instead and is read too thin in its middle.

    Source
        boolean-droplets; aruco; srgb.
    Checked
        tests/unit/engines/card/test_rectify.py
    """
    found = find(np.asarray(cv2.cvtColor(picture, cv2.COLOR_BGR2GRAY), dtype=np.uint8))
    page = _light.grid(found.layout, PIXEL)
    light, full = _flat(picture, found, page)
    inked = _light.printed(page, found.layout)
    _exposed(light, full, ~inked & ~_light.within(page, found.layout.band))
    ratio = light / _light.paper_light(light, ~inked, found.layout, page)
    tones = [_tone(ratio[k], found.layout, page) for k in range(3)]
    reflected = np.stack([one.reflectance(ratio[k]) for k, one in enumerate(tones)])
    colour, dabbed = _paint(reflected, ~inked, found.layout, page)
    clear, floor = _clear(reflected, colour)
    density = -np.log(np.maximum(clear, 1e-3))
    free = ~inked & _light.within(page, found.layout.band)
    bare = clear[~inked & ~_light.within(page, found.layout.band, 1e-3)]
    pattern = free & (density > 0.1)
    return Sheet(
        layout=found.layout,
        density=density,
        free=free,
        pixel=PIXEL,
        floor=floor,
        dabbed=dabbed,
        hidden=float(np.mean(density[pattern] > HIDDEN)) if pattern.any() else 0.0,
        markers=found.markers,
        fit=found.fit,
        rise=found.rise,
        scale=found.scale,
        noise=float(np.std(bare)),
        power=float(np.mean([one.power for one in tones])),
        flare=float(np.mean([one.flare for one in tones])),
    )


def _flat(picture: NDArray[np.uint8], found: Found, page: _light.Grid) -> tuple[Array, Array]:
    """Light in three channels on the page's pixels, and the share of each at full scale."""
    fine = page.pixel / _FINER
    # Centres of pixels are whole numbers to OpenCV, both in the picture and on the page.
    step = np.array(((fine, 0.0, fine / 2), (0.0, fine, fine / 2), (0.0, 0.0, 1.0)))
    size = (len(page.x) * _FINER, len(page.y) * _FINER)
    view = found.view @ step
    seen = cv2.warpPerspective(picture, view, size, flags=cv2.INTER_LINEAR | cv2.WARP_INVERSE_MAP)
    codes = np.arange(256, dtype=np.float32)
    tables = _light.linear(codes / np.float32(255)), (codes >= 254).astype(np.float32)
    small = (len(page.x), len(page.y))
    light, full = (
        cv2.resize(cv2.LUT(seen, table), small, interpolation=cv2.INTER_AREA) for table in tables
    )
    return np.moveaxis(np.asarray(light, float), 2, 0), np.moveaxis(np.asarray(full, float), 2, 0)


def _exposed(light: Array, full: Array, paper: NDArray[np.bool_]) -> None:
    level = float(np.median(light[:, paper].max(axis=0)))
    if level < _DARK:
        raise RangeError(
            f"the picture is too dark, the paper gives {level:.0%} of full light",
            instead="take it in daylight or expose more",
        )
    burnt = float(np.mean(full[:, paper].max(axis=0) > 0.5))
    if burnt > 1.0 - _FULL:
        raise RangeError(
            f"the picture is overexposed, {burnt:.0%} of the paper is burnt out",
            instead="expose less, and keep lamps from shining off the card",
        )


def _tone(ratio: Array, card: Layout, page: _light.Grid) -> _light.Tone:
    seen = [float(np.median(ratio[_light.within(page, one.box, -2e-3)])) for one in card.greys]
    return _light.tone(seen, [one.reflectance for one in card.greys])


def _paint(
    reflected: Array, clean: NDArray[np.bool_], card: Layout, page: _light.Grid
) -> tuple[Array, bool]:
    """The paint's own reflectance, and whether the dab told it.

    Without a dab the colour is that of the darkest hundredth of the band, as far as that goes on
    towards a floor of nothing; the fit may then find the floor.
    """
    x, y = card.dab.x + card.dab.width / 2, card.dab.y + card.dab.height / 2
    middle = np.hypot(page.x[None, :] - x, page.y[:, None] - y) < 0.28 * card.dab.width
    dab = np.median(reflected[:, middle], axis=1)
    if float(np.max(np.abs(1.0 - dab))) > _LEAST_CONTRAST:
        return dab, True
    band = reflected[:, clean & _light.within(page, card.band)]
    far = np.abs(1.0 - band).max(axis=0)
    deepest = band[:, far >= np.quantile(far, 0.99)].mean(axis=1)
    if float(np.max(np.abs(1.0 - deepest))) < _LEAST_CONTRAST:
        raise RangeError(
            "the paint can hardly be told from the paper",
            instead="spray longer, or print the card on paper of another colour",
        )
    step = 1.0 - deepest
    return 1.0 - step / float(np.max(np.abs(step))), False


def _clear(reflected: Array, colour: Array) -> tuple[Array, float]:
    """The share of the paper left bare, from all channels by least squares, and the floor."""
    step = 1.0 - colour
    weights = step / float(np.dot(step, step))
    floor = float(colour[int(np.argmax(np.abs(step)))])
    return np.tensordot(weights, reflected - colour[:, None, None], 1), floor
